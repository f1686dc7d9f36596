"""Entries on the studs of a joint: looked at before they go in, and what of it keeps the joint open."""

from __future__ import annotations

from boxup.exchanger.model import Studs
from boxup.job.fold.engine import Folding, tells
from boxup.job.fold.joints import evaluate, name_of
from boxup.job.fold.start import joint_state
from boxup.job.state import JointState
from boxup.joint.stud_check import Seen, Wanted, against, judge
from boxup.record.event import Event


@tells("joint.studs_checked")
def studs_checked(f: Folding, e: Event) -> None:
    """The last look at the set counts: mixed or unknown studs, and rejected ones that nobody changed, keep the joint open."""
    joint, p = joint_state(f, e.payload["joint"]), e.payload
    seen = Seen(
        looked_at=p["count"], stamps=tuple(dict.fromkeys(p["stamps"])), was=p["condition"], lengths=tuple(p.get("lengths_mm", ())),
        rejected=tuple(p.get("rejected", ())), pmi=p.get("pmi", ""),
    )  # fmt: skip
    found = judge(seen, wanted(f, joint))
    for one in found:
        f.notice(one.level, f"{name_of(joint)}: {one.text}", one.source)
    joint.studs_seen, joint.studs_wrong = p["condition"], against(found)
    evaluate(f, joint)


def wanted(f: Folding, joint: JointState) -> Wanted:
    """What list and record have of this set, and what both its sides carry. A nozzle has its studs with it."""
    x = f.state.exchanger
    if x is None:
        return Wanted(count=joint.studs)
    sides = [x.side(side) for side in joint.sides]
    cold = [side.mdmt for side in sides if side.mdmt]
    listed = next((j.studs for j in x.joints if j.id in joint.joints and j.studs), None) or Studs(id="")
    grades = [n.stud_grade for n in x.nozzles if n.id in joint.joints]
    kept = f.state.found.studs.get(joint.id, {})
    return Wanted(
        count=joint.studs,
        grade=str(kept.get("grade", "") or listed.grade or next(iter(grades), "")),
        length=listed.length if "length" not in kept else None,
        service="; ".join(f"{side.fluid}; {side.hazards}" for side in sides),
        coldest=min(cold, key=lambda q: q.si, default=None),
    )
