"""The bundle on its way through the mouth of the shell: at each place what hook, mouth and shell carry, the pull expected, when to stop.

How far in is how much of the straight tube is behind the front flange face of the shell. Worked twice: as a stiff bundle that rests on the
mouth, and as a beam of its tubes on everything that can push it up. The truth lies between, and the height of the hook decides where.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from boxup.core.calculation import STANDARD_GRAVITY, Answer
from boxup.core.finding import Finding, Missing
from boxup.core.quantity import Quantity, quantity
from boxup.core.rounding import both
from boxup.core.source import Cite
from boxup.core.working import Working
from boxup.exchanger.model import BundleParts, Exchanger
from boxup.lift.beam import Support, Tips, bent
from boxup.lift.bundle_beam import BundleBeam, bundle_beam
from boxup.lift.crane import lifts
from boxup.lift.gear import PRACTICE, STATICS
from boxup.lift.hold import WIDTH
from boxup.lift.mouth import on_the_mouth, tip_length
from boxup.lift.rests import mouth_rests, rests
from boxup.lift.slope import Way, per_weight, say_downhill, say_margin, slope_of, stop_at

Stage = Literal["both", "front", "held"]
CLEAR = 0.1  # m in front of the flange where a sling must be off
SWAP = 0.5  # m between the marks, to change from the front sling to the tubesheet end
STEP = 0.5  # m between the rows of the table
NEAR_HOME = 0.05  # m: a row this near to home is home
NAMES: dict[Way, str] = {"insert": "the bundle going in", "pull": "the bundle coming out"}
_HOOK = ("R_h", "R_e", "R_w")
_ELASTIC = "three-moment equation on the tubes' own stiffness; supports push up and do not pull"


@dataclass(frozen=True, slots=True)
class Stand:
    """The bundle at one place: metres in, which slings carry, and the working of that place.

    Symbols: R_h and R_m (hook, and mouth with shell; bundle stiff), R_e, R_n and R_i (hook, mouth, shell; as a beam), R_w (hook with both
    slings, all of it), N_1 and N_2 (least and most that rests in the shell), F_1 and F_2 (pull expected), F_stop.
    """

    metres: float
    stage: Stage
    working: Working

    @property
    def hook(self) -> tuple[float, float]:
        """What the load cell on the hook is expected to read, N: least and most."""
        found = [self.working[s] for s in _HOOK if s in self.working.steps]
        return min(found), max(found)


@dataclass(frozen=True, slots=True)
class OnItsWay:
    """One way: its marks (`s_2`, `s_1`: slings off; `s_t`: centre of gravity a tenth inside), what is missing. `stand`: any place."""

    way: Way
    working: Working
    missing: tuple[Missing, ...]
    exchanger: Exchanger
    beam: BundleBeam | None = None
    picks: tuple[float, float] | None = None  # front and rear sling

    @property
    def home(self) -> float:
        """Metres in when it stands in its place."""
        return self.beam.length - self.beam.front if self.beam else 0.0

    @property
    def hung_below(self) -> float:
        """What hangs under a load cell on the hook besides the bundle, N: slings and spreader of the crane, as far as the file has them."""
        crane = self.exchanger.crane
        hung = (crane.slings, crane.spreader) if lifts(crane, "bundle") else ()
        return sum(q.si * STANDARD_GRAVITY for q in hung if q is not None)

    @property
    def findings(self) -> list[Finding]:
        """Its own, and those of the last place, where all of it rests in the shell: what is said of any place is said there."""
        home = self.stand(self.home).working.all_findings() if self.known else []
        return list(dict.fromkeys([*self.working.all_findings(), *home]))

    @property
    def known(self) -> bool:
        """Whether a place can be worked at all."""
        return self.beam is not None and self.picks is not None

    @property
    def by_channel(self) -> bool:
        """Whether the front pick holds the channel that rides along: it stays on until the bundle stands in its place."""
        return self.picks is not None and self.picks[0] < 0

    def stage(self, metres: float) -> Stage:
        """Which slings carry with so much in."""
        if metres < self.working["s_2"]:
            return "both"
        return "front" if metres < self.working["s_1"] else "held"

    def places(self) -> tuple[float, ...]:
        """Metres in: each half metre in, and home; coming out home, and each half metre out. In the order of the way."""
        length = self.home if self.way == "insert" else self.working["L"]
        halves = [STEP * i for i in range(1, int((length - 1e-9) / STEP) + 1)]
        if self.way == "insert":
            return (*(h for h in halves if self.home - h > NEAR_HOME), self.home)
        return (self.home, *(length - h for h in halves if self.home - (length - h) > NEAR_HOME))

    def stand(self, metres: float) -> Stand:
        """The bundle with so much in. ValueError where it is not `known`."""
        _known(self)
        stage = self.stage(metres)
        w = Working(f"{self.working.name}, {metres:.2f} m in", STATICS)
        _place(w, self, metres, stage)
        _stiff(w, stage)
        _elastic(w, self, metres, stage)
        _pull(w, self)
        return Stand(metres, stage, w)


def on_its_way(exchanger: Exchanger, bundle: Answer | Missing | None, hung: Answer | Missing | None, way: Way) -> OnItsWay:
    """One way of an exchanger's bundle, clean and dry going in, as found coming out; without allowance, as the load cell will read it."""
    w = Working(NAMES[way], STATICS)
    beam = bundle_beam(exchanger, bundle, hung, "dry" if way == "insert" else "pulled")
    if isinstance(beam, Missing):
        return OnItsWay(way, w, (beam,), exchanger)
    w.kernel("W", "weight, no allowance", beam.weight, "kN", "clean and dry" if way == "insert" else "as pulled", Cite(STATICS, "weight"))
    w.kernel("x_c", "centre of gravity", beam.centre, "m", "sum of moments", Cite(STATICS, "sum of moments"))
    w.kernel("L", "length of the tubes", beam.length, "m", "as the file has it", Cite(STATICS, "geometry"))
    tip_length(w)
    b = exchanger.bundle
    if not (b.sling_points_m and b.sling_points_far_m):
        do = "say where the two slings go: sling_points_m and sling_points_far_m in [bundle]."
        return OnItsWay(way, w, (Missing("when each sling comes off", do),), exchanger, beam)
    if not _marks(w, beam, b, b.sling_points_m, b.sling_points_far_m):
        return OnItsWay(way, w, (_TIPS,), exchanger, beam)
    picks = (b.sling_points_m.si, b.sling_points_far_m.si)
    _leading_end(w, beam, picks)
    return OnItsWay(way, w, tuple(_friction(w, exchanger, way)), exchanger, beam, picks)


