"""The list sheets: gaskets, studs, blinds, small bore, tools."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from boxup.bundle.after_plugging import NOT_A_VERDICT
from boxup.bundle.plugging_figures import line, pass_rows
from boxup.bundle.tube_roll import limit_of
from boxup.bundle.walls import WallVerdict, judged, pass_counts, plug_findings, wall_text
from boxup.core.finding import Missing
from boxup.core.quantity import Quantity
from boxup.core.rounding import both
from boxup.drawing.gasket import gasket as gasket_drawing
from boxup.drawing.tubesheet import WORN_FROM, TubesheetView, tubesheet
from boxup.exchanger.layout import Layout, layout_of, u_pairs
from boxup.exchanger.model import Exchanger, Gasket, Joint, Studs
from boxup.exchanger.ribs import rib_lines
from boxup.isolation.blinds import BlindList
from boxup.isolation.small_bore import WEEP_USE, OpeningRow
from boxup.joint.tools import out_of_date
from boxup.paper.sheet import PHONE, Drawing, Material, Sheet
from boxup.paper.value import lacking, told

MOST_WALLS = 12  # rows of the worst walls on the sheet; the record has them all


def gasket_sheets(m: Material) -> Iterator[Sheet]:
    """The gasket list, then the drawings, of the joints that are opened this time."""
    x, w = m.exchanger, m.words
    opened = [j for j in x.joints if j.id not in m.scope.left_alone]
    rows = [_gasket_row(m, j, j.gasket) for j in opened if j.gasket]
    lacks = [one for j in m.numbers.joints if j.joint not in m.scope.left_alone for one in j.missing if "gasket" in one.number]
    sub = f"{w['follows_bundle']} {x.identity.bundle_serial}" if x.identity.bundle_serial else ""
    yield {
        "kind": "gaskets",
        "title": w["gasket_list"],
        "sub": sub,
        "rows": rows,
        "missing": lacking(lacks),
        "findings": [],
        "roles": m.roles("stores", "lead", "inspector"),
    }
    drawn = [{"svg": Drawing(gasket_drawing(x, j, PHONE)), "text": f"{j.gasket.id}, {j.id}: {j.between}"} for j in opened if j.gasket]
    if drawn:
        yield {"kind": "gasket-drawings", "title": w["gasket_drawings"], "sub": w["from_letters"], "drawings": drawn}


def _gasket_row(m: Material, j: Joint, g: Gasket) -> dict[str, str]:
    w, x = m.words, m.exchanger
    follows = f"{w['follows_bundle']} {x.identity.bundle_serial}" if g.follows == "bundle" else f"{w['follows_exchanger']} {x.identity.tag}"
    size = " / ".join(_mm(q) for q in (g.od, g.id_)) + f" × {_mm(g.thickness)} mm"
    ribs = w["no_ribs"] if not m.ribbed(j) else f"{w[f'ribs_{j.ribs_end}']}, {_mm(g.rib_width)} mm"
    count = f"1 + {g.spares.si:.0f}" if g.spares else "1"
    kind = ", ".join(t for t in (g.kind, g.metal, g.facing) if t)
    return {"item": g.id, "joint": j.id, "follows": follows, "kind": kind, "size": size, "ribs": ribs, "ordered": count}


def _mm(q: Quantity | None) -> str:
    return f"{q.to('mm'):.4g}" if q else "?"


def stud_sheet(m: Material) -> Sheet:
    """Every stud set of a joint that is opened this time, and the studs of the nozzles."""
    w = m.words
    sets: dict[str, tuple[Studs, list[str]]] = {}
    for j in m.exchanger.joints:
        if j.studs and j.id not in m.scope.left_alone:
            sets.setdefault(j.studs.id, (j.studs, []))[1].append(j.id)
    rows = [_stud_row(s, joints) for s, joints in sets.values()] + [_nozzle_row(m, n.nozzle) for n in m.numbers.nozzles]
    answers = [j.missing for j in m.numbers.joints if j.joint not in m.scope.left_alone] + [n.missing for n in m.numbers.nozzles]
    lacks = [one for missing in answers for one in missing if "gasket" not in one.number]
    return {
        "kind": "studs",
        "title": w["stud_list"],
        "sub": "",
        "rows": rows,
        "cautions": w["cautions_studs"],
        "missing": lacking(lacks),
        "roles": m.roles("stores", "fitter", "inspector"),
    }


def _stud_row(s: Studs, joints: list[str]) -> dict[str, str]:
    grade = " / ".join(t for t in (s.grade, s.nut) if t) + (f"; {s.lubricant}" if s.lubricant else "; lubricant not given")
    return {
        "set": s.id,
        "joints": ", ".join(joints),
        "count": f"{s.count.si:.0f}" if s.count else "?",
        "size": s.size or "?",
        "length": both("length", s.length.si) if s.length else "measure",
        "grade": grade,
    }


def _nozzle_row(m: Material, id_: str) -> dict[str, str]:
    answer = next(n for n in m.numbers.nozzles if n.nozzle == id_)
    nozzle = next(n for n in m.exchanger.nozzles if n.id == id_)
    grade = (nozzle.stud_grade or "?") + (f"; {nozzle.lubricant}" if nozzle.lubricant else "; lubricant not given")
    return {
        "set": id_,
        "joints": id_,
        "count": f"{answer.count.si:.0f}" if answer.count else "?",
        "size": answer.size or "?",
        "length": "measure",
        "grade": grade,
    }


def blind_sheet(m: Material) -> Sheet:
    """Process blinds, test blinds by side, relief rows."""
    w, n = m.words, m.numbers
    heads = [w["in_by"], w["in_checked"], w["out_by"], w["out_checked"]]
    groups = [{"title": w["process_blinds"], "text": w["process_blinds_text"], "heads": heads, "rows": _blind_rows(n.process_blinds)}]
    for blinds in sorted(n.test_blinds, key=lambda b: b.side):
        title = w[f"test_blinds_{blinds.side}"]
        groups.append({"title": title, "text": w["test_blinds_text"], "heads": heads, "rows": _blind_rows(blinds)})
    lists = (n.process_blinds, *n.test_blinds)
    return {
        "kind": "blinds",
        "title": w["blind_list"],
        "sub": "",
        "groups": groups,
        "missing": lacking([x for b in lists for x in b.missing]),
        "findings": told([f for b in lists for f in b.findings]),
        "roles": m.roles("operator", "lead", "inspector"),
    }


def _blind_rows(blinds: BlindList) -> list[dict[str, str]]:
    rows = []
    for r in blinds.rows:
        thick = f", {both('small length', r.thickness.si)}" if r.thickness else ""
        rated = f", on its tag {both('pressure', r.rated.si, 'down')}" if r.rated else ""
        rows.append(
            {
                "id": r.id,
                "place": f"{r.place}{f', {r.line}' if r.line else ''}",
                "size": f"{r.size}, {r.flange_class}".strip(", "),
                "thickness": f"{r.kind}{thick}{rated}",
            }
        )
    return rows


def small_bore_sheet(m: Material) -> Sheet:
    """Every small opening, out and back; apart from them the weep holes, which nobody opens and nothing may close."""
    got = m.numbers.small_bore
    rows, weeps = ([{"id": r.id, "place": _opening(r), "size": r.size} for r in some] for some in (got.opened, got.weeps))
    return {
        "kind": "small-bore",
        "title": m.words["small_bore_list"],
        "sub": "",
        "rows": rows,
        "weeps": weeps,
        "findings": told(got.findings),
        "missing": lacking(got.missing),
        "roles": m.roles("fitter", "lead", "operator"),
    }


def _opening(r: OpeningRow) -> str:
    place = f": {r.place}" if r.place else ""
    return f"{r.kind}, {r.side} side{place}{f' ({r.use})' if r.use and r.use != WEEP_USE else ''}"


def tubesheet_sheet(m: Material) -> Iterator[Sheet]:
    """The map of the front tubesheet, where the tubes are known; where ours is another tubesheet the plug list, and no map."""
    x, w = m.exchanger, m.words
    layout = layout_of(x)
    if isinstance(layout, Missing) or x.tubes.od is None or not layout.tubes:
        return
    verdict, bent = judged(x), x.letters.rear == "U"
    mapped = layout.numbered and {*x.plugged, *x.to_plug} <= {t.id for t in layout.tubes}
    yield {
        "kind": "tubesheet",
        "title": w["tubesheet_map"],
        "sub": w["map_seen_front"] if mapped else "",
        "drawing": _map(x, layout, verdict) if mapped else Drawing(""),
        "facts": _tube_facts(m, layout),
        "findings": told([*layout.findings, *verdict.findings, *plug_findings(x), *m.numbers.plugging.findings]),
        "after": _after(m),
        "plugs": _plugs(x, layout),
        "plugs_head": w["plugs_now_u" if bent else "plugs_now"],
        "plug_heads": [w[k] for k in (("plugged_leg", "plugged_other") if bent else ("plugged_front", "plugged_rear"))],
        "walls_head": w["walls_worst"],
        "walls": [
            [
                v.hole,
                "?" if v.loss is None else f"{v.loss:.0%}",
                wall_text(v.left) if v.left is not None else "?",
                " ".join(t for t in (v.method, v.said, v.where) if t),
            ]
            for v in verdict.read[:MOST_WALLS]
        ],
        "wall_heads": [w["row_column"], w["wall_loss"], w["wall_left"], w["wall_how"]],
        "rolls": x.tubes.roll_reduction is not None,
        "roll_head": w["roll_head"],
        "roll_text": _roll_text(m),
        "roll_heads": [w["row_column"], w["roll_hole"], w["roll_bore"], w["roll_to"], w["roll_done"], w["who_when"]],
        "roles": m.roles("fitter", "second", "inspector"),
    }


def _map(x: Exchanger, layout: Layout, verdict: WallVerdict) -> Drawing:
    """The front tubesheet, hole by hole."""
    assert x.tubes.od is not None, "asked by the sheet"
    ribs, od = rib_lines(x, "front"), x.tubes.od.to("mm")
    reach = max((t.x**2 + t.y**2) ** 0.5 for t in layout.tubes) + od
    inside = [j.gasket.id_.to("mm") / 2 for j in x.joints if j.ribs_end == "front" and j.gasket and j.gasket.id_]
    pairs = tuple(p for p in u_pairs(layout, x.to_plug) if len(p) == 2) if x.letters.rear == "U" else ()
    view = TubesheetView(x.identity.tag, layout.tubes, od, max([reach, *inside]), () if isinstance(ribs, Missing) else ribs, "front",
                         x.plugged, x.to_plug, pairs=pairs, width=720, **wall_marks(x, verdict))  # fmt: skip
    return Drawing(tubesheet(view), lambda: tubesheet(replace(view, width=PHONE)))


def _tube_facts(m: Material, layout: Layout) -> list[dict[str, str]]:
    """Holes and plugs; by pass only where the map is that of this tubesheet."""
    x, w, passes = m.exchanger, m.words, layout.by_pass
    mapped = [(w["by_pass"], " / ".join(map(str, passes.values())))] if layout.numbered else []
    worst = [(w["worst_pass"], _worst_pass(m, layout))] if layout.numbered else []
    plugs = [(w["plugged_before"], str(len(x.plugged))), (w["to_plug_now"], str(len(x.to_plug)) if x.to_plug else "–")]
    holes = str(len(layout.tubes) if layout.numbered else layout.count)
    return [{"label": label, "value": value} for label, value in ((w["holes"], holes), *mapped, *plugs, *worst)]


def wall_marks(x: Exchanger, v: WallVerdict) -> dict[str, Any]:
    """What the map shows of measured walls; of holes that are plugged or to plug nothing more."""
    marked = {*x.plugged, *x.to_plug}
    thin = tuple(w.hole for w in v.over or () if w.hole not in marked)
    worn = tuple(w.hole for w in v.read if w.loss is not None and w.loss >= WORN_FROM and w.hole not in marked and w.hole not in thin)
    limit = f"the site's limit is {v.limit:.0%} lost" if v.limit else "no limit in the file, none is assumed"
    return {"thin": thin, "worn": worn, "read": len(v.read), "limit": limit}


def _worst_pass(m: Material, layout: Layout) -> str:
    """The pass with the most plugs, how many per cent, and what the site allows."""
    counts, limit = pass_counts(m.exchanger, layout), m.exchanger.tubes.plug_limit
    worst = max(counts, key=lambda c: c.share)
    allowed = f" / {limit.si:.1%}" if limit else f" / {m.words['no_site_limit']}"
    return f"{worst.number}: {worst.share:.1%}{allowed}"


def _roll_text(m: Material) -> str:
    """How a tube end that is rolled gets its bore: the procedure's share, the most its metal takes, how deep."""
    w, t, sheet = m.words, m.exchanger.tubes, m.exchanger.stationary_tubesheet.thickness
    aim, row = t.roll_reduction, limit_of(t.material)
    parts = [w["roll_rule"], w["roll_aim"].format(share=f"{aim.si:.1%}") if aim else w["roll_no_aim"]]
    parts += (
        [w["roll_limit"].format(metal=f"{row.key[0].upper()}{row.key[1:]}", most=f"{row.need('most'):.0%}", source=row.cite.source.title)]
        if row
        else []
    )
    parts += [w["roll_deep"].format(deep=both("small length", sheet.si - 0.003175, "down"))] if sheet and sheet.to("mm") > 3.2 else []
    return " ".join(parts)


