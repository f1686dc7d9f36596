"""How heavy a channel, bonnet or cover is: the file's own figure, else worked from its shape on the heavy side."""

from __future__ import annotations

from boxup.core.calculation import Answer
from boxup.core.finding import Missing
from boxup.core.quantity import Quantity
from boxup.core.source import Cite
from boxup.core.working import CannotWork, Working
from boxup.exchanger.bundle_parts import give, something
from boxup.exchanger.chamber import end_surface, plates_in
from boxup.exchanger.metal import density
from boxup.exchanger.model import Exchanger, Head
from boxup.exchanger.parts import Part, head
from boxup.exchanger.passes import End
from boxup.reference.load import source

_GEOMETRY, _PRACTICE = source("geometry"), source("trade")
_RULE = "10 % by drawing, 25 % on an estimate, none once weighed"
FLANGE_SHARE = 8  # flange thickness taken as inside diameter / 8
STUD_HOLES = 0.05  # of a flat cover at most: stud holes, groove and machining
_FLANGES = {"channel": {"A": 2, "B": 1, "C": 2, "D": 2}, "rear_head": {"L": 2, "M": 1, "W": 1, "P": 1}}


def head_mass(exchanger: Exchanger, part: Part) -> Answer | Missing:
    """`mass` as lifted and `lift_mass` with its allowance. Missing where neither a figure nor the main dimensions are given."""
    h = head(exchanger, part.id)
    w = Working(f"mass of the {part.what}", _GEOMETRY)
    lacks = [] if h.mass else _lacks(h, part)
    if lacks:
        return Missing(f"mass of the {part.what}", f"weigh it, read it from the drawing, or give {', '.join(lacks)} in [{part.id}]")
    try:
        _read(w, exchanger, h, part, h.mass) if h.mass else _work(w, exchanger, h, part)
    except CannotWork as bad:
        return Missing(f"mass of the {part.what}", f"stop, its dimensions do not fit each other ({bad}); check them, or weigh it")
    return Answer(w.name, w, {"mass": w.steps["m"], "lift_mass": w.steps["m_lift"]}, {}, {"mass": "kg", "lift_mass": "kg"})


def _read(w: Working, exchanger: Exchanger, h: Head, part: Part, mass: Quantity) -> None:
    """The mass the file gives, held against the least it can be."""
    w.given("m", part.what, mass, "kg")
    _bare(w, exchanger, h, part)
    _allow(w, {"assumed": 1.25, "memory": 1.25, "measured": 1.0}.get(mass.grade, 1.10))


def _bare(w: Working, exchanger: Exchanger, h: Head, part: Part) -> None:
    """A mass below that of the bare barrel or plate of its own dimensions is a warning with both numbers."""
    inner = Working(f"least the {part.what} can weigh", _GEOMETRY)
    density(inner, "rho", "density", exchanger.side(part.side).material)
    if _is_flat(h, part):
        if h.outside_diameter is None or h.thickness is None:
            return
        give(inner, "A", "outside diameter", h.outside_diameter, "mm")
        give(inner, "T", "thickness", h.thickness, "mm")
        inner.constant("f_h", "stud holes and groove, a share at most", STUD_HOLES, "-", Cite(_PRACTICE, "5 % of a flat cover"))
        inner.step("m_b = pi/4*A**2*T*rho*(1 - f_h)", "kg", "its bare plate", "disc less holes")
    else:
        if h.inside_diameter is None or h.wall is None or h.length is None:
            return
        give(inner, "D", "inside diameter", h.inside_diameter, "mm")
        give(inner, "t", "wall", h.wall, "mm")
        give(inner, "L", "straight length", h.length, "mm")
        inner.step("m_b = pi*(D + t)*t*L*rho", "kg", "its bare barrel", "cylinder")
    if w["m"] < inner["m_b"]:
        w.parts.append(inner)
        w.take("m_b", inner.steps["m_b"], inner.name)
        bare = "plate" if _is_flat(h, part) else "barrel"
        text = f"The mass given for the {part.what} is less than its bare {bare} by its own dimensions: one of them is wrong. Weigh it"
        w.limit("m >= m_b", text, "cylinder or disc", "warn", _GEOMETRY)


def _allow(w: Working, k: float) -> None:
    w.constant("k", "allowance", k, "-", Cite(_PRACTICE, _RULE))
    w.step("m_lift = k*m", "kg", "plan the lift on", _RULE, source=_PRACTICE)


def _is_flat(h: Head, part: Part) -> bool:
    return part.id in ("channel_cover", "rear_cover") or (h.shape == "flat" and h.length is None)


def _lacks(h: Head, part: Part) -> list[str]:
    keys = ("outside_diameter", "thickness") if _is_flat(h, part) else ("inside_diameter", "outside_diameter", "wall", "length")
    return [k for k in keys if getattr(h, k) is None]


def _work(w: Working, exchanger: Exchanger, h: Head, part: Part) -> None:
    side = exchanger.side(part.side)
    density(w, "rho", "density", side.material)
    if _is_flat(h, part):
        give(w, "A", "outside diameter", h.outside_diameter, "mm")
        give(w, "T", "thickness", h.thickness, "mm")
        w.step("m = pi/4*A**2*T*rho", "kg", part.what, "disc, stud holes not taken off")
    else:
        _hollow(w, exchanger, h, part)
    w.say("note", f"The {part.what}: its mass is worked from its shape, not weighed and not from the drawing. "
          "Nozzles, lugs and davit arms are not in it; the allowance has to cover them.", source=_PRACTICE)  # fmt: skip
    _allow(w, 1.25)


def _hollow(w: Working, exchanger: Exchanger, h: Head, part: Part) -> None:
    inside = h.inside_diameter
    assert inside is not None, "asked for before"
    give(w, "D", "inside diameter", inside, "mm")
    give(w, "A", "outside diameter over the flange", h.outside_diameter, "mm")
    give(w, "t", "wall", h.wall, "mm")
    give(w, "L", "straight length", h.length, "mm")
    w.step("m_b = pi*(D + t)*t*L*rho", "kg", "barrel", "cylinder")
    rings = _FLANGES.get(part.id, {}).get(exchanger.letters.front if part.id == "channel" else exchanger.letters.rear, 1)
    rings += part.id == "floating_head" and exchanger.letters.rear == "S"
    said = "flange and backing ring" if part.id == "floating_head" else "flanges"
    w.constant("n_f", said, rings, "count", Cite(_PRACTICE, "by the TEMA letters"))
    why = "not in the file: inside diameter / 8, on the heavy side"
    w.assumed("T_f", "flange thickness", inside.si * 1000 / FLANGE_SHARE, "mm", why)
    something(w, w.step("m_f = n_f*pi/4*(A**2 - (D + 2*t)**2)*T_f*rho", "kg", "flange rings", "rings"))
    terms = ["m_b", "m_f"]
    if end_surface(w, h, part):
        terms.append("m_e")
        w.step("m_e = S_e*t*rho", "kg", "end", "surface times wall")
    end: End = "front" if part.id == "channel" else "rear"
    if part.side == "tube" and plates_in(w, exchanger, end, inside, h.pass_plate or exchanger.channel.pass_plate):
        terms.append("m_p")
        w.step("m_p = l_r*L*t_p*rho", "kg", "pass plates", "plates")
    w.step("m = " + " + ".join(terms), "kg", part.what, "sum")
