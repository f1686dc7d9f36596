"""The bundle at a place on its way: the form that asks, what is to be expected there, where the slings are, what was read near it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from boxup.core.quantity import BadValue, quantity
from boxup.core.rounding import both
from boxup.lift.way import OnItsWay
from boxup.paper.html.element import Inside, Markup, el, joined
from boxup.paper.html.parts import facts
from boxup.record.event import Event
from boxup.web.ask import Ask
from boxup.web.form import labelled
from boxup.web.pages.lift_way import below, place_rows, way_of_place

PART = "at-a-place"
NEAR = 0.5  # m: a reading that is shown with a place
_BARE = re.compile(r"\s*[0-9]+([.,][0-9]*)?\s*")


@dataclass(frozen=True, slots=True)
class Place:
    """Metres in the shell, of the tubes' length."""

    metres: float
    length: float


def place_part(ask: Ask, readings: list[Event], way: str) -> Markup:
    """The form, and the part that answers it. Asked for are metres in when it goes in, metres out when it comes out, or as was asked."""
    w = ask.w
    name = next((n for n in ("in", "out") if ask.query.get(n)), "in" if way == "insert" else "out")
    other = "out" if name == "in" else "in"
    typed = el(
        "input", name=name, value=ask.query.get(name, ""), autocomplete="off", inputmode="decimal", required="required", data_pad="yes"
    )
    units = [el("option", u, value=u, selected="selected" if ask.query.get("unit") == u else "") for u in ("m", "ft")]
    pick = el("select", units, name="unit", aria_label=w("form.unit"))
    turn = el("p", el("a", w(f"lift.ask_{other}"), href=ask.link("lift", **{other: _turned(ask)}) + f"#{PART}"), cls="turn")
    inside = (el("div", labelled(w(f"lift.{name}"), typed), pick, cls="quantity"), el("button", w("lift.show"), type="submit"))
    form = el(
        "form", *inside, action=ask.link("lift"), method="get", cls="entry", data_lift=f"{PART} moment", data_pad_words=w("form.pad")
    )  # fmt: skip
    return el("section", el("h2", w("lift.at")), form, turn, el("div", _answer(ask, readings, way), id=PART, aria_live="polite"))


def _length(ask: Ask) -> float | None:
    length = ask.live.exchanger.tubes.length
    return length.to("m") if length else None


def _turned(ask: Ask) -> str:
    """The place that is asked for, told the other way round, in metres."""
    found = _asked(ask)
    if not isinstance(found, Place):
        return "0"
    metres = found.length - found.metres if ask.query.get("in") else found.metres
    return f"{metres:.2f}"


def _asked(ask: Ask) -> Place | str | None:
    """The place, or a sentence that says why it is none; None where nothing is asked."""
    name = next((n for n in ("in", "out") if ask.query.get(n, "").strip()), "")
    length = _length(ask)
    if not name or length is None:
        return None
    text, unit = ask.query[name], "ft" if ask.query.get("unit") == "ft" else "m"
    try:
        asked = quantity(f"{text} {unit}" if _BARE.fullmatch(text) else text, "m").to("m")
    except BadValue as bad:
        return ask.w.told(str(bad))
    if not 0 <= asked <= length:
        return ask.w("lift.outside", place=f"{asked:.2f} m", length=f"{length:.2f} m")
    return Place(asked if name == "in" else length - asked, length)


def typed_place(ask: Ask) -> float | None:
    """Metres in of the place that is asked for; None where none is, or what was typed is none."""
    found = _asked(ask)
    return found.metres if isinstance(found, Place) else None


def _answer(ask: Ask, readings: list[Event], way: str) -> Markup:
    found = _asked(ask)
    if found is None:
        return Markup("")
    if isinstance(found, str):
        return el("p", found, cls="look", role="alert")
    w, place = ask.w, found
    where = w("lift.place", place=_m(place.metres), rest=_m(place.length - place.metres), length=_m(place.length))
    one = way_of_place(ask, way)
    if one is None:
        expected: list[tuple[Inside, Inside]] = [(w("lift.pull_here"), w("lift.pull_partly")), (w("lift.hook"), w("lift.not_worked"))]
    else:
        expected = list(place_rows(ask, one, place.metres)) if place.metres else [(w("lift.hook"), w("lift.all_hangs"))]
    head = (w("lift.place_name"), joined(el("b", where), " ", w(f"lift.way_{way}")))
    rows = [head, *expected, *_slings(ask, place, one), (w("lift.near"), _near(ask, place, readings))]
    return joined(facts(rows), below(ask, one, place.metres) if one else "")


def _m(metres: float) -> str:
    return both("position", metres)


def _slings(ask: Ask, place: Place, one: OnItsWay | None) -> Iterator[tuple[str, Markup]]:
    """Tube still out, less the sling's place from the front face: what is left before it comes to the flange; where it has to be off."""
    w, b = ask.w, ask.live.exchanger.bundle
    picks = (("front", b.sling_points_m), ("rear", b.sling_points_far_m))
    if not all(at for _, at in picks):
        yield w("lift.no_slings"), Markup(w("lift.no_slings_text"))
    for name, at in picks:
        if at is not None and at.si < 0:
            yield w(f"lift.sling_{name}", at=w("lift.sling_in_front", at=_m(-at.si))), el("b", w("lift.sling_channel"))
        elif at is not None:
            limit = place.length - at.to("m")
            free = limit - place.metres
            off = one.working["s_1" if name == "front" else "s_2"] if one else limit
            metres = both("position", off, "down")
            said = (
                w("lift.sling_free", free=both("position", free, "down"), metres=metres) if free > 0 else w("lift.sling_off", metres=metres)
            )
            yield w(f"lift.sling_{name}", at=_m(at.to("m"))), el("b", said)


def _near(ask: Ask, place: Place, readings: list[Event]) -> Markup:
    mine = sorted((e for e in readings if abs(e.payload["position_m"] - place.metres) <= NEAR), key=lambda e: e.happened_at, reverse=True)
    if not mine:
        return joined(ask.w("lift.none_near", within=_m(NEAR)))
    return el("ul", [el("li", _reading(ask, e)) for e in mine])


def _reading(ask: Ask, e: Event) -> str:
    way = ask.w(f"lift.way_{e.payload['way']}")
    force, at = both("load", e.payload["force_n"]), f"{ask.w.at(e.happened_at)} {e.by}"
    return ask.w("lift.reading", way=way, force=force, place=_m(e.payload["position_m"]), at=at)
