"""The bundle in two slings, and the force to push it home or draw it out.

Places are metres from the outer face of the stationary tubesheet; the hook is over the centre of gravity and the picks are level.
"""

from __future__ import annotations

from boxup.core.finding import Missing
from boxup.core.quantity import Quantity
from boxup.core.rounding import both
from boxup.core.working import Working
from boxup.exchanger.lifting import Crane, Gear
from boxup.exchanger.model import BundleParts
from boxup.lift.alone import AloneLoads, alone_loads
from boxup.lift.answer import LiftAnswer
from boxup.lift.crane import CLOSE_FIT, crane_load, lifts
from boxup.lift.gear import BACK, PRACTICE, PULLER, STATICS, gear_for, gravity, say_not_safe
from boxup.lift.rigging import PICKS, rigging
from boxup.lift.sling import legs, shares
from boxup.lift.slope import Way, lies, per_weight, say_downhill, say_margin, slope_of, stop_at
from boxup.lift.tags import check_tag
from boxup.reference.load import source

API_660 = source("api-660")


def bundle_lift(
    bundle: BundleParts, gear: tuple[Gear, ...], *, mass: Quantity, cg: Quantity, length: Quantity | None = None,
    crane: Crane | None = None, what: str = "bundle", name: str = "bundle lift", alone: AloneLoads | None = None,
    diameter: Quantity | None = None, ahead: Quantity | None = None,
) -> LiftAnswer:  # fmt: skip
    """Shares and leg pulls at the file's two picks, and each piece of the bundle's gear against its tag.

    `mass`: what hangs in the slings, with its allowance; `cg`: its centre of gravity; `length`: of the bundle, outer face to outer face
    (straight part of U-tubes), which both picks must lie on; `crane`: the one that stands there, with its chart and what hangs on it
    besides; `what`: what hangs there, in the trade's words; `alone`: what the front sling and what holds the tubesheet end carry on the
    way in and out; `diameter` of the bundle, which a sling goes round; `ahead`: length of a channel that hangs in front of it, which the
    front pick may hold.
    Picks off the bundle, or not either side of the centre of gravity, are a stop, and there are no shares and no pulls.
    Symbols: W, R_1 and R_2 (shares), T_1 and T_2 (pulls), theta_1 and theta_2 (angles); 1 is the front pick; T_a (front sling alone)
    and T_e (tubesheet end held), with the allowance.
    The crane is a part.
    """
    w = Working(name, PRACTICE)
    missing: list[Missing] = []
    w.given("m", "mass in the slings, allowance included", mass, "kg")
    gravity(w)
    w.step("W = m*g_n", "kN", "weight in the slings", "weight", source=STATICS)
    if bundle.sling_points_m is None or bundle.sling_points_far_m is None:
        missing.append(Missing("sling shares", "say where the two slings go: at baffles, from the outer face of the stationary tubesheet."))
    elif _on_bundle(w, bundle.sling_points_m, bundle.sling_points_far_m, length, ahead) and _between(w, cg):
        shares(w, PICKS)
        missing += _leg_pulls(w, bundle.hook_height)
    if alone is not None:
        alone_loads(w, alone)
    missing += rigging(w, gear, diameter)
    missing += _crane(w, crane, what)
    return LiftAnswer(name, w, tuple(missing))


def _crane(w: Working, crane: Crane | None, what: str) -> list[Missing]:
    if crane is None or not lifts(crane, "bundle"):
        do = (
            "weigh slings, spreader, hook block and rope; the crane carries them too. Type its chart and radius in [crane], or on the page."
        )
        return [Missing("load on the crane", do)]
    return crane_load(w, crane, w.steps["m"], what, critical=CLOSE_FIT)


def _on_bundle(w: Working, front: Quantity, rear: Quantity, length: Quantity | None, ahead: Quantity | None) -> bool:
    """x_1 and x_2, and whether both picks lie on the bundle."""
    where = "slings on the bundle"
    w.given("x_1", "front pick", front, "m")
    w.given("x_2", "rear pick", rear, "m")
    off = "The {} sling is not on the bundle: there is nothing there to lift by. Measure its place again"
    if front.si < 0 and not _on_channel(w, ahead, off.format("front"), where):
        return False
    if length is None:
        w.say("note", "The bundle's length is not given: nobody has looked whether both slings lie on it.", where)
        return True
    w.given("L", "length of the bundle", length, "m")
    on = [w.limit(f"{x} <= L", off.format(pick), where) for x, pick in zip(("x_1", "x_2"), PICKS, strict=True)]
    return all(on)


def _on_channel(w: Working, ahead: Quantity | None, off: str, where: str) -> bool:
    """Whether a front pick in front of the tubesheet holds a channel that hangs there."""
    if ahead is None:
        w.say("stop", f"{off}.", where)
        return False
    w.given("l_c", "channel in front of the tubesheet", ahead, "m")
    return w.limit("-x_1 <= l_c", off, where)


def _between(w: Working, cg: Quantity) -> bool:
    """d_1 and d_2, and whether the centre of gravity hangs between the picks."""
    w.given("x_c", "centre of gravity", cg, "m")
    tips = "The centre of gravity is not between the slings: the bundle tips. Move a sling"
    where = "centre of gravity between the picks"
    if not (w.limit("x_1 < x_c", tips, where) and w.limit("x_c < x_2", tips, where)):
        return False
    w.step("d_1 = x_c - x_1", "m", "front pick to hook, level", "hook over the centre of gravity", source=STATICS)
    w.step("d_2 = x_2 - x_c", "m", "rear pick to hook, level", "hook over the centre of gravity", source=STATICS)
    return True


