"""Can there be such a flange: its sizes follow each other outward, its metal is no stronger hot, its part carries load in that way."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from boxup.core.quantity import Quantity
from boxup.exchanger.fits import problem, said, said_stress
from boxup.exchanger.model import Exchanger, Flange, Joint, Studs
from boxup.exchanger.problem import Problem

NEAR = 1 + 1e-9
BARREL = ("channel", "shell", "tubesheet")  # they have a bore: no cover
DEEPEST = 2.0  # crown radius over bore; a dish has 0.7 to 1 (from memory), 2 is nearly a plate


def flange_sizes(x: Exchanger) -> Iterator[Problem]:
    """Sizes and strengths of [flange.F1] that no such part has. What is not given is not judged."""
    for j in x.joints:
        for f in j.flanges:
            yield from _type(x, f)
            yield from _outward(x, f, j.studs)
            yield from _thick(x, f)
            yield from _hub(x, f)
            yield from _dish(x, f)
            yield from _strength(x, f)
        yield from _stack(x, j)


def _at(f: Flange, key: str) -> str:
    return f"flange.{f.id}.{key}"


def _type(x: Exchanger, f: Flange) -> Iterator[Problem]:
    if f.type and (f.type == "backing ring") != (f.part == "backing ring"):
        yield problem(x, _at(f, "type"), f"{f.type!r} on the {f.part}: a backing ring, and nothing else, is worked as a backing ring.")
    elif f.type in ("flat cover", "dished cover") and f.part in BARREL:
        yield problem(x, _at(f, "type"), f"{f.type!r} on the {f.part}, which has a bore; accepted: integral, loose, lap, ring.")


def _outward(x: Exchanger, f: Flange, s: Studs | None) -> Iterator[Problem]:
    """Bore, land, bolt circle, outside."""
    circle = s.bolt_circle if s else None
    rising = [("bore", f.bore), ("bearing_diameter", f.bearing_diameter), ("", circle), ("od", f.od)]
    given = [(key, q) for key, q in rising if q]
    for (inner, p), (key, q) in pairwise(given):
        if p.si * NEAR >= q.si:
            names = [f"{name or 'bolt circle'} {said(size)}" for name, size in ((inner, p), (key, q))]
            text = f"{names[0]} is not inside {names[1]}; from the middle outward: bore, land, bolt circle, outside."
            yield problem(x, _at(f, key or inner), text)


def _thick(x: Exchanger, f: Flange) -> Iterator[Problem]:
    if f.thickness and f.od and f.thickness.si >= f.od.si:
        yield problem(x, _at(f, "thickness"), f"{said(f.thickness)} is as thick as the flange is wide, {said(f.od)}; look at the units.")


def _hub(x: Exchanger, f: Flange) -> Iterator[Problem]:
    if f.hub_small and f.hub_large and f.hub_large.si * NEAR < f.hub_small.si:
        text = f"{said(f.hub_large)} is less than {said(f.hub_small)} at the thin end; they may be swapped."
        yield problem(x, _at(f, "hub_large"), text)


def _dish(x: Exchanger, f: Flange) -> Iterator[Problem]:
    if f.crown_radius and f.bore:
        if 2 * f.crown_radius.si * NEAR < f.bore.si:
            text = f"{said(f.crown_radius)} is less than half the bore {said(f.bore)}: such a dish does not reach across."
            yield problem(x, _at(f, "crown_radius"), text)
        elif f.crown_radius.si > DEEPEST * f.bore.si:
            text = f"{said(f.crown_radius)} is more than {DEEPEST:g} times the bore {said(f.bore)}: that is nearly a plate. Look again."
            yield problem(x, _at(f, "crown_radius"), text, "warning")
    if f.head_lever and f.thickness and 2 * abs(f.head_lever.si) > f.thickness.si * NEAR:
        text = f"{said(f.head_lever)} from the middle of a ring {said(f.thickness)} thick is outside it. Look at the drawing again."
        far = abs(f.head_lever.si) > f.thickness.si
        yield problem(x, _at(f, "head_lever"), text, "error" if far else "warning")


def _strength(x: Exchanger, f: Flange) -> Iterator[Problem]:
    """Hot metal is no stronger than cold, and nothing is allowed more than its yield."""
    pairs: tuple[tuple[str, Quantity | None, str, Quantity | None], ...] = (
        ("yield_design", f.yield_design, "yield_ambient", f.yield_ambient),
        ("allowable_design", f.allowable_design, "allowable_ambient", f.allowable_ambient),
        ("modulus_design", f.modulus_design, "modulus_ambient", f.modulus_ambient),
        ("allowable_ambient", f.allowable_ambient, "yield_ambient", f.yield_ambient),
        ("allowable_design", f.allowable_design, "yield_design", f.yield_design),
    )
    for key, q, other, most in pairs:
        if q and most and q.si > most.si * NEAR:
            text = f"{said_stress(q)} is more than {other} {said_stress(most)}, which no metal has; they may be swapped, or a unit is off."
            yield problem(x, _at(f, key), text)


def _stack(x: Exchanger, j: Joint) -> Iterator[Problem]:
    """The grip is shorter than the studs, and no shorter than the flanges it goes through."""
    s = j.studs
    if not (s and s.grip):
        return
    if s.length and s.grip.si >= s.length.si:
        text = f"{said(s.grip)} between the nuts of studs {said(s.length)} long: they do not reach through."
        yield problem(x, f"studs.{s.id}.grip", text)
    through = [f.thickness for f in j.flanges if f.thickness]
    if through and s.grip.si * NEAR < sum(q.si for q in through):
        text = f"{said(s.grip)} is less than the flanges of {j.id} are thick together, {' and '.join(map(said, through))}."
        yield problem(x, f"studs.{s.id}.grip", text)
