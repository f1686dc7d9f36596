"""The first two sheets: what it is and what it can do to people; what is not given, assumed, or from memory."""

from __future__ import annotations

from collections.abc import Iterator

from boxup.core.calculation import Answer
from boxup.core.finding import Finding
from boxup.core.working import Assumed, Working
from boxup.drawing.view import SectionView
from boxup.paper.sheet import WIDE, Drawing, Material, Sheet
from boxup.paper.value import Shown, lacking, of_step, plainly, shown, told

MOST_STOPS = 2  # on the cover; all of them stand on the next sheet


def cover_sheet(m: Material) -> Sheet:
    """The cover: drawing with its joints, the figures everybody asks for, hazards, cautions, people."""
    x, w = m.exchanger, m.words
    facts = [{"label": label, "value": value, "note": note} for label, value, note in _facts(m)]
    people = [{"role": w["roles"]["lead"], "name": x.identity.crew_lead}, {"role": w["roles"]["inspector"], "name": x.identity.inspector}]
    people += [{"role": w["roles"][r], "name": ""} for r in ("rigger", "operator")]
    hazards = [
        {"side": f"{name}, {side.fluid}" if side.fluid else name, "text": side.hazards or w["cover_sheet"]["no_hazard"]}
        for name, side in (("Shell side", x.shell_side), ("Tube side", x.tube_side))
    ]
    stops = [f for f in _all(m) if f.level == "stop"]
    more = len(stops) - MOST_STOPS
    return {
        "kind": "cover",
        "title": w["pack_title"],
        "sub": x.identity.job_scope,
        "drawing": _drawing(m),
        "facts": facts,
        "people": people,
        "hazards": hazards,
        "cautions": [{"text": t} for t in w["cover_sheet"]["cautions"]],
        "findings": told(stops[:MOST_STOPS]),
        "more": w["cover_sheet"]["more"].format(n=more) if more > 0 else "",
    }


def _drawing(m: Material) -> Drawing:
    """The exchanger with its joints and blinds named, and nothing said of how they stand."""
    process = frozenset(b.id for b in m.exchanger.blinds if b.use == "process")
    return m.section(SectionView(names_only=True, width=WIDE, blinds=process))


def _facts(m: Material) -> Iterator[tuple[str, Shown | None, str]]:
    x, n = m.exchanger, m.numbers
    for part in n.parts:
        if part.id == "bundle" and isinstance(n.hung, Answer):
            yield f"{part.what}, clean and dry", of_step("mass", n.hung.values["dry"], "up"), m.mark(n.hung_code)
            yield f"{part.what}, plan the lift for", of_step("mass", n.hung.values["lift_mass"], "up"), m.mark(n.hung_code)
        elif part.id != "bundle":
            yield f"{part.what}, plan for", shown("mass", part.lift_mass.si if part.lift_mass else None, "up"), ""
    for test in n.tests:
        yield f"{test.test.name}, at the gauge", of_step("pressure", test.values.get("gauge_pressure"), "up"), m.mark(test.test.code)
    for name, side in (("shell side", x.shell_side), ("tube side", x.tube_side)):
        yield f"{name}, MAWP", shown("pressure", side.mawp.si if side.mawp else None), ""
        yield f"{name}, minimum design metal temperature", shown("temperature", side.mdmt.si if side.mdmt else None), ""
    count, passes = x.tubes.count, x.tubes.passes
    if count and passes:
        plugs = f"; {len(x.plugged)} holes plugged before" if x.plugged else ""
        yield "tube holes, passes", plainly(f"{count.si:.0f}, {passes.si:.0f}{plugs}"), ""


def contents_sheet(m: Material) -> Sheet:
    """Read first: the sheets, stops and warnings, what must be found out, what was assumed, what is from memory."""
    return {
        "kind": "contents",
        "title": m.words["read_first"],
        "findings": told(_all(m)),
        "missing": lacking(m.numbers.missing()),
        "assumptions": [*m.exchanger.assumptions, *_assumed(m)],
        "confirm": _from_memory(m),
    }


def _all(m: Material) -> list[Finding]:
    """Of the order of work and of every room."""
    return m.findings


def _assumed(m: Material) -> list[str]:
    """What the workings took because the file did not give it, each once."""
    steps = [s for _, w in m.numbers.workings.values() for _, s in w.all_steps()]
    return list(dict.fromkeys(f"{s.label}: {s.origin.reason}" for s in steps if isinstance(s.origin, Assumed)))


def _from_memory(m: Material) -> list[str]:
    """Sources from memory, each once, with the numbers that rest on it."""
    codes: dict[str, list[str]] = {}
    for code, (_, working) in m.numbers.workings.items():
        for title in _memory_titles(working):
            codes.setdefault(title, []).append(code)
    return [f"{title}: {', '.join(c)}" for title, c in sorted(codes.items())]


def _memory_titles(working: Working) -> list[str]:
    cites = [s.cite for _, s in working.all_steps() if s.cite and s.cite.source.label == "memory"]
    return list(dict.fromkeys(c.source.title for c in cites))
