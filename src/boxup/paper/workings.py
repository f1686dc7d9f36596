"""The appendix: every number of the pack, worked, each under the code that stands beside it."""

from __future__ import annotations

from typing import Any

from boxup.core.printing import origin_text
from boxup.core.working import Computed, Step, Working, because, in_numbers, in_symbols, plain
from boxup.paper.sheet import Material, Sheet
from boxup.paper.value import told


def working_sheet(m: Material, *, whole: bool = False) -> Sheet:
    """All workings in the order of the sheets. `whole`: with the parts for the engineer, which a pack only names."""
    found = [shown(m, code, title, w, whole) for code, (title, w) in m.numbers.workings.items()]
    return {"kind": "workings", "title": m.words["workings_title"], "sub": "", "workings": found}


def shown(m: Material, code: str, title: str, w: Working, whole: bool = True) -> dict[str, Any]:
    """One working as the sheet has it."""
    aside = [] if whole else [part.name for part in w.parts if part.aside]
    also = m.words["workings_aside"].format(parts=", ".join(aside), code=code) if aside else ""
    source = f"{w.source.title}. {also}" if also else w.source.title
    return {"code": code, "title": title, "source": source, "findings": told(w.all_findings()), "parts": _parts(w, "", whole)}


def _parts(w: Working, title: str, whole: bool) -> list[dict[str, Any]]:
    inner = [p for part in w.parts if whole or not part.aside for p in _parts(part, part.name, whole)]
    own = [step_shown(s) for s in w.steps.values()]
    return inner + ([{"title": title, "steps": own}] if own else [])


def step_shown(s: Step) -> dict[str, str]:
    """A step as print shows it: symbols and numbers are empty for a value that is given."""
    if not isinstance(s.origin, Computed):
        return {
            "symbol": s.symbol,
            "symbols": "",
            "numbers": "",
            "result": plain(s),
            "label": s.label,
            "because": "",
            "source": origin_text(s),
        }
    note = f"{s.label}; {s.note}" if s.note else s.label
    return {
        "symbol": s.symbol,
        "symbols": in_symbols(s),
        "numbers": in_numbers(s),
        "result": plain(s),
        "label": note,
        "because": because(s),
        "source": str(s.cite or ""),
    }
