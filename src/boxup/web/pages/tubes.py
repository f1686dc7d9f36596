"""The tubesheet: its map from either end, its counts, every tube somebody spoke of; a tube or a row of it on the same page."""

from __future__ import annotations

import re
from collections.abc import Iterator

from boxup.bundle.plugging_figures import percent
from boxup.bundle.walls import pass_counts, plug_findings
from boxup.core.finding import Missing
from boxup.exchanger.layout import Layout, numbered_layout
from boxup.paper.html.element import Inside, Markup, el, joined
from boxup.paper.html.parts import table
from boxup.web.ask import Ask, View
from boxup.web.bits import entered, finding
from boxup.web.form import hidden, labelled
from boxup.web.pages.plugging import plugging_part
from boxup.web.pages.tube import said_of_tubes, tube_part
from boxup.web.pages.tube_map import end_of, map_of, row_of, rows_of
from boxup.web.pages.tube_tap import beside_part, dense_part, tap_of
from boxup.web.pages.tube_walls import walls_part
from boxup.web.pages.tube_words import BOTH, bent, open_leg, stands, tube_of

TYPED = re.compile(r"\s*([0-9]{1,4})(?:\s*[-–./, ]\s*([0-9]{1,4}))?\s*")


def page(ask: Ask) -> View:
    """The tube or the row that is asked for first, then the map, the counts, the tubes spoken of."""
    layout = numbered_layout(ask.live.exchanger)
    if isinstance(layout, Missing):
        return View(ask.w("tubes.title"), joined(entered(ask), *_without_map(ask, layout)))
    asked, status = _asked(ask, layout)
    body = (
        entered(ask),
        asked,
        _find(ask),
        _now(ask),
        *_map(ask, layout, bool(asked)),
        _counts(ask, layout),
        walls_part(ask),
        plugging_part(ask),
        _said(ask),
    )
    return View(ask.w("tubes.title"), joined(*body), status)


def _asked(ask: Ask, layout: Layout) -> tuple[Markup, int]:
    """The part of the page that was asked for, and whether it is there."""
    if at := ask.query.get("at", ""):
        return _tapped(ask, layout, at)
    text = ask.query.get("tube") or ask.query.get("row") or ""
    typed = TYPED.fullmatch(text)
    if not text.strip():
        return Markup(""), 200
    if typed and typed[2] is None:
        row = int(typed[1])
        if any(t.row == row for t in layout.tubes):
            return row_of(ask, layout, row), 200
    try:
        hole = layout.tube(f"{int(typed[1])}-{int(typed[2] or 1)}" if typed else text.strip()[:20])
    except KeyError as bad:
        return el("p", ask.w("tubes.no_such", text=ask.w.told(bad.args[0])), cls="look", role="alert"), 404
    return tube_part(ask, hole.id, hole), 200


def _tapped(ask: Ask, layout: Layout, at: str) -> tuple[Markup, int]:
    """The hole under a finger; its row where too many are."""
    od = ask.live.exchanger.tubes.od
    tap = tap_of(layout, at, od.to("mm") if od else 0.0)
    if tap is None or not tap.holes:
        return el("p", ask.w("tubes.no_hole"), cls="look", role="alert"), 404 if tap is None else 200
    if tap.dense:
        return dense_part(ask, layout, tap), 200
    return joined(beside_part(ask, tap), tube_part(ask, tap.holes[0].id, tap.holes[0])), 200


def _without_map(ask: Ask, lacks: Missing) -> Iterator[Markup]:
    """Tubes can be spoken of without a map."""
    yield el("p", el("b", f"{ask.w('tubes.no_map')}:"), " ", ask.w.told(lacks.do), cls="missing")
    typed = TYPED.fullmatch(ask.query.get("tube", ""))
    if typed and typed[2]:
        yield tube_part(ask, f"{int(typed[1])}-{int(typed[2])}", None)
    yield from (_find(ask), _now(ask), _said(ask))


def _find(ask: Ask) -> Markup:
    """A tube or a row, typed; the point of the pad stands for the dash."""
    typed = el("input", name="tube", autocomplete="off", inputmode="text", data_pad="yes", required="required")
    button = el("button", ask.w("tubes.find_button"), type="submit")
    inside = (labelled(ask.w("tubes.find"), typed), hidden("end", end_of(ask)), button)
    return el("form", *inside, action=ask.link("tubes"), method="get", cls="entry find")


