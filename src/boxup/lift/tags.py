"""One piece of gear against what its tag is worth in the way it is used."""

from __future__ import annotations

from boxup.core.finding import Missing
from boxup.core.quantity import BadValue, Quantity
from boxup.core.working import Step, Working
from boxup.exchanger.lifting import Gear
from boxup.lift.eyebolt import eyebolt_at, size_of
from boxup.lift.gear import PRACTICE, gravity, is_leg_gear
from boxup.lift.hitch import hitch_factor
from boxup.lift.shackle import side_load
from boxup.lift.sling import LEAST_ANGLE


def check_tag(w: Working, g: Gear, load: Step, what: str, *, whole: bool = False, lean: Step | None = None) -> list[Missing]:
    """Compare the load on a piece of gear with the capacity on its tag, in a part of its own.

    A hitch, a choke, a bend, a side load or an eyebolt's angle may take from the tag; nothing adds to it. `whole`: the load is the whole
    weight, which the legs of a set share: of three or four, two carry all. `lean`: worked lean of a basket's leg along the bundle; the
    worse of it and the typed one counts. Symbols: C, C_u (in this use), U, T (in a leg), c; no c where nothing is printed for its use,
    which is a stop.
    """
    if g.capacity is None:
        return [Missing(f"capacity of {g.id}{f' ({g.kind})' if g.kind else ''}", "read it off the tag. No tag, no lift.")]
    if g.unhung:
        return [Missing(f"capacity of {g.id} as it is used", f"{g.unhung}; say how it is hung, vertical, choker or basket (hitch).")]
    part = w.part(f"gear {g.id}: {g.kind}" if g.kind else f"gear {g.id}", PRACTICE)
    part.given("C", "capacity on the tag", g.capacity, "kg")
    gravity(part)
    part.take("U", load, w.name, what)
    as_set = bool(whole and g.legs and is_leg_gear(g))
    load_in = _leg(part, g) if as_set else "U"
    _unused(part, g, as_set=as_set)
    worth = _worth(part, g, lean)
    if not (load_in and worth):
        return []  # nothing is printed for this use; the stop that says so stands in the part
    part.step(f"c = {load_in}/({worth}*g_n)", "-", "load over capacity", "load on it against its tag")
    say = f"{g.id} would carry more than its tag allows{'' if worth == 'C' else ' in this use'}: do not lift. Larger gear"
    part.limit(f"{load_in} <= {worth}*g_n", say, "tag on the gear")
    return []


def _leg(w: Working, g: Gear) -> str:
    """T, the pull in one leg of a set; at the least angle allowed where none is given. "" below it: no leg lies so flat."""
    if g.legs is None:  # asked by the one who calls
        return "U"
    w.given("n", "legs of the set", g.legs, "count")
    if g.leg_angle:
        w.given("theta_l", "legs, from the horizontal", g.leg_angle, "deg")
    else:
        w.assumed("theta_l", "legs, from the horizontal", LEAST_ANGLE, "deg", "the least allowed: not given")
    w.constant("theta_min", "least angle from the horizontal", LEAST_ANGLE, "deg", w.cite("no leg below 30°"))
    if not w.limit("theta_l >= theta_min", f"The legs of {g.id} are too flat. Longer slings or a spreader", "no leg below 30°"):
        return ""
    w.step("n_c = min(n, 2)", "count", "legs that carry", "of three or four two carry all")
    w.step("T = U/n_c/sin(theta_l)", "kN", "pull in a leg", "force along the leg")
    return "T"


def _worth(w: Working, g: Gear, lean: Step | None = None) -> str:
    """The symbol of what it may carry: C, the tag itself, or C_u where the use takes from it. "" where nothing is printed for its use."""
    if "eyebolt" in g.kind.lower() and (g.size or g.pull_angle):
        return _eyebolt(w, g)
    if "shackle" in g.kind.lower() and g.pull_angle:
        w.given("alpha", "pull, from its line", g.pull_angle, "deg")
        side_load(w)
        w.step("C_u = k_a*C", "kg", "capacity in this use", "share of the mark")
        return "C_u"
    if g.hitch in ("choker", "basket") or (g.hitch == "vertical" and (g.tag_hitch not in ("", "vertical") or _bent(g))):
        return _sling(w, g, lean)
    return "C"


