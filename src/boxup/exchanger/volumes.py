"""How much water each side holds, as it is fitted for each test.

Nozzle necks, small bore and the rounding of pass plates into a dish are left out: a few litres.
"""

from __future__ import annotations

from typing import Literal

from boxup.core.calculation import Answer
from boxup.core.finding import Missing
from boxup.core.quantity import Quantity
from boxup.core.source import Cite
from boxup.core.working import CannotWork, Step, Working
from boxup.exchanger.bundle_parts import GEOMETRY, bends, bore, cut_keys, give, holes, plate, something, tube_bore
from boxup.exchanger.chamber import end_volume, inside_volume
from boxup.exchanger.heads import head_mass
from boxup.exchanger.layout import Layout, layout_of
from boxup.exchanger.metal import density
from boxup.exchanger.model import Exchanger, Head
from boxup.exchanger.parts import Part, head, parts
from boxup.exchanger.state import State

ShellState = Literal["final", "ring"]
CLOSED_END = "closed end of the shell"


def tube_side_volume(exchanger: Exchanger) -> Answer | Missing:
    """Water in the tube side, everything on.

    Answers `volume`, `bores` (open tubes; plugged ones hold none) and each chamber by its id; m3.
    """
    layout = layout_of(exchanger)
    if isinstance(layout, Missing):
        return Missing("tube-side volume", layout.do)
    chambers = tube_chambers(exchanger)
    if lacks := _tube_lacks(exchanger, chambers):
        return Missing("tube-side volume", f"give {', '.join(lacks)}")
    w = Working("tube-side volume", GEOMETRY)
    w.findings += layout.findings
    rooms: dict[str, Step] = {}
    try:
        terms = [w.take("V_1", _bores(w, exchanger, layout), "tube bores").symbol]
        for i, part in enumerate(chambers, start=2):
            inner = w.part(part.what)
            inside_volume(inner, exchanger, head(exchanger, part.id), "front" if part.id == "channel" else "rear", part)
            rooms[part.id] = w.take(f"V_{i}", something(inner, inner.steps["V"]), part.what)
            terms.append(f"V_{i}")
        volume = something(w, w.step("V = " + " + ".join(terms), "m3", "water in the tube side", "sum"))
    except CannotWork as bad:
        return _does_not_fit("tube-side volume", bad)
    return _answer(w, {"volume": volume, "bores": w.steps["V_1"], **rooms})


def shell_side_volume(exchanger: Exchanger, fitted: ShellState = "final") -> Answer | Missing:
    """Water in the shell side: `final`, everything on; `ring`, shell cover and floating head off, a rear test ring on (S and T).

    Answers `volume`, `tubes` (the room they take) and the empty room by whose wall holds it: `shell`, `shell_cover`; m3. For other rear
    heads, and behind the closed end of a kettle, both states are the same.
    """
    layout = layout_of(exchanger)
    if isinstance(layout, Missing):
        return Missing("shell-side volume", layout.do)
    ring = fitted == "ring" and covered(exchanger) and exchanger.letters.rear in "ST"
    if lacks := _shell_lacks(exchanger, ring):
        return Missing("shell-side volume", f"give {', '.join(lacks)}")
    w = Working("shell-side volume, " + ("rear test ring on" if ring else "everything on"), GEOMETRY)
    w.findings += layout.findings
    try:
        tubes = _displaced(w, exchanger, layout)
        barrel = _barrel(w, exchanger, tubes, ring)
        terms = [("+", barrel), ("-", tubes), *_inside(w, exchanger, layout, tubes)]
        volume = _total(w, terms if ring else [*terms, *_behind(w, exchanger)])
        rooms = {"tubes": tubes.steps["V"], "shell": _whole_barrel(w, barrel)}
    except CannotWork as bad:
        return _does_not_fit("shell-side volume", bad)
    if exchanger.letters.shell == "K":
        w.say("note", "Kettle: the cone and the port are counted as full bore; the real volume is a little smaller.")
    cover = [p.steps["V"] for p in w.parts if p.name == "shell cover"]
    return _answer(w, {"volume": volume, **rooms, **({"shell_cover": cover[0]} if cover else {})})


