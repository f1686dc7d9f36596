"""What no pressure test tells, for this exchanger: a rib that does not touch, passes the other way round, an end space slipped past."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from boxup.bundle.after_plugging import AfterPlugging
from boxup.bundle.effectiveness import ZONES
from boxup.bundle.rib_bypass import rib_lines
from boxup.bundle.service import Standing, stands
from boxup.bundle.turned_bundle import lost_lines, turned_lines
from boxup.bundle.way_up import goes_half_round
from boxup.bundle.zones import Past
from boxup.core.finding import Missing
from boxup.core.quantity import Quantity
from boxup.core.working import Working
from boxup.exchanger.model import Exchanger
from boxup.exchanger.passes import End, chambers
from boxup.exchanger.ribs import RibLine
from boxup.exchanger.ribs import rib_lines as ribs_of
from boxup.reference.load import source

SAMPLE_GAP = Quantity(0.5e-3, "mm", "0.5 mm", "assumed", "a sample: what a feeler of half a millimetre finds")
MOST_PAST = 0.9  # a share beyond it is no share of this flow any more


@dataclass(frozen=True, slots=True)
class LooseRib:
    """A rib with light under it along its whole length. `share` of the tube side goes past passes `first` to `last`."""

    end: End
    between: tuple[int, int]
    first: int
    last: int
    share: float
    duty_ratio: float
    working: Working


@dataclass(frozen=True, slots=True)
class WrongWay:
    """Duty left over that as it should be, with the same tubes open.

    reversed: passes the other way; end_space: one end space of the shell lost, None where it is not known or half a turn is stopped.
    """

    reversed: float
    end_space: float | None
    ribs: tuple[LooseRib, ...]
    working: Working


def wrong_way(x: Exchanger, plugged: AfterPlugging, gap: Quantity = SAMPLE_GAP) -> WrongWay | None:
    """None where there is no duty to compare with, or the shell stays at one temperature and there is one pass."""
    after, way = plugged.after, plugged.way
    if after is None or way is None:
        return None
    w = Working("the wrong way round", ZONES)
    for symbol in ("N_t", "R", "P"):
        w.take(symbol, after.working.steps[symbol], after.name)
    each = [after.si(f"N_{i}") for i in range(1, len(after.open) + 1)]
    turned_lines(w, way, each)
    if x.baffles.count and (n := x.baffles.count.si) >= 1 and goes_half_round(x):  # what cannot be has no cost
        w.given("n_s", "spaces between baffles and ends", Quantity(n + 1, "count", f"{n:g} baffles"), "count")
        lost_lines(w, way, each)
    ribs = tuple(_ribs(x, w, plugged, gap))
    return WrongWay(w["y_r"], w["y_l"] if "y_l" in w.steps else None, ribs, w)


def _ribs(x: Exchanger, w: Working, plugged: AfterPlugging, gap: Quantity) -> Iterator[LooseRib]:
    """One for every two passes that a rib of an end parts; of several pieces their lengths together."""
    passes = len(plugged.after.open) if plugged.after else 0
    for end in _ends(x):
        lines = ribs_of(x, end)
        if isinstance(lines, Missing):
            continue
        shared = chambers(passes, end, x.letters.rear == "U")
        together: dict[tuple[int, int], list[RibLine]] = {}
        for line in lines:
            skipped = _skipped(shared, line.between, passes)
            together.setdefault(skipped, []).append(line)
        for (first, last), pieces in together.items():
            if first <= last:
                yield _loose(w, plugged, end, pieces, (first, last), gap)


def _ends(x: Exchanger) -> tuple[End, ...]:
    return ("front",) if x.letters.rear == "U" else ("front", "rear")


def _skipped(shared: tuple[tuple[int, ...], ...], between: tuple[int, int], passes: int) -> tuple[int, int]:
    """First and last pass that fluid misses when it goes from the one chamber to the other. A chamber stands behind its first pass;
    that of pass 1 alone at the inlet before it."""

    def behind(p: int) -> int:
        chamber = next(c for c in shared if p in c)
        return 0 if chamber == (1,) and passes > 1 else min(chamber)

    low, high = sorted(map(behind, between))
    return low + 1, high


def _loose(w: Working, plugged: AfterPlugging, end: End, pieces: list[RibLine], skipped: tuple[int, int], gap: Quantity) -> LooseRib:
    after = plugged.after
    assert after is not None, "asked for by wrong_way"
    between = pieces[0].between
    part = w.part(f"rib of the {end} gasket between passes {between[0]} and {between[1]}", source("orifice"))
    part.aside = True
    length = sum(p.length for p in pieces) / 1000
    part.given("s", "gap under the rib, a sample", gap, "mm")
    part.given("l_s", "length of that rib", Quantity(length, "m", f"{length:.4g} m", "drawing", "tube map"), "m")
    numbers = range(skipped[0], skipped[1] + 1)
    for i in numbers:
        part.take(f"Dp_{i}", after.working.steps[f"Dp_{i}"], after.name)
    part.step("p_r = " + " + ".join(f"Dp_{i}" for i in numbers), "kPa", "pressure difference across the rib", "passes it goes past")
    for symbol in ("rho", "W_t", "Q_2"):
        part.take(symbol, plugged.working.steps[symbol], "after plugging")
    rib_lines(part)
    part.step(f"b = min(W_b/W_t, {MOST_PAST:g})", "-", "share of the tube side that goes past", "definition")
    loose = _with_past(plugged, part, after, Past(*skipped, part["b"]))
    part.take("Q_3", loose.working.steps["Q"], loose.name, "duty, with that share going past")
    part.step("y_b = Q_3/Q_2", "-", "duty left", "ratio")
    return LooseRib(end, between, *skipped, part["b"], part["y_b"], part)


def _with_past(plugged: AfterPlugging, part: Working, after: Standing, past: Past) -> Standing:
    """The exchanger with that share going past, worked inside `part`."""
    inner = Working("a rib that does not touch", ZONES)
    inner.steps.update(plugged.working.steps)
    assert plugged.way is not None, "asked for by wrong_way"
    found = stands(inner, "with light under the rib", after.open, plugged.way, past)
    part.parts.append(found.working)
    return found
