"""A reading of a pressure test as the record has it: gauge, thermometers, litres."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

LOWERED = 0.10  # of the highest reading, from one reading to the next: let down on purpose
SKIN = 0.2  # K, place of a thermometer on the metal
IN_WATER = 0.05  # K, in the water


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading of an attempt; MPa gauge, degC, L; `second`: gauge B.

    `warm`: of the water, else of the metal, None where neither was read."""

    at: datetime
    pressure: float
    water: float | None = None
    metal: float | None = None
    pumped: float | None = None
    second: float | None = None

    def warm(self, skin: bool) -> float | None:
        """What was read of the metal, or of the water."""
        return self.metal if skin else self.water


def reading_of(at: datetime, payload: Any) -> Reading:
    """From an entry `test.reading`."""
    got = (payload.get(key) for key in ("water_degc", "metal_degc", "pumped_l", "gauge_b_mpa"))
    return Reading(at, float(payload["pressure_mpa"]), *got)


def readings_from(entries: Iterable[tuple[datetime, Any]]) -> tuple[Reading, ...]:
    """(when, payload) of each reading in the order of time."""
    return tuple(reading_of(at, payload) for at, payload in entries)
