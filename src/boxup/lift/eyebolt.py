"""What a shoulder eyebolt carries at an angle: the smaller of two rules, each by its worse printed row."""

from __future__ import annotations

import re
from dataclasses import dataclass

from boxup.core.calculation import calculation, number, word
from boxup.core.quantity import BadValue, Quantity
from boxup.core.working import Step, Working
from boxup.lift.gear import gravity
from boxup.lift.worse import least_at, most_at, rows
from boxup.reference.load import Row, source, table

B18_15, MAKERS, PRACTICE = source("asme-b18-15"), source("eyebolt-makers"), source("lifting-practice")
DIN_580 = source("din-580")
CAPACITY, IN_LINE, ANGLE = "eyebolt_capacity", "eyebolt_in_line", "eyebolt_angle"
METRIC = "eyebolt_metric"
_METRIC = re.compile(r"[Mm]\s*(\d+)(?:\s*[xX]\s*\d+(?:[.,]\d+)?)?")
_SIZE = re.compile(r'(\d+-\d+/\d+|\d+/\d+|\d+)(?:-\d+)?(?:\s*(?:in|"))?')


def size_of(text: str) -> str:
    """`3/4`, `3/4-10`, `1-1/4 in`, `1"` or `M24`: the size as the tables print it. Raises BadValue for one that is in no table."""
    if metric := _METRIC.fullmatch(text.strip()):
        return _metric_size(text, f"M{metric[1]}")
    got = _SIZE.fullmatch(text.strip())
    sizes = _sizes()
    if got is None or got.group(1) not in sizes:
        raise BadValue(f"{text!r} is in no table of shoulder eyebolts; accepted: {', '.join(sizes)}; for another the maker's own table")
    return got.group(1)


def _metric_size(text: str, size: str) -> str:
    """The size as DIN 580 has it. Raises BadValue for one that it has not."""
    sizes = list(dict.fromkeys(r.text("size") for r in table(METRIC).values()))
    if size not in sizes:
        raise BadValue(
            f"{text!r} is in no row of DIN 580: take its capacity at the angle of the pull from the table of its own standard, as its "
            f"maker prints it, and give that; accepted: {', '.join(sizes)}"
        )
    return size


def _sizes() -> list[str]:
    return [r.key for r in table(IN_LINE).values()]


@dataclass(frozen=True, slots=True, kw_only=True)
class Eyebolt:
    """A forged shoulder eyebolt of carbon steel, and how far the pull leans from its shank."""

    size: str = word("size, for example 3/4, 1-1/4 or M24", check=size_of)
    angle: Quantity = number("alpha", "pull, from the shank", "deg", least=0, most=90)


@calculation("eyebolt", B18_15, Eyebolt, "capacity=C@N engagement=l_e@mm")
def eyebolt(w: Working, given: Eyebolt) -> None:
    """Capacity by the printed table and by the makers' angle factors; no capacity where a rule prints nothing for it."""
    w.take_in(given)
    size = size_of(given.size)
    if size.startswith("M"):
        _of_din(w, size)
        return
    printed, maker = _printed(w, size), table(IN_LINE)[size]
    w.table("d", "diameter, by its size", maker.need("diameter"), "mm", maker.place("diameter"), maker.cite)
    w.step("l_e = 1.5*d", "mm", "thread in the hole, at least", "one and a half diameters, in steel too", source=PRACTICE)
    factor = most_at(table(ANGLE).values(), "angle", w["alpha"])
    if printed and factor:
        _capacity(w, printed, maker, factor)
    _notes(w)


def _of_din(w: Working, size: str) -> None:
    """A metric one: DIN 580 at the worse printed angle, and no more than the makers' share of it in line; steeper nothing is printed."""
    line, *_ = printed = rows(METRIC, size=size)
    w.table("d", "diameter, by its size", line.need("diameter"), "mm", line.place("diameter"), line.cite)
    w.step("l_e = 1.5*d", "mm", "thread in the hole, at least", "one and a half diameters, in steel too", source=PRACTICE)
    row, factor = most_at(printed, "angle", w["alpha"]), most_at(table(ANGLE).values(), "angle", w["alpha"])
    if row and factor:
        gravity(w)
        w.table("m_t", "printed capacity, size and angle by the row", row.need("capacity"), "kg", row.place("capacity"), row.cite)
        w.table("m_0", "printed capacity in line", line.need("capacity"), "kg", line.place("capacity"), line.cite)
        w.table("k_a", "makers' share at this angle", factor.need("factor"), "-", factor.place("factor"), factor.cite)
        w.step("C_t = m_t*g_n", "kN", "printed capacity at this angle", "as a force", source=DIN_580)
        w.step("C_m = k_a*m_0*g_n", "kN", "capacity by the makers' factors", "share of the capacity in line", source=MAKERS)
        w.step("C = min(C_t, C_m)", "kN", "capacity at this angle", "the smaller of the two", source=PRACTICE)
    else:
        say = f"DIN 580 prints nothing for {size} further than 45° off its shank: it is not pulled there. Hoist ring, or another point."
        w.say("stop", say, "nothing printed", DIN_580)
    _notes(w)


def eyebolt_at(w: Working, size: str, angle: Quantity | None) -> Step | None:
    """The capacity by the printed rules, worked in a part of `w`; None where nothing is printed, which is a stop. No angle: in line."""
    part = w.part(f"eyebolt {size}", B18_15)
    line = Quantity(0.0, "deg", "in line: not given", "assumed")
    if angle is None:
        part.say("warn", "Angle of the pull not given: taken in line with the shank. Off it an eyebolt carries a half, or less.", "angle")
    eyebolt.work(part, Eyebolt(size=size, angle=angle or line))
    return part.steps.get("C")


def _printed(w: Working, size: str) -> Row | None:
    """The row of the table: the size itself or the next smaller one printed, at the angle or the next larger one printed."""
    diameter = table(IN_LINE)[size].need("diameter")
    nearest = least_at(table(CAPACITY).values(), "diameter", diameter)
    if nearest is None:
        return None
    of_size = rows(CAPACITY, size=nearest.text("size"))
    if nearest.text("size") != size:
        say = f"The table prints no {size} in eyebolt: that of {nearest.text('size')} in is taken, the next smaller one."
        w.say("note", say, "worse printed row")
    found = most_at(of_size, "angle", w["alpha"])
    if found is None:
        say = f"The table prints nothing for a {nearest.text('size')} in eyebolt at this angle: it is not pulled there. Hoist ring"
        w.say("stop", f"{say}, or a larger one.", "nothing printed")
    return found


def _capacity(w: Working, printed: Row, maker: Row, factor: Row) -> None:
    w.table("C_t", "printed capacity, size and angle by the row", printed.need("capacity"), "kN", printed.place("capacity"), printed.cite)
    w.table("C_0", "makers' capacity in line", maker.need("capacity"), "kN", maker.place("capacity"), maker.cite)
    w.table("k_a", "makers' share at this angle", factor.need("factor"), "-", factor.place("factor"), factor.cite)
    w.step("C_m = k_a*C_0", "kN", "capacity by the makers' factors", "share of the capacity in line", source=MAKERS)
    w.step("C = min(C_t, C_m)", "kN", "capacity at this angle", "the smaller of the two", source=PRACTICE)


def _notes(w: Working) -> None:
    if w["alpha"] > 0:
        w.say("note", "Only with the shoulder home all round and the pull in the plane of the eye; a plain eyebolt takes none.", "angle")
    w.say("note", "The mark on the eyebolt and its maker's table come first. A hoist ring turns with the pull; it is preferred.", "eyebolt")
