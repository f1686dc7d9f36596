"""A log of a test, pasted or sent as a file: as many readings at once, in one form, all of them on record or none."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime

from boxup.job.log_in import BadLog, Line, lines_of
from boxup.job.moment import BadMoment, moment_meant
from boxup.paper.html.element import Markup, el
from boxup.record.effective import standing
from boxup.record.kinds import Kind
from boxup.web.ask import Ask
from boxup.web.form import entry_form, labelled
from boxup.web.live import Live

READING = "test.reading"
LOG, FILE = "log", "log_file"
EXAMPLE = "time, gauge bar, water C, pumped L\n05:18, 2.0, 12.0, 1.45\n05:21, 5.0, 12.0, 2.01"


def is_log(kind: Kind, said: Mapping[str, str]) -> bool:
    """Whether a form sends a log."""
    return kind.name == READING and bool(said.get(LOG, "").strip())


def readings_of(live: Live, said: Mapping[str, str], start: datetime, problems: list[str]) -> tuple[Line, ...]:
    """Each reading with its moment and its words. What is wrong goes into `problems`, each with its line; then there is none."""
    try:
        lines = lines_of(said[LOG], start, start_said=bool(said.get("at", "").strip()))
    except BadLog as bad:
        problems.extend(bad.problems)
        return ()
    problems.extend(_too_late(lines, live))
    problems.extend(_twice(lines, live, said))
    return lines


def _too_late(lines: tuple[Line, ...], live: Live) -> Iterator[str]:
    """A reading that is still to come: the last one says it for all."""
    try:
        moment_meant(lines[-1].at.isoformat(), live.state)
    except BadMoment as bad:
        yield f"Line {lines[-1].number}: {bad}."


def _twice(lines: tuple[Line, ...], live: Live, said: Mapping[str, str]) -> Iterator[str]:
    """A reading of the same test at the same moment is on record, from another form."""
    test, own = said.get("test", ""), said.get("id", "").strip()
    others = (e for e in live.events if e.kind == READING and e.payload["test"] == test and not (own and e.id.startswith(own)))
    there = {e.happened_at: e.number for e in standing(tuple(others)).events}
    for line in lines:
        if line.at in there:
            yield f"Line {line.number}: a reading of {line.at:%H:%M} is on record already, entry {there[line.at]}; leave the line out."


def text_of(data: bytes) -> str:
    """A file as text, as spreadsheets write it; the one filled sheet of a workbook, its cells parted by tabs. BadBook."""
    if data[:2] == b"PK":
        from boxup.paper.rows_in import csv_text, rows_of
        from boxup.paper.spreadsheet_in import book_of_bytes

        return csv_text(rows_of(book_of_bytes(data, "the workbook")))
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", errors="replace")


def form(ask: Ask, test: str) -> Markup:
    """Where a log is pasted or picked, folded."""
    w = ask.w
    inside = (el("p", w("test.log_text")), el("pre", EXAMPLE), *boxes(ask))
    sent = entry_form(ask, READING, *inside, button=w("test.log_button"), settled={"test": test}, cls="log")
    return el("details", el("summary", w("test.log")), sent)


def boxes(ask: Ask, text: str = "", *, spreadsheet: bool = False) -> tuple[Markup, Markup]:
    """A box to paste into and one to pick a file with. `text`: what was sent before; `spreadsheet`: XLSX is read too."""
    paste = el("textarea", text, name=LOG, rows="8", autocomplete="off", spellcheck="false")
    also = ",.xlsx,.xlsm" if spreadsheet else ""
    pick = el("input", name=FILE, type="file", accept=f".csv,.txt,text/csv,text/plain{also}")
    return labelled(ask.w("test.log_paste"), paste), labelled(ask.w("test.log_file"), pick)
