"""What a verification found: the heads to hold against paper, the entries that are sound, and everything that is wrong."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple


class Head(NamedTuple):
    """Where the chain of a job ends. Written down elsewhere, it shows later that nothing up to there was changed or cut off."""

    job: str
    entries: int
    hash: str


def shown(text: str) -> str:
    """A text that may have been read from a damaged file, so that any screen can show it."""
    return text.encode("utf-8", "surrogateescape").decode("utf-8", "backslashreplace")


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that is wrong. `job`, `number` and `seq` say which entry; empty and 0 where it is no single entry."""

    what: str
    job: str = ""
    number: int = 0
    seq: int = 0

    def __str__(self) -> str:
        if not self.seq:
            return shown(self.what)
        return shown(f"Job {self.job}, entry {self.number} (number {self.seq} of the record): {self.what}.")


@dataclass(frozen=True, slots=True)
class Verdict:
    """`sound`: entries that are as they were recorded. `faults`: the entries that are not, in their order, then what is wrong beside them.

    `remarks`: what could not be looked at, and why; never a fault.
    """

    sound: int
    heads: tuple[Head, ...]
    faults: tuple[Fault, ...]
    remarks: tuple[str, ...] = ()

    @property
    def ok(self) -> bool:
        return not self.faults
