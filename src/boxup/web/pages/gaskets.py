"""The gasket set: each gasket as drawn and listed, its items by their numbers, where each is now, and the forms that move them."""

from __future__ import annotations

from collections.abc import Iterator

from boxup.core.finding import Finding
from boxup.exchanger.model import Exchanger, Joint
from boxup.job.fold.gaskets import TOLERANCE, against_list, used
from boxup.job.state import GasketItem
from boxup.paper.html.element import Inside, Markup, el, joined
from boxup.paper.html.parts import drawing, facts, table
from boxup.paper.lists import gasket_sheets
from boxup.web.ask import Ask, View
from boxup.web.bits import entered, stop
from boxup.web.form import choice, entry_form, labelled, text_box

RECEIVED, FITTED, REMOVED = "gasket.received", "gasket.fitted", "gasket.removed"
MEASURES = ("od", "id", "thickness")


def page(ask: Ask) -> View:
    """A part a gasket, front to rear; then what the nozzles take."""
    w, x = ask.w, ask.live.exchanger
    mine = [j for j in x.joints if j.gasket and j.id not in ask.live.state.scope.left_alone]
    listed, drawn = _listed(ask)
    parts = [_gasket(ask, j, row, picture) for j, row, picture in zip(mine, listed, drawn, strict=True)]
    none = el("p", w("gaskets.no_gasket")) if not mine else Markup("")
    said = (entered(ask), el("p", w("gaskets.text")), _jumps(mine), _wrong(ask), none)
    return View(w("frame.gaskets"), joined(*said, parts, _strays(ask, mine), _nozzles(ask, x)))


def _jumps(mine: list[Joint]) -> Markup:
    rows = [el("li", el("a", f"{j.id}: {j.gasket.id}", href=f"#{j.id}")) for j in mine if j.gasket]
    return el("ul", rows, cls="jumps") if rows else Markup("")


def _listed(ask: Ask) -> tuple[list[dict[str, str]], list[Markup]]:
    """Rows of the list as on paper, and the drawings, in one order."""
    rows: list[dict[str, str]] = []
    drawn: list[Markup] = []
    for sheet in gasket_sheets(ask.live.material):
        if sheet["kind"] == "gaskets":
            rows = sheet["rows"]
        else:
            drawn = [drawing(one["svg"]) for one in sheet["drawings"]]
    return rows, drawn


def _wrong(ask: Ask) -> Markup:
    """What is refused, before everything else."""
    refused = ask.live.state.refused
    return stop(*(f"{of}: {ask.w.told(why)}" for of, why in refused.items())) if refused else Markup("")


def _gasket(ask: Ask, j: Joint, row: dict[str, str], picture: Markup) -> Markup:
    w = ask.w
    title = el("h2", f"{j.id} {row['item']}: {w.told(j.between)}")
    there = el("p", el("a", w("gaskets.to_joint", joint=j.id), href=ask.link("joint", j.id)), cls="late")
    keys = (("listed", "kind"), ("size", "size"), ("ribs", "ribs"), ("follows", "follows"), ("ordered", "ordered"))
    given = facts([(w(f"gaskets.{name}"), row[key]) for name, key in keys])
    items = [i for i in ask.live.state.gaskets.values() if _is_for(i, j)]
    left = el("div", picture)
    right = el("div", given, _items(ask, j, items), _now(ask, j, items), _receive(ask, j), there)
    return el("section", title, el("div", left, right, cls="halves"), cls="gasket", id=j.id)


def _is_for(item: GasketItem, j: Joint) -> bool:
    """Received as this gasket; one that nobody received counts where it was fitted."""
    listed = j.gasket.id if j.gasket else ""
    return item.gasket == listed if item.gasket else item.joint == j.id


def _items(ask: Ask, j: Joint, items: list[GasketItem]) -> Markup:
    """Every item by its number: as measured, and where it is."""
    w = ask.w
    if not items:
        return el("p", w("gaskets.none"))
    heads = [w(f"gaskets.{k}") for k in ("item", "measured", "where")]
    return table(heads, [[el("b", i.item), [_measured(ask, i), _off(ask, i, j)], _where(ask, i)] for i in items])


def _measured(ask: Ask, item: GasketItem) -> str:
    w = ask.w
    told = [
        w("gaskets.mm_of", name=w(f"gaskets.{k}"), value=f"{item.measured[f'{k}_mm']:g}") for k in MEASURES if f"{k}_mm" in item.measured
    ]
    return ", ".join([*([item.kind] if item.kind else []), *told]) or w("gaskets.not_measured")


def _off(ask: Ask, item: GasketItem, j: Joint) -> Markup:
    """What does not measure as listed, in so many words."""
    w = ask.w
    told = [
        w("gaskets.not_as_listed", name=w(f"gaskets.{name}"), mm=f"{is_:g}", listed=f"{listed:g}")
        for name, is_, listed in not_as_listed(item, j)
    ]
    told += [w.told(one.text) for one in _beside_sizes(ask, item)]
    return joined(*(joined(" ", el("b", text)) for text in told))


def _beside_sizes(ask: Ask, item: GasketItem) -> list[Finding]:
    """Ribs, kind, recess and bore: the sizes of the list are told in words of their own."""
    return [one for one in against_list(ask.live.exchanger, item) if "the list says" not in one.text]


