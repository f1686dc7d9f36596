"""What wall a U-tube must have before it is bent."""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.calculation import calculation, number
from boxup.core.quantity import Quantity
from boxup.core.working import Working
from boxup.reference.load import source

_TEMA = source("tema")
_USUAL = "The bend is tighter than is usually made: the outside of the bend may be thinned beyond this rule, ask the tube maker"


@dataclass(frozen=True, slots=True, kw_only=True)
class Bend:
    """A U-tube: its outside diameter, the radius of the bend's centre line, and the wall the bend must keep."""

    tube_od: Quantity = number("d_o", "tube outside diameter", "mm", above=0, most=1000)
    bend_radius: Quantity = number("R_b", "mean radius of the bend", "mm", above=0, most=1e5)
    wall: Quantity = number("t_1", "least wall needed, as for a straight tube", "mm", above=0, most=500)

    def problems(self) -> list[str]:
        found = []
        if self.wall.si >= self.tube_od.si / 2:
            found.append(
                f"wall: {self.wall.typed} is half of the outside diameter {self.tube_od.typed} or more: the tube would have no bore"
            )
        if self.bend_radius.si <= self.tube_od.si / 2:
            found.append(
                f"bend_radius: {self.bend_radius.typed} is half of the outside diameter {self.tube_od.typed} or less: no such bend"
            )
        return found


@calculation("bend-wall", _TEMA, Bend, "wall_before=t_0@mm")
def bend_wall(w: Working, given: Bend) -> None:
    """The wall of a U-tube before bending that leaves the least wall needed at the outside of the bend."""
    w.take_in(given)
    w.limit("R_b >= 1.5*d_o", _USUAL, "least radius in use, 1.5 tube diameters", "warn", source("trade"))
    w.step("t_0 = t_1*(1 + d_o/(4*R_b))", "mm", "wall before bending", "RCB-2.31")
