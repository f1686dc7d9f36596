"""The pressure of a test, at the top, at the gauge, and to look at it by."""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.calculation import calculation, number, word
from boxup.core.quantity import Quantity
from boxup.core.working import Working
from boxup.exchanger.model import HIGHEST_GAUGE, MOST_PRESSURE, MOST_RATIO
from boxup.hydro.head import water_head
from boxup.hydro.water import HIGHEST
from boxup.reference.load import source

UG_99, UG_100, EN_5 = "asme-viii-1-ug-99", "asme-viii-1-ug-100", "en-13445-5"
EN = "EN"  # the larger of 1.25 times the stress ratio and 1.43
OLD = "1.5"  # the multiple before the 1999 addenda; it stays on the nameplate of vessels built to it


EN_FLOOR, EN_WHERE = 1.43, "10.2.3.3, standard hydrostatic test"


@dataclass(frozen=True, slots=True, kw_only=True)
class Pressed:
    """One side. The two stresses are those of the part with the lowest ratio."""

    mawp: Quantity = number("MAWP", "maximum allowable working pressure", "MPa", above=0, most=MOST_PRESSURE)
    stress_test: Quantity = number("S_t", "allowable stress at test temperature, governing part", "MPa", above=0)
    stress_design: Quantity = number("S_d", "allowable stress at design temperature, governing part", "MPa", above=0)
    rule: str = word("multiple of MAWP: 1.3, 1.5 of older vessels, or EN 13445-5", ("1.3", "1.5", EN), default="1.3")
    medium: str = word("medium", ("water", "air"), default="water")
    head: Quantity | None = number("h", "gauge below the top", "m", least=0, most=HIGHEST_GAUGE, optional=True)

    def problems(self) -> list[str]:
        ratio = self.stress_test.si / self.stress_design.si
        if not 1 / MOST_RATIO <= ratio <= MOST_RATIO:
            text = f"{self.stress_test.typed!r} over {self.stress_design.typed!r} is a ratio of {ratio:.3g}; accepted: up to {MOST_RATIO:g}"
            return [f"stress_test, stress_design: {text}. Look at the units of both"]
        if self.rule == EN and self.medium == "air":
            return ["rule, medium: air by EN 13445-5 is not worked here; accepted: EN with water, or air by 1.3 or 1.5. Ask the engineer"]
        factor = max(multiple(self.rule, self.medium) * ratio, EN_FLOOR if self.rule == EN else 0.0)
        asked = factor * self.mawp.to("MPa")
        if asked > HIGHEST:
            text = f"{self.mawp.typed!r} with these stresses asks {asked:.4g} MPa; accepted: a test pressure of at most {HIGHEST:g} MPa"
            return [f"mawp: {text}. Look at the units of all three"]
        return []


@calculation(
    "test-pressure", source(UG_99), Pressed,
    "test_pressure=P_T@MPa examination_pressure=P_x@MPa relief_setting=P_r@MPa gauge_pressure=P_g@MPa "
    "preliminary_pressure=P_0@MPa half_pressure=P_h@MPa step_pressure=P_10@MPa",
)  # fmt: skip
def required_pressure(w: Working, side: Pressed) -> None:
    """Test pressure required at the top of the side, what to examine at, and what the gauge must read."""
    w.take_in(side)
    air = side.medium == "air"
    en = side.rule == EN
    cited = source(UG_100 if air else EN_5 if en else UG_99)
    w.constant("f", f"multiple for {side.medium}", multiple(side.rule, side.medium), "-", w.cite(EN_WHERE if en else "(b)", cited))
    w.limit(
        "S_t >= S_d", "The two stresses look swapped: the allowable at test temperature is never below that at design temperature. This "
        "figure would be under the multiple of MAWP; no test on it", "(b), stress ratio", "stop", source(UG_99),
    )  # fmt: skip
    w.step("LSR = S_t/S_d", "-", "stress ratio of the governing part", "(b)", source=cited)
    if en:
        w.constant("f_0", "multiple never gone below", EN_FLOOR, "-", w.cite(EN_WHERE, cited))
        w.step("P_T = max(f*LSR, f_0)*MAWP", "MPa", "test pressure, at the top", EN_WHERE, source=cited)
        w.step("P_x = P_T/f", "MPa", "examine at not less than", "its multiple off again", source=source("trade"))
    else:
        w.step("P_T = f * MAWP * LSR", "MPa", "test pressure, at the top", "(b)", source=cited)
        w.step("P_x = P_T/f", "MPa", "examine at not less than", "(d)" if air else "(g)", source=cited)
    _air_relief(w) if air else _water_lines(w, side)


def multiple(rule: str, medium: str = "water") -> float:
    """The multiple of MAWP that goes with the stress ratio."""
    return {("water", "1.3"): 1.3, ("water", OLD): 1.5, ("water", EN): 1.25, ("air", "1.3"): 1.1, ("air", OLD): 1.25}[medium, rule]


def _water_lines(w: Working, side: Pressed) -> None:
    w.step("P_r = 4/3 * P_T", "MPa", "relief for water left to warm with nobody there", "(h)")
    w.say(
        "note",
        "The 4/3 figure is for water left shut in and warming, not for the pump: the relief of the pump is set no higher than the lowest "
        "limit of anything in the circuit (covers, blinds, hoses, plugs, rings, the other side). No relief "
        "stands above that limit, this one neither. It is for a valve at the top of the side: the lowest part sees the head of water too.",
        "(h)",
    )
    if side.head is not None:
        water_head(w)
        w.step("P_g = P_T + rho*g*h", "MPa", "test pressure at the gauge", "head of water", source=source("statics"))


def _air_relief(w: Working) -> None:
    w.constant("dP", "least of two margins over the test pressure", 0.345, "MPa", w.cite("345.5.2", source("asme-b31-3")))
    w.step("P_r = P_T + min(dP, 0.1*P_T)", "MPa", "relief set no higher than", "345.5.2", source=source("asme-b31-3"))
    w.constant("P_17", "first look round with air", 0.17, "MPa", w.cite("345.5.5", source("asme-b31-3")))
    w.step("P_0 = min(P_17, 0.5*P_T)", "MPa", "stop here first: every joint with soap", "345.5.5", source=source("asme-b31-3"))
    w.step("P_h = 0.5*P_T", "MPa", "half: from here on in steps", "raising in steps", source=source(UG_100))
    w.step("P_10 = 0.1*P_T", "MPa", "steps of no more than", "raising in steps", source=source(UG_100))
    w.say(
        "warn",
        "Air at test pressure holds hundreds of times the energy of water. A test with air needs the engineer, his written procedure, the "
        "distance worked out (stored-energy), and the pressure raised in steps (half, then tenths) with everybody back; nobody comes near "
        "before it is down to the examination pressure.",
        "raising in steps", source(UG_100),
    )  # fmt: skip
