"""Entries on gasket items: each by its own number, each loaded once."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from boxup.core.finding import Finding
from boxup.core.quantity import Quantity
from boxup.exchanger.model import Exchanger, Gasket, Joint
from boxup.exchanger.seat import Sizes, misfits, rib_counts
from boxup.exchanger.seat import listed as sizes_of
from boxup.job.bolting import ACROSS, GASKET_STEPS
from boxup.job.fold.engine import Folding, tells
from boxup.job.fold.joints import about_joint, unmade
from boxup.job.fold.start import bolting_step, item_of, joint_state
from boxup.job.state import GasketItem
from boxup.record.event import Event

WORDS = {"od_mm": "outside", "id_mm": "inside", "thickness_mm": "thickness"}
TOLERANCE = {"od_mm": 1.5, "id_mm": 1.5, "thickness_mm": 0.5}  # mm, from memory: about what a maker holds
NEAR = 1e-6  # mm: a size just at the tolerance is within it
_MEASURED = {"od_mm": "od", "id_mm": "id_", "thickness_mm": "thickness"}


@tells("gasket.received")
def received(f: Folding, e: Event) -> None:
    """An item of the set is here, and is held against the list."""
    p = e.payload
    item = f.state.gaskets.setdefault(p["item"], GasketItem(p["item"], entry=e.number))
    if item.gasket and item.gasket != p["gasket"]:
        f.notice("stop", f"item {item.item} was received as {item.gasket} and as {p['gasket']}: which is it?")
    if used(item):
        where = item.where if item.where.startswith("out of") else f"loaded in {item.joint}"
        f.notice("stop", f"item {item.item} is received, and by the record it was {where}: used, or its number given to two. Do not fit it")
    item.gasket, item.kind, item.ribs = p["gasket"], p.get("kind", item.kind), p.get("ribs", item.ribs)
    item.measured = {key: float(p[key]) for key in _MEASURED if key in p}
    _hold_against_list(f, item)


@tells("gasket.fitted")
def fitted(f: Folding, e: Event) -> None:
    """A used item, another joint's item, or an item that lies in another joint is refused: the gasket step is not accepted."""
    joint = joint_state(f, e.payload["joint"])
    id_ = e.payload["joint"]
    item = f.state.gaskets.setdefault(e.payload["item"], GasketItem(e.payload["item"], entry=e.number))
    wrong = _wrong(f, item, id_)
    if joint.rounds.keys() & set(ACROSS):
        unmade(f, joint, f"{item.item} fitted in {id_}")
    item.where, item.joint = f"in {id_}", id_
    joint.gaskets[id_] = item.item
    if joint.word in ("as found", "off"):
        joint.word = "in"
    if wrong:
        f.notice("stop", f"{item.item} in {id_}: {wrong} Take it out and fit the listed one, new")
        f.state.refused[id_] = wrong
    else:
        f.state.refused.pop(id_, None)
        _as_fitted(f, item, id_, e)
    if code := gasket_step(f, id_):
        f.tick(code)


@tells("gasket.removed")
def removed(f: Folding, e: Event) -> None:
    """An item comes out; one that was loaded never goes back."""
    item = f.state.gaskets.get(e.payload["item"])
    if item is None or not item.where.startswith("in ") or item.where == "in store":
        if item is None or not item.where.startswith("out"):
            f.notice("warn", f"item {e.payload['item']} came out, but no entry says that it went in")
        return
    joint = joint_state(f, item.joint)
    joint.gaskets.pop(item.joint, None)
    f.state.refused.pop(item.joint, None)
    f.state.found.gaskets.pop(item.joint, None)
    item.where = f"out of {item.joint}" if item.loaded else "in store"
    if bolting_step(f, joint) in f.state.done:
        item.where, item.loaded = f"out of {item.joint}", True  # a joint ticked as pulled up has loaded it
    unmade(f, joint, f"{item.item} taken out of {item.joint}")
    if code := gasket_step(f, item.joint):
        f.fall(code, f"{item.item} taken out")


