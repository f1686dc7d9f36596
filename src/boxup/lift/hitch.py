"""A sling in its hitch: what is left, or gained, of the capacity on its tag, by the worse printed row."""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.calculation import calculation, number, word
from boxup.core.quantity import Quantity
from boxup.core.working import Working
from boxup.lift.worse import in_band, least_at, rows
from boxup.reference.load import Row, source, table

MAKERS, PRACTICE = source("sling-makers"), source("lifting-practice")
MADE, HITCHES = ("wire", "web", "round"), ("vertical", "choker", "basket")
FULL_BEND = 25.0  # what it is wrapped round over the diameter of the rope, from which a basket has its full rating


@dataclass(frozen=True, slots=True, kw_only=True)
class SlingHitch:
    """The tag, and how the sling is used. A tag speaks of a vertical hitch unless it says which."""

    tag: Quantity = number("C", "capacity on the tag", "kg", above=0, most=1e6)
    made: str = word("what it is made of", MADE)
    hitch: str = word("hitch it is used in", HITCHES)
    tag_hitch: str = word("hitch the capacity on the tag is for", HITCHES, default="vertical")
    choke_angle: Quantity | None = number("beta", "choke angle", "deg", optional=True, least=0, most=180)
    leg_angle: Quantity | None = number("theta", "basket legs, from the horizontal", "deg", optional=True, least=0, most=90)
    bend_ratio: Quantity | None = number("r", "diameter wrapped over diameter of the rope", "-", optional=True, above=0, most=1e4)

    def problems(self) -> list[str]:
        found = []
        if self.tag_hitch not in ("vertical", self.hitch):
            found.append(f"tag_hitch: a tag for a {self.tag_hitch} says nothing of a {self.hitch}; accepted: vertical, {self.hitch}")
        if self.choke_angle and self.hitch != "choker":
            found.append(f"choke_angle: a {self.hitch} hitch has none; leave it out, or is it a choker?")
        if self.leg_angle and self.hitch != "basket":
            found.append(f"leg_angle: it is that of a basket, and this is a {self.hitch} hitch; leave it out, or is it a basket?")
        return found


@calculation("sling-capacity", MAKERS, SlingHitch, "capacity=C_u@kg printed=C_p@kg factor=k")
def sling_capacity(w: Working, given: SlingHitch) -> None:
    """Capacity in the hitch: mode, choke angle or angle of the basket's legs, and bend; no more than the tag reads. `printed`: by table."""
    w.take_in(given)
    hitch_factor(w, given.made, given.hitch, given.tag_hitch)
    if "k" in w.steps:
        w.step("C_p = k*C", "kg", f"by the printed table for a {given.hitch} hitch", "share of the tag")
        w.step("C_u = min(k, 1)*C", "kg", f"capacity in a {given.hitch} hitch", "never more than the tag reads", source=PRACTICE)
        if w["k"] > 1:
            say = (
                "The table prints more for this hitch than the tag reads. Taken is what the tag reads; only where the tag itself prints "
                "the basket rating does that count: give it as tag, with tag_hitch = basket."
            )
            w.say("note", say, "tag on the gear", PRACTICE)
    if given.made != "wire":
        w.say("note", "Softeners at every edge: a web or round sling that is cut gives no warning.", "edges", PRACTICE)
    w.say("note", "The tag comes first: where it prints this hitch and angle, that figure counts.", "tag on the gear", PRACTICE)


def hitch_factor(w: Working, made: str, hitch: str, tag_hitch: str = "vertical") -> None:
    """k, the share of the tag; from beta, theta and r where they are in the working. No k where nothing is printed for it."""
    match hitch:
        case "choker":
            _choker(w, made, tag_hitch)
        case "basket":
            _basket(w, made, tag_hitch)
        case _:
            _vertical(w, made)


def _vertical(w: Working, made: str) -> None:
    """A straight leg has the whole tag; where somebody says what its rope is bent round, the bend counts."""
    if made != "wire" or "r" not in w.steps:
        w.constant("k", "share of the tag", 1, "-", w.cite("a vertical hitch, which is what a tag speaks of", PRACTICE))
        return
    _bend(w, made)
    if "k_b" in w.steps:
        w.step("k = k_b", "-", "share of the tag", "a straight leg, and the bend")


