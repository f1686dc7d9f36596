"""The plug list: which holes are one tube, and how many plugs go where. The two ends of a U-tube stand in one tubesheet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from boxup.core.finding import Finding
from boxup.exchanger.layout import Layout, Tube, numbered_layout, u_pairs
from boxup.exchanger.model import Exchanger
from boxup.job.state import JobState

BY_THE_MAP = "ends straight across the centre line are taken as one tube; the drawing decides"


@dataclass(frozen=True, slots=True)
class PlugList:
    """`tubes`: the holes of each tube to plug; `ends`: where each plug goes; `alone`: ends of U-tubes with no other end on the list."""

    tubes: tuple[tuple[str, ...], ...]
    ends: tuple[str, ...]
    alone: tuple[str, ...]
    bent: bool

    @property
    def findings(self) -> tuple[Finding, ...]:
        """The list in words, and every end that is alone."""
        return (*self._told(), *(Finding("warn", lone_end(one), "common practice") for one in self.alone))

    def _told(self) -> Iterator[Finding]:
        if self.tubes and self.bent:
            holes, pairs = len(self.ends), [" with ".join(pair) for pair in self.tubes if len(pair) == 2]
            text = f"{holes} holes to plug are {len(self.tubes)} U-tubes, {holes} plugs, all from the front: {', '.join(pairs)}. "
            yield Finding("note", f"{text}{BY_THE_MAP[0].upper()}{BY_THE_MAP[1:]}.", "common practice")


def plug_list(exchanger: Exchanger) -> PlugList:
    """The tubes on the list of this exchanger, with their ends; without a map the holes of U-tubes cannot be put together."""
    holes = exchanger.to_plug
    if exchanger.letters.rear != "U":
        return PlugList(tuple((hole,) for hole in holes), tuple(f"{hole}, {end}" for hole in holes for end in ("front", "rear")), (), False)
    layout = numbered_layout(exchanger)
    known = isinstance(layout, Layout) and all(mapped(layout, hole) for hole in holes)
    if not isinstance(layout, Layout) or not known:
        return PlugList(tuple((hole,) for hole in holes), tuple(f"{hole}, front" for hole in holes), (), False)
    tubes = tuple(u_pairs(layout, holes))
    alone = tuple(pair[0] for pair in tubes if len(pair) == 1 and other_end(exchanger, pair[0]) not in exchanger.plugged)
    return PlugList(tubes, tuple(f"{hole}, front" for hole in holes), alone, True)


def other_end(exchanger: Exchanger, hole: str) -> str:
    """The other end of the U-tube that begins in this hole, by the map; "" for straight tubes and where there is no such hole."""
    layout = numbered_layout(exchanger) if exchanger.letters.rear == "U" else None
    if not isinstance(layout, Layout) or (one := mapped(layout, hole)) is None:
        return ""
    return next((t.id for t in layout.tubes if t.id != hole and abs(t.x - one.x) < 1 and abs(t.y + one.y) < 1), "")


def one_end_only(state: JobState) -> tuple[str, ...]:
    """Tubes shut at one end on this job and open at the other, a clause each; both ends of a U-tube are holes of the one tubesheet."""
    x, found = state.exchanger, list[str]()
    bent = state.scope.flags["rear"] == "U"
    for t in state.tubes.values():
        if bent and t.plugged and x is not None and (other := other_end(x, t.id)) and other not in x.plugged:
            found.append(f"tube {t.id} is plugged and its other end {other} is open")
        elif not bent and t.plugged and not t.plugged >= {"front", "rear"}:
            shut = next(iter(t.plugged))
            found.append(f"tube {t.id} is plugged at the {shut} only")
    return tuple(found)


def mapped(layout: Layout, hole: str) -> Tube | None:
    """The hole on the map; None where it has no such hole."""
    try:
        return layout.tube(hole)
    except KeyError:
        return None


def lone_end(hole: str, other: str = "") -> str:
    """What is wrong with one end of a U-tube on the list."""
    named = f"its other end, by the map {other}," if other else "its other end"
    return f"{hole} is one end of a U-tube and {named} is not on the list: both are plugged, or the tube still leaks ({BY_THE_MAP})"
