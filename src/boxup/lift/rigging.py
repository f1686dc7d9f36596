"""Which piece of gear hangs where on the bundle, what it carries there, and what is wrong with it before any figure."""

from __future__ import annotations

import re

from boxup.core.finding import Missing
from boxup.core.quantity import BadValue, Quantity, quantity
from boxup.core.rounding import both
from boxup.core.working import Step, Working
from boxup.exchanger.lifting import Gear
from boxup.lift.alone import least_length
from boxup.lift.gear import PRACTICE, gear_for_bundle, is_leg_gear, say_not_safe, say_unheld
from boxup.lift.sling import Names
from boxup.lift.tags import check_tag

PICKS: Names = ("front", "rear")
END = "tubesheet end"
SLIDES = 60.0  # degrees: slings in baskets whose legs lean flatter slide together along the bundle
_SLINGS = ("sling", "strop", "cradle", "saddle", "belt", "strap")  # what goes round or under the bundle; a shackle is not one
_LENGTH = re.compile(r"(\d+(?:[.,]\d+)?)\s*(m|ft)\b")


def rigging(w: Working, gear: tuple[Gear, ...], diameter: Quantity | None) -> list[Missing]:
    """Every piece for the bundle against its tag; and each pick, and the tubesheet end, without a sling that has one."""
    say_unheld(w, gear)
    mine = list(gear_for_bundle(gear))
    missing = [_nothing_on(pick) for pick in PICKS if not any(_is_sling(g) and g.capacity for g in _on(pick, mine))]
    if "T_e" in w.steps and not any(g.capacity for g in mine if _at_end(g)):
        missing.append(_nothing_at_end(w))
    _said(w, mine)
    _lean(w, mine)
    if mine:
        say_not_safe(w)
    for g in mine:
        load, what = _load_on(w, g)
        lean = min(_of_picks(w, g, "theta"), key=lambda s: s.si, default=None)
        missing += check_tag(w, g, load, what, lean=lean) if load else [Missing(f"load on {g.id}", "the pull in its leg is not known yet.")]
        _reaches(w, g, diameter)
    return missing


def _on(pick: str, gear: list[Gear]) -> list[Gear]:
    return [g for g in gear if pick in picks_of(g)]


def picks_of(g: Gear) -> list[str]:
    """The picks its use names."""
    return [pick for pick in PICKS if pick in g.use.lower()]


def _at_end(g: Gear) -> bool:
    return END in g.use.lower()


def _is_sling(g: Gear) -> bool:
    """A sling, or what takes its place. A shackle, an eyebolt or a beam is none."""
    other = any(word in g.kind.lower() for word in ("shackle", "eyebolt", "hoist ring"))
    return not other and (bool(g.made or g.hitch) or any(word in g.kind.lower() for word in _SLINGS))


def _nothing_on(pick: str) -> Missing:
    do = f'list its sling and shackles with the capacity on their tags, and write their use as "bundle, {pick} pick". No tag, no lift.'
    return Missing(f"capacity of the slings on the {pick} pick", do)


def _nothing_at_end(w: Working) -> Missing:
    most = both("load", w["T_e"], "up")
    do = (
        f"once no sling fits in front of the flange its hook carries up to {most}: list lug or eyebolt, sling and shackles with the "
        f'capacity on their tags, and write their use as "bundle, {END}". No tag, no lift.'
    )
    return Missing(f"capacity of what holds the {END}", do)


def _said(w: Working, mine: list[Gear]) -> None:
    """What is wrong with a sling whatever it carries."""
    for pick in PICKS:
        slings = [g.id for g in _on(pick, mine) if _is_sling(g) and len(picks_of(g)) == 1]
        if len(slings) > 1:
            say = (
                f"{' and '.join(slings)} are both listed on the {pick} pick: each is held against the whole pull there, as if the others "
                "hung slack. If one is for the other pick, write so."
            )
            w.say("warn", say, "tag on the gear")
    for g in mine:
        if not _is_sling(g) or (_at_end(g) and not picks_of(g)):
            continue
        if _metal(g):
            say = (
                f"{g.id} is wire rope or chain on a bundle: never round tubes, it cuts and crushes them. Wide web or round slings, or a "
                "saddle lined with wood; wire or chain only above them, from hook to shackle."
            )
            w.say("stop" if g.hitch in ("basket", "choker") else "warn", say, "slings at baffles", PRACTICE)
        if not g.hitch and is_leg_gear(g):
            say = f"Hitch of {g.id} not given: taken as vertical, one straight leg, which is what its tag speaks of. Write its hitch."
            w.say("note", say, "tag on the gear")


