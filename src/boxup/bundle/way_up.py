"""Which way up a bundle goes in: every turn its stud circle allows, what would stop a wrong one, and what a wrong one would do."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from math import cos, hypot, radians, sin

from boxup.bundle.way_against import CANNOT, contradictions, low
from boxup.bundle.way_harm import HALF, harms
from boxup.bundle.way_marks import WayMarks, said_hours, said_pose, way_marks
from boxup.core.finding import Finding, Missing
from boxup.core.rounding import both
from boxup.exchanger.model import Exchanger
from boxup.exchanger.passes import End, survives_half_turn
from boxup.exchanger.ribs import RibLine, grid_of, rib_lines, ribs_of

PRACTICE = "common practice"
RIDES = "CD"  # fronts whose channel is one piece with the tubesheet: it turns with the bundle
TOLERANCE = 1.5  # mm, within which ribs are taken to lie on each other


@dataclass(frozen=True, slots=True)
class Turn:
    """The bundle turned by `degrees` clockwise, seen from the front. `stops`: what would not let it on; `harms`: what it would do.

    `studs`: whether the stud circle lets it on; None where the studs are not counted.
    """

    degrees: float
    name: str
    studs: bool | None
    stops: tuple[str, ...] = ()
    harms: tuple[str, ...] = ()

    @property
    def goes_together(self) -> bool:
        """Nothing that bolts up would catch it."""
        return self.studs is not False and not self.stops


@dataclass(frozen=True, slots=True)
class WayUp:
    """The answer.

    turns: the wrong ones looked at; count: how many turns studs and ribs let on; right: the right pose, a line for each thing to look at;
    ask: what the file does not say and where it is seen; end_for_end: whether it could go in by its other end, and why; fixed: why there
    is nothing to turn; against: what in the file cannot be true at once: then there is no right pose and no turn is judged.
    """

    marks: WayMarks
    turns: tuple[Turn, ...] = ()
    count: str = ""
    right: tuple[str, ...] = ()
    ask: tuple[str, ...] = ()
    end_for_end: str = ""
    fixed: str = ""
    against: tuple[str, ...] = ()
    findings: tuple[Finding, ...] = ()
    missing: tuple[Missing, ...] = ()

    @property
    def uncaught(self) -> tuple[Turn, ...]:
        """Wrong turns that go together and do harm."""
        return tuple(t for t in self.turns if t.goes_together and t.harms)

    @property
    def short(self) -> str:
        """The right pose in a line, for the step."""
        if self.fixed or self.against:
            return CANNOT if self.against else ""
        return said_pose(self.marks)


def way_up(exchanger: Exchanger) -> WayUp:
    """Work it. Never raises; what the file does not give is asked for."""
    marks = way_marks(exchanger)
    if exchanger.letters.fixed:
        return WayUp(marks, fixed="The tubesheets are fixed to the shell: the bundle is not drawn and cannot be turned.")
    if against := contradictions(exchanger, marks):
        asked = WayUp(marks, ask=tuple(_ask(exchanger, marks)), end_for_end=_end_for_end(exchanger), against=against)
        return replace(asked, findings=tuple(_contradicted(asked)))
    found = WayUp(
        marks, tuple(_turns(exchanger, marks)), _count(exchanger, marks), tuple(_right(exchanger, marks)), tuple(_ask(exchanger, marks)),
        _end_for_end(exchanger),
    )  # fmt: skip
    return replace(found, findings=tuple(_findings(found)), missing=tuple(_missing(found)))


def _count(x: Exchanger, m: WayMarks) -> str:
    """How many ways round the stud circle allows, and how many of them the pass plates or the spools let on."""
    if not m.studs:
        return ""
    own = x.letters.front in RIDES
    fall = falling(x)
    left = sum((nozzles_meet(x, d) if own else fall(d) is not False) for d in (360 * k / m.studs for k in range(m.studs)))
    what = "the spools of the channel" if own else "the pass plates"
    pin = f", the dowel at {m.dowel:g} o'clock 1" if m.dowel else ""
    return f"Of {m.studs} ways round that the stud circle allows, {what} let {left} on{pin}; 1 is right."


def _turns(x: Exchanger, m: WayMarks) -> Iterator[Turn]:
    """Half a turn, a quarter either way, one stud hole: the turns a crew can come to. The other stud holes are as the last."""
    named = [(180.0, "half a turn"), (90.0, "a quarter turn clockwise"), (270.0, "a quarter turn anticlockwise")]
    if m.studs and m.studs > 4:
        named.append((360 / m.studs, f"one stud hole either way, {360 / m.studs:.3g} degrees"))
    for degrees, name in named:
        fits = None if not m.studs else abs(degrees * m.studs / 360 - round(degrees * m.studs / 360)) < 1e-6
        yield Turn(degrees, name, fits, tuple(_stops(x, m, degrees, fits)), tuple(harms(x, m, degrees)))


def _stops(x: Exchanger, m: WayMarks, degrees: float, fits: bool | None) -> Iterator[str]:
    if fits is False:
        yield f"the stud circle: {m.studs} holes do not come round on each other"
    if m.dowel:
        yield f"the dowel at {m.dowel:g} o'clock, as long as it stands in its hole"
    if x.letters.front in RIDES:
        if not nozzles_meet(x, degrees):
            yield "the spools of the channel, which turns with the bundle: its nozzles do not meet them"
    elif falls_on(x, degrees) is False:
        yield "the pass plates of the channel, which do not meet the grooves of the tubesheet"


def goes_half_round(x: Exchanger) -> bool:
    """Whether nothing that bolts up stops the bundle half a turn round."""
    m = way_marks(x)
    fits = None if not m.studs else m.studs % 2 == 0
    return not x.letters.fixed and fits is not False and not tuple(_stops(x, m, HALF, fits))


def falls_on(x: Exchanger, degrees: float, end: End = "front") -> bool | None:
    """Whether the ribs of that end fall on themselves when turned; None where the passes are not known."""
    return falling(x, end)(degrees)


def falling(x: Exchanger, end: End = "front") -> Callable[[float], bool | None]:
    """`falls_on` for many turns: the ribs are laid out once."""
    lines, pieces, grid = rib_lines(x, end), ribs_of(x, end), grid_of(x)

    def falls(degrees: float) -> bool | None:
        if isinstance(pieces, Missing) or isinstance(grid, Missing):
            return None
        if not pieces:
            return True
        if not isinstance(lines, Missing):
            return turned_on(lines, degrees)
        return survives_half_turn(grid, pieces) if degrees == 180 else False

    return falls


def turned_on(lines: tuple[RibLine, ...], degrees: float, tolerance: float = TOLERANCE) -> bool:
    """True when rib centre lines, turned clockwise, fall on themselves within `tolerance` mm."""
    ends = [((r.x1, r.y1), (r.x2, r.y2)) for r in lines]
    turned = [tuple(_turned(p, degrees) for p in pair) for pair in ends]
    return all(any(_near(a, b, tolerance) or _near(a[::-1], b, tolerance) for b in ends) for a in turned)


def _turned(p: tuple[float, float], degrees: float) -> tuple[float, float]:
    c, s = cos(radians(degrees)), sin(radians(degrees))
    return p[0] * c + p[1] * s, p[1] * c - p[0] * s


def _near(a: tuple[tuple[float, float], ...], b: tuple[tuple[float, float], ...], tolerance: float) -> bool:
    return all(hypot(p[0] - q[0], p[1] - q[1]) <= tolerance for p, q in zip(a, b, strict=True))


def nozzles_meet(x: Exchanger, degrees: float, end: str = "front") -> bool:
    """Whether every spool of the channel at that end finds a nozzle of its size when the channel is turned; True where it has none."""
    own = [
        (n.clock.si, (n.size, n.flange_class, n.position.si if n.position else 0.0))
        for n in x.nozzles
        if n.side == "tube" and n.clock and (n.position is None or n.position.si < 0) == (end == "front")
    ]
    apart = [[(clock + degrees / 30 - other + 6) % 12 - 6 for other, flange in own if flange == like] for clock, like in own]
    return all(any(abs(hours) < 0.01 for hours in one) for one in apart)


def _right(x: Exchanger, m: WayMarks) -> Iterator[str]:
    """The right pose, thing by thing."""
    if m.mark:
        yield f"Match mark at {m.mark:g} o'clock" + (f": {x.bundle.match_mark}" if x.bundle.match_mark else "")
    for p in m.plates or ():
        far = f", {both('position', p.position / 1000)} from the inner face of the stationary tubesheet" if p.position is not None else ""
        yield f"Impingement plate at {p.clock:g} o'clock, facing {p.nozzle}{far}"
    if m.plates == ():
        yield "No impingement plate, by the file"
    if m.bars:
        yield f"Sliding bars at {said_hours(m.bars)} o'clock"
    if m.notches:
        yield f"Notches of the baffles at {said_hours(m.notches)} o'clock"
    if m.first_cut:
        yield f"Baffle cut {m.cut_direction}, the first baffle from the front cut {m.first_cut}"
    if m.long_baffle:
        yield f"Baffle along the bundle {m.long_baffle}"
    if m.dowel:
        yield f"Dowel at {m.dowel:g} o'clock"
    yield from _grooves(x)


def _grooves(x: Exchanger) -> Iterator[str]:
    pieces = ribs_of(x, "front")
    if not isinstance(pieces, Missing) and pieces and x.letters.front not in RIDES:
        flat, upright = (sum(p.way == way for p in pieces) for way in "HV")
        told = " and ".join(f"{n} {word}" for n, word in ((flat, "level"), (upright, "upright")) if n)
        yield f"Grooves of the tubesheet, in pieces: {told}"


def _ask(x: Exchanger, m: WayMarks) -> Iterator[str]:
    """What the file does not say, and where on the bundle it is seen."""
    if m.plates is None:
        yield "Impingement plate: look for a plate, or rods, over the outer row of tubes; it goes under the shell inlet"
    if not m.bars and x.identity.position == "horizontal":
        yield "Sliding bars: look along the baffle edges; the bars go down"
    if not m.notches:
        yield "Notches of the baffles: look at their edges; a notch that drains goes down, one that vents goes up"
    if not m.first_cut and x.letters.shell != "X":
        yield "Baffle cut: look which way the first baffle from the stationary tubesheet is cut, and what the drawing says"
    if m.mark is None:
        yield "Match mark: look round the edge of the stationary tubesheet and of the shell flange, under the paint"
    if m.dowel is None:
        yield "Dowel: look into the face of the shell flange and the back of the tubesheet for a pin, or an odd stud hole"
    if m.studs is None:
        yield "Studs: count the holes of the circle that holds the stationary tubesheet"
    if x.letters.shell in "FGH" and not x.bundle.long_baffle:
        yield f"Long baffle: taken to lie level, as is usual with the shell letter {x.letters.shell}; look at its seal strips"


def _end_for_end(x: Exchanger) -> str:
    """Whether the bundle could be put in by its other end."""
    if x.letters.rear == "U":
        return "Not end for end: U-tubes have one tubesheet."
    if x.letters.shell == "K":
        return "Not end for end: a kettle takes the bundle at its port only."
    front, bore = x.stationary_tubesheet.outside_diameter, x.shell.inside_diameter
    rear = next((j.studs for j in x.joints if j.kind == "shell cover" and j.studs), None)
    own = next((j.studs for j in x.joints if j.kind == "tubesheet/shell" and j.studs), None)
    same_shell = "The shell is the same from either end, so its nozzles do not tell. " if x.letters.shell in "JGHX" else ""
    if front and bore and front.si > bore.si:
        text = (
            f"Not end for end: the stationary tubesheet, {both('length', front.si)}, is larger than the bore, {both('length', bore.si)}, "
        )
        circles = _circles(own, rear)
        return f"{same_shell}{text}and goes up to the front flange only{circles}."
    return same_shell + "End for end: compare the outside of the stationary tubesheet with the shell bore, and the two end flanges."


def _circles(own: object, rear: object) -> str:
    said = []
    for name, s in (("front", own), ("rear", rear)):
        count, circle = getattr(s, "count", None), getattr(s, "bolt_circle", None)
        if count and circle:
            said.append(f"{name} flange {count.si:.0f} holes on {both('length', circle.si)}")
    if len(said) < 2:
        return ""
    same = said[0].split(" ", 2)[2] == said[1].split(" ", 2)[2]
    return f"; stud circles: {', '.join(said)}" + (": the same, so look at the drawing which flange is the front one" if same else "")


def _findings(w: WayUp) -> Iterator[Finding]:
    for text in w.marks.strange:
        yield Finding("warn", f"{text[0].upper()}{text[1:]}.", PRACTICE)
    yield from _against(w.marks)
    half = next(t for t in w.turns if t.degrees == 180)
    for turn in w.uncaught:
        fits = f"the {w.marks.studs} studs" if w.marks.studs else "the studs, as far as anybody counted them,"
        also = " and the pass ribs" if turn is half else ""
        text = (
            f"The bundle turned by {turn.name} goes together: {fits}{also} let it on, and nothing that bolts up catches it. Wrong in it: "
        )
        yield Finding("warn", f"{text}{'; '.join(turn.harms[:2])}. {_tell(w)}", PRACTICE)
    only_dowel = w.marks.dowel and half.harms and all("dowel" in s for s in half.stops) and half.studs is not False
    if only_dowel:
        text = f"Half a turn of the bundle is stopped by the dowel at {w.marks.dowel:g} o'clock alone: studs and pass ribs let it on. "
        yield Finding("note", text + "A dowel may be missing or ground off: look before it goes in.", PRACTICE)


def _contradicted(w: WayUp) -> Iterator[Finding]:
    """Both facts, and no pose."""
    said = "Look at bundle, shell and drawing, mend the file, and let nobody go by it until then."
    for text in w.against:
        yield Finding("stop", f"{CANNOT[0].upper()}{CANNOT[1:]}: {text}. {said}", PRACTICE)
    for text in w.marks.strange:
        yield Finding("warn", f"{text[0].upper()}{text[1:]}.", PRACTICE)


def _tell(w: WayUp) -> str:
    return f"Right is: {w.short}. Two names look, on the ground." if w.short else "Two names look at bundle and drawing, on the ground."


def _against(m: WayMarks) -> Iterator[Finding]:
    """Positions in the file that do not go together."""
    if m.bars and len(low(m.bars)) < 2 and any(h % 12 < 3 or h % 12 > 9 for h in m.bars):
        text = f"The file has sliding bars at {said_hours(m.bars)} o'clock, above the middle: the bundle would ride on its baffle edges. "
        yield Finding("warn", text + "Look at the bundle and mend the file.", PRACTICE)


def _missing(w: WayUp) -> Iterator[Missing]:
    m = w.marks
    if not (m.plates or m.bars or m.notches or m.mark or m.first_cut or m.dowel):
        yield Missing("way up of the bundle", "nothing in the file says which way up it goes; look at the bundle for plate, bars, notches, "
                      "cut and match mark, and give them in [bundle]")  # fmt: skip
