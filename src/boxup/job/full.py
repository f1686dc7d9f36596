"""What a side full of water does by its own test sheet, at a water temperature: litres for each bar, pressure for each degree."""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.calculation import Answer, BadInput
from boxup.core.quantity import Quantity
from boxup.core.unit import UNITS
from boxup.core.working import Working
from boxup.exchanger.model import Exchanger
from boxup.exchanger.volumes import side_volumes
from boxup.hydro.plan import plan_of
from boxup.hydro.sheet import Conditions, test_sheet

USUAL_WATER = 15.0  # degC, where nobody read it
MOST_KEPT = 64  # sides at a temperature whose sheet is kept: a page asks for the same one with every reading


@dataclass(frozen=True, slots=True)
class Full:
    """All SI. rise: Pa/K; per_pressure: m3/Pa; volume: m3; squeeze: 1/Pa, of the water alone; gauge: Pa at test pressure, or None.

    water: K, and pressure: Pa gauge at the top, that rise and litres were worked at; pump_in: m3 to test pressure without air; air: m3 at
    1 atm from which it is vented again.
    """

    rise: float
    per_pressure: float
    volume: float
    squeeze: float
    gauge: float | None
    water: float
    pressure: float
    pump_in: float
    air: float


_kept: dict[tuple[int, str, float], tuple[Exchanger, Full | None]] = {}


def full(x: Exchanger, code: str, water: float) -> Full | None:
    """A test at a water temperature, degC; None where the file does not give enough, or has no such test. Kept for the same exchanger."""
    key = (id(x), code, water)
    found = _kept.get(key)
    if found is None or found[0] is not x:
        while len(_kept) >= MOST_KEPT:
            _kept.pop(next(iter(_kept)), None)
        found = _kept[key] = (x, _worked(x, code, water))
    return found[1]


def _worked(x: Exchanger, code: str, water: float) -> Full | None:
    test = next((t for t in plan_of(x) if t.code == code), None)
    if test is None:
        return None
    rooms = side_volumes(x).get(code)
    rooms = rooms if isinstance(rooms, Answer) else None
    known = Conditions(water=Quantity(UNITS["degC"].to_si(water), "degC", f"{water:g} degC"))
    try:
        sheet = test_sheet(x, test, volume=rooms.quantity("volume") if rooms else None, known=known, rooms=rooms)
    except BadInput:
        return None
    if not {"rise_per_degree", "volume_per_pressure", "fill"} <= sheet.values.keys():
        return None
    part = _water(sheet.working)
    gauge, rise, give = sheet.values.get("gauge_pressure"), sheet.si("rise_per_degree"), sheet.si("volume_per_pressure")
    return Full(rise, give, sheet.si("fill"), part["kappa"], gauge.si if gauge else None, part["T"], part["P"],
                sheet.si("pump_in"), part["V_a"])  # fmt: skip


def _water(w: Working) -> Working:
    return next(p for p in w.parts if p.name == "water")
