"""Does a gasket lie where it is meant to: in its recess, clear of the bore, standing out of it, its ribs on the pass plate."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from boxup.core.finding import Missing
from boxup.core.quantity import Quantity
from boxup.exchanger.model import Exchanger, Flange, Gasket, Joint
from boxup.exchanger.problem import Level
from boxup.exchanger.ribs import RibLine, rib_lines, ribs_of

PLAY = 0.003  # m across: more than that and the gasket is not held in the middle (from memory: 1.5 to 3 mm)
STANDS_OUT = 0.6  # of a gasket's thickness, left when it is pulled up; what of that is below the face is not loaded (from memory)
RIB_OVER = 0.001  # m: by so much a rib may be wider than the plate's edge, about what a maker holds (from memory)
NEAR = 0.0015  # m: pieces of rib as near as that lie in one line
_NEAR = 1e-9


@dataclass(frozen=True, slots=True)
class Misfit:
    """One sentence about one size: `key` is that of the file."""

    key: str
    text: str
    level: Level = "error"


@dataclass(frozen=True, slots=True)
class Sizes:
    """A gasket by its sizes, as listed or as measured. None: nobody said."""

    od: Quantity | None = None
    id_: Quantity | None = None
    thickness: Quantity | None = None
    rib_width: Quantity | None = None


def listed(g: Gasket) -> Sizes:
    """As the file has it."""
    return Sizes(g.od, g.id_, g.thickness, g.rib_width)


def misfits(x: Exchanger, j: Joint, g: Sizes) -> Iterator[Misfit]:
    """Every way in which a gasket of these sizes does not go with the flanges of its joint."""
    for flange in (one for one in j.flanges if one.part != "backing ring"):
        yield from _recess(g, flange)
        yield from _bore(g, flange)
        yield from _deep(g, flange)
    yield from _ribs(x, j, g)


def _mm(q: Quantity) -> str:
    return f"{q.to('mm'):g} mm"


def _over(a: Quantity, b: Quantity) -> bool:
    return a.si > b.si * (1 + _NEAR)


def _recess(g: Sizes, flange: Flange) -> Iterator[Misfit]:
    """Across: too large does not go in, too small is not held in the middle."""
    if g.od and flange.recess_od:
        if _over(g.od, flange.recess_od):
            yield Misfit("od", f"{_mm(g.od)} does not go into the recess of {_mm(flange.recess_od)} in the {flange.part}.")
        elif flange.recess_od.si - g.od.si > PLAY * (1 + _NEAR):
            loose = (flange.recess_od.si - g.od.si) * 1000
            text = f"{_mm(g.od)} lies {loose:.3g} mm loose in the recess of {_mm(flange.recess_od)} in the {flange.part}"
            over = f"more than {PLAY * 1000:g} mm: it can slip to one side and leave the other bare"
            yield Misfit("od", f"{text}, {over}. Hold it in the middle, or ask for its size.", "warning")
    if g.id_ and flange.recess_id and _over(flange.recess_id, g.id_):
        yield Misfit("id", f"{_mm(g.id_)} does not go over the inside of the recess, {_mm(flange.recess_id)}, in the {flange.part}.")


def _bore(g: Sizes, flange: Flange) -> Iterator[Misfit]:
    """Into the flow it must not reach, nor when it lies as far to one side as it can. A lap flange does not carry it: the stub end does."""
    if not (g.id_ and flange.bore) or flange.type == "lap":
        return
    if _over(flange.bore, g.id_):
        yield Misfit("id", f"{_mm(g.id_)} reaches over the bore of the {flange.part}, {_mm(flange.bore)}.")
    elif g.od and flange.recess_od and flange.recess_id is None and not _over(g.od, flange.recess_od):
        slip = flange.recess_od.si - g.od.si
        if g.id_.si - slip < flange.bore.si * (1 - _NEAR):
            text = f"off the middle by what its recess leaves it, it reaches over the bore of the {flange.part}, {_mm(flange.bore)}"
            yield Misfit("id", f"{_mm(g.id_)}: {text}. Hold it in the middle.", "warning")


def _deep(g: Sizes, flange: Flange) -> Iterator[Misfit]:
    """Through: pressed, it must still stand out, or steel meets steel before it is loaded. A tongue on the other flange changes that."""
    if not (g.thickness and flange.recess_depth):
        return
    deep = f"the recess in the {flange.part} is {_mm(flange.recess_depth)} deep"
    tongue = "unless the other flange has a tongue that goes in"
    if not _over(g.thickness, flange.recess_depth):
        text = f"{_mm(g.thickness)} thick, and {deep}: the flanges touch before the gasket is loaded, {tongue}."
        yield Misfit("thickness", text, "warning")
    elif STANDS_OUT * g.thickness.si < flange.recess_depth.si * (1 - _NEAR):
        text = f"{_mm(g.thickness)} thick, and {deep}: pressed to {STANDS_OUT:.0%} it lies below the face, {tongue}. Ask the engineer."
        yield Misfit("thickness", text, "warning")


def _ribs(x: Exchanger, j: Joint, g: Sizes) -> Iterator[Misfit]:
    """A rib no wider than the edge it lies on, where there is one."""
    if g.rib_width is None or not j.ribs_end or ribs_of(x, "front" if j.ribs_end == "front" else "rear") == ():
        return
    for what, edge in _edges(x, j):
        if edge and g.rib_width.si > (edge.si + RIB_OVER) * (1 + _NEAR):
            text = f"{_mm(g.rib_width)} is wider than the {what}, {_mm(edge)}: what stands over is not loaded and folds into the flow."
            yield Misfit("rib_width", text, "warning")


def _edges(x: Exchanger, j: Joint) -> list[tuple[str, Quantity | None]]:
    lands: list[tuple[str, Quantity | None]] = [(f"edge of the pass plate in the {f.part}", f.rib_land) for f in j.flanges if f.rib_land]
    head = x.channel if j.ribs_end == "front" else x.floating_head if x.floating_head.pass_plate else x.rear_head
    return lands or [("pass plate", head.pass_plate)]


def rib_counts(x: Exchanger, j: Joint) -> tuple[int, ...]:
    """How many ribs somebody may count on this gasket: whole bars, or the pieces between passes. Empty where the passes are not known."""
    if j.ribs_end not in ("front", "rear"):
        return (0,)
    end: Literal["front", "rear"] = "front" if j.ribs_end == "front" else "rear"
    lines, pieces = rib_lines(x, end), ribs_of(x, end)
    if isinstance(pieces, Missing):
        return ()
    bars = () if isinstance(lines, Missing) else (_bars(lines),)
    return tuple(sorted({len(pieces), *bars}))


def _bars(lines: tuple[RibLine, ...]) -> int:
    """Pieces in one line, end to end, are one bar."""
    bars: list[list[RibLine]] = []
    for piece in sorted(lines, key=lambda r: (r.way, min(r.x1, r.x2), min(r.y1, r.y2))):
        whole = next((bar for bar in bars if any(_goes_on(one, piece) for one in bar)), None)
        (whole.append(piece) if whole else bars.append([piece]))
    return len(bars)


def _goes_on(one: RibLine, other: RibLine) -> bool:
    ends = [((a, b), (c, d)) for a, b in ((one.x1, one.y1), (one.x2, one.y2)) for c, d in ((other.x1, other.y1), (other.x2, other.y2))]
    touch = any(abs(p[0] - q[0]) <= NEAR * 1000 and abs(p[1] - q[1]) <= NEAR * 1000 for p, q in ends)
    return one.way == other.way and touch
