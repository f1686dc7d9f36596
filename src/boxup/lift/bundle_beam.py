"""The bundle as a beam: its masses where they stand, the stiffness of its tubes alone, its baffles, what rides along.

Tubes slide in the baffle holes, so a bundle bends as its tubes bend side by side, not as one solid beam. Friction in the holes, tie rods
and spacers help and are not counted: the bundle is at least as stiff as this.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import pi
from typing import Literal

from boxup.core.calculation import STANDARD_GRAVITY, Answer
from boxup.core.finding import Missing
from boxup.core.working import Working
from boxup.exchanger.metal import elastic
from boxup.exchanger.model import Exchanger
from boxup.lift.beam import Load
from boxup.lift.gear import STATICS

State = Literal["lifted", "dry", "pulled"]  # as pulled with its allowance; clean and dry; as pulled
_MASS: dict[State, tuple[str, str]] = {"lifted": ("lift_mass", "fouled_cg"), "dry": ("dry", "cg"), "pulled": ("fouled", "fouled_cg")}


@dataclass(frozen=True, slots=True)
class BundleBeam:
    """A bundle as a beam; metres from the outer face of the stationary tubesheet, rearward +; N and N.m2.

    `tubes`: holes, each a tube's leg; `length`: of the straight tubes; `rider`: centre of the channel or floating head that rides along.
    """

    loads: tuple[Load, ...]
    stiffness: float
    tubes: int
    tube_od: float
    length: float
    front: float  # inner face of the stationary tubesheet
    baffles: tuple[float, ...]
    thickness: float  # of a baffle
    rider: float | None
    bends: bool

    @property
    def weight(self) -> float:
        return sum(f.force for f in self.loads)

    @property
    def centre(self) -> float:
        """Centre of gravity."""
        return sum(f.force * f.middle for f in self.loads) / self.weight

    def heavier(self, weight: float) -> BundleBeam:
        """The same bundle with that weight, N, spread as before."""
        k = weight / self.weight
        return replace(self, loads=tuple(Load(f.at, f.force * k, f.to) for f in self.loads))

    def beside(self, at: float) -> tuple[float | None, float | None]:
        """The nearest baffle in front of a place, or at it, and the nearest behind."""
        before = max((b for b in self.baffles if b <= at + 1e-9), default=None)
        return before, min((b for b in self.baffles if b > at + 1e-9), default=None)


def bundle_beam(exchanger: Exchanger, bundle: Answer | Missing | None, hung: Answer | Missing | None, state: State) -> BundleBeam | Missing:
    """The beam of an exchanger's bundle. `bundle`: its mass and parts; `hung`: the same with what rides along."""
    if not isinstance(bundle, Answer) or not isinstance(hung, Answer):
        lacks = next((m for m in (hung, bundle) if isinstance(m, Missing)), None)
        return Missing("the bundle as a beam", lacks.do if lacks else "this exchanger has no bundle to pull.")
    x, w = exchanger, Working("stiffness", STATICS)
    sheet = x.stationary_tubesheet.thickness
    if not (x.tubes.od and x.tubes.wall and x.tubes.length and sheet):
        return Missing("the bundle as a beam", "give od, wall and length in [tubes], and thickness in [stationary_tubesheet].")
    elastic(w, "tubes", x.tubes.material, "_t")
    count = int(bundle.working.parts[0]["N_t"])
    one = pi / 64 * (x.tubes.od.si**4 - (x.tubes.od.si - 2 * x.tubes.wall.si) ** 4)
    mass, centre = _MASS[state]
    made = BundleBeam(
        tuple(_loads(bundle, hung, state)), w["E_t"] * one * count, count, x.tubes.od.si, x.tubes.length.si, sheet.si, baffle_places(x),
        x.baffles.thickness.si if x.baffles.thickness else 0.0, _rider(hung), x.letters.rear == "U",
    )  # fmt: skip
    made = made.heavier(hung.si(mass) * STANDARD_GRAVITY)
    return made if abs(made.centre - hung.si(centre)) < 1e-6 else Missing("the bundle as a beam", "weigh it: its parts do not add up.")


def baffle_places(exchanger: Exchanger) -> tuple[float, ...]:
    """Where each baffle stands, m from the outer face of the stationary tubesheet; none where the file does not say."""
    b, sheet = exchanger.baffles, exchanger.stationary_tubesheet.thickness
    if not (b.count and b.spacing and b.first_position and sheet):
        return ()
    return tuple(sheet.si + b.first_position.si + i * b.spacing.si for i in range(int(b.count.si)))


def _loads(bundle: Answer, hung: Answer, state: State) -> list[Load]:
    """Every part where it stands, as kg: baffles and rods spread, dirt and water along the tubes."""
    w, tubes = bundle.working, bundle.working.parts[0]
    k = w["m_d"] / w["m_c"]
    dirt = 0.0 if state == "dry" else w["m_f"] + w["m_v"]
    found: list[Load] = []
    for part in w.parts:
        own = part["m"] * k
        if part is tubes:
            found += _of_tubes(tubes, own + dirt)
        else:
            found.append(_spread(part, own) if part.name in ("baffles", "rods, spacers and bars") else Load(part["x"], own))
    return [*found, Load(hung.working["x_h"], hung.working["m_h"])] if "x_h" in hung.working.steps else found


def _of_tubes(tubes: Working, mass: float) -> list[Load]:
    """Straight tubes evenly along their length, bends at their centre."""
    if "m_u" not in tubes.steps:
        return [Load(0.0, mass, tubes["L_t"])]
    straight = mass * tubes["m_l"] / tubes["m"]
    bends = mass - straight
    return [Load(0.0, straight, tubes["L_t"]), Load((mass * tubes["x"] - straight * tubes["L_t"] / 2) / bends, bends)]


def _spread(part: Working, mass: float) -> Load:
    """Evenly about their centre, as far as the nearer tubesheet."""
    reach = min(part["x"] - part["t_1"], part["x_e"] - part["x"])
    return Load(part["x"] - reach, mass, part["x"] + reach)


def _rider(hung: Answer) -> float | None:
    return hung.working["x_h"] if "x_h" in hung.working.steps else None
