"""The test sheet of one test: pressures, gauges, temperature, litres, push, cautions, and what is missing. Deciding stays with people."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import TypeVar

from boxup.core.calculation import Answer, BadInput
from boxup.core.finding import Finding, Missing
from boxup.core.quantity import Quantity
from boxup.core.rounding import both
from boxup.core.unit import UNITS
from boxup.core.working import CannotWork, Step, Working, plain
from boxup.exchanger.model import Exchanger, Side
from boxup.hydro.caution import Caution, cautions
from boxup.hydro.circuit import Limit, circuit, gauges, limits_of, missing_limits
from boxup.hydro.fill import fill
from boxup.hydro.frost import frost
from boxup.hydro.head import heads
from boxup.hydro.other_side import raised_together, tubes_from_outside
from boxup.hydro.plan import PlannedTest
from boxup.hydro.pressure import EN, EN_WHERE, Pressed, multiple, required_pressure
from boxup.hydro.push import asked, end_push
from boxup.hydro.ready_energy import ready_energy
from boxup.hydro.water import COLDEST, HIGHEST, HOTTEST
from boxup.reference.load import source

T = TypeVar("T")

USUAL_CHLORIDE = 50.0  # mg/L, from memory: the common limit for austenitic steel

# What a sheet may give: key -> (part of the working, symbol).
KEYS: dict[str, tuple[str, str]] = {
    "code_pressure": ("code pressure", "P_T"), "standing_relief": ("pressure", "P_sr"),
    "test_pressure": ("pressure", "P"), "examination_pressure": ("pressure", "P_x"), "gauge_pressure": ("pressure", "P_g"),
    "gauge_below_top": ("pressure", "h"), "height": ("pressure", "H_w"), "low_end_pressure": ("pressure", "P_b"),
    "examination_gauge_pressure": ("pressure", "P_xg"),
    "pump_relief": ("pressure", "P_pr"), "low_end_pump_relief": ("pressure", "P_prb"),
    "half_gauge_pressure": ("pressure", "P_h"), "step_pressure": ("pressure", "P_10"),
    "gauge_low": ("pressure", "G_1"), "gauge_high": ("pressure", "G_2"), "hold": ("pressure", "t_h"),
    "least_temperature": ("temperature", "T_min"), "highest_temperature": ("temperature", "T_max"),
    "tube_collapse": ("tubes from outside", "P_c"), "tube_outside_allowable": ("tubes from outside", "P_all"),
    "fill": ("water", "V"), "fill_time": ("water", "t_f"),
    "pump_in": ("water", "V_p"), "pump_in_with_air": ("water", "V_pa"), "volume_per_pressure": ("water", "v"),
    "water_temperature": ("water", "T"),
    "rise_per_degree": ("water", "r"), "zero_rise_temperature": ("water", "T_0"), "ten_degrees_warmer": ("water", "P_2"),
    "stored_energy": ("stored energy", "U"), "stored_energy_air": ("stored energy", "U_l"),
    "air_energy": ("stored energy", "U_g"), "air_stand_off": ("stored energy", "R_g"), "ice_growth": ("frost", "dV_i"),
    "end_push": ("end push", "F"), "tube_pull": ("end push", "S_a"),
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Conditions:
    """What is known about one test beside the exchanger's file. Absent is not zero.

    pressure: at the top, as the engineer or inspector set it; head: gauge below the top, before the one of the file; water and metal:
    temperatures; outside_limit: of the tubes with nothing in them; push_allowed: engineer's figure for the end push; chloride: mg/L of
    this fill; gear: hoses, rings.
    """

    pressure: Quantity | None = None
    head: Quantity | None = None
    water: Quantity | None = None
    metal: Quantity | None = None
    outside_limit: Quantity | None = None
    push_allowed: Quantity | None = None
    chloride: Quantity | None = None
    gear: tuple[Limit, ...] = ()


@dataclass(frozen=True, slots=True)
class TestAnswer:
    """One test sheet: `values` by the names in KEYS (only those that could be worked), the working they stand in, and the rest in words."""

    __test__ = False  # a sheet, not a test of pytest

    test: PlannedTest
    working: Working
    values: dict[str, Step]
    missing: tuple[Missing, ...]
    cautions: tuple[Caution, ...]

    @property
    def findings(self) -> list[Finding]:
        """Limits broken and notes, in the order worked."""
        return self.working.all_findings()

    def si(self, key: str) -> float:
        """One value in SI; KeyError where it could not be worked (see `missing`)."""
        return self.values[key].si  # type: ignore[no-any-return]


@dataclass(slots=True)
class _Sheet:
    exchanger: Exchanger
    test: PlannedTest
    known: Conditions
    working: Working
    missing: list[Missing] = field(default_factory=list)

    @property
    def side(self) -> Side:
        return self.exchanger.side(self.test.side)

    @property
    def outside(self) -> Quantity | None:
        """What the tubes may see from outside, as the engineer said it: for this asking, else in the file."""
        return self.known.outside_limit or self.exchanger.tubes.outside_limit

    def lack(self, number: str, do: str) -> None:
        self.missing.append(Missing(number, do))


def test_sheet(
    exchanger: Exchanger,
    test: PlannedTest,
    *,
    volume: Quantity | None,
    known: Conditions | None = None,  # noqa: PT028
    rooms: Answer | None = None,  # noqa: PT028
) -> TestAnswer:
    """The sheet of `test` (from `plan_of`). `volume` of the side under pressure comes from the exchanger's own sums, and so do `rooms`:
    their answer, which says what part holds how much.

    Nothing is assumed that may not be: what is absent is listed in `missing` with what to ask for, and so is what cannot be worked from the
    figures of the file. Raises BadInput on a condition in `known` that is out of range, and on nothing else.
    """
    sheet = _Sheet(exchanger, test, known or Conditions(), Working(test.name, source("trade")))
    _refuse(sheet.known)
    pressure = _worked(sheet, "test pressure", lambda: _pressures(sheet))
    _worked(sheet, "least metal temperature", lambda: _temperature(sheet))
    if pressure is not None:
        _worked(sheet, "tubes from outside", lambda: _outside(sheet))
        _worked(sheet, "litres and rise per degree", lambda: _water(sheet, volume, pressure, rooms))
        _worked(sheet, "end push on the rear tubesheet", lambda: _push(sheet, pressure))
    elif test.end_push:
        sheet.missing += asked(sheet.known.push_allowed)
    _chemistry(sheet)
    parts = {p.name: p for p in sheet.working.parts}
    values = {key: parts[p].steps[s] for key, (p, s) in KEYS.items() if p in parts and s in parts[p].steps}
    return TestAnswer(test, sheet.working, values, tuple(sheet.missing), cautions(_called(sheet)))


test_sheet.__test__ = False  # type: ignore[attr-defined]  # likewise


def _worked(sheet: _Sheet, what: str, work: Callable[[], T]) -> T | None:
    """What `work` gives; where the figures cannot be worked, a `Missing` with a sentence and nothing half done on the sheet."""
    before, lacked = len(sheet.working.parts), len(sheet.missing)
    try:
        return work()
    except (CannotWork, OverflowError) as bad:
        del sheet.working.parts[before:], sheet.missing[lacked:]
        do = f"the figures of the {sheet.test.side} side cannot be worked together ({bad}); look at each of them, and its unit, again."
        sheet.lack(f"{what}, {sheet.test.side} side", do)
        return None


def _refuse(known: Conditions) -> None:
    """Pressures 0 or less, temperatures out of range: bad input, all at once."""
    wrong = [f"{name}: {q.typed!r} is not a {what}; accepted: more than 0." for name, q, what in (
        ("pressure", known.pressure, "test pressure"), ("outside_limit", known.outside_limit, "limit"),
        ("push_allowed", known.push_allowed, "push"), *((g.what, g.most, "rating") for g in known.gear),
    ) if q is not None and q.si <= 0]  # fmt: skip
    if known.pressure is not None and known.pressure.si > HIGHEST * 1e6:
        wrong.append(f"pressure: {known.pressure.typed!r} is out of range; accepted: at most {HIGHEST:g} MPa.")
    if known.head is not None and known.head.si < 0:
        wrong.append(f"head: {known.head.typed!r} puts the gauge over the top; accepted: 0 m or more.")
    low, high = UNITS["degC"].to_si(COLDEST), UNITS["degC"].to_si(HOTTEST)
    if known.water is not None and not low <= known.water.si <= high:
        wrong.append(f"water: {known.water.typed!r} is not water for a test; accepted: {COLDEST:g} to {HOTTEST:g} °C.")
    if wrong:
        raise BadInput(wrong)


def _code_pressure(sheet: _Sheet) -> Step | None:
    """The code figure, or what is missing for it."""
    side, name = sheet.side, sheet.test.side
    wanted = (("mawp", side.mawp), ("stress_test", side.stress_test), ("stress_design", side.stress_design))
    absent = [key for key, q in wanted if q is None]
    if absent:
        whence = "MAWP from the plate, the two allowable stresses of the part with the lowest ratio from the data report or the engineer"
        sheet.lack("code test pressure", f"give {', '.join(absent)} in [{name}_side]: {whence}.")
        return None
    assert side.mawp is not None
    assert side.stress_test is not None
    assert side.stress_design is not None
    part = sheet.working.part("code pressure", required_pressure.source)
    given = Pressed(mawp=side.mawp, stress_test=side.stress_test, stress_design=side.stress_design, rule=side.test_rule)
    required_pressure.work(part, given)
    if side.governing_part:
        part.words["part with the lowest ratio of the two stresses"] = side.governing_part
        _say_code(part, side)
    else:
        do = f"say which part governs ([{name}_side] governing_part); the inspector asks."
        sheet.lack("name of the part with the lowest stress ratio", do)
    return part.steps["P_T"]


def _say_code(w: Working, side: Side) -> None:
    """The code figure in words: multiple, MAWP, the part that governs, and what the multiple of the other years would give."""
    mawp, part = both("pressure", w["MAWP"]), side.governing_part
    text = f"The code figure: {w['f']:g} times the MAWP of {mawp} times {w['LSR']:.2f}, the stress ratio of the part that governs ({part})."
    other = {"1.3": 1.5, "1.5": 1.3}.get(side.test_rule)
    if other is None:
        text += " Where that is less, 1.43 times the MAWP."
    else:
        by_other = both("pressure", w["P_T"] * other / w["f"], "up")
        text += f" With {other:g}, as in other years of the code, it would be {by_other}: the plate says which."
    w.say("note", text, "stress ratio")


def _pressures(sheet: _Sheet) -> Quantity | None:
    """Part `pressure`: the figure in force at the top, at the gauge, at the low end, for the examination; relief, gauges, hold.

    None: no figure at all.
    """
    code, set_ = _code_pressure(sheet), sheet.known.pressure
    limits = limits_of(sheet.exchanger, sheet.test.side, sheet.outside, sheet.known.gear)
    sheet.missing += missing_limits(sheet.side, limits, sheet.outside)
    if sheet.exchanger.options.get("pair_test"):
        do = "the stack is tested together: the highest pressure the neighbour may see, by its tag; the lower of both is the most."
        sheet.lack("limit of the neighbour in the stack", do)
    if code is None and set_ is None:
        return None
    w = sheet.working.part("pressure", source("asme-viii-1-ug-99"))
    if set_ is not None:
        w.given("P", "test pressure at the top, as set", set_, "MPa")
        _factor(w, sheet)
    elif code is not None:
        w.take("P_T", code, "code pressure", "test pressure by the code")
        _factor(w, sheet)
        w.step("P = max(P_T, f*MAWP)", "MPa", "test pressure at the top", "(b), and never under the multiple of MAWP")
    if w["P"] > HIGHEST * 1e6:
        raise CannotWork(f"{plain(w.steps['P'])} is over the {HIGHEST:g} MPa up to which water is worked here")
    if code is not None:
        _below_code(w, code)
    _lines_of_pressure(w, sheet)
    sheet.missing += heads(w, sheet.exchanger, sheet.test, sheet.known.head)
    circuit(w, limits, whole=sheet.side.test_limit is not None)
    raised_together(w, sheet.exchanger)
    gauges(w, sheet.exchanger)
    _steps(w)
    w.constant("t_h", "hold at test pressure, at least", 30.0, "min", w.cite("RCB-1.31", source("tema")))
    return Quantity(w["P"], "MPa", f"{w.steps['P'].value:.6g} MPa", "entered", "the pressure above")


def _steps(w: Working) -> None:
    """Half at the gauge, where everybody looks, and the tenths the last half goes up by; down it goes the same way."""
    where = "half, then tenths"
    w.step("P_h = 0.5*P_g", "MPa", "half of it at the gauge: stop and look, going up and coming down", where, source=source("trade"))
    w.step("P_10 = 0.1*P_g", "MPa", "from half on, up in steps of no more than this at the gauge", where, source=source("trade"))


def _below_code(w: Working, code: Step) -> None:
    by_rule = max(code.si, w["f"] * w["MAWP"])
    if w["P"] < by_rule * (1 - 1e-9):
        here, by_code = both("pressure", w["P"], "up"), both("pressure", by_rule, "up")
        text = f"{here} is set; the code figure is {by_code}. Below it this is a tightness test, not the code test: "
        w.say("warn", text + "the inspector's agreement goes on the sheet.", "(b)")


def _factor(w: Working, sheet: _Sheet) -> None:
    rule = sheet.side.test_rule
    w.constant("f", "multiple of MAWP", multiple(rule), "-", w.cite(EN_WHERE, source("en-13445-5")) if rule == EN else w.cite("(b)"))
    if sheet.side.mawp is not None:
        w.given("MAWP", "maximum allowable working pressure", sheet.side.mawp, "MPa")


def _lines_of_pressure(w: Working, sheet: _Sheet) -> None:
    w.step("P_x = P/f", "MPa", "examine at not less than", "(g)")
    if "MAWP" in w.steps:
        _over_mawp(w)


def _over_mawp(w: Working) -> None:
    if w["P"] > 1.5 * w["MAWP"] * (1 + 1e-9):
        here, mawp = both("pressure", w["P"], "up"), both("pressure", w["MAWP"])
        text = f"{here} is more than 150 % of the MAWP ({mawp}). In service that is the usual ceiling: the inspector decides."
        w.say("warn", text, "4.3.1.2", source("nbic-2"))


def _outside(sheet: _Sheet) -> None:
    """Part `tubes from outside`, on a shell test: the other side is open and its tubes empty."""
    if sheet.test.side != "shell":
        return
    steps = next(p.steps for p in sheet.working.parts if p.name == "pressure")
    low = steps.get("P_b", steps["P"])
    seen = Quantity(low.si, "MPa", f"{low.value:.6g} MPa", "entered", "the pressure above")
    w = sheet.working.part("tubes from outside", source("timoshenko-stability"))
    if not tubes_from_outside(w, sheet.exchanger, seen, decided=sheet.outside is not None):
        sheet.working.parts.remove(w)


def _temperature(sheet: _Sheet) -> None:
    """Part `temperature`: the least metal temperature, and whether the readings are over it."""
    name, mdmt = sheet.test.side, sheet.side.mdmt
    if mdmt is None:
        sheet.lack("least metal temperature", f"give the MDMT of the {name} side ([{name}_side] mdmt) from the plate or the data report.")
        return
    w = sheet.working.part("temperature", source("asme-viii-1-ug-99"))
    w.given("MDMT", "minimum design metal temperature", mdmt, "degC")
    w.constant("dT", "margin", 17.0, "K", w.cite("(h), 17 °C (30 °F)"))
    w.constant("T_top", "need not be more than", 48.0, "degC", w.cite("(h), 48 °C (120 °F)"))
    w.step("T_min = max(MDMT, min(MDMT + dT, T_top))", "degC", "metal and water at least", "(h), and never under the MDMT")
    w.step("T_max = max(T_top, T_min)", "degC", "metal and water at most while people look at the joints", "(h), 48 °C (120 °F)")
    if w["MDMT"] + w["dT"] > w["T_top"]:
        w.say("warn", f"The MDMT is {both('temperature', mdmt.si, 'up')}: the cap of 48 °C leaves less than 17 °C over it, or nothing. The "
              "engineer decides how warm metal and water must be.", "(h)")  # fmt: skip
    text = "Parts of 50 mm and less may go to MDMT + 6 °C where the owner works to API 510; tubesheet and flange forgings are the "
    w.say("note", text + "thick parts, so MDMT + 17 °C is used.", "5.8, by thickness", source("api-510"))
    other = sheet.exchanger.side("tube" if name == "shell" else "shell").mdmt
    if other is not None and other.si > mdmt.si:
        warmer = both("temperature", other.si)
        text = f"The other side has the warmer MDMT ({warmer}); the tubesheet belongs to both: ask which holds for it."
        w.say("warn", text, "tubesheet", source("trade"))
    for what, q in (("metal", sheet.known.metal), ("water", sheet.known.water)):
        if q is not None and q.si < w["T_min"]:
            here, least = both("temperature", q.si, "down"), both("temperature", w["T_min"], "up")
            w.say("stop", f"The {what} is at {here}; at least {least} is needed. Warm the water and wait.", "(h)")
        elif q is not None and q.si > w["T_max"]:
            here, most = both("temperature", q.si, "up"), both("temperature", w["T_max"], "down")
            w.say("stop", f"The {what} is at {here}; nobody looks at joints over {most}. Let it cool before there is pressure.", "(h)")


def _water(sheet: _Sheet, volume: Quantity | None, pressure: Quantity, rooms: Answer | None) -> None:
    """Parts `water` (litres to fill and to pressure, rise per degree, ten degrees warmer), `stored energy` and `frost`."""
    if volume is None or volume.si <= 0:
        bench = "the room under a bench cover is not worked: read the litres off the meter as it fills."
        absent = "the volume of that side cannot be worked: see what the exchanger's file lacks."
        sheet.lack(f"litres, {sheet.test.side} side", bench if sheet.test.code == "B" else absent)
        return
    w = sheet.working.part("water", source("mass-balance"))
    least = next((p.steps["T_min"] for p in sheet.working.parts if p.name == "temperature"), None)
    sheet.missing += fill(w, sheet.exchanger, sheet.test.side, volume, pressure, sheet.known.water, least=least, rooms=rooms)
    if "V_p" in w.steps:
        _say_litres(w)
    if "V_a" in w.steps:
        ready_energy(sheet.working.part("stored energy", source("mass-balance")), w, pressure)
    readings = (("metal", sheet.known.metal), ("water", sheet.known.water))
    frost(sheet.working.part("frost", source("trade")), sheet.exchanger, sheet.test.side, volume, readings)


def _say_litres(w: Working) -> None:
    free, airy = both("volume", w["V_p"]), both("volume", w["V_pa"])
    text = f"Pumped in free of air: {free}. With 0.2 % of the fill as air: {airy}. Over that, go down and vent again."
    w.say("note", text, "0.2 % of the fill, taken as advice", source("trade"))
    if "P_2" in w.steps:
        before, after = both("pressure", w["P"], "up"), both("pressure", w["P_2"], "up")
        warmer = f"{w.steps['dT'].value:g} degrees warmer take it from {before} to {after}"
        w.say("warn", f"Shut in and full, {warmer}. It is never left so.", "same water before and after")


def _push(sheet: _Sheet, pressure: Quantity) -> None:
    if sheet.test.end_push:
        w = sheet.working.part("end push", source("statics"))
        sheet.missing += end_push(w, sheet.exchanger, pressure, sheet.known.push_allowed)


def _chemistry(sheet: _Sheet) -> None:
    """Chloride, where a metal on this side minds it."""
    if "chloride" not in _called(sheet):
        return
    limit, got = sheet.side.chloride_limit_mg_per_l, sheet.known.chloride
    most = limit.si if limit is not None else USUAL_CHLORIDE
    where = "the exchanger's file" if limit is not None else "the usual figure, from memory"
    if got is None:
        sheet.lack("chloride of this water", f"strip or meter before filling; at most {most:g} mg/L ({where}).")
    elif got.si > most:
        sheet.working.say("stop", f"Chloride {got.si:g} mg/L; at most {most:g} mg/L ({where}). Other water, or the engineer in writing.",
                          "chloride on austenitic steel", source("trade"))  # fmt: skip


def _called(sheet: _Sheet) -> set[str]:
    options = sheet.exchanger.options
    fixed = sheet.exchanger.letters.fixed
    calls: Iterator[tuple[str, bool]] = iter((
        ("push", sheet.test.end_push), ("ring", sheet.test.needs_ring), ("bellows", options.get("xj", fixed)),
        ("chloride", options.get("ss", False) or sheet.side.chloride_limit_mg_per_l is not None),
    ))  # fmt: skip
    return {name for name, yes in calls if yes}