_TIPS = Missing(
    "bundle on its way",
    "move or measure the slings: sling_points_m in [bundle] is the front one, nearer to the stationary tubesheet, sling_points_far_m the "
    "rear one; the centre of gravity hangs between the two, and both lie on the bundle.",
)


def _marks(w: Working, beam: BundleBeam, b: BundleParts, front: Quantity, rear: Quantity) -> bool:
    """s_2 and s_1: with so much in, each sling is off. Whether it hangs in the two at all; where it does not, no place can be worked."""
    w.given("x_1", "front sling", front, "m")
    w.given("x_2", "rear sling", rear, "m")
    if b.sling_width is not None:
        w.given("b", "width of a sling", b.sling_width, "mm")
    else:
        w.assumed("b", "width of a sling", WIDTH, "mm", "300 mm, the least that is usual (common practice): measure it")
    never = "a sling is never pulled in"
    w.constant("c_s", "kept clear in front of the flange", CLEAR, "m", Cite(PRACTICE, never))
    w.step("s_2 = max(L - x_2 - b/2 - c_s, 0*metre)", "m", "rear sling off with this much in", never, source=PRACTICE)
    if front.si < 0 and not on_channel(beam):
        return False
    if front.si < 0:
        w.kernel("t_1", "stationary tubesheet", beam.front, "m", "thickness of the tubesheet", Cite(STATICS, "geometry"))
        stays = "on the channel it stays on until the bundle stands in its place"
        w.step("s_1 = L - t_1", "m", "front sling off with this much in", stays, source=PRACTICE)
    else:
        w.step("s_1 = max(L - x_1 - b/2 - c_s, 0*metre)", "m", "front sling off with this much in", never, source=PRACTICE)
    tips = "The centre of gravity is not between the slings: the bundle tips. Move a sling"
    between = "centre of gravity between the picks"
    hangs = w.limit("x_1 < x_c", tips, between) and w.limit("x_c < x_2", tips, between)
    if not (hangs and w.limit("x_2 <= L", "The rear sling is not on the bundle: there is nothing there to lift by. Measure its place again",
                              "slings on the bundle")):  # fmt: skip
        return False
    if front.si < 0:
        return True  # its front end hangs on the channel all the way home
    early = (
        "The front sling comes to the flange before the centre of gravity is a tenth of the length inside: take the tubesheet end on a "
        "hook of its own first, or move the sling out"
    )
    if w.limit("s_t <= s_1", early, "a tenth of the length beyond the centre of gravity", "warn", PRACTICE):
        _window(w)
    return True


