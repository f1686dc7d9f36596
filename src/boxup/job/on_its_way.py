"""The bundle on its way for a job: the pull for the whole way, place by place, and readings that no such bundle has."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from boxup.core.calculation import Answer
from boxup.core.finding import Missing
from boxup.core.rounding import both
from boxup.exchanger.masses import bundle_mass, lifted_parts, over_plan
from boxup.exchanger.model import Exchanger
from boxup.lift.answer import LiftAnswer
from boxup.lift.bundle_lift import pull_window
from boxup.lift.reading import Pulls
from boxup.lift.slope import Way
from boxup.lift.way import OnItsWay, on_its_way

READ = "bundle.force_read"
MOST_KEPT = 16  # ways that are kept: a record is told again with every entry
LEAST_READ = 100.0  # N: under ten kilograms of pull a reading is nought, or another unit
TIMES = 20.0  # the weight: over it a reading is a slip
LEEWAY = 0.005  # m: a tape read to the centimetre
_kept: list[tuple[Exchanger, Way, Pulls]] = []


def pull_answer(x: Exchanger, hung: Answer | Missing | None, way: Way) -> LiftAnswer | None:
    """Pull expected and stop for the whole weight on the bars; None where its mass is not known."""
    if not isinstance(hung, Answer):
        return None
    slope = x.shell.slope
    if way == "insert":
        plan = hung.quantity("insert_mass")
        return pull_window(x.bundle, x.gear, mass=hung.quantity("dry"), way="insert", plan_mass=plan, slope=slope)
    plan = hung.quantity("lift_mass")
    found = pull_window(x.bundle, x.gear, mass=hung.quantity("fouled"), way="pull", plan_mass=plan, slope=slope)
    found.working.findings += over_plan(hung)
    return found


def ways(x: Exchanger, bundle: Answer | Missing | None, hung: Answer | Missing | None) -> tuple[OnItsWay, ...]:
    """Going in and coming out; none where no bundle is pulled, or its mass is not known."""
    if not isinstance(hung, Answer):
        return ()
    return on_its_way(x, bundle, hung, "insert"), on_its_way(x, bundle, hung, "pull")


def pulls_of(x: Exchanger, way: Way) -> Pulls:
    """One way, kept for an exchanger that is the same in every figure."""
    for kept, there, found in _kept:
        if there == way and (kept is x or kept == x):
            return found
    hung = next((p.answer or p.missing for p in lifted_parts(x) if p.id == "bundle"), None)
    one = on_its_way(x, bundle_mass(x), hung, way) if isinstance(hung, Answer) else None
    found = Pulls(way, one, pull_answer(x, hung, way))
    del _kept[: max(0, len(_kept) - MOST_KEPT + 1)]
    _kept.append((x, way, found))
    return found


def not_read(kind: str, payload: Mapping[str, Any], x: Exchanger) -> Iterator[str]:
    """A sentence for a place, a pull or a hook load that no such bundle has: a slip, or another unit. Refused before it is on record."""
    if kind != READ:
        return
    yield from _place(payload["position_m"], x)
    weight = pulls_of(x, payload["way"]).weight
    for key, name in (("force_n", "force"), ("hook_n", "hook")):
        if key in payload:
            yield from _load(name, float(payload[key]), weight)


def _place(metres: float, x: Exchanger) -> Iterator[str]:
    length = x.tubes.length.to("m") if x.tubes.length else None
    if metres < 0 or (length is not None and metres > length + LEEWAY):
        most = f"to {both('position', length)}, the length of its tubes" if length is not None else "up"
        yield f"{READ}, position: {both('position', metres)} in the shell is not on its way; accepted: metres in, from 0 {most}."


def _load(name: str, newtons: float, weight: float | None) -> Iterator[str]:
    most = TIMES * weight if weight else None
    if newtons < 0 or 0 < newtons < LEAST_READ or (most is not None and newtons > most):
        up = f"from {LEAST_READ:g} N" + (f" to {both('load', most, 'down')}" if most else " up")
        yield f"{READ}, {name}: {newtons:g} N is no reading of this bundle. A slip, or another unit? Accepted: 0, or {up}."