def _bent(g: Gear) -> bool:
    """Whether somebody says what its wire rope is bent round."""
    return bool(g.wrapped and g.rope) and g.made in ("", "wire")


def _unused(w: Working, g: Gear, *, as_set: bool) -> None:
    """An angle that the way it hangs has no use for: the angle or the hitch is wrong."""
    if g.choke_angle and g.hitch != "choker":
        say = f"The choke angle of {g.id} is not used: it hangs in a {g.hitch} hitch. Look at hitch and angle again."
        w.say("warn", say, "sling")
    if g.leg_angle and g.hitch != "basket" and not as_set:
        say = f"The leg angle of {g.id} is not used: it hangs in no basket, nor as a set that carries the whole. Look at it again."
        w.say("warn", say, "sling")


def _sling(w: Working, g: Gear, lean: Step | None) -> str:
    if g.tag_hitch not in ("", "vertical", g.hitch):
        say = f"The tag of {g.id} is for a {g.tag_hitch}, and it hangs in a {g.hitch}: its tag says nothing of that. Another sling."
        w.say("stop", say, "tag on the gear")
        return ""
    if not g.made:
        w.say("note", f"What {g.id} is made of is not given: taken as wire, which loses most.", "sling")
    _angles(w, g, lean)
    hitch_factor(w, g.made or "wire", g.hitch, g.tag_hitch or "vertical")
    if "k" not in w.steps:
        return ""
    w.step("C_u = min(k, 1)*C", "kg", "capacity in this use", "the hitch may take from the tag, and adds nothing it does not print")
    return "C_u"


def _angles(w: Working, g: Gear, lean: Step | None) -> None:
    if g.choke_angle and g.hitch == "choker":
        w.given("beta", "choke angle", g.choke_angle, "deg")
    if g.leg_angle and g.hitch == "basket":
        _basket_lean(w, g.leg_angle, lean)
    if g.wrapped and g.rope:
        w.given("D", "what it is wrapped round", g.wrapped, "mm")
        w.given("d", "rope", g.rope, "mm")
        w.step("r = D/d", "-", "diameter wrapped over rope diameter", "bend")


def _basket_lean(w: Working, typed: Quantity, lean: Step | None) -> None:
    """theta: as typed, or as the leg is worked to lean along the bundle where that is flatter."""
    label = "legs of the basket, from the horizontal"
    if lean is None or lean.si >= typed.si:
        w.given("theta", label, typed, "deg")
        return
    w.given("theta_t", f"{label}, as typed", typed, "deg")
    w.take("theta_v", lean, "bundle lift", "its leg along the bundle, from the horizontal")
    w.step("theta = min(theta_t, theta_v)", "deg", label, "the flatter of the two")


def _eyebolt(w: Working, g: Gear) -> str:
    """The smaller of its own mark and what the printed rules leave at its angle."""
    try:
        size = size_of(g.size)
    except BadValue as bad:
        return _unknown_size(w, g, bad)
    table = eyebolt_at(w, size, g.pull_angle)
    if table is None:
        return ""
    w.take("C_t", table, "eyebolt", "by the printed rules at its angle")
    w.step("C_u = min(C, C_t/g_n)", "kg", "capacity in this use", "the smaller of its mark and the printed rules")
    return "C_u"


def _unknown_size(w: Working, g: Gear, bad: BadValue) -> str:
    """Its mark is for a pull in line; off its shank nothing is known of a size that is in no table."""
    if g.pull_angle and g.pull_angle.si > 0:
        say = (
            f"{g.id}: {bad}. Off its shank its mark alone says nothing. Give as its capacity what the maker prints at that angle, "
            "and no size and angle."
        )
        w.say("stop", say, "eyebolt")
        return ""
    w.say("warn", f"{g.id}: {bad}. Its mark alone was used; with the pull off its shank it carries less.", "eyebolt")
    return "C"
