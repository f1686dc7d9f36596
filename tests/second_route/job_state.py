"""Where a job stands, by a second route: slow, plain, from the tables, with nothing of the fold, the live answer or the proof.

`state_of(events)` tells the whole story from its first entry. It takes from the package only what a step is and what it waits for
(`scope_of`, `needs`, `belong_together`), the reader of the exchanger file, of a condition and of the test sheet; the tables of undoing
and of freshness it reads itself. It knows what is done, what is pulled up and what has run out; it says nothing about findings.

Where the fold goes another way than its specification says, that way has a name (`FOLD_WAYS`). Told with `ways=FOLD_WAYS` this route
goes with the fold, so that a known difference does not hide an unknown one; told without, it goes by the specification.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass, field, replace
from datetime import date, datetime, time, timedelta
from functools import cache
from itertools import pairwise
from pathlib import Path

import boxup.job
from boxup.core.quantity import Quantity
from boxup.exchanger.file import read
from boxup.hydro.plan import plan_of
from boxup.hydro.sheet import test_sheet
from boxup.job.condition import parse
from boxup.job.lists import scope_of
from boxup.job.plugs import other_end
from boxup.job.rules import belong_together, needs
from boxup.repair.faces import face_verdict

TABLES = Path(boxup.job.__file__).parent / "data"
FOLD_WAYS = {
    "asked late": "whether a joint is pulled up is asked again by a pass, a gap, a weep, a face, a bad tool, the last stud of a pass",
    "paper weep": "after a weep, a joint without passes on record is not accepted on paper any more",
    "weep keeps": "while a joint weeps, what it was pulled with is kept whatever falls",
    "end of the pass": "what a bad tool pulled is counted by the end of the whole pass",
    "last half": "of a round after the wait in two parts only the last part waits",
    "broken once": "of two joints on the same studs, opened as found, only the first is broken",
    "to begin": "a step with one name, or ticked and not accepted, is still to begin",
    "begun late": "passes begin a bolting step only where they are the first, and of a girth joint only its snug step",
    "lost tick": "a start told after a tick that waits for its second name takes the tick away",
    "row by row": "what a check still guards is looked at before the row has done its work",
    "returned": "the check of a tool handed back runs out with the shift",
    "zone": "the hours of the shift are those of the zone an entry was typed in",
    "since": "a tool found bad undoes paper from before it was last good",
    "bare blind": "with bare letters a test blind that goes in takes back that the process blinds came out",
}
BOLTING = ("GIRTH_TORQ", "FH_TORQ", "FH_ON_T", "CC_ON", "SC_ON", "REAR_LMN", "P_COVER", "W_REAR", "NOZ_TORQ", "STACK_S", "STACK_T")
GASKETS = ("GKT_SHELLTS", "GKT_CHTS", "GKT_CC", "GKT_FH", "GKT_SC")
LOADED = ("pass 1", "pass 2", "pass 3", "round", "round after the wait")  # these load the studs, each of them on every stud
WAIT = timedelta(hours=4)
KIND_OF_TEST = {"B": "bench", "S1": "bare ends", "T": "tube", "S2": "final shell"}
SIDE_OF_TEST = {"bench": "tube", "bare ends": "shell", "tube": "tube", "final shell": "shell"}
STEP_OF_TEST = {"bench": "BENCH", "bare ends": "STEST1", "tube": "TTEST", "final shell": "STEST2"}
COUNTS = {"FME_SHELL": "shell", "FME_CHAN": "channel", "FME_REAR": "rear head", "FME_SC": "shell-cover space"}
# What says that a side is empty again, by the fill that made it full; first the drain of the test itself.
DRAINS = {"FILL_B": ("BENCH_DRAIN",), "FILL_S1": ("STEST1_DRAIN", "DRAINDRY@shell"), "FILL_T": ("TTEST_DRAIN", "DRAINDRY@tube"),
          "FILL_S2": ("DRAINDRY@shell",)}  # fmt: skip
ITEM_WORDS = ("joint", "gasket", "blind", "nozzle", "tube", "opening", "tool", "test", "lift")
NAMED_IN = {"joint": ("joint", ("joints", "nozzles", "openings")), "gasket": ("joint", ("joints", "nozzles")),
            "face": ("joint", ("joints", "nozzles")), "blind": ("blind", ("blinds",)),
            "tube": ("tube", ("tubes",)), "plug": ("tube", ("tubes",)),
            "test": ("test", ("tests",)), "water": ("test", ("tests",))}  # fmt: skip


# which entries stand, and in which order they are told


def stands(event, events) -> bool:
    """An entry stands until one that stands strikes it."""
    corrections = [e for e in events if e.corrects]
    striking = [later for later in corrections if later.number > event.number and event.id in struck_by(later, events)]
    return not any(stands(later, events) for later in striking)


def struck_by(event, events) -> set[str]:
    """What an entry that stands strikes: the one it corrects, and every earlier correction of that one."""
    aim = next((e for e in events if e.id == event.corrects and e.number < event.number), None)
    if aim is None:
        return set()
    return {aim.id} | {e.id for e in events if e.corrects == aim.id and aim.number < e.number < event.number}


def told(events) -> list:
    """The entries that stand in the order in which things happened; the opening entry first."""
    mended = {e.id for c in events if c.corrects for e in events if e.id in (c.id, c.corrects)}
    kept = [e for e in events if e.kind != "record.withdrawn" and (e.id not in mended or stands(e, events))]
    return sorted(kept, key=lambda e: (e.kind != "job.opened", e.happened_at, e.number))


def person(name: str) -> str:
    """One man is one, with or without capitals, dots and blanks."""
    return "".join(name.casefold().replace(".", "").split())


# the tables


@cache
def table(name: str) -> tuple[dict[str, str], ...]:
    return tuple(csv.DictReader((TABLES / name).read_text(encoding="utf-8").splitlines()))


@cache
def fresh(step: str) -> tuple[str, frozenset[str]] | None:
    return next(((row["expires"], frozenset(row["guards"].split())) for row in table("freshness.csv") if row["step"] == step), None)


@cache
def events_of(text: str) -> tuple[str, ...]:
    """`joint.weeped joint.weeped again` is two: a word without a point belongs to the one before it."""
    found: list[str] = []
    for word in text.split():
        found = [*found, word] if "." in word else [*found[:-1], f"{found[-1]} {word}"]
    return tuple(found)


@dataclass(frozen=True)
class Named:
    """`CODE`, `CODE:joint`, `CODE:side`, `CODE:floating head`, `CODE@shell`."""

    step: str
    of: str
    side: str

    @classmethod
    def read(cls, text: str) -> Named:
        bare, _, side = text.strip().partition("@")
        step, _, of = bare.partition(":")
        return cls(step, of, side)


@dataclass(frozen=True)
class Row:
    """A line of `undoing.csv`."""

    item: str
    test: str
    once: tuple[Named, ...]
    undoes: tuple[Named, ...]
    guarded: bool
    until: tuple[str, ...]


def rows_of(event: str, scope) -> tuple[Row, ...]:
    """Rows about an event on this exchanger."""
    return of_scope(scope, event, lambda: tuple(_rows_of(event, scope)))


def _rows_of(event: str, scope):
    for row in table("undoing.csv"):
        if event in events_of(row["event"]) and parse(row["when"]).holds(scope.flags):
            once = tuple(Named.read(text) for text in row["once_done"].split())
            undoes = tuple(Named.read(text) for text in row["undoes"].split(";"))
            yield Row(row["item"], row["test"], once, undoes, row["guarded"] == "yes", tuple(row["until"].split()))


_kept: dict[int, tuple] = {}  # a scope has no hash: kept by its identity, together with what was worked out for it


def of_scope(scope, name: str, make):
    """Worked out once for each scope, to save time only."""
    _, found = _kept.setdefault(id(scope), (scope, {}))
    if name not in found:
        found[name] = make()
    return found[name]


@cache
def exchanger_of(text: str):
    return read(text)[0]


@cache
def sheet_of(text: str) -> dict[str, tuple[float | None, float | None, float | None]]:
    """By test: gauge pressure in MPa, least metal temperature in °C, hold in minutes."""
    found = {}
    for test in plan_of(exchanger_of(text)):
        values = test_sheet(exchanger_of(text), test, volume=None).values
        gauge, least, hold = (values[key].si if key in values else None for key in ("gauge_pressure", "least_temperature", "hold"))
        found[test.code] = (gauge and gauge / 1e6, least and least - 273.15, hold and hold / 60)
    return found


_scopes: dict[tuple, object] = {}


def scope_with(exchanger, to_plug: tuple[str, ...]):
    key = (id(exchanger), to_plug)
    if key not in _scopes:
        _scopes[key] = scope_of(replace(exchanger, to_plug=to_plug))
    return _scopes[key]


# the job


@dataclass
class About:
    """What an entry is about. `kinds`: kinds of the item, or the word itself. `ids`: the items, `whole`: with what is on the same studs."""

    kinds: set[str] = field(default_factory=set)
    ids: set[str] = field(default_factory=set)
    whole: set[str] = field(default_factory=set)
    sides: set[str] = field(default_factory=set)
    test: str = ""


@dataclass
class Tick:
    """What was signed, and by whom; it counts when there are names enough and the record says nothing else."""

    at: datetime
    by: str
    second: str = ""
    paper: str = ""


@dataclass
class Put:
    """One entry about a pass. `studs` empty: all."""

    name: str
    by: str
    studs: tuple[int, ...]
    dry: tuple[int, ...]
    tool: str
    began: datetime
    ended: datetime
    moved: int | None = None
    start_said: bool = False
    good: bool = True


@dataclass
class Joint:
    """A set of studs. `puts`: its passes in this make-up; `touched`: somebody has had hands on it."""

    ids: tuple[str, ...]
    kind: str = ""
    count: int | None = None
    lubricant: str = ""
    tool: str = ""
    sides: frozenset[str] = frozenset()
    puts: list[Put] = field(default_factory=list)
    gaps: bool = False
    grade: str = ""
    studs_bad: bool = False  # seen mixed, other than listed, or some rejected
    uneven: bool = False  # the gap read last differs by more than 1.5 mm: put right before anybody goes on
    touched: bool = False
    off: bool = False
    weeps: int = 0
    weeping: bool = False


@dataclass
class Try:
    """One attempt of a test."""

    began: datetime
    stamp: int = -1  # of the joints and tubes as they stood at the last reading
    lacks: bool = False
    readings: list = field(default_factory=list)
    verdict: str = ""
    ended: datetime | None = None
    held: float = 0.0
    paper: bool = False
    down: bool = False  # let down to 0: raised again it is another one


class Job:
    """Everything that was told so far, in dictionaries."""

    def __init__(self, scope, ways=()) -> None:
        self.scope = scope
        self.ways = frozenset(ways)
        self.exchanger = None
        self.text = ""
        self.zone = None
        self.ends = (time(6), time(18))
        self.changes: list[datetime] = []
        self.to_plug: list[str] = []
        self.ticks: dict[str, Tick] = {}
        self.done: dict[str, datetime] = {}
        self.once: set[str] = set()  # ticked at any time
        self.begun: set[str] = set()
        self.refusals: dict[str, set[tuple[str, str]]] = {}
        self.joints: dict[str, Joint] = {}
        self.weeps_now: Joint | None = None
        self.marks: set[tuple[str, str, str]] = set()
        self.stamp = 0  # goes up with every joint opened or pulled anew, and with work on a tube
        self.received: dict[str, str] = {}
        self.lies_in: dict[str, str] = {}  # the gasket item last put into each joint
        self.went_into: dict[str, str] = {}  # the joint of each item that is not out again
        self.wrong_gasket: set[str] = set()
        self.loaded: set[str] = set()
        self.used: set[str] = set()
        self.good_until: dict[str, date] = {}
        self.bad: set[str] = set()
        self.returned: set[str] = set()
        self.inside: dict[tuple[str, str], int] = {}
        self.pressure: dict[str, float] = {}
        self.tries: dict[str, list[Try]] = {}
        self.roles: dict[str, tuple[str, bool, datetime]] = {}  # of a tick: in which role, whether a figure was read, when
        self.engineers: dict[str, list[datetime]] = {}  # steps an engineer accepted, and when
        self.ends_plugged: dict[str, set[str]] = {}
        self.to_put_right: dict[str, str] = {}
        self.begin_lists()

    def goes(self, way: str) -> bool:
        """Whether this route goes the fold's way here."""
        assert way in FOLD_WAYS
        return way in self.ways

    def begin_lists(self) -> None:
        """Steps, needs and joints of the exchanger as it is known now."""
        if self.exchanger is not None:
            told_too = tuple(t for t in self.to_plug if t not in self.exchanger.to_plug)
            self.scope = scope_with(self.exchanger, self.exchanger.to_plug + told_too)
        self.needs = of_scope(self.scope, "needs", lambda: needs(self.scope))
        for item in self.scope.items:
            if item.list in ("joints", "nozzles") and item.id not in self.joints:
                self.joints[item.id] = self.joints.get(item.of or "") or Joint((item.id,), item.kind)
        for id_, joint in self.joints.items():
            joint.ids = tuple(other for other in self.joints if self.joints[other] is joint)
            self.fill_in(id_, joint)

    def fill_in(self, id_: str, joint: Joint) -> None:
        both = {"shell", "tube"} if joint.kind == "floating head" else set()
        here = [i for i in self.scope.items if i.list in ("joints", "nozzles") and i.id in joint.ids]
        joint.sides = frozenset({i.side for i in here if i.side} | both)
        if self.exchanger is None:
            return
        for one in self.exchanger.joints:
            if one.id == id_ and one.studs:
                joint.count = round(one.studs.count.si)
                joint.lubricant = joint.lubricant or one.studs.lubricant or ""
                joint.grade = joint.grade or one.studs.grade
                joint.tool = one.studs.tool or ""
        for one in self.exchanger.nozzles:
            if one.id == id_:
                joint.count = round(one.studs.si) if one.studs else None
                joint.lubricant = joint.lubricant or one.lubricant or ""
                joint.grade = joint.grade or one.stud_grade

    def joint(self, name: str) -> Joint:
        """With bare letters the kind stands for the joint."""
        if name not in self.joints:
            if self.scope.items:
                raise LookupError(name)
            self.joints[name] = Joint((name,), name)
        return self.joints[name]

    # what is asked

    @property
    def all_done(self) -> set[str]:
        return {code for code in self.done if code in self.scope.instances}

    @property
    def pulled_up(self) -> set[str]:
        """Joints by the id of their studs, by what was entered of their passes; a tick alone is not in it."""
        owners = {joint.ids[0]: joint for joint in self.joints.values()}
        return {id_ for id_, joint in owners.items() if joint.puts and self.is_pulled(joint)}

    def missing(self, code: str, at: datetime) -> set[str]:
        """What a step waits for at that moment: not done, standing on nothing, or too old for it."""
        return {
            need.step
            for need in self.needs[code]
            if (need.step not in self.all_done and not self.let_down(need.step, code))
            or (need.step in self.all_done and self.grave(need) and not self.sound(need.step, {}))
            or self.is_stale(need.step, code, at)
        }

    @staticmethod
    def grave(need) -> bool:
        return need.rule.hold or need.rule.kind != "quality"

    def sound(self, code: str, known: dict[str, bool]) -> bool:
        """Whether all that a done step stands on is done, or was once where it is a check of the moment, and stands itself."""
        if code not in known:
            known[code] = all(
                self.bears(need.step, known) or self.let_down(need.step, code) for need in self.needs[code] if self.grave(need)
            )
        return known[code]

    def let_down(self, test: str, code: str) -> bool:
        """A test that failed is over too: its side may be drained."""
        kind = next((kind for kind, step in STEP_OF_TEST.items() if step == test.partition(":")[0]), "")
        tried = self.tries.get(kind)
        drains = {text.partition("@")[0] for texts in DRAINS.values() for text in texts}
        return bool(tried) and tried[-1].verdict == "failed" and code.partition(":")[0] in drains

    def bears(self, code: str, known: dict[str, bool]) -> bool:
        if code in self.all_done:
            return self.sound(code, known)
        waits = code in self.ticks or self.refusals.get(code)
        return fresh(code.partition(":")[0]) is not None and code in self.once and not waits

    def is_stale(self, code: str, guarded: str, at: datetime) -> bool:
        row = fresh(code.partition(":")[0])
        if row is None or code not in self.done or guarded.partition(":")[0] not in row[1]:
            return False
        if code.partition(":")[2] in self.returned and not self.goes("returned"):
            return False
        ticked = self.done[code]
        if ticked > at:
            return True  # of that moment there is no tick
        if row[0] == "shift":
            return self.shift_end(ticked) <= at
        return at > ticked + timedelta(minutes=int(row[0]))

    def shift_end(self, after: datetime) -> datetime:
        """The next end by the clock, or the next change on record, whichever comes first."""
        here = after.astimezone(self.zone) if self.zone and not self.goes("zone") else after
        clock = [datetime.combine(here.date() + timedelta(days=n), end, here.tzinfo) for n in (0, 1) for end in self.ends]
        return min(moment for moment in (*clock, *self.changes) if moment > after)

    # steps

    def named(self, code: str) -> list:
        """A code as it was typed: one instance, or all of them; nothing where there is no such step."""
        bare, _, item = code.partition(":")
        group = self.scope.by_step.get(bare.strip().upper(), ())
        return [one for one in group if not item or (one.item and one.item.id.casefold() == item.strip().casefold())]

    def of(self, step: str, item: str) -> list:
        """The instance for an item, or the step that stands once."""
        return [one for one in self.scope.by_step.get(step, ()) if one.item is None or one.item.id == item]

    def meant_by(self, named: Named) -> list:
        return [one for one in self.scope.by_step.get(named.step, ()) if not named.side or one.side in ("", named.side)]

    def fall(self, code: str) -> None:
        for kept in (self.ticks, self.done):
            kept.pop(code, None)
        self.begun.discard(code)

    def tick(self, one, at: datetime, by: str, second: str = "", paper: str = "") -> None:
        code = one.code
        before = self.ticks.get(code)
        self.ticks[code] = Tick(at, by, second, paper or (before.paper if before else ""))
        self.begun.add(code)
        self.hands_on(one, at, by)
        self.settle(code)

    def hands_on(self, one, at: datetime, by: str) -> None:
        """What a tick says beside itself: water is in again, a joint is off, a gasket is under load."""
        step = one.step.code
        joint = self.joints.get(one.item.id) if one.item else None
        if step in DRAINS:
            for text in DRAINS[step]:
                for drain in self.meant_by(Named.read(text)):
                    self.fall(drain.code)
        if step in STEP_OF_TEST.values():
            test = next(kind for kind, of in STEP_OF_TEST.items() if of == step)
            self.on_paper(test, at)
        if step in ("BLIND_IN", "TBLIND_S", "TBLIND_T"):
            self.blind_in_again(one, step)
        if joint and step == "BREAK" and not joint.off:
            if joint.touched:  # closed since: that is opening it
                self.undo("joint.opened", self.about_joint(joint), "step.done")
            self.open(joint)
        if joint and step in (*BOLTING, *GASKETS):
            joint.touched, joint.off = True, False

    def blind_in_again(self, one, step: str) -> None:
        """In again: its line is not signed out any more."""
        outs = (
            ("BLIND_OUT", "TBLIND_OUT") if one.item or self.goes("bare blind") else ("BLIND_OUT" if step == "BLIND_IN" else "TBLIND_OUT",)
        )
        for out in outs:
            self.fall_all(other.code for other in self.of(out, one.item.id if one.item else ""))

    def on_paper(self, kind: str, at: datetime) -> None:
        tried = self.tries.setdefault(kind, [])
        if not tried or tried[-1].verdict:
            tried.append(Try(at))
        tried[-1].verdict, tried[-1].ended, tried[-1].paper = "passed", at, True

    def settle(self, code: str) -> None:
        """Done: two names where it needs two, and nothing on record against it."""
        tick, one = self.ticks.get(code), self.scope.instances.get(code)
        self.done.pop(code, None)
        if tick is None or one is None:
            return
        names = {person(name) for name in (tick.by, tick.second)} - {""}
        if len(names) >= one.step.names and not self.says_otherwise(one, tick):
            self.done[code] = tick.at
            self.once.add(code)

    def says_otherwise(self, one, tick: Tick) -> bool:
        step, item = one.step.code, one.item.id if one.item else ""
        joint = self.joints.get(item)
        if self.refusals.get(one.code):
            return True
        if step == "THRUST_OK":
            role, read, at = self.roles.get(one.code, ("", False, tick.at))
            engineer = role == "engineer" or any(signed >= at for signed in self.engineers.get(one.code, ()))
            return not engineer or not (read or tick.paper)
        if joint and step in (*BOLTING, "BOLTREC"):
            return self.against_bolting(joint, step, tick)
        if step in GASKETS:
            return item in self.wrong_gasket
        if step == "INSP_FACE":
            return any(id_ == item for id_, *_ in self.marks)
        if step in COUNTS:
            return any(n > 0 for (space, _), n in self.inside.items() if space == COUNTS[step])
        if step == "TOOLCAL" and item not in self.returned:
            return self.out_of_date(item, tick.at)
        return self.against_test(one, tick)

    def against_bolting(self, joint: Joint, step: str, tick: Tick) -> bool:
        if joint.puts:
            return not self.is_pulled(joint)
        if step == "BOLTREC":
            papers = [self.ticks[code].paper for code in self.bolting_of(joint) if code in self.ticks]
            return bool(self.bolting_of(joint)) and not tick.paper and not any(papers)
        return self.marked(joint) or (joint.weeping and self.goes("paper weep"))

    def marked(self, joint: Joint) -> bool:
        return any(id_ in joint.ids for id_, *_ in self.marks)

    def against_test(self, one, tick: Tick) -> bool:
        step = one.step.code
        if step in STEP_OF_TEST.values():
            kind = next(kind for kind, of in STEP_OF_TEST.items() if of == step)
            last = (self.tries.get(kind) or [None])[-1]
            return bool(last) and not last.paper and (last.lacks or self.lacks(kind, last, tick))
        letter = {"PUNCH": "A", "STARTUP": "B"}.get(step)
        if letter:
            return letter in self.to_put_right.values()
        return self.drain_of(one) and any(self.pressure.get(kind, 0) > 0 for kind in self.drain_of(one))

    def drain_of(self, one) -> list[str]:
        """The tests whose water a step lets out."""
        kinds = {"BENCH_DRAIN": ["bench"], "STEST1_DRAIN": ["bare ends"], "TTEST_DRAIN": ["tube"]}
        if one.step.code == "DRAINDRY":
            return ["final shell"] if one.side in ("", "shell") else []
        return kinds.get(one.step.code, [])

    def lacks(self, kind: str, tried: Try, tick: Tick) -> bool:
        """A pass without pressure, hold or warmth on record, or without the inspector, is none."""
        if tried.verdict == "failed" or not any(pressure > 0 for _, pressure, _ in tried.readings):
            return True
        code = next(c for c, k in KIND_OF_TEST.items() if k == kind)
        gauge, least, hold = sheet_of(self.text).get(code, (None, None, None)) if self.text else (None, None, None)
        up = [at for at, pressure, _ in tried.readings if gauge and pressure >= 0.99 * gauge]
        held = max(self.held(tried, gauge), tried.held)
        cold = [degc for _, _, read in tried.readings for degc in read]
        named = person(self.exchanger.identity.inspector) if self.exchanger else ""
        return (
            (gauge is not None and (not up or (hold is not None and held < hold - 0.5)))
            or (least is not None and any(degc < least for degc in cold))
            or bool(named and named not in {person(name) for name in (tick.by, tick.second)})
        )

    def held(self, tried: Try, gauge: float | None) -> float:
        """The longest time between readings at the test pressure with none below it between, in minutes."""
        longest, since = 0.0, None
        for at, pressure, _ in tried.readings:
            if gauge is None or pressure < 0.99 * gauge:
                since = None
                continue
            since = since or at
            longest = max(longest, (at - since).total_seconds() / 60)
        return longest

    def review(self) -> None:
        """After every entry: what waited for something may count now, and passes on record speak for or against their joint."""
        late = (*BOLTING, "BOLTREC") if self.goes("asked late") else ()
        for code in [code for code in self.ticks if code not in self.done and code.partition(":")[0] not in late]:
            self.settle(code)
        if late:
            return
        for joint in {id(j): j for j in self.joints.values() if j.puts or self.marked(j) or j.weeping}.values():
            self.ask(joint)

    def ask(self, joint: Joint) -> None:
        for code in (*self.bolting_of(joint), *(one.code for id_ in joint.ids for one in self.of("BOLTREC", id_))):
            self.settle(code)

    def to_begin(self, code: str) -> bool:
        if self.goes("to begin"):
            return code not in self.done and (code not in self.begun or code in self.ticks)
        return code not in self.done and code not in self.begun

    def still_of_use(self, one) -> bool:
        """Whether a step that this check guards, and that waits for it, is still to begin."""
        row = fresh(one.step.code)
        return row is not None and any(
            self.to_begin(other.code) and any(need.step == one.code for need in self.needs[other.code])
            for step in row[1]
            for other in self.scope.by_step.get(step, ())
        )

    # joints

    def bolting_of(self, joint: Joint) -> list[str]:
        return [one.code for one in self.bolting() if (one.item.id in joint.ids if one.item else one.step.kind == joint.kind)]

    def bolting(self) -> list:
        return [one for code in BOLTING for one in self.scope.by_step.get(code, ())]

    def of_pass(self, joint: Joint, name: str) -> list[Put]:
        """The entries of a pass since it was last begun anew on every stud."""
        puts = [put for put in joint.puts if put.name == name]
        whole = [n for n, put in enumerate(puts) if self.every_stud(joint, set(put.studs) or self.all_studs(joint))]
        return puts[whole[-1] :] if whole else puts

    def all_studs(self, joint: Joint) -> set[int]:
        return set(range(1, (joint.count or 0) + 1))

    def every_stud(self, joint: Joint, studs: set[int]) -> bool:
        return self.all_studs(joint) <= studs

    def is_pulled(self, joint: Joint) -> bool:
        names = {put.name for put in joint.puts}
        return (
            bool(joint.count and joint.gaps and {"four snug", "all snug", "verify", *LOADED} <= names)
            and not (joint.uneven or joint.studs_bad)
            and not (self.marked(joint) or joint.weeping or self.wrong_gasket & set(joint.ids))
            and self.all_there(joint, "all snug")
            and all(self.whole(joint, name) for name in LOADED)
            and self.in_order(joint)
            and self.waited(joint)
            and self.second_man(joint)
        )

    def in_order(self, joint: Joint) -> bool:
        ends = [max(n for n, put in enumerate(joint.puts) if put.name == name) for name in (*LOADED, "verify")]
        return all(joint.puts[one].ended <= joint.puts[other].ended for one, other in pairwise(ends))

    def whole(self, joint: Joint, name: str) -> bool:
        """A pass on every stud, no thread dry, nothing wrong with tool, tin or hour."""
        puts = self.of_pass(joint, name)
        got: set[int] = set()
        dry: set[int] = set()
        for put in puts:
            studs = set(put.studs) or self.all_studs(joint)
            got |= studs
            dry = (dry - studs) | set(put.dry)
        return bool(puts) and self.every_stud(joint, got) and not dry and all(put.good for put in puts)

    def waited(self, joint: Joint) -> bool:
        """Every part of the round after the wait began four hours after the round was through."""
        through = [put.ended for put in joint.puts if put.name == "round"][-1]
        parts = self.of_pass(joint, "round after the wait")
        if self.goes("last half"):
            parts = ([put for put in parts if put.start_said] or parts[:1])[-1:]
        return all(put.began - through >= WAIT for put in parts)

    def second_man(self, joint: Joint) -> bool:
        rounds = [self.of_pass(joint, name) for name in ("round", "round after the wait")]
        pulled = {person(put.by) for puts in rounds for put in puts}
        looks = [put for put in joint.puts if put.name == "verify"]
        moved = [put.moved for put in looks if put.moved is not None]
        return bool(looks) and person(looks[-1].by) not in pulled and not (moved and moved[-1])

    # one entry

    def tell(self, event) -> None:
        try:
            if event.kind == "joint.opened":
                self.break_as_found(event)
            if event.kind in ("tube.plugged", "plug.leaks") and self.exchanger is not None:
                self.on_tube_to_plug(event)
                if event.payload.get("ends") == "rear" and self.scope.flags["rear"] == "U":
                    return  # a U-tube has no rear end: the entry makes no sense
            for name, about in self.acts_as(event):
                self.undo(name, about, event.kind)
            act = getattr(self, "on_" + event.kind.replace(".", "_"), None)
            if act:
                act(event)
        except LookupError:
            pass  # an entry that makes no sense is a finding; it changes nothing
        self.review()

    def acts_as(self, event):
        """What an entry is called in the table, and what it is about: its kind, or what follows from it."""
        said, about = event.payload, self.about(event)
        self.weeps_now = self.joint(said["joint"]) if event.kind == "joint.weeped" else None
        name = {
            "joint.weeped": lambda: "joint.weeped again" if self.joint(said["joint"]).weeps else "joint.weeped",
            "test.result": lambda: "test.result failed" if said["verdict"] == "failed" else "",
            "face.judged": lambda: "face.judged to repair" if said["verdict"] == "to repair" else "",
            "water.chloride_read": lambda: "water.chloride_read high" if self.too_much_chloride(said) else "",
            "water.froze": lambda: "water.froze" if self.water_in() else "",
            "bundle.pulled": lambda: "" if self.first_pull() else "bundle.pulled",
        }.get(event.kind, lambda: event.kind)()
        yield name, about
        if event.kind in ("joint.opened", "gasket.wrong") and self.behind_the_tubesheet(said["joint"]):
            yield "gasket.lost_load", about

    def behind_the_tubesheet(self, id_: str) -> bool:
        return id_ in self.joints and self.joints[id_].ids[0] != id_

    def first_pull(self) -> bool:
        return not any(one.code in self.done for step in ("PULL", "INSERT") for one in self.scope.by_step.get(step, ()))

    def too_much_chloride(self, said) -> bool:
        side = SIDE_OF_TEST.get(self.kind_of_test(said["test"]), "")
        model = self.exchanger and {"shell": self.exchanger.shell_side, "tube": self.exchanger.tube_side}.get(side)
        limit = model and model.chloride_limit_mg_per_l
        return bool(limit) and said["chloride_mg_l"] > limit.si

    def water_in(self) -> bool:
        """By the record a side is full: filled, and not drained since."""
        filled = [drains for fill, drains in DRAINS.items() for one in self.scope.by_step.get(fill, ()) if one.code in self.done]
        return any(not self.drained(drains) for drains in filled)

    def drained(self, drains: tuple[str, ...]) -> bool:
        return any(one.code in self.done for text in drains for one in self.meant_by(Named.read(text)))

    # undoing

    def undo(self, name: str, about: About, kind: str) -> None:
        rows = [row for row in rows_of(name, self.scope) if self.acts(row, about)]
        named = [(row, one) for row in rows for which in row.undoes for one in self.scope.by_step.get(which.step, ())
                 if self.meant(which, one, about, name)]  # fmt: skip
        if self.goes("row by row"):
            fallen = {one.code for row, one in named if not self.spared(row, one) and self.falls_now(one)}
        else:
            fallen = {one.code for row, one in named if not row.guarded and not self.spared(row, one) and self.falls_now(one)}
            while more := {one.code for row, one in named if row.guarded and one.code in self.ticks and not self.spared(row, one)}:
                self.fall_all(more)
                fallen |= more
        meant = set() if self.goes("weep keeps") else {one.code for _, one in named}
        self.let_go(kind, fallen, meant)

    def falls_now(self, one) -> bool:
        """Whether it had been begun at all; it falls in either case."""
        was = one.code in self.begun or one.code in self.ticks
        self.fall(one.code)
        return was

    def fall_all(self, codes) -> None:
        for code in codes:
            self.fall(code)

    def acts(self, row: Row, about: About) -> bool:
        if row.item and row.item not in about.kinds:
            return False
        if row.test and about.test and row.test not in (*(c for c, k in KIND_OF_TEST.items() if k == about.test), SIDE_OF_TEST[about.test]):
            return False
        return not row.once or any(one.code in self.done for which in row.once for one in self.meant_by(which))

    def spared(self, row: Row, one) -> bool:
        if row.guarded and not self.still_of_use(one):
            return True
        ended = [other for step in row.until for other in self.scope.by_step.get(step, ())]
        return any(other.code in self.done and belong_together(one, other) for other in ended)

    def meant(self, which: Named, one, about: About, name: str) -> bool:
        if which.side and one.side not in ("", which.side):
            return False
        if not which.of or one.item is None:
            return True
        if which.of == "side":
            return not about.sides or one.side in ("", *about.sides)
        if which.of not in ITEM_WORDS:
            return one.item.kind == which.of
        alone = name.startswith(("face.", "gasket.")) and which.step != "BOLTREC"
        ids = about.ids if alone else about.whole
        return not ids or (one.item.of if which.of == "gasket" else one.item.id) in ids

    def about(self, event) -> About:
        said = event.payload
        if event.kind == "count.short":
            return About({said["space"]})
        if event.kind == "test.over_pressure":
            return About({f"{said['side']} side"}, sides={said["side"]})
        if event.kind == "tool.bad":
            return self.about_tool(event)
        key, lists = NAMED_IN.get(event.kind.partition(".")[0], ("", ()))
        word = said.get(key, "")
        if key == "test":
            return self.about_test(self.kind_of_test(word)) if word else About()
        item = next((i for i in self.scope.items if i.list in lists and i.id == word), None)
        found = (
            About({item.kind if item else "tube" if key == "tube" else word}, {word}, {word}, {item.side} - {None} if item else set())
            if word
            else About()
        )
        if key == "joint" and word and not (item and item.list == "openings") and word != "small bore":
            found.whole, found.sides = set(self.joint(word).ids), set(self.joint(word).sides)
        if event.kind in ("joint.weeped", "plug.leaks"):
            found.test = self.test_it_was_on(said.get("test", ""), event.kind)
        return found

    def about_test(self, kind: str) -> About:
        ids = {i.id for i in self.scope.items if i.list == "tests" and i.kind == kind}
        return About({kind}, ids, ids, {SIDE_OF_TEST[kind]} if kind in SIDE_OF_TEST else set(), kind)

    def kind_of_test(self, test: str) -> str:
        return next((i.kind for i in self.scope.items if i.list == "tests" and i.id == test), KIND_OF_TEST.get(test, test))

    def test_it_was_on(self, said: str, kind: str) -> str:
        """Where nobody says which: the test that is on, or was on last."""
        if self.here(self.kind_of_test(said)):
            return self.kind_of_test(said)
        on = [test for test, pressure in self.pressure.items() if pressure > 0]
        if kind != "joint.weeped":
            return ""
        if len(on) == 1:
            return on[0]
        tried = [test for test in STEP_OF_TEST if self.tries.get(test)]
        return max(tried, key=lambda test: self.tries[test][-1].began) if tried else ""

    def here(self, kind: str) -> bool:
        return STEP_OF_TEST.get(kind, "") in self.scope.by_step

    def about_tool(self, event) -> About:
        """A bad tool is about what it pulled, or what was read on it, since it was last good."""
        tool = event.payload["tool"]
        text = event.payload.get("last_good_at", "")
        since = datetime.fromisoformat(text) if text else None
        kind = next((i.kind for i in self.scope.items if i.list == "tools" and i.id == tool), None)
        relief = self.exchanger and any(t.id == tool and t.kind == "relief valve" for t in self.exchanger.tools)
        kind = kind or ("gauge" if relief or tool == "gauge" else "bolting")
        ids = {tool}
        if kind == "bolting":
            ids |= {id_ for id_, joint in self.joints.items() if self.may_have_pulled(joint, tool, since)}
        else:
            ids |= {i.id for i in self.scope.items if i.list == "tests" and self.may_have_been_read(i, since)}
        return About({kind}, ids, ids)

    def may_have_pulled(self, joint: Joint, tool: str, since: datetime | None) -> bool:
        """By the passes on record; where there are none, by the tool the list names for the joint."""
        if any(put.tool for put in self.last_passes(joint)):
            return any(self.voided(joint, put, tool, since) for put in self.last_passes(joint))
        ticks = [self.ticks[code].at for code in self.bolting_of(joint) if code in self.ticks]
        late = since is None or not ticks or any(tick >= since for tick in ticks) or self.goes("since")
        return joint.tool == tool and late

    def last_passes(self, joint: Joint) -> list[Put]:
        return [put for name in {put.name for put in joint.puts} for put in self.of_pass(joint, name)]

    def voided(self, joint: Joint, put: Put, tool: str, since: datetime | None) -> bool:
        end = self.of_pass(joint, put.name)[-1].ended if self.goes("end of the pass") else put.ended
        return put.tool == tool and (since is None or end >= since)

    def may_have_been_read(self, item, since: datetime | None) -> bool:
        if since is None:
            return True
        tried = any(t.ended is None or t.ended >= since for t in self.tries.get(item.kind, ()))
        ticks = [tick.at for code, tick in self.ticks.items() if code.startswith("RV_") and code.endswith(f":{item.id}")]
        return tried or any(at >= since for at in ticks)

    def let_go(self, kind: str, fallen: set[str], meant: set[str]) -> None:
        """What else goes with a step that fell: the passes of a joint whose bolting fell, the gasket of a gasket step."""
        for joint in {id(j): j for j in self.joints.values()}.values():
            codes = set(self.bolting_of(joint))
            if joint.off or not (codes & fallen or (joint.puts and codes & meant)):
                continue
            if kind == "tool.bad":
                self.stamp += 1  # it is told in the passes it made
            elif joint is not self.weeps_now and not (joint.weeping and self.goes("weep keeps")):
                self.start_again(joint)
        for id_ in list(self.joints):
            fell = bool({f"{step}:{id_}" for step in GASKETS} & fallen)
            if fell and id_ in self.lies_in and kind != "gasket.removed":
                self.out(id_)
            if fell and kind in ("step.reopened", "gasket.removed", "gasket.lost_load"):
                self.unmade(self.joints[id_], kind)

    def unmade(self, joint: Joint, kind: str) -> None:
        """A gasket out of a joint that was pulled, or into it: all is as if it were opened."""
        codes = self.bolting_of(joint)
        if joint.puts or any(code in self.done for code in codes):
            self.start_again(joint)
            self.fall_all(codes)
            self.undo("joint.opened", self.about_joint(joint), kind)

    def start_again(self, joint: Joint) -> None:
        joint.puts, joint.gaps, joint.uneven = [], False, False
        self.stamp += 1

    def about_joint(self, joint: Joint) -> About:
        return About({joint.kind}, set(joint.ids), set(joint.ids), set(joint.sides))

    def open(self, joint: Joint) -> None:
        self.start_again(joint)
        joint.weeps, joint.weeping, joint.touched, joint.off = 0, False, True, True
        for id_ in joint.ids:
            held = id_ != joint.ids[0] and any(f"{step}:{id_}" in self.done for step in GASKETS)
            if id_ in self.lies_in and not held:
                self.out(id_)

    def out(self, id_: str) -> None:
        item = self.lies_in.pop(id_)
        self.went_into.pop(item, None)
        self.used.add(item)

    def break_as_found(self, event) -> None:
        """Who opens a joint that stands as found has broken it."""
        if any(i.list == "openings" and i.id == event.payload["joint"] for i in self.scope.items) or event.payload["joint"] == "small bore":
            return
        joint = self.joint(event.payload["joint"])
        if not joint.touched:
            for one in [one for id_ in (joint.ids[:1] if self.goes("broken once") else joint.ids) for one in self.of("BREAK", id_)]:
                self.tick(one, event.happened_at, event.by)

    # kinds of entries

    def on_job_opened(self, event) -> None:
        self.zone = event.happened_at.tzinfo
        if event.payload.get("shift_ends"):
            self.ends = tuple(time.fromisoformat(text) for text in event.payload["shift_ends"])
        self.on_job_file_revised(event)

    def on_job_file_revised(self, event) -> None:
        found = exchanger_of(event.payload["file"])
        if found is not None:
            self.exchanger, self.text = found, event.payload["file"]
            self.good_until = {t.id: date.fromisoformat(t.calibrated_until) for t in found.tools if t.calibrated_until} | self.good_until
            self.begin_lists()

    def on_shift_changed(self, event) -> None:
        self.changes.append(event.happened_at)

    def on_step_started(self, event) -> None:
        self.begin(one.code for one in self.named(event.payload["step"]))

    def begin(self, codes) -> None:
        for code in codes:
            self.begun.add(code)
            if code not in self.done and self.goes("lost tick"):
                self.ticks.pop(code, None)

    def on_step_done(self, event) -> None:
        said = event.payload
        for one in self.named(said["step"]):
            joint = self.joints.get(one.item.id) if one.item else None
            if joint and one.step.code in BOLTING and not joint.puts and not self.goes("paper weep"):
                joint.weeping = False  # corrected on paper
            if joint and one.step.code in BOLTING and one.code in self.done and joint.puts and self.is_pulled(joint):
                self.ticks[one.code].paper = said.get("paper", "") or self.ticks[one.code].paper  # its names are of who pulled
                continue
            self.roles[one.code] = (said.get("role", ""), bool(said.get("reading")), event.happened_at)
            self.tick(one, event.happened_at, event.by, said.get("second", ""), said.get("paper", ""))

    def on_step_seconded(self, event) -> None:
        for one in self.named(event.payload["step"]):
            tick = self.ticks.get(one.code)
            if tick and person(tick.by) != person(event.by):
                tick.second = event.by
                self.settle(one.code)

    def on_step_reopened(self, event) -> None:
        for one in self.named(event.payload["step"]):
            fallen = {one.code} if self.falls_now(one) else set()
            self.let_go(event.kind, fallen, {one.code})

    def on_hold_signed(self, event) -> None:
        """A refused hold stands until the same person accepts, or the inspector whom the file names."""
        role, named = event.payload["role"], self.exchanger.identity.inspector if self.exchanger else ""
        for one in self.named(event.payload["step"]):
            against = self.refusals.setdefault(one.code, set())
            mine = person(event.by)
            against -= {(r, by) for r, by in against if r == role and (by == mine or (role == "inspector" and mine == person(named)))}
            against |= {(role, mine)} if event.payload["verdict"] == "refused" else set()
            if role == "engineer" and event.payload["verdict"] == "accepted":
                self.engineers.setdefault(one.code, []).append(event.happened_at)
            self.settle(one.code)

    def on_joint_pass_done(self, event) -> None:
        said = event.payload
        began = min(event.happened_at, datetime.fromisoformat(said["started_at"])) if said.get("started_at") else event.happened_at
        put = Put(said["pass"], event.by, tuple(said.get("studs", ())), tuple(said.get("dry", ())), said.get("tool", ""), began,
                  event.happened_at, said.get("moved"), "started_at" in said)  # fmt: skip
        self.put(self.joint(said["joint"]), put, said)

    def on_joint_stud_done(self, event) -> None:
        said, at = event.payload, event.happened_at
        self.put(self.joint(said["joint"]), Put(said["pass"], event.by, (said["stud"],), (), said.get("tool", ""), at, at), said)

    def put(self, joint: Joint, put: Put, said) -> None:
        joint.touched, joint.off = True, False
        self.begin_bolting(joint)
        if self.under_pressure(joint):
            return  # it is told, and does not count
        put.good = (
            not self.tool_bad(put)
            and said.get("lubricant", joint.lubricant).strip().casefold().startswith(joint.lubricant.casefold())
            and not self.over_a_shift_change(joint, put, "stud" in said)
        )
        joint.puts.append(put)
        if joint.weeps == 1 and joint.count and self.whole(joint, "corrective"):
            joint.weeping = False
        if put.name in LOADED[:3]:
            self.loaded |= {self.lies_in[id_] for id_ in joint.ids if id_ in self.lies_in}
        if "stud" not in said or not self.goes("asked late") or (joint.count and self.all_there(joint, put.name)):
            self.judge(joint, put.ended, put.by)

    def begin_bolting(self, joint: Joint) -> None:
        codes = self.bolting_of(joint)
        if self.goes("begun late"):
            snug = [one.code for id_ in joint.ids for one in self.of("GIRTH_SNUG", id_) if joint.kind == "channel/shell joint"]
            codes = [] if joint.puts else snug or codes
        self.begin(code for code in codes if code not in self.done)

    def judge(self, joint: Joint, event_at: datetime, by: str) -> None:
        """What the passes on record close: the snug step, and when all is there the bolting step."""
        for one in self.scope.by_step.get("GIRTH_SNUG", ()):
            snug = joint.gaps and any(put.name == "four snug" for put in joint.puts) and self.all_there(joint, "all snug")
            if one.item and one.item.id in joint.ids and one.code not in self.done and snug:
                self.tick(one, event_at, by)
                self.begin(code for code in self.bolting_of(joint) if code not in self.done)
        if joint.puts and self.is_pulled(joint):
            for one in self.bolting():
                if one.code in self.bolting_of(joint) and one.code not in self.done:
                    self.tick(one, event_at, self.last(joint, "round after the wait").by, self.last(joint, "verify").by)
        self.ask(joint)

    def last(self, joint: Joint, name: str) -> Put:
        return [put for put in joint.puts if put.name == name][-1]

    def all_there(self, joint: Joint, name: str) -> bool:
        puts = [put for put in joint.puts if put.name == name]
        return bool(puts) and self.every_stud(joint, {s for put in puts for s in (put.studs or self.all_studs(joint))})

    def under_pressure(self, joint: Joint) -> bool:
        return any(p > 0 and (not joint.sides or SIDE_OF_TEST[kind] in joint.sides) for kind, p in self.pressure.items())

    def tool_bad(self, put: Put) -> bool:
        return put.tool in self.bad or self.out_of_date(put.tool, put.ended)

    def out_of_date(self, tool: str, at: datetime) -> bool:
        return tool in self.good_until and self.good_until[tool] < at.date()

    def over_a_shift_change(self, joint: Joint, put: Put, a_stud: bool) -> bool:
        """A pass that went over the change, with no stud of it written down."""
        written = any(p.name == put.name and len(p.studs) == 1 and p.began == p.ended for p in joint.puts)
        return not a_stud and not written and self.shift_end(put.began) <= put.ended - timedelta(seconds=1)

    def on_joint_gap_read(self, event) -> None:
        joint = self.joint(event.payload["joint"])
        joint.gaps = True
        joint.uneven = max(event.payload["gaps_mm"]) - min(event.payload["gaps_mm"]) > 1.5 + 1e-9
        self.judge(joint, event.happened_at, event.by)

    def on_joint_weeped(self, event) -> None:
        joint = self.joint(event.payload["joint"])
        joint.weeps += 1
        joint.weeping = True
        joint.puts = [put for put in joint.puts if put.name != "corrective"]
        self.judge(joint, event.happened_at, event.by)

    def on_joint_opened(self, event) -> None:
        if event.payload["joint"] in self.joints:
            self.open(self.joints[event.payload["joint"]])

    on_joint_squared = on_joint_opened

    def on_joint_studs_changed(self, event) -> None:
        joint = self.joint(event.payload["joint"])
        self.start_again(joint)
        joint.lubricant = event.payload.get("lubricant", joint.lubricant)
        if event.kind == "joint.studs_changed":
            joint.studs_bad, joint.grade = False, event.payload.get("grade", joint.grade)

    on_joint_lubricant_changed = on_joint_studs_changed

    def on_joint_studs_checked(self, event) -> None:
        """One stamp, the listed one, and none rejected: else the set is not used as it is. The last look counts."""
        joint, said = self.joint(event.payload["joint"]), event.payload
        joint.studs_bad = bool(said["stamps"] != [joint.grade] if joint.grade else len(said["stamps"]) > 1) or bool(said.get("rejected"))
        self.judge(joint, event.happened_at, event.by)

    def on_face_flatness_read(self, event) -> None:
        """Round the face under 0.15 mm and the pass plate no prouder than it: the stories read nothing a soft one would tell from it."""
        said = event.payload
        key = (said["joint"], said["face"], "flatness")
        if max(said["readings_mm"]) - min(said["readings_mm"]) >= 0.15 - 1e-9 or said.get("rib_stands") == "proud":
            self.marks.add(key)
            self.look_again(said["joint"])
        else:
            self.marks.discard(key)
        self.judge(self.joint(said["joint"]), event.happened_at, event.by)

    def on_face_measured(self, event) -> None:
        said = event.payload
        key = (said["joint"], said["face"], said["mark"])
        if not self.within(said):
            self.marks.add(key)
            self.look_again(said["joint"])
        else:
            self.marks.discard(key)
        self.judge(self.joint(said["joint"]), event.happened_at, event.by)

    def within(self, said) -> bool:
        """Held against the table of marks; where the gasket is not known nothing is within."""
        gasket = next((j.gasket for j in self.exchanger.joints if j.id == said["joint"]), None) if self.exchanger else None
        sizes = [Quantity(said[f"{key}_mm"] / 1000, "mm", "", "measured", "") for key in ("depth", "span", "land")]
        return bool(face_verdict(*sizes, *((gasket.kind, gasket.thickness) if gasket else ("", None))).within)

    def on_face_judged(self, event) -> None:
        said = event.payload
        if said["verdict"] == "to repair":
            self.marks.add((said["joint"], said["face"], ""))
            self.look_again(said["joint"])
        else:
            self.clear_face(said)
            for one in self.of("INSP_FACE", said["joint"]) if not any(id_ == said["joint"] for id_, *_ in self.marks) else ():
                self.tick(one, event.happened_at, event.by)
        self.judge(self.joint(said["joint"]), event.happened_at, event.by)

    def on_face_skimmed(self, event) -> None:
        self.clear_face(event.payload)
        self.look_again(event.payload["joint"])
        self.judge(self.joint(event.payload["joint"]), event.happened_at, event.by)

    def clear_face(self, said) -> None:
        self.marks = {mark for mark in self.marks if mark[:2] != (said["joint"], said["face"])}

    def look_again(self, id_: str) -> None:
        self.fall_all(one.code for one in self.of("INSP_FACE", id_))

    def on_gasket_received(self, event) -> None:
        self.received[event.payload["item"]] = event.payload["gasket"]

    def on_gasket_fitted(self, event) -> None:
        item, id_ = event.payload["item"], event.payload["joint"]
        joint = self.joint(id_)
        listed = next((i.id for i in self.scope.items if i.list == "gaskets" and i.of == id_), None)
        loaded = any(put.name in LOADED[:3] for put in joint.puts)
        elsewhere = item in self.went_into and (self.went_into[item] != id_ or loaded)
        taken = self.lies_in.get(id_, item) != item
        wrong = item in self.used or elsewhere or taken or (item in self.received and listed and self.received[item] != listed)
        if loaded:
            self.unmade(joint, event.kind)
        joint.touched, joint.off = True, False
        self.used.discard(item)
        self.lies_in[id_] = item
        self.went_into[item] = id_
        (self.wrong_gasket.add if wrong else self.wrong_gasket.discard)(id_)
        for one in (one for code in GASKETS for one in self.scope.by_step.get(code, ())):
            if one.item and one.item.id == id_:
                self.tick(one, event.happened_at, event.by)

    def on_gasket_removed(self, event) -> None:
        item = event.payload["item"]
        id_ = self.went_into.pop(item, "")
        if not id_:
            return
        joint = self.joints[id_]
        self.lies_in.pop(id_, None)
        self.wrong_gasket.discard(id_)
        if item in self.loaded or any(code in self.done for code in self.bolting_of(joint)):
            self.used.add(item)
        self.unmade(joint, event.kind)
        self.fall_all(f"{step}:{id_}" for step in GASKETS)

    def on_gasket_wrong(self, event) -> None:
        self.wrong_gasket.add(event.payload["joint"])

    def on_gasket_lost_load(self, event) -> None:
        id_ = event.payload["joint"]
        if id_ in self.lies_in:
            self.out(id_)
        if self.joint(id_).ids[0] == id_:
            self.unmade(self.joint(id_), event.kind)

    def fact(self, codes: tuple[str, ...], item: str, event, second: str = "") -> None:
        for one in (one for code in codes for one in self.scope.by_step.get(code, ())):
            if one.item and one.item.id == item:
                self.tick(one, event.happened_at, event.by, second)

    def on_blind_in(self, event) -> None:
        self.fact(("BLIND_IN", "TBLIND_S", "TBLIND_T"), event.payload["blind"], event, event.payload.get("second", ""))

    def on_blind_out(self, event) -> None:
        id_ = event.payload["blind"]
        early = any(not self.bears_now(need.step) for one in self.named(f"BLIND_OUT:{id_}") for need in self.needs[one.code])
        self.fact(("BLIND_OUT", "TBLIND_OUT"), id_, event, event.payload.get("second", ""))
        if early:
            self.fall(f"BLIND_IN:{id_}")  # pulled before its time: the boundary is open

    def bears_now(self, code: str) -> bool:
        waits = code in self.ticks or self.refusals.get(code)
        return code in self.all_done or (fresh(code.partition(":")[0]) is not None and code in self.once and not waits)

    def on_blind_left_in(self, event) -> None:
        self.fact(("BLIND_OUT",), event.payload["blind"], event, event.payload["owner"])

    def on_test_reading(self, event) -> None:
        said, kind = event.payload, self.kind_of_test(event.payload["test"])
        if not self.here(kind):
            return
        before, now = self.pressure.get(kind, 0), said["pressure_mpa"]
        self.pressure[kind] = now
        tried = self.tries.setdefault(kind, [])
        if now > 0 and before <= 0 and (not tried or tried[-1].verdict or tried[-1].down):
            tried.append(Try(event.happened_at))
            self.begin(one.code for one in self.steps_of_test(kind))
        if tried and not tried[-1].verdict:
            warm = [said[key] for key in ("metal_degc", "water_degc") if key in said] if now > 0 else []
            tried[-1].readings.append((event.happened_at, now, warm))
            tried[-1].stamp = self.stamp if now > 0 else tried[-1].stamp
        if tried and not tried[-1].verdict and now <= 0 < before:
            tried[-1].down, tried[-1].ended = True, event.happened_at

    def steps_of_test(self, kind: str) -> list:
        return list(self.scope.by_step.get(STEP_OF_TEST[kind], ()))

    def on_test_result(self, event) -> None:
        said, kind = event.payload, self.kind_of_test(event.payload["test"])
        if not self.here(kind):
            return
        tried = self.tries.setdefault(kind, [])
        if not tried or tried[-1].verdict:
            tried.append(Try(event.happened_at))
        last = tried[-1]
        last.lacks = said["verdict"] == "passed" and last.stamp != self.stamp
        for one in self.steps_of_test(kind):
            if said["verdict"] == "passed":
                self.tick(one, event.happened_at, event.by, said.get("second", ""))
            else:
                self.fall(one.code)
        last.verdict, last.ended, last.held, last.paper = said["verdict"], event.happened_at, said.get("held_min", 0.0), False
        for one in self.steps_of_test(kind):
            self.settle(one.code)

    def on_water_chloride_read(self, event) -> None:
        kind = self.kind_of_test(event.payload["test"])
        if not self.too_much_chloride(event.payload):
            code = next((c for c, k in KIND_OF_TEST.items() if k == kind), "")
            for one in self.scope.by_step.get(f"CHLOR_{code}", ()):
                self.tick(one, event.happened_at, event.by)

    def on_tube_to_plug(self, event) -> None:
        self.put_on_list(event.payload["tube"])

    def put_on_list(self, tube: str) -> None:
        if tube not in self.to_plug:
            self.to_plug = [*self.to_plug, tube]
            self.begin_lists()

    def leg_of(self, tube: str) -> str:
        """The other leg of a U-tube by the map, while it has no plug."""
        other = other_end(self.exchanger, tube) if self.exchanger else ""
        return other if len(self.ends_plugged.get(other, ())) < 2 else ""

    def on_tube_pierced(self, event) -> None:
        leg = self.leg_of(event.payload["tube"])
        for tube in (event.payload["tube"], *([leg] if leg in self.to_plug else [])):
            self.fact(("PIERCE",), tube, event)

    def on_tube_plugged(self, event) -> None:
        tube, said = event.payload["tube"], event.payload["ends"]
        if self.scope.flags["rear"] == "U":
            leg = self.leg_of(tube) if said == "both" else ""
            if leg:
                self.put_on_list(leg)
            for one in filter(None, (tube, leg)):
                self.plug(one, {"front", "rear"}, event)
            return
        self.plug(tube, {"front", "rear"} if said == "both" else {said}, event)

    def plug(self, tube: str, new: set[str], event) -> None:
        self.stamp += 1
        ends = self.ends_plugged.setdefault(tube, set())
        ends |= new
        if len(ends) == 2:
            self.fact(("PLUG",), tube, event)

    def on_tube_repaired(self, event) -> None:
        self.stamp += 1

    def on_plug_leaks(self, event) -> None:
        self.stamp += 1
        self.ends_plugged.pop(event.payload["tube"], None)

    def on_bundle_pulled(self, event) -> None:
        for one in self.scope.by_step.get("PULL", ()):
            self.tick(one, event.happened_at, event.by)

    def on_tool_checked(self, event) -> None:
        tool = event.payload["tool"]
        self.good_until[tool] = date.fromisoformat(event.payload["good_until"])
        self.bad.discard(tool)
        if self.out_of_date(tool, event.happened_at):
            self.fall(f"TOOLCAL:{tool}")
        else:
            self.fact(("TOOLCAL",), tool, event)

    def on_tool_bad(self, event) -> None:
        tool, text = event.payload["tool"], event.payload.get("last_good_at", "")
        self.bad.add(tool)
        for joint in {id(j): j for j in self.joints.values()}.values():
            for put in self.last_passes(joint):
                put.good &= not self.voided(joint, put, tool, datetime.fromisoformat(text) if text else None)
            if joint.puts:
                self.judge(joint, event.happened_at, event.by)

    def on_tool_returned(self, event) -> None:
        self.returned.add(event.payload["tool"])
        self.fact(("TOOLCAL",), event.payload["tool"], event)

    def on_tool_issued(self, event) -> None:
        if event.payload["tool"] in self.returned:
            self.returned.discard(event.payload["tool"])
            self.fall(f"TOOLCAL:{event.payload['tool']}")

    def on_piece_in(self, event, way: int = 1) -> None:
        said = event.payload
        key = (said["space"], said["what"])
        self.inside[key] = max(0, self.inside.get(key, 0) + way * said.get("count", 1))
        for step, space in COUNTS.items():
            if space == said["space"]:
                for one in self.scope.by_step.get(step, ()):
                    self.settle(one.code)

    def on_piece_out(self, event) -> None:
        self.on_piece_in(event, -1)

    def on_finding_raised(self, event) -> None:
        self.to_put_right[event.id] = event.payload["letter"]

    def on_finding_closed(self, event) -> None:
        self.to_put_right.pop(event.payload["finding"], None)


def state_of(events, scope=None, ways=()) -> Job:
    """The job after these entries; `scope` for bare letters, where no file was entered."""
    line = told(events)
    job = Job(scope or scope_with(exchanger_of(line[0].payload["file"]), ()), ways)
    for event in line:
        job.tell(event)
    return job
