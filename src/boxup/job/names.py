"""Whether the names in an entry are names of this job: joint, step, test, blind, tool, gasket, stud, tube."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Iterable, Iterator
from datetime import date
from typing import TYPE_CHECKING, Any

from boxup.job.fold.start import KIND_OF, studs_of
from boxup.job.steps import StepError

if TYPE_CHECKING:
    from boxup.exchanger.model import Exchanger
    from boxup.job.scope import Scope


NOT_SAID = "not said"


def unknown(kind: str, payload: dict[str, Any], scope: Scope, exchanger: Exchanger) -> Iterator[str]:
    """A sentence for every name that this job does not have."""
    table = NAMES if kind == "joint.opened" else NAMES | {"joint": _items("joints", "nozzles")}
    for key, names in table.items():
        said = payload.get(key, NOT_SAID)
        if said != NOT_SAID and (here := list(names(scope, exchanger))) and said not in here:
            yield _sentence(kind, key, said, here)
    yield from _step(kind, payload, scope)
    yield from _studs(kind, payload, exchanger)
    if kind == "bundle.force_read":
        from boxup.job.on_its_way import not_read

        yield from not_read(kind, payload, exchanger)
    if "good_until" in payload:
        yield from _day(kind, payload["good_until"])


def _items(*lists: str) -> Callable[[Scope, Exchanger], Iterable[str]]:
    return lambda scope, _: [item.id for item in scope.items if item.list in lists]


NAMES: dict[str, Callable[[Scope, Exchanger], Iterable[str]]] = {
    "joint": _items("joints", "nozzles", "openings"),
    "blind": _items("blinds"),
    "gasket": _items("gaskets"),
    "tool": lambda _, x: [t.id for t in x.tools],
    "test": lambda scope, _: [
        code for code, step in (("B", "BENCH"), ("S1", "STEST1"), ("T", "TTEST"), ("S2", "STEST2")) if step in scope.by_step
    ],
}


def _sentence(kind: str, key: str, said: str, here: list[str]) -> str:
    near = difflib.get_close_matches(said, here, 1, 0.5)
    kinds = f" ({KIND_OF[said]})" if said in KIND_OF else ""
    more = " To put it on the list, change the file and enter job.file_revised." if key in ("tool", "blind", "gasket") else ""
    return f"{kind}, {key}: this job has no {said!r}{kinds}; {f'did you mean {near[0]}? ' if near else ''}it has {', '.join(here)}.{more}"


def _step(kind: str, payload: dict[str, Any], scope: Scope) -> Iterator[str]:
    if "step" in payload:
        try:
            scope.named(payload["step"])
        except StepError as bad:
            yield f"{kind}, step: {bad}"


def _studs(kind: str, payload: dict[str, Any], exchanger: Exchanger) -> Iterator[str]:
    count = studs_of(exchanger, (payload.get("joint", ""),))
    said = [stud for key in ("studs", "dry", "rejected") for stud in payload.get(key, ())]
    said += [payload["stud"]] if "stud" in payload else []
    if count and (strange := [stud for stud in said if not 1 <= stud <= count]):
        yield f"{kind}, studs: {payload['joint']} has {count} studs, and {', '.join(map(str, strange))} is none of them."


def _day(kind: str, text: str) -> Iterator[str]:
    try:
        date.fromisoformat(text)
    except ValueError:
        yield f"{kind}, good_until: {text!r} is no day; a day is written year-month-day, for example 2027-08-15."