def _whole_barrel(w: Working, barrel: Working) -> Step:
    """The empty shell with its closed end, where it has one."""
    end = next((p for p in w.parts if p.name == CLOSED_END), None)
    if end is None:
        return barrel.steps["V"]
    w.take("V_b1", barrel.steps["V"], barrel.name)
    w.take("V_b2", end.steps["V"], end.name)
    return w.step("V_b = V_b1 + V_b2", "m3", "empty shell and its closed end", "sum")


def volume_under_test(exchanger: Exchanger, state: State) -> Answer | Missing:
    """The water a test state has to be filled with, on the side under test."""
    if state.id == "tube-test":
        return tube_side_volume(exchanger)
    if state.id in ("shell-test-bare", "shell-test"):
        return shell_side_volume(exchanger, "ring" if "rear test ring" in state.gear else "final")
    return Missing(f"volume under test, {state.what}", "ask for it in a test state; nothing is under test in this one")


def covered(exchanger: Exchanger) -> bool:
    """Whether a shell cover closes the rear of the shell."""
    return any(p.id == "shell_cover" for p in parts(exchanger))


def _does_not_fit(number: str, bad: CannotWork) -> Missing:
    return Missing(number, f"the dimensions do not fit each other ({bad}); a length or a diameter is wrong: check them against the drawing")


def _answer(w: Working, values: dict[str, Step]) -> Answer:
    return Answer(w.name, w, values, {}, dict.fromkeys(values, "m3"))


def tube_chambers(exchanger: Exchanger) -> list[Part]:
    """The parts that hold tube-side water besides the tubes: front channel or bonnet, and the rear head's."""
    have = {p.id: p for p in parts(exchanger)}
    front = have.get("channel") or Part("channel", "channel", "tube")
    if exchanger.letters.rear == "U":
        return [front]
    rear = have.get("floating_head") or have.get("rear_head") or Part("rear_head", "rear channel", "tube")
    return [front, rear]


def _tube_lacks(exchanger: Exchanger, chambers: list[Part]) -> list[str]:
    lacks = [f"tubes.{k}" for k in ("od", "wall", "length") if getattr(exchanger.tubes, k) is None]
    for part in chambers:
        h = head(exchanger, part.id)
        lacks += [f"{part.id}.{k}" for k in ("inside_diameter", "length") if getattr(h, k) is None]
    return lacks


def _bores(w: Working, exchanger: Exchanger, layout: Layout) -> Step:
    part, t = w.part("tube bores"), exchanger.tubes
    holes(part, exchanger, layout)
    cite = Cite(GEOMETRY, "a plugged tube holds no test water")
    part.kernel("N_x", "plugged holes", len(exchanger.plugged), "count", "plugs the file lists as fitted", cite)
    give(part, "d_o", "tube outside diameter", t.od, "mm")
    give(part, "t_t", "tube wall", t.wall, "mm")
    give(part, "L_t", "tube length", t.length, "mm")
    tube_bore(part)
    if exchanger.letters.rear != "U":
        return something(part, part.step("V = (N_t - N_x)*pi/4*d_i**2*L_t", "m3", "water in the open tubes", "cylinders"))
    bends(part, layout)
    line = "V = (N_t - N_x)*pi/4*d_i**2*(L_t + pi*r_m/2)"
    return something(part, part.step(line, "m3", "water in the open tubes", "straight legs and half bends"))


def _shell_lacks(exchanger: Exchanger, ring: bool) -> list[str]:
    x, rear = exchanger, exchanger.letters.rear
    needed: dict[str, Quantity | None] = {f"tubes.{k}": getattr(x.tubes, k) for k in ("od", "length")}
    needed |= {"shell.inside_diameter": x.shell.inside_diameter, "stationary_tubesheet.thickness": x.stationary_tubesheet.thickness}
    if rear != "U":
        needed["floating_tubesheet.thickness"] = x.floating_tubesheet.thickness
    if rear in "ST":
        needed["floating_tubesheet.outside_diameter"] = x.floating_tubesheet.outside_diameter
    if x.baffles.count and x.baffles.count.si:
        needed |= {f"baffles.{k}": getattr(x.baffles, k) for k in ("thickness", "outside_diameter", *cut_keys(x))}
        needed["shell.port_diameter" if x.letters.shell == "K" else "shell.inside_diameter"] = bore(x)
    if not ring and rear in "STU":
        needed |= _behind_lacks(x)
    return [key for key, value in needed.items() if value is None]


