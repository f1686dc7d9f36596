"""May I? Yes, or the undone steps it waits for, each with its reason and whether that one can start now."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

from boxup.core.finding import Finding
from boxup.job.order import order
from boxup.job.rules import Need, Rule, needs
from boxup.job.scope import Instance, Scope


@dataclass(frozen=True, slots=True)
class Missing:
    """A direct need that is not done. `stands`: on a live job, how it stands: undone and why, one name, run out."""

    need: Need
    ready: bool
    stands: str = ""

    def as_json(self) -> dict[str, str | bool]:
        """The shape `--json` prints."""
        return {**self.need.as_json(), "ready": self.ready, **({"stands": self.stands} if self.stands else {})}


@dataclass(frozen=True, slots=True)
class Answer:
    """The answer to "may I?". It speaks of the order of work only; permit, site procedure and the authorised person decide."""

    asked: tuple[str, ...]
    missing: tuple[Missing, ...]
    findings: tuple[Finding, ...]
    against: tuple[str, ...] = ()  # on a live job: pressure on, things to put right

    @property
    def may(self) -> bool:
        """True when nothing it directly waits for is missing, and nothing stands against it."""
        return not self.missing and not self.against

    def as_json(self) -> dict[str, object]:
        """The shape `--json` prints."""
        return {
            "may": self.may,
            "missing": [one.as_json() for one in self.missing],
            "findings": [one.as_json() for one in self.findings],
            **({"against": list(self.against)} if self.against else {}),
        }


def may(scope: Scope, done: Iterable[str], step: str, table: Iterable[Rule] | None = None) -> Answer:
    """May this step start? `done` and `step` take full codes (`GKT_FH:J4`) or bare ones (all items). Unknown codes: StepError, all at once.

    Missing are the direct needs that are not done. A step ticked as done while one of its own needs is not is a finding, never mended.
    """
    asked = tuple(one.code for one in scope.named(step))
    ticked = set(scope.named_all(done))
    wanted = needs(scope, table)
    unmet = {need.step: need for code in asked for need in wanted[code] if need.step not in ticked and need.step not in asked}
    missing = tuple(Missing(unmet[code], all(other.step in ticked for other in wanted[code])) for code in scope.instances if code in unmet)
    already = [code for code in asked if code in ticked]
    note = [Finding("note", f"{', '.join(already)} is ticked as done already.", "")] if already else []
    return Answer(asked, missing, (*note, *standing_on_nothing(scope, ticked, wanted)))


def next_steps(scope: Scope, done: Iterable[str]) -> tuple[Instance, ...]:
    """What may be done now: not done, and everything it waits for done; in the order of the job."""
    ticked = set(scope.named_all(done))
    return tuple(one.instance for one in order(scope) if one.instance.code not in ticked and all(need.step in ticked for need in one.needs))


def standing_on_nothing(scope: Scope, ticked: Collection[str], wanted: Mapping[str, tuple[Need, ...]]) -> tuple[Finding, ...]:
    """A finding for each done step whose own need is not done: a stop where the need is a hold point or a matter of safety."""
    return tuple(
        Finding(
            "stop" if need.rule.hold or need.rule.kind == "safety" else "warn",
            f"{code} is ticked as done, but {need.step} is not: {need.rule.because}. Do {need.step} and look at {code} again, "
            f"or take the tick off {code}.",
            need.rule.source,
        )
        for code in scope.instances
        if code in ticked
        for need in wanted[code]
        if need.step not in ticked
    )