def _window(w: Working) -> None:
    """d_w: the way on which the tubesheet end is taken over from the front sling, with the bundle standing."""
    w.constant("c_w", "kept to take over the tubesheet end", SWAP, "m", Cite(PRACTICE, "half a metre, a judgement"))
    w.step("d_w = s_1 - s_t", "m", "left to take over the tubesheet end", "between the two marks", source=PRACTICE)
    narrow = (
        f"Between the hook's load and the front sling's place there is {both('position', w['d_w'], 'down')} of way to take over the "
        "tubesheet end: a second hook on it beforehand, a trolley under the channel, a guide at the flange or a cradle"
    )
    w.limit("d_w >= c_w", narrow, "room to change slings", "warn", PRACTICE, bare=True)


def _friction(w: Working, x: Exchanger, way: Way) -> Iterator[Missing]:
    """mu_1, mu_2, alpha, the pull for what rests, and what is said of the slope."""
    b, slope = x.bundle, x.shell.slope
    if b.friction_low is None or b.friction_high is None:
        yield Missing("pull expected at a place", "give friction_low and friction_high in [bundle].")
        return
    w.given("mu_1", "friction, clean and greased bars", b.friction_low, "-")
    w.given("mu_2", "friction, dry or dirty bars", b.friction_high, "-")
    slope_of(w, slope, way)
    per_weight(w)
    say_downhill(w, w.steps.get("F_h"))


def _leading_end(w: Working, beam: BundleBeam, picks: tuple[float, float]) -> None:
    """v_r: how low its rear end hangs before it meets the mouth."""
    try:
        got = bent(beam.stiffness, beam.loads, [Support("hook", x) for x in picks])
    except Tips:
        return
    w.kernel("v_r", "its rear end hangs lower by, at most", max(got.droop(beam.length), 0.0), "mm", _ELASTIC, Cite(STATICS, "elastic line"))


def _known(way: OnItsWay) -> tuple[BundleBeam, float, float]:
    """The beam and its two slings."""
    if way.beam is None or way.picks is None:
        raise ValueError(f"{way.working.name}: asked for a place where the bundle or its slings are not known")
    return way.beam, *way.picks


