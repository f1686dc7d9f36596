"""What measured walls mean for the tubes: over the site's limit, the least that stays in use; and how many of a pass are plugged."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import floor

from boxup.core.finding import Finding, Missing
from boxup.exchanger.layout import Layout, numbered_layout, u_pairs
from boxup.exchanger.model import Exchanger
from boxup.exchanger.wall import Wall

PRACTICE = "common practice"
MOST_NAMED = 12
NO_LIMIT = ("No limit for wall loss in the file, and none is assumed: the site or the inspector gives it (wall_loss_limit in [tubes]). "
            "Nothing is proposed for the plug list.")  # fmt: skip


@dataclass(frozen=True, slots=True)
class WallVerdict:
    """`read`: holes with a wall, the worst first; `unread`: listed and not measured; `over`: in use and over the limit, None without one;
    `proposed`: their tubes, both holes of a U-tube, for somebody to put on the list; `least`: the thinnest that stays in use.
    """

    read: tuple[Wall, ...]
    unread: tuple[Wall, ...]
    over: tuple[Wall, ...] | None
    proposed: tuple[tuple[str, ...], ...]
    least: Wall | None
    limit: float | None
    findings: tuple[Finding, ...]


def wall_text(metres: float) -> str:
    """A wall in mm and inches, to two and three places, never thicker than it is."""
    return f"{_down(metres * 1e3, 2):.2f} mm ({_down(metres / 0.0254, 3):.3f} in)"


def _down(number: float, places: int) -> float:
    scale = 10.0**places
    return floor(number * scale + 1e-6) / scale


def worst_of(walls: Iterable[Wall]) -> dict[str, Wall]:
    """By hole; of a hole that is there twice the thinner wall, and one that was measured before one that was not."""
    found: dict[str, Wall] = {}
    for w in walls:
        if w.hole not in found or _rank(w) > _rank(found[w.hole]):
            found[w.hole] = w
    return found


def _rank(w: Wall) -> tuple[float, float]:
    return (-1.0 if w.loss is None else w.loss, -(1.0 if w.left is None else w.left))


def judged(exchanger: Exchanger) -> WallVerdict:
    """The walls of this exchanger beside the limit of its file."""
    x, limit = exchanger, exchanger.tubes.wall_loss_limit
    walls = worst_of(x.walls)
    read = tuple(sorted((w for w in walls.values() if not w.unread), key=_rank, reverse=True))
    unread = tuple(w for w in walls.values() if w.unread)
    used = [w for w in read if w.hole not in x.plugged]
    over = tuple(w for w in used if w.loss is not None and w.loss > limit.si + 1e-9) if limit else None
    proposed = _tubes(x, [w.hole for w in over or () if w.hole not in x.to_plug])
    going = {hole for tube in proposed for hole in tube} | set(x.to_plug)
    left = [w for w in used if w.left is not None and w.hole not in going]
    least = min(left, key=lambda w: w.left or 0.0, default=None)
    found = WallVerdict(read, unread, over, proposed, least, limit.si if limit else None, ())
    return WallVerdict(read, unread, over, proposed, least, found.limit, tuple(_findings(x, found)))


def _tubes(x: Exchanger, holes: list[str]) -> tuple[tuple[str, ...], ...]:
    """Each tube by its holes; of a U-tube both, the one over the limit first."""
    layout = numbered_layout(x)
    if x.letters.rear != "U" or isinstance(layout, Missing):
        return tuple((hole,) for hole in holes)
    return tuple(_whole(layout, pair) for pair in u_pairs(layout, tuple(holes)))


def _whole(layout: Layout, pair: tuple[str, ...]) -> tuple[str, ...]:
    if len(pair) == 2:
        return pair
    one = layout.tube(pair[0])
    other = next((t.id for t in layout.tubes if t.id != one.id and abs(t.x - one.x) < 1 and abs(t.y + one.y) < 1), "")
    return (one.id, other) if other else (one.id,)


def _findings(x: Exchanger, v: WallVerdict) -> Iterator[Finding]:
    if not v.read and not v.unread:
        return
    if v.over is None:
        yield Finding("note", NO_LIMIT, PRACTICE)
    elif v.proposed:
        named = ", ".join(" + ".join(t) for t in v.proposed[:MOST_NAMED]) + (" and more" if len(v.proposed) > MOST_NAMED else "")
        text = f"Over the site's limit for wall loss, {v.limit:.0%}, and on no plug list, {len(v.proposed)}: {named}. "
        yield Finding("warn", text + "A proposal: the inspector decides, and somebody enters it.", "site's limit, from the file")
    if v.unread:
        text = f"In the report and not measured, {len(v.unread)}: {', '.join(w.hole for w in v.unread[:MOST_NAMED])}. "
        yield Finding("note", text + "A tube nobody could measure is not a sound one.", PRACTICE)
    yield from _least(x, v)


def _least(x: Exchanger, v: WallVerdict) -> Iterator[Finding]:
    """The figure of the file for tubes pressed from outside, beside what was measured."""
    if v.least is None or v.least.left is None:
        return
    given, mm = x.tubes.least_wall, f"{_down(v.least.left * 1e3, 2):.2f} mm"
    said = f"The thinnest wall that stays in use is {wall_text(v.least.left)}, in {v.least.hole} ({v.least.where})"
    put = f'Put least_wall = "{mm}" into [tubes]'
    if given is None:
        text = f"{said}. The file has no least_wall: what folds the tubes from outside is worked from the wall as new. "
        yield Finding("note", f"{text}{put} if the inspector agrees.", PRACTICE)
    elif v.least.left < given.si - 1e-6:
        text = f"{said}. The file works what folds the tubes from outside with {wall_text(given.si)}. "
        yield Finding("warn", f"{text}{put}, or plug the tube; the test sheets change with it.", PRACTICE)


@dataclass(frozen=True, slots=True)
class PassCount:
    """Holes of one pass: all, plugged, to be plugged; `share` of them that are out of use once the list is done."""

    number: int
    holes: int
    plugged: int
    listed: int

    @property
    def share(self) -> float:
        return (self.plugged + self.listed) / self.holes if self.holes else 0.0


def pass_counts(exchanger: Exchanger, layout: Layout) -> tuple[PassCount, ...]:
    """Every pass of the map."""
    plugged, listed = set(exchanger.plugged), set(exchanger.to_plug) - set(exchanger.plugged)
    holes, shut, to_plug = Counter[int](), Counter[int](), Counter[int]()
    for t in layout.tubes:
        holes[t.tube_pass] += 1
        shut[t.tube_pass] += t.id in plugged
        to_plug[t.tube_pass] += t.id in listed
    return tuple(PassCount(p, holes[p], shut[p], to_plug[p]) for p in sorted(holes))


def plug_findings(exchanger: Exchanger) -> tuple[Finding, ...]:
    """Each pass with more plugs than the site allows; nothing where the file gives no limit: none is assumed."""
    layout, limit = numbered_layout(exchanger), exchanger.tubes.plug_limit
    if isinstance(layout, Missing) or limit is None:
        return ()
    over = [c for c in pass_counts(exchanger, layout) if c.share > limit.si + 1e-9]
    return tuple(Finding("warn", _over(c, limit.si), "site's limit, from the file") for c in over)


def _over(c: PassCount, limit: float) -> str:
    said = f"Pass {c.number}: {c.plugged + c.listed} of {c.holes} holes plugged or to plug, {c.share:.1%}"
    allowed = f"the site's limit is {limit:.1%} of a pass"
    return f"{said}; {allowed}. The process engineer decides before more plugs go in."