@tells("gasket.wrong")
def wrong(f: Folding, e: Event) -> None:
    """Somebody found that the gasket in a joint is not the listed one."""
    id_ = e.payload["joint"]
    f.state.refused[id_] = e.payload["why"]
    about = about_joint(f, id_, whole_set=False)
    f.undo("gasket.wrong", about, f"gasket of {id_} wrong: {e.payload['why']}")
    if id_ != joint_state(f, id_).id:  # behind the tubesheet: the bundle is drawn back for it
        f.undo("gasket.lost_load", about, f"gasket of {id_} wrong")
    f.notice("stop", f"gasket of {id_} is wrong: {e.payload['why']}. The joint is opened (enter joint.opened) and a new, listed one fitted")
    if code := gasket_step(f, id_):
        f.settle(code)


@tells("gasket.lost_load")
def lost_load(f: Folding, e: Event) -> None:
    """A gasket that was slackened is a used gasket."""
    id_ = e.payload["joint"]
    f.undo("gasket.lost_load", about_joint(f, id_, whole_set=False), f"gasket of {id_} lost its load")
    joint = joint_state(f, id_)
    if item := f.state.gaskets.get(joint.gaskets.pop(id_, "")):
        item.where, item.loaded = f"out of {id_}", True
    if id_ == joint.id:
        unmade(f, joint, f"gasket of {id_} lost its load")


def gasket_step(f: Folding, id_: str) -> str:
    """The step that puts a gasket in this joint, "" where it goes in with the bolting."""
    item = item_of(f, id_)
    for step in GASKET_STEPS:
        for one in f.state.scope.by_step.get(step, ()):
            if one.item.id == id_ if one.item else one.step.kind == (item.kind if item else id_):
                return one.code
    return ""


def _wrong(f: Folding, item: GasketItem, id_: str) -> str:
    if item.where.startswith("out of"):
        return f"this item has been in {item.joint} before. A gasket is used once."
    if item.loaded and item.where == "in store":
        return f"by the record it was loaded in {item.joint}. A gasket is used once."
    if item.where == f"in {id_}" and joint_state(f, id_).rounds.keys() & set(ACROSS):
        return f"by the record it lay in {id_} and was loaded. A gasket is used once."
    if item.where.startswith("in ") and item.where not in ("in store", f"in {id_}"):
        return f"by the record this item lies in {item.joint}."
    listed = _listed_for(f, id_)
    before = joint_state(f, id_).gaskets.get(id_)
    if before and before != item.item:
        return f"by the record {before} lies in {id_} already; enter gasket.removed first."
    if item.gasket and listed and item.gasket != listed:
        return f"it was received as {item.gasket}, and {id_} takes {listed}."
    stops = [one.text for one in against_list(f.state.exchanger, item) if one.level == "stop"]
    return f"{stops[0]}." if stops else ""


def _listed_for(f: Folding, id_: str) -> str:
    x = f.state.exchanger
    gasket = next((j.gasket for j in x.joints if j.id == id_), None) if x else None
    return gasket.id if gasket else ""


def _hold_against_list(f: Folding, item: GasketItem) -> None:
    """Another kind than the list says is a stop before it is ever fitted."""
    x = f.state.exchanger
    listed = next((j.gasket for j in x.joints if j.gasket and j.gasket.id == item.gasket), None) if x else None
    if listed is None:
        if x is not None:
            f.notice("warn", f"item {item.item}: there is no gasket {item.gasket} in the list")
        return
    wrong = against_list(x, item)
    for one in wrong:
        f.notice(one.level, f"item {item.item}: {one.text}", one.source)
    if any(one.level == "stop" for one in wrong):
        f.fall(f.code("GKT_RCV", item.gasket), f"item {item.item} is not as listed")


def used(item: GasketItem) -> bool:
    """It was in a joint and came out, or was loaded there: it never goes in again."""
    return item.loaded or item.where.startswith("out of")


