"""Air left in a side, from the litres pumped against the pressure: air bends the foot of the curve, water and walls are straight."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from boxup.core.calculation import BadInput, calculation, number, word
from boxup.core.quantity import Quantity
from boxup.core.unit import UNITS
from boxup.core.working import Working
from boxup.hydro.balance import MOST_AIR
from boxup.hydro.log_file import LogTable, read_log
from boxup.hydro.water import atmosphere, temperature_field, water_lines
from boxup.reference.load import source

GAS = source("gas-law")
TRADE = source("trade")
COLUMNS = ("pressure", "pumped")
FEWEST = 4
FOOT = 0.05  # of all the litres: more than that at 0 gauge was not pumped against pressure
LEAST_RISE = 2.0  # the pressure must at least treble: below, air and water look alike


@dataclass(frozen=True, slots=True, kw_only=True)
class Pumping:
    """Litres pumped against pressure, from the moment the side was full and at zero; and the volume filled."""

    file: str = word("log of the pumping, a CSV file with P_gauge_MPa, pumped_L")
    volume: Quantity = number("V", "volume of the side", "m3", above=0, most=1e4)
    gauge_step: Quantity | None = number("d_p", "the gauge was read to", "MPa", optional=True, least=0, most=10)
    pump_step: Quantity | None = number("d_V", "the litres were read to", "L", optional=True, least=0, most=1000)
    temperature: Quantity | None = temperature_field("T", "water temperature", optional=True)


ANSWERS = "air=V_a@L air_uncertainty=U_a@L fraction=x_a@- slope=s@L/MPa least_slope=s_w@L/MPa"


@calculation("trapped-air", GAS, Pumping, ANSWERS)
def trapped_air(w: Working, given: Pumping) -> None:
    """Air in litres at 1 atm with its 95 % uncertainty, its share of the volume, and the litres for each MPa without it."""
    table = read_log(given.file, COLUMNS)
    w.take_in(given)
    fit(w, table)
    w.step("x_a = V_a/V", "-", "share of the volume that is air", "at 1 atm")
    w.constant("x_max", "share above which the side is vented again", MOST_AIR, "-", w.cite("0.2 % of the volume", TRADE))
    again = "There is air in it: let the pressure down, vent every high point again, and pump anew. Air stores energy and hides a leak"
    w.limit("x_a <= x_max", again, "0.2 % of the volume", "warn", TRADE)
    _against_water(w, given, table.columns["pressure"][-1])


def fit(w: Working, table: LogTable) -> None:
    """V_a, U_a, s and U_s by least squares of `V_a (1 - P_0/P) + s (P - P_0)`. Raises BadInput where the log cannot tell.

    Neither uncertainty is less than what reading gauge and litres to their last figure leaves: d_p and d_V of the working, else the
    decimals of the log. Readings that happen to lie on the curve are no better read than others.
    """
    import numpy as np

    w.constant("P_0", "pressure of the air outside", 0.101325, "MPa abs", w.cite("1 atm"))
    p, pumped = (np.array(table.columns[c]) for c in COLUMNS)
    _refuse(table.name, p, pumped, w["P_0"])
    absolute = p + w["P_0"]
    x = np.column_stack([1 - w["P_0"] / absolute, p])
    found, *_ = np.linalg.lstsq(x / np.linalg.norm(x, axis=0), pumped, rcond=None)
    found = found / np.linalg.norm(x, axis=0)
    left = pumped - x @ found
    free = int((p > 0).sum()) - 2  # at 0 the curve is nought whatever the air
    spread = np.linalg.inv(x.T @ x) * float(left @ left) / free
    _read_to(w, table)
    floor = _as_read(x, absolute, found, w)
    method = "least squares of the litres pumped on V_a (1 − P_0/P) + s (P − P_0), P absolute"
    cite = w.cite("air by Boyle's law, water and walls in proportion")
    w.kernel("V_a", "air, at 1 atm", float(found[0]), "L", method, cite, ("P_0",))
    w.kernel("s", "litres for each MPa, water and walls", float(found[1]), "L/MPa", method, cite, ("P_0",))
    how = "scatter about that curve, not less than reading gauge and litres leaves"
    air, per = (max(student(free) * float(spread[i, i]) ** 0.5, 1.96 * floor[i]) for i in (0, 1))
    w.kernel("U_a", "95 % uncertainty of the air", air, "L", how, cite, ("d_p", "d_V"))
    w.kernel("U_s", "95 % uncertainty of the litres for each MPa", per, "L/MPa", how, cite, ("d_p", "d_V"))


def _read_to(w: Working, table: LogTable) -> None:
    """d_p and d_V: as given, else the decimals of the log; a gauge pumped to round figures is still read to a hundredth of its top."""
    for symbol, label, column, most in (
        ("d_p", "the gauge was read to", "pressure", 0.01),
        ("d_V", "the litres were read to", "pumped", 0.1),
    ):
        if symbol in w.steps:
            continue
        unit = UNITS[table.units[column]]
        numbers = [unit.from_si(v) for v in table.columns[column]]
        step = min(unit.scale * decimals(numbers), most * max(table.columns[column]))
        shown = "MPa" if column == "pressure" else "L"
        w.assumed(symbol, label, UNITS[shown].from_si(step), shown, "the last decimal in the log")


def decimals(numbers: Sequence[float]) -> float:
    """1, 0.1, 0.01 ... : the last decimal any of them has, to six."""
    return next((10.0**-n for n in range(6) if all(abs(x - round(x, n)) < 1e-9 * max(1.0, abs(x)) for x in numbers)), 1e-6)


def _as_read(x: Any, absolute: Any, found: Any, w: Working) -> Any:
    """1 sd of both figures where every reading is off by up to half of what it was read to; the reading at 0 as well."""
    import numpy as np

    slope = found[0] * w["P_0"] / absolute**2 + found[1]
    off = ((slope * w["d_p"]) ** 2 + w["d_V"] ** 2) / 12
    inverse = np.linalg.inv(x.T @ x)
    return np.sqrt(np.diag(inverse @ (x.T * off) @ x @ inverse))


def _refuse(name: str, p: Any, pumped: Any, outside: float) -> None:
    problems = []
    if len(p) < FEWEST or (p > 0).sum() < FEWEST - 1:
        problems.append(f"file: {name}: {len(p)} readings; at least {FEWEST} are needed, one of them at 0")
    elif (p[1:] < p[:-1]).any() or (pumped[1:] < pumped[:-1]).any():
        problems.append(f"file: {name}: pressure and litres must rise from reading to reading: log the way up, without letting down")
    elif p[0] < 0 or pumped[0] < 0:
        problems.append(f"file: {name}: less than nothing at the start; accepted: gauge pressure and litres from zero upward")
    elif pumped[-1] <= 0:
        problems.append(f"file: {name}: no litres at all; accepted: what the meter or the tank shows, counted from zero gauge")
    elif pumped[0] > FOOT * pumped[-1] and p[0] <= 0:
        problems.append(f"file: {name}: litres at 0 gauge; accepted: litres counted from there: take off what the meter showed at 0")
    elif len({round(x, -2) for x in p if x > 0}) < FEWEST - 1:
        problems.append(f"file: {name}: fewer than {FEWEST - 1} different pressures above 0; log the litres at more of them")
    elif (p[-1] + outside) < (1 + LEAST_RISE) * (p[0] + outside):
        bar = UNITS["bar"].from_si(p[-1])
        problems.append(f"file: {name}: it ends at {bar:.3g} bar; air shows in the foot of the curve: log from zero to at least 2 bar")
    if problems:
        raise BadInput(problems)


# Two-sided 95 % of Student's t by degrees of freedom; between them the larger is taken.
_T = {1: 12.706, 2: 4.303, 3: 3.182, 4: 2.776, 5: 2.571, 6: 2.447, 7: 2.365, 8: 2.306, 9: 2.262, 10: 2.228, 15: 2.131, 20: 2.086, 30: 2.042,
      60: 2.0, 120: 1.98}  # fmt: skip


def student(free: int) -> float:
    """The factor of 95 % for so many degrees of freedom."""
    return _T[max(k for k in _T if k <= max(free, 1))]


def _against_water(w: Working, given: Pumping, top: float) -> None:
    """The walls can only add to what the water gives: a slope under the water's own says the volume or the litres are wrong."""
    if given.temperature is None:
        return
    w.given("P_2", "last pressure of the log", Quantity(top, "MPa", "last reading"), "MPa")
    atmosphere(w)
    w.step("p = P_2/2 + p_atm", "MPa abs", "mean pressure", "half way")
    water_lines(w)
    w.step("s_w = 0.98*kappa*V", "L/MPa", "least the water alone gives, 2 % off", "compressibility times volume")
    stiff = "The side would be stiffer than the water in it: volume or litres are not right. Look at both before the air is believed"
    w.limit("s >= s_w", stiff, "compressibility times volume", "warn")
