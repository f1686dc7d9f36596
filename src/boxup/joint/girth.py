"""A tubesheet between channel and shell: two gaskets, one set of studs, each state on its own.

Why the end force acts on G: it is Appendix 2's own diameter, wider than the gasket's inside (which PCC-1 App. O takes),
so the load left on the gasket comes out smaller. For a number that says whether a gasket is still held, that is the careful one.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from boxup.core.calculation import calculation, number, word
from boxup.core.quantity import Quantity
from boxup.core.working import Working
from boxup.joint.gasket_loads import APP_2, GasketSide, loads, rib_width_line, side_problems, widths
from boxup.joint.thread import area_line, area_word, size_word, thread, thread_lines
from boxup.reference.load import source

PCC_1 = source("asme-pcc-1")
State = Literal["operating", "tube-test", "shell-test"]
STATES: tuple[State, ...] = ("operating", "tube-test", "shell-test")
_SIDES = ("tube", "shell")
_LETTER = {"tube": "t", "shell": "s"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Girth:
    """Both gaskets, both pressures, the one stud set, and the state the residual loads are wanted in."""

    tube_gasket_od: Quantity = number("G_o", "outside of the tube-side gasket", "mm", above=0, most=2e4)
    tube_gasket_id: Quantity = number("G_i", "inside of the tube-side gasket", "mm", above=0, most=2e4)
    tube_m: Quantity = number("m", "gasket factor, tube side", "-", least=0, most=50)
    tube_y: Quantity = number("y", "seating stress of the code, tube side", "MPa", least=0, most=2000)
    tube_pressure: Quantity = number("P", "tube-side pressure, gauge", "MPa", least=0, most=1000)
    shell_gasket_od: Quantity = number("G_o", "outside of the shell-side gasket", "mm", above=0, most=2e4)
    shell_gasket_id: Quantity = number("G_i", "inside of the shell-side gasket", "mm", above=0, most=2e4)
    shell_m: Quantity = number("m", "gasket factor, shell side", "-", least=0, most=50)
    shell_y: Quantity = number("y", "seating stress of the code, shell side", "MPa", least=0, most=2000)
    shell_pressure: Quantity = number("P", "shell-side pressure, gauge", "MPa", least=0, most=1000)
    bolts: Quantity = number("n", "studs", "count", least=4, most=1000)
    size: str = size_word()
    stress: Quantity = number("S_b", "stud stress", "MPa", above=0, most=3000)
    area: str = area_word()
    state: str = word("state", STATES, default="operating")
    rules: str = word("rules", ("us", "si"), default="us")
    tube_rib_length: Quantity | None = number("l_r", "length of all ribs, tube side", "mm", optional=True, above=0, most=1e6)
    tube_rib_width: Quantity | None = number("w_r", "rib width, tube side", "mm", optional=True, above=0, most=1000)
    shell_rib_length: Quantity | None = number("l_r", "length of all ribs, shell side", "mm", optional=True, above=0, most=1e6)
    shell_rib_width: Quantity | None = number("w_r", "rib width, shell side", "mm", optional=True, above=0, most=1000)

    def side(self, name: str) -> GasketSide:
        """The gasket of one side."""
        keys = ("gasket_od", "gasket_id", "m", "y", "pressure", "rib_length", "rib_width")
        return GasketSide(rules=self.rules, **{k: getattr(self, f"{name}_{k}") for k in keys})

    def problems(self) -> list[str]:
        return stud_count("bolts", self.bolts) + [p for s in _SIDES for p in side_problems(self.side(s), f"{s}_")]


def whole_number(key: str, value: Quantity) -> list[str]:
    """A sentence when a count is not whole."""
    return [] if float(value.si).is_integer() else [f"{key}: {value.typed!r} is not a whole number of studs"]


def stud_count(key: str, count: Quantity) -> list[str]:
    """A sentence where so many studs do not stand evenly: a flange has them in fours, or at least in pairs."""
    whole = whole_number(key, count)
    if not whole and count.si % 2:
        return [f"{key}: {count.typed!r} is an odd number; studs stand in pairs across a flange: count them again"]
    return whole


def acts(side: str, state: str) -> bool:
    """Whether the pressure given acts on that side in that state: the tested side's own, both in operation."""
    return state == "operating" or state == f"{side}-test"


_ANSWERS = "{s}_operating_load=W_m1{x}@N {s}_seating_load=W_m2{x}@N {s}_residual_load=R_{x}@N {s}_gasket_stress=S_g{x}@MPa"
ANSWERS = " ".join(_ANSWERS.format(s=s, x=x) for s, x in _LETTER.items())


@calculation("girth-joint", APP_2, Girth, f"{ANSWERS} required_load=W@N")
def girth_joint(w: Working, joint: Girth) -> None:
    """Both gaskets of a stationary tubesheet on their one stud set."""
    _studs(w, joint)
    for name, x in _LETTER.items():
        side = joint.side(name)
        part = w.part(f"{name} side")
        part.take_in(side)
        widths(part, rules=joint.rules)
        rib_width_line(part, joint.rules)
        loads(part)
        gasket_area(part)
        _carry_over(w, part, x)
        _residual(w, name, x, joint.state)
    w.step("W = max(W_m1t, W_m2t, W_m1s, W_m2s)", "kN", "what the one stud set must carry", "2-5(a): a tubesheet between two flanges")
    w.limit("n*F >= W", "The studs do not reach the larger of the loads the two gaskets ask for", "2-5(a)", "warn")


def _studs(w: Working, joint: Girth) -> None:
    w.given("n", "studs", joint.bolts, "count")
    w.given("S_b", "stud stress", joint.stress, "MPa")
    w.words = {"stud size": joint.size, "stud area": joint.area, "state": joint.state}
    thread_lines(w, thread(joint.size))
    area_line(w, joint.area)
    w.step("F = S_b*A", "kN", "stud load", "stress on the area used", source=PCC_1)


def gasket_area(w: Working) -> None:
    """A_g: the ring and, where there are ribs, half of them."""
    if "l_r" in w.steps:
        w.step(
            "A_g = pi/4*(G_o**2 - G_i**2) + l_r*w_r/2", "mm2", "gasket area: ring and half the ribs", "App. O: half the ribs", source=PCC_1
        )
    else:
        w.step("A_g = pi/4*(G_o**2 - G_i**2)", "mm2", "gasket area", "App. O: full ring", source=PCC_1)


def _carry_over(w: Working, part: Working, x: str) -> None:
    for mine, its in ((f"W_m1{x}", "W_m1"), (f"W_m2{x}", "W_m2"), (f"H_{x}", "H"), (f"A_g{x}", "A_g")):
        w.take(mine, part.steps[its], part.name)


def _residual(w: Working, name: str, x: str, state: str) -> None:
    if acts(name, state):
        w.step(f"R_{x} = n*F - H_{x}", "kN", f"load left on the {name}-side gasket", "stud load less end force on G")
        lifts = f"The pressure lifts the {name}-side gasket off its seat: the joint opens"
        w.limit(f"n*F > H_{x}", lifts, "stud load less end force on G")
    else:
        w.step(f"R_{x} = n*F", "kN", f"load on the {name}-side gasket", "stud load", f"{state}: no pressure on the {name} side")
    w.step(f"S_g{x} = R_{x}/A_g{x}", "MPa", f"stress on the {name}-side gasket", "load over gasket area", source=PCC_1)
