"""What charts say of a lubricant's nut factor, as a hint beside the figure of the tin. A hint is never used for a torque."""

from __future__ import annotations

import re

from boxup.core.source import SAID
from boxup.core.working import Working
from boxup.reference.load import Row, table

FAR = 0.30  # of the chart: what torque scatters by anyhow


def chart_row(lubricant: str) -> Row | None:
    """The chart's row for a lubricant as it is written, the longest of its words first; None where no chart we saw names it."""
    said = lubricant.lower().replace("-", " ")
    rows = sorted(table("nut_factors").values(), key=lambda r: -len(r.text("words")))
    return next((r for r in rows if re.search(rf"\b{re.escape(r.text('words').replace('-', ' '))}", said)), None)


def factor_hint(lubricant: str) -> str:
    """The chart's nut factor for a lubricant, as a sentence to stand behind what to ask for, or nothing."""
    row = chart_row(lubricant)
    if row is None:
        return ""
    return f" For comparison only: charts print {row.need('nut_factor'):g} for {row.key} ({SAID[row.cite.source.label]})."


def far_from_chart(w: Working, lubricant: str, factor: float) -> None:
    """A warning where the nut factor given is far from the one charts print for a lubricant of that name."""
    row = chart_row(lubricant)
    if row is None or abs(factor / row.need("nut_factor") - 1) <= FAR:
        return
    text = f"The nut factor {factor:g} is far from the {row.need('nut_factor'):g} that charts print for {row.key}"
    w.say("warn", f"{text}. Read the data sheet of this very lubricant ({lubricant}) again.", row.cite.where, row.cite.source)
