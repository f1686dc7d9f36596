"""Following the chain of every job from its first entry, wherever the entries come from."""

from __future__ import annotations

from boxup.store.entry import Entry, no_head, wrong_with
from boxup.store.verdict import Fault, Head


class Walk:
    """The heads so far, how many entries were sound, and which were not."""

    def __init__(self) -> None:
        self.heads: dict[str, Head] = {}
        self.sound = 0
        self.faults: list[Fault] = []
        self.seq = 0

    def step(self, entry: Entry, seq: int) -> None:
        """The next entry, `seq` by its own account the one of that number of the whole record."""
        head = self.heads.get(entry.job) or no_head(entry.job)
        wrong = wrong_with(entry, head)
        if not wrong and seq != self.seq + 1:
            wrong = f"it should be number {self.seq + 1} of the record: entries are missing or were moved"
        if wrong:
            self.faults.append(Fault(wrong, entry.job, entry.number, seq))
        else:
            self.sound += 1
        counted = type(entry.number) is int  # a damaged file may hold anything
        self.heads[entry.job] = entry.head if counted else Head(entry.job, head.entries + 1, entry.hash)
        self.seq = seq
