"""Bolt loads a gasket asks for: ASME VIII-1 Appendix 2, 2-3 to 2-5 and Table 2-5.2, with pass ribs and outside forces."""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.calculation import calculation, number, word
from boxup.core.quantity import Quantity
from boxup.core.working import Working
from boxup.reference.load import source

APP_2 = source("asme-viii-1-app-2")
TEMA = source("tema")
# Sketches of Table 2-5.2 that are worked here. The others need seat dimensions nobody could read to us: they are refused, not guessed.
FACINGS = ("1a", "1b", "1c", "1d", "2", "6")
_NEEDS_SEAT = ("1c", "1d", "2")
# (limit of b_0, rule above it) as the two editions print them; the metric one rounds 2.52 to 2.5.
_LIMIT = {"us": "0.25*inch", "si": "6*mm"}
_WIDE = {"us": "0.5*sqrt({b}*inch)", "si": "2.5*sqrt({b}*mm)"}
_BASIC = {
    "1a": "b_0 = N/2",
    "1b": "b_0 = N/2",
    "1c": "b_0 = min((w + T_g)/2, (w + N)/4)",
    "1d": "b_0 = min((w + T_g)/2, (w + N)/4)",
    "2": "b_0 = (w + N)/4",
    "6": "b_0 = N/8",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class GasketSide:
    """One gasket, the pressure it holds, its ribs and what pulls at the joint from outside."""

    gasket_od: Quantity = number("G_o", "outside of the gasket", "mm", above=0, most=2e4)
    gasket_id: Quantity = number("G_i", "inside of the gasket", "mm", above=0, most=2e4)
    m: Quantity = number("m", "gasket factor", "-", least=0, most=50)
    y: Quantity = number("y", "seating stress of the code", "MPa", least=0, most=2000)
    pressure: Quantity = number("P", "pressure inside, gauge", "MPa", least=0, most=1000)
    facing: str = word("facing, sketch of Table 2-5.2", FACINGS, default="1a")
    rules: str = word("rules", ("us", "si"), default="us")
    external_force: Quantity | None = number("F_A", "outside force along the axis, tension +", "N", optional=True, least=-1e9, most=1e9)
    external_moment: Quantity | None = number("M_E", "outside bending moment", "N.m", optional=True, least=0, most=1e9)
    rib_length: Quantity | None = number("l_r", "length of all ribs together", "mm", optional=True, above=0, most=1e6)
    rib_width: Quantity | None = number("w_r", "rib width", "mm", optional=True, above=0, most=1000)
    seat_width: Quantity | None = number("w", "width of the nubbin or raised seat", "mm", optional=True, above=0, most=1e4)
    gasket_thickness: Quantity | None = number("T_g", "gasket thickness", "mm", optional=True, above=0, most=1000)

    def problems(self) -> list[str]:
        return side_problems(self)


def side_problems(s: GasketSide, prefix: str = "") -> list[str]:
    """Sentences on values that do not fit each other, keys with `prefix` (tube_, shell_)."""
    found = []
    if s.gasket_id.si >= s.gasket_od.si:
        found.append(f"{prefix}gasket_id: {s.gasket_id.typed!r} is not inside {s.gasket_od.typed!r}; accepted: less than {prefix}gasket_od")
    if (s.rib_length is None) != (s.rib_width is None):
        found.append(f"{prefix}rib_length, {prefix}rib_width: one without the other; accepted: both, or neither for a plain ring")
    if s.rib_width is not None and s.rib_width.si >= s.gasket_id.si:
        found.append(f"{prefix}rib_width: {s.rib_width.typed!r} fills the gasket; accepted: less than {prefix}gasket_id")
    return found + _seat_problems(s)


def _seat_problems(s: GasketSide) -> list[str]:
    found = []
    if s.facing in _NEEDS_SEAT and s.seat_width is None:
        found.append(f'seat_width: missing; facing {s.facing} needs the width of the nubbin or raised seat, for example "6 mm"')
    if s.facing in ("1c", "1d") and s.gasket_thickness is None:
        found.append(f'gasket_thickness: missing; facing {s.facing} needs it, for example "3.2 mm"')
    if s.seat_width is not None and s.seat_width.si > (s.gasket_od.si - s.gasket_id.si) / 2:
        found.append(f"seat_width: {s.seat_width.typed!r} is wider than the gasket; accepted: up to (gasket_od - gasket_id)/2")
    return found


ANSWERS = (
    "contact_width=N@mm basic_width=b_0@mm effective_width=b@mm reaction_diameter=G@mm equivalent_pressure=P_eq@MPa "
    "end_force=H@N gasket_force=H_p@N operating_load=W_m1@N seating_load=W_m2@N"
)


@calculation("gasket-loads", APP_2, GasketSide, ANSWERS)
def gasket_loads(w: Working, side: GasketSide) -> None:
    """Operating and seating bolt load of one gasket."""
    w.take_in(side)
    widths(w, side.facing, side.rules)
    rib_width_line(w, side.rules)
    loads(w)
    if side.facing not in _NEEDS_SEAT:
        return
    if side.facing == "2":
        say = "Facing 2 is worked by column I, (w + N)/4; soft and jacketed gaskets have a wider b_0, in column II. Confirm it in the code."
        w.say("note", say, "Table 2-5.2")
    w.say("note", f"Facing {side.facing}: the reaction diameter is taken as if the seat lay in the middle of the gasket.", "Table 2-5.2")


def widths(w: Working, facing: str = "1a", rules: str = "us") -> None:
    """N, b_0, b and G from G_o and G_i (and w, T_g where the facing needs them)."""
    limit = _LIMIT[rules]
    w.step("N = (G_o - G_i)/2", "mm", "contact width", "Table 2-5.2")
    w.step(_BASIC[facing], "mm", "basic seating width", f"Table 2-5.2, sketch {facing}")
    w.step(f"b = b_0 if b_0 <= {limit} else {_WIDE[rules].format(b='b_0')}", "mm", "effective seating width", "Table 2-5.2")
    w.step(f"G = G_o - N if b_0 <= {limit} else G_o - 2*b", "mm", "diameter of the gasket load reaction", "2-3")


def rib_width_line(w: Working, rules: str = "us") -> None:
    """b_r, the effective width of the ribs by the same rule, where there are ribs."""
    if "w_r" in w.steps:
        line = f"b_r = w_r/2 if w_r/2 <= {_LIMIT[rules]} else {_WIDE[rules].format(b='w_r/2')}"
        w.step(line, "mm", "effective width of the ribs", "ribs as the ring", source=TEMA)


def loads(w: Working) -> None:
    """P_eq, H, H_p, W_m1 and W_m2 from the widths, P, m and y. Ribs take the ring's m and y."""
    _equivalent(w)
    ribs = "l_r" in w.steps
    w.step("H = pi/4 * G**2 * (P + P_eq)", "kN", "end force", "2-5(c)(1)")
    w.limit("P_eq >= -P", "Outside compression is larger than the pressure: do not count on it to hold the joint", "2-5(c)(1)", "warn")
    if ribs:
        w.step(
            "H_p = 2*b * pi*G * m*P + 2*b_r*l_r * m*P", "kN", "gasket force that keeps it tight, ribs too", "2-5(c)(1); ribs", source=TEMA
        )
    else:
        w.step("H_p = 2*b * pi*G * m*P", "kN", "gasket force that keeps it tight", "2-5(c)(1)")
    w.step("W_m1 = H + H_p", "kN", "operating bolt load", "2-5(c)(1)")
    if ribs:
        w.step("W_m2 = pi*b*G * y + b_r*l_r * y", "kN", "seating bolt load, ribs too", "2-5(c)(2); ribs", source=TEMA)
    else:
        w.step("W_m2 = pi*b*G * y", "kN", "seating bolt load", "2-5(c)(2)")


def _equivalent(w: Working) -> None:
    """The pressure that stands for the outside force and moment; nothing given is nothing acting, and said so."""
    terms = [t for s, t in (("M_E", "16*M_E/(pi*G**3)"), ("F_A", "4*F_A/(pi*G**2)")) if s in w.steps]
    if terms:
        w.step(f"P_eq = {' + '.join(terms)}", "MPa", "pressure that stands for outside force and moment", "equivalent pressure")
    else:
        w.assumed("P_eq", "pressure that stands for outside force and moment", 0.0, "MPa", "no outside force or moment given")
