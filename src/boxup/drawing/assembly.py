"""An exchanger as a view shows it: which parts are in and which are set apart, what each half view holds."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from boxup.drawing import nozzle as noz
from boxup.drawing import shell as body
from boxup.drawing.blind import RING, STICKS_OUT, Closing, far_end
from boxup.drawing.closure import NOTE as CLOSURE_NOTE
from boxup.drawing.frame import APART, assumed_scale, frame_of
from boxup.drawing.front import front_end
from boxup.drawing.part import End, Part, Room, Spot, Step
from boxup.drawing.rear import rear_end
from boxup.drawing.svg import Point
from boxup.drawing.view import RINGS, SectionView
from boxup.exchanger.model import Exchanger

# What carries what: with the first off, the second is off too.
CARRIES = (
    ("bundle", "channel"), ("bundle", "bonnet"), ("channel", "channel cover"), ("bundle", "floating head"),
    ("rear channel", "rear cover"), ("lantern ring", "rear bonnet"), ("gland", "backing flange"), ("backing flange", "rear cover"),
    ("backing flange", "shear ring"),
)  # fmt: skip
# These hang in their own studs and are reached from the rear: a bundle cannot come out past them.
PACKED = ("rear cover", "shear ring", "backing flange", "gland", "lantern ring", "rear bonnet")
# What stands between a part and the shell: each that is off sets it one step farther apart.
BEFORE = {
    "channel": ("bundle",), "bonnet": ("bundle",), "channel cover": ("bundle", "channel"), "shell cover": ("floating head",),
    "rear cover": ("rear channel", "gland", "backing flange"), "rear bonnet": ("lantern ring",), "backing flange": ("gland",),
}  # fmt: skip
CENTRED = "GHJKX"  # shells with nozzles about the middle: a third view between the two ends shows them
RUNNING = 20.0  # px of what runs out of an open vent or drain


@dataclass(frozen=True, slots=True)
class Stretch:
    """What one half view shows: x from `start` to `stop` mm."""

    name: str
    start: float
    stop: float
    end: End
    items: tuple[noz.Placed, ...]

    @property
    def span(self) -> float:
        """mm."""
        return self.stop - self.start


class Assembly:
    """The exchanger of a view, in mm.

    beside: another view of the same exchanger that stands beside this one: room is kept for what is off in either, and a spool that has
    its spade in one is drawn in both.
    """

    def __init__(self, exchanger: Exchanger, view: SectionView, beside: SectionView | None = None) -> None:
        self.exchanger, self.view, self.beside = exchanger, view, beside or view
        self.f = frame_of(exchanger)
        self.off = self._off(view)
        items = noz.placed(self.f)
        self.openings = [o for p in items for o in noz.opening_in_wall(p)]
        self.ends = (front_end(self.f, self.openings), rear_end(self.f, self.openings))
        self.stretches = self._stretches(items)

    def _off(self, view: SectionView) -> frozenset[str]:
        """The parts that are off: what is carried by one that is off is off with it; a bonnet answers to channel too."""
        off, letters = set(view.off), self.exchanger.letters
        if letters.front == "B" and "channel" in off:
            off = off - {"channel"} | {"bonnet"}
        if self.f.one_piece and "channel" in off:  # it is the tubesheet too: it comes with the bundle or not at all
            off = off - {"channel"} | {"bundle"}
        if letters.rear == "N":
            off.discard("rear channel")
        if self.f.fixed:
            off.discard("bundle")
        if "bundle" in off and letters.rear in "PW":
            off |= set(PACKED)
        for inner, outer in CARRIES:
            if inner in off:
                off.add(outer)
        return frozenset(off)

    @property
    def upright(self) -> bool:
        """Stands upright on its foundation, and so on the sheet."""
        return self.exchanger.identity.position == "vertical"

    @property
    def turned(self) -> int:
        """Quarters of a turn, clockwise, from lying to how it stands on the sheet: 1, front end up; -1, rear end up; 0, lying."""
        return (-1 if self.exchanger.identity.upper_end == "rear" else 1) if self.upright else 0

    @property
    def notes(self) -> list[str]:
        """Sentences that must be read with the drawing."""
        found = [CLOSURE_NOTE] if self.exchanger.letters.front == "D" else []
        if self.exchanger.letters.rear == "T" and "bundle" in self.off:
            how = "off it" if "floating head" in self.view.off else "bolted to it"
            found.append(f"The bundle is out, its floating head {how}.")
        if self.upright:
            end, side = ("front", "right") if self.turned > 0 else ("rear", "left")
            found.append(f"Stands upright: {end} end drawn at the top, 12 o'clock on the {side}.")
            if not self.exchanger.identity.upper_end:
                found.append("Which end is up is not given: assumed. Find out before anything is lifted, filled or vented.")
        if assumed_scale(self.exchanger):
            found.append("Not to scale: the shell inside diameter is not given.")
        return found

    def closing(self, item: noz.Placed) -> Closing:
        """What closes this nozzle in this view; nothing closes a small pipe but its own cap."""
        if item.small:
            return Closing()
        mine = [b for b in self.exchanger.blinds if b.nozzle == item.id]
        spade = next((b for b in mine if b.use == "process" and b.id in self.view.blinds), None)
        blank = next((b for b in mine if b.use == "test" and b.id in self.view.blinds), None)
        seen = self.view.blinds | self.beside.blinds
        spool = any(far_end(b) and b.id in seen for b in mine)
        return Closing(spade, spool, blank, item.part in self.off)

    def named(self) -> frozenset[str]:
        """Blinds that come or go between this view and the one beside it: their numbers come before all others."""
        return self.view.blinds ^ self.beside.blinds

    def handle(self, item: noz.Placed) -> int:
        """The side a blind's handle points to: rearward, unless a balloon's line comes down there or the next nozzle stands there."""
        low, high = item.x + item.rim, item.x + item.rim + STICKS_OUT + 24
        lines = [self.target(s)[0] for end in self.ends for s in end.spots] if item.way == noz.UP else []
        others = [p.x - p.rim for s in self.stretches for p in s.items if p.way == item.way and not p.small]
        return -1 if any(low - 10 < x < high for x in lines + others) else 1

    def parts(self, stretch: Stretch) -> list[Part]:
        """The parts of a half view, the shell first, test rings only where they are on."""
        wanted = [p for p in stretch.end.parts if p.name not in RINGS or p.name in self.view.rings]
        return [*body.shell_parts(self.f, stretch.start, stretch.stop, self.openings), *wanted]

    def shift(self, part: Part) -> Point:
        """How far this part is set apart now, mm."""
        if part.name not in self.off:
            return 0.0, 0.0
        dx, dy = part.shift
        if part.name in ("channel", "channel cover", "closure") and self.f.one_piece:
            return self._with_bundle(part), dy
        before = sum(name in self.off for name in BEFORE.get(part.name, ()))
        alone = ("bonnet",) if self.exchanger.letters.rear == "L" else ("bonnet", *PACKED)
        own = dx if part.name in self.view.off or part.name in alone else 0.0  # a cover comes off with its channel
        return own + (APART if dx > 0 else -APART) * before, dy

    def _with_bundle(self, part: Part) -> float:
        """A channel in one piece with the tubesheet goes where the bundle goes, its cover one step farther where that is off."""
        gone = "bundle" in self.off
        own = part.name != "channel" and (part.name in self.view.off or gone)
        return -APART * (gone + own)

    def shift_of(self, name: str) -> float:
        """How far along the axis a named part is set apart."""
        return next((self.shift(p)[0] for end in self.ends for p in end.parts if p.name == name), 0.0)

    def _on_the_ground(self, name: str) -> bool:
        """A pull-through head that left with its bundle: behind a closed end it can have gone no other way."""
        t_head = self.exchanger.letters.rear == "T" and name == "floating head" and "bundle" in self.off
        return t_head and (self.f.closed or name not in self.view.off)

    def hidden(self, part: Part, stretch: Stretch) -> bool:
        """Not to be seen here: the bundle that is out is drawn once, before the shell's mouth, and what it took along not at all."""
        if stretch.name != "rear" or "bundle" not in self.off:
            return False
        rides = part.name == "floating head" and self._on_the_ground(part.name)
        return rides or part.name == "bundle"

    def closed(self, spot: Spot) -> bool:
        """All the parts of the joint are in."""
        return not spot.parts & self.off

    def target(self, spot: Spot) -> Point:
        """Where the line of a joint's balloon ends: at its gasket, or while it is open on the part that waits."""
        if self.closed(spot):
            return (spot.x0 + spot.x1) / 2, spot.top
        name, x, y = spot.held
        if "floating head" in spot.parts and self._on_the_ground("floating head"):
            return spot.x0, body.roof(self.f, spot.x0) + self.f.wall if spot.x0 < self.f.shell_end else spot.top
        if name in self.off & {"bundle"}:  # the end that waits is what closes it
            name, x, y = next((p for p in ("floating head", "rear cover") if p in spot.parts), name), spot.x1, spot.ring[1]
        return x + self.shift_of(name), y

    def pressed(self, stretch: Stretch, under: bool) -> Iterator[Room]:
        """The rooms of a half view that are under pressure; `under`: those painted before the parts."""
        side = self.view.pressed
        if not side:
            return
        if under and side == "shell":
            yield body.shell_room(self.f, stretch.start, stretch.stop)
        yield from (r for r in self.rooms(stretch, side) if r.under == under)
        if under:
            yield from (Room(side, tuple(noz.room(p))) for p in stretch.items if p.open_bore and p.side == side and p.part not in self.off)

    def rooms(self, stretch: Stretch, side: str) -> list[Room]:
        """The closed rooms of a side at that end."""
        rooms = [r for r in stretch.end.rooms if r.side == side and r.part not in self.off]
        return [r for r in rooms if not r.ring or r.ring in self.view.rings]

    def height(self, stretch: Stretch, way: int, scale: float) -> float:
        """How far from the axis the half view reaches upward (+1) or downward (-1), mm; what runs out of a drain is drawn in px."""
        parts = max(way * s[2] for p in self.parts(stretch) for shape in p.shapes for s in shape.steps)
        blinded = {b.nozzle for b in self.exchanger.blinds}
        usual = {p.id: 26.0 + RING if p.id in blinded else RUNNING / scale if p.id in self.view.open else 22.0 for p in stretch.items}
        onward = [p.end + max(usual[p.id], self.closing(p).reach) + 6 for p in stretch.items if p.way == way]
        sideways = [way * p.y + 2 * p.rim + STICKS_OUT for p in stretch.items if p.way == noz.NEAR and self.closing(p).lift]
        return max([parts + 10, *onward, *sideways])

    def left_out(self) -> list[str]:
        """Nozzles, vents and drains that no half view shows."""
        shown = {p.id for s in self.stretches for p in s.items}
        here = {n.id for n in self.exchanger.nozzles} | {o.id for o in self.exchanger.openings if o.kind in ("vent", "drain")}
        return sorted(here - shown)

    def _stretches(self, items: Sequence[noz.Placed]) -> tuple[Stretch, ...]:
        """The front and the rear; between them the middle, where that has nozzles of its own."""
        f = self.f
        reach = f.bore * (1.6 if self.view.narrow or not self.view.balloons else 2.1)
        if f.up:
            reach = max(reach * 0.8, body.widens(f)[1] + f.bore * 0.5)
        front, rear = [p for p in items if p.x < f.far / 2], [p for p in items if p.x >= f.far / 2]
        first, last = f.far * 0.4, f.far * 0.6  # neither end goes farther, whatever stands there
        cut = min(max([reach, *(p.x + p.rim + 40 for p in front if p.x + p.rim + 40 < first)]), first)
        back = max(min([self._rear_from(reach), *(p.x - p.rim - 40 for p in rear if p.x - p.rim - 40 > last)]), last)
        left, right = self._reach(self.ends[0], -1) - 14, self._reach(self.ends[1], 1) + 14
        middle = self._middle(items, cut, back)
        return (
            Stretch("front", left, cut, self.ends[0], tuple(p for p in front if p.x + p.half < cut)),
            *middle,
            Stretch("rear", back, right, self.ends[1], tuple(p for p in rear if p.x - p.half > back)),
        )

    def _rear_from(self, reach: float) -> float:
        f = self.f
        if f.up and not f.closed:
            return min(f.far - reach * 0.8, body.weir_at(f) - f.bore * 0.4)
        return f.far - reach * 0.8

    def _middle(self, items: Sequence[noz.Placed], cut: float, back: float) -> tuple[Stretch, ...]:
        """A third view of what stands between the ends' own, on shells that have their nozzles there."""
        f = self.f
        mine = [p for p in items if p.x + p.half >= cut and p.x - p.half <= back]
        if f.exchanger.letters.shell not in CENTRED or not mine:
            return ()
        low, high = min(p.x - p.rim for p in mine) - 40, max(p.x + p.rim for p in mine) + 40
        spare = max(f.bore * (1.1 if self.view.balloons else 1.8) - (high - low), 0.0) / 2
        low, high = max(low - spare, cut), min(high + spare, back)
        return (Stretch("middle", low, high, End(), tuple(p for p in mine if low < p.x - p.half and p.x + p.half < high)),)

    def _reach(self, end: End, way: int) -> float:
        """The farthest x of that end with all its parts set apart, so that the scale stays the same from step to step."""
        pulled = "bundle" in self.off | self._off(self.beside)
        names = {p.name for p in end.parts if p.shift[0] * way > 0 and (p.name != "bundle" or pulled)}
        xs = [s[1] + way * _bulge(s) for p in end.parts for shape in p.shapes for s in shape.steps]
        return (max(xs) if way > 0 else min(xs)) + way * APART * len(names)


def _bulge(step: Step) -> float:
    return step[3] if len(step) > 3 else 0.0


def shifted(item: noz.Placed, dx: float) -> noz.Placed:
    """A nozzle where its part is now."""
    return replace(item, x=item.x + dx)
