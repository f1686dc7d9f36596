"""The way-up sheet: before the bundle goes in, two names look at the right pose beside the wrong ones and sign."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from boxup.bundle.turned_part import turned_parts
from boxup.bundle.way_up import WayUp, way_up
from boxup.drawing.way_up import view_of
from boxup.drawing.way_up import way_up as drawn
from boxup.exchanger.model import Exchanger
from boxup.paper.sheet import PHONE, WIDE, Drawing, Material, Sheet
from boxup.paper.value import lacking, told


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
    """The right pose beside half a turn and a quarter turn; nothing where the bundle stays in."""
    found = found or way_up(x)
    if found.fixed or found.against:
        return Drawing("")
    view = view_of(x, found, WIDE)
    return Drawing(drawn(view), lambda: drawn(replace(view, width=PHONE)))
