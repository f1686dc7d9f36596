"""Which tests, in which order, for an exchanger's letters: what is on, off, open and vented, what each proves and what it cannot."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from boxup.core.source import Cite
from boxup.exchanger.joints import has_shell_cover, joints_of
from boxup.exchanger.letters import Letters
from boxup.exchanger.model import Exchanger, SideName
from boxup.exchanger.passes import End
from boxup.exchanger.ribs import ribs_of
from boxup.hydro.marks import first_test, marks_of
from boxup.reference.load import Row, read_table

_MARKED = re.compile(r"(?:\[(?P<mark>[a-z ]+)\] ?)?(?P<words>.*)")
_LEAK = ("seen", "means", "why", "tell_apart", "do")
STEPS: dict[str, str] = {"B": "BENCH", "S1": "STEST1", "T": "TTEST", "S2": "STEST2"}


@dataclass(frozen=True, slots=True)
class Leak:
    """Where water shows on a test, what it means, how to tell it apart, what to do."""

    id: str
    seen: str
    means: str
    why: str
    tell_apart: str
    do: str
    cite: Cite


@dataclass(frozen=True, slots=True)
class PlannedTest:
    """One test of the plan. `proves` and `final` are joint numbers; `final`: the gasket in it now is the one that stays."""

    code: str
    step: str
    side: SideName
    name: str
    on: tuple[str, ...]
    off: tuple[str, ...]
    open: str
    vent: tuple[str, ...]
    gear: tuple[str, ...]
    proves: tuple[str, ...]
    final: tuple[str, ...]
    also: tuple[str, ...]
    cannot_prove: tuple[str, ...]
    shows: tuple[str, ...]
    other_side: tuple[str, ...]
    end_push: bool
    leaks: tuple[Leak, ...]
    cite: Cite

    @property
    def needs_ring(self) -> bool:
        """A test ring stands in for a part that is off."""
        return any("ring" in piece for piece in self.gear)


def plan_of(exchanger: Exchanger) -> tuple[PlannedTest, ...]:
    """The tests of this exchanger in order, with its own joint numbers; `st1`, `st2` and `sc` of its options are heeded."""
    return plan(exchanger.letters, exchanger.options, tuple((j.id, j.kind) for j in exchanger.joints), plain_ends(exchanger))


def plain_ends(exchanger: Exchanger) -> frozenset[str]:
    """The ends (front, rear) whose gasket is a plain ring; an end the file says too little of is not among them."""
    ends: tuple[End, ...] = ("front", "rear")
    return frozenset(end for end in ends if ribs_of(exchanger, end) == ())


def plan(
    letters: Letters,
    options: Mapping[str, bool] | None = None,
    joints: tuple[tuple[str, str], ...] = (),
    plain: frozenset[str] = frozenset(),
) -> tuple[PlannedTest, ...]:
    """The tests for bare letters. `joints`: (number, kind); left out, those the letters call for. `plain`: the ends without pass ribs.

    A shell test with bare tube ends is planned unless `st1` says no; a last shell test where the front or rear is disturbed after the
    first one, where there was no first one, or where `st2` says yes.
    """
    said = dict(options or {})
    listed = joints or tuple((j.id, j.kind) for j in joints_of(letters, said))
    cover = "yes" if has_shell_cover(letters, said) else "no"
    rows = [r for r in _rows("tests").values() if _fits(r, letters, cover)]
    wanted = [r for r in rows if _wanted(r.text("code"), letters, said)]
    has = marks_of(letters, said, plain)
    return tuple(_test(r, letters, cover, listed, has) for r in sorted(wanted, key=lambda r: int(r.need("order"))))


def _fits(row: Row, letters: Letters, cover: str) -> bool:
    place = letters.front in row.text("front").split() and letters.rear in row.text("rear").split()
    return place and row.text("shell_cover") in ("any", cover)


def _wanted(code: str, letters: Letters, said: Mapping[str, bool]) -> bool:
    first = first_test(letters, said)
    if code == "S1":
        return first
    if code == "S2":
        return said.get("st2", False) or letters.rear in "STW" or letters.front in "BD" or not first
    return code == "T" or said.get("pulled", True)


def _test(row: Row, letters: Letters, cover: str, joints: tuple[tuple[str, str], ...], has: frozenset[str]) -> PlannedTest:
    code = row.text("code")
    side: SideName = "shell" if row.text("side") == "shell" else "tube"
    return PlannedTest(
        code,
        row.text("step"),
        side,
        row.text("name"),
        _list(row, "on", has),
        _list(row, "off", has),
        row.text("open"),
        _list(row, "vent", has),
        _list(row, "gear", has),
        _numbers(row, "proves", joints),
        _numbers(row, "final", joints),
        _list(row, "also", has),
        _list(row, "cannot", has),
        _list(row, "shows", has),
        _list(row, "other", has),
        row.text("push") == "yes",
        leaks(code, letters, cover, has),
        row.cite,
    )


def leaks(code: str, letters: Letters, cover: str, has: frozenset[str]) -> tuple[Leak, ...]:
    """The ways water can show on that test of those letters; `cover` yes or no: the shell has a removable rear cover; `has`: its marks."""
    rows = [
        r for r in _rows("leaks").values()
        if code in r.text("codes").split()
        and letters.rear in r.text("rears").split()
        and r.text("shell_cover") in ("any", cover)
        and r.text("when") in ("", *has)
    ]  # fmt: skip
    return tuple(_leak(r, has) for r in rows)


def _leak(row: Row, has: frozenset[str]) -> Leak:
    seen, means, why, tell_apart, do = ("; ".join(_list(row, column, has)) for column in _LEAK)
    return Leak(row.key, seen, means, why, tell_apart, do, row.cite)


def _list(row: Row, column: str, has: frozenset[str]) -> tuple[str, ...]:
    """The phrases of a cell; one marked `[bellows]` only where the exchanger has such a thing."""
    found = (_MARKED.fullmatch(part.strip()) for part in row.text(column).split(";"))
    return tuple(m["words"] for m in found if m and m["words"] and (m["mark"] is None or m["mark"] in has))


def _numbers(row: Row, column: str, joints: tuple[tuple[str, str], ...]) -> tuple[str, ...]:
    kinds = [k.strip() for k in row.text(column).split(";")]
    return tuple(number for number, kind in joints if kind in kinds)


@cache
def _rows(name: str) -> Mapping[str, Row]:
    return read_table(files("boxup.hydro") / "data" / f"{name}.csv", name)
