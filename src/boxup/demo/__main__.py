"""`python -m boxup.demo [--once]`: the main job on the demo exchangers. Writes the focus exchanger's pack and prints its path."""

from __future__ import annotations

import sys
from pathlib import Path

from boxup.demo.fleet import FOCUS, files_of_the_demo
from boxup.paper.pack import pack

OUT = Path("build")


def main(args: list[str]) -> int:
    """Write the job pack of the focus exchanger under build/ and say where it is and what to do next."""
    unknown = [a for a in args if a != "--once"]
    if unknown:
        print(f"demo: {' '.join(unknown)} is not understood; accepted: --once")
        return 2
    OUT.mkdir(exist_ok=True)
    focus = files_of_the_demo()[FOCUS]
    out = OUT / f"{FOCUS}-pack.pdf"
    out.write_bytes(pack(focus, paper="A4"))
    print(f"The job pack of {FOCUS} (invented) is written: {out.resolve()}")
    if "--once" not in args:
        print("Pages to serve come with a later version; today the pack is the whole of it. Try: python3 run.py boxup --help")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