def _fits(ask: Ask, item: GasketItem) -> bool:
    return not any(one.level == "stop" for one in against_list(ask.live.exchanger, item))


def not_as_listed(item: GasketItem, j: Joint) -> list[tuple[str, float, float]]:
    """Sizes that are not those of the list, by more than a maker holds: which, mm measured, mm listed."""
    g = j.gasket
    sizes = {"od_mm": g.od, "id_mm": g.id_, "thickness_mm": g.thickness} if g else {}
    return [
        (key.removesuffix("_mm"), item.measured[key], size.to("mm"))
        for key, size in sizes.items()
        if size is not None and key in item.measured and abs(item.measured[key] - size.to("mm")) > TOLERANCE[key]
    ]


def _where(ask: Ask, item: GasketItem) -> Inside:
    w, state = ask.w, ask.live.state
    if item.where.startswith("out of"):
        return el("b", w("gaskets.used", where=w("gaskets.out_of", joint=item.joint)))
    if item.where == "in store":
        return el("b", w("gaskets.used", where=w("gaskets.loaded"))) if item.loaded else w("gaskets.in_store")
    said = w("gaskets.in_and_loaded" if item.loaded else "gaskets.in_joint", joint=item.joint)
    if why := state.refused.get(item.joint):
        return joined(said, ". ", el("b", f"{w('gaskets.refused')}: {w.told(why)}"))
    return said


def _now(ask: Ask, j: Joint, items: list[GasketItem]) -> Markup:
    """What lies in the joint: take it out; nothing lies there: fit a new one."""
    w, state = ask.w, ask.live.state
    joint = state.joint(j.id)
    lies = joint.gaskets.get(j.id, "") if joint else ""
    if lies:
        form = entry_form(
            ask, REMOVED, button=w("gaskets.remove_button", item=lies), settled={"item": lies}, fields=("why",), back=ask.link("gaskets")
        )
        inside = el("details", el("summary", w("gaskets.remove", item=lies, joint=j.id)), form)
        return joined(el("p", el("b", w("gaskets.lies", joint=j.id, item=lies))), inside)
    return joined(el("p", w("gaskets.not_in", joint=j.id)), _fit(ask, j, items))


def _fit(ask: Ask, j: Joint, items: list[GasketItem]) -> Markup:
    """New items to choose from; any other number by typing, and then it is asked."""
    w = ask.w
    new = [(i.item, i.item) for i in items if i.where == "in store" and not used(i) and _fits(ask, i)]
    button, settled = w("gaskets.fit_button", joint=j.id), {"joint": j.id}
    parts: list[Markup] = [el("h3", w("gaskets.fit", joint=j.id))]
    if new:
        pick = choice(w("gaskets.item"), "item", new, new[0][0] if len(new) == 1 else "")
        parts.append(entry_form(ask, FITTED, pick, button=button, settled=settled, back=ask.link("gaskets")))
    else:
        parts.append(el("p", w("gaskets.fit_none"), cls="look"))
    typed = labelled(w("gaskets.number"), text_box("item", must=True))
    other = entry_form(ask, FITTED, typed, button=button, settled=settled, back=ask.link("gaskets"))
    return joined(*parts, el("details", el("summary", w("gaskets.other_item")), other))


def _receive(ask: Ask, j: Joint) -> Markup:
    """The sizes of the list stand pale in the boxes: what is entered is what the calliper said."""
    w, g = ask.w, j.gasket
    if g is None:
        return Markup("")
    sizes = {"od": g.od, "id": g.id_, "thickness": g.thickness}
    last = {name: f"{size.to('mm'):g} mm" for name, size in sizes.items() if size}
    number = labelled(w("gaskets.number"), text_box("item", must=True))
    form = entry_form(
        ask, RECEIVED, number, button=w("gaskets.receive_button"), settled={"gasket": g.id}, given={"kind": g.kind}, last=last,
        fields=("kind", *MEASURES, "ribs"), back=ask.link("gaskets"),
    )  # fmt: skip
    return el("details", el("summary", w("gaskets.receive")), form)


def _strays(ask: Ask, mine: list[Joint]) -> Markup:
    """Items on record that belong to no gasket of the list."""
    w = ask.w
    rest = [i for i in ask.live.state.gaskets.values() if not any(_is_for(i, j) for j in mine)]
    if not rest:
        return Markup("")
    heads = [w(f"gaskets.{k}") for k in ("item", "measured", "where")]
    return el(
        "section", el("h2", w("gaskets.unlisted")), table(heads, [[el("b", i.item), _measured(ask, i), _where(ask, i)] for i in rest])
    )


def _nozzles(ask: Ask, x: Exchanger) -> Markup:
    w = ask.w
    rows = list(_nozzle_rows(ask, x))
    return el("section", el("h2", w("gaskets.nozzles")), table([w("gaskets.nozzle"), w("gaskets.listed")], rows)) if rows else Markup("")


def _nozzle_rows(ask: Ask, x: Exchanger) -> Iterator[list[Inside]]:
    for n in x.nozzles:
        size = ", ".join(t for t in (n.size, n.flange_class and f"class {n.flange_class}", n.gasket or "–") if t)
        yield [el("a", n.id, href=ask.link("joint", n.id)) if ask.live.state.joint(n.id) else n.id, size]
