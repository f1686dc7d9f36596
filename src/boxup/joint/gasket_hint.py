"""What tables say of a kind of gasket, as a hint beside a number that must be asked for. A hint is never used in a sum."""

from __future__ import annotations

from boxup.core.source import SAID
from boxup.core.unit import UNITS
from boxup.reference.load import table

# A part of the kind as people write it, and how the table rows of it begin.
_WORDS = {
    "spiral": "spiral wound",
    "jacket": "flat metal jacketed",
    "groov": "grooved",
    "ring joint": "ring joint",
    "corrugat": "corrugated metal",
    "fibre": "mineral-fibre",
}


def crush_hint(kind: str) -> str:
    """The range of stress in use for a kind, as a sentence, or nothing."""
    said = kind.lower()
    for row in table("gasket_stress_ranges").values():
        if row.text("word") in said:
            low, high = (UNITS["MPa"].from_si(row.need(c)) for c in ("low", "high"))
            return f" For comparison only: {row.key} gaskets are run at {low:.0f} to {high:.0f} MPa ({SAID[row.cite.source.label]})."
    return ""


def factor_hint(kind: str) -> str:
    """The m and y of the table's rows for a kind, as a sentence, or nothing."""
    word = next((w for stem, w in _WORDS.items() if stem in kind.lower()), "")
    rows = [r for r in table("gasket_factors").values() if word and r.key.startswith(word)]
    if not rows:
        return ""
    said = "; ".join(f"{r.key}: m {r.need('m'):g}, y {UNITS['MPa'].from_si(r.need('y')):.1f} MPa" for r in rows)
    return f" For comparison only: {said} ({SAID[rows[0].cite.source.label]})."
