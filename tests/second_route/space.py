"""Room and mass a second way: marching along the axis, baffle by baffle, tube by tube, bend by bend."""

from __future__ import annotations

from collections.abc import Callable
from math import pi, sin, sqrt
from typing import Any

from .bolts import rib_area
from .given import file_of, holes, plugged, si

STEEL = 7850.0


def simpson(f: Callable[[float], float], low: float, high: float, strips: int = 200) -> float:
    step = (high - low) / strips
    return step / 3 * sum(f(low + i * step) * (1 if i in (0, strips) else 4 if i % 2 else 2) for i in range(strips + 1))


def disc(d: float) -> float:
    return pi / 4 * d**2


def end_room(shape: str, d: float) -> float:
    """Room of a closed end, by slices along the axis: 2:1 ellipsoid, or a cap of a ball of radius d."""
    if shape == "ellipsoidal":
        deep = d / 4
        return simpson(lambda z: pi * (d / 2) ** 2 * (1 - (z / deep) ** 2), 0.0, deep)
    if shape == "dished":
        under = sqrt(d**2 - d**2 / 4)  # the ball's centre lies so far behind the flange face
        return simpson(lambda z: pi * (d**2 - z**2), under, d)
    return 0.0


def chamber(tag: str, part: dict[str, Any], end: str) -> float:
    """Water in a channel, bonnet or floating head: straight part, end, less the pass plates where they stand."""
    d, length = si(part["inside_diameter"]), si(part["length"])
    plate = part.get("pass_plate")
    plates = rib_area(tag, end, d, si(plate)) * length if plate else 0.0
    return simpson(lambda _: disc(d), 0.0, length, 2) + end_room(part["shape"], d) - plates


def baffle(tag: str, number: int) -> tuple[float, int]:
    """Net area of one baffle (m2, first is 0) and its holes: the cut goes from side to side, baffle by baffle."""
    b, bore = file_of(tag)["baffles"], si(file_of(tag)["shell"]["inside_diameter"])
    edge, radius = bore / 2 - b["cut"] * bore, si(b["outside_diameter"]) / 2
    sign = (1 if b["first_cut"] in ("up", "right") else -1) * (-1) ** number
    across = b["cut_direction"] == "vertical"
    kept = sum((h.x if across else h.y) * sign <= edge for h in holes(tag))
    # Strips of the disc along the axis across the cut; the angle as variable keeps the rim smooth.
    top = _angle(edge / radius)
    full = simpson(lambda a: 2 * radius**2 * sin(a) ** 2, top, pi, 400)
    return full - kept * disc(si(b["hole"])), kept


def _angle(cosine: float) -> float:
    """The angle of that cosine, by halving."""
    low, high = 0.0, pi
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if sin(pi / 2 - middle) > cosine else (low, middle)
    return low


def radii(tag: str) -> list[float]:
    """Bend radius of every U: its legs stand one over the other, mirrored in the level lane."""
    places = {(round(h.x, 6), round(h.y, 6)) for h in holes(tag)}
    upper = [(x, y) for x, y in places if y > 0]
    if any((x, -y) not in places for x, y in upper):
        raise ValueError(f"{tag}: a leg has no other leg under it")
    return [y for _, y in upper]


def inner_faces(tag: str) -> tuple[float, float]:
    """Where the shell-side length of the tubes begins and ends, from the outer face of the stationary tubesheet."""
    x, length = file_of(tag), si(file_of(tag)["tubes"]["length"])
    rear = x.get("floating_tubesheet")
    return si(x["stationary_tubesheet"]["thickness"]), length - (si(rear["thickness"]) if rear else 0.0)


def tube_room(tag: str) -> float:
    """Room the tubes take in the shell, bends too."""
    front, rear = inner_faces(tag)
    outside = disc(si(file_of(tag)["tubes"]["od"]))
    bends = sum(pi * r for r in radii(tag)) if "floating_tubesheet" not in file_of(tag) else 0.0
    return outside * (len(holes(tag)) * (rear - front) + bends)


