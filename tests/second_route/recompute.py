"""Every headline number of the three demo exchangers by a second route, with nothing of the package imported.

`expected(tag)` gives `place in the workings -> Value(SI, tolerance, route)`; `compare(numbers_by_tag)` holds the package's own numbers
against them without pytest. A place is the working's code, the part in it where there is one, and the symbol: `J2/gasket of J3/S_gT`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from math import atan2, cos, pi, sin
from typing import Any, NamedTuple

from . import space, water
from .bolts import joints
from .given import JOINTS, PUSHED, TESTS, WALLS, G, file_of, holes, plugged, si

EXACT = 1e-9  # the same arithmetic in another order
UNITS = 1e-8  # through inches and pounds and back
THREAD = 2e-5  # 0.9743 is the rounded 0.974279 of the triangle
STRIPS = 2e-6  # numerical slices of circles
GASKET = 4e-5  # the thread's, and ribs cut round at the ring instead of square
CROSSING = 1.2e-3  # half the square where two ribs meet is counted once here, twice there
LIBRARY = 3e-3  # IAPWS-95 against IF97; 0.15 to 0.35 % apart in compressibility, less elsewhere
DENSITY = 5e-6  # the two formulations of cold water
PLATES = 1.2e-4  # the square where two pass plates meet, counted once here
ROUNDED = 3e-4  # 109.4, 52.14 and 1.337 are rounded: 109.43, 52.139 and 1.3369
HUBS = 3e-3  # 1.33 for 4/3 (0.25 % of one term), and the code's polynomial for the hub against the hub's own equation
FLAT = 6e-3  # 1.9 in UG-34 for 6/pi
BENT = 2e-3  # 0.0435 and 0.334 of the bow, printed to three figures
SPRINGS = 5e-4  # flanges give a part of the whole, gaskets another
NO_VALUE = float("nan")


class Value(NamedTuple):
    """Expected value in SI, relative tolerance, and the route in a line."""

    si: float
    rel: float
    route: str


# A metal the test sheets take every tube as, whatever the file names; "": they take the file's own.
SHEETS_TAKE_TUBES_AS = ""


@cache
def expected(tag: str, tubes_as: str = SHEETS_TAKE_TUBES_AS) -> dict[str, Value]:
    """Every number of one exchanger that has a second route here. `tubes_as`: a metal for the tubes, or "" for the file's own."""
    found: dict[str, Value] = {}
    test = {}
    for code in TESTS[tag]:
        pressures = dict(_pressures(tag, code))
        found |= {f"{code}/{k}": v for k, v in pressures.items()}
        test[_side(code)] = max(test.get(_side(code), 0.0), pressures["pressure/P_b"].si)
        found |= dict(_filled(tag, code, pressures["pressure/P"].si, tubes_as))
    found |= dict(_joints(tag, test))
    found |= dict(_bundle(tag))
    found |= dict(_heads(tag))
    return found


def values(tag: str) -> dict[str, float]:
    """Place -> SI value, nothing else."""
    return {k: v.si for k, v in expected(tag).items()}


def compare(numbers_by_tag: Mapping[str, Any]) -> list[tuple[str, float, float, float, bool]]:
    """(name, expected, tolerance, got, whether they agree), all in SI; a number that is not there is nan and does not agree."""
    rows = []
    for tag, numbers in numbers_by_tag.items():
        for place, value in expected(tag).items():
            got, room = _got(numbers, place), value.rel * abs(value.si)
            rows.append((f"{tag} {place}", value.si, room, got, abs(got - value.si) <= room))
    return rows


def _got(numbers: Any, place: str) -> float:
    code, *parts, symbol = place.split("/")
    try:
        working = numbers.workings[code][1]
        for name in parts:
            working = next(p for p in working.parts if p.name == name)
        return float(working.steps[symbol].si)
    except (KeyError, StopIteration, TypeError):
        return NO_VALUE


def _side(code: str) -> str:
    return "tube" if code == "T" else "shell"


def _joints(tag: str, test: dict[str, float]) -> Iterator[tuple[str, Value]]:
    design = {s: si(file_of(tag)[f"{s}_side"]["mawp"]) for s in ("shell", "tube")}
    for place, got in joints(tag, design, test):
        for symbol, value in got.items():
            if value:
                yield f"{place}/{symbol}", Value(value, _slack(tag, place, symbol), _route(place, symbol))


def _ribs_cross(tag: str, joint: str) -> bool:
    """Whether an upright rib meets a level one in the gasket of that joint."""
    return any(wall[0] != "level" for wall in WALLS[tag].get(JOINTS[tag][joint][1], []))


