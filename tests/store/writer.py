"""A program that adds entries and says so: `writer.py URL NAME COUNT` prints `job number` behind each append that has returned.

It may be killed at any moment; what it has printed must be on record.
"""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.store.drafts import note, opened

from boxup.store.open import open_store


def main(url: str, name: str, count: int) -> None:
    with open_store(url, create=True) as store:
        for n in range(count):
            draft = opened(900, job=name) if n % 40 == 20 else note(f"{name} {n}", job="shared" if n % 3 else name, by=name)
            (event,) = store.append([draft])
            sys.stdout.write(f"{event.job} {event.number}\n")
            sys.stdout.flush()


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2], int(sys.argv[3]))
