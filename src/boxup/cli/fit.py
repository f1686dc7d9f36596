"""Lines in the width of a terminal; in a file or a pipe they stay whole."""

from __future__ import annotations

import re
import shutil
import sys
import textwrap
from collections.abc import Iterable

import click

LEAST_WIDTH = 40  # letters of a terminal: in fewer nothing is set in any more
LEAST_WORDS = 32  # letters that must be left beside a column of figures, else what goes on begins under the line itself
_COLUMN = re.compile(r" {2,}(?=[^ \[(])")  # figures or a code, then the words; before a bracket it is only the source
_WITH_ITS_UNIT = re.compile(r"(?<=\d) (?=%|°|[a-zA-Z·/]{1,4}\b)")
_HELD = "\ue000"  # in place of a blank at which no line breaks


def terminal_width() -> int:
    """Letters in a line; 0 where nobody looks at a terminal."""
    return shutil.get_terminal_size().columns if sys.stdout.isatty() else 0


def say(lines: Iterable[str]) -> None:
    """Print lines, each in the width of the terminal."""
    width = terminal_width()
    click.echo("\n".join(fitted(line, width) for line in lines))


def fitted(line: str, width: int) -> str:
    """A line in the width of a terminal; a number keeps its unit. What goes on stands under the words behind a figure, else two in.

    0, or a terminal too narrow for it: as it is.
    """
    if width < LEAST_WIDTH or len(line) <= width:
        return line
    held = _WITH_ITS_UNIT.sub(_HELD, line)
    inset = " " * _inset(line, width)
    set_ = textwrap.fill(held, width, subsequent_indent=inset, drop_whitespace=True, break_long_words=False, break_on_hyphens=False)
    return set_.replace(_HELD, " ")


def _inset(line: str, width: int) -> int:
    own = len(line) - len(line.lstrip())
    columns = [m.end() for m in _COLUMN.finditer(line, own) if m.end() <= width - LEAST_WORDS]
    return columns[-1] if columns else own + 2
