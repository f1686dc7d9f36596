"""The section in words, for who cannot see it."""

from __future__ import annotations

from collections.abc import Mapping

from boxup.drawing.assembly import Assembly
from boxup.drawing.view import JointLook


def looks_of(a: Assembly) -> Mapping[str, JointLook]:
    """The joints that have a balloon, and how each is drawn."""
    if not a.view.names_only:
        return a.view.joints
    return {j: JointLook("in") for j in a.view.joints or [j.id for j in a.exchanger.joints]}


def describe(a: Assembly) -> str:
    """The drawing in words, for who cannot see it."""
    v = a.view
    said = ["Side view in section, front end on the left, tube length cut by a break line.", *a.notes]
    if a.upright:
        said[0] = "In section, standing upright, tube length cut by a break line."
    if a.off:
        said.append(f"Off: {', '.join(sorted(a.off))}.")
    if v.rings:
        said.append(f"On: {', '.join(sorted(v.rings))} for the test.")
    if v.pressed:
        said.append(f"{v.pressed.capitalize()} side under pressure{', ' + v.pressure if v.pressure else ''}.")
    if v.stop:
        said.append(f"STOP: {v.stop}")
    if v.names_only:
        said.append(f"Joints by number, nothing said of how they stand: {', '.join(looks_of(a))}.")
    else:
        said += [f"{j}: {', '.join(filter(None, (look.word, look.low_words)))}." for j, look in sorted(v.joints.items())]
    said += _closed(a)
    said += [f"Open: {', '.join(sorted(v.open))}."] if v.open else []
    if missing := a.left_out():
        said.append(f"Not shown, because it lies in the part left out or its place is not given: {', '.join(missing)}.")
    return " ".join(said)


def _closed(a: Assembly) -> list[str]:
    """The blinds that are in, by use."""
    kinds = (("process", "Process blinds in"), ("test", "Test blinds in"))
    found = [(words, sorted(b.id for b in a.exchanger.blinds if b.use == use and b.id in a.view.blinds)) for use, words in kinds]
    return [f"{words}: {', '.join(ids)}." for words, ids in found if ids]
