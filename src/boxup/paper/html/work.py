"""Steps, joint cards, nozzles, lifts, tests: what is read with the tool in the hand."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from boxup.paper.html.element import Markup, el, joined
from boxup.paper.html.parts import BOX, Page, blank_table, dashes, drawing, facts, heading, section, table, ticks
from boxup.paper.sheet import Sheet


def steps(s: Sheet, p: Page) -> Iterator[Markup]:
    """One row a step, by phase; a picture where the picture changes."""
    yield el("p", s["text"])
    yield el("ol", [el("li", el("a", _phase(phase), href=f"#p{n}")) for n, phase in enumerate(s["phases"])], cls="jumps screen")
    for n, phase in enumerate(s["phases"]):
        yield heading(phase["title"], id_=f"p{n}")
        for part in phase["parts"]:
            if part["kind"] == "picture":
                yield _picture(part, p)
            else:
                yield el("ol", [_step(r, p) for r in part["rows"]], cls="steps")


def _phase(phase: dict[str, Any]) -> str:
    """The phase and its rows, for the list to jump from: a phase may come twice."""
    numbers = [r["n"] for part in phase["parts"] if part["kind"] == "rows" for r in part["rows"]]
    return f"{phase['title']}: {numbers[0]}–{numbers[-1]}" if len(numbers) > 1 else f"{phase['title']}: {numbers[0]}"


def _step(r: dict[str, Any], p: Page) -> Markup:
    w = p.words
    said = [el("p", el("span", w["hold"], cls="hold") if r["hold"] else "", " " if r["hold"] else "", r["what"], cls="do")]
    if r["after"]:
        said.append(el("p", el("b", r["after"])))
    if r["number"]:
        said.append(el("p", el("b", r["number"], cls="now"), " ", p.mark(r["mark"])))
    first = (el("b", r["first"]), " ") if r["first"] else ()
    because = (w["because"], " ", r["because"], " ") if r["because"] else ()
    said.append(el("p", *first, *because, el("code", r["code"]), cls="why"))
    items = [el("li", BOX, i) for i in r["items"]]
    boxes = el("ul", items, cls="items") if items else BOX
    name = el("div", cls="paper")
    return el(
        "li",
        el("b", r["n"], cls="n"),
        el("div", said),
        el("div", r["who"], cls="who"),
        el("div", boxes),
        name,
        cls="held" if r["hold"] else "",
    )


def _picture(part: dict[str, Any], p: Page) -> Markup:
    pair = [el("div", el("small", p.words[when]), drawing(part[when])) for when in ("before", "after")]
    return el("div", el("p", el("b", part["text"])), el("div", pair, cls="pair"), cls="picture")


def joint(s: Sheet, p: Page) -> Iterator[Markup]:
    """The torque, what it means, the passes, the order of the studs."""
    w = p.words
    torque = [el("p", w["final_torque"]), el("p", p.figure(s["torque"]), " ", p.mark(s["mark"]), cls="moment"), el("p", s["torque_text"])]
    window = s["window"]
    if window:
        torque.append(el("p", el("b", window["line"]), *([el("br"), window["ends"]] if window["ends"] else [])))
    noted = [(f["label"], joined(p.figure(f["value"]), f" {f['note']}" if f["note"] else "")) for f in s["facts"]]
    yield el("div", el("div", torque, facts(noted)), el("div", heading(w["before_first_nut"]), ticks(s["before"])), cls="halves")
    yield p.missing(s["missing"])
    yield p.findings(s["findings"])
    if s["stresses"]:
        rows = [(el("b", r["gasket"]), *(r[k] for k in ("assembly", "operating", "test", "window"))) for r in s["stresses"]]
        yield table([w[k] for k in ("gasket", "at_bolt_up", "in_service", "on_test", "window")], rows)
    if s["passes"] or s["gap_rule"]:
        yield heading(w["passes"], s["seen"])
        gaps = [w[k] for k in ("gap_12", "gap_3", "gap_6", "gap_9", "name_time")]
        rounds = [(el("b", q["n"]), q["how"], joined(el("b", q["set"]), " ", el("small", q["pump"]))) for q in s["passes"]]
        yield table([w["pass"], w["how"], w["set_tool"]], rounds, gaps)
        yield el("p", s["gap_rule"])
        wrench, pump = (": ".join(t for t in (w[k], said) if t) for k, said in (("wrench_no", s["wrench"]), ("pump_pressure", s["pump"])))
        yield p.write(wrench, pump, w["lubricant_tin"])
    yield p.sign(s["roles"])
    if s["circle"]:
        order = [el("p", el("b", f"{o['tools']}:"), " ", o["order"]) for o in s["orders"]]
        yield el("div", heading(w["stud_order"], s["seen"]), drawing(s["circle"], "circle"), order, cls="part new-page")
    if window:
        yield el("div", heading(w["window_page"]), *_window(window, p), cls="part new-page")


def _window(window: dict[str, Any], p: Page) -> Iterator[Markup]:
    """Every limit drawn, the flanges, what is lacking, what it rests on."""
    w = p.words
    yield drawing(window["chart"], "chart")
    if window["flanges"]:
        yield el("p", el("b", w["flange_states"]))
        rows = [(el("b", r["flange"]), *(r[k] for k in ("assembly", "operating", "test"))) for r in window["flanges"]]
        yield table([w[k] for k in ("flange", "bolt_up", "in_service", "on_test")], rows)
    yield p.missing(window["missing"])
    yield from (el("p", line, cls="why") for line in window["basis"])


def nozzles(s: Sheet, p: Page) -> Iterator[Markup]:
    """One row each, the same passes."""
    w = p.words
    rows = [(el("b", r["id"]), r["place"], r["studs"], joined(el("b", r["torque"], cls="now"), " ", p.mark(r["mark"]))) for r in s["rows"]]
    yield table(
        [w[k] for k in ("joint", "where_text", "studs_gasket", "final")], rows, ["30 %", "60 %", "100 %", w["round"], w["name_time"]]
    )
    yield ticks(s["before"])
    yield p.missing(s["missing"])
    yield p.findings(s["findings"])
    yield p.sign(s["roles"])


def _numbers(s: Sheet, p: Page) -> Markup:
    """The first is the number of the moment."""
    return facts([(n["label"], joined(p.figure(n["value"]), " ", p.mark(n["mark"]))) for n in s["numbers"]], "facts numbers")


def _glued(text: str) -> str:
    """A number keeps its unit; the words beside it may go on below."""
    return re.sub(r"(?<=\d) (?=[A-Za-z°%])", "\u00a0", text)


def lift(s: Sheet, p: Page) -> Iterator[Markup]:
    """Drawing, masses, gear; what to look at and when to stop."""
    w = p.words
    yield drawing(s["drawing"])
    if s["numbers"]:
        yield _numbers(s, p)
    if s["rows"]:
        note = [el("small", f" {r['note']}") if r.get("note") else Markup("") for r in s["rows"]]
        rows = [
            (joined(el("b", r["what"]), " ", p.mark(r["mark"]), n), _glued(r["mass"]), _glued(r["planned"]))
            for r, n in zip(s["rows"], note, strict=True)
        ]
        yield table([w[k] for k in ("what", "mass", "plan_for")], rows, [w["weighed"]])
    if s["gear"]:
        gear = [(el("b", g["gear"]), g["lift"], g["on"], g["may"], el("b", g["share"]), g["seen"]) for g in s["gear"]]
        yield table([w[k] for k in ("gear_head", "gear_lift", "gear_on", "gear_may", "gear_share", "gear_seen")], gear)
    if s["crane"]:
        yield section(w["crane_zone"], dashes(s["crane"]))
    looked = (section(w["look_before"], ticks(s["before"])), section(w["stop_signals"], dashes(s["stops"])))
    yield el("div", *looked, cls="halves")
    yield p.missing(s["missing"])
    yield p.findings(s["findings"])
    if s["log"]:
        yield el("div", heading(w["pull_log"]), cls="paper")
        yield blank_table([w[k] for k in ("metres_out", "pull", "metres_out", "pull", "metres_in", "pull", "metres_in", "pull")], 10)
    yield p.sign(s["roles"])


def test(s: Sheet, p: Page) -> Iterator[Markup]:
    """The pressure, what is on, off and open, the stages, what a leak means."""
    w = p.words
    yield drawing(s["drawing"])
    yield p.findings({"level": "stop", "text": g, "source": ""} for g in s["gates"])
    yield _numbers(s, p)
    yield el("p", el("b", s["sub"]))
    yield p.missing(s["missing"])
    yield p.findings(s["findings"])
    left = [section(part["title"], ticks(part["lines"])) for part in s["left"]]
    right = [section(part["title"], dashes(part["lines"])) for part in s["right"]]
    yield el("div", el("div", left), el("div", right), cls="halves")
    yield section(w["before_pump"], ticks(s["before"]))
    yield p.write(*s["boxes"])
    yield heading(w["readings"])
    written = [w[k] for k in ("time", "bar_a", "bar_b", "litres_pumped", "water_c", "metal_c", "who")]
    yield table([w["stage"]], [(x,) for x in s["stages"]], written, "readings")
    yield heading(w["what_we_saw"])
    yield table([w["water_here"], w["means"]], [(x["seen"], x["means"]) for x in s["leaks"]])
    yield heading(w["result"])
    yield ticks([s["dry"], w["leak_found"], w["stopped"]])
    yield p.write(w["leak_where"])
    yield p.sign(s["roles"])
    yield section(w["cautions"], dashes(s["cautions"]))


test.__test__ = False  # type: ignore[attr-defined]  # a sheet, not a test of pytest
