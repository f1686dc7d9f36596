"""A number as a sheet shows it: both systems, rounded as the trade rounds that kind."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TypedDict

from boxup.core.finding import Finding, Missing
from boxup.core.rounding import Way, customary, metric
from boxup.core.working import Step


class Shown(TypedDict):
    """`text` and `sign` in the metric system, `other` in the other one, empty where both are the same."""

    text: str
    sign: str
    other: str


def shown(kind: str, si: float | None, way: Way = "near") -> Shown | None:
    """A value of that kind (see `core.rounding`), or None: not given."""
    if si is None:
        return None
    one, other = metric(kind, si, way), customary(kind, si, way)
    return {"text": one.text, "sign": one.sign, "other": "" if one == other else str(other)}


def of_step(kind: str, step: Step | None, way: Way = "near") -> Shown | None:
    """The value of a step of a working."""
    return shown(kind, step.si if step else None, way)


def plainly(text: str, sign: str = "") -> Shown:
    """Words or a figure that is the same in both systems."""
    return {"text": text, "sign": sign, "other": ""}


def told(findings: Iterable[Finding]) -> list[dict[str, str]]:
    """Findings for a sheet, stops first; notes stand with the workings."""
    order = {"stop": 0, "warn": 1, "note": 2}
    return [f.as_json() for f in sorted(dict.fromkeys(findings), key=lambda f: order[f.level]) if f.level != "note"]


def lacking(missing: tuple[Missing, ...] | list[Missing]) -> list[dict[str, str]]:
    """What is not given, for a sheet."""
    return [{"number": m.number, "do": m.do} for m in dict.fromkeys(missing)]
