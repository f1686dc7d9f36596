"""A program may be killed at any moment: what it was told is on record stays on record, and nothing half done is left."""

from __future__ import annotations

import random
import subprocess
import sys
import time
from collections import Counter
from pathlib import Path

from boxup.store.base import Store
from boxup.store.open import open_store, verify_store

WRITER = Path(__file__).with_name("writer.py")
ROUNDS = 40
ROUNDS_OF_ONE_RECORD = 5
LONGEST = 0.1  # seconds from the first acknowledgement to the kill; an append takes a few ten-thousandths


def test_killed_at_any_moment_what_was_acknowledged_is_there(tmp_path: Path) -> None:
    chance = random.Random(41)
    acknowledged: Counter[str] = Counter()
    total = 0
    for turn in range(ROUNDS):
        url = str(tmp_path / f"record {turn // ROUNDS_OF_ONE_RECORD}.db")
        if turn % ROUNDS_OF_ONE_RECORD == 0:
            acknowledged.clear()
        said = killed(url, turn, chance.random() * LONGEST)
        assert said, "no append was acknowledged: the kill came too early to prove anything"
        with open_store(url, read_only=True) as store:
            for line in said:
                job, number = line.rsplit(" ", 1)
                acknowledged[job] = max(acknowledged[job], int(number))
            assert whole(store, acknowledged) == [], f"round {turn}"
        verdict = verify_store(url)
        assert verdict.ok, (turn, verdict.faults)
        assert verdict.remarks == ()
        total += len(said)
    assert total > 10 * ROUNDS


def killed(url: str, turn: int, after: float) -> list[str]:
    """Two programs write; some time after the first acknowledgement both are killed. What they said, without a line cut off."""
    programs = [
        subprocess.Popen([sys.executable, WRITER, url, f"{name} {turn % 3}", "100000"], stdout=subprocess.PIPE) for name in ("one", "two")
    ]
    heard = [program.stdout.readline() for program in programs[:1] if program.stdout]
    time.sleep(after)
    for program in programs:
        program.kill()
    heard += [program.communicate()[0] for program in programs]
    return [line for part in heard for line in part.decode().split("\n")[:-1]]


def whole(store: Store, acknowledged: Counter[str]) -> list[str]:
    """What is missing or doubled."""
    wrong = []
    numbers: dict[str, list[int]] = {}
    for entry in store.entries():
        numbers.setdefault(entry.job, []).append(entry.number)
    for job, found in numbers.items():
        if found != list(range(1, len(found) + 1)):
            wrong.append(f"{job}: numbers {found}")
    wrong += [f"{job}: {last} acknowledged" for job, last in acknowledged.items() if len(numbers.get(job, ())) < last]
    return wrong
