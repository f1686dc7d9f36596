"""Printed text with one digit wrong."""

from __future__ import annotations

import re
from collections.abc import Iterator

from tests.readback.reader import NUMBER

FIGURES = 5


def altered(text: str) -> Iterator[str]:
    """`text` with one figure of one of its numbers one higher: each of the first five figures of each number in turn.

    The fifth goes two higher: a value halfway between two roundings may honestly be printed as either.
    """
    for number in NUMBER.finditer(text):
        yield from (_up(text, at, 2 if nth == FIGURES else 1) for nth, at in enumerate(_figures(number), 1))


def _figures(number: re.Match[str]) -> list[int]:
    mantissa, start = number["mantissa"], number.start("mantissa")
    first = next((i for i, c in enumerate(mantissa) if c in "123456789"), 0)
    return [start + i for i, c in enumerate(mantissa) if c.isdigit() and i >= first][:FIGURES]


def _up(text: str, at: int, by: int) -> str:
    return text[:at] + str((int(text[at]) + by) % 10) + text[at + 1 :]
