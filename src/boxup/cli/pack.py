"""`boxup pack`."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor
from datetime import date
from multiprocessing import get_context
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
@click.argument("files", nargs=-1, required=True, type=click.Path(), metavar="FILE ...")
@click.option(
    "-o",
    "out",
    required=True,
    type=click.Path(),
    help="OUT.pdf, or OUT.html: one file for any phone. For several files: a folder.",
)
@click.option(
    "--paper",
    default="A4",
    show_default=True,
    metavar="A4,Letter",
    help="Paper of the PDF; two, with a comma, write two files. A page prints on either.",
)
@click.option("--sheets", default="", metavar="steps,joints", help="Only these sheets, behind the cover.")
@click.option("--without", default="", metavar="workings,certificates", help="All but these: the crew's pack without the office's.")
@click.option("--date", "issued", default="", metavar="2027-04-12", help="Date of issue; today if left out.")
@DB
def pack_command(files: tuple[str, ...], out: str, paper: str, sheets: str, without: str, issued: str, db: str | None) -> None:
    """The job pack of an exchanger file: cover, lists, lifts, steps, joint cards, tests, handover, workings.

    Several files are packed side by side, each as a PDF of its name in the folder. Where a record of the job is kept, plugs, cut faces,
    changed studs and the like are in its numbers.
    """
    names = _names(sheets, without)
    if len(files) == 1:
        _pack(files[0], out, paper, names, issued, db)
    else:
        _many(files, Path(out), paper, names, issued, db)


def _names(sheets: str, without: str) -> list[str]:
    """The sheets asked for, by name, in the order of the pack."""
    from boxup.paper.pack import chosen

    only, less = ([s.strip() for s in text.split(",") if s.strip()] for text in (sheets, without))
    try:
        return chosen(only, less)
    except ValueError as bad:
        raise Refusal([str(bad)]) from bad


def _many(files: tuple[str, ...], folder: Path, paper: str, sheets: list[str], issued: str, db: str | None) -> None:
    """Each file by a process of its own, as many at once as there are cores; none where one of the files cannot be used."""
    _usable(files, folder)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as bad:
        raise Refusal([f"the folder {folder} cannot be made: {bad.strerror}. Give one that is open to you."]) from bad
    with ProcessPoolExecutor(mp_context=get_context("spawn")) as pool:
        jobs = [pool.submit(_apart, f, str(folder / f"{Path(f).stem}.pdf"), paper, sheets, issued, db) for f in files]
        refused = [line for job in jobs for line in _told(*job.result())]
    if refused:
        raise Refusal(refused)


def _usable(files: tuple[str, ...], folder: Path) -> None:
    """Every error of every file, at once."""
    wrong: list[str] = []
    if folder.suffix.lower() in (".pdf", ".html"):
        wrong.append(f"{folder}: of several files each becomes a PDF of its own; -o names the folder for them")
    names = [Path(f).stem for f in files]
    twice = sorted({name for name in names if names.count(name) > 1})
    wrong += [f"{name}: two of the files have this name, and one pack would be written over the other" for name in twice]
    for file in files:
        try:
            opened(file)
        except Refusal as bad:
            wrong += bad.lines
    if wrong:
        raise Refusal(wrong)


def _apart(file: str, out: str, paper: str, sheets: list[str], issued: str, db: str | None) -> tuple[list[str], list[str]]:
    """One pack in a process of its own: what it says, and what it refuses."""
    said: list[str] = []
    try:
        _pack(file, out, paper, sheets, issued, db, said.append)
    except Refusal as bad:
        return said, list(bad.lines)
    return said, []


def _told(said: list[str], refused: list[str]) -> list[str]:
    for line in said:
        click.echo(line)
    return refused


def _pack(
    file: str, out: str, paper: str, sheets: list[str], issued: str, db: str | None, say: Callable[[str], object] = click.echo
) -> None:
    """One file's pack."""
    from boxup.paper.pack import material, paper_size

    opened(file)
    if not out.lower().endswith((".pdf", ".html")):
        raise Refusal([f"{out}: a name that ends in .pdf or .html is accepted"])
    papers = [p.strip() for p in paper.split(",") if p.strip()]
    try:
        made = material(Path(file), _day(issued) if issued else None, live_state(file, db))
        for p in papers:
            paper_size(p)
        for to, content in _files(made, Path(out), papers, sheets):
            write(to, content)
            say(f"{to} is written.")
        say(_left(made))
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