def _after(m: Material) -> dict[str, Any]:
    """What plugs cost: the line, each pass, what it rests on; how to get it where the data sheet is not given."""
    a, w = m.numbers.plugging, m.words
    tubes = w["holes_of_u_tubes"] if m.exchanger.letters.rear == "U" else w["tubes_counted"]
    rows = [[str(r.number), f"{r.open} / {r.holes}", r.velocity, r.drop] for r in pass_rows(a)] if a.after else []
    return {
        "line": line(a, tubes),
        "mark": m.mark("D") if a.after else "",
        "rows": rows,
        "rests": NOT_A_VERDICT if a.after else "",
        "missing": lacking(a.missing) if a.tubes and sum(a.tubes.shut) else [],
    }


def _plugs(x: Exchanger, layout: Layout) -> list[str]:
    """Rows of the plug table: the tubes on the list, the two legs of a U-tube together, then blank ones."""
    known = layout.numbered and set(x.to_plug) <= {t.id for t in layout.tubes}
    bent = x.letters.rear == "U" and known
    named = [" + ".join(p) for p in u_pairs(layout, x.to_plug)] if bent else list(x.to_plug)
    return named + [""] * max(0, 4 - len(named))


def tool_sheet(m: Material) -> Sheet:
    """Calibrated tools, and the count of what goes inside."""
    tools = [{"id": t.id, "kind": t.kind, "serial": t.serial, "range": t.range, "until": t.calibrated_until} for t in m.exchanger.tools]
    openings = ["shell in", "shell out", "channel in", "channel out", "rear in", "rear out"]
    return {
        "kind": "tools",
        "title": m.words["tool_list"],
        "sub": "",
        "tools": tools,
        "openings": openings,
        "findings": told(out_of_date(m.exchanger.tools, m.issued.isoformat())),
        "roles": m.roles("fitter", "lead", "inspector"),
    }
