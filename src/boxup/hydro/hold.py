"""The hold of a pressure test, judged: what the log shows of a leak, how sure that is, and what the doubt is made of.

Looking at every joint remains the acceptance; these numbers support it, and never say tight.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from operator import ge
from typing import TYPE_CHECKING, Any

from boxup.core.calculation import BadInput, calculation, number, word
from boxup.core.quantity import BadValue, Quantity, quantity
from boxup.core.rounding import both
from boxup.core.unit import UNITS
from boxup.core.working import Entered, Working
from boxup.hydro.log_file import LogTable, read_log
from boxup.hydro.two_gauges import furthest
from boxup.reference.load import source

if TYPE_CHECKING:  # numpy is slow to begin, and most calculations do without
    from boxup.hydro.hold_estimate import Estimate
    from boxup.hydro.hold_steady import Break

DECAY = source("corrected-decay")
LOOK = "Looking at every joint, dry and at pressure, is the acceptance; this supports it and never says tight."
RISE_SHARE = 0.10  # how far the rise is thought to be off, where nobody says
WALL = 0.035  # MPa/K: what the wall alone does in a usual shell; where water hardly moves, near 6 °C, the wall still does
_PERCENT = re.compile(r"([0-9.,]+) ?%")
COLUMNS = ("time", "temperature", "pressure")


def rise_doubt(text: str, rise: float) -> float:
    """1 sd of the rise, MPa/K in SI, from `0.1`, `10 %` or `0.015 MPa/K`; nothing said: 10 %.

    A share is of the rise, or of the wall's own where that is more: near 6 °C a share of nearly nothing would be no doubt at all.
    Raises BadValue for what is none of these, and for more than the whole: then even the sign of the correction is not known.
    """
    whole = max(abs(rise), UNITS["MPa/K"].to_si(WALL))
    if not text:
        return RISE_SHARE * whole
    if found := _PERCENT.fullmatch(text.strip()):
        return _in_bounds(quantity(found[1], "-").si / 100 * whole, whole, text)
    try:
        share = quantity(text, "-").si
    except BadValue:
        return _in_bounds(quantity(text, "MPa/K").si, whole, text)
    return _in_bounds(share * whole, whole, text)


def _in_bounds(value: float, whole: float, text: str) -> float:
    if value < 0:
        raise BadValue(f"{text!r} is less than nothing; accepted: 0 or more")
    if value > whole * (1 + 1e-9):
        most = f"{UNITS['MPa/K'].from_si(whole):.4g} MPa/K"
        why = "with more than the rise itself in doubt not even the sign of the correction is known"
        raise BadValue(f"{text!r} is more than the whole; accepted: up to 1, 100 % or {most}: {why}. Measure the rise first")
    return value


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """A log, and what a degree and a litre do to this vessel. Uncertainties are 1 standard deviation."""

    file: str = word("log of the hold, a CSV file with t_min, T_water_C, P_MPa_gauge")
    rise_per_degree: Quantity = number(
        "g", "rise for each degree, at the mean temperature; never learned from the log", "MPa/K", least=-10, most=10
    )
    volume_per_pressure: Quantity = number("C", "volume for each pressure", "mL/MPa", above=0, most=1e9)
    rise_uncertainty: str = word("uncertainty of the rise: a share, or MPa/K; 10 % where left out", default="")
    volume_uncertainty: Quantity | None = number("u_C", "uncertainty of the volume for each pressure", "-", optional=True, least=0, most=1)
    thermometer_place: Quantity | None = number(
        "u_T", "how far water and wall may have moved apart from the thermometer", "K", optional=True, least=0, most=20
    )
    gauge_step: Quantity | None = number("d_p", "graduation of the gauge", "MPa", optional=True, least=0, most=10)
    thermometer_step: Quantity | None = number("d_T", "graduation of the thermometer", "K", optional=True, least=0, most=10)
    limit: Quantity | None = number("Q_see", "leak one must be able to see", "mL/min", optional=True, above=0, most=1e9)

    def problems(self) -> list[str]:
        """A doubt of the rise that is none, or more than the rise."""
        try:
            rise_doubt(self.rise_uncertainty, self.rise_per_degree.si)
        except BadValue as bad:
            return [f"rise_uncertainty: {bad}"]
        return []


ANSWERS = (
    "raw_drop=dp_r@MPa corrected_drop=dp_c@MPa duration=H@min leak=Q@mL/min leak_uncertainty=U@mL/min lower_bound=Q_1@mL/min "
    "upper_bound=Q_2@mL/min smallest_detectable=Q_d@mL/min"
)


@calculation("hold", DECAY, Hold, ANSWERS)
def hold(w: Working, given: Hold) -> dict[str, tuple[Any, str]]:
    """Leak, its uncertainty with its parts, bounds and verdict. Too short a log gives the drops and `cannot judge`."""
    table = read_log(given.file, COLUMNS, ("gauge_b",))
    _refuse(table)
    w.take_in(given)
    _defaults(w, given, table)
    return judge(w, table, given.limit)


def _defaults(w: Working, given: Hold, table: LogTable) -> None:
    """Every uncertainty as a line: given, or the usual one and why."""
    rise = given.rise_per_degree.si
    u_g = rise_doubt(given.rise_uncertainty, rise)
    if given.rise_uncertainty:
        w.given("u_g", "uncertainty of the rise", Quantity(u_g, "MPa/K", given.rise_uncertainty), "MPa/K")
    else:
        why = "10 % of the rise, and not below 10 % of what the wall of a usual shell does alone"
        w.assumed("u_g", "uncertainty of the rise", UNITS["MPa/K"].from_si(u_g), "MPa/K", why)
    _usual(w, "u_C", "uncertainty of the volume for each pressure", 0.07, "-", "worked out, not measured while pumping")
    why = "a pocket, in shade or lagged; 0.2 K on the skin or on bare steel in the sun"
    _usual(w, "u_T", "how far water and wall may have moved apart from the thermometer", 0.05, "K", why)
    if "u_T" in w.steps and given.thermometer_place is None:
        ask = (
            "Where does the thermometer sit? A pocket, in shade or lagged: 0.05 K. On the skin, or bare steel under sun and clouds: 0.2 K."
        )
        w.say("note", ask, "thermometer place")
    _steps(w, table)


def _usual(w: Working, symbol: str, label: str, value: float, unit: str, why: str) -> None:
    if symbol not in w.steps:
        w.assumed(symbol, label, value, unit, why)


LONG_GAP = 0.25  # of the hold, between two readings
DIAL, COARSE = 0.02, 0.5  # of the pressure, and K: graduations of a usual dial and of a coarse thermometer


def _steps(w: Working, table: LogTable) -> None:
    """Graduations that were not given: the smallest step seen; where all readings agree nothing was seen, and a coarse one is taken."""
    import numpy as np

    from boxup.hydro.hold_log import graduation_of

    dial = DIAL * UNITS["MPa"].from_si(max(table.columns["pressure"]))
    for symbol, label, what, unit, coarse in (("d_p", "graduation of the gauge", "pressure", "MPa", dial),
                                              ("d_T", "graduation of the thermometer", "temperature", "K", COARSE)):  # fmt: skip
        if symbol not in w.steps:
            seen = graduation_of(np.array(table.columns[what]) / UNITS[unit].scale)
            why = "the smallest step seen in the log" if seen else "not given, and it stood still: as a usual coarse one"
            w.assumed(symbol, label, seen or coarse, unit, why)


def judge(w: Working, table: LogTable, limit: Quantity | None, why: str = "") -> dict[str, tuple[Any, str]]:
    """Drops, estimate and verdict into a working that holds g, C, u_g, u_C, u_T, d_p and d_T.

    `why`: what else keeps this log from ruling a leak out, in words.
    """
    from boxup.hydro.hold_log import LEAST

    _refuse(table)
    _drops(w, table)
    short, apart = why or _too_short(table), _apart(w, table)
    if len(table) < LEAST:
        w.say("warn", f"Cannot judge: {short}.", "corrected decay")
        w.say("note", LOOK, "acceptance")
        return {"verdict": ("cannot judge", "-"), "doubts": ([short, *apart], "-")}
    estimate = _estimated(w, table)
    must = UNITS["mL/min"].from_si(limit.si) if limit else None
    still = STILL if is_still(table.columns["pressure"], w["d_p"]) else FROZEN if is_frozen(table.columns["temperature"]) else ""
    verdict, doubts = verdict_of(estimate, must, short, still)
    _say_gap(w, table)
    _told(w, verdict, doubts, estimate)
    if verdict == "leak shown" and still == FROZEN:
        w.say("warn", FROZEN_LEAK, "thermometer")
    if apart and estimate.lower <= 0:
        verdict = "cannot judge"  # which gauge is right nobody knows, so nothing is ruled out
    doubts = [*doubts, *apart]
    parts = {name: 1.96 * value for name, value in estimate.parts.items()}
    return {"verdict": (verdict, "-"), "doubts": (doubts, "-"), "leak_uncertainty_parts": (parts, "mL/min"),
            "largest_part": (estimate.largest_part, "-")}  # fmt: skip


def _apart(w: Working, table: LogTable) -> list[str]:
    """That two gauges stand further apart than two gauges may, as a stop and as a doubt."""
    second = table.columns.get("gauge_b")
    mark = w["d_p"] if isinstance(w.steps["d_p"].origin, Entered) else 0.0
    found = furthest(table.columns["pressure"], second, mark) if second else None
    if found is None or not found.too_far:
        return []
    w.say("stop", f"{found.said[0].upper()}{found.said[1:]}.", "two gauges", source("trade"))
    return [found.said]


def _drops(w: Working, table: LogTable) -> None:
    ends = (("1", "first", 0), ("2", "last", -1))
    for mark, said, i in ends:
        for symbol, what, unit in (("p", "pressure", "MPa"), ("T", "temperature", "degC"), ("t", "time", "min")):
            q = Quantity(table.columns[what][i], unit, f"{table.name}, {said} reading")
            w.given(f"{symbol}_{mark}", f"{what}, {said} reading", q, unit)
    w.step("dp_r = p_1 - p_2", "MPa", "drop as read, first less last", "as read")
    w.step("dp_c = dp_r + g*(T_2 - T_1)", "MPa", "drop once the warming is taken out, loss +", "corrected decay")
    w.step("H = t_2 - t_1", "min", "length of the hold", "as read")


def _refuse(table: LogTable) -> None:
    if not len(table):
        raise BadInput([f"file: {table.name} has no reading under its first line"])
    times = table.columns["time"]
    if any(map(ge, times, times[1:])):
        late = next(n for n, (a, b) in enumerate(pairwise(times), start=2) if a >= b)
        raise BadInput([f"file: {table.name}: the time of reading {late} is not after the one before it; accepted: rising time"])
    if len(times) > 1 and times[-1] - times[0] < 1:
        raise BadInput([f"file: {table.name}: all readings within a second; accepted: a hold, its times in the unit the column is headed"])
    if max(table.columns["pressure"]) <= 0:
        raise BadInput([f"file: {table.name}: the gauge never stands above 0: nothing is held; accepted: a hold at pressure"])


def _too_short(table: LogTable) -> str:
    """Why such a log rules no leak out, or nothing."""
    from boxup.hydro.hold_estimate import SHORTEST
    from boxup.hydro.hold_steady import FEWEST

    minutes = (table.columns["time"][-1] - table.columns["time"][0]) / 60
    if len(table) < FEWEST:
        return f"{len(table)} readings; at least {FEWEST} are needed to rule a leak out"
    return f"{minutes:.3g} min; at least {SHORTEST:g} min are needed to rule a leak out" if minutes < SHORTEST else ""


def _estimated(w: Working, table: LogTable) -> Estimate:
    """The estimate, its parts as lines: each printed formula is worked on its own and is what the kernel put in."""
    import numpy as np

    from boxup.hydro.hold_estimate import estimate
    from boxup.hydro.hold_log import Doubt

    mpa, c = UNITS["MPa"].scale, UNITS["mL/MPa"].from_si(w["C"])
    g, place = w["g"] / mpa, w["u_T"]
    drift = place * max(0.0, WALL**2 - g**2) ** 0.5  # so that the place counts at least by what the wall alone does
    doubt = Doubt(w["u_g"] / mpa, w["u_C"], place, w["d_p"] / mpa, w["d_T"], drift)
    columns = {k: np.array(v) for k, v in table.columns.items()}
    found = estimate(columns["time"] / 60, columns["temperature"], columns["pressure"] / mpa, g, c, doubt)
    if doubt.nothing:
        w.say("note", STRAIGHT, "corrected decay")
    flow, method = UNITS["mL/min"], "the warming taken out, a straight line; averaged over noise, its memory and the thermometer's lag"
    cite = w.cite("corrected decay")
    used = ("g", "C", "u_g", "u_C", "u_T", "d_p", "d_T")
    w.kernel("Q", "leak, loss +", flow.to_si(found.leak), "mL/min", method, cite, used)
    for symbol, name in (("u_1", "fit"), ("u_2", "rise"), ("u_3", "graduation"), ("u_4", "thermometer place"), ("u_5", "volume")):
        w.kernel(symbol, f"part of the doubt, 1 sd: {name}", flow.to_si(found.parts[name]), "mL/min", _PARTS[name], cite, used)
    w.kernel("U", "95 % uncertainty of the leak", flow.to_si(found.half_width), "mL/min", "half of the two-sided interval", cite, used)
    w.kernel("Q_1", "lower bound, one-sided 95 %", flow.to_si(found.lower), "mL/min", "quantile of the leak", cite, used)
    w.kernel("Q_2", "upper bound, one-sided 95 %", flow.to_si(found.upper), "mL/min", "quantile of the leak", cite, used)
    w.step("u_s = sqrt(u_1**2 + u_2**2 + u_3**2 + u_4**2 + u_5**2)", "mL/min", "all parts together, 1 sd", "parts in quadrature")
    w.step("Q_d = 3.29*u_s", "mL/min", "smallest leak such a hold tells from none", "5 % false alarm, 5 % missed")
    return found


STRAIGHT = (
    "With every uncertainty 0 this is the straight line through the corrected pressure, not the average over noise, its memory and the "
    "thermometer's lag. Its bar is another one: in simulated holds 0.4 to 14 times that with the smallest doubt. Give what is in doubt."
)
_PARTS = {
    "fit": "scatter of the readings about the line",
    "rise": "uncertainty of the rise times the slope of the temperature",
    "graduation": "0.6 of a graduation over the hold, less where several were crossed",
    "thermometer place": "rise times the place, over the hold",
    "volume": "leak times the share",
}
_CURE = {
    "fit": "hold longer, read more often",
    "rise": "wait until the temperature stands, or measure the rise by a warming of the tight vessel",
    "graduation": "a finer gauge or thermometer, or a longer hold",
    "thermometer place": "shade the vessel, put the thermometer in the water, hold longer",
    "volume": "measure the volume for each pressure while pumping",
}


FROZEN = (
    "the thermometer did not move at all through the hold: it may be stuck, loose or out of the water, and a warming it does not show "
    "hides a leak; see that it follows a touch, or read a second one"
)
FROZEN_LEAK = (
    "The thermometer did not move at all through the hold: a cooling it does not show looks like a leak. See that it follows a touch, or "
    "read a second one, before anybody looks for the leak in vain; look at every joint all the same."
)
STILL = "the gauge did not move a graduation: what it hides is larger than any drop it could show; tap it, and see that its valve is open"


def verdict_of(e: Estimate, must: float | None, short: str = "", still: str = "") -> tuple[str, list[str]]:
    """`leak shown`, `no leak larger than X shown` or `cannot judge`, and the doubts.

    `must`: the leak one must be able to see, mL/min. `short`: why the log is too short to rule a leak out. `still`: STILL where the gauge
    never moved, FROZEN where the thermometer did not.
    """
    if not 0 < e.sd < float("inf"):
        return "cannot judge", ["no figure came of these readings: look at their times and units"]
    broken = [said_break(b) for b in e.breaks]
    if e.doubts:
        return "cannot judge", [*e.doubts, *broken]
    if e.lower > 0:
        return "leak shown", broken
    if short or still or broken:
        return "cannot judge", [*filter(None, [short or still]), *broken]
    if must is not None and e.most > must:
        cure = f"{e.largest_part} is the largest part of the doubt: {_CURE[e.largest_part]}"
        return "cannot judge", [f"a leak of {must:.3g} mL/min could not be told from none; {cure}"]
    return f"no leak larger than {e.most:.3g} mL/min shown", []


def said_break(b: Break) -> str:
    """Where the hold does not go on as it began, and what to do."""
    if b.kind == "late":
        return (f"from about minute {b.minute:.0f} on it lost about {b.amount:.2g} mL/min, more than before: a leak may have begun; look, "
                "and hold on")  # fmt: skip
    by = both("pressure", UNITS["MPa"].to_si(b.amount))
    if b.kind == "rise":
        return f"about minute {b.minute:.0f} the pressure rose by {by} at once, which no warming does: was it pumped? Begin the hold anew"
    return f"about minute {b.minute:.0f} the pressure fell by {by} at once: find out what moved or let go, then begin the hold anew"


def is_still(pressure: Sequence[float], step: float) -> bool:
    """Whether a gauge stayed within less than a graduation; all in one unit."""
    return max(pressure) - min(pressure) < max(step * 0.999, 1e-9 * abs(pressure[0]))


def is_frozen(kelvin: Sequence[float]) -> bool:
    """Whether every reading of a thermometer is the same."""
    return max(kelvin) - min(kelvin) < 1e-6


def longest_gap(seconds: Sequence[float]) -> tuple[float, float]:
    """The longest time between two readings in a row, and from which reading on; seconds."""
    return max(((b - a, a) for a, b in pairwise(seconds)), default=(0.0, 0.0))


def _say_gap(w: Working, table: LogTable) -> None:
    """A stretch that nobody read: what came and went in it is in no figure."""
    times = table.columns["time"]
    gap, since = longest_gap(times)
    if gap > LONG_GAP * (times[-1] - times[0]):
        whole, from_ = (times[-1] - times[0]) / 60, (since - times[0]) / 60
        said = f"No reading for {gap / 60:.0f} min of a hold of {whole:.0f} min, from minute {from_:.0f}"
        w.say("warn", f"{said} on: what came and went in it nobody saw. Read on without a gap.", "corrected decay")


def _told(w: Working, verdict: str, doubts: list[str], e: Estimate) -> None:
    level = "stop" if verdict == "leak shown" else "warn" if verdict == "cannot judge" else "note"
    said = f"{verdict[0].upper()}{verdict[1:]}"
    leak = [f"{e.leak:.3g} ± {e.half_width:.2g} mL/min"] if verdict == "leak shown" else []
    more = f": {'; '.join([*leak, *doubts])}" if leak or doubts else ""
    w.say(level, f"{said}{more}. The largest part of the doubt: {e.largest_part}.", "corrected decay")  # type: ignore[arg-type]
    w.say("note", LOOK, "acceptance")