def _choker(w: Working, made: str, tag_hitch: str) -> None:
    _mode(w, "choker" if tag_hitch == "vertical" else "", rows("sling_hitch", made=made, hitch="choker")[0])
    bands = rows("choke_angle", made=made)
    if "beta" not in w.steps:
        w.say(
            "note", "Choke angle not given: the worst printed row is taken. Measure it where the sling runs through its eye.", "choke angle"
        )
    row = in_band(bands, w["beta"] if "beta" in w.steps else 0.0, "factor")
    if row is None:  # the bands begin at 0 degrees, as the field does
        raise LookupError("choke_angle: no row for this angle")
    w.table("k_c", "share by choke angle", row.need("factor"), "-", row.place("factor"), row.cite)
    if made != "wire" or "r" not in w.steps:
        if made == "wire":
            w.say("note", "What the rope is choked round is not given: round less than 25 rope diameters it carries less.", "bend")
        w.step("k = k_m*k_c", "-", "share of the tag", "hitch and choke angle")
        return
    _bend(w, made)
    if "k_b" in w.steps:
        w.step("k = k_m*k_c*k_b", "-", "share of the tag", "hitch, choke angle and the bend")


def _mode(w: Working, wanted: str, row: Row) -> None:
    if wanted:
        w.table("k_m", "share of the vertical capacity", row.need("factor"), "-", row.place("factor"), row.cite)
    else:
        w.constant("k_m", "share for the hitch", 1, "-", w.cite("the tag is for this hitch", PRACTICE))


def _basket(w: Working, made: str, tag_hitch: str) -> None:
    printed = rows("sling_hitch", made=made, hitch="basket")
    if "theta" not in w.steps:
        w.say("note", "Angle of the legs not given: the worst printed row is taken.", "basket")
    upright = max(printed, key=lambda r: r.need("angle"))
    lowest = min(printed, key=lambda r: r.need("angle"))
    row = least_at(printed, "angle", w["theta"] if "theta" in w.steps else lowest.need("angle"))
    if row is None:
        w.say("stop", "The legs of the basket lie flatter than any printed row, 30°. Longer slings or a spreader.", "no leg below 30°")
        return
    w.table("k_l", "share of the vertical capacity by angle of its legs", row.need("factor"), "-", row.place("factor"), row.cite)
    _upright(w, upright, tag_hitch)
    _bend(w, made)
    if "k_b" in w.steps:
        w.step("k = k_l/k_u*k_b", "-", "share of the tag", "angle of the legs, and the bend")


def _upright(w: Working, upright: Row, tag_hitch: str) -> None:
    if tag_hitch == "basket":
        w.table("k_u", "share with upright legs, which the tag counts", upright.need("factor"), "-", upright.place("factor"), upright.cite)
    else:
        w.constant("k_u", "share the tag counts", 1, "-", w.cite("a tag for a vertical hitch", PRACTICE))


def _bend(w: Working, made: str) -> None:
    """k_b: a wire rope round something thin is weaker; a basket has its full rating from 25 rope diameters on. No k_b under 1: a stop."""
    if made != "wire":
        w.constant("k_b", "share kept in the bend", 1, "-", w.cite("web and round slings lie flat; the edge needs a softener", PRACTICE))
        return
    if "r" not in w.steps:
        w.say("warn", "What the rope is wrapped round is not given: with less than 25 rope diameters it carries less.", "bend")
        w.assumed("k_b", "share kept in the bend", 1, "-", "25 rope diameters or more: not given")
        return
    row = least_at(table("rope_bend").values(), "ratio", w["r"])
    if w["r"] >= FULL_BEND:
        w.constant("k_b", "share kept in the bend", 1, "-", w.cite("25 rope diameters or more, which it is rated for"))
    elif row is None:
        w.say("stop", "The rope is bent round less than its own diameter: nothing is printed for it. Do not use it so.", "bend")
    else:
        w.table("k_b", "share kept in the bend", row.need("kept"), "-", row.place("kept"), row.cite)
