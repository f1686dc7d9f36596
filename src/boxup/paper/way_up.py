"""The way-up sheet: before the bundle goes in, two names look at the right pose beside the wrong ones and sign."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from boxup.bundle.turned_part import turned_parts
from boxup.bundle.way_marks import inlets
from boxup.bundle.way_up import WayUp, way_up
from boxup.core.finding import Missing
from boxup.drawing.way_up import Pose, WayUpView
from boxup.drawing.way_up import way_up as drawn
from boxup.exchanger.model import Exchanger
from boxup.exchanger.ribs import rib_lines
from boxup.paper.sheet import PHONE, WIDE, Drawing, Material, Sheet
from boxup.paper.value import lacking, told

SHOWN = (180.0, 90.0)  # the wrong turns that are drawn; a quarter the other way is the mirror image
MOST_WORDS = 3


def way_up_sheet(m: Material) -> Iterator[Sheet]:
    """Where there is a bundle that is drawn."""
    found = m.numbers.way_up
    if found.fixed or "ORIENT" not in {i.step.code for i in m.scope.instances.values()}:
        return
    w = m.words["way_up"]
    yield {
        "kind": "way-up",
        "title": w["title"],
        "sub": found.short,
        "drawing": drawing_of(m.exchanger, found),
        "right_head": w["right"],
        "right": list(found.right),
        "ask_head": w["ask"],
        "ask": list(found.ask),
        "turns_head": w["turns"],
        "heads": [w["turn"], w["stops"], w["does"]],
        "turns": [{"turn": t.name, "stops": stops_of(found, t.degrees), "does": "; ".join(t.harms) or "–"} for t in found.turns],
        "parts_head": w["parts"],
        "part_heads": [w["part"], w["half"], w["over"]],
        "parts": [{"what": f"{p.what}, {p.joint}", "half": p.half, "over": p.over or "–"} for p in turned_parts(m.exchanger)],
        "end_for_end": f"{found.count} {found.end_for_end}".strip(),
        "decides": w["decides"],
        "findings": told(found.findings),
        "missing": lacking(found.missing),
        "roles": m.roles("lead", "inspector"),
    }


def stops_of(found: WayUp, degrees: float) -> str:
    """What would stop that turn, or that nothing would."""
    turn = next(t for t in found.turns if t.degrees == degrees)
    if turn.studs is None and not turn.stops:
        return "nothing known: count the studs"
    return "; ".join(turn.stops) or "NOTHING that bolts up"


def drawing_of(x: Exchanger, found: WayUp | None = None) -> Drawing:
    """The right pose beside half a turn and a quarter turn."""
    found = found or way_up(x)
    if found.fixed:
        return Drawing("")
    m, ribs = found.marks, rib_lines(x, "front")
    lines = () if isinstance(ribs, Missing) else ribs
    reach = max([max(abs(r.x1), abs(r.y1), abs(r.x2), abs(r.y2)) for r in lines], default=100.0)
    right = Pose(0, "RIGHT", tuple(found.short.split("; ")) if found.short else ("by bundle and drawing",))
    wrong = [Pose(t.degrees, f"WRONG: {t.name}", t.harms[:MOST_WORDS]) for d in SHOWN for t in found.turns if t.degrees == d and t.harms]
    view = WayUpView(
        x.identity.tag, reach, (right, *wrong), lines, [p.clock for p in m.plates or ()][:1] if _one_hour(found) else
        [p.clock for p in m.plates or ()], m.bars, m.notches, m.mark, m.dowel, m.first_cut, m.long_baffle, _inlets(x), WIDE,
    )  # fmt: skip
    return Drawing(drawn(view), lambda: drawn(replace(view, width=PHONE)))


def _one_hour(found: WayUp) -> bool:
    return len({p.clock for p in found.marks.plates or ()}) == 1


def _inlets(x: Exchanger) -> tuple[tuple[str, float], ...]:
    """Inlets by clock position; those behind one another under one name."""
    by_clock: dict[float, list[str]] = {}
    for n in inlets(x):
        if n.clock:
            by_clock.setdefault(n.clock.si, []).append(n.id)
    return tuple((", ".join(names), clock) for clock, names in by_clock.items())
