"""Where a job stands: every step, joint, gasket item, blind, test, tube and tool. Built by `fold`, only read by all others."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Literal

from boxup.core.finding import Finding
from boxup.core.quantity import Quantity
from boxup.exchanger.lifting import Crane
from boxup.exchanger.model import BoreReading, Exchanger
from boxup.exchanger.wall import Wall
from boxup.job.reading import Reading
from boxup.job.rules import Need
from boxup.job.scope import Scope
from boxup.job.shift import Shifts

Stand = Literal["not done", "begun", "done", "not accepted", "one name", "undone"]


@dataclass(frozen=True, slots=True)
class Hold:
    """A hold point as somebody signed it in a role. `verdict`: accepted, refused; `words`: his own; `lifts`: who takes a refusal back."""

    role: str
    by: str
    verdict: str
    at: datetime
    words: str = ""
    lifts: str = ""

    @property
    def refused(self) -> bool:
        """It stands against the step."""
        return self.verdict == "refused"

    def __str__(self) -> str:
        said = f"{self.role} {self.by}: {self.verdict}, {self.at:%d %b %H:%M}" + (f": {self.words}" if self.words else "")
        return f"{said}. It stands until {self.lifts} signs anew as {self.role} on the page of this step" if self.refused else said


@dataclass(slots=True)
class Tick:
    """A step as the record has it. `why` says why it was undone or is not accepted; `entry` is the number of the entry that says so."""

    stand: Stand = "not done"
    at: datetime | None = None
    first_at: datetime | None = None  # when it was done for the first time
    by: str = ""
    second: str = ""
    entry: int = 0
    begun_at: datetime | None = None
    paper: str = ""
    role: str = ""  # in which it was signed, where that was said
    reading: str = ""  # the number or the words that were read
    why: str = ""
    holds: tuple[Hold, ...] = ()

    @property
    def refusals(self) -> tuple[Hold, ...]:
        """Hold points on it that are refused and not lifted."""
        return tuple(hold for hold in self.holds if hold.refused)


@dataclass(slots=True)
class Round:
    """One time round a joint, in its present make-up. `faults`: why the studs of this round do not count as loaded."""

    name: str
    studs: set[int] = field(default_factory=set)
    dry: set[int] = field(default_factory=set)
    by: str = ""
    hands: set[str] = field(default_factory=set)
    tool: str = ""
    tools: set[str] = field(default_factory=set)
    lubricant: str = ""
    began: datetime | None = None
    ended: datetime | None = None
    last_stud: int = 0
    moved: int | None = None
    faults: list[str] = field(default_factory=list)


@dataclass(slots=True)
class JointState:
    """A set of studs and what it clamps. `make_up` counts how often it has been put together this job."""

    id: str
    kind: str
    sides: tuple[str, ...]
    joints: tuple[str, ...]  # the joints on these studs
    studs: int | None = None
    word: str = "as found"  # as found, off, in, snug, pass 2 at stud 20, pulled up, tested dry, undone
    make_up: int = 0
    gaskets: dict[str, str] = field(default_factory=dict)  # item by joint
    rounds: dict[str, Round] = field(default_factory=dict)
    gaps: tuple[float, ...] = ()
    gap_after: str = ""
    gaps_before: tuple[float, ...] = ()  # the reading before, in this make-up
    gap_last: bool = False  # the last reading was made with every stud at the full torque
    loads: tuple[float, ...] = ()
    weeps: int = 0
    weeping: bool = False
    undone: bool = False  # its bolting fell without the joint being opened
    marks: dict[tuple[str, str, str], str] = field(default_factory=dict)  # joint, face and mark: over the limit, in words
    studs_seen: str = ""  # new, reused, mixed: as somebody looked at them, "" where nobody did
    studs_wrong: tuple[str, ...] = ()  # why the set that is in is not used as it is
    not_pulled_up: tuple[str, ...] = ()  # why not, where passes are on record
    pulled_up: bool = False


@dataclass(slots=True)
class GasketItem:
    """One gasket by its own number. A gasket that has been loaded is used, once and for all."""

    item: str
    gasket: str = ""
    kind: str = ""
    where: str = "in store"  # in store, in J4, out of J4
    joint: str = ""
    loaded: bool = False
    measured: dict[str, float] = field(default_factory=dict)
    ribs: int | None = None  # as counted
    entry: int = 0


@dataclass(slots=True)
class BlindState:
    """A blind: not in, in, out, left in."""

    id: str
    use: str
    word: str = "not in"
    by: str = ""
    second: str = ""
    owner: str = ""
    until: str = ""


NO_RESULT = ("running", "let down")  # an attempt nobody has signed yet


@dataclass(slots=True)
class Attempt:
    """One try of a test. `verdict`: running, let down (to 0, without a result so far), passed, failed; `fell`: why a passed one no longer
    counts."""

    number: int
    began: datetime
    verdict: str = "running"
    raised: datetime | None = None  # when pressure went on
    ended: datetime | None = None
    by: str = ""
    second: str = ""
    highest_mpa: float = 0.0
    readings: int = 0
    words: str = ""
    lacks: tuple[str, ...] = ()  # why a pass is not accepted
    coldest: dict[str, float] = field(default_factory=dict)  # metal and water, degC, read while there was pressure
    held_from: datetime | None = None  # at the test pressure without a break, by the readings
    held_min: float = 0.0  # the longest of such times
    over: str = ""  # that the gauge went above what the side may see, at its highest
    over_mpa: float = 0.0
    over_undid: tuple[str, ...] = ()  # steps that fell with it
    stamp: int = -1  # what stood under pressure is snapped once for every change
    fell: str = ""
    entry: int = 0
    make_ups: dict[str, int] = field(default_factory=dict)  # of every joint, as it stood
    items: dict[str, str] = field(default_factory=dict)  # gasket item by joint, as it stood
    tubes: dict[str, int] = field(default_factory=dict)  # work on each tube, as it stood
    log: list[Reading] = field(default_factory=list)  # gauge and thermometers while there was pressure
    leaks: list[str] = field(default_factory=list)  # what was seen to leak while it ran


@dataclass(slots=True)
class TestState:
    """A test of the plan and its attempts. `item`: its name in the lists, where that is not its code."""

    code: str
    side: str
    step: str
    item: str
    attempts: list[Attempt] = field(default_factory=list)
    pressure_mpa: float = 0.0
    stops: tuple[str, ...] = ()  # what the last reading says stop for
    last_degc: dict[str, float] = field(default_factory=dict)  # metal and water as read last, whatever the pressure
    coldest_at_0_degc: float | None = None  # metal, read at 0 since the last fill
    chloride_mg_l: float | None = None  # of the water, as read last
    at_0: Reading | None = None  # the last reading at 0: from there the litres count

    @property
    def proof(self) -> Attempt | None:
        """The attempt that counts: the last one with a result, if it passed and has not fallen since."""
        last = next((one for one in reversed(self.attempts) if one.verdict not in NO_RESULT), None)
        return last if last and last.verdict == "passed" and not last.fell and not last.lacks else None


@dataclass(slots=True)
class TubeState:
    """A tube somebody had something to say about. `worked` counts the work on it."""

    id: str
    leaks: str = ""
    leaking: bool = False  # nothing was done about it since
    to_plug: bool = False
    pierced: bool = False
    plugged: set[str] = field(default_factory=set)
    repaired: str = ""
    worked: int = 0


@dataclass(slots=True)
class ToolState:
    """A tool: until when it is good, and whether it was found bad."""

    id: str
    good_until: str = ""
    bad: str = ""
    with_whom: str = ""


@dataclass(frozen=True, slots=True)
class Noticed:
    """A finding on the story: at which entry it was seen."""

    entry: int
    at: datetime
    finding: Finding


@dataclass(slots=True)
class Open:
    """Something to put right, and whether it is."""

    id: str
    text: str
    letter: str
    about: str
    by: str
    entry: int = 0
    closed: str = ""

    @property
    def stands(self) -> str:
        """What is said while it is open."""
        return f"{self.letter} item open: {self.text} (entry {self.entry}, {self.by})"


@dataclass(slots=True)
class Found:
    """What events say about the exchanger itself: `asfound` puts it in."""

    plugged: dict[str, str] = field(default_factory=dict)  # tube: which entry says so
    to_plug: dict[str, str] = field(default_factory=dict)
    thickness: dict[str, Quantity] = field(default_factory=dict)  # by part, measured
    skimmed: dict[str, Quantity] = field(default_factory=dict)  # by part, taken off since the last measurement
    studs: dict[str, dict[str, str | Quantity]] = field(default_factory=dict)  # by joint, the keys of [studs]
    gaskets: dict[str, dict[str, str | Quantity]] = field(default_factory=dict)  # by joint, the keys of [gasket]
    bore: Quantity | None = None
    bores: list[BoreReading] = field(default_factory=list)  # each place where somebody measured it
    weighed: Quantity | None = None  # dry
    pulled_mass: Quantity | None = None  # as it came out
    planned_mass: Quantity | None = None  # what the lift plan was made for, once it is made anew
    tools: dict[str, str] = field(default_factory=dict)  # by tool: calibration good until, as read
    crane: Crane | None = None  # the one that stands there
    walls: dict[str, Wall] = field(default_factory=dict)  # by hole, as measured last


@dataclass(slots=True)
class JobState:
    """Where one job stands after its entries so far."""

    job: str
    exchanger: Exchanger | None
    scope: Scope
    needs: Mapping[str, tuple[Need, ...]]
    shifts: Shifts
    steps: dict[str, Tick] = field(default_factory=dict)
    done: set[str] = field(default_factory=set)
    joints: dict[str, JointState] = field(default_factory=dict)
    gaskets: dict[str, GasketItem] = field(default_factory=dict)
    blinds: dict[str, BlindState] = field(default_factory=dict)
    tests: dict[str, TestState] = field(default_factory=dict)
    tubes: dict[str, TubeState] = field(default_factory=dict)
    tools: dict[str, ToolState] = field(default_factory=dict)
    spaces: dict[str, dict[str, int]] = field(default_factory=dict)  # pieces inside, by space
    found: Found = field(default_factory=Found)
    to_put_right: dict[str, Open] = field(default_factory=dict)
    refused: dict[str, str] = field(default_factory=dict)  # by joint: why the gasket in it is not accepted
    story: list[Noticed] = field(default_factory=list)
    file_text: str = ""
    last_at: datetime | None = None
    head: str = ""  # hash of the last entry taken
    entries: int = 0

    def step(self, code: str) -> Tick:
        """How a step instance stands; one that nobody spoke of is not done."""
        return self.steps.get(code) or Tick()

    def joint(self, id_: str) -> JointState | None:
        """The stud set that clamps a joint."""
        return next((j for j in self.joints.values() if id_ in j.joints), None)

    @property
    def complete(self) -> bool:
        """Every step done."""
        return set(self.scope.instances) <= self.done
