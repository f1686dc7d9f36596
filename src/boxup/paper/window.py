"""How far the studs of one card may be pulled: the window in words, its chart, the flanges in every state, and what all that rests on."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import Any

from boxup.core.rounding import both
from boxup.core.working import Assumed, Step, plain
from boxup.drawing.window import ChartWords, chart_of, window_chart
from boxup.joint.assembly import JointAnswer
from boxup.joint.flanges import FlangeAnswer, FlangeState
from boxup.joint.joint_window import JointWindow
from boxup.paper.sheet import PHONE, WIDE, Drawing
from boxup.paper.value import lacking


def window_part(a: JointAnswer, words: dict[str, str], area: str) -> dict[str, Any] | None:
    """For the card; None for a joint without a limit. `words`: those of the card, `area` what the stresses stand on."""
    if a.window is None or not a.window.limits:
        return None
    chart = chart_of(a, f"{_names(a)}: {words['window_chart']}", ChartWords(axis=f"{words['stud_stress_axis']} {area}"))
    return {
        "line": _line(a.window, words, area),
        "ends": ends_line(a.window, words),
        "chart": Drawing(window_chart(replace(chart, width=WIDE)), lambda: window_chart(replace(chart, width=PHONE))),
        "flanges": [flange_row(f, words["pressed_outside"]) for f in a.flanges if f.states],
        "missing": lacking(a.window.missing),
        "basis": [words[key].format(what="; ".join(what)) for key, what in basis(a) if what],
    }


def _line(found: JointWindow, words: dict[str, str], area: str) -> str:
    """`Window 316 to 507 MPa (45.8 to 73.5 ksi) on tensile area`, or which end is not known."""
    low, high = (both("stress", end.si) if end else "" for end in (found.lower, found.upper))
    key = ("window_line" if found.feasible else "window_shut") if found.whole else "window_open_end"
    return words[key].format(window=found.words, area=area, low=low or "?", high=high or "?").strip()


def ends_line(found: JointWindow, words: dict[str, str]) -> str:
    """Who governs at either end; nothing where one of them is not known."""
    if not found.whole:
        return ""
    return words["window_ends"].format(low=found.governing_low, high=found.governing_high)


def flange_row(f: FlangeAnswer, outside: str) -> dict[str, str]:
    """Share of what it takes and rotation, by state. `outside`: how pressure on the outside alone is told, `{share}` in it."""
    told = {s.name: _told(s) for s in f.states}

    def both_ways(inside: str, pressed: str) -> str:
        found = [told.get(inside, ""), outside.format(share=told[pressed]) if pressed in told else ""]
        return "; ".join(t for t in found if t) or "–"

    service, test = both_ways("operating", "tube side down"), both_ways("test", "shell test")
    return {"flange": f.who, "assembly": told.get("assembly", "–"), "operating": service, "test": test}


def _told(s: FlangeState) -> str:
    return f"{s.share.si * 100:.0f} %" + (f", {s.rotation.value:.2f}°" if s.rotation else "")


def basis(a: JointAnswer) -> Iterator[tuple[str, list[str]]]:
    """(key of the sentence, what): the rules that are from memory, and the usual figures that nobody gave for this joint."""
    parts = [*([a.window.working] if a.window else []), *(g.working for g in a.gaskets), *(f.working for f in a.flanges if f.states)]
    steps = [s for part in parts for s in part.steps.values()]
    yield "from_memory_rules", _once(s.cite.source.title for s in steps if s.cite and s.cite.source.label == "memory")
    yield "usual_figures", _once(f"{s.label} {plain(s)}" for s in steps if _usual(s))


def _usual(s: Step) -> bool:
    """Taken because nobody gave it. Nought at assembly is no figure."""
    return (isinstance(s.origin, Assumed) and s.si != 0) or "(assumed" in s.label


def _once(texts: Iterable[str]) -> list[str]:
    return list(dict.fromkeys(texts))


def _names(a: JointAnswer) -> str:
    return " + ".join(n for n in (a.joint, a.with_joint) if n)
