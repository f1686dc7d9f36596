"""By how much the stud load differs from stud to stud, by the way it is tightened, and what that makes of the target."""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.finding import Finding
from boxup.core.rounding import between, both
from boxup.core.source import Cite
from boxup.joint.assembly import JointAnswer
from boxup.reference.load import table


@dataclass(frozen=True, slots=True)
class Scatter:
    """`share`: of the target, either way. `low`, `high`: stud stress, Pa. `of_yield`: the high end, None where yield is not known.

    `past`: what of the window the scatter leaves, in words; "" where it stays inside or the window is not known.
    """

    share: float
    low: float
    high: float
    of_yield: float | None
    cite: Cite
    past: str = ""

    @property
    def span(self) -> str:
        """`242 – 449 MPa (35.1 – 65.1 ksi)`."""
        return between("stress", self.low, self.high, "–")

    def note(self, joint: str) -> Finding:
        """As a sentence."""
        to_yield = f", {self.of_yield * 100:.0f} % of yield," if self.of_yield is not None else ""
        ends = f"{both('stress', self.low)} to {both('stress', self.high)}{to_yield}"
        text = f"{joint}: at ±{self.share * 100:.0f} % scatter a stud may be at {ends} though every one was tightened to the figure."
        text += f" {self.past}" if self.past else ""
        return Finding("note", text, str(self.cite))


def scatter(answer: JointAnswer, tool_kind: str = "") -> Scatter | None:
    """By the kind of the tool named for the studs; None where there is no target, or no torque and no tensioner."""
    by_load = tool_kind == "tensioner"
    if answer.stress is None or not (by_load or answer.torque):
        return None
    row = table("tightening_scatter")["tensioner" if by_load else "torque"]
    share, stress = row.need("scatter"), float(answer.stress.si)
    of_yield = answer.yield_fraction.si * (1 + share) if answer.yield_fraction else None
    low, high = stress * (1 - share), stress * (1 + share)
    return Scatter(share, low, high, of_yield, row.cite, _past(answer, low, high))


def _past(answer: JointAnswer, low: float, high: float) -> str:
    """The ends of the joint's window that a stud may be past: no stop, for the window is for the mean."""
    window = answer.window
    if window is None or answer.shut:
        return ""
    under = window.lower is not None and low < window.lower.si
    over = window.upper is not None and high > window.upper.si
    ends = [word for word, there in (("under", under), ("over", over)) if there]
    return f"Part of that is {' and '.join(ends)} the joint's window, which is for the mean of its studs." if ends else ""
