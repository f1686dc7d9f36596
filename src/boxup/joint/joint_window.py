"""The window of a joint of an exchanger: every gasket its studs clamp, in every state, its flanges, and the stress the site works to."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from boxup.core.finding import Missing
from boxup.core.rounding import between
from boxup.core.source import SAID
from boxup.core.working import Assumed, Step, Working
from boxup.exchanger.model import Joint, Studs
from boxup.joint.flanges import FlangeAnswer
from boxup.joint.gasket_stress import GasketAnswer
from boxup.joint.grade import TRADE, WORK_HARDEST, WORK_LEAST
from boxup.joint.window import APP_O, PCC_1, Limit, ends, governing, no_load

_USUAL = {"low": ("S_b1", WORK_LEAST, "least"), "high": ("S_b2", WORK_HARDEST, "most")}


@dataclass(frozen=True, slots=True)
class JointWindow:
    """What one set of studs may be pulled to, on the area its target is on. `limits`: every limit there is, low ones first.

    `lower` and `upper` are None where no limit of that end is known; `missing` says what would make the window whole.
    """

    working: Working
    limits: tuple[Limit, ...] = ()
    lower: Step | None = None
    upper: Step | None = None
    missing: tuple[Missing, ...] = field(default=())

    @property
    def whole(self) -> bool:
        """Both ends known."""
        return self.lower is not None and self.upper is not None

    @property
    def feasible(self) -> bool | None:
        """Whether a stud stress satisfies every limit; None where an end is not known."""
        if self.lower is None or self.upper is None:
            return None
        return bool(self.lower.si <= self.upper.si * (1 + 1e-12))

    @property
    def governing_low(self) -> str:
        return governing(self.limits, "low").who if self.lower else ""

    @property
    def governing_high(self) -> str:
        return governing(self.limits, "high").who if self.upper else ""

    @property
    def impossible(self) -> bool:
        """No load satisfies the limits somebody gave for this very joint: a torque cannot be right."""
        given = [x for x in self.limits if not x.by_practice and not x.careful]
        if not {"low", "high"} <= {x.end for x in given}:
            return False
        return bool(governing(given, "low").step.si > governing(given, "high").step.si * (1 + 1e-12))

    @property
    def words(self) -> str:
        """`352 to 507 MPa (51.1 to 73.5 ksi)`, or nothing."""
        return between("stress", self.lower.si, self.upper.si) if self.lower and self.upper else ""


def joint_window(
    w: Working,
    studs: Working,
    set_: Studs | None,
    joints: Sequence[Joint],
    gaskets: Sequence[GasketAnswer],
    flanges: Sequence[FlangeAnswer],
) -> JointWindow:
    """Gather the limits as a part of `w`, the part `studs` holding n, A, S_b and S_y as far as they are known."""
    part = w.part("window", PCC_1)
    if "A" not in studs.steps or "n" not in studs.steps:
        w.parts.remove(part)
        do = "count, size and target stress of the studs come first."
        return JointWindow(part, missing=(Missing(f"window of {w.name}", do),))
    for symbol in ("n", "A", "S_b", "S_y"):
        if symbol in studs.steps:
            part.take(symbol, studs.steps[symbol], studs.name)
    limits = [*_site(part, set_)]
    for joint, gasket in zip(joints, gaskets, strict=True):
        limits += _of_gasket(part, joint, gasket)
    for flange in flanges:
        limits += _of_flange(part, flange, next((j for j in joints if j.id == flange.joint), None))
    return _closed(w, part, limits, joints, gaskets, flanges)


def _closed(
    w: Working,
    part: Working,
    limits: list[Limit],
    joints: Sequence[Joint],
    gaskets: Sequence[GasketAnswer],
    flanges: Sequence[FlangeAnswer],
) -> JointWindow:
    limits.sort(key=lambda x: x.end == "high")
    missing = tuple(_missing(w.name, limits, joints, gaskets, flanges))
    if {"low", "high"} - {x.end for x in limits}:
        return JointWindow(part, tuple(limits), missing=missing)
    lower, upper = ends(part, limits)
    found = JointWindow(part, tuple(limits), lower, upper, missing)
    _judge(part, found)
    return found


def _site(part: Working, set_: Studs | None) -> Iterator[Limit]:
    """What the site works to; where it says nothing, the usual shares of yield, and that is said."""
    for end, given in (("low", set_.least_stress if set_ else None), ("high", set_.most_stress if set_ else None)):
        symbol, share, word = _USUAL[end]
        label = f"{word} stud stress"
        if given is not None:
            step = part.given(symbol, f"{label} the site works to", given, "MPa")
            yield Limit(end, f"{label} of the site", step)  # type: ignore[arg-type]
        elif "S_y" in part.steps:
            part.assumed(f"f_{end}", f"{label}, as a share of yield", share, "-", f"the usual {share:.0%}, {SAID[TRADE.label]}")
            step = part.step(f"{symbol} = f_{end}*S_y", "MPa", f"{label} usual", "40 to 70 % of yield", "assumed: not given", TRADE)
            yield Limit(end, f"{label} ({share:.0%} of yield, usual)", step, by_practice=True)  # type: ignore[arg-type]


# (end, mark, symbols needed, the line, who, what): `{x}` is the joint.
_GASKET: tuple[tuple[str, str, tuple[str, ...], str, str, str], ...] = (
    ("low", "L_s", ("S_gminS", "A_g"), "S_gminS_{x}*A_g_{x}/(n*A)", "gasket of {x}, seating", "stud stress that seats it"),
    ("low", "L_o", ("S_gminO", "A_g", "H", "phi_g"), "(S_gminO_{x}*A_g_{x} + H_{x})/(phi_g_{x}*n*A)", "gasket of {x}, in operation",
     "stud stress that keeps it tight in operation, relaxed"),
    ("low", "L_t", ("S_gminT", "A_g", "H_t"), "(S_gminT_{x}*A_g_{x} + H_t_{x})/(n*A)", "gasket of {x}, on test",
     "stud stress that keeps it tight on test"),
    ("high", "U_c", ("S_gmax", "A_g"), "S_gmax_{x}*A_g_{x}/(n*A)", "gasket of {x}, crushing", "stud stress that crushes it"),
    ("high", "U_x", ("S_gmax", "A_g", "H_x"), "(S_gmax_{x}*A_g_{x} - H_x_{x})/(n*A)", "gasket of {x}, crushing on the shell test",
     "stud stress that crushes it, pressed on from outside"),
    ("high", "U_d", ("S_gmax", "A_g", "H_d"), "(S_gmax_{x}*A_g_{x} - H_d_{x})/(n*A)", "gasket of {x}, crushing, tube side down",
     "stud stress that crushes it, pressed on from outside in service"),
)  # fmt: skip


def _of_gasket(part: Working, joint: Joint, gasket: GasketAnswer) -> Iterator[Limit]:
    steps = dict(gasket.working.steps)
    if "S_gminT" not in steps and "S_gminO" in steps:
        steps["S_gminT"] = steps["S_gminO"]  # the maker's figure holds on test too
    for end, mark, needs, line, who, what in _GASKET:
        if not set(needs) <= steps.keys():
            continue
        for symbol in needs:
            if f"{symbol}_{joint.id}" not in part.steps:
                part.take(f"{symbol}_{joint.id}", steps[symbol], gasket.working.name)
        text = f"{mark}_{joint.id} = {line.format(x=joint.id)}"
        step = part.step(text, "MPa", f"gasket of {joint.id}: {what}", f"{APP_O}", source=PCC_1)
        taken = mark == "L_o" and isinstance(steps["phi_g"].origin, Assumed)  # the usual share of load kept, not the maker's
        yield Limit(end, who.format(x=joint.id), step, by_practice=taken)  # type: ignore[arg-type]


def _of_flange(part: Working, flange: FlangeAnswer, joint: Joint | None) -> Iterator[Limit]:
    for state in flange.states:
        symbol = f"{state.most.symbol}_{flange.flange}"
        step = part.take(symbol, state.most, flange.working.name, f"{flange.who}: {state.most.label}")
        yield Limit("high", f"{flange.who}, {state.name}", step, careful=True)
    # a backing ring turns behind the tubesheet: the gasket lies on the other side of it and does not feel that
    turned = flange.states[0].rotation if flange.states and flange.part != "backing ring" else None
    if turned is not None and joint and joint.gasket and joint.gasket.rotation is not None and turned.si > 0:
        f = flange.flange
        part.take(f"theta_a_{f}", turned, flange.working.name)
        part.given(f"theta_g_{f}", f"rotation the gasket of {joint.id} stands", joint.gasket.rotation, "deg")
        line = f"U_r_{f} = S_b*theta_g_{f}/theta_a_{f}"
        yield Limit("high", f"{flange.who}, rotation", part.step(line, "MPa", f"{flange.who}: rotation", "App. O, (O-9)", source=PCC_1))


def _missing(
    name: str, limits: Sequence[Limit], joints: Sequence[Joint], gaskets: Sequence[GasketAnswer], flanges: Sequence[FlangeAnswer]
) -> Iterator[Missing]:
    yield from (m for f in flanges for m in f.missing)
    for joint, gasket in zip(joints, gaskets, strict=True):
        if not gasket.states:
            yield Missing(f"gasket of {joint.id} in the window", "its size, kind and stresses come first.")
    if not flanges:
        do = "give its flanges from the drawing ([flange.F1] and so on); until then the window says nothing of them."
        yield Missing(f"limit of the flanges of {name}", do)
    for end, word in (("low", "lower"), ("high", "upper")):
        if not any(x.end == end for x in limits):
            yield Missing(f"{word} end of the window of {name}", "give the grade of the studs, or the stress the site works to.")


def _judge(part: Working, found: JointWindow) -> None:
    """No window; or a target outside it, who sets that end named. What the site itself set is a stop."""
    low, high = governing(found.limits, "low"), governing(found.limits, "high")
    practice = low.by_practice or high.by_practice
    if not part.limit("S_low <= S_up", no_load(low, high), APP_O, "warn" if practice and not found.impossible else "stop", bare=True):
        return
    say = "The target is {} what the site works to for these studs. Ask the engineer who set it"
    given = {x.step.symbol for x in found.limits if not x.by_practice} if "S_b" in part.steps else set()
    if "S_b1" in given:
        part.limit("S_b >= S_b1", say.format("below"), "least stud stress of the site")
    if "S_b2" in given:
        part.limit("S_b <= S_b2", say.format("above"), "most stud stress of the site")
    if "S_b" in part.steps:
        _outside(part, low, high)


def _outside(part: Working, low: Limit, high: Limit) -> None:
    """A target that somebody set outside the window that is printed beside it."""
    if low.step.symbol != "S_b1":
        say = f"The target is below this joint's window: {low.who} asks for more. Ask the engineer who set it"
        part.limit("S_b >= S_low", say, APP_O, "note" if low.by_practice else "warn")
    if high.step.symbol != "S_b2":
        say = f"The target is above this joint's window: {high.who} takes less. Ask the engineer who set it"
        part.limit("S_b <= S_up", say, APP_O, "note" if high.by_practice else "warn")
