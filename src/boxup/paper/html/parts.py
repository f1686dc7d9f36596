"""What the sheets are put together from: numbers, findings, lists, tables, drawings, places to write and to sign."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from boxup.paper.html.element import Inside, Markup, el, joined, narrow_svg, svg
from boxup.paper.sheet import Drawing

OCTAGON = Markup(
    '<svg class="octagon" role="img" viewBox="0 0 64 64"><title>STOP</title><path d="M20,4H44L60,20V44L44,60H20L4,44V20Z"/>'
    '<text x="32" y="39">STOP</text></svg>'
)


@dataclass(frozen=True)
class Page:
    """What every sheet may need: the words, the title block, where each working stands, the names of the sheets."""

    words: dict[str, str]
    meta: dict[str, Any]
    workings: dict[str, str]  # code: the anchor of its working; empty where the pack has no workings
    titles: tuple[str, ...]

    def mark(self, text: str) -> Markup:
        """The code of a working beside its number, leading to it."""
        code = text.removesuffix(f", {self.words['confirm']}")
        anchor = self.workings.get(code, "")
        return el("a", text, cls="mark", href=f"#{anchor}") if anchor else el("span", text, cls="mark") if text else Markup("")

    def figure(self, value: dict[str, str] | None) -> Markup:
        """A number of the moment: the value large, its unit lighter, the other system beside it."""
        if value is None:
            return el("i", self.words["not_given"])
        other = (" ", el("span", f"({value['other']})", cls="other")) if value["other"] else ()
        return joined(el("b", value["text"]), " ", el("span", value["sign"], cls="unit"), *other)

    def sign(self, roles: Sequence[str]) -> Markup:
        """Boxes to sign on paper; on the screen who signs, and where."""
        boxes = [el("div", el("b", role), el("span", self.words["sign_line"])) for role in roles]
        told = el("p", self.words["page_sign"].format(roles=", ".join(roles)), cls="screen kept")
        return joined(told, el("div", boxes, cls="paper signatures"))

    def findings(self, found: Iterable[dict[str, str]]) -> Markup:
        """STOP with its octagon, all else in ink."""
        return joined(self._finding(f) for f in found)

    def _finding(self, f: dict[str, str]) -> Markup:
        source = (" ", el("small", f["source"])) if f["source"] else ()
        if f["level"] == "stop":
            return el("div", OCTAGON, el("p", f["text"], *source), cls="stop")
        word = self.words["look" if f["level"] == "warn" else "note"]
        return el("p", el("b", f"{word}:"), " ", f["text"], *source, cls="look")

    def missing(self, found: Iterable[dict[str, str]]) -> Markup:
        """What is not given, and what to do about it."""
        return joined(el("p", el("b", f"{self.words['no']} {m['number']}:"), " ", m["do"], cls="missing") for m in found)

    def write(self, *labels: str) -> Markup:
        """Boxes to write in, on paper only; on the screen what they are for."""
        told = el("p", self.words["page_write"].format(what="; ".join(labels)), cls="screen kept")
        return joined(told, el("div", [el("div", label) for label in labels], cls="paper boxes"))

    def count(self, *labels: str, must: int) -> Markup:
        """A count to be written, and what it must be."""
        boxes = [el("span", f"{label} ", el("span", cls="box wide"), cls="paper") for label in labels]
        return el("p", boxes, f"{', '.join(labels)}: {self.words['must_be']} ", el("b", str(must)), cls="count")


def heading(title: str, beside: str = "", level: int = 3, id_: str = "") -> Markup:
    """A heading within a sheet."""
    return el(f"h{level}", title, *([" ", el("small", beside)] if beside else []), id=id_)


def section(title: str, *inside: Inside) -> Markup:
    """A heading and what belongs under it, kept together on paper where it fits."""
    return el("div", heading(title), *inside, cls="part")


BOX = el("span", cls="box paper")


def ticks(lines: Iterable[Inside]) -> Markup:
    """Things to look at: a box to tick on paper."""
    return el("ul", [el("li", BOX, el("span", line)) for line in lines], cls="ticks")


def dashes(lines: Iterable[Inside]) -> Markup:
    """Things to know."""
    return el("ul", [el("li", el("span", line)) for line in lines])


def facts(rows: Iterable[tuple[Inside, Inside]], cls: str = "facts") -> Markup:
    """Names and values, a row each."""
    return el("dl", [el("div", el("dt", name), el("dd", value)) for name, value in rows], cls=cls)


def table(heads: Sequence[str], rows: Iterable[Sequence[Inside]], write: Sequence[str] = (), cls: str = "") -> Markup:
    """A table; on a phone each row becomes a stack, every cell with its head. `write`: columns to be filled in by hand, on paper only."""
    top = [el("th", h, scope="col") for h in heads] + [el("th", w, scope="col", cls="paper") for w in write]
    blank = [el("td", cls="paper") for _ in write]
    named = heads if len(heads) > 1 else [""]
    body = [el("tr", [_cell(h, cell) for h, cell in zip(named, row, strict=True)], blank) for row in rows]
    return el("table", el("thead", el("tr", top)), el("tbody", body), cls=cls)


def _cell(head: str, cell: Inside) -> Markup:
    return el("td", el("span", cell), data_h=head, cls="" if cell else "empty")


def blank_table(heads: Sequence[str], rows: int) -> Markup:
    """A table of blank rows, for paper."""
    row = el("tr", [el("td") for _ in heads])
    return el("table", el("thead", el("tr", [el("th", h) for h in heads])), el("tbody", [row] * rows), cls="paper blank")


def drawing(one: Drawing, cls: str = "") -> Markup:
    """A drawing in its two widths; nothing where there is none."""
    if not one:
        return Markup("")
    wide, narrow = svg(one), narrow_svg(one)
    if wide == narrow:
        return el("figure", wide, cls=f"drawing {cls}".strip())
    return el("figure", el("div", wide, cls="wide"), el("div", narrow, cls="narrow"), cls=f"drawing {cls}".strip())
