"""Studs and gaskets a second way: thread triangles, US units, pass ribs as strips cut by a circle, force balance on each flange."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import pi, sqrt
from typing import Any

from .balance import USUAL_SHARE, Sealed, moved, window
from .flanges import Clamped, of_joint, outside, part
from .given import FLOATING, INCH, JOINTS, WALLS, file_of, holes, inch_thread, si

LBF, PSI = 4.4482216152605, 6894.757293168
B7_YIELD, B7_ALLOWED = 105e3 * PSI, 25e3 * PSI  # studs to 2-1/2 in; the allowable holds to 700 °F


def areas(size: str) -> tuple[float, float]:
    """Root and tensile area of a 60° thread from its triangle: height H, an eighth off at crest and root."""
    d, p = inch_thread(size)
    height = p * sqrt(3) / 2
    root = d - 2 * (height - height / 8 - height / 8)
    flank = d - 2 * (height / 2 - height / 8)  # pitch diameter: half height, less what the crest lost
    return pi / 4 * root**2, pi / 4 * ((root + flank) / 2) ** 2


def studs(s: dict[str, Any], size: str) -> dict[str, float]:
    """Load and torque of one stud, worked in lbf and lbf·ft."""
    root, tensile = areas(size)
    area = tensile if s["stress_area"] == "tensile" else root
    pounds = si(s["target_stress"]) / PSI * area / INCH**2
    foot_pounds = float(s["nut_factor"]) * inch_thread(size)[0] / INCH * pounds / 12
    return {"A_r": root, "A_s": tensile, "F": pounds * LBF, "T": foot_pounds * LBF * 12 * INCH, "f_y": pounds * LBF / area / B7_YIELD}


def walls(tag: str, end: str) -> list[tuple[float, float, float, float]]:
    """Ribs as boxes (x1, x2, y1, y2) of no width yet: level ones right across, the upright one from the level one to the top."""
    found = []
    for kind, upper, lower in WALLS[tag].get(end, []):
        y = (min(h.y for h in holes(tag) if h.tube_pass == upper) + max(h.y for h in holes(tag) if h.tube_pass == lower)) / 2
        found.append((-9.0, 9.0, y, y) if kind == "level" else (0.0, 0.0, y, 9.0))
    return found


def rib_length(tag: str, end: str, inside: float) -> float:
    """Centre lines inside the ring; where they meet the ring is found by halving."""

    def reach(at: float) -> float:
        low, high = 0.0, inside / 2
        for _ in range(60):
            middle = (low + high) / 2
            low, high = (middle, high) if middle**2 + at**2 < inside**2 / 4 else (low, middle)
        return low

    return sum(2 * reach(y1) if x1 < x2 else reach(x1) - y1 for x1, x2, y1, _ in walls(tag, end))


def rib_area(tag: str, end: str, inside: float, width: float, slices: int = 3000) -> float:
    """Area the ribs cover inside the ring, each place once, added up in level slices."""
    boxes = [(x1 - width / 2, x2 + width / 2, y1 - width / 2 * (x1 < x2), y2 + width / 2 * (x1 < x2)) for x1, x2, y1, y2 in walls(tag, end)]
    # Slices begin at the edges of every rib, so that no slice lies half in one.
    edges = sorted({-inside / 2, inside / 2, *(min(max(y, -inside / 2), inside / 2) for b in boxes for y in b[2:])})
    return sum(_covered(boxes, inside / 2, low, high, max(1, round(slices * (high - low) / inside)))
               for low, high in pairwise(edges))  # fmt: skip


def _covered(boxes: list[tuple[float, float, float, float]], radius: float, low: float, high: float, slices: int) -> float:
    step = (high - low) / slices
    here = [b for b in boxes if b[2] <= (low + high) / 2 <= b[3]]
    if not here:
        return 0.0
    total = 0.0
    for i in range(slices):
        half = sqrt(radius**2 - (low + (i + 0.5) * step) ** 2)
        total += step * _union([(max(b[0], -half), min(b[1], half)) for b in here])
    return total


def _union(spans: list[tuple[float, float]]) -> float:
    length, reached = 0.0, float("-inf")
    for start, end in sorted(spans):
        length += max(0.0, end - max(start, reached))
        reached = max(reached, end)
    return length


def appendix_2(g: dict[str, Any], pressure: float, ribs: float) -> dict[str, float]:
    """W_m1, W_m2 and what leads to them, in inches, psi and lbf."""
    outer, inner = si(g["od"]) / INCH, si(g["id"]) / INCH
    m, y, p = float(g["m"]), si(g["y"]) / PSI, pressure / PSI
    width = (outer - inner) / 2

    def effective(basic: float) -> float:
        return basic if basic <= 0.25 else 0.5 * sqrt(basic)

    b = effective(width / 2)
    g_ = (outer + inner) / 2 if width / 2 <= 0.25 else outer - 2 * b
    rib = effective(si(g["rib_width"]) / INCH / 2) * ribs / INCH if ribs else 0.0
    end = pi / 4 * g_**2 * p
    keep = 2 * m * p * (b * pi * g_ + rib)
    return {"b": b * INCH, "G": g_ * INCH, "H": end * LBF, "W_m1": (end + keep) * LBF, "W_m2": y * (pi * b * g_ + rib) * LBF}


def gasket(tag: str, g: dict[str, Any], pull: float, design: dict[str, float], test: dict[str, float]) -> dict[str, float]:
    """One gasket in every state. On its flange: studs = gasket + pressure over the circle G."""
    side, end, pressed_on = JOINTS[tag][g["joint"]]
    outer, inner = si(g["od"]), si(g["id"])
    ribs = rib_length(tag, end, inner) if end else 0.0
    found = appendix_2(g, design[side], ribs)
    area = pi * (outer + inner) / 2 * (outer - inner) / 2  # mean circumference by width
    area += rib_area(tag, end, inner, si(g["rib_width"])) / 2 if ribs else 0.0
    circle, kept = pi / 4 * found["G"] ** 2, float(g.get("retained", USUAL_SHARE))
    found |= {"A_g": area, "S_gT": pull / area, "S_gO": (pull - circle * design[side]) / area}
    found |= {"S_gt": (pull - circle * test[side]) / area, "S_gR": (kept * pull - circle * design[side]) / area}
    if ribs:
        found["l_r"] = ribs
    found |= {"W_b": pull, "R_o": pull - circle * design[side], "H_t": circle * test[side], "R_t": pull - circle * test[side]}
    if pressed_on:
        on_test, tube_down = pull + circle * test["shell"], pull + circle * design["shell"]
        found |= {"H_x": circle * test["shell"], "R_x": on_test, "S_gx": on_test / area}
        found |= {"H_d": circle * design["shell"], "R_d": tube_down, "S_gd": tube_down / area}
    return found


def joints(tag: str, design: dict[str, float], test: dict[str, float]) -> Iterator[tuple[str, dict[str, float]]]:
    """(place in the workings, its values) for every stud set, its gaskets and flanges, its window, its states, and every nozzle."""
    x = file_of(tag)
    for s in x["studs"].values():
        yield from _stud_set(tag, s, design, test)
    for name, n in x["nozzle"].items():
        yield name, {k: v for k, v in studs(n, n["stud_size"]).items() if k in "FT"}


def _stud_set(tag: str, s: dict[str, Any], design: dict[str, float], test: dict[str, float]) -> Iterator[tuple[str, dict[str, float]]]:
    rings = {g["joint"]: g for g in file_of(tag)["gasket"].values()}
    code, stud = s["joints"][0], studs(s, s["size"])
    yield f"{code}/studs", stud
    asked, sealed = 0.0, []
    for j in s["joints"]:
        got = gasket(tag, rings[j], s["count"] * stud["F"], design, test)
        asked = max(asked, got["W_m1"] / B7_ALLOWED, got["W_m2"] / B7_ALLOWED)
        yield f"{code}/gasket of {j}", got
        c = _clamped(tag, j, s, got["G"], design, test)
        parts = [(name, f, part(f, c)) for name, f in of_joint(file_of(tag), j)]
        yield from ((f"{code}/{f['part']} {name} of {j}", p.values) for name, f, p in parts)
        side = JOINTS[tag][j][0]
        own = "tt" if side == "tube" else "st"
        sealed.append(Sealed(j, rings[j], got["A_g"], got["G"], c.design, c.test, c.outside, [(n, p) for n, _, p in parts], own, c.outside_hot))
    yield f"{code}/stud area, Appendix 2", {"A_m": asked, "A_b": s["count"] * stud["A_r"]}
    yield f"{code}/window", window(c.pull, s, B7_YIELD, sealed)
    if "grip" in s and all("unloading_modulus" in k.file for k in sealed):
        yield f"{code}/stud load in each state", moved(s, stud, c, sealed, _hottest(tag, s["joints"]))


def _clamped(tag: str, j: str, s: dict[str, Any], g: float, design: dict[str, float], test: dict[str, float]) -> Clamped:
    root, tensile = areas(s["size"])
    side, end, _ = JOINTS[tag][j]
    area = s["count"] * (tensile if s["stress_area"] == "tensile" else root)
    return Clamped(lambda stress: area * stress, si(s["target_stress"]), g, si(s["bolt_circle"]), inch_thread(s["size"])[0], s["count"],
                   design[side], test[side], outside(tag, j, test), bool(end and rib_length(tag, end, g)),
                   outside(tag, j, design))  # fmt: skip


def _hottest(tag: str, joined: list[str]) -> float:
    """The hotter design temperature of what the studs stand between, °C."""
    sides = {JOINTS[tag][j][0] for j in joined} | ({"shell", "tube"} if any((tag, j) in FLOATING for j in joined) else set())
    return max(si(file_of(tag)[f"{side}_side"]["design_temperature"]) for side in sides)
