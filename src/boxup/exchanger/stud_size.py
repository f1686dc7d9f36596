"""The nominal diameter in a stud size: `1-8`, `7/8-9`, `2-1/2-8`, `M24x3`."""

from __future__ import annotations

import re

from boxup.core.quantity import BadValue, number_of

_INCH = 0.0254
_UN = re.compile(r"(\d+[- ]\d+/\d+|\d+/\d+|\d+)-(\d+)(?:\s*(?:UNC|UNF|UN|8UN|UNR))?", re.IGNORECASE)
_METRIC = re.compile(r"M(\d+)(?:\s*[x×]\s*(\d+(?:\.\d+)?))?", re.IGNORECASE)
ACCEPTED = "diameter and threads per inch (1-8, 7/8-9, 2-1/2-8) or metric (M24x3)"


def nominal_diameter(size: str) -> float:
    """The diameter over the thread, m. Raises BadValue naming what is accepted."""
    text = size.strip()
    if m := _UN.fullmatch(text):
        diameter = number_of(m.group(1)) * _INCH
    elif m := _METRIC.fullmatch(text):
        diameter = float(m.group(1)) / 1000
    else:
        raise BadValue(f"{size!r} is not a stud size; accepted: {ACCEPTED}")
    if not 0.005 < diameter < 0.2:
        raise BadValue(f"{size!r} is {diameter * 1000:.0f} mm thick, which no flange stud is; accepted: {ACCEPTED}")
    return diameter
