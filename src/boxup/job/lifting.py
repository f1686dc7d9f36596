"""What stands against a lift by its own numbers: more on the crane than its chart, more on a piece of gear than its tag."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from boxup.core.calculation import Answer
from boxup.core.finding import Finding
from boxup.exchanger.lifting import Crane
from boxup.exchanger.masses import LiftedPart, bundle_mass, lifted_parts, over_plan, rides_in_front
from boxup.exchanger.model import Exchanger
from boxup.lift.alone import AloneLoads, Heaviest
from boxup.lift.answer import LiftAnswer
from boxup.lift.bundle_lift import bundle_lift
from boxup.lift.crane import lifts
from boxup.lift.heads import head_lift
from boxup.lift.way import OnItsWay, Stage, on_its_way

PLAN = "LIFTPLAN"
# Steps in which the bundle hangs on a hook, or is about to. A head hangs from the step that takes its weight.
BUNDLE_STEPS, HEAD_STEPS = ("RIG_PULL", "EXCL_PULL", "PULL", "RIG", "EXCL", "INSERT"), ("SUPPORT_OFF",)
MOST_KEPT = 64  # exchangers whose lifts are kept: every step of a page asks for the same ones
_kept: dict[int, tuple[Exchanger, Mapping[str, tuple[Finding, ...]]]] = {}


def bundle_answer(x: Exchanger, part: LiftedPart) -> LiftAnswer | None:
    """The bundle in its slings as it is pulled, with its allowance, which is the heaviest it hangs; None where it could not be worked."""
    if not isinstance(part.answer, Answer):
        return None
    mass, cg = part.answer.quantity("lift_mass"), part.answer.quantity("fouled_cg")
    bundle = bundle_mass(x)
    ways = (on_its_way(x, bundle, part.answer, "insert"), on_its_way(x, bundle, part.answer, "pull"))
    alone = AloneLoads(heaviest(ways, "front"), heaviest(ways, "held"))
    found = bundle_lift(
        x.bundle, x.gear, mass=mass, cg=cg, length=x.tubes.length, crane=x.crane, what=part.what, alone=alone,
        diameter=x.baffles.outside_diameter, ahead=rides_in_front(x),
    )  # fmt: skip
    found.working.findings += over_plan(part.answer)
    return found


def heaviest(ways: Iterable[OnItsWay], stage: Stage) -> Heaviest | None:
    """The most on the hook in that stage of these ways, by share of the bundle's weight there; None where no place of them is in it."""
    found = [
        Heaviest(stand.hook[1], stand.metres, way.working.name, way.working["W"])
        for way in ways
        if way.known
        for stand in (way.stand(metres) for metres in _places_of(way, stage))
    ]
    return max(found, key=lambda h: h.load / h.weight, default=None)


def _places_of(way: OnItsWay, stage: Stage) -> list[float]:
    """The two ends of a stage: the hook carries less, or as much, as more of the bundle rests in the shell."""
    found = places_in(way, stage)
    return sorted({found[0], found[-1]}) if found else []


def places_in(way: OnItsWay, stage: Stage) -> list[float]:
    """Every row of the way in that stage, and where the stage begins; metres in."""
    begins = [way.working[s] + 1e-6 for s in ("s_2", "s_1") if s in way.working.steps]
    return [m for m in sorted({*way.places(), *begins}) if 0 < m <= way.home and way.stage(m) == stage]


def stops_of(x: Exchanger) -> Mapping[str, tuple[Finding, ...]]:
    """By part (`bundle`, `channel-cover`): the stops of its lift. Kept for the same exchanger."""
    found = _kept.get(id(x))
    if found is None or found[0] is not x:
        while len(_kept) >= MOST_KEPT:
            _kept.pop(next(iter(_kept)), None)
        found = _kept[id(x)] = (x, {p.id.replace("_", "-"): tuple(_stops(x, p)) for p in lifted_parts(x)})
    return found[1]


def parts_on(x: Exchanger | None, crane: Crane) -> frozenset[str]:
    """The parts that crane lifts, as they stand in the codes of the steps."""
    if x is None:
        return frozenset()
    return frozenset(p.id.replace("_", "-") for p in lifted_parts(x) if lifts(crane, "bundle" if p.id == "bundle" else p.what))


def _stops(x: Exchanger, p: LiftedPart) -> Iterable[Finding]:
    lift = bundle_answer(x, p) if p.id == "bundle" else head_lift(p.what, p.mass, x.gear, lift_mass=p.lift_mass, crane=x.crane)
    return [f for f in lift.findings if f.level == "stop"] if lift else ()


def on_a_hook(code: str) -> bool:
    """Whether a step puts a part on a hook."""
    return code.partition(":")[0] in (*BUNDLE_STEPS, *HEAD_STEPS)


def against_lift(x: Exchanger | None, code: str) -> tuple[str, ...]:
    """What its own numbers say against a step that puts a part on a hook."""
    step, _, item = code.partition(":")
    if x is None or not on_a_hook(code):
        return ()
    return tuple(f.text for f in stops_of(x).get("bundle" if step in BUNDLE_STEPS else item, ()))


def of_plan(x: Exchanger | None, codes: Iterable[str]) -> tuple[Finding, ...]:
    """The stops that a lift plan would have to deal with, for those of the codes that are one."""
    if x is None:
        return ()
    items = [item for step, _, item in (code.partition(":") for code in codes) if step == PLAN]
    return tuple(dict.fromkeys(f for item in items for f in stops_of(x).get(item, ())))
