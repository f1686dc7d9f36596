"""What one lift comes to: its working, the gear and the crane in it, and what is missing. Never a verdict."""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.finding import Finding, Missing
from boxup.core.working import Step, Working


@dataclass(frozen=True, slots=True)
class OnGear:
    """A piece of gear under load: what is on it, what it may carry in this use, and the share of it. Loads in N, capacity in kg.

    `may_carry` and `share` are None where nothing is printed for the way it is used: it has no capacity so.
    """

    id: str
    kind: str
    load: Step
    may_carry: Step | None
    share: Step | None


@dataclass(frozen=True, slots=True)
class LiftAnswer:
    """A lift or a pull: its working, and what is missing. Never a verdict."""

    name: str
    working: Working
    missing: tuple[Missing, ...]

    def step(self, symbol: str) -> Step | None:
        return self.working.steps.get(symbol)

    @property
    def findings(self) -> list[Finding]:
        return self.working.all_findings()

    @property
    def gear(self) -> list[OnGear]:
        """Each piece that was held against its tag."""
        return [_on_gear(part) for part in self.working.parts if part.name.startswith("gear ") and "U" in part.steps]

    @property
    def crane(self) -> Working | None:
        """The part with what the crane carries; None where nobody said what hangs on it."""
        return next((part for part in self.working.parts if "m_g" in part.steps), None)


def _on_gear(part: Working) -> OnGear:
    id_, _, kind = part.name.removeprefix("gear ").partition(": ")
    steps = part.steps
    share = steps.get("c")
    return OnGear(id_, kind, steps.get("T", steps["U"]), steps.get("C_u", steps["C"]) if share else None, share)