def _slack(tag: str, place: str, symbol: str) -> float:
    part = place.partition("/")[2]
    if symbol in ("A_r", "A_b"):
        return 2e-6  # 1.299038 is rounded in its seventh figure
    if part in ("studs", "") or symbol == "L_eff":
        return THREAD
    if part == "window":
        return _slack_of_window(tag, symbol)
    if part == "stud load in each state":
        return SPRINGS if symbol[0] != "X" else HUBS if symbol.startswith("X_F") else GASKET
    if part.startswith(("gasket", "stud area")):
        return _slack_of_gasket(tag, part, symbol)
    return _slack_of_flange(file_of(tag)["flange"][part.split()[-3]], symbol)


def _slack_of_gasket(tag: str, part: str, symbol: str) -> float:
    if symbol in ("b", "G", "H", "W_m1", "W_m2", "A_m", "l_r", "H_t", "H_x", "H_d"):
        return UNITS
    if symbol in ("W_b", "R_o", "R_t", "R_x", "R_d"):
        return GASKET
    return CROSSING if _ribs_cross(tag, part.split()[-1]) else GASKET


def _slack_of_window(tag: str, symbol: str) -> float:
    name = symbol.rpartition("_")[2]
    if symbol in ("S_b1", "S_b2"):
        return THREAD
    if symbol == "S_up":
        return FLAT
    if name in JOINTS[tag]:
        return CROSSING if _ribs_cross(tag, name) else GASKET
    if symbol == "S_low":
        return CROSSING
    return _slack_of_flange(file_of(tag)["flange"][name], symbol)


def _slack_of_flange(f: dict[str, Any], symbol: str) -> float:
    if symbol == "y_max":
        return UNITS
    if symbol[0] in "hMH":
        return THREAD
    if f["type"] == "integral":
        return HUBS
    if f["type"] == "flat cover":
        return ROUNDED if symbol == "Z_f" else FLAT if symbol[0] in "SuU" else BENT
    return ROUNDED if symbol[0] in "Zt" or symbol.startswith("U_r") else GASKET


def _route(place: str, symbol: str) -> str:
    if "window" in place:
        return "stud stress at which the limit is reached, by halving"
    if "stud load in" in place:
        return "gaskets in balance and no gap in the stack, as a set of equations"
    if "gasket" in place or "stud" in place or "/" not in place:
        return _ROUTES.get(symbol, "force balance on the flange")
    return "plates and hubs by their equations, forces about the axis"


_ROUTES = {
    "A_r": "triangle of the thread, an eighth off crest and root", "A_s": "circle on the mean of pitch and root diameter",
    "F": "ksi times square inches", "T": "K D F/12 in lbf·ft", "f_y": "105 ksi for B7 to 2-1/2 in",
    "b": "in inches", "G": "in inches", "H": "psi on square inches", "W_m1": "2-5 in inches and psi", "W_m2": "2-5 in inches and psi",
    "A_g": "mean circumference by width, ribs as strips cut by the ring", "l_r": "where the middle of the lane meets the ring, by halving",
    "A_m": "25 ksi for B7 to 700 °F", "A_b": "count by root area", "S_gx": "shell pressure presses the cover on",
}  # fmt: skip


def _pressures(tag: str, code: str) -> Iterator[tuple[str, Value]]:
    """By addition: what each limit allows, and the smallest."""
    x, side = file_of(tag), file_of(tag)[f"{_side(code)}_side"]
    mawp = si(side["mawp"])
    at_top = (mawp + 0.3 * mawp) * si(side["stress_test"]) / si(side["stress_design"])
    limits = [si(side["test_limit"])]
    limits += [si(b["rated"]) for b in x["blind"].values() if b["use"] == "test" and x["nozzle"][b["nozzle"]]["side"] == _side(code)]
    says = "MAWP and three tenths of it, by the ratio of the stresses"
    yield "code pressure/P_T", Value(at_top, EXACT, says)
    yield "code pressure/P_x", Value(at_top / 1.3, EXACT, "back to the MAWP times the ratio")
    yield "code pressure/P_r", Value(at_top + at_top / 3, EXACT, "a third more")
    yield "pressure/P", Value(at_top, EXACT, says)
    yield "pressure/P_g", Value(at_top, EXACT, "gauge at the top: nobody gave its height")
    column = _tallest(tag, code) * WATER_COLUMN
    yield "pressure/P_b", Value(at_top + column, 1e-8, "a column of water as high as the widest bore under it")
    relief = min([at_top + at_top / 10, *(one - column for one in limits)])
    yield "pressure/P_pr", Value(relief, 1e-8, "a tenth more, or what the weakest thing may see less the column of water on it")
    yield "pressure/P_low", Value(min(limits), EXACT, "the weakest thing in the circuit")
    yield "pressure/G_1", Value(at_top + at_top / 2, EXACT, "half more")
    yield "pressure/G_2", Value(at_top * 4, EXACT, "four times")
    yield "temperature/T_min", Value(min(si(side["mdmt"]) + 17, 48) + 273.15, EXACT, "17 degrees over the MDMT, 48 at most")