def empty_shell(tag: str, code: str) -> float:
    """The shell with nothing in it: marched along its axis from the inner face of the stationary tubesheet."""
    x = file_of(tag)
    front, rear = inner_faces(tag)
    d, length = si(x["shell"]["inside_diameter"]), si(x["shell"]["length"])
    cover = x.get("shell_cover")
    if cover and code == "S2":
        wide = si(cover["inside_diameter"])
        return disc(d) * length + disc(wide) * si(cover["length"]) + end_room(cover["shape"], wide)
    if x["shell"].get("end"):
        return disc(d) * length + end_room(x["shell"]["end"], d)
    return disc(d) * (rear - front)  # between the tubesheets: fixed, or to a test ring as wide as the shell


def shell_room(tag: str, code: str) -> float:
    """Water in the shell side as it is fitted for that test."""
    x = file_of(tag)
    room = empty_shell(tag, code) - tube_room(tag) - si(x.get("bundle", {}).get("rods_bars_mass", 0)) / STEEL
    room -= sum(baffle(tag, i)[0] for i in range(x["baffles"]["count"])) * si(x["baffles"]["thickness"])
    if "floating_head" in x and code == "S2":
        sheet, head = x["floating_tubesheet"], x["floating_head"]
        room -= disc(si(sheet["outside_diameter"])) * si(sheet["thickness"]) + chamber(tag, head, "rear") + si(head["mass"]) / STEEL
    return room


def bore_room(tag: str) -> float:
    """Water in the open tubes."""
    t = file_of(tag)["tubes"]
    ways = [si(t["length"])] * (len(holes(tag)) - plugged(tag))
    if "floating_tubesheet" not in file_of(tag):
        ways += [pi * r for r in radii(tag)]
    return disc(si(t["od"]) - 2 * si(t["wall"])) * sum(ways)


def tube_side_room(tag: str) -> float:
    x = file_of(tag)
    rear = x.get("floating_head") or x.get("rear_head")
    return bore_room(tag) + chamber(tag, x["channel"], "front") + (chamber(tag, rear, "rear") if rear else 0.0)


def bundle(tag: str) -> dict[str, float] | None:
    """Mass and centre of gravity as a heap of pieces (mass, place); None where no bundle comes out."""
    x = file_of(tag)
    if "bundle" not in x:
        return None
    t, b, own, rear = x["tubes"], x["baffles"], x["bundle"], x.get("floating_tubesheet")
    length, (front, back) = si(t["length"]), inner_faces(tag)
    metre = (disc(si(t["od"])) - disc(si(t["od"]) - 2 * si(t["wall"]))) * si(t["density"])
    tubes = [(metre * length, length / 2) for _ in holes(tag)]
    if not rear:
        tubes += [(metre * r * pi / 90, length + r * sin((i + 0.5) * pi / 90)) for r in radii(tag) for i in range(90)]
    pieces = list(tubes)
    for sheet, at in ((x["stationary_tubesheet"], front / 2), *([(rear, length - si(rear["thickness"]) / 2)] if rear else [])):
        net = disc(si(sheet["outside_diameter"])) - sum(disc(si(sheet["hole"])) for _ in holes(tag))
        pieces.append((net * si(sheet["thickness"]) * STEEL, at))
    baffles = [(baffle(tag, i)[0] * si(b["thickness"]) * STEEL, front + si(b["first_position"]) + i * si(b["spacing"]))
               for i in range(b["count"])]  # fmt: skip
    pieces += baffles
    pieces.append((si(own["rods_bars_mass"]), (front + back) / 2))
    if "impingement_mass" in own:
        pieces.append((si(own["impingement_mass"]), front + si(x["nozzle"]["N1"]["position"])))
    dry = sum(m for m, _ in pieces)
    dirt = si(own["fouling_mass"]) + si(own["water_mass"])
    middle = sum(m * at for m, at in tubes) / sum(m for m, _ in tubes)
    cg = sum(m * at for m, at in pieces) / dry
    guessed = not all(
        own[k].endswith("measured") for k in ("fouling_mass", "water_mass")
    )  # dirt and water are known once weighed, not before
    return {
        "tubes": sum(m for m, _ in tubes), "baffles": sum(m for m, _ in baffles), "dry": dry, "cg": cg, "pulled": dry + dirt,
        "pulled cg": (dry * cg + dirt * middle) / (dry + dirt), "insert": 1.10 * dry, "lift": (1.25 if guessed else 1.10) * (dry + dirt),
        "wet": dry + si(own["water_mass"]),
    }  # fmt: skip
