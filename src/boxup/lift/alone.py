"""What one sling carries alone on the way in or out, and what holds the tubesheet end, with the allowance of the lift plan."""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.quantity import Quantity
from boxup.core.source import Cite
from boxup.core.working import Working
from boxup.lift.gear import PRACTICE, STATICS

_HOW = "heaviest of the places of its way, stiff and as a beam"


@dataclass(frozen=True, slots=True)
class Heaviest:
    """The most the hook carries in one stage of a way: N, where (m in), which way, and the weight of the bundle there, N."""

    load: float
    at: float
    way: str
    weight: float

    def with_weight(self, weight: float) -> float:
        """The same with the bundle as heavy as that."""
        return self.load * weight / self.weight


@dataclass(frozen=True, slots=True)
class AloneLoads:
    """The front sling once the rear one is off, and what holds the tubesheet end once no sling fits; None where no place is like that."""

    front: Heaviest | None = None
    end: Heaviest | None = None


def alone_loads(w: Working, alone: AloneLoads) -> None:
    """T_a and T_e from W: the front sling alone, and the tubesheet end held, with the weight that is planned on."""
    named = (("a", alone.front, "front sling alone, the rear one off"), ("e", alone.end, "tubesheet end held by itself"))
    for mark, most, label in named:
        if most is None:
            continue
        place = f"{label}: {most.way}, {most.at:.2f} m in"
        w.kernel(f"R_{mark}", f"{place}, without allowance", most.load, "kN", _HOW, Cite(STATICS, "elastic line"))
        w.kernel(f"W_{mark}", f"weight of the bundle there, {most.way}", most.weight, "kN", "no allowance", Cite(STATICS, "weight"))
        w.step(f"T_{mark} = R_{mark}*W/W_{mark}", "kN", f"{label}, allowance included", "in the same proportion", source=PRACTICE)


def least_length(hitch: str, leg: float, diameter: Quantity | None) -> float:
    """m of sling for a leg of that length: in a basket two legs and half way round the bundle, choked one leg and half way round."""
    half = 0.0 if diameter is None else diameter.si * 1.5707963267948966
    return {"basket": 2 * leg + half, "choker": leg + half}.get(hitch, leg)
