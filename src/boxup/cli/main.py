"""The commands, each imported only when it is called, so that `boxup --help` answers at once."""

from __future__ import annotations

import io
import sys
from importlib import import_module
from typing import Any

import click

COMMANDS: dict[str, tuple[str, str]] = {
    "new": ("file", "Write a commented exchanger file for those TEMA letters."),
    "check": ("file", "Every error of a file with its line, and every assumption."),
    "order": ("order", "The steps in a legal order, why, and whether one may be done."),
    "next": ("order", "What may be done now."),
    "log": ("log", "Add an entry to the record of a job, or read it."),
    "proof": ("proof", "What the tests have proved in this assembly, and what is still unproved."),
    "replay": ("replay", "The invented job of the demo, day by day, as its record tells it."),
    "record": ("record", "Prove the record of all jobs, and carry it: verify, export, backup, restore."),
    "gaskets": ("gaskets", "The gasket set: what goes where, with drawings."),
    "joint": ("joint", "Studs, loads, torque, gasket stress and passes, joint by joint."),
    "hydro": ("answers", "The pressure tests in order: on, off, open, pressures, litres."),
    "lift": ("answers", "Masses, slings, hook loads and pull limits."),
    "bundle": ("bundle", "Tubes by pass, masses, which way up, wall losses, rolling of tube ends."),
    "why": ("answers", "The working behind a printed number."),
    "pack": ("pack", "The job pack, as PDF."),
    "register": ("register", "Many exchangers in one spreadsheet: template, read, write, order."),
    "serve": ("serve", "The pages, on this machine."),
    "calc": ("calc", "One calculation, with its working; without a name, the list of them."),
}


class Lazy(click.Group):
    """A group that knows its commands by name and imports each only to run it."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        module = import_module(f"boxup.cli.{COMMANDS[cmd_name][0]}")
        return getattr(module, f"{cmd_name}_command")  # type: ignore[no-any-return]

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl([(name, text) for name, (_, text) in COMMANDS.items()])

    def resolve_command(self, ctx: click.Context, args: list[str]) -> tuple[str | None, click.Command | None, list[str]]:
        name = args[0] if args else ""
        if name and not name.startswith("-") and name not in COMMANDS:
            ctx.fail(f"There is no command {name!r}. There are: {', '.join(COMMANDS)}.")
        return super().resolve_command(ctx, args)


@click.group(cls=Lazy, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 110})
@click.version_option(package_name="boxup", message="Boxup %(version)s")
def cli() -> None:
    """Putting a shell-and-tube exchanger back together: the order, the numbers, the drawings, the paper.

    Boxup computes, orders and records. Local codes, the site's procedure and the authorised persons decide.
    """


def main(args: list[str] | None = None) -> Any:
    """The entry point. Bad input is one message and exit 2, never a traceback."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):  # a redirect on Windows is not UTF-8, and has no place for a thin space or a pi
            stream.reconfigure(encoding="utf-8")
    return cli(args)