def against_list(x: Exchanger | None, item: GasketItem) -> tuple[Finding, ...]:
    """What an item is that the list does not say, and where it does not fit: stops for what is never fitted."""
    j = next((j for j in x.joints if j.gasket and j.gasket.id == item.gasket), None) if x else None
    if x is None or j is None or j.gasket is None:
        return ()
    return (*_other_size(j.gasket, item), *_other_kind(j.gasket, item), *_other_ribs(x, j, item), *_no_fit(x, j, j.gasket, item))


def _other_size(listed: Gasket, item: GasketItem) -> Iterator[Finding]:
    for key, name in _MEASURED.items():
        drawn = getattr(listed, name)
        if key in item.measured and drawn is not None and abs(item.measured[key] - drawn.to("mm")) > TOLERANCE[key] + NEAR:
            text = f"{WORDS[key]} {item.measured[key]:g} mm, the list says {drawn.to('mm'):g} mm. Do not fit it"
            yield Finding("stop", text, "from memory")


def _other_kind(listed: Gasket, item: GasketItem) -> Iterator[Finding]:
    if item.kind and listed.kind and listed.kind.casefold() not in item.kind.casefold():
        text = f"it is {item.kind}; {item.gasket} of the list is {listed.kind}. Do not fit it; ask the engineer"
        yield Finding("stop", text, "common practice")


def _other_ribs(x: Exchanger, j: Joint, item: GasketItem) -> Iterator[Finding]:
    """Ribs counted against the passes: with one too few two passes run into each other, with one too many it lies on no plate."""
    right = rib_counts(x, j)
    if item.ribs is not None and right and item.ribs not in right:
        want = " or ".join(map(str, right))
        counted = f"{item.ribs} rib{'s' if item.ribs != 1 else ''} counted"
        text = f"{counted}; by the passes {item.gasket} has {want}. Do not fit it; hold it against its drawing"
        yield Finding("stop", text, "common practice")


def _no_fit(x: Exchanger, j: Joint, listed: Gasket, item: GasketItem) -> Iterator[Finding]:
    """As measured, against recess and bore; what the list itself does not fit is told at the file."""
    size = {
        name: Quantity(item.measured[key] / 1000, "mm", f"{item.measured[key]:g} mm")
        for key, name in _MEASURED.items()
        if key in item.measured
    }
    said = {m.text for m in misfits(x, j, sizes_of(listed))}
    for m in misfits(x, j, Sizes(**size)):
        if m.text not in said:
            text = f"{WORDS[f'{m.key}_mm']} {m.text.removesuffix('.')}"
            yield Finding("stop" if m.level == "error" else "warn", f"{text}. Do not fit it" if m.level == "error" else text, "from memory")


def _as_fitted(f: Folding, item: GasketItem, id_: str, e: Event) -> None:
    """The gasket that is in, as it was measured, is the one the numbers are for."""
    where = f"item {item.item}, measured; fitted in entry {e.number}"
    x = f.state.exchanger
    listed = next((j.gasket for j in x.joints if j.id == id_), None) if x else None
    kept: dict[str, str | Quantity] = {
        _MEASURED[key]: Quantity(value / 1000, "mm", f"{value:g} mm", "measured", where)
        for key, value in item.measured.items()
        if (drawn := getattr(listed, _MEASURED[key], None)) is None or abs(drawn.to("mm") - value) > 1e-6
    }
    if item.kind and (listed is None or item.kind.casefold() != listed.kind.casefold()):
        kept["kind"] = item.kind
    f.state.found.gaskets.pop(id_, None)
    if kept:
        f.state.found.gaskets[id_] = kept


def _against_gasket(f: Folding, code: str) -> Iterable[str]:
    id_ = code.partition(":")[2]
    return (f.state.refused[id_],) if id_ in f.state.refused else ()


def register(f: Folding) -> None:
    """What is asked when a gasket step is ticked."""
    for step in GASKET_STEPS:
        f.objections.setdefault(step, []).append(_against_gasket)
