"""The examples of docs/commands.md: each command typed again, and its shown lines put anew where they have changed.

`python tools/examples.py` keeps what is shown and what is left out: a line that no longer comes out is replaced by the line most like it.
Look at the difference before it is kept: a number that has changed has changed for a reason.
"""

from __future__ import annotations

import os
import re
import shlex
import tempfile
from collections.abc import Iterator
from difflib import SequenceMatcher
from pathlib import Path

from click.testing import CliRunner, Result

from boxup.cli.main import cli
from boxup.demo.fleet import FOCUS, files_of_the_demo
from boxup.demo.story import drafts, story_text
from boxup.exchanger.file import load
from boxup.store.open import open_store

PAGE = Path(__file__).resolve().parent.parent / "docs" / "commands.md"
CUT = "..."
# An invented register as a spreadsheet spoils it.
SPOILT = """tag;type;shell side: MAWP;studs S1: joints;studs S1: size;studs S1: lubricant
14-E-111;AES;17,2 bar;J1;08. Jan;n/a
14-E-112;AEQ;250;J1;1-8;nickel anti-seize
"""
# An invented hold: the needle stands, the water warms; too few readings to rule anything out, enough to show what it hides.
HELD = """t_min,T_water_C,P_MPa_gauge
0,12.0,3.13
10,12.1,3.13
20,12.2,3.14
30,12.3,3.17
"""
# Invented reports: walls counted from the rear, one line of a hole that is not there; holes measured before and after rolling.
WALLS = """tube;wall loss %;method
9-14;38;RFT
9-15;<20;RFT
99-1;12;RFT
"""
HOLES = """tube,hole mm,tube id mm,rolled id mm
9-14,19.30,14.83,15.30
9-15,19.42,14.85,15.60
"""
_BLOCK = re.compile(r"(?<=^```console\n).*?(?=^```$)", flags=re.MULTILINE | re.DOTALL)


def examples(block: str) -> Iterator[tuple[str, list[str]]]:
    """The commands of one block, each with the lines shown under it."""
    for piece in re.split(r"^\$ ", block, flags=re.MULTILINE)[1:]:
        command, *lines = piece.rstrip("\n").split("\n")
        yield command, lines


def all_examples(page: str) -> Iterator[tuple[str, list[str]]]:
    """Every example of the page, in its order: later ones may need what earlier ones wrote."""
    for block in _BLOCK.findall(page):
        yield from examples(block)


def furnish(folder: Path) -> None:
    """The demo's files in a folder, and the record of six days, as the page takes them to be there."""
    for path in files_of_the_demo().values():
        (folder / path.name).write_bytes(path.read_bytes())
    _record(folder / "six-days.db", until_day=6)
    (folder / "spoilt.csv").write_text(SPOILT, "utf-8")
    (folder / "hold.csv").write_text(HELD, "utf-8")
    (folder / "walls.csv").write_text(WALLS, "utf-8")
    (folder / "holes.csv").write_text(HOLES, "utf-8")


def _record(to: Path, until_day: int) -> None:
    """The invented job on record up to that day."""
    file = files_of_the_demo()[FOCUS]
    told = drafts(story_text(), file.read_text("utf-8"), load(file).identity.job, until_day=until_day)
    with open_store(str(to), create=True) as store:
        store.append(told)


def typed(command: str) -> Result:
    """The command as a person would type it. Raises what the command raises, but for an exit."""
    program, *words = shlex.split(command)
    if program != "boxup":
        raise ValueError(f"{command!r} is not a boxup command")
    got = CliRunner().invoke(cli, words, prog_name="boxup")
    if got.exception is not None and not isinstance(got.exception, SystemExit):
        raise got.exception
    return got


def agrees(line: str, printed: str) -> bool:
    """Whether a shown line is that printed line, or its beginning where it ends in `...`."""
    return printed.startswith(line.removesuffix(CUT)) if line.endswith(CUT) else printed.rstrip() == line


def first_not_shown(shown: list[str], printed: list[str]) -> str:
    """The first line of an example that did not come out where it stands, or nothing."""
    at, free = 0, False
    for line in shown:
        if line == CUT:
            free = True
            continue
        places = range(at, len(printed) if free else min(at + 1, len(printed)))
        hit = next((i for i in places if agrees(line, printed[i])), None)
        if hit is None:
            return line
        at, free = hit + 1, False
    rest = [p for p in printed[at:] if p.strip()]
    return "" if free or not rest else f"not shown, and no {CUT} for it: {rest[0]}"


def anew(shown: list[str], printed: list[str]) -> list[str]:
    """The example with each line that did not come out replaced by the most like one after the line before it."""
    lines: list[str] = []
    at = 0
    for line in shown:
        if line == CUT:
            lines += [] if lines[-1:] == [CUT] else [CUT]
            continue
        places = range(at, len(printed))
        hit = next((i for i in places if agrees(line, printed[i])), None)
        if hit is None and places:
            hit = max(places, key=lambda i: SequenceMatcher(None, line, printed[i]).ratio())
            line = printed[hit].rstrip()
        if hit is None:
            continue
        if hit > at and lines[-1:] != [CUT]:
            lines.append(CUT)
        lines.append(line)
        at = hit + 1
    return lines if lines[-1:] == [CUT] or not any(p.strip() for p in printed[at:]) else [*lines, CUT]


def refreshed(page: str) -> str:
    """The page with every example that has changed put anew."""

    def block(found: re.Match[str]) -> str:
        told = []
        for command, shown in examples(found[0]):
            printed = typed(command).output.splitlines()
            told += [f"$ {command}", *(anew(shown, printed) if first_not_shown(shown, printed) else shown)]
        return "\n".join(told) + "\n"

    return _BLOCK.sub(block, page)


def main() -> None:
    """Write the page."""
    with tempfile.TemporaryDirectory() as folder:
        furnish(Path(folder))
        os.chdir(folder)
        text = refreshed(PAGE.read_text("utf-8"))
    PAGE.write_text(text, "utf-8")
    print("docs/commands.md is written: look at what changed.")


if __name__ == "__main__":
    main()