def _behind_lacks(x: Exchanger) -> dict[str, Quantity | None]:
    needed: dict[str, Quantity | None] = {"shell.length": x.shell.length}
    if covered(x):
        needed |= {f"shell_cover.{k}": getattr(x.shell_cover, k) for k in ("inside_diameter", "length")}
    if x.letters.rear in "ST":
        needed |= {f"floating_head.{k}": getattr(x.floating_head, k) for k in ("inside_diameter", "length")}
    return needed


def _displaced(w: Working, exchanger: Exchanger, layout: Layout) -> Working:
    """The tubes between the tubesheets, by their outside: `V`, and the length `L_i` between the inner faces."""
    part, x = w.part("tubes"), exchanger
    holes(part, x, layout)
    give(part, "d_o", "tube outside diameter", x.tubes.od, "mm")
    give(part, "L_t", "tube length", x.tubes.length, "mm")
    give(part, "t_1", "stationary tubesheet thickness", x.stationary_tubesheet.thickness, "mm")
    if x.letters.rear == "U":
        something(part, part.step("L_i = L_t - t_1", "mm", "straight legs in the shell", "from the inner face"))
        bends(part, layout)
        part.step("V = N_t*pi/4*d_o**2*(L_i + pi*r_m/2)", "m3", "taken up by the tubes", "cylinders and half bends")
    else:
        give(part, "t_2", "rear tubesheet thickness", x.floating_tubesheet.thickness, "mm")
        something(part, part.step("L_i = L_t - t_1 - t_2", "mm", "between the inner faces of the tubesheets", "flush with the tube ends"))
        part.step("V = N_t*pi/4*d_o**2*L_i", "m3", "taken up by the tubes", "cylinders")
    return part


def _barrel(w: Working, exchanger: Exchanger, tubes: Working, ring: bool) -> Working:
    """The empty shell: to its rear flange or end (S, T, U), to the test ring, else between the tubesheets."""
    part, x = w.part("shell"), exchanger
    give(part, "D_s", "shell inside diameter", x.shell.inside_diameter, "mm")
    if x.letters.rear in "STU" and not ring:
        give(part, "L_s", "shell length", x.shell.length, "mm")
        part.step("V = pi/4*D_s**2*L_s", "m3", "empty shell over its length", "cylinder")
        return part
    part.take("L_i", tubes.steps["L_i"], tubes.name)
    if not ring:
        part.step("V = pi/4*D_s**2*L_i", "m3", "empty shell between the tubesheets", "cylinder")
        return part
    part.take("t_2", tubes.steps["t_2"], tubes.name)
    give(part, "D_f", "floating tubesheet outside diameter", x.floating_tubesheet.outside_diameter, "mm")
    if x.shell.length:
        part.given("L_s", "shell length", x.shell.length, "mm")
    else:
        why = "not in the file: the rear flange taken level with the inner face of the floating tubesheet"
        part.assumed("L_s", "shell length", tubes.steps["L_i"].value, "mm", why)
    part.step("e = min(max(L_s - L_i, 0*mm), t_2)", "mm", "floating tubesheet inside the shell", "the gap round it is wet")
    part.step("V = pi/4*(D_s**2*L_i + (D_s**2 - D_f**2)*e)", "m3", "empty shell to the test ring", "ring taken as wide as the shell")
    return part


Terms = list[tuple[str, Working]]


