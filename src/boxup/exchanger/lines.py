"""Where each key and section of a TOML text stands. `tomllib` gives values without their lines."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

_PART = r"""(?:[A-Za-z0-9_-]+|"[^"]*"|'[^']*')"""
_DOTTED = rf"{_PART}(?:\s*\.\s*{_PART})*"
_HEADER = re.compile(rf"^\s*\[\[?\s*({_DOTTED})\s*\]\]?\s*(?:#.*)?$")
_LOOKS_LIKE_HEADER = re.compile(r"^\s*\[+\s*[A-Za-z]")
_KEY = re.compile(rf"^\s*({_DOTTED})\s*=(.*)$")
_PARTS = re.compile(_PART)


@dataclass(frozen=True, slots=True)
class Statement:
    """A header or a key with its value: its lines (from 1, both ends in) and its whole path; `items` are the lines of a list's lists."""

    first: int
    last: int
    path: str
    header: bool
    items: tuple[int, ...] = ()
    open: bool = False  # a list whose closing bracket was not found


def statements(text: str) -> list[Statement]:
    """Every header and key in the order of the text; a value left open ends where the next key or header begins."""
    return list(_walk([line.rstrip("\r") for line in text.split("\n")]))


def line_index(found: Sequence[Statement]) -> dict[str, int]:
    """Path to line: `gasket.G1`, `gasket.G1.od`, `tubes.rows.0`. The first of two stands."""
    index: dict[str, int] = {}
    for s in found:
        index.setdefault(s.path, s.first)
        index.setdefault(s.path.partition(".")[0], s.first)  # [gasket.G1] makes a [gasket] too
        for number, line in enumerate(s.items):
            index.setdefault(f"{s.path}.{number}", line)
    return index


def _walk(lines: Sequence[str]) -> Iterator[Statement]:
    section, at = "", 0
    while at < len(lines):
        line, first = lines[at], at
        at += 1
        if _LOOKS_LIKE_HEADER.match(line):
            whole = _HEADER.match(line)
            section = _path(whole.group(1)) if whole else line.split("#")[0].strip(" \t[]")
            yield Statement(first + 1, first + 1, section, True)
        elif found := _KEY.match(line):
            last, items, left_open = _value_end(lines, first, found.group(2))
            path = _path(found.group(1))
            yield Statement(first + 1, last + 1, f"{section}.{path}" if section else path, False, items, left_open)
            at = last + 1


def _path(dotted: str) -> str:
    return ".".join(part.strip("\"'") for part in _PARTS.findall(dotted))


_End = tuple[int, tuple[int, ...], bool]  # last line, lines of the lists inside, left open


def _value_end(lines: Sequence[str], first: int, rest: str) -> _End:
    value = rest.lstrip()
    for quote in ('"""', "'''"):
        if value.startswith(quote):
            return _text_end(lines, first, value[3:], quote), (), False
    return _list_end(lines, first, value) if value.startswith("[") else (first, (), False)


def _text_end(lines: Sequence[str], first: int, rest: str, quote: str) -> int:
    if quote in rest:
        return first
    return next((n for n in range(first + 1, len(lines)) if quote in lines[n]), len(lines) - 1)


def _list_end(lines: Sequence[str], first: int, rest: str) -> _End:
    """The line where the list closes, and the lines where the lists inside it open."""
    depth, items, at, line = 0, [], first, rest
    while True:
        for mark in _brackets(line):
            if mark == "[":
                depth += 1
                if depth == 2:
                    items.append(at + 1)
            else:
                depth -= 1
        at += 1
        if depth <= 0 or at >= len(lines) or _KEY.match(lines[at]) or (_LOOKS_LIKE_HEADER.match(lines[at]) and _HEADER.match(lines[at])):
            return at - 1, tuple(items), depth > 0
        line = lines[at]


_STRING_OR_MARK = re.compile(r'"(?:\\.|[^"\\])*"|\'[^\']*\'|#.*|[\[\]]')


def _brackets(line: str) -> Iterator[str]:
    """The square brackets of a line that stand outside text and comment."""
    return (m for m in _STRING_OR_MARK.findall(line) if m in "[]")
