"""Where a job stands, by a second route: slow, plain, from the tables, with nothing of the fold, the live answer or the proof.

`state_of(events)` tells the whole story from its first entry. It takes from the package only what a step is and what it waits for
(`scope_of`, `needs`, `belong_together`), the reader of the exchanger file and the reader of a condition; the tables of undoing and
of freshness it reads itself. It knows what is done, what is pulled up and what has run out; it says nothing about findings.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass, field, replace
from datetime import date, datetime, time, timedelta
from functools import cache
from pathlib import Path

import boxup.job
from boxup.exchanger.file import read
from boxup.job.condition import parse
from boxup.job.lists import scope_of
from boxup.job.rules import belong_together, needs

TABLES = Path(boxup.job.__file__).parent / "data"
BOLTING = ("GIRTH_TORQ", "FH_TORQ", "FH_ON_T", "CC_ON", "SC_ON", "REAR_LMN", "P_COVER", "W_REAR", "MAKER_D", "NOZ_TORQ", "STACK_S", "STACK_T")
GASKETS = ("GKT_SHELLTS", "GKT_CHTS", "GKT_CC", "GKT_FH", "GKT_SC")
ROUNDS = ("four snug", "all snug", "pass 1", "pass 2", "pass 3", "round", "round after the wait", "verify")  # each must be there
WAIT = timedelta(hours=4)
KIND_OF_TEST = {"B": "bench", "S1": "bare ends", "T": "tube", "S2": "final shell"}
SIDE_OF_TEST = {"bench": "tube", "bare ends": "shell", "tube": "tube", "final shell": "shell"}
STEP_OF_TEST = {"bench": "BENCH", "bare ends": "STEST1", "tube": "TTEST", "final shell": "STEST2"}
# What says that a side is empty again, by the fill that made it full.
DRAINS = {"FILL_B": ("BENCH_DRAIN",), "FILL_S1": ("STEST1_DRAIN", "DRAINDRY@shell"), "FILL_T": ("TTEST_DRAIN", "DRAINDRY@tube"),
          "FILL_S2": ("DRAINDRY@shell",)}  # fmt: skip
# Acts after which the joint they name is open; other acts let its bolting fall with the joint closed.
OPENS = ("joint.opened", "joint.weeped again", "joint.squared", "joint.marks_wrong", "gasket.wrong", "face.judged to repair", "face.skimmed")
ITEM_WORDS = ("joint", "gasket", "blind", "nozzle", "tube", "opening", "tool", "test", "lift")
NAMED_IN = {"joint": ("joint", ("joints", "nozzles", "openings")), "gasket": ("joint", ("joints", "nozzles")),
            "face": ("joint", ("joints", "nozzles")), "blind": ("blind", ("blinds",)), "tool": ("tool", ("tools",)),
            "tube": ("tube", ("tubes",)), "plug": ("tube", ("tubes",)), "test": ("test", ("tests",)), "water": ("test", ("tests",))}  # fmt: skip


# which entries stand, and in which order they are told


def stands(event, events) -> bool:
    """An entry stands until one that stands strikes it."""
    striking = [later for later in events if later.corrects and later.number > event.number and event.id in struck_by(later, events)]
    return not any(stands(later, events) for later in striking)


def struck_by(event, events) -> set[str]:
    """What an entry that stands strikes: the one it corrects, and every earlier correction of that one."""
    aim = next((e for e in events if e.id == event.corrects and e.number < event.number), None)
    if aim is None:
        return set()
    return {aim.id} | {e.id for e in events if e.corrects == aim.id and aim.number < e.number < event.number}


def told(events) -> list:
    """The entries that stand in the order in which things happened; the opening entry first."""
    kept = [e for e in events if e.kind != "record.withdrawn" and stands(e, events)]
    return sorted(kept, key=lambda e: (e.kind != "job.opened", e.happened_at, e.number))


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


def rows_of(event: str, scope) -> tuple[tuple[dict[str, str], tuple[Named, ...], tuple[Named, ...]], ...]:
    """Rows about an event on this exchanger: the row, what wakes it, what it undoes."""
    return of_scope(scope, event, lambda: _rows_of(event, scope))


def _rows_of(event: str, scope) -> tuple[tuple[dict[str, str], tuple[Named, ...], tuple[Named, ...]], ...]:
    rows = [row for row in table("undoing.csv") if event in events_of(row["event"]) and parse(row["when"]).holds(scope.flags)]
    return tuple(
        (row, tuple(Named.read(t) for t in row["once_done"].split()), tuple(Named.read(t) for t in row["undoes"].split(";"))) for row in rows
    )


# the job


@dataclass
class About:
    """What an entry is about. `kinds`: kinds of the item, or the word itself. `ids`: the items; a step without items is always meant."""

    kinds: set[str] = field(default_factory=set)
    ids: set[str] = field(default_factory=set)
    sides: set[str] = field(default_factory=set)


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
    good: bool


@dataclass
class Joint:
    """A set of studs. `puts`: passes since it was put together; `fell`: how many there were when its bolting fell with the joint closed."""

    ids: tuple[str, ...]
    count: int | None = None
    lubricant: str = ""
    tool: str = ""
    sides: frozenset[str] = frozenset()
    puts: list[Put] = field(default_factory=list)
    fell: int | None = None
    weeps: int = 0
    weeping: bool = False


class Job:
    """Everything that was told so far, in dictionaries."""

    def __init__(self, scope) -> None:
        self.scope = scope
        self.exchanger = None
        self.zone = None
        self.ends = (time(6), time(18))
        self.changes: list[datetime] = []
        self.to_plug: list[str] = []
        self.names: dict[str, set[str]] = {}
        self.done: dict[str, datetime] = {}
        self.begun: set[str] = set()
        self.joints: dict[str, Joint] = {}
        self.marks: set[tuple[str, str]] = set()
        self.received: dict[str, str] = {}
        self.lies_in: dict[str, str] = {}  # gasket item by joint
        self.used: set[str] = set()
        self.good_until: dict[str, date] = {}
        self.bad: set[str] = set()
        self.returned: set[str] = set()
        self.pressure: dict[str, float] = {}
        self.ends_plugged: dict[str, set[str]] = {}
        self.read_at: dict[str, list[datetime]] = {}
        self.begin_lists()

    def begin_lists(self) -> None:
        """Steps, needs and joints of the exchanger as it is known now."""
        if self.exchanger is not None:
            told_too = tuple(t for t in self.to_plug if t not in self.exchanger.to_plug)
            self.scope = scope_with(self.exchanger, self.exchanger.to_plug + told_too)
        self.needs = of_scope(self.scope, "needs", lambda: needs(self.scope))
        for item in self.scope.items:
            if item.list in ("joints", "nozzles") and item.id not in self.joints:
                self.joints[item.id] = self.joints.get(item.of or "") or Joint((item.id,))
        for id_, joint in self.joints.items():
            joint.ids = tuple(other for other in self.joints if self.joints[other] is joint)
            self.fill_in(id_, joint)

    def fill_in(self, id_: str, joint: Joint) -> None:
        if self.exchanger is None:
            return
        for one in self.exchanger.joints:
            if one.id == id_ and one.studs:
                joint.count = round(one.studs.count.si)
                joint.lubricant = joint.lubricant or one.studs.lubricant or ""
                joint.tool = one.studs.tool or ""
            if one.id in joint.ids:
                joint.sides |= set(one.sides) | ({"shell"} if one.kind == "floating head" else set())
        for one in self.exchanger.nozzles:
            if one.id == id_:
                joint.count = round(one.studs.si) if one.studs else None
                joint.lubricant = joint.lubricant or one.lubricant or ""
                joint.sides |= {one.side}

    # what is asked

    @property
    def all_done(self) -> set[str]:
        return {code for code in self.done if code in self.scope.instances}

    @property
    def pulled_up(self) -> set[str]:
        """Joints by the id of their studs, by what was entered of their passes; a tick alone is not in it."""
        owners = {joint.ids[0]: joint for joint in self.joints.values()}
        return {id_ for id_, joint in owners.items() if joint.puts and self.is_pulled(joint)}

    def ticked(self, joint: Joint) -> bool:
        steps = self.bolting_of(joint)
        return joint.fell is None and bool(steps) and all(code in self.done for code in steps)

    def missing(self, code: str, at: datetime) -> set[str]:
        """What a step waits for at that moment: not done, or too old for it."""
        return {need.step for need in self.needs[code] if need.step not in self.all_done or self.is_stale(need.step, code, at)}

    def is_stale(self, code: str, guarded: str, at: datetime) -> bool:
        row = fresh(code.partition(":")[0])
        if row is None or code not in self.done or guarded.partition(":")[0] not in row[1] or code.partition(":")[2] in self.returned:
            return False
        ticked = self.done[code]
        if row[0] == "shift":
            return self.shift_end(ticked) <= at
        return at > ticked + timedelta(minutes=int(row[0]))

    def shift_end(self, after: datetime) -> datetime:
        """The next end by the clock, or the next change on record, whichever comes first."""
        here = after.astimezone(self.zone) if self.zone else after
        clock = [datetime.combine(here.date() + timedelta(days=n), end, here.tzinfo) for n in (0, 1) for end in self.ends]
        return min(moment for moment in (*clock, *self.changes) if moment > after)

    # steps

    def instances(self, code: str) -> list:
        """A code as it was typed: one instance, or all of them; nothing where there is no such step."""
        bare, _, item = code.partition(":")
        group = self.scope.by_step.get(bare.strip().upper(), ())
        return [one for one in group if not item or (one.item and one.item.id.casefold() == item.strip().casefold())]

    def fall(self, code: str) -> None:
        self.done.pop(code, None)
        self.names.pop(code, None)
        self.begun.discard(code)

    def close(self, one, at: datetime, *names: str) -> None:
        """A tick or a fact, with the names that stand on it; the step is done once there are as many as its record carries."""
        self.names[one.code] = {name for name in names if name}
        self.begun.add(one.code)
        self.done.pop(one.code, None)
        self.enough(one, at)

    def enough(self, one, at: datetime) -> None:
        if len(self.names[one.code]) >= one.step.names:
            self.done[one.code] = at
            bare, _, item = one.code.partition(":")
            for text in DRAINS.get(bare, ()):
                self.wet_again(Named.read(text))

    def wet_again(self, named: Named) -> None:
        for one in self.scope.by_step.get(named.step, ()):
            if not named.side or one.side in ("", named.side):
                self.fall(one.code)

    def to_begin(self, code: str) -> bool:
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
        return [one.code for one in self.bolting() if one.item and one.item.id in joint.ids]

    def bolting(self) -> list:
        return [one for code in BOLTING for one in self.scope.by_step.get(code, ())]

    def joint_of(self, one) -> Joint | None:
        return self.joints.get(one.item.id) if one.item else None

    def is_pulled(self, joint: Joint) -> bool:
        whole = all(self.on_every_stud(joint, name, joint.puts) for name in ROUNDS)
        marked = any(id_ in joint.ids for id_, _ in self.marks)
        again = joint.fell is None or any(self.on_every_stud(joint, n, joint.puts[joint.fell :]) for n in ("corrective", *ROUNDS[2:]))
        return whole and again and not marked and self.waited(joint) and self.second_man(joint)

    def on_every_stud(self, joint: Joint, name: str, puts: list[Put]) -> bool:
        got: set[int] = set()
        everything = set(range(1, (joint.count or 0) + 1))
        whole = False
        for put in puts:
            if put.name != name:
                continue
            studs = set(put.studs) or everything
            got = (got | studs) - set(put.dry) if put.good else got - studs
            whole = (put.good and not put.studs and not put.dry) or (whole and put.good)
        if name == "four snug":
            return len(got) >= 4 or (whole and not joint.count)
        return everything <= got if joint.count else whole

    def waited(self, joint: Joint) -> bool:
        rounds = [put.ended for put in joint.puts if put.name == "round"]
        after = [put.began for put in joint.puts if put.name == "round after the wait"]
        return bool(rounds) and bool(after) and after[-1] - rounds[-1] >= WAIT

    def second_man(self, joint: Joint) -> bool:
        pulled = {put.by for put in joint.puts if put.name != "verify"}
        return any(put.by not in pulled for put in joint.puts if put.name == "verify")

    # one entry

    def tell(self, event) -> None:
        for name in self.event_names(event):
            self.undo(event, name)
        act = getattr(self, "on_" + event.kind.replace(".", "_"), None)
        if act:
            act(event)

    def event_names(self, event) -> list[str]:
        """What an entry is called in the table: its kind, or what follows from it."""
        said = event.payload
        match event.kind:
            case "joint.weeped":
                joint = self.joints.get(said["joint"])
                return ["joint.weeped again" if joint and joint.weeps and not joint.weeping else "joint.weeped"]
            case "test.result":
                return ["test.result failed"] if said["verdict"] == "failed" else []
            case "face.judged":
                return ["face.judged to repair"] if said["verdict"] == "to repair" else []
            case "water.chloride_read":
                return ["water.chloride_read high"] if self.too_much_chloride(said) else []
            case "water.froze":
                return ["water.froze"] if self.water_in() else []
        return [event.kind]

    def too_much_chloride(self, said) -> bool:
        side = SIDE_OF_TEST.get(self.kind_of_test(said["test"]), "")
        model = self.exchanger and {"shell": self.exchanger.shell_side, "tube": self.exchanger.tube_side}.get(side)
        limit = model and model.chloride_limit_mg_per_l
        return bool(limit) and said["chloride_mg_l"] > limit.si

    def water_in(self) -> bool:
        """By the record a side is full: filled, and not drained since."""
        return any(
            one.code in self.done and not self.drained(drains) for fill, drains in DRAINS.items() for one in self.scope.by_step.get(fill, ())
        )

    def drained(self, drains: tuple[str, ...]) -> bool:
        named = [Named.read(text) for text in drains]
        return any(
            one.code in self.done for n in named for one in self.scope.by_step.get(n.step, ()) if not n.side or one.side in ("", n.side)
        )

    # undoing

    def undo(self, event, name: str) -> None:
        about = self.about(event)
        falls, named = set(), set()
        for row, once, undoes in rows_of(name, self.scope):
            if self.acts(row, once, about, event):
                for which in undoes:
                    for one in self.scope.by_step.get(which.step, ()):
                        if self.meant(which, one, about):
                            named.add(one.code)
                            falls |= {one.code} if self.spared(row, one) is False else set()
        self.let_go(name, about, named)
        for code in falls:
            self.fall(code)

    def acts(self, row: dict[str, str], once: tuple[Named, ...], about: About, event) -> bool:
        if row["item"] and row["item"] not in about.kinds:
            return False
        if row["test"] and not self.seen_on(row["test"], event.payload.get("test", "")):
            return False
        done = (one for which in once for one in self.scope.by_step.get(which.step, ()) if not which.side or one.side in ("", which.side))
        return not once or any(one.code in self.done for one in done)

    def seen_on(self, wanted: str, test: str) -> bool:
        kind = self.kind_of_test(test)
        return KIND_OF_TEST.get(wanted, wanted) in (kind, SIDE_OF_TEST.get(kind, "")) if wanted in KIND_OF_TEST else SIDE_OF_TEST.get(kind) == wanted

    def kind_of_test(self, test: str) -> str:
        return next((i.kind for i in self.scope.items if i.list == "tests" and i.id == test), KIND_OF_TEST.get(test, test))

    def spared(self, row: dict[str, str], one) -> bool:
        if row["guarded"] and not self.still_of_use(one):
            return True
        ended = [other for step in row["until"].split() for other in self.scope.by_step.get(step, ())]
        return any(other.code in self.done and belong_together(one, other) for other in ended)

    def meant(self, which: Named, one, about: About) -> bool:
        if which.side and one.side not in ("", which.side):
            return False
        if not which.of or one.item is None:
            return True
        if which.of == "side":
            return not about.sides or one.side in ("", *about.sides)
        if which.of in ITEM_WORDS:
            return (one.item.of if which.of == "gasket" else one.item.id) in about.ids
        return one.item.kind == which.of

    def about(self, event) -> About:
        said = event.payload
        if event.kind == "count.short":
            return About({said["space"]})
        if event.kind == "test.over_pressure":
            return About({f"{said['side']} side"}, set(), {said["side"]})
        if event.kind == "tool.bad":
            return self.about_tool(event)
        key, lists = NAMED_IN.get(event.kind.partition(".")[0], ("", ()))
        word = said.get(key, "")
        found = About({word, self.kind_of_test(word)} if not any(i.list in lists for i in self.scope.items) else set())
        for item in self.scope.items:
            if item.list in lists and item.id == word:
                found = About({item.kind}, {item.id, *self.on_the_studs(item.id)}, {item.side} - {None})
                found.sides |= {SIDE_OF_TEST[item.kind]} if item.list == "tests" else set()
        if word in KIND_OF_TEST and key == "test" and not found.sides:
            found.sides = {SIDE_OF_TEST[KIND_OF_TEST[word]]}
        return found

    def on_the_studs(self, id_: str) -> tuple[str, ...]:
        return self.joints[id_].ids if id_ in self.joints else ()

    def about_tool(self, event) -> About:
        """A bad tool is about what it pulled, or what was read on it, since it was last good."""
        tool = event.payload["tool"]
        text = event.payload.get("last_good_at", "")
        since = datetime.fromisoformat(text) if text else None
        kind = next((i.kind for i in self.scope.items if i.list == "tools" and i.id == tool), None)
        kind = kind or ("gauge" if self.exchanger and any(t.id == tool for t in self.exchanger.tools) else tool)
        found = About({kind}, {tool})
        if kind == "bolting":
            found.ids |= {id_ for id_, joint in self.joints.items() if self.may_have_pulled(joint, tool, since)}
        else:
            found.ids |= {i.id for i in self.scope.items if i.list == "tests" and self.may_have_been_read(i.id, since)}
        return found

    def may_have_pulled(self, joint: Joint, tool: str, since: datetime | None) -> bool:
        if joint.puts:
            return any(put.tool == tool and (since is None or put.ended > since) for put in joint.puts)
        ticks = [self.done[code] for code in self.bolting_of(joint) if code in self.done]
        return joint.tool in ("", tool) and (since is None or any(tick > since for tick in ticks))

    def may_have_been_read(self, test: str, since: datetime | None) -> bool:
        ticks = [at for code, at in self.done.items() if code.partition(":")[2] == test]
        return since is None or any(at > since for at in (*ticks, *self.read_at.get(test, ())))

    def let_go(self, name: str, about: About, named: set[str]) -> None:
        """The joints of an act: open, or closed with their bolting to be done again."""
        for joint in set(map(id, self.joints.values())):
            one = next(j for j in self.joints.values() if id(j) == joint)
            falls = bool(set(self.bolting_of(one)) & named)
            if (name in OPENS and about.ids & set(one.ids)) or (name == "bundle.pulled" and falls):
                self.open(one)
            elif falls:
                one.fell = len(one.puts)

    def open(self, joint: Joint) -> None:
        joint.puts, joint.fell, joint.weeps, joint.weeping = [], None, 0, False

    # kinds of entries

    def on_job_opened(self, event) -> None:
        self.zone = event.happened_at.tzinfo
        if event.payload.get("shift_ends"):
            self.ends = tuple(time.fromisoformat(text) for text in event.payload["shift_ends"])
        self.on_job_file_revised(event)

    def on_job_file_revised(self, event) -> None:
        found = exchanger_of(event.payload["file"])
        if found is not None:
            self.exchanger = found
            self.good_until = {t.id: date.fromisoformat(t.calibrated_until) for t in found.tools if t.calibrated_until} | self.good_until
            self.begin_lists()

    def on_shift_changed(self, event) -> None:
        self.changes.append(event.happened_at)

    def on_step_started(self, event) -> None:
        for one in self.instances(event.payload["step"]):
            self.begun.add(one.code)

    def on_step_done(self, event) -> None:
        for one in self.instances(event.payload["step"]):
            if self.record_says_otherwise(one, event):
                self.begun.add(one.code)
                self.done.pop(one.code, None)
                self.names.pop(one.code, None)
                continue
            self.close(one, event.happened_at, event.by, event.payload.get("second", ""))
            joint = self.joint_of(one)
            if joint and one.step.code in BOLTING:
                joint.fell, joint.weeping = None, False
                self.used |= {self.lies_in[id_] for id_ in joint.ids if id_ in self.lies_in}
            if joint and one.step.code == "BREAK":
                self.open(joint)

    def record_says_otherwise(self, one, event) -> bool:
        joint = self.joint_of(one)
        if joint and joint.puts and one.step.code in (*BOLTING, "BOLTREC"):
            return not self.is_pulled(joint)
        if joint and one.step.code == "BOLTREC":
            return not event.payload.get("paper")
        if one.step.code == "TOOLCAL" and one.item and one.item.id not in self.returned:
            return self.out_of_date(one.item.id, event.happened_at)
        return False

    def on_step_seconded(self, event) -> None:
        for one in self.instances(event.payload["step"]):
            if one.code in self.names:
                self.names[one.code].add(event.by)
                self.enough(one, event.happened_at) if one.code not in self.done else None

    def on_step_reopened(self, event) -> None:
        for one in self.instances(event.payload["step"]):
            self.fall(one.code)
            joint = self.joint_of(one)
            if joint and one.step.code in BOLTING:
                joint.fell = len(joint.puts)

    def on_joint_pass_done(self, event) -> None:
        said = event.payload
        joint = self.joints.get(said["joint"])
        began = datetime.fromisoformat(said["started_at"]) if said.get("started_at") else event.happened_at
        if joint is not None:
            self.put(joint, Put(said["pass"], event.by, tuple(said.get("studs", ())), tuple(said.get("dry", ())), said.get("tool", ""),
                                began, event.happened_at, True), said)  # fmt: skip

    def on_joint_stud_done(self, event) -> None:
        said = event.payload
        joint = self.joints.get(said["joint"])
        if joint is not None:
            at = event.happened_at
            self.put(joint, Put(said["pass"], event.by, (said["stud"],), (), said.get("tool", ""), at, at, True), said)

    def put(self, joint: Joint, put: Put, said) -> None:
        put.good = (
            not self.under_pressure(joint)
            and self.tool_good(put)
            and joint.lubricant.casefold() in said.get("lubricant", joint.lubricant).casefold()
            and not self.over_a_shift_change(joint, put)
        )
        joint.puts.append(put)
        joint.weeping = False
        self.used |= {self.lies_in[id_] for id_ in joint.ids if id_ in self.lies_in}
        codes = self.bolting_of(joint)
        self.begun |= set(codes)
        for one in self.scope.by_step.get("GIRTH_SNUG", ()):
            if one.item and one.item.id in joint.ids and self.on_every_stud(joint, "four snug", joint.puts):
                self.close(one, put.ended, put.by)
        if self.is_pulled(joint):
            joint.fell = None
            for one in self.bolting():
                if one.code in codes and one.code not in self.done:
                    self.close(one, put.ended, put.by)

    def under_pressure(self, joint: Joint) -> bool:
        return any(p > 0 and SIDE_OF_TEST.get(self.kind_of_test(test)) in joint.sides for test, p in self.pressure.items())

    def tool_good(self, put: Put) -> bool:
        return put.tool not in self.bad and not self.out_of_date(put.tool, put.ended)

    def out_of_date(self, tool: str, at: datetime) -> bool:
        return tool in self.good_until and self.good_until[tool] < at.date()

    def over_a_shift_change(self, joint: Joint, put: Put) -> bool:
        """A pass that went over the change, with no stud of it written down before."""
        written = any(p.name == put.name and put.began <= p.ended <= put.ended and p.studs for p in joint.puts)
        return self.shift_end(put.began) < put.ended and not written

    def on_joint_weeped(self, event) -> None:
        joint = self.joints.get(event.payload["joint"])
        if joint is not None:
            joint.weeps += 1
            joint.weeping = True

    def on_joint_studs_changed(self, event) -> None:
        for put in self.joints[event.payload["joint"]].puts if event.payload["joint"] in self.joints else ():
            put.good = False

    def on_joint_lubricant_changed(self, event) -> None:
        self.on_joint_studs_changed(event)
        if event.payload["joint"] in self.joints:
            self.joints[event.payload["joint"]].lubricant = event.payload["lubricant"]

    def on_face_measured(self, event) -> None:
        said = event.payload
        if said["span_mm"] > said["land_mm"] / 2:  # the stories have marks far over the limit and far under it
            self.marks.add((said["joint"], said["face"]))

    def on_face_judged(self, event) -> None:
        said = event.payload
        if said["verdict"] == "accepted":
            self.marks.discard((said["joint"], said["face"]))

    def on_face_skimmed(self, event) -> None:
        self.marks.discard((event.payload["joint"], event.payload["face"]))

    def on_gasket_received(self, event) -> None:
        self.received[event.payload["item"]] = event.payload["gasket"]

    def on_gasket_fitted(self, event) -> None:
        item, joint = event.payload["item"], event.payload["joint"]
        listed = next((i.id for i in self.scope.items if i.list == "gaskets" and i.of == joint), None)
        right = item not in self.received or listed is None or self.received[item] == listed
        self.lies_in[joint] = item
        for one in (one for code in GASKETS for one in self.scope.by_step.get(code, ())):
            if one.item and one.item.id == joint and item not in self.used and right:
                self.close(one, event.happened_at, event.by)

    def on_gasket_removed(self, event) -> None:
        self.lies_in = {joint: item for joint, item in self.lies_in.items() if item != event.payload["item"]}

    def fact(self, codes: tuple[str, ...], item: str, event, second: str = "") -> None:
        for one in (one for code in codes for one in self.scope.by_step.get(code, ())):
            if one.item and one.item.id == item:
                self.close(one, event.happened_at, event.by, second)

    def on_blind_in(self, event) -> None:
        self.fact(("BLIND_IN", "TBLIND_S", "TBLIND_T"), event.payload["blind"], event, event.payload.get("second", ""))

    def on_blind_out(self, event) -> None:
        self.fact(("BLIND_OUT", "TBLIND_OUT"), event.payload["blind"], event, event.payload.get("second", ""))

    def on_blind_left_in(self, event) -> None:
        self.fact(("BLIND_OUT", "TBLIND_OUT"), event.payload["blind"], event, event.payload["owner"])

    def on_test_reading(self, event) -> None:
        test = event.payload["test"]
        self.pressure[test] = event.payload["pressure_mpa"]
        self.read_at.setdefault(test, []).append(event.happened_at)
        self.begun |= {one.code for one in self.steps_of_test(test)}

    def steps_of_test(self, test: str) -> list:
        group = self.scope.by_step.get(STEP_OF_TEST.get(self.kind_of_test(test), ""), ())
        return [one for one in group if one.item is None or one.item.id == test]

    def on_test_result(self, event) -> None:
        self.read_at.setdefault(event.payload["test"], []).append(event.happened_at)
        if event.payload["verdict"] == "passed":
            for one in self.steps_of_test(event.payload["test"]):
                self.close(one, event.happened_at, event.by, event.payload.get("second", ""))

    def on_tube_to_plug(self, event) -> None:
        self.to_plug = [*self.to_plug, event.payload["tube"]]
        self.begin_lists()

    def on_tube_pierced(self, event) -> None:
        self.fact(("PIERCE",), event.payload["tube"], event)

    def on_tube_plugged(self, event) -> None:
        ends = self.ends_plugged.setdefault(event.payload["tube"], set())
        ends |= {"front", "rear"} if event.payload["ends"] == "both" else {event.payload["ends"]}
        if len(ends) == 2:
            self.fact(("PLUG",), event.payload["tube"], event)

    def on_plug_leaks(self, event) -> None:
        self.ends_plugged.pop(event.payload["tube"], None)

    def on_bundle_pulled(self, event) -> None:
        for one in self.scope.by_step.get("PULL", ()):
            self.close(one, event.happened_at, event.by)

    def on_bundle_force_read(self, event) -> None:
        self.begun |= {one.code for one in self.scope.by_step.get("PULL" if event.payload["way"] == "pull" else "INSERT", ())}

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
        for joint in self.joints.values():
            for put in joint.puts:
                if put.tool == tool and (not text or put.ended > datetime.fromisoformat(text)):
                    put.good = False

    def on_tool_returned(self, event) -> None:
        self.returned.add(event.payload["tool"])
        self.fact(("TOOLCAL",), event.payload["tool"], event)

    def on_tool_issued(self, event) -> None:
        if event.payload["tool"] in self.returned:
            self.returned.discard(event.payload["tool"])
            self.fall(f"TOOLCAL:{event.payload['tool']}")


_kept: dict[int, tuple] = {}  # a scope has no hash: kept by its identity, together with what was worked out for it


def of_scope(scope, name: str, make):
    """Worked out once for each scope, to save time only."""
    key = id(scope)
    _kept.setdefault(key, (scope, {}))
    found = _kept[key][1]
    if name not in found:
        found[name] = make()
    return found[name]


@cache
def exchanger_of(text: str):
    return read(text)[0]


_scopes: dict[tuple, object] = {}


def scope_with(exchanger, to_plug: tuple[str, ...]):
    key = (id(exchanger), to_plug)
    if key not in _scopes:
        _scopes[key] = scope_of(replace(exchanger, to_plug=to_plug))
    return _scopes[key]


def state_of(events, scope=None) -> Job:
    """The job after these entries; `scope` for bare letters, where no file was entered."""
    line = told(events)
    job = Job(scope or scope_with(exchanger_of(line[0].payload["file"]), ()))
    for event in line:
        job.tell(event)
    return job