WATER_COLUMN = 98.0665e2  # Pa in a metre of water: a conventional metre of water is 0.0980665 bar


def _tallest(tag: str, code: str) -> float:
    """The widest bore that holds water in that test, m: all three lie."""
    x = file_of(tag)
    wet = ("channel", "rear_head", "floating_head") if code == "T" else ("shell", *(("shell_cover",) if code == "S2" else ()))
    return max(si(x[k]["inside_diameter"]) for k in wet if k in x)


def _filled(tag: str, code: str, gauge: float, tubes_as: str) -> Iterator[tuple[str, Value]]:
    x, tubes = file_of(tag), file_of(tag)["tubes"]
    outer, bore = si(tubes["od"]), si(tubes["od"]) - 2 * si(tubes["wall"])
    room = space.tube_side_room(tag) if code == "T" else space.shell_room(tag, code)
    slack = PLATES if code == "T" and any(wall[0] != "level" for wall in WALLS[tag]["front"]) else STRIPS
    yield f"V-{code}/V", Value(room, slack, "marched along the axis, baffle by baffle; ends in slices")
    yield f"{code}/water/V", Value(room, slack, "the same room")
    metal = METAL[tubes_as or tubes["material"]]
    give, growth = (_tube_side_gives if code == "T" else _shell_side_gives)(tag, code, room, metal)
    routes = {"rho": "IAPWS-95 table", "kappa": "difference of densities at two pressures", "alpha": "difference at two temperatures",
              "V_p": "mass held at pressure less mass held at none", "V_pa": "the same and the air, isothermal",
              "v": "difference of the mass held at two pressures", "r": "closed space solved a little colder and a little warmer",
              "P_2": "closed space solved at 25 degC"}  # fmt: skip
    for symbol, got in water.closed(room, give, growth, gauge).items():
        yield f"{code}/water/{symbol}", Value(got, DENSITY if symbol == "rho" else LIBRARY, routes[symbol])
    if (tag, code) in PUSHED:
        still_open = len(holes(tag)) - plugged(tag)
        bare = space.disc(si(x["shell"]["inside_diameter"])) - sum(space.disc(outer) for _ in range(still_open))
        metal_of_tubes = still_open * pi * (outer + bore) / 2 * si(tubes["wall"])
        yield f"{code}/end push/F", Value(gauge * bare, EXACT, "pressure on the bore, tube by tube taken off")
        yield f"{code}/end push/S_a", Value(gauge * bare / metal_of_tubes, EXACT, "mean circumference by wall of every open tube")


Gives = tuple[float, float]  # m3/Pa, m3/K
Metal = tuple[float, float, float]  # modulus Pa, Poisson, linear growth 1/K


def _shell_side_gives(tag: str, code: str, room: float, tube: Metal) -> Gives:
    """What the shell side gains by pressure and by warmth: each wall by all the room it stands round, solids too, and by its own size.

    The shell's wall stands round its own bore as far as its flange; behind that the cover's does. Tubes are squeezed where the water is.
    """
    x, t = file_of(tag), file_of(tag)["tubes"]
    outer, bore = si(t["od"]), si(t["od"]) - 2 * si(t["wall"])
    steel = METAL["carbon steel"]
    tubes, cover = space.tube_room(tag), x.get("shell_cover") if code == "S2" else None
    shell, wide = x["shell"], space.empty_shell(tag, code)
    barrel = space.disc(si(shell["inside_diameter"])) * si(shell["length"]) if cover else wide
    give = barrel * water.hooke(si(shell["inside_diameter"]), si(shell["wall"]), *steel[:2])
    give += tubes * water.lame(outer, bore, tube[0], tube[1], "outside")
    if cover:
        give += (wide - barrel) * water.hooke(si(cover["inside_diameter"]), si(cover["wall"]), *steel[:2])
    return give, 3 * steel[2] * (room + tubes) - 3 * tube[2] * tubes


def _tube_side_gives(tag: str, _: str, room: float, tube: Metal) -> Gives:
    x, t = file_of(tag), file_of(tag)["tubes"]
    outer, bore = si(t["od"]), si(t["od"]) - 2 * si(t["wall"])
    steel = METAL["carbon steel"]
    heads = [(x[k], end) for k, end in (("channel", "front"), ("rear_head", "rear"), ("floating_head", "rear")) if k in x]
    give = sum(space.chamber(tag, h, end) * water.hooke(si(h["inside_diameter"]), si(h["wall"]), *steel[:2]) for h, end in heads)
    bores = space.bore_room(tag)
    give += bores * water.lame(outer, bore, tube[0], tube[1], "inside")
    return give, 3 * tube[2] * bores + 3 * steel[2] * (room - bores)


