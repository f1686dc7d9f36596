"""What the bundle is made of: each part a working of its own, with its mass, its place and how well it is known."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from boxup.core.quantity import Quantity
from boxup.core.source import Cite
from boxup.core.working import Assumed, CannotWork, Entered, Step, Working, plain
from boxup.exchanger.layout import Layout
from boxup.exchanger.metal import density, doubtful_density
from boxup.exchanger.model import Exchanger, Tubesheet
from boxup.reference.load import source

GEOMETRY = source("geometry")
_PRACTICE = source("trade")
RODS_SHARE = 0.08
_MINOR = {"d_h", "d_b", "rho"}  # a hole a few tenths off, or one steel for another, moves the mass by about one per cent


@dataclass(frozen=True, slots=True)
class Weighed:
    """One part of the bundle: mass, place of its centre of gravity from the outer face of the stationary tubesheet, moment."""

    name: str
    mass: Step
    place: Step
    assumed: tuple[str, ...]  # labels of what was assumed and matters


def not_given(exchanger: Exchanger) -> list[str]:
    """The keys without which the bundle has no computed mass."""
    x = exchanger
    needed: dict[str, Any] = {f"tubes.{k}": getattr(x.tubes, k) for k in ("od", "wall", "length")}
    needed |= {f"stationary_tubesheet.{k}": getattr(x.stationary_tubesheet, k) for k in ("outside_diameter", "thickness")}
    if x.letters.rear != "U":
        needed |= {f"floating_tubesheet.{k}": getattr(x.floating_tubesheet, k) for k in ("outside_diameter", "thickness")}
    needed["baffles.count"] = x.baffles.count
    if x.baffles.count and x.baffles.count.si:
        needed |= {f"baffles.{k}": getattr(x.baffles, k) for k in ("thickness", "outside_diameter", "spacing", *cut_keys(x))}
        needed["shell.port_diameter" if x.letters.shell == "K" else "shell.inside_diameter"] = bore(x)
    return [key for key, value in needed.items() if value is None]


def cut_keys(exchanger: Exchanger) -> tuple[str, ...]:
    """The keys a baffle's cut needs: none in a cross-flow shell, whose support plates are whole unless the file says otherwise."""
    return () if exchanger.letters.shell == "X" else ("cut",)


def bore(exchanger: Exchanger) -> Quantity | None:
    """The bore the baffles fit: the port of a kettle, else the shell."""
    s = exchanger.shell
    return s.port_diameter if exchanger.letters.shell == "K" else s.inside_diameter


def weigh(w: Working, exchanger: Exchanger, layout: Layout) -> list[Weighed]:
    """Every part of the bundle as a part of `w`. Ask `not_given` first."""
    tubes = _tubes(w, exchanger, layout)
    found = [tubes, _sheet(w, exchanger, "stationary tubesheet", exchanger.stationary_tubesheet)]
    if exchanger.letters.rear != "U":
        found.append(_sheet(w, exchanger, "floating tubesheet", exchanger.floating_tubesheet))
    if exchanger.baffles.count and exchanger.baffles.count.si:
        found.append(_baffles(w, exchanger, layout))
    found.append(_rods(w, exchanger, tubes))
    if exchanger.bundle.impingement_mass and exchanger.bundle.impingement_mass.si:  # 0 kg: there is none
        found.append(_impingement(w, exchanger))
    return found


def holes(w: Working, exchanger: Exchanger, layout: Layout) -> Step:
    """Tube holes of one tubesheet: the drawing's count, else the map's."""
    if exchanger.tubes.count:
        return w.given("N_t", "tube holes in a tubesheet", exchanger.tubes.count, "count")
    count = len(layout.tubes)
    if layout.origin == "generated":
        why = "no count in the file: that of a plain layout, a few per cent more than is usually built"
        return w.assumed("N_t", "tube holes in a tubesheet", count, "count", why)
    return w.kernel("N_t", "tube holes in a tubesheet", count, "count", f"holes of the {layout.origin}", Cite(GEOMETRY, "tube layout"))


