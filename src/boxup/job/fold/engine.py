"""The job while its entries are read: what is ticked, what is done, what falls, and what was begun too early."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from functools import lru_cache
from importlib import import_module

from boxup.core.finding import Finding, Level
from boxup.exchanger.file import read
from boxup.exchanger.model import Exchanger
from boxup.job.asfound import all_to_plug, as_found
from boxup.job.bolting import BOLTING_STEPS, reasons, why_not
from boxup.job.flags import FlagError
from boxup.job.fold.start import fill_in
from boxup.job.freshness import freshness
from boxup.job.lifting import against_lift, on_a_hook
from boxup.job.lists import scope_of
from boxup.job.person import among
from boxup.job.rules import belong_together, needs
from boxup.job.scope import Instance, Scope, ScopeError, scope_of_letters
from boxup.job.shift import Shifts
from boxup.job.sound import against, let_down
from boxup.job.stale import stale_since, still_guards
from boxup.job.state import JobState, JointState, Noticed, Tick
from boxup.job.steps import StepError
from boxup.job.undoing import Undoing, Which, undoings
from boxup.record.effective import standing
from boxup.record.event import BadEvent, Event
from boxup.record.kinds import kinds
from boxup.record.upcast import current

Telling = Callable[["Folding", Event], None]
TELLINGS: dict[str, Telling] = {}
_SUBJECTS = (
    "steps", "joints", "gaps", "studs", "faces", "gaskets", "blinds", "tests",
    "tubes", "tools", "weights", "crane", "pulls", "work",
)  # fmt: skip
OPENED = "job.opened"
ADDS_TUBES = ("tube.to_plug", "tube.leaks", "note.written")  # a long plug list is entered tube by tube
TESTING = "6 test"
MOST_NAMED = 12  # steps told by name where an event undoes them
SILENT = ("note.written",)  # kept and shown; they change nothing


def tells(*names: str) -> Callable[[Telling], Telling]:
    """Register a function as the one that tells the job of these kinds of entries."""

    def keep(function: Telling) -> Telling:
        TELLINGS.update(dict.fromkeys(names, function))
        return function

    return keep


def fold(events: Sequence[Event], scope: Scope | None = None) -> JobState:
    """The state of one job after these entries; they may come in any order. Reads all of them, whatever they say.

    The exchanger is that of the `job.opened` entry. `scope`: for entries without one (bare letters, tests).
    """
    told = standing(events)
    f = Folding(_empty(events[0].job if events else "", scope))
    tellings = _tellings()
    for register in REGISTERS:
        register(f)
    f.opened = scope is not None
    f.describe(None, scope)
    f.state.entries = len(events)
    f.state.story.extend(Noticed(0, events[-1].happened_at, one) for one in told.findings)
    version = {name: kind.version for name, kind in kinds().items()}
    for event in sorted(told.events, key=_opening_first):
        f.event = event
        if f.stale_lists and event.kind not in ADDS_TUBES:
            f.found_changed()
        try:
            if not f.opened and event.kind != OPENED:
                f.notice("stop", f"entry {event.number} stands before the job was opened: nothing can be worked out of it")
                continue
            tellings[event.kind](f, event if event.version == version[event.kind] else current(event))
        except KeyError as bad:
            f.unreadable(event, bad)
        except (BadEvent, StepError, ValueError) as bad:
            f.notice("warn", f"entry {event.number} ({event.kind}) could not be used: {bad}")
        except Exception as bad:  # whatever an entry says, the next one is read
            f.notice("warn", f"entry {event.number} ({event.kind}) could not be used: {type(bad).__name__}, {bad}")
    f.state.head = max(events, key=lambda event: event.number).hash if events else ""
    f.state.last_at = max((event.happened_at for event in told.events), default=None)
    f.close()
    return f.state


def _opening_first(event: Event) -> bool:
    """The file is read first, whenever it was put in; the rest stays in the order in which it happened."""
    return event.kind != OPENED


REGISTERS: list[Callable[[Folding], None]] = []


@lru_cache(maxsize=1)
def _tellings() -> Mapping[str, Telling]:
    for subject in _SUBJECTS:
        module = import_module(f"boxup.job.fold.{subject}")
        if hasattr(module, "register"):
            REGISTERS.append(module.register)
    return {**dict.fromkeys(SILENT, _nothing), **TELLINGS}


def _nothing(_: Folding, __: Event) -> None:
    """An entry that is kept and changes no state."""


@dataclass(slots=True)
class About:
    """What an entry is about: names of joints, blinds, tubes, tools, sides, and the kinds they are of."""

    ids: frozenset[str] = frozenset()
    kinds: frozenset[str] = frozenset()
    test: str = ""
    test_side: str = ""
    side: str = ""
    whole: frozenset[str] = frozenset()  # with the other joints on the same studs


@dataclass(slots=True)
class Folding:
    """One job while it is read."""

    state: JobState
    event: Event = field(init=False)
    opened: bool = False
    pressing: set[str] = field(default_factory=set)  # tests whose gauge stands above zero
    objections: dict[str, list[Callable[[Folding, str], Iterable[str]]]] = field(default_factory=dict)
    after_tick: dict[str, Callable[[Folding, str], None]] = field(default_factory=dict)
    after_second: dict[str, Callable[[Folding, str], None]] = field(default_factory=dict)
    reconsider: Callable[[JointState], None] = field(default=lambda _: None)  # whether a joint is pulled up, asked again
    stamp: int = 0  # goes up with every joint opened or pulled anew, and with work on a tube
    stale_lists: bool = False  # the lists of items changed: worked out again before the next entry that needs them
    pulls: dict[str, list[float]] = field(default_factory=dict)  # N read so far, by way
    after_fall: dict[str, Callable[[Folding, str], None]] = field(default_factory=dict)
    _rows: dict[str, tuple[Undoing, ...]] = field(default_factory=dict)
    _guards: dict[str, tuple[str, ...]] = field(default_factory=dict)
    bolting: dict[str, str] = field(default_factory=dict)  # the bolting step of each joint, once looked for

    # what an entry may say

    def notice(self, level: Level, text: str, source: str = "common practice") -> None:
        """A finding on the story, at the entry that is read."""
        self.state.story.append(Noticed(self.event.number, self.event.happened_at, Finding(level, text, source)))

    def unreadable(self, event: Event, bad: KeyError) -> None:
        """A kind this program does not know, or a field or name that is not there."""
        known = event.kind in _tellings()
        what = f"{bad} is not there" if known else "its kind is not known to this program; a newer one may read it"
        self.notice("warn", f"entry {event.number} ({event.kind}) could not be used: {what}")

    def code(self, step: str, item: str = "") -> str:
        """The full code of a step for an item, the bare one where it stands once, "" where it does not exist here."""
        here = self.state.scope.instances
        full = f"{step}:{item}"
        return full if item and full in here else step if step in here else ""

    def named(self, text: str) -> tuple[str, ...]:
        """The full codes a person meant. StepError where there is none."""
        return (text,) if text in self.state.scope.instances else tuple(one.code for one in self.state.scope.named(text))

    # steps done

    def begin(self, code: str, at: datetime) -> None:
        """Work on a step begins: looked at once, against what it waits for."""
        tick = self.tick_of(code)
        if tick.stand not in ("begun", "done"):
            self.look(code, at)
            tick.stand, tick.begun_at, tick.entry, tick.why = "begun", at, self.event.number, ""

    def tick(self, code: str, *, by: str = "", second: str = "", paper: str = "", began: datetime | None = None) -> None:
        """A step is said to be done by the person of the entry, or by another whom the record names."""
        if not code:
            return
        e, tick = self.event, self.tick_of(code)
        if tick.stand not in ("begun", "one name", "not accepted"):
            self.look(code, began or e.happened_at)
        tick.stand, tick.at, tick.by, tick.entry, tick.why = "done", e.happened_at, by or e.by, e.number, ""
        tick.second, tick.paper = second, paper or tick.paper
        if after := self.after_tick.get(code.partition(":")[0]):
            after(self, code)
        self.settle(code)

    def tick_of(self, code: str) -> Tick:
        """The tick of a step, made when first spoken of."""
        found = self.state.steps.get(code)
        if found is None:
            found = self.state.steps[code] = Tick()
        return found

    def settle(self, code: str) -> None:
        """Whether a ticked step counts as done: two names where it needs two, and nothing on record against it."""
        tick = self.state.steps.get(code)
        if tick is None or tick.stand not in ("done", "one name", "not accepted"):
            return
        instance = self.state.scope.instances.get(code)
        against = [text for said in self.objections.get(code.partition(":")[0], ()) for text in said(self, code)]
        against += [str(hold) for hold in tick.refusals]
        if against:
            tick.stand, tick.why = "not accepted", "; ".join(against)
        elif instance and instance.step.names > 1 and among(tick.second, ("", tick.by)):
            tick.stand, tick.why = "one name", f"signed by {tick.by} alone; a second person looks and signs"
        else:
            tick.stand, tick.why, tick.first_at = "done", "", tick.first_at or tick.at
        (self.state.done.add if tick.stand == "done" else self.state.done.discard)(code)

    def look(self, code: str, at: datetime, *, pressed: bool = False) -> None:
        """A finding where a step begins although what it waits for is not done, or was done too long ago. `pressed`: begun before, and
        pressure goes on now."""
        state = self.state
        unmet = [need for need in state.needs.get(code, ()) if need.step not in state.done and not let_down(state, need, code)]
        old = [
            f"{guard} was good until {since:%H:%M}"
            for guard in self._guards_of(code)
            if guard in state.done and (since := stale_since(state, guard, code, at))
        ]
        if unmet:
            fallen = any(state.step(need.step).stand in ("undone", "not accepted") for need in unmet)
            grave = fallen or self._pressure_ahead(code) or any(need.rule.hold or need.rule.kind == "safety" for need in unmet)
            why = "; ".join(f"{need.step}: {need.rule.because}{self._short(need.step)}" for need in unmet[:3])
            more = f"; and {len(unmet) - 3} more" if len(unmet) > 3 else ""
            lacks = f"{why}{more}"
            told = f"{code} was begun although this is not done: {lacks}"
            told = f"{code} was pressed although this is not done: {lacks}" if pressed else told
            self.notice("stop" if grave else "warn", told)
        for text in against(state, code) if self.pressing or state.to_put_right or on_a_hook(code) else ():
            if text in against_lift(state.exchanger, code):
                self.notice("stop", f"{code} was begun although: {text}")
            else:
                self.notice("stop", f"{code} was pressed with {text}" if pressed else f"{code} was begun with {text}")
        if old:
            run_out = "; ".join(old)
            told = f"{code} was begun on a check that had run out: {run_out}"
            self.notice("stop", f"{code} was pressed on a check that had run out: {run_out}" if pressed else told)

    def _short(self, code: str) -> str:
        """Of a joint that was begun: what it lacks."""
        joint = self.state.joint(code.partition(":")[2])
        lacks = why_not(joint) if joint and joint.rounds and code.partition(":")[0] in BOLTING_STEPS else ()
        return f" ({'; '.join(lacks)})" if lacks else ""

    def _pressure_ahead(self, code: str) -> bool:
        """Water or gas comes on in front of people: nothing that is missing there is small."""
        step = self.state.scope.instances[code].step
        return step.phase == TESTING or step.code == "LEAKTEST"

    def _guards_of(self, code: str) -> tuple[str, ...]:
        """Of the needs of a step, those whose tick may have run out when it begins."""
        found = self._guards.get(code)
        if found is None:
            rows, step = freshness(), code.partition(":")[0]
            wanted = (need.step for need in self.state.needs.get(code, ()))
            found = tuple(one for one in wanted if (row := rows.get(one.partition(":")[0])) and step in row.guards)
            self._guards[code] = found
        return found

    # steps undone

    def fall(self, code: str, why: str) -> bool:
        """A step is no longer done. False where it had not been begun."""
        tick = self.state.steps.get(code)
        if tick is None or tick.stand in ("not done", "undone"):
            return False
        self.state.done.discard(code)
        tick.stand, tick.why, tick.entry, tick.second, tick.paper, tick.holds = "undone", why, self.event.number, "", "", tick.refusals
        tick.begun_at = None
        step = code.partition(":")[0]
        for test in self.state.tests.values():
            if test.step == step and test.proof:
                test.proof.fell = why
        if after := self.after_fall.get(step):
            after(self, code)
        return True

    def undo(self, name: str, about: About, why: str) -> tuple[str, ...]:
        """All that an event undoes, by the table; what fell, in reading order."""
        # which rows act is settled first: what one row undoes must not keep the next from acting
        rows = [row for row in self._rows.get(name, ()) if self._meant(row, about)]
        here = self.state.scope.by_step
        fallen: dict[str, None] = {}
        for row in rows:
            for which in row.undoes:
                for one in here.get(which.step, ()):
                    if _belongs(one, which, about) and self._falls(row, one) and self.fall(one.code, f"{why}: {row.because}"):
                        fallen[one.code] = None
        if fallen:
            order = {code: place for place, code in enumerate(self.state.scope.instances)}
            told = ", ".join(sorted(fallen, key=lambda code: order[code])) if len(fallen) < MOST_NAMED else f"{len(fallen)} steps"
            self.notice("note", f"{why}: {told} to be done again{self._new(rows)}")
        return tuple(fallen)

    def _meant(self, row: Undoing, about: About) -> bool:
        return (
            (not row.item or row.item in about.kinds)
            and (not row.test or not about.test or row.test in (about.test, about.test_side))
            and (not row.once_done or any(self._done(which) for which in row.once_done))
        )

    def _done(self, which: Which) -> bool:
        here = self.state.scope.by_step.get(which.step, ())
        return any(one.code in self.state.done and one.side in ("", which.side or one.side) for one in here)

    def _falls(self, row: Undoing, one: Instance) -> bool:
        """Whether this instance is still of use to anybody."""
        if row.guarded:
            return still_guards(self.state, one)
        here, done = self.state.scope.by_step, self.state.done
        return not any(other.code in done for step in row.until for other in here.get(step, ()) if belong_together(one, other))

    @staticmethod
    def _new(rows: Iterable[Undoing]) -> str:
        new = dict.fromkeys(row.new for row in rows if row.new)
        return f". New: {'; '.join(new)}" if new else ""

    # the exchanger

    def describe(self, exchanger: Exchanger | None, scope: Scope | None = None) -> None:
        """Take the exchanger of a file, as the record has found it (or a bare scope), as the one the job is about; ticks stay."""
        if exchanger is not None:
            tubes = all_to_plug(exchanger, self.state.found)
            exchanger = as_found(exchanger, self.state.found)
            try:
                scope = scope_of(replace(exchanger, to_plug=tubes))
            except (FlagError, ScopeError) as bad:
                self.notice("stop", f"the file of entry {self.event.number} cannot be used for the order of work: {bad}")
                return
        if scope is not None:
            self.state.exchanger, self.state.scope, self.state.needs = exchanger, scope, needs(scope)
            self.state.done = {code for code, tick in self.state.steps.items() if tick.stand == "done" and code in scope.instances}
            self.gather_rows()
            fill_in(self)

    def found_changed(self) -> None:
        """What events say about the exchanger changed its lists: the steps for them come to be, or go."""
        self.stale_lists = False
        if self.state.file_text and (base := exchanger_of(self.state.file_text)) is not None:
            self.describe(base)

    def gather_rows(self) -> None:
        """The rows of undoing that count for these letters and options, by event."""
        self._rows, self._guards, self.bolting = {}, {}, {}
        for row in undoings():
            if row.when.holds(self.state.scope.flags):
                for name in row.events:
                    self._rows[name] = (*self._rows.get(name, ()), row)

    def close(self) -> None:
        """The last look, once every entry is read."""
        from boxup.job.proof import joint_words

        state = self.state
        if self.stale_lists:
            self.found_changed()
        for joint in state.joints.values():
            joint.not_pulled_up = reasons(state, joint) if joint.rounds or joint.weeping else ()
        if state.exchanger is not None:
            state.exchanger = as_found(exchanger_of(state.file_text) or state.exchanger, state.found)
        joint_words(state)


def _belongs(one: Instance, which: Which, about: About) -> bool:
    """Whether a step instance is one of those meant."""
    if which.side and one.side not in ("", which.side):
        return False
    if not which.of or one.item is None:
        return True
    if which.of == "side":
        return not about.side or one.side in ("", about.side)
    if which.of == "item":
        ids = about.whole if which.step == "BOLTREC" and about.whole else about.ids  # one record for all joints on the same studs
        return not ids or one.item.id in ids or (one.item.list != "joints" and one.item.of in ids)
    return one.item.kind == which.of


@lru_cache(maxsize=8)
def exchanger_of(text: str) -> Exchanger | None:
    """The exchanger of a file text; None where it has errors."""
    return read(text)[0]


def _empty(job: str, scope: Scope | None) -> JobState:
    start = scope or scope_of_letters("AES")
    return JobState(job, None, start if scope else replace(start, letters="?"), {}, Shifts())
