"""The passes of one joint: four studs snug and the gap read, then 30, 60 and 100 % across, round until no nut turns, wait, round again."""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.quantity import Quantity
from boxup.core.rounding import both
from boxup.core.working import Working
from boxup.joint.crossover import tightening_order, working_groups
from boxup.reference.load import source

PCC_1 = source("asme-pcc-1")
TRADE = source("trade")
ACROSS = (0.30, 0.60, 1.00)  # of the target torque
SNUG = 0.20  # hand-tight is at most this much of it
WAIT_HOURS = 4.0
GAP_PLACES = ("12", "3", "6", "9")


@dataclass(frozen=True, slots=True, kw_only=True)
class Pass:
    """One time round the joint. `groups`: studs pulled together, in order; `torque`: as set on the wrench, empty where there is none."""

    name: str
    what: str
    groups: tuple[tuple[int, ...], ...]
    fraction: float | None = None
    torque: str = ""
    gaps: tuple[str, ...] = ()
    wait_hours: float = 0.0

    @property
    def order(self) -> tuple[int, ...]:
        """Stud by stud."""
        return tuple(s for g in self.groups for s in g)


@dataclass(frozen=True, slots=True)
class Schedule:
    """The passes in order, and the working of the time they take two people."""

    passes: tuple[Pass, ...]
    time: Working

    @property
    def minutes(self) -> float:
        """Work without the wait."""
        return self.time.steps["t"].value


def first_four(studs: int) -> tuple[int, ...]:
    """The studs nearest 12, 3, 6 and 9 o'clock with stud 1 at 12, opposite ones in turn; fewer where there are fewer than four."""
    places = [round(k * studs / 4) % studs + 1 for k in (0, 2, 1, 3)]
    return tuple(dict.fromkeys(places))


def schedule(studs: int, torque: Quantity | None, *, tools: int = 1) -> Schedule:
    """All passes of a joint of so many studs at a target torque, for one, two or four tools.

    Raises ValueError for a count or a number of tools that cannot be worked.
    """
    if studs < 2 or tools not in (1, 2, 4) or tools > studs:
        raise ValueError(f"{studs} studs with {tools} tools: accepted are 2 studs or more and 1, 2 or 4 tools, no more tools than studs")
    four, all_across = first_four(studs), tuple(tuple(g) for g in working_groups(studs, tools))
    one_by_one = tuple((s,) for s in tightening_order(studs))
    around = tuple((s,) for s in range(1, studs + 1))
    found = [
        Pass(name="four snug", what=f"Studs {', '.join(map(str, four))} hand-tight; read the gap at four places.",
             groups=tuple((s,) for s in four), gaps=GAP_PLACES),
        Pass(name="all snug", what=f"The rest hand-tight in the order across, no more than {SNUG * 100:.0f} % of the target; read the gap.",
             groups=tuple(g for g in one_by_one if g[0] not in four), gaps=GAP_PLACES),
    ]  # fmt: skip
    for number, fraction in enumerate(ACROSS, start=1):
        what = f"All studs to {fraction * 100:.0f} % in the order across; read the gap."
        found.append(
            Pass(name=f"pass {number}", what=what, groups=all_across, fraction=fraction, torque=set_to(torque, fraction), gaps=GAP_PLACES)
        )
    rest = "Clockwise from stud to stud at full torque, again and again, until no nut turns."
    found.append(Pass(name="round", what=rest, groups=around, fraction=1.0, torque=set_to(torque, 1.0)))
    waited = f"Wait {WAIT_HOURS:g} h or longer, then clockwise again until no nut turns. Never under pressure, never after hot service."
    found.append(
        Pass(name="round after the wait", what=waited, groups=around, fraction=1.0, torque=set_to(torque, 1.0), wait_hours=WAIT_HOURS)
    )
    return Schedule(tuple(found), time_for(studs, tools))


def set_to(torque: Quantity | None, fraction: float) -> str:
    """A share of the torque as it is set on a wrench, in both systems; nothing where there is no torque."""
    return both("torque", torque.si * fraction) if torque is not None else ""


def time_for(studs: int, tools: int) -> Working:
    """Minutes for two people: hand work on each stud, then three passes across and two round, shared between the tools."""
    w = Working("time for the passes", TRADE)
    w.given("n", "studs", Quantity(float(studs), "count", str(studs)), "count")
    w.given("n_t", "tools", Quantity(float(tools), "count", str(tools)), "count")
    for symbol, label, minutes in (("t_s", "set and lubricate a stud, both ends", 1.2), ("t_h", "hand-tight, a stud", 0.5),
                                   ("t_a", "across, a stud", 1.3), ("t_r", "round, a stud", 0.8)):  # fmt: skip
        w.constant(symbol, label, minutes, "min", w.cite("minutes a stud, a planning figure"))
    w.step("t = n*(t_s/2 + t_h/2) + n*(3*t_a + 2*t_r)/n_t", "min", "time for the passes, two people, without the wait", "planning figure")
    return w