def bends(w: Working, layout: Layout) -> None:
    """Mean bend radius and mean of its square for U-tubes: each bend joins the legs that face each other across their lane."""
    radii = bend_radii(layout)
    if not radii:
        raise CannotWork("no U-bends: the tube map has no pair of passes 1 and 2, 3 and 4 ...")
    how = f"half the distance between the two legs, {len(radii)} bends ({layout.origin})"
    cite = Cite(GEOMETRY, "half circles")
    w.kernel("r_m", "mean bend radius", sum(radii) / len(radii) / 1e3, "mm", how, cite)
    w.kernel("r_q", "mean of the squared bend radii", sum(r * r for r in radii) / len(radii) / 1e6, "mm2", how, cite)


def bend_radii(layout: Layout) -> list[float]:
    """Bend radii in mm. Legs pair nearest with nearest across the line between passes 1 and 2, 3 and 4 ..."""
    passes = sorted(layout.by_pass)
    radii: list[float] = []
    for a, b in zip(passes[::2], passes[1::2], strict=False):
        legs = [[(t.x, t.y) for t in layout.tubes if t.tube_pass == p] for p in (a, b)]
        apart = [abs(sum(t[i] for t in legs[0]) / len(legs[0]) - sum(t[i] for t in legs[1]) / len(legs[1])) for i in (0, 1)]
        along = 1 if apart[1] >= apart[0] else 0  # one over the other: bends stand upright, else they lie flat
        near, far = sorted((sorted(t[along] for t in leg) for leg in legs), key=lambda leg: -sum(leg) / len(leg))
        radii += [(u - v) / 2 for u, v in zip(near, reversed(far), strict=False)]
    return radii


def _tubes(w: Working, exchanger: Exchanger, layout: Layout) -> Weighed:
    part, t = w.part("tubes"), exchanger.tubes
    holes(part, exchanger, layout)
    give(part, "d_o", "tube outside diameter", t.od, "mm")
    give(part, "t_t", "tube wall", t.wall, "mm")
    give(part, "L_t", "tube length", t.length, "mm")
    metal = t.material or exchanger.tube_side.material
    if t.density:
        part.given("rho", "density of the tubes", t.density, "kg/m3")
        if doubt := doubtful_density(t.density, metal):
            part.say("warn", f"Density of the tubes: {doubt}. The mass of the tubes hangs on it.", source=_PRACTICE)
    else:
        density(part, "rho", "density of the tubes", metal)
    tube_bore(part)
    part.step("q = pi/4*(d_o**2 - d_i**2)*rho", "kg/m", "mass of a metre of tube", "ring")
    if exchanger.letters.rear == "U":
        bends(part, layout)
        part.step("m_l = N_t*L_t*q", "kg", "straight legs", "straight part")
        part.step("m_u = N_t/2*pi*r_m*q", "kg", "bends", "half circles")
        mass = part.step("m = m_l + m_u", "kg", "tubes", "sum")
        moments = "x = (m_l*L_t/2 + N_t/2*pi*q*(r_m*L_t + 2*r_q/pi))/m"
        place = part.step(moments, "m", "their centre of gravity", "that of a half circle lies 2 r/pi beyond its ends")
    else:
        mass = part.step("m = N_t*L_t*q", "kg", "tubes", "sum")
        place = part.step("x = L_t/2", "m", "their centre of gravity", "mid-length")
    return _weighed(part, mass, place)


def _sheet(w: Working, exchanger: Exchanger, name: str, sheet: Tubesheet) -> Weighed:
    part = w.part(name)
    tubes = w.parts[0]
    part.take("N_t", tubes.steps["N_t"], tubes.name)
    give(part, "D_ts", "outside diameter", sheet.outside_diameter, "mm")
    give(part, "t_ts", "thickness", sheet.thickness, "mm")
    _hole(part, "d_h", sheet.hole, tubes)
    density(part, "rho", "density", exchanger.tube_side.material)
    mass = part.step("m = pi/4*(D_ts**2 - N_t*d_h**2)*t_ts*rho", "kg", f"{name} less its holes", "drilled plate")
    if name.startswith("stationary"):
        place = part.step("x = t_ts/2", "m", "its centre of gravity", "mid-thickness")
    else:
        part.take("L_t", tubes.steps["L_t"], tubes.name)
        place = part.step("x = L_t - t_ts/2", "m", "its centre of gravity", "flush with the tube ends")
    return _weighed(part, mass, place)


