"""The most the gauge of a test may show: the lowest limit of the circuit, less the water that stands between the gauge and the low end."""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.quantity import Quantity
from boxup.exchanger.model import Exchanger
from boxup.hydro.circuit import Limit, limits_of
from boxup.hydro.sheet import TestAnswer


@dataclass(frozen=True, slots=True)
class AtGauge:
    """`most`: Pa at the gauge; `limit`: the lowest of the circuit, which holds at the low end; `under`: Pa of water under the gauge."""

    limit: Limit
    under: float = 0.0

    @property
    def most(self) -> float:
        return self.limit.most.si - self.under

    def over(self, gauge: float) -> bool:
        """Whether a gauge at so many Pa says that something sees more than it may."""
        return gauge + self.under > self.limit.most.si * (1 + 1e-9)


def at_gauge(exchanger: Exchanger, sheet: TestAnswer) -> AtGauge | None:
    """By all the sheet knows; None where no limit is known. Where the height is not known the water under the gauge counts as none."""
    limits = _limits(exchanger, sheet)
    if not limits:
        return None
    low, gauge = sheet.values.get("low_end_pressure"), sheet.values.get("gauge_pressure")
    return AtGauge(min(limits, key=lambda one: one.most.si), low.si - gauge.si if low and gauge else 0.0)


def _limits(exchanger: Exchanger, sheet: TestAnswer) -> tuple[Limit, ...]:
    """Those of the circuit, and what folds the tubes from outside where that was worked: above any of them something may have given way."""
    folds = sheet.values.get("tube_collapse")
    worked = (Limit("what folds the tubes from outside, as worked", Quantity(folds.si, "MPa", f"{folds.value:.6g} MPa")),) if folds else ()
    return (*limits_of(exchanger, sheet.test.side, exchanger.tubes.outside_limit, ()), *worked)
