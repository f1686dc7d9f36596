"""The numbers nobody gave and that must not be assumed, each with where to get it."""

from __future__ import annotations

from collections.abc import Iterator

from boxup.core.finding import Missing
from boxup.exchanger import joints
from boxup.exchanger.model import Exchanger, Joint, Side

_SIDE = (
    ("mawp", "MAWP", "read the nameplate or the data report; with neither, ask the engineer. No test pressure is given without it"),
    ("design_temperature", "design temperature", "read the nameplate or the data report"),
    ("mdmt", "MDMT", "read the nameplate or the data report; with neither, ask the engineer how cold the metal may be under pressure"),
    ("test_limit", "highest pressure on test", "ask the engineer for the most any part of this side may see on test; no relief without it"),
)
_GASKET = (
    (("od", "id_"), "gasket size", "measure the old gasket or the recess, or read the gasket drawing: inside and outside diameter"),
    (("thickness",), "gasket thickness", "measure the new gasket with a caliper at its core"),
    (("kind",), "gasket kind", "read the tag on the gasket and the gasket list; both must say the same"),
    (("m", "y"), "gasket factors m and y", "read them in the gasket maker's letter for this gasket"),
    (("seating_stress", "operating_stress", "crush_stress"), "gasket stresses",
     "ask the gasket maker: least stress at assembly, least under pressure, most it stands"),
)  # fmt: skip
_STUDS = (
    ("count", "stud count", "count the holes in the flange"),
    ("size", "stud size", "measure over the thread and count the threads in an inch, with a gauge; never take it from the joint next door"),
    ("grade", "stud grade", "read the mark on the end of the stud"),
    ("length", "stud length", "measure one stud, or the flanges, the gasket and two nuts"),
    ("bolt_circle", "bolt circle", "measure hole to hole across the flange"),
    ("lubricant", "lubricant", "read the tin that will be used"),
    ("nut_factor", "nut factor", "read it on the sheet of that lubricant, or test it on these studs"),
    ("target_stress", "target stress", "the engineer sets it for this joint"),
)
_NO_FLAT_GASKET = (joints.STUFFING_BOX, joints.SHELL_PACKING, joints.CHANNEL_PACKING, joints.CLOSURE)


def missing(x: Exchanger) -> list[Missing]:
    """In the order of the file: sides, bundle, joints, nozzles, blinds, gear."""
    return [*_of_side("shell side", x.shell_side), *_of_side("tube side", x.tube_side), *_of_bundle(x),
            *(m for j in x.joints for m in _of_joint(j)), *_of_nozzles(x), *_of_blinds(x), *_of_gear(x)]  # fmt: skip


def _of_side(words: str, side: Side) -> Iterator[Missing]:
    for key, what, do in _SIDE:
        if getattr(side, key) is None:
            yield Missing(f"{what} of the {words}", f"{do}.")


def _of_bundle(x: Exchanger) -> Iterator[Missing]:
    if x.letters.fixed:
        return
    for key, what in (("fouling_mass", "dirt"), ("water_mass", "water")):
        if getattr(x.bundle, key) is None:
            do = f"weigh the bundle as it comes out, or estimate it from last time ([bundle] {key}); the lift is heavier by it."
            yield Missing(f"mass of the {what} on the bundle as it is pulled", do)


def _of_joint(j: Joint) -> Iterator[Missing]:
    where = f"{j.id}, {j.between}"
    if j.kind in _NO_FLAT_GASKET:
        if j.studs is None:
            yield Missing(f"studs for {where}", "the maker's drawing and procedure say what closes it.")
        return
    for keys, what, do in _GASKET:
        if j.gasket is None or any(getattr(j.gasket, k) in (None, "") for k in keys):
            yield Missing(f"{what} for {where}", f"{do}.")
    for key, what, do in _STUDS:
        if j.studs is None or getattr(j.studs, key) in (None, ""):
            yield Missing(f"{what} for {where}", f"{do}.")


def _of_nozzles(x: Exchanger) -> Iterator[Missing]:
    if not x.nozzles:
        yield Missing("nozzles", "list every nozzle that a spool or a blind goes on: side, size, class.")
    for n in x.nozzles:
        lost = [words for words, v in (("size", n.size), ("flange class", n.flange_class), ("studs", n.studs), ("stud size", n.stud_size),
                                       ("stud grade", n.stud_grade), ("lubricant", n.lubricant), ("nut factor", n.nut_factor),
                                       ("target stress", n.target_stress)) if not v]  # fmt: skip
        if lost:
            yield Missing(f"{', '.join(lost)} of nozzle {n.id}", "read the flange rim and the joint list; count the studs.")


def _of_blinds(x: Exchanger) -> Iterator[Missing]:
    for b in x.blinds:
        lost = [words for words, v in (("thickness", b.thickness), ("rating", b.rated)) if v is None]
        if lost:
            yield Missing(f"{' and '.join(lost)} of blind {b.id}", "read its tag and measure it; a blind without a tag is no blind.")


def _of_gear(x: Exchanger) -> Iterator[Missing]:
    for g in x.gear:
        what = f"{g.id} ({g.kind})" if g.kind else g.id
        if g.capacity is None:
            yield Missing(f"capacity of {what}", "read the tag on the gear; without a tag it does not lift.")
        elif g.unhung:
            yield Missing(f"capacity of {what} as it is used", f"{g.unhung}; say how it is hung, vertical, choker or basket (hitch).")
