"""The record as a text file that any program can read: a first line about the rest, then one entry a line, each in its one form.

Reading it back, every line must be letter for letter what this module would write: a changed blank is found as surely as a changed number.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import Any

from boxup.record.canonical import payload_text
from boxup.store.base import NoRecord, StoreError
from boxup.store.entry import TYPES, Entry
from boxup.store.verdict import Head
from boxup.store.walk import Walk

FORM = 1
_FIELDS = sorted(Entry._fields)


def lines(heads: Sequence[Head], entries: Iterable[Entry]) -> Iterator[str]:
    """The lines of an export, each with its end. Entries beyond their head were added since the heads were read and are left out."""
    ends = {head.job: head.entries for head in heads}
    yield _first(heads) + "\n"
    for entry in entries:
        if entry.number <= ends.get(entry.job, 0):
            yield line(entry) + "\n"


def line(entry: Entry) -> str:
    """One entry: its fields in the order of their names, the payload as it is kept."""
    said = entry._asdict()
    return "{" + ",".join(f'"{name}":{said[name] if name == "payload" else _text(said[name])}' for name in _FIELDS) + "}"


class Export:
    """An export on disk. `check` looks at all of it; `entries` reads it, and may be called again."""

    def __init__(self, path: Path) -> None:
        self.path = path

    def check(self) -> tuple[Head, ...]:
        """The heads, once every line, every hash and the end have been found in order. StoreError with the line's number."""
        walk = Walk()
        for number, entry in enumerate(self.entries(), 2):
            walk.step(entry, number - 1)
            if walk.faults:
                raise StoreError(f"{self.path}, line {number}: job {entry.job}, entry {entry.number}: {walk.faults[0].what}.")
        heads = tuple(walk.heads.values())
        if heads != (promised := self._promised()):
            raise StoreError(f"{self.path} is not whole: its first line says {_counted(promised)}, and it holds {_counted(heads)}.")
        return heads

    def entries(self) -> Iterator[Entry]:
        """Every entry of the file, in its order."""
        for number, text in self._lines():
            if number > 1:
                yield self._entry(number, text)

    def _promised(self) -> tuple[Head, ...]:
        """The heads that the first line names."""
        first = next((text for _, text in self._lines()), "")
        try:
            said = json.loads(first)
            form, heads = said["boxup_record"], tuple(Head(str(job), int(number), str(hash)) for job, number, hash in said["heads"])
            same = form != FORM or _first(heads) == first
        except (ValueError, TypeError, KeyError, RecursionError):
            same = False
        if not same:
            raise StoreError(f"{self.path}, line 1: this is not the first line of an export; boxup record export writes one.")
        if form != FORM:
            raise StoreError(f"{self.path} is an export in form {form!r}; this program reads form {FORM}. Bring Boxup up to date.")
        return heads

    def _entry(self, number: int, text: str) -> Entry:
        try:
            said = json.loads(text)
            entry = Entry(**{**said, "payload": payload_text(said["payload"])})
            same = all(type(v) is t for v, t in zip(entry, TYPES, strict=True)) and line(entry) == text
        except (ValueError, TypeError, KeyError, RecursionError):
            same = False
        if not same:
            raise StoreError(f"{self.path}, line {number}: no entry as Boxup writes one; the line was changed.")
        return entry

    def _lines(self) -> Iterator[tuple[int, str]]:
        try:
            with self.path.open("rb") as file:
                for number, raw in enumerate(file, 1):
                    yield number, self._decoded(number, raw)
        except OSError as bad:
            raise NoRecord(f"{self.path} cannot be read: {bad.strerror}. Give an export or a backup of a record.") from bad

    def _decoded(self, number: int, raw: bytes) -> str:
        try:
            text = raw.decode("utf-8")
        except UnicodeDecodeError as bad:
            raise StoreError(f"{self.path}, line {number}: byte {bad.start + 1} is no text.") from bad
        if not text.endswith("\n"):
            raise StoreError(f"{self.path}, line {number}: the line is cut off.")
        return text[:-1]


def _first(heads: Iterable[Head]) -> str:
    return _text({"boxup_record": FORM, "heads": list(heads)})


def _text(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, allow_nan=False, sort_keys=True, separators=(",", ":"))


def _counted(heads: Iterable[Head]) -> str:
    return ", ".join(f"{head.entries} entries of job {head.job}" for head in heads) or "no entry"
