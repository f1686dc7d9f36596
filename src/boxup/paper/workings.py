"""The appendix: every number of the pack, worked, each under the code that stands beside it."""

from __future__ import annotations

from typing import Any

from boxup.core.printing import origin_text
from boxup.core.source import Cite, Source
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
    source = f"{Cite(w.source)}. {also}" if also else str(Cite(w.source))
    parts = _parts(w, "", whole, w.source, m.path.name)
    return {"code": code, "title": title, "source": source, "findings": told(w.all_findings()), "parts": parts}


def _parts(w: Working, title: str, whole: bool, above: Source, file: str) -> list[dict[str, Any]]:
    """`above`: the source under the heading of the whole; a part names its own where that is another one."""
    inner = [p for part in w.parts if whole or not part.aside for p in _parts(part, part.name, whole, above, file)]
    own = [step_shown(s, w.source, file) for s in w.steps.values()]
    named = "" if w.source == above else str(Cite(w.source))
    return inner + ([{"title": title, "source": named, "steps": own}] if own else [])


def _shorter(text: str, cite: Cite | None, heading: Source | None, file: str) -> str:
    """Without the source that stands under the heading already, nor the name of the file whose lines they all are."""
    if cite is not None and cite.source == heading:
        text = text.replace(str(cite), cite.where).removesuffix("; ")
    return text.replace(f"{file} line ", "line ") if file else text


def _given(s: Step) -> str:
    """Where a value came from; as typed only where that is not what is shown."""
    return origin_text(s).replace(f" as {plain(s)},", ",", 1)


def step_shown(s: Step, heading: Source | None = None, file: str = "") -> dict[str, str]:
    """A step as print shows it: symbols and numbers are empty for a value that is given. `heading`: the source named above it."""
    if not isinstance(s.origin, Computed):
        return {
            "symbol": s.symbol,
            "symbols": "",
            "numbers": "",
            "result": plain(s),
            "label": s.label,
            "because": "",
            "source": _shorter(_given(s), s.cite, heading, file),
        }
    note = f"{s.label}; {s.note}" if s.note else s.label
    return {
        "symbol": s.symbol,
        "symbols": in_symbols(s),
        "numbers": in_numbers(s),
        "result": plain(s),
        "label": note,
        "because": because(s),
        "source": _shorter(str(s.cite or ""), s.cite, heading, file),
    }
