"""The one coloured sign, with what it forbids."""

from __future__ import annotations

from boxup.drawing.svg import Sheet, wrap


def stop_line(sheet: Sheet, words: str, width: float) -> float:
    """The STOP sign with its words at the head of a sheet; gives the height it took, 0 without words."""
    if not words:
        return 0.0
    sheet.stop(46, 46)
    lines = wrap(words, 20, width - 104, bold=True)
    middle = max(53.0, 17.0 + len(lines) * 12)
    for i, line in enumerate(lines):
        sheet.words(92, middle + (i - (len(lines) - 1) / 2) * 24, line, 20, anchor="start", bold=True)
    return max(88.0, 24.0 * len(lines) + 18)
