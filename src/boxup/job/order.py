"""A legal order of the steps: never a step before what it waits for, and otherwise as the job is read, phase by phase."""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from boxup.job.rules import Need, Rule, needs
from boxup.job.scope import Instance, Scope


class OrderError(ValueError):
    """The rules go round in a circle: the sentence names the circle, step by step."""


@dataclass(frozen=True, slots=True)
class Placed:
    """A step in its place, with what it waits for."""

    instance: Instance
    needs: tuple[Need, ...]

    def as_json(self) -> dict[str, object]:
        """The shape `--json` prints."""
        step = self.instance.step
        return {
            "step": self.instance.code,
            "phase": step.phase,
            "what": step.what,
            "who": step.who,
            "needs": [need.as_json() for need in self.needs],
        }


def order(scope: Scope, table: Iterable[Rule] | None = None) -> tuple[Placed, ...]:
    """Every step of the scope in a legal order, the same each time. OrderError when the rules go round in a circle."""
    wanted = needs(scope, table)
    waiting = {code: len({need.step for need in list_}) for code, list_ in wanted.items()}
    releases: dict[str, list[str]] = {code: [] for code in wanted}
    for code, list_ in wanted.items():
        for before in {need.step for need in list_}:
            releases[before].append(code)
    rank = {code: (*one.step.rank, number) for number, (code, one) in enumerate(scope.instances.items())}
    ready = [(rank[code], code) for code, count in waiting.items() if count == 0]
    heapq.heapify(ready)
    placed: list[Placed] = []
    while ready:
        _, code = heapq.heappop(ready)
        placed.append(Placed(scope.instances[code], wanted[code]))
        for later in releases[code]:
            waiting[later] -= 1
            if waiting[later] == 0:
                heapq.heappush(ready, (rank[later], later))
    if len(placed) < len(wanted):
        raise OrderError(_circle(wanted, {one.instance.code for one in placed}))
    return tuple(placed)


def all_needs(scope: Scope, code: str, table: Iterable[Rule] | None = None) -> frozenset[str]:
    """Everything that must be done before this step, near or far (full codes). The code may be bare."""
    wanted = needs(scope, table)
    found: set[str] = set()
    look = [one.code for one in scope.named(code)]
    while look:
        for need in wanted[look.pop()]:
            if need.step not in found:
                found.add(need.step)
                look.append(need.step)
    return frozenset(found)


def _circle(wanted: Mapping[str, tuple[Need, ...]], placed: set[str]) -> str:
    """Every step left waits for another step left; walking back along the waits must meet itself."""
    walked: list[str] = [next(code for code in wanted if code not in placed)]
    while True:
        before = next(need.step for need in wanted[walked[-1]] if need.step not in placed)
        if before in walked:
            circle = [*walked[walked.index(before) :], before]
            return f"The rules go round in a circle: {' waits for '.join(circle)}. One of these rules is wrong."
        walked.append(before)