def _metal(g: Gear) -> bool:
    return g.made == "wire" or bool(re.search(r"\b(wire|chain)\b", g.kind.lower()))


def _lean(w: Working, mine: list[Gear]) -> None:
    """Slings in baskets slide towards each other where their legs lean along the bundle."""
    if "theta_1" not in w.steps or not any(_is_sling(g) and g.hitch == "basket" for g in mine):
        return
    w.constant("theta_s", "least lean of a sling that only lies round the bundle", SLIDES, "deg", w.cite("slings slide together", PRACTICE))
    say = (
        "The legs lean along the bundle, and slings that only lie round it slide together: hang them from a spreader, or tie them to each "
        "other so that they cannot"
    )
    w.step("theta_m = min(theta_1, theta_2)", "deg", "the flatter leg, from the horizontal", "of the two")
    w.limit("theta_m >= theta_s", say, "slings slide together", "warn", PRACTICE, few=True)


def _of_picks(w: Working, g: Gear, symbol: str) -> list[Step]:
    """Steps of the picks its use names, of both where it names none; none for what only holds the tubesheet end."""
    if _at_end(g) and not picks_of(g):
        return []
    named = picks_of(g) or PICKS
    return [w.steps[s] for pick, n in zip(PICKS, "12", strict=True) if pick in named and (s := f"{symbol}_{n}") in w.steps]


def _load_on(w: Working, g: Gear) -> tuple[Step | None, str]:
    """The heaviest it sees: its own leg, or alone on the way where it is at the front; the whole weight where it is no leg gear."""
    if _at_end(g) and not picks_of(g):
        return w.steps.get("T_e"), "tubesheet end held by itself"
    if not is_leg_gear(g):
        return w.steps["W"], "whole weight in the slings"
    pulls = _of_picks(w, g, "T")
    if not pulls:
        return None, ""
    named = picks_of(g)
    words = f"pull in the {named[0]} leg" if len(named) == 1 else "pull in the harder pulled leg"
    loads = [(s, words) for s in pulls]
    if "T_a" in w.steps and named != ["rear"]:
        loads.append((w.steps["T_a"], "front sling alone, the rear one off"))
    if "T_e" in w.steps and _at_end(g):
        loads.append((w.steps["T_e"], "tubesheet end held by itself"))
    return max(loads, key=lambda one: one[0].si)


def _reaches(w: Working, g: Gear, diameter: Quantity | None) -> None:
    """A sling whose length is given against what its leg and the way round the bundle need."""
    length, legs = length_of(g), _of_picks(w, g, "L")
    if length is None or not legs or not _is_sling(g) or g.legs:
        return
    longest = max(legs, key=lambda s: s.si)
    need = least_length(g.hitch, longest.si, diameter)
    if length.si < need * (1 - 1e-9):
        way = {"basket": "two legs and half way round", "choker": "its leg and half way round"}.get(g.hitch, "its leg")
        say = (
            f"{g.id} is {both('position', length.si, 'down')} long and cannot reach: {way} from the hook as planned take "
            f"{both('position', need, 'up')}. Longer slings, a spreader, or the hook lower."
        )
        w.say("stop", say, "length of a sling")


def length_of(g: Gear) -> Quantity | None:
    """Its length by its key, else as its kind says it, such as `wide web sling, 12 m`."""
    if g.length is not None:
        return g.length
    found = _LENGTH.search(g.kind)
    if found is None or not _is_sling(g):
        return None
    try:
        return quantity(f"{found[1].replace(',', '.')} {found[2]}", "m")
    except BadValue:
        return None
