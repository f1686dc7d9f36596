"""A gasket face as a whole: how flat round and across, and where the pass plate surface stands. The verdict is the inspector's."""

from __future__ import annotations

from dataclasses import dataclass, replace

from boxup.core.calculation import Answer, calculation, number, word
from boxup.core.finding import Missing
from boxup.core.quantity import BadValue, Quantity, quantities
from boxup.core.working import Working
from boxup.reference.load import Row
from boxup.repair.faces import PCC_1, FaceVerdict, not_known, rows, taken_as
from boxup.repair.hardness import HARD, SOFT, Hardness, hardness

TABLE = "Appendix D, Tables D-1M and D-1"
LEAST, MOST = 4, 72  # readings round a face
MEND = "Machine the face and look again; whether it may be used as it is, the inspector says"


@dataclass(frozen=True, slots=True, kw_only=True)
class FaceFlatness:
    """Readings of a levelled gauge round one circle of the face, the most across the land, and the pass plate surface against the ring."""

    readings: str = word("readings round the face, gauge levelled, four or more", check=lambda text: readings_of(text))
    gasket: str = word("gasket (hard, soft, or its kind)")
    radial_drop: Quantity | None = number("T_2", "largest difference across the land", "mm", least=0, most=100, optional=True)
    rib_position: Quantity | None = number(
        "P_r", "pass plate surface against the ring face, + standing proud", "mm", least=-100, most=100, optional=True
    )
    thickness: Quantity | None = number("t_g", "gasket thickness, new", "mm", above=0, optional=True)

    def problems(self) -> list[str]:
        """A kind of gasket that is not hard or soft by its name."""
        found = hardness(self.gasket, self.thickness)
        return [not_known(found)] if isinstance(found, Missing) else []


def readings_of(text: str) -> tuple[Quantity, ...]:
    """Readings round a face. Raises BadValue with what is accepted."""
    found = quantities(text, "mm")
    if not LEAST <= len(found) <= MOST:
        raise BadValue(f"{text!r} has {len(found)} readings; accepted: {LEAST} to {MOST}, for example '0 0.05 0.1 0.05 mm'")
    if bad := next((q for q in found if abs(q.si) > 0.1), None):
        raise BadValue(f"{bad.typed!r} is no reading of flatness; accepted: up to 100 mm either way")
    return found


@calculation("face-flatness", PCC_1, FaceFlatness, "circumferential=T_1@mm radial=T_2@mm rib=P_r@mm")
def face_flatness(w: Working, face: FaceFlatness) -> None:
    """Flatness of a gasket face round and across, and the pass plate surface, against the table by gasket. The inspector decides."""
    found = taken_as(w, face, hardness(face.gasket, face.thickness))
    names = _taken(w, readings_of(face.readings))
    w.step(f"T_1 = max({names}) - min({names})", "mm", "flatness round the face, T1", "largest less smallest")
    row = rows("flatness")[found.name]
    w.table("T_c", "to stay under round the face", row.need("round"), "mm", row.place("round"), row.cite)
    good = [w.limit("T_1 < T_c", f"Not flat round the face for a {found.name} gasket", row.cite.where, source=row.cite.source)]
    if face.radial_drop:
        w.table("T_a", "to stay under across the land", row.need("across"), "mm", row.place("across"), row.cite)
        say = f"Not flat across the land for a {found.name} gasket"
        good.append(w.limit("T_2 < T_a", say, row.cite.where, source=row.cite.source))
    if face.rib_position:
        good.append(_rib(w, row, found))
    if all(good):
        within = "Within the table as far as it was measured. The table is from memory: confirm it"
        w.say("note", f"{within}. Whether the face may be used, the inspector says.", row.cite.where, row.cite.source)
    else:
        w.say("note", f"{MEND}.", row.cite.where, row.cite.source)
    _finish(w, found)


def _taken(w: Working, found: tuple[Quantity, ...]) -> str:
    for k, q in enumerate(found, start=1):
        w.given(f"f_{k}", f"reading {k} round the face", q, "mm")
    return ", ".join(f"f_{k}" for k in range(1, len(found) + 1))


def _rib(w: Working, row: Row, found: Hardness) -> bool:
    """Proud, the pass plate carries the load of the ring; too low, the rib carries none and the passes run into each other."""
    w.table("P_h", "highest the pass plate surface may stand", row.need("rib_high"), "mm", row.place("rib_high"), row.cite)
    w.table("P_l", "lowest it may stand", row.need("rib_low"), "mm", row.place("rib_low"), row.cite)
    proud = "The pass plate surface stands proud of the ring face: it takes the load from the ring"
    low = f"The pass plate surface lies too low for a {found.name} gasket: the rib is not loaded and one pass leaks into the next"
    high_enough = w.limit("P_r >= P_l", low, row.cite.where, source=row.cite.source)
    return w.limit("P_r <= P_h", proud, row.cite.where, source=row.cite.source) and high_enough


def _finish(w: Working, found: Hardness) -> None:
    """What the surface should feel like under such a gasket; nothing where the kind was not said."""
    if row := rows("finish").get(found.kind):
        said = f"Finish under a {found.kind} gasket: {row.text('say')}; hold a comparator to it"
        w.say("note", f"{said}. From memory: confirm it.", row.cite.where, row.cite.source)


def flatness_verdict(
    readings_mm: tuple[float, ...], gasket_kind: str, thickness: Quantity | None = None, radial_mm: float | None = None,
    rib_mm: float | None = None,
) -> FaceVerdict:  # fmt: skip
    """The face against the table for a gasket of this kind; a kind that does not tell is asked for, unless the face is over for any."""
    face = FaceFlatness(
        readings=f"{' '.join(repr(float(r)) for r in readings_mm)} mm", gasket=HARD, radial_drop=_mm(radial_mm), rib_position=_mm(rib_mm)
    )
    found = hardness(gasket_kind, thickness)
    if isinstance(found, Hardness):
        return _verdict(replace(face, gasket=gasket_kind, thickness=thickness))
    hard, soft = _verdict(face), _verdict(replace(face, gasket=SOFT))
    if not soft.within:
        return replace(soft, text=f"Over under any gasket, a soft one too. {soft.text}")
    if hard.within:
        return hard
    text = (
        f"{found.text}. Under a soft gasket the face is within the table, under a hard one not. Whether it may be used, the inspector says."
    )
    return FaceVerdict(None, None, text, soft.source, None)


def _mm(value: float | None) -> Quantity | None:
    return None if value is None else Quantity(value / 1000, "mm", f"{value:g} mm", "measured")


def _verdict(face: FaceFlatness) -> FaceVerdict:
    answer: Answer = face_flatness.run(face)
    told = [f for f in answer.findings if not f.text.startswith("Finish")]
    sources = "; ".join(dict.fromkeys(f.source for f in told))
    return FaceVerdict(not any(f.level == "stop" for f in told), None, " ".join(f.text for f in told), sources, answer.working)