def _inside(w: Working, exchanger: Exchanger, layout: Layout, tubes: Working) -> Terms:
    """What takes up room in the shell besides the tubes: baffles, rods and bars."""
    found: Terms = []
    if exchanger.baffles.count and exchanger.baffles.count.si:
        part = w.part("baffles")
        plate(part, tubes, exchanger, layout)
        something(part, part.step("V = n_b*(A_b - N_b*pi/4*d_b**2)*t_b", "m3", "taken up by the baffles", "drilled plates"))
        found.append(("-", part))
    if exchanger.bundle.rods_bars_mass:
        part = w.part("rods, spacers and bars")
        part.given("m_r", "rods, spacers, bars and strips", exchanger.bundle.rods_bars_mass, "kg")
        density(part, "rho", "density", exchanger.shell_side.material)
        part.step("V = m_r/rho", "m3", "taken up by rods and bars", "mass by density")
        found.append(("-", part))
    return found


def _behind(w: Working, exchanger: Exchanger) -> Terms:
    """Shell cover or closed end, and what takes up room there or in the barrel before it: floating tubesheet and floating head."""
    terms: Terms = []
    if exchanger.letters.rear not in "STU":
        return terms
    if covered(exchanger):
        inner = w.part("shell cover")
        cover = next(p for p in parts(exchanger) if p.id == "shell_cover")
        inside_volume(inner, exchanger, exchanger.shell_cover, "rear", cover)
        terms.append(("+", inner))
    elif exchanger.shell.end in ("ellipsoidal", "dished"):
        terms.append(("+", _closed_end(w, exchanger)))
    if exchanger.letters.rear == "U":
        return terms
    sheet = w.part("floating tubesheet")
    give(sheet, "D_f", "outside diameter", exchanger.floating_tubesheet.outside_diameter, "mm")
    give(sheet, "t_2", "thickness", exchanger.floating_tubesheet.thickness, "mm")
    sheet.step("V = pi/4*D_f**2*t_2", "m3", "taken up by the floating tubesheet", "disc")
    return [*terms, ("-", sheet), ("-", _floating_head(w, exchanger))]


def _floating_head(w: Working, exchanger: Exchanger) -> Working:
    """The room the floating head takes up: the tube-side water in it and its metal."""
    fh = next(p for p in parts(exchanger) if p.id == "floating_head")
    part = w.part("floating head")
    inner = part.part("inside of the floating head")
    inside_volume(inner, exchanger, exchanger.floating_head, "rear", fh)
    part.take("V_f", inner.steps["V"], inner.name)
    mass = head_mass(exchanger, fh)
    if isinstance(mass, Missing):
        part.say("note", f"The metal of the floating head is left out of the shell's volume: {mass.do}.")
        part.step("V = V_f", "m3", "taken up by the floating head", "inside only")
        return part
    part.parts.append(mass.working)
    part.take("m", mass.values["mass"], mass.working.name)
    density(part, "rho", "density", exchanger.tube_side.material)
    part.step("V = V_f + m/rho", "m3", "taken up by the floating head", "inside and metal")
    return part


def _closed_end(w: Working, exchanger: Exchanger) -> Working:
    part = w.part(CLOSED_END)
    give(part, "D", "shell inside diameter", exchanger.shell.inside_diameter, "mm")
    end_volume(part, Head(shape=exchanger.shell.end), Part("shell_cover", CLOSED_END, "shell"))
    part.step("V = V_e", "m3", "water in the end", "beyond the straight length")
    return part


def _total(w: Working, terms: Terms) -> Step:
    symbols = [(sign, w.take(f"V_{i}", part.steps["V"], part.name).symbol) for i, (sign, part) in enumerate(terms, start=1)]
    line = " ".join(f"{sign} {symbol}" for sign, symbol in symbols).removeprefix("+ ")
    return something(w, w.step("V = " + line, "m3", "water in the shell side", "sum"))


def side_volumes(exchanger: Exchanger) -> dict[str, Answer | Missing]:
    """By test code: the water each test fills."""
    final = shell_side_volume(exchanger, "final")
    return {"S1": shell_side_volume(exchanger, "ring"), "T": tube_side_volume(exchanger), "S2": final}
