"""`boxup new` and `boxup check`."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from boxup.cli.fit import say
from boxup.cli.live import DAY, day_of
from boxup.cli.refusal import Refusal
from boxup.cli.write import write
from boxup.job.options import ASKED

if TYPE_CHECKING:
    from boxup.exchanger.model import Exchanger


@click.command("new")
@click.argument("tag")
@click.option("--type", "type_", required=True, metavar="AES", help="The three TEMA letters.")
@click.option("-o", "out", type=click.Path(dir_okay=False), help="Where to write it; the screen if left out.")
def new_command(tag: str, type_: str, out: str | None) -> None:
    """Write a commented exchanger file for those letters, to be filled in by hand."""
    from boxup.exchanger.letters import BadLetters
    from boxup.exchanger.template import new_file

    try:
        text = new_file(tag, type_)
    except BadLetters as bad:
        raise Refusal([str(bad)]) from bad
    if not out:
        click.echo(text, nl=False)
        return
    if Path(out).exists():
        raise Refusal([f"{out} is there already; it is not written over. Give another name."])
    write(Path(out), text)
    click.echo(f"{out} is written. Fill it in, then: boxup check {out}")


@click.command("check")
@click.argument("file", type=click.Path())
@DAY
def check_command(file: str, day: str) -> None:
    """Every error with its line, every assumption, everything not given. Exit 0 clean, 1 with errors."""
    from boxup.exchanger.check import check

    report = check(Path(file), also=ASKED)
    counted = [] if report.exchanger is None else _count(report.exchanger, day_of(day)).split("\n")
    say([*report.text.split("\n"), *counted])
    sys.exit(0 if report.ok else 1)


def _count(exchanger: Exchanger, day: str) -> str:
    """How much the rooms still have to say, and gear whose tag is old."""
    from boxup.core.printing import counted
    from boxup.job.lists import scope_of
    from boxup.job.numbers import numbers

    n = numbers(exchanger)
    found = [f for f in n.all_findings(scope_of(exchanger), day) if f.level in ("stop", "warn")]
    stops = sum(f.level == "stop" for f in found)
    said = f"{counted(stops, 'stop')}, {counted(len(found) - stops, 'warning')} and {counted(len(n.missing()), 'number')} missing"
    return f"\n{said} among the calculations: see boxup joint, hydro, lift" + "".join(f"\n  {f.level.upper()}: {f.text}" for f in found)
