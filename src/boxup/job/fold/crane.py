"""The crane as it stands today: its chart, its radius and what hangs on it, which may not be what the lift plan was made for."""

from __future__ import annotations

from dataclasses import replace

from boxup.core.quantity import Quantity
from boxup.core.unit import UNITS
from boxup.exchanger.crane_chart import in_order, row
from boxup.exchanger.lifting import Crane
from boxup.job.fold.engine import Folding, tells
from boxup.job.fold.weights import PLAN as WEIGHED_PLAN
from boxup.job.fold.weights import planned_anew
from boxup.job.lifting import PLAN, of_plan, parts_on
from boxup.record.event import Event

HUNG = ("hook_block", "slings", "spreader", "rope")


@tells("crane.stood")
def stood(f: Folding, e: Event) -> None:
    """It takes the place of the one in the file; a lift plan made for another one, or another radius, is to be done again."""
    p = e.payload
    radii, capacities = p["chart_radii_m"], p["chart_kg"]
    if len(radii) != len(capacities):
        f.notice("warn", f"entry {e.number}: {len(radii)} radii and {len(capacities)} capacities in the chart; each radius needs its own. "
                 "The crane was left as it was")  # fmt: skip
        return
    before = f.state.exchanger.crane if f.state.exchanger else None
    chart = in_order([row(_q(f, r, "m"), _q(f, c, "kg")) for r, c in zip(radii, capacities, strict=True)])
    crane = Crane(
        name=p["crane"], use=p.get("use", "") or (before.use if before else ""), configuration=p.get("configuration", ""), chart=chart,
        radius=_q(f, p["radius_m"], "m"), most_share=before.most_share if before else None,
        wind_limit=before.wind_limit if before else None, **{key: _q(f, p[f"{key}_kg"], "kg") for key in HUNG},
    )  # fmt: skip
    f.state.found.crane = crane
    if f.state.exchanger is not None:
        f.state.exchanger = replace(f.state.exchanger, crane=crane)
    _plans(f, before, crane)


def _q(f: Folding, number: float, unit: str) -> Quantity:
    e = f.event
    return Quantity(float(number), unit, f"{number:g} {UNITS[unit].sign}", "entered", f"entry {e.number}, {e.by}")


def _plans(f: Folding, before: Crane | None, now: Crane) -> None:
    """Plans that were done for another crane fall; what the chart says against the lift is told."""
    mine = parts_on(f.state.exchanger, now)
    codes = [code for code in f.state.scope.instances if code.partition(":")[0] == PLAN and code.partition(":")[2] in mine]
    if before is None or _plain(before) != _plain(now):
        for code in codes:
            if code in f.state.done:
                f.fall(code, f"crane {now.name} at {now.radius.typed if now.radius else '?'} stands there: planned for another")
    for said in of_plan(f.state.exchanger, codes):
        f.notice("stop", said.text, said.source)


def _plain(crane: Crane) -> tuple[object, ...]:
    """What a plan rests on, without who said it."""
    masses = tuple(q.si if (q := getattr(crane, key)) else None for key in HUNG)
    rows = tuple((one.radius.si, one.capacity.si) for one in crane.chart)
    return crane.name, rows, crane.radius.si if crane.radius else None, masses


def _plan_done(f: Folding, code: str) -> None:
    """A plan that was ticked although its own numbers say no. That of the bundle is made for what it weighed."""
    if code == WEIGHED_PLAN:
        planned_anew(f)
    for said in of_plan(f.state.exchanger, (code,)):
        f.notice("stop", f"{code} was ticked although: {said.text}", said.source)


def register(f: Folding) -> None:
    """What is said when a lift plan is ticked."""
    f.after_tick[PLAN] = _plan_done
