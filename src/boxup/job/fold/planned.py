"""What the test sheets ask for, as the entries of a test are held against it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from boxup.core.unit import UNITS
from boxup.exchanger.model import Exchanger
from boxup.hydro.at_gauge import AtGauge, at_gauge
from boxup.hydro.plan import plan_of
from boxup.hydro.sheet import TestAnswer, test_sheet
from boxup.job.fold.engine import Folding, exchanger_of

WANTED = (("gauge_pressure", "MPa"), ("least_temperature", "degC"), ("hold", "min"))


@dataclass(frozen=True, slots=True)
class Planned:
    """What the test sheet asks for; None where it could not be worked. `most`: what the gauge may show, by all limits the sheet knows."""

    gauge_mpa: float | None = None
    least_degc: float | None = None
    hold_min: float | None = None
    most: AtGauge | None = None


def wanted(f: Folding, code: str) -> Planned:
    """Of one test, by the file of the job; nothing known where there is no file or no sheet."""
    return (planned(f.state.file_text).get(code) if f.state.file_text else None) or Planned()


@lru_cache(maxsize=8)
def planned(file_text: str) -> Mapping[str, Planned]:
    """By test: pressure at the gauge, least temperature, hold, most at the gauge, from the exchanger file."""
    x = exchanger_of(file_text)
    if x is None:
        return {}
    sheets = (test_sheet(x, test, volume=None) for test in plan_of(x))
    return {sheet.test.code: _planned(x, sheet) for sheet in sheets}


def _planned(x: Exchanger, sheet: TestAnswer) -> Planned:
    gauge, least, hold = (_in(sheet, *key) for key in WANTED)
    return Planned(gauge, least, hold, at_gauge(x, sheet))


def _in(sheet: TestAnswer, key: str, unit: str) -> float | None:
    step = sheet.values.get(key)
    return None if step is None else UNITS[unit].from_si(step.si)
