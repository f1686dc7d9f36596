"""The inside of a channel, bonnet or cover: its end, its pass plates, its volume."""

from __future__ import annotations

from boxup.core.finding import Missing
from boxup.core.quantity import Quantity
from boxup.core.working import Working
from boxup.exchanger.bundle_parts import give
from boxup.exchanger.model import Exchanger, Head
from boxup.exchanger.parts import Part
from boxup.exchanger.passes import End
from boxup.exchanger.ribs import rib_length
from boxup.reference.load import source

_PRACTICE = source("trade")


def end_volume(w: Working, h: Head, part: Part) -> bool:
    """Volume `V_e` of the end beyond the straight length, for `D` in `w`; False when it is open or flat."""
    match _shape(w, h, part):
        case "ellipsoidal":
            w.step("V_e = pi/24*D**3", "m3", "water in the end", "2:1 ellipsoid, a quarter diameter deep")
        case "dished":
            _dish(w)
            w.step("V_e = pi*h**2*(3*R - h)/3", "m3", "water in the dish", "cap of a ball")
        case _:
            return False
    return True


def end_surface(w: Working, h: Head, part: Part) -> bool:
    """Inner surface `S_e` of the end, for `D` in `w`; False when it is open or flat."""
    match _shape(w, h, part):
        case "ellipsoidal":
            line = "S_e = pi/4*D**2*(1 + log(2 + sqrt(3))/(2*sqrt(3)))"
            w.step(line, "m2", "inner surface of the end", "half of a ball flattened to 2:1")
        case "dished":
            _dish(w)
            w.step("S_e = 2*pi*R*h", "m2", "inner surface of the dish", "cap of a ball")
        case _:
            return False
    return True


def end_depth(w: Working, h: Head, part: Part) -> bool:
    """Depth `h` of the end beyond the straight length, for `D` in `w`; False when it is open or flat."""
    match _shape(w, h, part):
        case "ellipsoidal":
            w.step("h = D/4", "mm", "depth of the end", "2:1 ellipsoid, a quarter diameter deep")
        case "dished":
            _dish(w)
        case _:
            return False
    return True


def _shape(w: Working, h: Head, part: Part) -> str:
    if not h.shape and part.usual_end:
        w.say("note", f"The {part.what}: the shape of its end is not in the file; taken as {part.usual_end}.", source=_PRACTICE)
    return h.shape or part.usual_end


def _dish(w: Working) -> None:
    why = "not in the file: the inside diameter, as dished ends are usually made"
    w.assumed("R", "crown radius", w.steps["D"].value, "mm", why)
    w.step("h = R - sqrt(R**2 - (D/2)**2)", "mm", "depth of the dish", "cap of a ball")


def plates_in(w: Working, exchanger: Exchanger, end: End, inside: Quantity, plate: Quantity | None) -> bool:
    """Length `l_r` of the pass plates across the bore and their thickness `t_p`; False when there are none or they are not known."""
    lengths = rib_length(exchanger, end, inside)
    if isinstance(lengths, Missing):
        w.say("note", f"Pass plates left out: {lengths.do}.")
        return False
    if lengths.si("length") == 0:
        return False
    if plate is None:
        w.say("note", "Pass plates left out: their thickness is not in the file.")
        return False
    lengths.working.name = f"pass plates across the bore, {end} end"
    w.parts.append(lengths.working)
    w.take("l_r", lengths.values["length"], lengths.working.name, "pass plates across the bore")
    w.given("t_p", "pass plate thickness", plate, "mm")
    return True


def inside_volume(w: Working, exchanger: Exchanger, h: Head, end: End, part: Part) -> None:
    """`V` of the water in one chamber: straight part and end, less the pass plates in the straight part."""
    inside = h.inside_diameter
    assert inside is not None, "asked for before"
    give(w, "D", "inside diameter", inside, "mm")
    give(w, "L", "straight length", h.length, "mm")
    w.step("V_s = pi/4*D**2*L", "m3", "straight part", "cylinder")
    line = "V = V_s"
    if end_volume(w, h, part):
        line += " + V_e"
    if part.side == "tube" and plates_in(w, exchanger, end, inside, h.pass_plate or exchanger.channel.pass_plate):
        w.step("V_p = l_r*L*t_p", "m3", "pass plates", "plates in the straight part")
        line += " - V_p"
    w.step(line, "m3", f"water in the {part.what}", "sum")