def _leg_pulls(w: Working, height: Quantity | None) -> list[Missing]:
    if height is None:
        do = "measure how high the hook will be over the picks, or hang both slings straight from a spreader."
        return [Missing("pull in the sling legs", do)]
    w.given("h", "hook over the picks", height, "m")
    legs(w, PICKS)
    return []


def pull_window(
    bundle: BundleParts, gear: tuple[Gear, ...], *, mass: Quantity, way: Way, plan_mass: Quantity | None = None,
    slope: Quantity | None = None,
) -> LiftAnswer:  # fmt: skip
    """The force expected between clean and dirty bars, and the force at which to stop: F_1, F_2, F_stop.

    `mass` without allowance: a bundle lighter than planned must not hide a high stop. `plan_mass`: with its allowance, which pulling
    gear is sized on. `slope` of the shell, uphill going in +; level where it is not given. Insertion stops at a quarter over the
    dirty-bar force and never over half the weight. Pulling out stops at half over it, and never over one and a half times the weight,
    which the lugs are made for; gear is sized for one and a half times the weight with its allowance (F_gear), so the stop is never above
    what the gear is sized for. Downhill a force may be negative: what holds it back, F_h for all of it.
    What holds it back is asked for and held against F_b, the slope with no friction counted, on the mass to plan on.
    """
    name = "insertion" if way == "insert" else "pulling out"
    w = Working(name, PRACTICE)
    if bundle.friction_low is None or bundle.friction_high is None:
        do = "give the friction of clean and of dirty bars; usually 0.15 to 0.3 greased, up to 0.5 dry (common practice)."
        return LiftAnswer(name, w, (Missing(f"force expected for {name}", do),))
    w.given("m", "mass of the bundle", mass, "kg")
    w.given("mu_1", "friction, clean and greased bars", bundle.friction_low, "-")
    w.given("mu_2", "friction, dry or dirty bars", bundle.friction_high, "-")
    gravity(w)
    w.step("W = m*g_n", "kN", "weight", "weight", source=STATICS)
    slope_of(w, slope, way)
    per_weight(w)
    w.step("F_1 = k_1*W", "kN", f"force expected, clean bars, {lies(w)}", "friction and slope", source=STATICS)
    w.step("F_2 = k_2*W", "kN", f"force expected, dirty bars, {lies(w)}", "friction and slope", source=STATICS)
    w.limit("mu_1 <= mu_2", "The friction of clean bars is given higher than that of dirty ones: look at the file", "friction", "warn")
    stop_at(w, way)
    if way == "pull":
        _size_gear(w, plan_mass)
    say_margin(w, way, bundle.friction_high.grade)
    say_downhill(w, w.steps.get("F_h"))
    missing = _held_back(w, gear, plan_mass)
    pullers = gear_for(gear, *PULLER)
    if not pullers:
        missing.append(Missing("capacity of the puller", "list the extractor or winch with the capacity on its plate."))
        return LiftAnswer(name, w, tuple(missing))
    say_not_safe(w)
    load, what = (
        (w.steps["F_stop"], "force at which to stop") if way == "insert" else (w.steps["F_gear"], "what lugs and gear are sized for")
    )
    return LiftAnswer(name, w, (*missing, *(m for g in pullers for m in check_tag(w, g, load, what))))


def _held_back(w: Working, gear: tuple[Gear, ...], plan_mass: Quantity | None) -> list[Missing]:
    """F_b where the way goes downhill, and what holds the bundle back against its tag; what is not listed for it."""
    if w["alpha"] >= 0:
        return []
    if "m_p" not in w.steps:
        _planned(w, plan_mass)
    label = "what holds it back has to hold, no friction counted"
    w.step("F_b = -max(m_p, m)*g_n*sin(alpha)", "kN", label, "the slope alone", source=STATICS)
    most = both("load", w["F_b"], "up")
    say = (
        f"What holds it back is held against {most}, all of it going downhill with no friction at all: winch or tackle, slings, shackles "
        "and what they are made fast to, each by its tag. It is tight before the bundle is let go, and nobody stands downhill of it."
    )
    w.say("note", say, "slope over friction", PRACTICE)
    holders = gear_for(gear, *BACK)
    if holders:
        return [m for g in holders for m in check_tag(w, g, w.steps["F_b"], "the bundle held back on its slope")]
    do = (
        f"this way goes downhill and {most} may come on it: list winch or tackle, slings and shackles with the capacity on their tags, and "
        'write their use as "hold back". No tag, no lift.'
    )
    return [Missing("capacity of what holds the bundle back", do)]


def _size_gear(w: Working, plan_mass: Quantity | None) -> None:
    """F_gear, on the mass to plan on."""
    lugs = "pulling lugs for one and a half times the weight"
    _planned(w, plan_mass)
    w.step("F_gear = 1.5*max(m_p, m)*g_n", "kN", "size lugs and gear for, on the mass to plan on", lugs, source=API_660)
    say = "A bundle that has sat for years may ask for more than its weight. Stop, soak, jack evenly; no pressure, no steam behind it."
    w.say("note", say, "pulling a tight bundle")


def _planned(w: Working, plan_mass: Quantity | None) -> None:
    """m_p, the mass that gear is sized on."""
    if plan_mass is None:
        w.assumed("m_p", "mass to plan on", w["m"], "kg", "the mass itself, no allowance given")
        w.say("warn", "Gear is sized on a mass without allowance: give the mass to plan on.", "mass with its allowance")
    else:
        w.given("m_p", "mass to plan on, allowance included", plan_mass, "kg")
        w.limit("m_p >= m", "The mass to plan on is less than the mass itself: look again", "mass with its allowance")
