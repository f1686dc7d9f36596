"""A job told entry by entry, for the tests: hours of one invented day, people who do not exist."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, time, timedelta, timezone
from functools import cached_property

from boxup.demo.fleet import files_of_the_demo
from boxup.job.fold import fold
from boxup.job.order import order
from boxup.job.rules import needs
from boxup.job.scope import Scope
from boxup.job.state import JobState
from boxup.record.event import Event
from boxup.record.kinds import kinds

VERSION = {name: kind.version for name, kind in kinds().items()}
ZONE = timezone(timedelta(hours=2))
DAY = datetime(2027, 4, 7, 6, 0, tzinfo=ZONE)  # a shift begins


def role_of(code: str) -> dict[str, str]:
    """The engineer's figure for the end push is signed in his role."""
    return {"role": "engineer"} if code.partition(":")[0] == "THRUST_OK" else {}


class Story:
    """Entries of one job. `scope`: bare letters or lists; without it the job is opened with a demo file."""

    def __init__(self, scope: Scope | None = None, tag: str = "14-E-103") -> None:
        self.scope = scope
        self.now = DAY
        self.events: list[Event] = []
        if scope is None:
            self.say("job.opened", file=files_of_the_demo()[tag].read_text(encoding="utf-8"), shift_ends=["06:00", "18:00"])

    def say(
        self, what_happened: str, /, at: str | datetime | None = None, by: str = "A. Vessik", corrects: str = "", id: str = "", **payload
    ) -> Event:
        """One entry; `at` an hour of the day the story has come to, else a second after the last one."""
        if isinstance(at, str):
            self.now = datetime.combine(self.now.date(), time.fromisoformat(at), ZONE)
        elif at is not None:
            self.now = at
        else:
            self.now += timedelta(seconds=1)
        number = len(self.events) + 1
        event = Event(
            id=id or f"e{number}", job="OM-TEST", kind=what_happened, version=VERSION.get(what_happened, 1), happened_at=self.now,
            by=by, entered_by=by, corrects=corrects, payload=payload, number=number, recorded_at=self.now, previous="", hash="",
        )  # fmt: skip
        self.events.append(event)
        return event

    def tick(self, *codes: str, **more) -> None:
        """Steps done, each signed by two."""
        for code in codes:
            self.say("step.done", step=code, **({"second": "B. Torrund", "paper": "sheet 1"} | role_of(code) | more))

    def days(self, count: int) -> None:
        """So many days later, at the same hour."""
        self.now += timedelta(days=count)

    def done_until(self, step: str) -> None:
        """Every step of a legal order up to and including the last instance of this one (all of them: "all")."""
        line = [placed.instance.code for placed in order(self.state.scope)]
        if step != "all":
            bare = step.removeprefix("before ")
            last = max(n for n, code in enumerate(line) if code == bare or code.partition(":")[0] == bare)
            first = min(n for n, code in enumerate(line) if code == bare or code.partition(":")[0] == bare)
            line = line[:first] if step.startswith("before ") else line[: last + 1]
        done = self.state.done
        self.tick(*(code for code in line if code not in done))

    @property
    def state(self) -> JobState:
        """Where the job stands now."""
        return fold(self.events, self.scope)

    @cached_property
    def needs(self):
        return needs(self.state.scope)


def texts(state: JobState, level: str = "") -> list[str]:
    """What was noticed on the story."""
    return [n.finding.text for n in state.story if level in ("", n.finding.level)]


def legal_order(scope: Scope, seed) -> Iterable[str]:
    """A legal order of all steps, drawn by chance."""
    before = {code: {need.step for need in list_} for code, list_ in needs(scope).items()}
    done: set[str] = set()
    while len(done) < len(before):
        ready = [code for code, wanted in before.items() if code not in done and wanted <= done]
        code = seed.choice(ready)
        done.add(code)
        yield code
