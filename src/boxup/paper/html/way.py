"""The bundle on its way, on a page: drawing, tables, what is done with the slings, what is done when it sticks."""

from __future__ import annotations

from collections.abc import Iterator

from boxup.paper.html.element import Markup, el, joined
from boxup.paper.html.parts import Page, dashes, drawing, heading, section, table
from boxup.paper.sheet import Sheet


def way(s: Sheet, p: Page) -> Iterator[Markup]:
    """As the printed sheet has it."""
    yield drawing(s["drawing"])
    yield p.findings(f for f in s["findings"] if f["level"] == "stop")
    for t in s["tables"]:
        yield joined(heading(t["title"]), p.mark(t["mark"]))
        rows = [(el("b", row[0]), *map(_in_two, row[1:])) for row in t["rows"] if any(row)]
        yield table(t["heads"], rows, t["write"])
    yield el("div", [section(one["title"], dashes(one["lines"])) for one in s["lists"]], cls="halves")
    yield p.missing(s["missing"])
    yield p.findings(f for f in s["findings"] if f["level"] != "stop")
    yield el("p", el("b", s["decides"]))
    yield p.sign(s["roles"])


def _in_two(cell: str) -> str:
    """A range that may break behind its dash: five of them stand side by side."""
    return cell.replace("–\u2060\u00a0", "– ").replace("–\u00a0", "– ")
