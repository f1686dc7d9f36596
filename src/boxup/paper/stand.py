"""Where the job stands: joints, what the tests have proved and what nothing has, steps undone, what the record changed in the numbers."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from boxup.core.finding import Finding
from boxup.drawing.stand import stand_view
from boxup.job.asfound import changes
from boxup.job.proof import Proof, proofs
from boxup.job.state import JobState, Noticed
from boxup.paper.sheet import Material, Sheet
from boxup.paper.value import told

MOST_STORY = 40  # the latest of what was noticed; the rest stands in the record


def stand_sheets(m: Material) -> Iterator[Sheet]:
    """One sheet where a record of the job is kept, none where it is not."""
    if m.state is not None:
        yield _sheet(m, m.state)


def _sheet(m: Material, state: JobState) -> Sheet:
    w = m.words["stand_sheet"]
    steps = w["steps_done"].format(done=len(state.done), all=len(state.scope.instances))
    last = f"{state.last_at:%Y-%m-%d %H:%M}" if state.last_at else "–"
    return {
        "kind": "stand",
        "title": w["title"],
        "sub": steps,
        "text": w["text"].format(entries=state.entries, hash=state.head[:16], last=last),
        "drawing": m.section(stand_view(state)),
        "joints": [_joint_row(j.id, j.word, j.joints, j.gaskets, j.not_pulled_up) for j in state.joints.values()],
        "joint_heads": w["joint_heads"],
        "joints_title": w["joints_title"],
        "proofs": [_proof_row(p) for p in proofs(state)],
        "proof_heads": w["proof_heads"],
        "proofs_title": w["proofs_title"],
        "lists": [{"title": w[key], "lines": lines} for key, lines in _lists(state) if lines],
        "findings": told(_dated(n) for n in state.story[-MOST_STORY:]),
        "findings_title": w["story_title"],
        "roles": m.roles("lead", "inspector"),
    }


def _dated(noticed: Noticed) -> Finding:
    return replace(noticed.finding, text=f"{noticed.at:%d %b %H:%M}: {noticed.finding.text}")


def _joint_row(id_: str, word: str, joints: tuple[str, ...], gaskets: dict[str, str], why: tuple[str, ...]) -> dict[str, str]:
    items = ", ".join(gaskets[of] for of in joints if of in gaskets)
    return {"joint": ", ".join(joints) or id_, "word": word, "items": items, "why": "; ".join(why)}


def _proof_row(p: Proof) -> dict[str, str]:
    return {"what": f"{p.what} {p.id}".strip(), "item": p.item, "by": "; ".join(p.by), "open": p.open}


def _lists(state: JobState) -> Iterator[tuple[str, list[str]]]:
    yield "undone_title", _by_reason(state)
    yield "put_right_title", [f"{one.letter}: {one.text} ({one.by})" for one in state.to_put_right.values() if not one.closed]
    yield "changes_title", list(changes(state.found))


def _by_reason(state: JobState) -> list[str]:
    """Steps that are not done any more, or not accepted, those of one reason in one line."""
    found: dict[str, list[str]] = {}
    for code in state.scope.instances:
        tick = state.step(code)
        if tick.stand in ("undone", "not accepted", "one name"):
            found.setdefault(tick.why, []).append(code)
    return [f"{', '.join(codes)}: {why}" for why, codes in found.items()]
