"""Gaskets, studs, blinds, small bore, tools, tubesheet."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from boxup.paper.html.element import Markup, el
from boxup.paper.html.parts import Page, blank_table, dashes, drawing, facts, heading, table, ticks
from boxup.paper.sheet import Sheet


def gaskets(s: Sheet, p: Page) -> Iterator[Markup]:
    """The list, with room for what was measured."""
    w = p.words
    yield el("p", w["gasket_rule"])
    heads = [w[k] for k in ("item", "joint", "follows", "kind", "size_ribs", "ordered")]
    rows = [
        (el("b", r["item"]), el("b", r["joint"]), r["follows"], r["kind"], f"{r['size']}; {r['ribs']}", r["ordered"]) for r in s["rows"]
    ]
    yield table(heads, rows, [w[k] for k in ("m_out", "m_in", "m_thick", "m_rib", "fitted_by")])
    yield p.missing(s["missing"])
    yield p.findings(s["findings"])
    yield p.sign(s["roles"])


def gasket_drawings(s: Sheet, p: Page) -> Iterator[Markup]:
    """One drawing each, front to rear."""
    yield el("div", [el("div", drawing(g["svg"]), el("p", g["text"])) for g in s["drawings"]], cls="gallery")


def studs(s: Sheet, p: Page) -> Iterator[Markup]:
    """Every set, and the nozzles'."""
    w = p.words
    heads = [w[k] for k in ("set", "joints", "count", "size", "length", "grade_lubricant")]
    rows = [(el("b", r["set"]), el("b", r["joints"]), *(r[k] for k in ("count", "size", "length", "grade"))) for r in s["rows"]]
    yield table(heads, rows, [w["counted"], w["nut_runs"], w["who_when"]])
    yield dashes(s["cautions"])
    yield p.missing(s["missing"])
    yield p.sign(s["roles"])


def blinds(s: Sheet, p: Page) -> Iterator[Markup]:
    """Process blinds, then test blinds by side, each with its count."""
    w = p.words
    heads = [w[k] for k in ("blind_no", "where_text", "size", "thickness")]
    for group in s["groups"]:
        rows = [(el("b", r["id"]), r["place"], r["size"], r["thickness"]) for r in group["rows"]]
        inside = (el("p", group["text"]), table(heads, rows, group["heads"]), p.count(w["count_in"], w["count_out"], must=len(rows)))
        yield el("div", heading(group["title"]), *inside, cls="part")
    yield p.findings(s["findings"])
    yield p.missing(s["missing"])
    yield p.sign(s["roles"])


def small_bore(s: Sheet, p: Page) -> Iterator[Markup]:
    """Every small opening, out and back."""
    w = p.words
    rows = [(el("b", r["id"]), r["place"], r["size"]) for r in s["rows"]]
    yield table([w["opening"], w["where_text"], w["size"]], rows, [w[k] for k in ("open_out", "test_closed", "back_in", "who_when")])
    yield p.count(w["count_out"], w["count_in"], must=len(rows))
    if s["weeps"]:
        yield heading(w["weep_holes"])
        weeps = [(el("b", r["id"]), r["place"], r["size"]) for r in s["weeps"]]
        yield table([w["opening"], w["where_text"], w["size"]], weeps, [w["weep_seen"]])
    yield p.missing(s["missing"])
    yield p.findings(s["findings"])
    yield p.sign(s["roles"])


def tools(s: Sheet, p: Page) -> Iterator[Markup]:
    """Measuring tools, and the count of what goes inside."""
    w = p.words
    yield heading(w["measuring_tools"])
    yield p.findings(s["findings"])
    rows = [(el("b", r["id"]), r["kind"], r["serial"], r["range"], r["until"]) for r in s["tools"]]
    yield table([w[k] for k in ("tool", "kind", "serial", "range", "good_until")], rows, [w["seen"]])
    yield heading(w["counted_things"])
    yield blank_table([w["thing"], *s["openings"]], 8)
    yield el("p", w["tool_rule"])
    yield p.sign(s["roles"])


def tubesheet(s: Sheet, p: Page) -> Iterator[Markup]:
    """The map, and the plugs of this time."""
    w = p.words
    yield drawing(s["drawing"])
    yield facts([(f["label"], el("b", f["value"])) for f in s["facts"]])
    yield p.findings(s["findings"])
    if s["walls"]:
        yield heading(s["walls_head"])
        yield table(s["wall_heads"], [(el("b", hole), *rest) for hole, *rest in s["walls"]])
    yield from _after(s["after"], p)
    yield heading(s["plugs_head"])
    written = [w["pierced"], *s["plug_heads"], w["who_when"]]
    named = [(el("b", plug),) for plug in s["plugs"] if plug]
    if named:
        yield table([w["row_column"]], named, written)
    yield blank_table([w["row_column"], *written], len(s["plugs"]) - len(named))
    yield p.sign(s["roles"])
    if s["rolls"]:
        yield heading(s["roll_head"])
        yield el("p", s["roll_text"])
        yield blank_table(s["roll_heads"], 3)


def way_up(s: Sheet, p: Page) -> Iterator[Markup]:
    """The right pose beside the wrong ones; what to look at; the turns; the parts with ribs."""
    yield drawing(s["drawing"])
    yield p.findings(s["findings"])
    if s["right"]:
        yield heading(s["right_head"])
        yield ticks(s["right"])
    if s["ask"]:
        yield heading(s["ask_head"])
        yield ticks(s["ask"])
    if s["turns"]:
        yield heading(s["turns_head"])
        yield table(s["heads"], [(el("b", t["turn"]), t["stops"], t["does"]) for t in s["turns"]])
    yield el("p", s["end_for_end"])
    if s["parts"]:
        yield heading(s["parts_head"])
        yield table(s["part_heads"], [(el("b", t["what"]), t["half"], t["over"]) for t in s["parts"]])
    yield p.missing(s["missing"])
    yield el("p", el("b", s["decides"]))
    yield p.sign(s["roles"])


def _after(a: dict[str, Any], p: Page) -> Iterator[Markup]:
    """What plugs cost; nothing without a tube map."""
    w = p.words
    if not a["line"]:
        return
    yield heading(w["after_plugging"])
    yield el("p", f"{a['line']}. ", p.mark(a["mark"]))
    if a["rows"]:
        yield table([w[k] for k in ("tube_pass", "open_of_holes", "velocity", "pressure_drop")], [tuple(r) for r in a["rows"]])
    if a["rests"]:
        yield el("p", el("i", a["rests"]))
    yield p.missing(a["missing"])
