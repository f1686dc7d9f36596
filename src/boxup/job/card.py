"""The card of one step: what, who, what to look at, the number, the paper, what stops it, and what it waits for and why."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from boxup.job.rules import Rule, needs, rules
from boxup.job.scope import Scope
from boxup.job.steps import Step, step_of
from boxup.job.table import read_table


@dataclass(frozen=True, slots=True)
class Wait:
    """One need on a card. `when` says for which exchangers it counts ("always" for all); "" once an exchanger is given."""

    step: str
    when: str
    rule: Rule

    def as_json(self) -> dict[str, object]:
        """One need as JSON."""
        rule = self.rule
        return {
            "step": self.step,
            "because": rule.because,
            "kind": rule.kind,
            "hold": rule.hold,
            "when": self.when,
            "confidence": rule.confidence,
            "evidence": [dict(incidents()[name]) for name in rule.evidence],
            "source": rule.source,
            "label": rule.label,
        }


@dataclass(frozen=True, slots=True)
class Card:
    """Everything that is known about one step."""

    code: str
    step: Step
    needs: tuple[Wait, ...]

    def as_json(self) -> dict[str, object]:
        """The card as JSON."""
        step = self.step
        return {
            "step": self.code, "phase": step.phase, "what": step.what, "exists_when": step.exists.text, "per": step.per, "who": step.who,
            "looks_at": step.looks_at, "number_needed": step.number_needed, "paper": step.paper, "time": step.time, "stops": step.stops,
            "source": step.source, "label": step.label, "needs": [one.as_json() for one in self.needs],
        }  # fmt: skip

    def lines(self) -> list[str]:
        """The card as plain lines, blanks left out."""
        step = self.step
        facts = (
            ("what", step.what), ("phase", step.phase), ("there when", step.exists.text), ("done for", _times(step)), ("who", step.who),
            ("look at", step.looks_at), ("number", step.number_needed), ("paper", step.paper), ("time", step.time),
            ("stops it", step.stops), ("source", f"{step.source} ({step.label})"),
        )  # fmt: skip
        head = [self.code, *(f"  {name + ':':<12}{text}" for name, text in facts if text)]
        return [*head, "  waits for:" if self.needs else "  waits for nothing", *(line for one in self.needs for line in _wait_lines(one))]


def explain(code: str, scope: Scope | None = None) -> Card:
    """The card of a step. With a scope: only what counts for that exchanger, in its words; without: every rule with its condition.

    An unknown code, or one that does not exist in the scope, is a StepError with near matches.
    """
    step = step_of(code)
    if scope is None:
        return Card(step.code, step, tuple(Wait(rule.before, _condition(rule), rule) for rule in rules() if rule.after == step.code))
    wanted = needs(scope)
    named = scope.named(code)
    seen = {need.step: need.rule for one in named for need in wanted[one.code]}
    said = {one.here(scope.flags) for one in named}
    here = said.pop() if len(said) == 1 else step
    return Card(code.strip(), here, tuple(Wait(before, "", rule) for before, rule in seen.items()))


@cache
def incidents() -> Mapping[str, Mapping[str, str]]:
    """What has happened where a rule was not kept, by name: `what`, `source`, `label`."""
    return MappingProxyType({row["incident"]: row for row in read_table("incidents.csv", ("incident", "what"))})


def _condition(rule: Rule) -> str:
    """When a rule counts, and for which items of the two steps."""
    parts = [] if rule.when.text == "always" else [rule.when.text]
    parts += [f"of {rule.only.words}"] if rule.only else []
    parts += [f"for {rule.to.words}"] if rule.to else []
    return ", ".join(parts) or "always"


def _times(step: Step) -> str:
    where = " ".join(filter(None, (step.kind, step.only.words, f"{step.side} side" if step.side else "")))
    return step.per if step.per == "once" else f"each {step.per}" + (f" ({where})" if where else "")


def _wait_lines(wait: Wait) -> list[str]:
    mark = ", hold point" if wait.rule.hold else ""
    when = f" [when {wait.when}]" if wait.when not in ("", "always") else ""
    told = [f"        it has happened: {incidents()[name]['what']} ({incidents()[name]['source']})" for name in wait.rule.evidence]
    return [f"    {wait.step} ({wait.rule.kind}{mark}){when}: {wait.rule.because}", *told]
