"""Cover, what to read first, where it stands, handover, workings."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from boxup.paper.html.element import Markup, el, joined
from boxup.paper.html.parts import Page, dashes, drawing, facts, heading, section, table, ticks
from boxup.paper.sheet import Sheet


def cover(s: Sheet, p: Page) -> Iterator[Markup]:
    """What it is, what it can do to people, how heavy, how hard pressed, who decides."""
    w = p.words
    yield drawing(s["drawing"])
    shown = [(f["label"], joined(p.figure(f["value"]) if f["value"] else "—", " ", p.mark(f["note"]))) for f in s["facts"]]
    people = [(f"{one['role']}:", el("b", one["name"]) if one["name"] else el("span", cls="line")) for one in s["people"]]
    hazards = [el("p", el("b", f"{h['side']}:"), " ", h["text"]) for h in s["hazards"]]
    left = el("div", section(w["this_exchanger"], facts(shown)), section(w["people"], facts(people, "facts people")))
    right = el("div", section(w["hazards"], hazards), section(w["before_anything"], dashes(c["text"] for c in s["cautions"])))
    yield el("div", left, right, cls="halves")
    yield p.findings(s["findings"])
    if s["more"]:
        yield el("p", el("b", s["more"]))
    yield el("p", w["who_decides"], cls="decides")


def contents(s: Sheet, p: Page) -> Iterator[Markup]:
    """Stops and warnings, what must be found out, what was assumed, what is from memory; on paper the sheets too."""
    w = p.words
    yield el("div", heading(w["sheets"]), ticks(f"{n} {title}" for n, title in enumerate(p.titles, 1)), cls="paper sheets")
    if s["findings"]:
        yield section(w["look_first"], p.findings(s["findings"]))
    if s["missing"]:
        yield section(w["to_find_out"], p.missing(s["missing"]))
    if s["assumptions"]:
        yield section(w["assumed"], dashes(s["assumptions"]))
    if s["confirm"]:
        yield section(w["to_confirm"], el("p", w["to_confirm_text"]), ticks(s["confirm"]))


def stand(s: Sheet, p: Page) -> Iterator[Markup]:
    """Where the job stands, by its record."""
    yield el("p", s["text"], " ", el("b", p.words["who_decides"]))
    yield drawing(s["drawing"])
    yield heading(s["joints_title"])
    yield table(s["joint_heads"], [(el("b", r["joint"]), el("b", r["word"]), r["items"], r["why"]) for r in s["joints"]])
    yield heading(s["proofs_title"])
    yield table(s["proof_heads"], [(el("b", r["what"]), r["item"], r["by"], _unproved(r["open"], p)) for r in s["proofs"]])
    for one in s["lists"]:
        yield section(one["title"], dashes(one["lines"]))
    if s["findings"]:
        yield section(s["findings_title"], p.findings(s["findings"]))
    yield p.sign(s["roles"])


def _unproved(why: str, p: Page) -> Markup:
    return joined(el("b", f"{p.words['unproved']}:"), " ", why) if why else Markup("")


def handover(s: Sheet, p: Page) -> Iterator[Markup]:
    """Rows that are signed before operations take it back."""
    yield el("p", s["text"], " ", el("b", p.words["who_decides"]))
    for group in s["groups"]:
        yield section(group["title"], table([p.words["proof"]], [(r,) for r in group["rows"]], group["heads"]))
    yield heading(p.words["as_left"])
    yield p.write(*s["lines"])
    yield p.sign(s["roles"])


def certificate(s: Sheet, p: Page) -> Iterator[Markup]:
    """What is known of the test; what is not is a box to write in."""
    yield el("p", el("b", s["draft"]))
    for g in s["groups"]:
        yield section(g["title"], facts([(r["label"], r["value"] or "—") for r in g["rows"]]))
    yield from (el("p", el("b", f"{part['title']}: "), part["text"]) for part in s["state"])
    yield section(s["readings_title"], table(s["heads"], s["readings"]) if s["readings"] else el("p", s["log_fixed"]))
    yield section(s["hold_title"], dashes(s["hold"]), el("p", el("b", s["look"])))
    yield section(s["leaks_title"], dashes(s["leaks"]))
    if s["joints"]:
        yield section(s["joints_title"], table(s["joint_heads"][:4], [r[:4] for r in s["joints"]], s["joint_heads"][4:]))
    yield ticks(s["after"])
    yield p.sign(s["roles"])


def workings(s: Sheet, p: Page) -> Iterator[Markup]:
    """Each formula on three lines; the middle one, worked by anybody, gives the last. Folded on the screen, open on paper."""
    yield el("p", p.words["workings_text"])
    yield el("div", [_working(w, p) for w in s["workings"]], cls="columns")


def _working(w: dict[str, Any], p: Page) -> Markup:
    parts = [
        joined(heading(part["title"], part["source"], level=4) if part["title"] else "", [_formula(st, p) for st in part["steps"]])
        for part in w["parts"]
    ]
    head = el("summary", el("h3", f"{w['code']}  {w['title']}"))
    return el("details", head, el("p", el("small", w["source"])), p.findings(w["findings"]), parts, id=p.workings[w["code"]])


def formulas(steps: Iterable[dict[str, str]], p: Page) -> Iterator[Markup]:
    """Steps, as `step_shown` gives them, one under the other."""
    return (_formula(st, p) for st in steps)


def _formula(st: dict[str, str], p: Page) -> Markup:
    lines = [line for line in (st["symbols"], st["numbers"]) if line]
    because = f"; {p.words['because']} {st['because']}" if st["because"] else ""
    first, *rest = [*(joined("= ", line) for line in lines), joined("= ", el("b", st["result"]))]
    source = el("i", f"[{st['source']}]") if st["source"] else Markup("")
    said = el("small", f"{st['label']}{because} ", source)
    return el("div", el("p", _symbol(st["symbol"]), " ", first), [el("p", line) for line in rest], el("p", said), cls="formula")


def _symbol(symbol: str) -> Markup:
    """What stands after the first `_` is set lower, as on paper."""
    base, _, low = symbol.partition("_")
    return joined(el("i", base), el("sub", low.replace("_", " ")) if low else "")