# Modulus Pa, Poisson, linear growth 1/K. Handbook values near 20 degC.
METAL = {"carbon steel": (200e9, 0.3, 11.7e-6), "admiralty brass": (110e9, 0.34, 20.2e-6)}


def _bundle(tag: str) -> Iterator[tuple[str, Value]]:
    b = space.bundle(tag)
    if b is None:
        return
    pieces = "sum of pieces: each tube, each baffle with its own holes, each bend in steps"
    for symbol, key in (("m_d", "dry"), ("x_d", "cg"), ("m_o", "pulled"), ("x_o", "pulled cg"), ("m_in", "insert"), ("m_lift", "lift"),
                        ("m_w1", "wet"), ("tubes/m", "tubes"), ("baffles/m", "baffles")):  # fmt: skip
        yield f"M/{symbol}", Value(b[key], 2e-5, pieces)
    counts = [space.baffle(tag, i)[1] for i in range(file_of(tag)["baffles"]["count"])]
    yield "M/baffles/N_b", Value(sum(counts) / len(counts), EXACT, "holes counted baffle by baffle")
    yield from _slings(tag, b["lift"] * G, b["pulled cg"])
    mu = (file_of(tag)["bundle"]["friction_low"], file_of(tag)["bundle"]["friction_high"])
    for code, weight, stop in (("L-in", b["dry"] * G, min(1.25 * mu[1], 0.5)), ("L-out", b["pulled"] * G, 1.5 * mu[1])):
        for symbol, share in (("W", 1.0), ("F_1", mu[0]), ("F_2", mu[1]), ("F_stop", stop)):
            yield f"{code}/{symbol}", Value(weight * share, 2e-5, "share of the weight of the pieces")
    yield "L-out/F_gear", Value(1.5 * b["lift"] * G, 2e-5, "one and a half times the weight the lift is planned for")
    for name, g in file_of(tag)["gear"].items():
        if "pull" in g["use"]:
            allowed = si(g["capacity"]) * G
            stop = min(1.25 * mu[1], 0.5) * b["dry"] * G
            yield f"L-in/gear {name}: {g['kind']}/c", Value(stop / allowed, 2e-5, "force at which to stop over the plate")
            yield f"L-out/gear {name}: {g['kind']}/c", Value(1.5 * b["lift"] * G / allowed, 2e-5, "what gear is sized for over the plate")


def _slings(tag: str, weight: float, cg: float) -> Iterator[tuple[str, Value]]:
    """Two pulls along their legs and a weight meet at the hook: level and upright parts must be nothing."""
    own = file_of(tag)["bundle"]
    front, rear, height = (si(own[k]) for k in ("sling_points_m", "sling_points_far_m", "hook_height"))
    a1, a2 = atan2(height, cg - front), atan2(height, rear - cg)
    # -T1 cos a1 + T2 cos a2 = 0 and T1 sin a1 + T2 sin a2 = W, by Cramer.
    det = -cos(a1) * sin(a2) - cos(a2) * sin(a1)
    pulls = {"1": (-weight * cos(a2)) / det, "2": (-weight * cos(a1)) / det}
    says = "three forces at the hook in balance"
    yield "L/W", Value(weight, 2e-5, "weight of the pieces, allowance on")
    for n, angle in (("1", a1), ("2", a2)):
        yield f"L/T_{n}", Value(pulls[n], 5e-5, says)
        yield f"L/R_{n}", Value(pulls[n] * sin(angle), 5e-5, "upright part of the leg's pull")
        yield f"L/theta_{n}", Value(angle, 5e-5, "slope of the leg")
    pick = {"front": pulls["1"], "rear": pulls["2"]}
    for name, g in file_of(tag)["gear"].items():
        for where, pull in pick.items():
            if where in g["use"]:
                yield f"L/gear {name}: {g['kind']}/c", Value(pull / (si(g["capacity"]) * G), 5e-5, "leg pull over its tag")


def _heads(tag: str) -> Iterator[tuple[str, Value]]:
    for part in ("channel_cover", "channel", "floating_head", "rear_head", "shell_cover"):
        if part in file_of(tag):
            mass, code = si(file_of(tag)[part]["mass"]), part.replace("_", "-")
            yield f"M-{code}/m_lift", Value(mass + mass / 10, EXACT, "a tenth more, by drawing")
            yield f"L-{code}/W", Value((mass + mass / 10) * G, EXACT, "weight")