def _hole(part: Working, symbol: str, given: Any, tubes: Working) -> None:
    if given:
        part.given(symbol, "tube hole", given, "mm")
    else:
        why = "no hole size in the file: the tube diameter, which makes the plate a little heavy"
        part.assumed(symbol, "tube hole", tubes.steps["d_o"].value, "mm", why)


def tube_bore(part: Working) -> Step:
    """`d_i` from the tube's `d_o` and `t_t`. Raises CannotWork when nothing is left of it."""
    return something(part, part.step("d_i = d_o - 2*t_t", "mm", "tube bore", "tube"))


def something(part: Working, step: Step) -> Step:
    """The step, which must be more than nothing: a plate of holes only makes the whole lighter and says nothing. Raises CannotWork."""
    if step.si <= 0:
        raise CannotWork(f"{part.name}: {step.label} comes out at {plain(step)}")
    return step


def give(part: Working, symbol: str, label: str, value: Quantity | None, unit: str) -> Step:
    """A value the caller knows is there (`not_given` was asked first)."""
    assert value is not None, f"{part.name}: {label} is not given"
    return part.given(symbol, label, value, unit)


def _baffles(w: Working, exchanger: Exchanger, layout: Layout) -> Weighed:
    part, b = w.part("baffles"), exchanger.baffles
    plate(part, w.parts[0], exchanger, layout)
    give(part, "s_b", "baffle spacing", b.spacing, "mm")
    density(part, "rho", "density", exchanger.shell_side.material)
    mass = part.step("m = n_b*(A_b - N_b*pi/4*d_b**2)*t_b*rho", "kg", "baffles less their holes", "sum")
    _between(part, w)
    if b.first_position:
        part.given("x_b", "first baffle from the inner face of the stationary tubesheet", b.first_position, "mm")
        place = part.step("x = t_1 + x_b + (n_b - 1)/2*s_b", "m", "middle of the row of baffles", "equal spacing")
    else:
        place = part.step("x = (t_1 + x_e)/2", "m", "middle of the row of baffles", "first baffle not given: taken midway between the ends")
    return _weighed(part, mass, place)


def plate(part: Working, tubes: Working, exchanger: Exchanger, layout: Layout) -> None:
    """The area of one baffle `A_b` and its mean number of holes `N_b`, counted by the tubes' own places."""
    b = exchanger.baffles
    give(part, "n_b", "baffles", b.count, "count")
    give(part, "t_b", "thickness", b.thickness, "mm")
    give(part, "D_b", "outside diameter", b.outside_diameter, "mm")
    _hole(part, "d_b", b.hole, tubes)
    if b.cut is None:
        _whole_plate(part, layout)
        return
    give(part, "D_s", "bore the bundle goes into", bore(exchanger), "mm")
    give(part, "f_b", "cut, as a fraction of the shell bore", b.cut, "-")
    part.step("h_c = D_s*(1/2 - f_b)", "mm", "edge of the cut from the centre", "cut is measured on the shell bore")
    part.step("u = 2*acos(2*h_c/D_b)", "-", "angle of the segment cut away, radians", "circle")
    part.step("A_b = pi/4*D_b**2 - D_b**2/8*(u - sin(u))", "mm2", "one baffle before drilling", "circle less a segment")
    _count(part, exchanger, layout, part["h_c"] * 1e3)


def _whole_plate(part: Working, layout: Layout) -> None:
    """A support plate without a cut: every tube goes through it."""
    part.step("A_b = pi/4*D_b**2", "mm2", "one support plate before drilling", "circle, no cut")
    part.kernel("N_b", "holes of a support plate", layout.count, "count", f"every tube goes through ({layout.origin})",
                Cite(GEOMETRY, "tube layout"))  # fmt: skip


