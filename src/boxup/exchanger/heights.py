"""How high the water of a side stands under test, from its highest point to its lowest: by the bores where it lies, by the lengths upright.

Nozzle necks and small bore are left out: where the vent or a blind stands some way off the barrel, the height is given in the file.
"""

from __future__ import annotations

from boxup.core.calculation import Answer
from boxup.core.finding import Missing
from boxup.core.quantity import Quantity
from boxup.core.working import CannotWork, Step, Working
from boxup.exchanger.bundle_parts import GEOMETRY
from boxup.exchanger.chamber import end_depth
from boxup.exchanger.model import Exchanger, Head, SideName
from boxup.exchanger.parts import Part, head, parts
from boxup.exchanger.volumes import CLOSED_END, covered, tube_chambers

_NECKS = "Nozzle necks and vents are left out of the height: 100 mm of them is 0.01 bar. Where they count, give test_height in the file."


def side_height(exchanger: Exchanger, side: SideName, *, rear_off: bool = False, on_slab: bool = False) -> Answer | Missing:
    """Answers `height` of the water of that side (mm), its nozzle necks left out, or what the file must say first.

    `rear_off`: shell cover and floating head are off, a test ring stands for them. `on_slab`: the bundle lies, wherever its shell stands.
    The file's own `test_height` of the side wins, and a stack whose shells are pressed together needs it: no file holds both of them.
    """
    name, own = f"height of the {side} side", exchanger.side(side).test_height
    w = Working(name, GEOMETRY)
    if own is not None and not on_slab:
        return _answer(w, w.given("H_w", "height under test, highest point to lowest", own, "mm"))
    if exchanger.options.get("pair_test") and not on_slab:
        do = "the stack is tested together: measure from the top of the upper one to the bottom of the lower one"
        return Missing(name, f"{do} and give it as [{side}_side] test_height.")
    stands = upright(exchanger) and not on_slab
    found = _pieces(exchanger, side, stands, rear_off)
    lacks = [key for key, _, size, _ in found if size is None]
    if lacks and (stands or len(lacks) == len(found)):
        return Missing(name, f"give {' and '.join(lacks)}, or the height itself as [{side}_side] test_height.")
    try:
        return _worked(w, found, stands)
    except CannotWork as bad:
        return Missing(name, f"the sizes do not fit each other ({bad}): check them against the drawing.")


def upright(exchanger: Exchanger) -> bool:
    """Whether it stands."""
    return exchanger.identity.position == "vertical" or exchanger.options.get("vertical", False)


Piece = tuple[str, str, Quantity | None, tuple[Head, Part] | None]  # key of the file, in words, size, the end that stands beyond it


def _pieces(x: Exchanger, side: SideName, stands: bool, rear_off: bool) -> list[Piece]:
    """What is added up (upright) or the largest of which counts (lying)."""
    if side == "tube":
        return _tube_side(x, stands)
    key = "length" if stands else "inside_diameter"
    closed = Part("shell_cover", CLOSED_END, "shell")
    end = (Head(shape=x.shell.end, inside_diameter=x.shell.inside_diameter), closed) if x.shell.end and stands else None
    found: list[Piece] = [(f"shell.{key}", "shell", getattr(x.shell, key), None if covered(x) else end)]
    if covered(x) and not rear_off:
        cover = next(p for p in parts(x) if p.id == "shell_cover")
        found.append((f"shell_cover.{key}", "shell cover", getattr(x.shell_cover, key), (x.shell_cover, cover)))
    return found


def _tube_side(x: Exchanger, stands: bool) -> list[Piece]:
    key = "length" if stands else "inside_diameter"
    heads = [(p, head(x, p.id)) for p in tube_chambers(x)]
    found: list[Piece] = [(f"{p.id}.{key}", p.what, getattr(h, key), (h, p)) for p, h in heads]
    if not stands:
        return found
    found.append(("tubes.length", "tubes", x.tubes.length, None))
    if x.letters.rear == "U":
        found.append(("shell.inside_diameter", "shell bore, across which the widest bend turns", x.shell.inside_diameter, None))
    return found


def _worked(w: Working, found: list[Piece], stands: bool) -> Answer:
    terms: list[str] = []
    for i, (key, words, size, end) in enumerate(found, start=1):
        if size is None:
            w.say("note", f"{words}: {key} is not in the file, so it is left out of the height of the water.")
            continue
        w.given(f"L_{i}" if stands else f"D_{i}", f"{words}, {'length' if stands else 'inside diameter'}", size, "mm")
        terms.append(f"L_{i}" if stands else f"D_{i}")
        if stands and end:
            terms += _beyond(w, i, *end)
    if stands and any("bend" in words for _, words, _, _ in found):
        terms[-1] += "/2"  # half the bore: no bend is wider
    line, how = (" + ".join(terms), "one above the other") if stands else (_largest(terms), "it lies: the largest bore")
    w.step(f"H_w = {line}", "mm", "height under test, highest point to lowest", how)
    w.say("note", _NECKS)
    return _answer(w, w.steps["H_w"])


def _largest(terms: list[str]) -> str:
    return terms[0] if len(terms) == 1 else f"max({', '.join(terms)})"


def _beyond(w: Working, i: int, h: Head, part: Part) -> list[str]:
    """The depth of a dished or ellipsoidal end, as a term of the sum."""
    if h.inside_diameter is None:
        return []
    inner = w.part(part.what)
    inner.given("D", "inside diameter", h.inside_diameter, "mm")
    if not end_depth(inner, h, part):
        w.parts.remove(inner)
        return []
    w.take(f"h_{i}", inner.steps["h"], inner.name)
    return [f"h_{i}"]


def _answer(w: Working, height: Step) -> Answer:
    return Answer(w.name, w, {"height": height}, {}, {"height": "mm"})
