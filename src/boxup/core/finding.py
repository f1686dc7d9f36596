"""What a check has to say: a sentence, how serious it is, and where the limit comes from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Level = Literal["stop", "warn", "note"]


@dataclass(frozen=True, slots=True)
class Finding:
    """One sentence: what we saw, the limit, what to do. `source` names the clause or says *common practice* / *from memory*."""

    level: Level
    text: str
    source: str = ""

    def as_json(self) -> dict[str, str]:
        """The shape `--json` prints."""
        return {"level": self.level, "text": self.text, "source": self.source}


@dataclass(frozen=True, slots=True)
class Missing:
    """A number that is not given because something must not be assumed: which number, and what to measure or ask for.

    `stops`: nothing is filled or pressed before it is there, so it counts with the stops.
    """

    number: str
    do: str
    stops: bool = False

    @property
    def text(self) -> str:
        return f"No {self.number}: {self.do}"
