"""A report of tube walls, pasted or sent as a file: read against the map, every wrong line told, all of it on record or none."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from boxup.bundle.wall_report import read_walls, walls_text
from boxup.exchanger.layout import Layout, numbered_layout
from boxup.paper.html.element import Markup, el
from boxup.paper.rows_in import rows_of
from boxup.paper.spreadsheet_in import book_of_bytes
from boxup.record.kinds import Kind
from boxup.turnaround.book import BadBook
from boxup.web.ask import Ask
from boxup.web.form import entry_form
from boxup.web.log_in import LOG, boxes

if TYPE_CHECKING:
    from boxup.web.enter import Form
    from boxup.web.live import Live

READ = "tube.walls_read"
FIELDS = ("end", "method", "report")


def is_report(kind: Kind, said: Mapping[str, str]) -> bool:
    """Whether a form sends a report of walls."""
    return kind.name == READ and bool(said.get(LOG, "").strip())


def with_rows(form: Form, live: Live, problems: list[str]) -> Form:
    """The form with its report as the record keeps it, by the numbers of the front. What is wrong goes into `problems`, with its line."""
    x, end = live.exchanger, form.said.get("end", "")
    layout = numbered_layout(x)
    if not isinstance(layout, Layout):
        problems.append(f"{layout.text}.")
        return form
    end = end or ("front" if x.letters.rear == "U" else "")  # one tubesheet: nothing to ask
    form = replace(form, said={**form.said, "end": end})
    if end not in ("front", "rear") or (end == "rear" and x.letters.rear == "U"):
        problems.append("From which end the report counts the holes of a row is not said: front, or rear; U-tubes have the front only.")
        return form
    try:
        rows = rows_of(book_of_bytes(form.said[LOG].encode(), "the report"))
    except BadBook as bad:
        problems.append(f"{str(bad)[0].upper()}{str(bad)[1:]}.")
        return form
    report = read_walls(rows, layout, "rear" if end == "rear" else "front", x.tubes.wall)
    problems.extend(report.problems)
    if not report.walls and not report.problems:
        problems.append("The report has a heading and no line under it.")
    unread = {"unread": ", ".join(report.unread)[:200]} if report.unread else {}
    return replace(form, said={**form.said, **unread, "rows": walls_text(report.walls)})


def form_of(ask: Ask) -> Markup:
    """Where a report is pasted or picked, folded."""
    w = ask.w
    bent = ask.live.exchanger.letters.rear == "U"
    inside = (el("p", w("walls.text_u" if bent else "walls.text")), el("pre", w("walls.example")), *boxes(ask, spreadsheet=True))
    sent = entry_form(
        ask, READ, *inside, button=w("walls.button"), fields=FIELDS[bent:], settled={"end": "front"} if bent else {}, cls="log"
    )
    return el("details", el("summary", el("b", w("walls.enter"))), sent)