def _count(part: Working, exchanger: Exchanger, layout: Layout, edge: float) -> None:
    b = exchanger.baffles
    along = 0 if b.cut_direction == "vertical" or b.first_cut in ("left", "right") else 1
    sign = -1 if b.first_cut in ("down", "left") else 1
    at = [(t.x, t.y)[along] * sign for t in layout.tubes]
    how = f"tube centres not in the cut ({layout.origin})"
    cite = Cite(GEOMETRY, "tube layout")
    part.kernel("N_1", "holes of the first baffle", sum(p <= edge for p in at), "count", how, cite, ("h_c",))
    part.kernel("N_2", "holes of the second baffle, turned over", sum(p >= -edge for p in at), "count", how, cite, ("h_c",))
    tubes = len(layout.tubes)
    if layout.count == tubes:
        part.step("N_b = (N_1*ceil(n_b/2) + N_2*floor(n_b/2))/n_b", "count", "holes of a baffle, mean", "turn and turn about")
        return
    part.kernel("N_m", "holes of the tube map", tubes, "count", layout.origin, cite)
    part.kernel("N_d", "holes by the drawing", layout.count, "count", "the drawing's count is the truth", cite)
    line = "N_b = (N_1*ceil(n_b/2) + N_2*floor(n_b/2))/n_b*N_d/N_m"
    part.step(line, "count", "holes of a baffle, mean", "map brought to the drawing's count")


def _between(part: Working, w: Working) -> None:
    """`t_1` the inner face of the stationary tubesheet, `x_e` the far end of the straight tubes between the tubesheets."""
    front = next(p for p in w.parts if p.name == "stationary tubesheet")
    rear = next((p for p in w.parts if p.name == "floating tubesheet"), None)
    part.take("t_1", front.steps["t_ts"], front.name, "stationary tubesheet thickness")
    part.take("L_t", w.parts[0].steps["L_t"], "tubes")
    if rear:
        part.take("t_2", rear.steps["t_ts"], rear.name, "floating tubesheet thickness")
        part.step("x_e = L_t - t_2", "mm", "inner face of the floating tubesheet", "flush with the tube ends")
    else:
        part.step("x_e = L_t", "mm", "end of the straight legs", "U-tubes")


def _rods(w: Working, exchanger: Exchanger, tubes: Weighed) -> Weighed:
    part = w.part("rods, spacers and bars")
    if exchanger.bundle.rods_bars_mass:
        mass = part.given("m", "rods, spacers, bars and strips", exchanger.bundle.rods_bars_mass, "kg")
    else:
        part.take("m_t", tubes.mass, "tubes")
        why = "not given: rods, spacers and bars are usually 5 to 8 % of the tubes; the heavy end"
        part.assumed("f_r", "share of the tubes' mass", RODS_SHARE, "-", why)
        mass = part.step("m = f_r*m_t", "kg", "rods, spacers, bars and strips", "common practice", source=_PRACTICE)
    _between(part, w)
    place = part.step("x = (t_1 + x_e)/2", "m", "their centre of gravity", "midway between the ends")
    return _weighed(part, mass, place)


def _impingement(w: Working, exchanger: Exchanger) -> Weighed:
    part = w.part("impingement plate")
    mass = give(part, "m", "impingement plate", exchanger.bundle.impingement_mass, "kg")
    _between(part, w)
    under = [n.position for n in exchanger.nozzles if n.side == "shell" and "inlet" in n.duty and n.position]
    if under:
        part.given("x_n", "shell inlet nozzle from the inner face of the stationary tubesheet", under[0], "mm")
        place = part.step("x = t_1 + x_n", "m", "its centre of gravity", "under the inlet nozzle")
    else:
        place = part.step("x = (t_1 + x_e)/2", "m", "its centre of gravity", "inlet nozzle not placed in the file: taken midway")
    return _weighed(part, mass, place)


def _weighed(part: Working, mass: Step, place: Step) -> Weighed:
    return Weighed(part.name, something(part, mass), place, assumed_in(mass))


def assumed_in(step: Step) -> tuple[str, ...]:
    """The labels of everything assumed or from memory that this step rests on, holes and density of steels left out."""
    found: dict[str, None] = {}
    waiting = [step]
    while waiting:
        s = waiting.pop()
        guess = isinstance(s.origin, Assumed) or (isinstance(s.origin, Entered) and s.origin.grade in ("assumed", "memory"))
        if guess and s.symbol not in _MINOR:
            found[s.label] = None
        waiting += s.inputs
    return tuple(found)
