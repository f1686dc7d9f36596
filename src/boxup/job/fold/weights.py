"""The bundle on the load cell: a heavier one than was planned on stops the lift until it is planned anew."""

from __future__ import annotations

from dataclasses import replace

from boxup.core.calculation import Answer
from boxup.core.quantity import Quantity
from boxup.core.rounding import both
from boxup.exchanger.masses import lifted_parts
from boxup.exchanger.model import Exchanger
from boxup.job.asfound import as_found
from boxup.job.fold.engine import Folding, exchanger_of, tells
from boxup.record.event import Event

PLAN = "LIFTPLAN:bundle"


@tells("bundle.weighed")
def weighed(f: Folding, e: Event) -> None:
    """Dry, it takes the place of the reckoned mass; as pulled, the larger of the two counts. Over the plan the lift plan falls."""
    kg = float(e.payload["mass_kg"])
    mass = Quantity(kg, "kg", f"{kg:g} kg", "measured", f"entry {e.number}, {e.by}")
    x, found = f.state.exchanger, f.state.found
    before = planned(x)
    if e.payload["state"] == "dry":
        found.weighed = mass
    else:
        found.pulled_mass = mass
    if x is not None:
        f.state.exchanger = as_found(exchanger_of(f.state.file_text) or x, found)
    if before is not None and kg > before * (1 + 1e-9):
        said = f"the bundle weighed {both('mass', kg, 'up')}, and the lift was planned on {both('mass', before, 'down')}"
        f.notice("stop", f"{said}: no sling, crane or pull is used on that plan any more; plan it anew with the weighed mass")
        f.fall(PLAN, f"{said}: planned for less")


def planned(x: Exchanger | None) -> float | None:
    """kg the lift is planned on, with what rides along; None where nothing is known."""
    if x is None:
        return None
    if x.bundle.planned_mass is not None:
        return x.bundle.planned_mass.si
    part = next((p for p in lifted_parts(x) if p.id == "bundle"), None)
    return part.lift_mass.si if part and isinstance(part.answer, Answer) and part.lift_mass else None


def planned_anew(f: Folding) -> None:
    """A lift plan ticked after the weighing is made for what was weighed."""
    found, x = f.state.found, f.state.exchanger
    if found.pulled_mass is None or x is None:
        return
    kg = max(planned(x) or 0.0, found.pulled_mass.si)  # the plan by the drawing stays where it was the larger
    found.planned_mass = Quantity(kg, "kg", f"{kg:g} kg", "entered", f"entry {f.event.number}, {f.event.by}")
    f.state.exchanger = replace(x, bundle=replace(x.bundle, planned_mass=found.planned_mass))
