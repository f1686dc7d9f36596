"""Entries on gasket faces: marks measured, judged, cut away."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from boxup.core.quantity import Quantity
from boxup.exchanger.model import Gasket
from boxup.job.asfound import as_found
from boxup.job.fold.engine import Folding, tells
from boxup.job.fold.joints import about_joint, evaluate
from boxup.job.fold.start import joint_state
from boxup.job.state import JointState
from boxup.record.event import Event
from boxup.repair.faces import FaceVerdict, face_verdict
from boxup.repair.flatness import LEAST, MOST, flatness_verdict

FLATNESS, MOST_MM = "flatness", 100.0


@tells("face.measured")
def measured(f: Folding, e: Event) -> None:
    """A mark held against the table; over the limit, the face is not accepted and the joint not pulled up."""
    p = e.payload
    joint = joint_state(f, p["joint"])
    where = f"entry {e.number}"
    size = {key: Quantity(p[f"{key}_mm"] / 1000, "mm", f"{p[f'{key}_mm']:g} mm", "measured", where) for key in ("depth", "span", "land")}
    verdict = face_verdict(size["depth"], size["span"], size["land"], *gasket_of(f, p["joint"]))
    _held(f, joint, e, f"{p['mark']} {p.get('clock', '')}", verdict)


@tells("face.flatness_read")
def flatness_read(f: Folding, e: Event) -> None:
    """Flatness held against the table, as a mark is; the last reading of a face counts."""
    p = e.payload
    x = f.state.exchanger
    verdict = flat_of(p, next((j.gasket for j in x.joints if j.id == p["joint"]), None) if x else None)
    if verdict is None:
        told = f"{LEAST} to {MOST} readings are taken, up to {MOST_MM:g} mm either way; these were not used"
        f.notice("warn", f"{p['face']} of {p['joint']}: {told}")
        return
    _held(f, joint_state(f, p["joint"]), e, FLATNESS, verdict)


def flat_of(p: Mapping[str, Any], gasket: Gasket | None) -> FaceVerdict | None:
    """What the table says of an entry on flatness under this gasket; None where its readings cannot be used."""
    sizes = {key: p.get(f"{key}_mm") for key in ("radial", "rib")}
    if not LEAST <= len(p["readings_mm"]) <= MOST or any(abs(r) > MOST_MM for r in (*p["readings_mm"], *filter(None, sizes.values()))):
        return None
    radial = None if sizes["radial"] is None else abs(sizes["radial"])
    rib = None if sizes["rib"] is None else abs(sizes["rib"]) * (1 if p.get("rib_stands") == "proud" else -1)
    kind, thickness = (gasket.kind, gasket.thickness) if gasket else ("", None)
    return flatness_verdict(tuple(p["readings_mm"]), kind, thickness, radial, rib)


def _held(f: Folding, joint: JointState, e: Event, what: str, verdict: FaceVerdict) -> None:
    """Over the table, it stands against the face and against the joint; within it, it is taken off the list."""
    p, key = e.payload, (e.payload["joint"], e.payload["face"], what)
    if verdict.within:
        joint.marks.pop(key, None)
    else:
        joint.marks[key] = verdict.text
        f.notice("stop" if verdict.within is False else "warn", f"{p['face']} of {p['joint']}: {verdict.text}", verdict.source)
        if code := f.code("INSP_FACE", p["joint"]):
            f.fall(code, f"{what.partition(' ')[0]} on the {p['face']}")
    evaluate(f, joint)


def gasket_of(f: Folding, id_: str) -> tuple[str, Quantity | None]:
    """Kind and thickness of the gasket listed for a joint."""
    x = f.state.exchanger
    gasket = next((j.gasket for j in x.joints if j.id == id_), None) if x else None
    return (gasket.kind, gasket.thickness) if gasket else ("", None)


@tells("face.judged")
def judged(f: Folding, e: Event) -> None:
    """The inspector's word. Accepted with a mark over the limit, and nothing cut since, is a deviation that says so."""
    p = e.payload
    joint = joint_state(f, p["joint"])
    code = f.code("INSP_FACE", p["joint"])
    if p["verdict"] == "to repair":
        joint.marks.setdefault((p["joint"], p["face"], ""), f"to repair, said {e.by}")
        f.undo("face.judged to repair", about_joint(f, p["joint"], whole_set=False), f"{p['face']} of {p['joint']} to repair")
        if code:
            f.fall(code, f"{p['face']} to repair, said {e.by}")
    else:
        if over := "; ".join(_off(joint, p["joint"], p["face"])):
            f.notice("warn", f"{p['face']} of {p['joint']} accepted by {e.by} although: {over} The engineer's deviation sheet goes with it")
        if code and not _marks_of(joint, p["joint"]):
            f.tick(code)
    evaluate(f, joint)


@tells("face.skimmed")
def skimmed(f: Folding, e: Event) -> None:
    """The mark is cut away; what is left is measured, or the cut is taken off the drawing's figure. Looked at again before it is closed."""
    p = e.payload
    joint = joint_state(f, p["joint"])
    _off(joint, p["joint"], p["face"])
    where = f"entry {e.number}, {e.by}"
    if p["part"] in ("stationary tubesheet", "floating tubesheet", "channel cover"):
        if "left_mm" in p:
            f.state.found.thickness[p["part"]] = Quantity(p["left_mm"] / 1000, "mm", f"{p['left_mm']:g} mm", "measured", where)
            f.state.found.skimmed.pop(p["part"], None)
        else:
            before = f.state.found.skimmed.get(p["part"])
            off = p["off_mm"] / 1000 + (before.si if before else 0.0)
            f.state.found.skimmed[p["part"]] = Quantity(off, "mm", f"{off * 1000:g} mm off", "measured", where)
    _thick_enough(f, p["part"])
    f.undo("face.skimmed", about_joint(f, p["joint"], whole_set=False), f"{p['face']} of {p['joint']} machined")
    if code := f.code("INSP_FACE", p["joint"]):
        f.fall(code, f"{p['face']} machined: looked at again")
    evaluate(f, joint)


def _thick_enough(f: Folding, part: str) -> None:
    """A tubesheet cut below its least thickness is a stop."""
    if f.state.exchanger is None or part not in SHEETS:
        return
    sheet = getattr(as_found(f.state.exchanger, f.state.found), SHEETS[part])
    if sheet.thickness and sheet.minimum_thickness and sheet.thickness.si < sheet.minimum_thickness.si:
        left, least = sheet.thickness.to("mm"), sheet.minimum_thickness.to("mm")
        f.notice("stop", f"{part}: {left:g} mm left, least {least:g} mm: the engineer decides before it is closed")


SHEETS = {"stationary tubesheet": "stationary_tubesheet", "floating tubesheet": "floating_tubesheet"}


def _off(joint: JointState, id_: str, face: str) -> list[str]:
    """Every mark of a face, taken off the list."""
    keys = [key for key in joint.marks if key[:2] == (id_, face)]
    return [joint.marks.pop(key) for key in keys]


def _against_face(f: Folding, code: str) -> Iterable[str]:
    id_ = code.partition(":")[2]
    joint = f.state.joint(id_)
    return _marks_of(joint, id_) if joint else ()


def _marks_of(joint: JointState, id_: str) -> list[str]:
    return [f"{face}: {text}" for (of, face, _), text in joint.marks.items() if of == id_]


def register(f: Folding) -> None:
    """A face with a mark over the limit is not accepted by a tick."""
    f.objections.setdefault("INSP_FACE", []).append(_against_face)
