"""The exchanger as the record says it now is: plugs in, faces cut, studs changed, bore measured, the gasket that really lies there."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from boxup.core.quantity import Quantity
from boxup.exchanger.lifting import Crane
from boxup.exchanger.model import Exchanger, Gasket, Joint, Nozzle, Studs
from boxup.job.state import Found

# Where the thickness of a part that gets cut stands in the file.
_PARTS = {"stationary tubesheet": "stationary_tubesheet", "floating tubesheet": "floating_tubesheet", "channel cover": "channel_cover"}
_NOZZLE_KEYS = {"size": "stud_size", "grade": "stud_grade"}  # the studs of a nozzle stand under these keys


def as_found(exchanger: Exchanger, found: Found) -> Exchanger:
    """A copy with every measured and changed thing in its place; each such number says which entry it is from."""
    plugged = (*exchanger.plugged, *(t for t in found.plugged if t not in exchanger.plugged))
    changed: dict[str, Any] = {"plugged": plugged, "to_plug": tuple(t for t in all_to_plug(exchanger, found) if t not in plugged)}
    if found.walls:
        changed["walls"] = tuple(found.walls.values())
    for part, key in _PARTS.items():
        if (left := _thickness(getattr(exchanger, key).thickness, part, found)) is not None:
            changed[key] = replace(getattr(exchanger, key), thickness=left)
    if found.bore is not None:
        measured = (*exchanger.shell.measured_bore, *found.bores)
        changed["shell"] = replace(exchanger.shell, inside_diameter=found.bore, measured_bore=measured)
    if found.weighed is not None:
        changed["bundle"] = replace(exchanger.bundle, weighed_mass=found.weighed)
    if found.pulled_mass is not None:
        bundle = changed.get("bundle", exchanger.bundle)
        planned = found.planned_mass or bundle.planned_mass
        changed["bundle"] = replace(bundle, pulled_mass=found.pulled_mass, planned_mass=planned)
    if found.crane is not None:
        changed["crane"] = found.crane
    if found.tools:
        changed["tools"] = tuple(replace(t, calibrated_until=found.tools.get(t.id, t.calibrated_until)) for t in exchanger.tools)
    if found.studs or found.gaskets:
        changed["joints"] = tuple(_joint(joint, found) for joint in exchanger.joints)
        changed["nozzles"] = tuple(_nozzle(nozzle, found) for nozzle in exchanger.nozzles)
    return replace(exchanger, **changed)


def all_to_plug(exchanger: Exchanger, found: Found) -> tuple[str, ...]:
    """Every tube that was to be plugged this time, those that are plugged by now too: each has its steps."""
    return (*exchanger.to_plug, *(t for t in found.to_plug if t not in exchanger.to_plug))


def changes(found: Found) -> tuple[str, ...]:
    """What the record changes in the exchanger, a sentence each."""
    return (
        *(f"tube {tube} plugged ({where})" for tube, where in found.plugged.items()),
        *(f"{part} {left.typed} ({left.where})" for part, left in found.thickness.items()),
        *(f"{part} {off.typed} ({off.where})" for part, off in found.skimmed.items()),
        *(f"studs of {joint}: {_said(kept)}" for joint, kept in found.studs.items()),
        *(f"gasket of {joint}: {_said(kept)}" for joint, kept in found.gaskets.items()),
        *((f"walls of {len(found.walls)} tube holes measured",) if found.walls else ()),
        *((f"shell bore {found.bore.typed} ({found.bore.where})",) if found.bore else ()),
        *((f"bundle {found.weighed.typed} ({found.weighed.where})",) if found.weighed else ()),
        *((f"bundle as it came out {found.pulled_mass.typed} ({found.pulled_mass.where})",) if found.pulled_mass else ()),
        *((_crane(found.crane),) if found.crane else ()),
    )


def _crane(crane: Crane) -> str:
    radius = crane.radius
    return f"crane {crane.name}, {radius.typed} ({radius.where})" if radius else f"crane {crane.name}"


def _thickness(drawn: Quantity | None, part: str, found: Found) -> Quantity | None:
    """Measured, less what was cut since; where nobody measured, the drawing's figure less the cut."""
    measured, cut = found.thickness.get(part), found.skimmed.get(part)
    base = measured or drawn
    if base is None or cut is None:
        return measured
    return Quantity(base.si - cut.si, "mm", f"{(base.si - cut.si) * 1000:g} mm", base.grade, f"{cut.typed}, {cut.where}")


def _joint(joint: Joint, found: Found) -> Joint:
    studs, gasket = found.studs.get(joint.id), found.gaskets.get(joint.id)
    new_studs: Studs | None = replace(joint.studs, **_values(studs)) if joint.studs and studs else joint.studs
    new_gasket: Gasket | None = replace(joint.gasket, **_values(gasket)) if joint.gasket and gasket else joint.gasket
    return replace(joint, studs=new_studs, gasket=new_gasket)


def _nozzle(nozzle: Nozzle, found: Found) -> Nozzle:
    kept = found.studs.get(nozzle.id)
    if not kept:
        return nozzle
    return replace(nozzle, **{_NOZZLE_KEYS.get(key, key): value for key, value in _values(kept).items() if key != "length"})


def _values(kept: dict[str, str | Quantity]) -> dict[str, Any]:
    """An empty text stands for a number that nobody has given yet."""
    absent = ("nut_factor", "target_stress")
    return {key: None if key in absent and value == "" else value for key, value in kept.items()}


def _said(kept: dict[str, str | Quantity]) -> str:
    parts = []
    for key, value in kept.items():
        name = key.rstrip("_").replace("_", " ")
        parts.append(f"{name} to be asked for" if value == "" else f"{name} {value.typed if isinstance(value, Quantity) else value}")
    return ", ".join(parts)
