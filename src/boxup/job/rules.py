"""The rules: A before B because ..., and which joint's A a joint's B waits for."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType

from boxup.job.condition import Condition, check_names, parse
from boxup.job.flags import flag_names
from boxup.job.only import Only, check_only, parse_only
from boxup.job.scope import Instance, Item, Scope
from boxup.job.steps import steps
from boxup.job.table import TableError, read_table

KINDS = ("physical", "quality", "safety")
PAIRS = ("all", "same", "side")
CONFIDENCE = ("high", "medium", "low")
_COLUMNS = ("before", "after", "kind", "hold", "when", "pair", "only", "to", "bare", "because", "confidence", "evidence")
_JOINTS = ("joint", "stud set", "nozzle")


@dataclass(frozen=True, slots=True)
class Rule:
    """One line of `rules.csv`.

    `pair` all: every item of the step before; same: the items that belong together (the same joint, blind, tube, test; the gasket, blind,
    lift or tool of that joint or nozzle); side: the items on the same side. `only` keeps, of the step before, the items of these kinds or
    places (`kind@side`); `to` keeps those of the step after. `bare` false: said of single items, not where one step stands for all of them.
    """

    before: str
    after: str
    kind: str
    hold: bool
    when: Condition
    pair: str
    only: Only
    to: Only
    bare: bool
    because: str
    confidence: str
    evidence: tuple[str, ...]
    source: str
    label: str

    @property
    def name(self) -> str:
        """`ZERO>BREAK`; with the items it is about where it is not about all: no two rules share it."""
        about = " to ".join(filter(None, (self.only.text, self.to.text)))
        return f"{self.before}>{self.after}" + (f" ({about})" if about else "")


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
            line["before"], line["after"], line["kind"], line["hold"] == "hold", parse(line["when"]), line["pair"],
            parse_only(line["only"]), parse_only(line["to"]), line["bare"] != "no", line["because"],
            line["confidence"], tuple(line["evidence"].split()), line["source"], line["label"],
        )  # fmt: skip
        _check(rule, line["hold"], line["bare"], found)
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
            for after in _told(rule, scope):
                found[after.code].extend(Need(before.code, rule) for before in _paired(rule, candidates, after) if before is not after)
    place = {code: number for number, code in enumerate(scope.instances)}
    return MappingProxyType({code: tuple(sorted(list_, key=lambda need: place[need.step])) for code, list_ in found.items()})


def _chosen(rule: Rule, scope: Scope) -> tuple[Instance, ...]:
    """The instances of the step before that the rule is about; when none is of the kind asked for, all of them (a rule is not lost)."""
    befores = scope.by_step[rule.before]
    if not rule.only:
        return befores
    chosen = tuple(one for one in befores if one.item is None or _unknown(one.item) or scope.takes(rule.only, one.item))
    return chosen if chosen or rule.only.or_none else befores


def _told(rule: Rule, scope: Scope) -> tuple[Instance, ...]:
    """The instances of the step after that the rule is about."""
    afters = scope.by_step[rule.after]
    return tuple(one for one in afters if (rule.bare if one.item is None else not rule.to or scope.takes(rule.to, one.item)))


def _unknown(item: Item) -> bool:
    """A gasket whose joint nobody named may be of any."""
    return item.list == "gaskets" and item.of is None


def _paired(rule: Rule, befores: tuple[Instance, ...], after: Instance) -> tuple[Instance, ...]:
    if rule.pair == "all":
        return befores
    if rule.pair == "side":
        return tuple(before for before in befores if before.side == after.side or not (before.side and after.side))
    related = tuple(before for before in befores if belong_together(before, after))
    if not related and befores and befores[0].step.per in ("gasket", "tool"):
        return befores  # no gasket or tool is listed for that joint: the whole list is asked for, none is not an answer
    return related


def belong_together(before: Instance, after: Instance) -> bool:
    """Whether two instances are of one thing: the same joint, blind, tube or test, or the gasket, blind, lift or tool of that joint."""
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
    if "lift" in (before.step.per, after.step.per):
        return None in (_hung(before), _hung(after)) or _hung(before) == _hung(after)
    ends = [item.id if per in _JOINTS else item.of for item, per in ((one, before.step.per), (two, after.step.per))]
    return None in ends or ends[0] == ends[1]


def _studs(item: Item) -> str:
    return item.of or item.id


def _hung(one: Instance) -> str | None:
    """The studs that a lift or a joint hangs on."""
    item = one.item
    return None if item is None else _studs(item) if one.step.per in _JOINTS else item.of


def _check(rule: Rule, hold: str, bare: str, above: Mapping[str, Rule]) -> None:
    check_names(rule.when, flag_names())
    check_only(rule.only, f"rules.csv, {rule.name}")
    check_only(rule.to, f"rules.csv, {rule.name}")
    wrong = [
        text
        for bad, text in (
            (rule.name in above, "stands twice"),
            (rule.before == rule.after and (rule.bare or not rule.to), "waits for itself"),
            (bare not in ("", "no"), f"bare is {bare!r}; accepted are no or nothing"),
            (not {rule.before, rule.after} <= set(steps()), "names a step that is not in steps.csv"),
            (rule.kind not in KINDS, f"kind {rule.kind!r} is not one of {', '.join(KINDS)}"),
            (hold not in ("", "hold"), f"hold is {hold!r}; accepted are hold or nothing"),
            (rule.pair not in PAIRS, f"pair {rule.pair!r} is not one of {', '.join(PAIRS)}"),
            (rule.confidence not in CONFIDENCE, f"confidence {rule.confidence!r} is not one of {', '.join(CONFIDENCE)}"),
            (not rule.because, "has no because"),
        )
        if bad
    ]
    if wrong:
        raise TableError(f"rules.csv, {rule.name}: {'; '.join(wrong)}.")
