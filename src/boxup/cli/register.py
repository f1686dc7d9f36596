"""`boxup register`: many exchangers in one spreadsheet: template, read, write, order."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from boxup.cli.open import opened
from boxup.cli.refusal import Refusal
from boxup.cli.write import write
from boxup.core.printing import counted
from boxup.job.options import ASKED

if TYPE_CHECKING:
    from boxup.exchanger.letters import Letters
    from boxup.exchanger.model import Exchanger
    from boxup.turnaround.book import Book
    from boxup.turnaround.listing import Listing
    from boxup.turnaround.register import Register

OUT = click.option("-o", "out", required=True, type=click.Path(dir_okay=False), metavar="FILE.xlsx|.csv", help="Where to write it.")
OVER = click.option("--over", is_flag=True, help="Write over files that are there.")


@click.group("register")
def register_command() -> None:
    """The register of a turnaround: one row an exchanger, as XLSX or CSV, in and out.

    A planner fills in the template; every row becomes an exchanger file. Exchanger files become a register again, and one order list.
    """


@register_command.command("template")
@OUT
@click.option("--type", "types", default="", metavar="AES,BEU", help="Only what exchangers of these letters have.")
@OVER
def template_command(out: str, types: str, over: bool) -> None:
    """Write an empty register: names, units, a note on every column, lists to choose from.

    Its cells are formatted as text, so that 1/2 stays 1/2.
    """
    from boxup.turnaround.blank import blank, blank_table

    wanted = _letters(types)
    _save(out, over, lambda: blank(wanted), lambda: blank_table(wanted))
    click.echo(f"{out} is written. Fill it in, one exchanger a row, then: boxup register read {out} -o FOLDER")


@register_command.command("read")
@click.argument("file", type=click.Path())
@click.option("-o", "folder", required=True, type=click.Path(file_okay=False), metavar="FOLDER", help="Where the exchanger files go.")
@click.option("--good-rows", is_flag=True, help="Write the exchangers without a mistake although others have some.")
@OVER
def read_command(file: str, folder: str, good_rows: bool, over: bool) -> None:
    """Make an exchanger file of every row. All mistakes at once, each with its sheet, row and column; exit 2 when there are any.

    With a mistake anywhere nothing is written but a copy, FILE-corrected.xlsx, with every bad cell marked: mend it there and read it.
    """
    from boxup.turnaround.register import read_register

    book = _book(file)
    register = read_register(book, also=ASKED)
    _tell(register)
    written = register.rows if not register.errors else register.good_rows if good_rows else ()
    said = _files(Path(folder), {r.file: r.text for r in written}, over)
    if not register.errors:
        click.echo("\n".join(said))
        return
    count = len(register.errors)
    raise Refusal([
        f"{register.name}: {counted(count, 'mistake')}; {len(register.good_rows)} of "
        f"{'1 exchanger is' if len(register.rows) == 1 else f'{len(register.rows)} exchangers are'} without.",
        *(str(m) for m in register.errors),
        _corrected(Path(file), book, register),
        *(said if written else ["No exchanger file was written." + ("" if good_rows else " --good-rows writes those without a mistake.")]),
    ])  # fmt: skip


@register_command.command("write")
@click.argument("files", nargs=-1, required=True, type=click.Path(), metavar="FILES...")
@OUT
@OVER
def write_command(files: tuple[str, ...], out: str, over: bool) -> None:
    """Make a register of exchanger files. Read back, it gives the same exchangers; remarks in the files are not carried."""
    import tomllib

    from boxup.turnaround.filled import filled, filled_table

    exchangers = _all_opened(files)
    _no_two(exchangers)
    tables = [tomllib.loads(Path(f).read_text("utf-8-sig")) for f in files]
    _save(out, over, lambda: filled(tables), lambda: filled_table(tables))
    click.echo(f"{out} is written: {len(files)} exchanger{'s' * (len(files) > 1)}.")


@register_command.command("order")
@click.argument("files", nargs=-1, required=True, type=click.Path(), metavar="FILES-or-REGISTER...")
@OUT
@click.option(
    "--spare", default="0", show_default=True, metavar="PERCENT", help="Studs and nuts beyond the count, rounded up line by line."
)
@OVER
def order_list_command(files: tuple[str, ...], out: str, spare: str, over: bool) -> None:
    """The order list of gaskets, studs and nuts for all of them together; and what cannot be ordered, with what to measure."""
    from boxup.turnaround.ordering import listings, one_table, order_of

    order = order_of(_exchangers(files), _percent(spare))
    _save(out, over, lambda: listings(order), lambda: one_table(order))
    click.echo(f"{out} is written: {order.summary}")
    click.echo("\n".join(order.told))


def _letters(types: str) -> list[Letters]:
    from boxup.exchanger.letters import BadLetters, letters

    found, wrong = [], []
    for text in filter(None, (t.strip() for t in types.split(","))):
        try:
            found.append(letters(text))
        except BadLetters as bad:
            wrong.append(str(bad))
    if wrong:
        raise Refusal(wrong)
    return list(dict.fromkeys(found))


def _percent(text: str) -> float:
    try:
        percent = float(text.strip().removesuffix("%"))
    except ValueError:
        percent = -1.0
    if not 0 <= percent <= 100:
        raise Refusal([f"--spare {text!r}: a number of per cent from 0 to 100 is accepted, for example --spare 5"])
    return percent


def _book(file: str) -> Book:
    from boxup.paper.spreadsheet_in import book_of
    from boxup.turnaround.book import BadBook

    try:
        return book_of(Path(file))
    except BadBook as bad:
        raise Refusal([str(bad)]) from bad


def _tell(register: Register) -> None:
    """How things were read: to the error stream, before the mistakes."""
    for text in (*register.notes, *(str(m) for m in register.mistakes if m.level == "note")):
        click.echo(f"note: {text}", err=True)


def _files(folder: Path, texts: dict[str, str], over: bool) -> list[str]:
    """Write the exchanger files, all or none; one that is there with other contents is not written over unasked."""
    if not texts:
        return []
    there = [name for name, text in texts.items() if (folder / name).exists() and not _same(folder / name, text)]
    if there and not over:
        raise Refusal([f"{', '.join(there)}: there already in {folder}, and different; --over writes over them, or give another folder"])
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as bad:
        raise Refusal([f"the folder {folder} cannot be made: {bad.strerror}"]) from bad
    for name, text in texts.items():
        write(folder / name, text)
    return [f"{len(texts)} exchanger file{'s' * (len(texts) > 1)} written to {folder}: {', '.join(texts)}"]


def _same(path: Path, text: str) -> bool:
    try:
        return path.read_bytes() == text.encode()
    except OSError:
        return False


def _corrected(file: Path, book: Book, register: Register) -> str:
    """Write the marked copy, beside the file, under a name that is not taken; what came of it, in a sentence."""
    from boxup.paper.spreadsheet_out import xlsx
    from boxup.turnaround.mend import copy_to_mend

    to, n = file.with_name(f"{file.stem}-corrected.xlsx"), 1
    while to.exists():
        n += 1
        to = file.with_name(f"{file.stem}-corrected-{n}.xlsx")
    try:
        write(to, xlsx(copy_to_mend(book, register.errors)))
    except Refusal as bad:
        return f"No copy to mend: {bad.message}"
    return f"{to} is written: every one of them is marked in it and listed on its sheet 'To mend'. Mend it there and read it."


def _save(out: str, over: bool, sheets: Any, table: Any) -> None:
    """As a workbook or as one table, by the name's ending."""
    from boxup.paper.spreadsheet_out import csv_text, xlsx

    ending = Path(out).suffix.lower()
    if ending not in (".xlsx", ".csv"):
        raise Refusal([f"{out}: a name that ends in .xlsx or .csv is accepted"])
    if Path(out).exists() and not over:
        raise Refusal([f"{out} is there already; it is not written over. Give another name, or --over."])
    made: list[Listing] | Listing = sheets() if ending == ".xlsx" else table()
    write(Path(out), xlsx(made) if isinstance(made, list) else csv_text(made))


