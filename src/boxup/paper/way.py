"""The sheets of a bundle on its way: where to hold it, going in, coming out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from boxup.core.rounding import Way, both, metric, unbroken
from boxup.core.working import Working
from boxup.drawing.way_in import Moment, WayIn, way_in
from boxup.exchanger.bundle_parts import bore
from boxup.exchanger.parts import head
from boxup.job.numbers import WAYS, Numbers
from boxup.lift.answer import LiftAnswer
from boxup.lift.bore import clear_said
from boxup.lift.figures import hook_said, hung_said, pull_said, rests_said, stop_said
from boxup.lift.way import OnItsWay, Stand
from boxup.lift.way_words import stuck
from boxup.paper.sheet import PHONE, Drawing, Material, Sheet
from boxup.paper.value import lacking, told

DRAWN = 640  # px
BORE_WAYS: tuple[tuple[str, Way], ...] = (("D_1", "down"), ("D_2", "near"), ("c", "down"))  # how a measured bore and what is clear round


def way_sheets(m: Material) -> Iterator[Sheet]:
    """Where to hold it with the bore it goes into, then a sheet each way; none where no bundle is pulled, or its mass is not known."""
    if m.numbers.holding is not None:
        yield _hold_sheet(m, m.numbers, m.numbers.holding)
    for one in m.numbers.ways:
        if one.known:
            yield _way_sheet(m, one)


def _hold_sheet(m: Material, n: Numbers, held: LiftAnswer) -> Sheet:
    w, fit = m.words["way_sheet"], n.bore
    limit = held.step("S_b")
    tables = [{
        "title": f"{w['bends']} {metric('stress', limit.si, 'down')}" if limit else w["bends_no_limit"],
        "mark": m.mark("L-hold"),
        "heads": [w[k] for k in ("held", "where", "stress", "share", "ends")],
        "rows": [_held_row(p) for p in held.working.parts if "M_b" in p.steps],
        "write": [],
    }]  # fmt: skip
    if fit is not None:
        tables.append({
            "title": f"{w['bore']} {clear_said(fit)}{_tema(w['tema'], fit.working)}",
            "mark": m.mark("L-bore"),
            "heads": [w[k] for k in ("at", "least", "most", "clear")],
            "rows": [_bore_row(p) for p in fit.working.parts],
            "write": [],
        })  # fmt: skip
        if not fit.working.parts:
            tables[-1] |= {"rows": [[""] * 4 for _ in range(6)]}
    found = [*held.findings, *(fit.findings if fit else [])]
    notes = [f.text for f in held.findings if f.level == "note" and "must be at most" not in f.text]
    return _sheet(m, w["hold"], w["hold_sub"], "", [], tables, [{"title": w["so"], "lines": [*notes, *w["hold_lines"]]}],
                  lacking([*held.missing, *(fit.missing if fit else ())]), told(found), m.roles("rigger", "lead"))  # fmt: skip


def _sheet(m: Material, title: str, sub: str, drawing: Any, facts: list[Any], tables: list[Any], lists: list[Any], missing: list[Any],
           findings: list[Any], roles: list[str]) -> Sheet:  # fmt: skip
    return {"kind": "way", "title": title, "sub": sub, "drawing": drawing, "facts": facts, "tables": tables, "lists": lists,
            "missing": missing, "findings": findings, "decides": m.words["way_sheet"]["decides"], "roles": roles}  # fmt: skip


def _held_row(p: Working) -> list[str]:
    at = " and ".join(at_said(p[s]) for s in ("x_1", "x_2") if s in p.steps)
    share = f"{100 * p['f_b']:.0f} %" if "f_b" in p.steps else ""
    ends = [p[s] for s in ("v_1", "v_2") if s in p.steps]
    return [p.name, at, both("stress", p["s_b"], "up"), share, ends_said(*ends) if ends else ""]


def at_said(place: float) -> str:
    """A place on the bundle, or on the channel in front of it."""
    return both("position", place) if place >= 0 else f"the channel, {both('position', -place)} in front"


def ends_said(front: float, rear: float) -> str:
    """`31 and 26 mm lower`; an end that stands over the line is higher. What is printed as 0 is neither, and goes with the other."""
    one, other = (metric("length", abs(v)).text for v in (front, rear))
    front, rear = (0.0 if v == "0" else x for v, x in ((one, front), (other, rear)))
    if front < 0 == rear or rear < 0 == front:
        front = rear = -1.0
    if front < 0:
        return f"{one} and {other} mm higher" if rear < 0 else f"{one} mm higher, {other} mm lower"
    return f"{one} mm lower, {other} mm higher" if rear < 0 else f"{one} and {other} mm lower"


def _tema(text: str, w: Working) -> str:
    return "; " + text.format(clearance=both("small length", w["c_t"])) if "c_t" in w.steps else ""


def _bore_row(p: Working) -> list[str]:
    return [both("position", p["y"]), *(both("small length", p[s], way) for s, way in BORE_WAYS)]


def _way_sheet(m: Material, one: OnItsWay) -> Sheet:
    w = m.words["way_sheet"]
    going_in = one.way == "insert"
    table = {
        "title": w["table"],
        "mark": w["any_place"].format(code=f"{WAYS[one.way]}-2.5"),
        "heads": [w["in" if going_in else "out"], *(w[k] for k in ("slings", "hook", "rests", "pull_expected", "stop"))],
        "rows": [_row(one, one.stand(metres), w) for metres in one.places()],
        "write": [w["read_hook"], w["read_pull"]],
    }
    keys = ("rear", "channel" if one.by_channel else "front", "tip", "end")
    lines = [w[f"{one.way}_{k}"].format(**_marks(one)) for k in keys]
    lists = [{"title": w["slings_do"], "lines": lines}, {"title": w["stuck"], "lines": [*stuck(one), w["rise"]]}]
    sub = f"{w[f'{one.way}_sub']}; hook: {hung_said(one)}"
    return _sheet(m, w[one.way], sub, _drawing(m, one), [], [table], lists, lacking(one.missing), told(one.findings),
                  m.roles("rigger", "lead"))  # fmt: skip


def _marks(one: OnItsWay) -> dict[str, str]:
    """Metres in, or out, at which slings change and the bundle tips."""
    w, length = one.working, one.working["L"]
    if one.way == "insert":
        return {k: both("position", w[s], "up" if s == "s_t" else "down") for k, s in (("rear", "s_2"), ("front", "s_1"), ("tip", "s_t"))}
    marks = (("rear", "s_2", "up"), ("front", "s_1", "up"), ("tip", "s_t", "down"))
    return {k: both("position", length - w[s], "down" if way == "down" else "up") for k, s, way in marks}


def _row(one: OnItsWay, stand: Stand, w: dict[str, str]) -> list[str]:
    place = stand.metres if one.way == "insert" else stand.working["L"] - stand.metres
    figures = (hook_said(stand), rests_said(stand), pull_said(stand.working), stop_said(stand))
    return [unbroken(both("position", place)), w[f"slings_{stand.stage}"], *(unbroken(f) for f in figures)]


def _drawing(m: Material, one: OnItsWay) -> Drawing:
    given = drawn(m, one)
    return Drawing(way_in(given), lambda: way_in(replace(given, width=PHONE))) if given.moments else Drawing("")


def drawn(m: Material, one: OnItsWay) -> WayIn:
    """What the drawing of one way shows."""
    x, beam, w = m.exchanger, one.beam, m.words["way_sheet"]
    assert beam is not None, "only a known way is drawn"
    hole, plate = bore(x), x.baffles.outside_diameter
    shell = hole.si / 2 if hole else 0.42
    body = plate.si / 2 if plate else 0.95 * shell
    sheets = [q.si / 2 if q else body for q in (x.stationary_tubesheet.outside_diameter, x.floating_tubesheet.outside_diameter)]
    rider = head(x, "channel").length if beam.rider is not None and beam.rider < 0 else None
    moments = [_moment(one, metres, w) for metres in _drawn_at(one)]
    return WayIn(
        x.identity.tag, one.working.name, beam.length, beam.centre, beam.baffles, tuple(moments), sheets[0], sheets[1], body, shell,
        rider.si if rider else 0.0, 0.12 if beam.rider is not None and beam.rider > 0 else 0.0, beam.bends, DRAWN,
    )  # fmt: skip


def _drawn_at(one: OnItsWay) -> list[float]:
    """Just before the rear sling is off, just before the front one is (on a channel: half way home), and after: in the order of the way."""
    w = one.working
    last = (w["s_2"] + one.home) / 2 if one.by_channel else max(w["s_1"] - 1e-6, 0.2)
    at = [max(w["s_2"], 0.1), last, min(one.home, w["s_1"] + 0.5)]
    return at if one.way == "insert" else at[::-1]


def _moment(one: OnItsWay, metres: float, w: dict[str, str]) -> Moment:
    stand = one.stand(metres)
    place = both("position", metres if one.way == "insert" else one.working["L"] - metres)
    holds = ((stand.working["x_h"], f"{w['hook_short']} {hook_said(stand).partition(' (')[0]}"),)
    bears = f"{w['bears']} {rests_said(stand).partition(' (')[0]}"
    return Moment(metres, w[f"drawn_{one.way}_{stand.stage}"].format(place=place), holds, bears)
