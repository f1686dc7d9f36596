"""The rules: A before B because ..., and which joint's A a joint's B waits for."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType

from boxup.job.condition import Condition, check_names, parse
from boxup.job.flags import flag_names
from boxup.job.scope import Instance, Item, Scope, kinds
from boxup.job.steps import SIDES, steps
from boxup.job.table import TableError, read_table

KINDS = ("physical", "quality", "safety")
PAIRS = ("all", "same")
CONFIDENCE = ("high", "medium", "low")
_COLUMNS = ("before", "after", "kind", "hold", "when", "pair", "only", "because", "confidence", "evidence")
_JOINTS = ("joint", "stud set", "nozzle")


@dataclass(frozen=True, slots=True)
class Rule:
    """One line of `rules.csv`.

    `pair` all: every item of the step before; same: the items that belong together (the same joint, blind, tube, test; the gasket, blind,
    lift or tool of that joint or nozzle). `only` keeps, of the step before, the items of these kinds (`kind@side`).
    """

    before: str
    after: str
    kind: str
    hold: bool
    when: Condition
    pair: str
    only: tuple[tuple[str, str], ...]
    because: str
    confidence: str
    evidence: tuple[str, ...]
    source: str
    label: str

    @property
    def name(self) -> str:
        """`ZERO>BREAK`: no two rules share it."""
        return f"{self.before}>{self.after}"


@dataclass(frozen=True, slots=True)
class Need:
    """One thing a step waits for."""

    step: str
    rule: Rule

    def as_json(self) -> dict[str, str | bool]:
        """The shape `--json` prints."""
        return {"step": self.step, "because": self.rule.because, "kind": self.rule.kind, "hold": self.rule.hold}


@lru_cache(maxsize=1)
def rules() -> tuple[Rule, ...]:
    """Every rule in file order, checked: codes, flags and kinds are known, no pair stands twice."""
    found: dict[str, Rule] = {}
    for line in read_table("rules.csv", _COLUMNS):
        rule = Rule(
            line["before"], line["after"], line["kind"], line["hold"] == "hold", parse(line["when"]), line["pair"], _only(line["only"]),
            line["because"], line["confidence"], tuple(line["evidence"].split()), line["source"], line["label"],
        )  # fmt: skip
        _check(rule, line["hold"], found)
        found[rule.name] = rule
    return tuple(found.values())


def needs(scope: Scope, table: Iterable[Rule] | None = None) -> Mapping[str, tuple[Need, ...]]:
    """Direct needs of every instance, by full code, in reading order. A rule counts when both steps exist and its condition holds.

    `table` replaces the rules of the package (tests take one away at a time).
    """
    found: dict[str, list[Need]] = {code: [] for code in scope.instances}
    for rule in rules() if table is None else table:
        if rule.before in scope.by_step and rule.after in scope.by_step and rule.when.holds(scope.flags):
            candidates = _chosen(rule, scope)
            for after in scope.by_step[rule.after]:
                found[after.code].extend(Need(before.code, rule) for before in _paired(rule, candidates, after))
    place = {code: number for number, code in enumerate(scope.instances)}
    return MappingProxyType({code: tuple(sorted(list_, key=lambda need: place[need.step])) for code, list_ in found.items()})


def _chosen(rule: Rule, scope: Scope) -> tuple[Instance, ...]:
    """The instances of the step before that the rule is about; when none is of the kind asked for, all of them (a rule is not lost)."""
    befores = scope.by_step[rule.before]
    if not rule.only:
        return befores
    return tuple(one for one in befores if one.item is None or _is_one_of(one.item, rule.only, scope)) or befores


def _is_one_of(item: Item, wanted: tuple[tuple[str, str], ...], scope: Scope) -> bool:
    """An item of the kind, or one that belongs to a joint of the kind; a gasket whose joint is not known counts."""
    if item.list == "gaskets" and item.of is None:
        return True
    owner = scope.owners.get(item.of or "") if item.list not in ("joints", "nozzles") else None
    return any(
        one.kind == kind and (not side or one.side in (None, side)) for one in (item, owner) if one is not None for kind, side in wanted
    )


def _paired(rule: Rule, befores: tuple[Instance, ...], after: Instance) -> tuple[Instance, ...]:
    if rule.pair == "all":
        return befores
    related = tuple(before for before in befores if _belong_together(before, after))
    if not related and befores and befores[0].step.per in ("gasket", "tool"):
        return befores  # no gasket or tool is listed for that joint: the whole list is asked for, none is not an answer
    return related


def _belong_together(before: Instance, after: Instance) -> bool:
    one, two = before.item, after.item
    if one is None or two is None:
        return True
    if "stud set" in (before.step.per, after.step.per):
        return _studs(one) == _studs(two)
    if before.side and after.side and before.side != after.side:
        return False
    if before.step.per in _JOINTS and after.step.per in _JOINTS:
        return one.id == two.id
    if before.step.per == after.step.per:
        return one.id == two.id
    ends = [item.id if per in _JOINTS else item.of for item, per in ((one, before.step.per), (two, after.step.per))]
    return None in ends or ends[0] == ends[1]


def _studs(item: Item) -> str:
    return item.of or item.id


def _only(text: str) -> tuple[tuple[str, str], ...]:
    return tuple((kind.strip(), side.strip()) for kind, _, side in (part.partition("@") for part in text.split("|")) if kind.strip())


def _check(rule: Rule, hold: str, above: Mapping[str, Rule]) -> None:
    known = {kind for of_list in kinds().values() for kind in of_list}
    check_names(rule.when, flag_names())
    wrong = [
        text
        for bad, text in (
            (rule.name in above, "stands twice"),
            (rule.before == rule.after, "waits for itself"),
            (not {rule.before, rule.after} <= set(steps()), "names a step that is not in steps.csv"),
            (rule.kind not in KINDS, f"kind {rule.kind!r} is not one of {', '.join(KINDS)}"),
            (hold not in ("", "hold"), f"hold is {hold!r}; accepted are hold or nothing"),
            (rule.pair not in PAIRS, f"pair {rule.pair!r} is not one of {', '.join(PAIRS)}"),
            (any(kind not in known or side not in SIDES for kind, side in rule.only), "only names a kind or side that is not known"),
            (rule.confidence not in CONFIDENCE, f"confidence {rule.confidence!r} is not one of {', '.join(CONFIDENCE)}"),
            (not rule.because, "has no because"),
        )
        if bad
    ]
    if wrong:
        raise TableError(f"rules.csv, {rule.name}: {'; '.join(wrong)}.")
