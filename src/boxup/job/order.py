"""A legal order of the steps: never a step before what it waits for, and otherwise as the job is read, phase by phase."""

from __future__ import annotations

import heapq
from bisect import insort
from collections import deque
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from boxup.job.rules import Need, Rule, belong_together, needs
from boxup.job.scope import Instance, Scope

Rank = tuple[int, int, int, int]  # phase, line of the table, item, beside


class OrderError(ValueError):
    """The rules go round in a circle: the sentence names the circle, step by step."""


@dataclass(frozen=True, slots=True)
class Placed:
    """A step in its place, with what it waits for and what is done, in the words of this exchanger."""

    instance: Instance
    needs: tuple[Need, ...]
    what: str = ""
    who: str = ""

    def as_json(self) -> dict[str, object]:
        """The shape `--json` prints."""
        step = self.instance.step
        return {
            "step": self.instance.code,
            "phase": step.phase,
            "what": self.what or step.what,
            "who": self.who or step.who,
            "needs": [need.as_json() for need in self.needs],
        }


def order(scope: Scope, table: Iterable[Rule] | None = None) -> tuple[Placed, ...]:
    """Every step of the scope in a legal order, the same each time. OrderError when the rules go round in a circle.

    Of the steps that may be done, the first in reading order is done; but a phase is not left while a step of it lets the work of an
    earlier phase go on: the test ring comes out before the crew goes back to boxing up.
    """
    wanted = needs(scope, table)
    line = _Line(wanted, _ranks(scope))
    placed: list[Placed] = []
    while line.ready:
        code = line.take()
        instance = scope.instances[code]
        here = instance.here(scope.flags)
        placed.append(Placed(instance, wanted[code], here.what, here.who))
    if len(placed) < len(wanted):
        raise OrderError(_circle(wanted, {one.instance.code for one in placed}))
    return tuple(placed)


class _Line:
    """The steps that wait and those that may be done, while an order is made."""

    def __init__(self, wanted: Mapping[str, tuple[Need, ...]], rank: Mapping[str, Rank]) -> None:
        self.rank = rank
        self.before = {code: {need.step for need in list_} for code, list_ in wanted.items()}
        self.waiting = {code: len(before) for code, before in self.before.items()}
        self.releases: dict[str, list[str]] = {code: [] for code in wanted}
        for code, before in self.before.items():
            for one in before:
                self.releases[one].append(code)
        self.ready = [(rank[code], code) for code, count in self.waiting.items() if count == 0]
        heapq.heapify(self.ready)
        self.phase = -1
        self.first: deque[str] = deque()  # steps of this phase that are done before it is left

    def take(self) -> str:
        """The next step, taken from those that may be done."""
        if not self.first and self.ready[0][0][0] < self.phase:
            self.first.extend(self._worth_staying())
        if self.first:
            code = self.first.popleft()
            self.ready.remove((self.rank[code], code))
            heapq.heapify(self.ready)
        else:
            code = heapq.heappop(self.ready)[1]
        self.phase = self.rank[code][0]
        for later in self.releases[code]:
            self.waiting[later] -= 1
            if self.waiting[later] == 0:
                heapq.heappush(self.ready, (self.rank[later], later))
        return code

    def _worth_staying(self) -> list[str]:
        """Steps of this phase, in an order in which they may be done, that make a step of an earlier phase ready."""
        done: list[str] = []
        left: dict[str, int] = {}
        freed: set[str] = set()
        look = sorted(one for one in self.ready if one[0][0] == self.phase)
        while look:
            code = look.pop(0)[1]
            done.append(code)
            for later in self.releases[code]:
                left[later] = left.get(later, self.waiting[later]) - 1
                if left[later] == 0 and self.rank[later][0] == self.phase:
                    insort(look, (self.rank[later], later))
                elif left[later] == 0 and self.rank[later][0] < self.phase:
                    freed.add(later)
        wanted = set(freed)
        for code in reversed(done):
            if wanted.intersection(self.releases[code]):
                wanted.add(code)
        return [code for code in done if code in wanted]


def _ranks(scope: Scope) -> Mapping[str, Rank]:
    """Reading order: phase, line, item; a step that stands beside another one is read just before it, item by item."""
    number = {code: n for n, code in enumerate(scope.instances)}
    return {code: _rank(one, scope, number) for code, one in scope.instances.items()}


def _rank(one: Instance, scope: Scope, number: Mapping[str, int]) -> Rank:
    beside = [other for other in scope.by_step.get(one.step.beside, ()) if belong_together(one, other)]
    if not beside:
        return (*one.step.rank, number[one.code], 1)
    first = min(beside, key=lambda other: number[other.code])
    return (*first.step.rank, number[first.code], 0)


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
