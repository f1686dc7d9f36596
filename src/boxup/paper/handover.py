"""The handover: proofs, tests, blinds, relief, as left, and who accepts."""

from __future__ import annotations

from boxup.paper.sheet import Material, Sheet
from boxup.paper.tests import joints_said


def handover_sheet(m: Material) -> Sheet:
    """Rows that must be signed before operations take it back."""
    w, n = m.words["handover_sheet"], m.numbers
    tests = [f"{t.test.name}: {joints_said(t.test.proves)}" if t.test.proves else t.test.name for t in n.tests]
    blinds = [f"{r.id}, {r.place} {r.line}".strip() for r in n.process_blinds.rows] + [
        m.words["relief_row"].format(side=r.side) for r in n.relief
    ]
    groups = [
        {"title": w["proofs"], "heads": w["proof_heads"], "rows": w["proof_rows"]},
        {"title": w["tests_title"], "heads": w["test_heads"], "rows": tests},
        {"title": w["blinds_title"], "heads": w["blind_heads"], "rows": blinds},
    ]
    return {
        "kind": "handover",
        "title": m.words["handover_title"],
        "sub": "",
        "text": w["text"],
        "groups": groups,
        "lines": w["as_left"],
        "roles": m.roles("lead", "inspector", "operator", "superintendent"),
    }
