"""`boxup pack`."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from boxup.cli.live import DB, live_state
from boxup.cli.open import opened
from boxup.cli.refusal import Refusal
from boxup.cli.write import write
from boxup.core.printing import counted

if TYPE_CHECKING:
    from boxup.paper.sheet import Material


@click.command("pack")
@click.argument("file", type=click.Path())
@click.option("-o", "out", required=True, type=click.Path(dir_okay=False), help="OUT.pdf, or OUT.html: one file that opens on any phone.")
@click.option(
    "--paper",
    default="A4",
    show_default=True,
    metavar="A4,Letter",
    help="Paper of the PDF; two, with a comma, write two files. A page prints on either.",
)
@click.option("--sheets", default="", metavar="steps,joints", help="Only these sheets, behind the cover.")
@click.option("--date", "issued", default="", metavar="2027-04-12", help="Date of issue; today if left out.")
@DB
def pack_command(file: str, out: str, paper: str, sheets: str, issued: str, db: str | None) -> None:
    """The job pack of an exchanger file: cover, lists, lifts, steps, joint cards, tests, handover, workings.

    Where a record of the job is kept, plugs, cut faces, changed studs and the like are in its numbers.
    """
    from boxup.paper.pack import material, paper_size

    opened(file)
    if not out.lower().endswith((".pdf", ".html")):
        raise Refusal([f"{out}: a name that ends in .pdf or .html is accepted"])
    papers = [p.strip() for p in paper.split(",") if p.strip()]
    wanted = [s.strip() for s in sheets.split(",") if s.strip()]
    try:
        made = material(Path(file), _day(issued) if issued else None, live_state(file, db))
        for p in papers:
            paper_size(p)
        for to, content in _files(made, Path(out), papers, wanted):
            write(to, content)
            click.echo(f"{to} is written.")
        click.echo(_left(made))
    except ValueError as bad:
        raise Refusal([str(bad)]) from bad


def _files(made: Material, out: Path, papers: list[str], wanted: list[str]) -> Iterator[tuple[Path, bytes]]:
    """Each file of the pack: one page, or a PDF for each paper."""
    from boxup.paper.pack import html_pack, pack

    if out.suffix.lower() == ".html":
        yield out, html_pack(made, sheets=wanted)
        return
    for p in papers:
        yield out if len(papers) == 1 else out.with_suffix(f".{p}.pdf"), pack(made, paper=p, sheets=wanted)


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise Refusal([f"--date {text!r}: a day is written year-month-day, for example 2027-04-12"]) from None


def _left(m: Material) -> str:
    """What the pack cannot give and what it stops at, in one line."""
    stops = sum(f.level == "stop" for f in m.findings)
    lacking = len(m.numbers.missing())
    said = f"{counted(lacking, 'number')} that {'is' if lacking == 1 else 'are'} not given"
    return f"It has {counted(stops, 'stop')} and {said}: they stand on the sheet Read first."