def _place(w: Working, way: OnItsWay, metres: float, stage: Stage) -> None:
    beam, _, _ = _known(way)
    for symbol in ("W", "x_c", "L"):
        w.take(symbol, way.working.steps[symbol], way.working.name)
    w.given("s", "in the shell", quantity(f"{metres:.6g} m", "m"), "m")
    w.step("x_m = L - s", "m", "the mouth, from the front of the bundle", "what is not in")
    if stage != "held":
        w.take("x_h", way.working.steps["x_1"], way.working.name)
        return
    at, what = (beam.rider, "channel") if on_channel(beam) else (beam.front / 2, "tubesheet")
    w.kernel("x_h", f"the hook, at the {what}", at or 0.0, "m", f"{what} held", Cite(PRACTICE, "held until it hangs on its guide pins"))


def on_channel(beam: BundleBeam) -> bool:
    """Whether a channel rides in front, by which that end is held."""
    return beam.rider is not None and beam.rider < 0


def _stiff(w: Working, stage: Stage) -> None:
    """With both slings on, the rear one may hang slack without anybody seeing it, or both carry all of it."""
    on_the_mouth(w)
    if stage == "both":
        w.step("R_w = W", "kN", "the hook carries, both slings tight", "hook over the centre of gravity")


def _elastic(w: Working, way: OnItsWay, metres: float, stage: Stage) -> None:
    """R_e, R_n, R_i; nothing where the beam tips. Held at a channel, whose stiffness is not that of tubes: R_e at most, and no more."""
    beam, front, rear = _known(way)
    if stage == "held" and on_channel(beam):
        _raised(w, beam)
        return
    held = [Support("hook", x) for x in {"both": (front, rear), "front": (front,), "held": (beam.front / 2,)}[stage]]
    try:
        got = bent(beam.stiffness, beam.loads, [*held, *mouth_rests(way.exchanger, beam, metres), *rests(way.exchanger, beam, metres)])
    except Tips:
        return
    named = (("R_e", "hook", "the hook carries, bundle as a beam held in line"), ("R_n", "mouth", "the mouth carries, as a beam"),
             ("R_i", "shell", "the shell inside carries, as a beam"))  # fmt: skip
    for symbol, name, label in named:
        w.kernel(symbol, label, got.reaction(name), "kN", _ELASTIC, Cite(STATICS, "elastic line"), ("s",))


def _raised(w: Working, beam: BundleBeam) -> None:
    """R_e where the hook is raised until only the last baffle rests."""
    if beam.baffles and beam.baffles[-1] > max(w["x_m"], w["x_c"]):
        w.kernel("x_f", "the last baffle", beam.baffles[-1], "m", "places of the baffles", Cite(STATICS, "geometry"))
        w.step("R_e = W*(x_f - x_c)/(x_f - x_h)", "kN", "the hook carries at most, raised until only the last baffle rests", "moments")


def _pull(w: Working, way: OnItsWay) -> None:
    """N_1, N_2, F_1, F_2 and F_stop."""
    there = ", ".join(s for s in _HOOK if s in w.steps)
    least, most = (f"W - max({there})", f"W - min({there})") if ", " in there else (f"W - {there}", f"W - {there}")
    w.step(f"N_1 = {least}", "kN", "rests in the shell, at least", "what the hook does not carry")
    w.step(f"N_2 = {most}", "kN", "rests in the shell, at most", "what the hook does not carry")
    if "alpha" not in way.working.steps:
        return
    for symbol in ("mu_1", "mu_2", "alpha", "k_1", "k_2"):
        w.take(symbol, way.working.steps[symbol], way.working.name)
    rests = "friction and slope of what rests in the shell"
    w.step("F_1 = N_1*k_1 if k_1 > 0 else N_2*k_1", "kN", "pull expected, clean bars", rests, "downhill the most that rests pulls hardest")
    w.step("F_2 = N_2*k_2 if k_2 > 0 else N_1*k_2", "kN", "pull expected, dirty bars", rests)
    stop_at(w, way.way)
    high = way.exchanger.bundle.friction_high
    say_margin(w, way.way, high.grade if high else "")
    say_downhill(w, way.working.steps.get("F_h"))
