"""From the text of a finished PDF, or of a terminal, to formulas: where a line goes on, and where a formula begins."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from tests.readback.reader import Number, Printed, Unreadable, folded, printed_value

_OPENS = re.compile(r"([A-Za-z][A-Za-z0-9 _]*) = (.*)")


@dataclass
class Seen:
    """What was read: each formula with the values printed above it, by folded symbol."""

    formulas: list[tuple[Printed, dict[str, Number]]] = field(default_factory=list)
    given: int = 0
    known: dict[str, Number] = field(default_factory=dict)

    def formula(self, p: Printed) -> None:
        """Keep a formula, and its result for the formulas below it."""
        self.formulas.append((p, dict(self.known)))
        self.known[folded(p.symbol)] = printed_value(p.result)[0]

    def value(self, symbol: str, text: str) -> None:
        """Keep a value that is given, looked up or carried over."""
        self.given += 1
        self.known[folded(symbol)] = printed_value(text)[0]


def whole_lines(page: str) -> Iterator[str]:
    """The lines of a page as they were meant: a line broken for want of room ends in a space, or after `-` or `/` inside a word."""
    held = ""
    for line in page.splitlines():
        held += line
        if not line.endswith((" ", "-", "/")):
            yield held
            held = ""
    if held:
        yield held


def appendix(pages: Iterable[str]) -> Seen:
    """Every formula and value of the pages of the Workings sheet, in reading order."""
    seen = Seen()
    for page in pages:
        lines = [*whole_lines(page), "", "", ""]
        for i, line in enumerate(lines[:-3]):
            if opens := _OPENS.fullmatch(line):
                _one(seen, opens, *lines[i + 1 : i + 4])
    return seen


def _one(seen: Seen, opens: re.Match[str], middle: str, last: str, said: str) -> None:
    if middle.startswith("= "):
        if not last.startswith("= "):
            raise Unreadable(f"the result line is missing under {opens[0]!r}, {middle!r}")
        rest = printed_value(last[2:])[1]  # on paper what is said stands behind the result, elsewhere below it
        seen.formula(Printed(opens[1], opens[2], middle[2:], last[2 : len(last) - len(rest)], rest.strip() or said))
    else:
        seen.value(opens[1], opens[2])


def terminal(lines: Iterable[str]) -> Seen:
    """The same from what one calculation prints at a terminal: three blanks part the line from what is said about it."""
    seen = Seen()
    listed = [*lines, "", ""]
    for i, line in enumerate(listed[:-2]):
        opens = _OPENS.fullmatch(line.strip())
        if opens is None:
            continue
        after = [_cut(x) for x in listed[i + 1 : i + 3]]
        if after[0].startswith("= "):
            seen.formula(Printed(opens[1], _cut(opens[2]), after[0][2:], after[1][2:], listed[i + 2]))
        else:
            seen.value(opens[1], _cut(opens[2]))
    return seen


def _cut(line: str) -> str:
    return line.strip().split("   ")[0]