def _all_opened(files: Iterable[str]) -> list[Exchanger]:
    """Every exchanger file, or a refusal with every error of all of them."""
    found, wrong = [], []
    for file in files:
        try:
            found.append(opened(file))
        except Refusal as bad:
            wrong.append(bad.message)
    if wrong:
        raise Refusal(wrong)
    return found


def _exchangers(files: Iterable[str]) -> list[Exchanger]:
    """Exchanger files and registers, in the order given."""
    from boxup.turnaround.register import read_register

    found: list[Exchanger] = []
    wrong: list[str] = []
    for file in files:
        if Path(file).suffix.lower() not in (".xlsx", ".xlsm", ".csv"):
            try:
                found.append(opened(file))
            except Refusal as bad:
                wrong.append(bad.message)
            continue
        register = read_register(_book(file), also=ASKED)
        wrong += [str(m) if m.sheet == register.name else f"{register.name}: {m}" for m in register.errors]
        found += [r.report.exchanger for r in register.rows if r.report.exchanger]
    if wrong:
        raise Refusal([*wrong, "Nothing is ordered from a list with mistakes in it."])
    _no_two(found)
    return found


def _no_two(exchangers: Iterable[Exchanger]) -> None:
    seen: set[str] = set()
    twice = []
    for x in exchangers:
        tag = x.identity.tag
        twice += [tag] if tag.casefold() in seen else []
        seen.add(tag.casefold())
    if twice:
        raise Refusal([f"{', '.join(dict.fromkeys(twice))}: given twice; name each exchanger once"])
