"""A flat plate between two flanges: the least thickness for a pressure."""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.calculation import calculation, number
from boxup.core.quantity import Quantity
from boxup.core.working import Working
from boxup.reference.load import source

CLAUSE = "304.5.3"


@dataclass(frozen=True, slots=True, kw_only=True)
class Plate:
    """`diameter`: gasket inside diameter (flat and raised face) or the pitch diameter of a ring joint."""

    diameter: Quantity = number("d_g", "gasket inside diameter", "mm", above=0)
    pressure: Quantity = number("P", "pressure it must hold", "MPa", above=0)
    stress: Quantity = number("S", "allowable stress of the plate", "MPa", above=0)
    efficiency: Quantity | None = number("E", "weld quality of the plate, 1 without a weld", "-", above=0, most=1, optional=True)
    corrosion: Quantity | None = number("c", "corrosion allowance", "mm", least=0, optional=True)


@calculation("blank", source("asme-b31-3"), Plate, "thickness=t_m@mm")
def blank(w: Working, plate: Plate) -> None:
    """Least thickness of a blank."""
    w.take_in(plate)
    if plate.efficiency is None:
        w.assumed("E", "weld quality of the plate", 1.0, "-", "one piece, no weld")
    if plate.corrosion is None:
        w.assumed("c", "corrosion allowance", 0.0, "mm", "in for the job only")
    w.limit("P < S", "The pressure is not below the allowable stress: the plate formula is far outside its use", CLAUSE)
    w.step("t_m = d_g*sqrt(3*P/(16*S*E)) + c", "mm", "least thickness", CLAUSE)
