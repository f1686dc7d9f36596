"""The map of a tubesheet from either end, and one row of it as targets for a glove."""

from __future__ import annotations

from functools import lru_cache, partial
from math import hypot
from typing import Literal

from boxup.bundle.walls import judged
from boxup.core.finding import Missing
from boxup.drawing.tubesheet import Line, TubesheetView, tubesheet
from boxup.exchanger.layout import Layout, Tube, u_pairs
from boxup.exchanger.model import Exchanger
from boxup.exchanger.ribs import rib_lines
from boxup.paper.html.element import Markup, el, joined
from boxup.paper.html.parts import drawing
from boxup.paper.lists import wall_marks
from boxup.paper.sheet import PHONE, Drawing
from boxup.web.ask import Ask
from boxup.web.pages.tube_words import short, tube_of
from boxup.web.trade import in_language

End = Literal["front", "rear"]
WIDE = 720


def end_of(ask: Ask) -> End:
    """From which end somebody looks; U-tubes have one tubesheet."""
    return "rear" if ask.query.get("end") == "rear" and ask.live.exchanger.letters.rear != "U" else "front"


def map_of(ask: Ask, layout: Layout, note: str) -> Markup:
    """The drawing in its two widths."""
    x, end = ask.live.exchanger, end_of(ask)
    if x.tubes.od is None:
        return Markup("")
    od, known = x.tubes.od.to("mm"), {t.id for t in layout.tubes}
    plugged = tuple(t for t in x.plugged if t in known)
    listed = tuple(t for t in x.to_plug if t in known and t not in plugged)
    pairs = tuple(p for p in u_pairs(layout, listed) if len(p) == 2) if x.letters.rear == "U" else ()
    marks = wall_marks(x, judged(x))
    walls = (marks["thin"], marks["worn"], marks["read"], marks["limit"]) if x.walls else ((), (), 0, "")
    given = (x.identity.tag, layout.tubes, od, _radius(x, layout, end, od), _ribs(x, end), end, plugged, listed, note)
    wide, narrow = (_drawn(*given, width, pairs, walls, ask.w.language) for width in (WIDE, PHONE))
    return drawing(Drawing(wide, lambda: narrow))


def _radius(x: Exchanger, layout: Layout, end: End, od: float) -> float:
    """Of the tubesheet inside its gasket, mm; never less than what the holes ask for."""
    reach = max(hypot(t.x, t.y) for t in layout.tubes) + od
    return max([reach, *(j.gasket.id_.to("mm") / 2 for j in x.joints if j.ribs_end == end and j.gasket and j.gasket.id_)])


def _ribs(x: Exchanger, end: End) -> tuple[Line, ...]:
    ribs = rib_lines(x, end)
    return () if isinstance(ribs, Missing) else tuple(ribs)


def _told(language: str, text: str) -> str:
    """A line of the legend, as the page says everything else."""
    return text if language == "en" else in_language(language, text)


@lru_cache(maxsize=32)
def _drawn(
    tag: str, tubes: tuple[Tube, ...], od: float, radius: float, ribs: tuple[Line, ...], end: End, plugged: tuple[str, ...],
    listed: tuple[str, ...], note: str, width: int, pairs: tuple[tuple[str, str], ...],
    walls: tuple[tuple[str, ...], tuple[str, ...], int, str], language: str,
) -> str:  # fmt: skip
    """Worked once for every state of the plugs."""
    light = f"holes-{width}"
    return tubesheet(TubesheetView(tag, tubes, od, radius, ribs, end, plugged, listed, note, width, pairs=pairs, light=light,
                                  thin=walls[0], worn=walls[1], read=walls[2], limit=walls[3],
                                  told=partial(_told, language)))  # fmt: skip


def row_of(ask: Ask, layout: Layout, row: int, here: str = "") -> Markup:
    """The holes of a row as they lie before whoever looks, left to right, each a link; `here`: the one to be marked."""
    end = end_of(ask)
    holes = sorted((t for t in layout.tubes if t.row == row), key=lambda t: t.x if end == "front" else -t.x)
    links = [_hole(ask, t, end, here) for t in holes]
    return joined(el("h2", ask.w(f"tubes.row_{end}", row=row, count=len(holes))), el("div", links, cls="holes"))


def _hole(ask: Ask, t: Tube, end: End, here: str) -> Markup:
    word = short(ask, tube_of(ask, t.id))
    said = [el("small", ask.w(f"tubes.short_{word}"))] if word else []
    return el(
        "a",
        el("b", str(t.col)),
        *said,
        href=ask.link("tubes", tube=t.id, end=end),
        cls=f"{word} here".strip() if t.id == here else word,
        aria_label=t.id,
    )


def rows_of(ask: Ask, layout: Layout, *, folded: bool = True) -> Markup:
    """Every row as a target."""
    end = end_of(ask)
    links = [el("a", el("b", str(row)), href=ask.link("tubes", row=str(row), end=end)) for row in sorted({t.row for t in layout.tubes})]
    summary = el("summary", el("b", ask.w("tubes.rows")))
    return el("details", summary, el("div", links, cls="holes"), open="" if folded else "open")
