"""Twenty thousand entries of one invented job, as a long turnaround would leave them, and how long their state takes to work out.

python tools/entries.py [RUNS]     prints medians: seconds to fold them, and to read the same lines as plain JSON
"""

from __future__ import annotations

import json
import statistics
import sys
import time
from collections.abc import Callable, Iterator
from datetime import timedelta

from boxup.demo.fleet import FOCUS, files_of_the_demo
from boxup.demo.story import drafts, story_text
from boxup.exchanger.file import load
from boxup.job.fold import fold
from boxup.record.event import Draft, Event
from boxup.record.lines import as_json

COUNT = 20_000
GOAL = 0.1  # seconds
# What a crew enters between two lines of the story: mostly studs and readings, now and then a check made again, a note, a finding.
BETWEEN = (
    ("joint.stud_done", {"joint": "N1", "pass": "pass 1", "tool": "W1"}),
    ("joint.stud_done", {"joint": "N2", "pass": "pass 1", "tool": "W1"}),
    ("test.reading", {"test": "S2", "pressure_mpa": 0.0, "water_degc": 12.0, "metal_degc": 13.0}),
    ("step.done", {"step": "GAS_BREAK", "reading": "LEL 0 %"}),
    ("step.done", {"step": "ZERO:shell", "reading": "0 bar, air moves"}),
    ("bundle.force_read", {"way": "pull", "position_m": 1.0, "force_n": 12000.0}),
    ("piece.in", {"space": "channel", "what": "lamp"}),
    ("piece.out", {"space": "channel", "what": "lamp"}),
    ("joint.gap_read", {"joint": "N1", "gaps_mm": [3.2, 3.2, 3.3, 3.2]}),
    ("note.written", {"text": "rain"}),
)


def many(count: int = COUNT) -> list[Event]:
    """The story of the demo with so many entries between its lines that there are `count` in all."""
    file = files_of_the_demo()[FOCUS]
    told = drafts(story_text(), file.read_text(encoding="utf-8"), load(file).identity.job)
    found: list[Event] = []
    for place, draft in enumerate(told, start=1):
        found.append(_event(draft, len(found) + 1))
        if place > 1:
            found += _between(found[-1], round((count - len(told)) * (place - 1) / (len(told) - 1)) - (len(found) - place))
    return found


def _between(last: Event, more: int) -> Iterator[Event]:
    for n in range(more):
        kind, payload = BETWEEN[(last.number + n) % len(BETWEEN)]
        said = payload | ({"stud": (last.number + n) % 16 + 1} if kind == "joint.stud_done" else {})
        at = last.happened_at + timedelta(milliseconds=n + 1)
        draft = Draft(
            id=f"b{last.number}-{n}", job=last.job, kind=kind, version=1, happened_at=at, by=last.by, entered_by=last.by, payload=said
        )
        yield _event(draft, last.number + n + 1)


def _event(draft: Draft, number: int) -> Event:
    said = {name: getattr(draft, name) for name in Draft.__slots__}
    return Event(**said, number=number, recorded_at=draft.happened_at, previous="", hash="")


def rows(runs: int) -> Iterator[str]:
    """The table of the bench."""
    events = many()
    lines = [json.dumps(as_json(event)) for event in events]
    pairs = [(_seconds(lambda: fold(events)), _seconds(lambda: [json.loads(line) for line in lines])) for _ in range(runs)]
    yield f"State of a job from {len(events)} entries in memory; medians of {runs} runs, s."
    yield f"{'state':44}{'median':>8}{'least':>8}{'most':>8}{'goal':>7}  {'':10}{'json':>10}{'ratio':>7}"
    ours, plain = ([pair[place] for pair in pairs] for place in (0, 1))
    verdict = "in goal" if statistics.median(ours) <= GOAL else "over goal"
    ratio = statistics.median(one / other for one, other in pairs)
    figures = f"{statistics.median(ours):8.3f}{min(ours):8.3f}{max(ours):8.3f}{GOAL:7.2f}"
    yield f"{'fold':44}{figures}  {verdict:11}{statistics.median(plain):9.3f}{ratio:7.2f}"
    yield "json: the same entries read line by line with the standard library's json, nothing done with them."


def _seconds(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


if __name__ == "__main__":
    print("\n".join(rows(int(sys.argv[1]) if len(sys.argv) > 1 else 7)))