def _now(ask: Ask) -> Markup:
    """What is not finished: leaks, tubes plugged at one end, tubes to be plugged that are shut up yet."""
    w, found = ask.w, ask.live.state.tubes.values()
    leaking = [t.id for t in found if t.leaking]
    one_end = [w(f"tubes.end_{next(iter(t.plugged))}", tube=t.id) for t in found if t.plugged and not t.plugged >= BOTH]
    one_end += [w("tubes.leg_open", tube=t.id, other=other) for t in found if (other := open_leg(ask, t))]
    closed = [id_ for id_ in ask.live.exchanger.to_plug if not (t := tube_of(ask, id_)).plugged and not t.pierced]
    said = (("leaking_now", leaking), ("one_end", one_end), ("pierced_not", closed))
    return joined(el("p", w(f"tubes.{key}", tubes=", ".join(tubes)), cls="look") for key, tubes in said if tubes)


def _map(ask: Ask, layout: Layout, asked: bool) -> Iterator[Markup]:
    w, end = ask.w, end_of(ask)
    if asked:
        yield el("p", el("a", w("tubes.back"), href=ask.link("tubes", end=end)))
    yield el("h2", w(f"tubes.seen_{end}"))
    if bent(ask):
        yield el("p", w("tubes.u_tubes"), cls="look")
    else:
        other = "rear" if end == "front" else "front"
        kept = {name: ask.query[name] for name in ("tube", "row", "at") if ask.query.get(name)}
        yield el("p", el("a", w(f"tubes.from_{other}"), href=ask.link("tubes", **kept, end=other), cls="button second"))
    yield joined(el("p", ask.w.told(f.text), cls="look") for f in layout.findings if f.level != "note")
    yield el("p", w("tubes.tap"), hidden="hidden", data_tap="yes")
    yield rows_of(ask, layout)
    leaking = sorted(t.id for t in ask.live.state.tubes.values() if t.leaking)
    yield map_of(ask, layout, w("tubes.leaking", tubes=", ".join(leaking)) if leaking else "")


def _counts(ask: Ask, layout: Layout) -> Markup:
    """By pass, as on the sheet of paper; the worst pass beside the site's limit."""
    w, x = ask.w, ask.live.exchanger
    counts = pass_counts(x, layout)
    rows: list[list[Inside]] = [
        [el("b", str(c.number)), str(c.holes), str(c.plugged), str(c.listed), str(c.holes - c.plugged - c.listed), percent(c.share)]
        for c in counts
    ]
    sums = [sum(c.holes for c in counts), sum(c.plugged for c in counts), sum(c.listed for c in counts)]
    out = sums[1] + sums[2]
    rows.append([el("b", w("tubes.all")), *map(str, sums), str(sums[0] - out), percent(out / sums[0])])
    heads = [w(f"tubes.{k}") for k in ("pass", "holes", "plugged", "listed", "open", "share")]
    worst = max(counts, key=lambda c: c.share)
    limit = x.tubes.plug_limit
    said = w("tubes.limit", number=worst.number, share=percent(worst.share), limit=percent(limit.si)) if limit else w("tubes.no_limit")
    told = [finding(ask, f) for f in plug_findings(x)]
    return el("section", el("h2", w("tubes.counts")), table(heads, rows, cls="flow"), el("p", said), told)


def _said(ask: Ask) -> Markup:
    """Every tube that is plugged, or that somebody spoke of on this job."""
    w, said = ask.w, said_of_tubes(ask)
    ids = sorted({*said, *ask.live.exchanger.plugged, *ask.live.exchanger.to_plug}, key=lambda i: [int(n) for n in re.findall(r"\d+", i)])
    rows = [(_link(ask, id_), stands(ask, id_), _entries(ask, [(e.number, e.by) for e in said.get(id_, ())])) for id_ in ids]
    body = table([w("tubes.tube"), w("tubes.stands"), w("tubes.said")], rows, cls="flow") if rows else el("p", w("tubes.nothing_said"))
    return el("section", el("h2", w("tubes.table")), body)


def _link(ask: Ask, id_: str) -> Markup:
    return el("a", id_, href=ask.link("tubes", tube=id_, end=end_of(ask)))


def _entries(ask: Ask, found: list[tuple[int, str]]) -> Markup:
    return joined(joined(el("span", el("a", str(n), href=ask.link("record", entry=str(n))), by, cls="one-entry"), " ") for n, by in found)
