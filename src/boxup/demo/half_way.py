"""The demo's record: every invented exchanger opened, and the main job told as far as the middle of a pass.

The moment: bundle in, the first tube test failed, floating tubesheet skimmed, J4 on its second make-up and pass 2 stopped at a stud. There
something is done, something undone, something under way and something waits, so that every page has something to show.
"""

from __future__ import annotations

import shutil
from datetime import datetime
from pathlib import Path

from boxup.demo.fleet import FOCUS, files_of_the_demo
from boxup.demo.story import ZONE, drafts, story_text
from boxup.exchanger.file import load
from boxup.record.event import Draft
from boxup.record.kinds import kind_of
from boxup.store.base import Store
from boxup.store.file import log_of

MOMENT = datetime(2027, 4, 12, 22, 5, tzinfo=ZONE)
# The pass that the story has whole at 22:18, here as far as it had come.
STOPPED = """day 6 2027-04-12
22:05 | I. Belmarsh | joint.pass_done | joint=J4 pass="pass 2" torque="288 N.m" tool=W2 lubricant="nickel anti-seize, lot 7"
        studs=1,19,10,28,5,23,14,32,8,26,17,35,3,21,12,30,7,25,16,34 started_at="21:52" note="called to the crane; next is stud 2"
"""
PLANNER = "T. Wray-Estrada"


def half_way() -> tuple[Draft, ...]:
    """The main job until that moment."""
    file = files_of_the_demo()[FOCUS]
    text, job = file.read_text(encoding="utf-8"), load(file).identity.job
    return drafts(story_text(), text, job, until=MOMENT) + drafts(STOPPED, text, job)


def openings(at: datetime) -> tuple[Draft, ...]:
    """Every other exchanger of the demo opened at that time with its file, one job each."""
    return tuple(_opening(path, at) for tag, path in files_of_the_demo().items() if tag != FOCUS)


def _opening(path: Path, at: datetime) -> Draft:
    i, kind = load(path).identity, kind_of("job.opened")
    job, payload = i.job or i.tag, {"file": path.read_text(encoding="utf-8")}
    return Draft(
        id=f"demo {job}", job=job, kind=kind.name, version=kind.version, happened_at=at, by=PLANNER, entered_by=PLANNER, payload=payload
    )


def write(store: Store) -> None:
    """All of it into a record; what is there already is left as it is."""
    told = half_way()
    store.append(told)
    store.append(openings(told[0].happened_at))


def clear(record: Path) -> None:
    """Take away a demo record with its log and its photos."""
    for path in (record, log_of(record), record.with_name(f"{record.name}-shm")):
        path.unlink(missing_ok=True)
    shutil.rmtree(record.with_name(f"{record.name}-photos"), ignore_errors=True)
