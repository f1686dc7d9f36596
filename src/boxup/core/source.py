"""Where a value or a rule was read, and how good that is as evidence."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Label = Literal["published", "practice", "memory", "computed", "demo"]
LABELS: tuple[Label, ...] = ("published", "practice", "memory", "computed", "demo")

SAID: dict[Label, str] = {
    "published": "published",
    "practice": "common practice",
    "memory": "from memory: confirm",
    "computed": "worked out here",
    "demo": "invented for the demo",
}


@dataclass(frozen=True, slots=True)
class Source:
    """A standard, handbook, paper or page. `label` says whether we read it."""

    id: str
    title: str
    label: Label
    note: str = ""


@dataclass(frozen=True, slots=True)
class Cite:
    """One place in a source."""

    source: Source
    where: str = ""

    def __str__(self) -> str:
        mark = "" if self.source.label == "published" else f" ({SAID[self.source.label]})"
        return f"{self.source.title}{', ' + self.where if self.where else ''}{mark}"
