"""The flags: what the three TEMA letters and the options say about one exchanger, settled down `flags.csv` in file order."""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType

from boxup.job.condition import Condition, Value, check_names, parse
from boxup.job.table import TableError, read_table

Flags = Mapping[str, Value]
_COLUMNS = ("flag", "origin", "accepts", "default", "may_be_true_when", "must_be_true_when", "refused_when", "refusal", "meaning")
_YES = parse("true")
_NO = parse("false")


class FlagError(ValueError):
    """Letters or options that are not accepted. `problems` holds every sentence, not only the first."""

    def __init__(self, problems: list[str]) -> None:
        super().__init__("\n".join(problems))
        self.problems = tuple(problems)


@dataclass(frozen=True, slots=True)
class FlagRow:
    """One line of `flags.csv`: a letter, a derived flag, an option, or what the drawing says; with what is accepted and what it means."""

    name: str
    origin: str  # letter, derived, option, drawing
    accepts: tuple[str, ...]
    default: Condition
    may_be_true: Condition
    must_be_true: Condition
    refused: Condition
    refusal: str
    meaning: str


@lru_cache(maxsize=1)
def flag_rows() -> tuple[FlagRow, ...]:
    """Every flag in file order; a condition may look only at the flags above its own line (a letter may look at itself)."""
    rows: list[FlagRow] = []
    for line in read_table("flags.csv", _COLUMNS):
        row = FlagRow(
            line["flag"], line["origin"], tuple(line["accepts"].split()), _condition(line["default"], _NO),
            _condition(line["may_be_true_when"], _YES), _condition(line["must_be_true_when"], _NO),
            _condition(line["refused_when"], _NO), line["refusal"], line["meaning"],
        )  # fmt: skip
        if row.origin not in ("letter", "derived", "option", "drawing"):
            raise TableError(f"flags.csv: {row.name} is {row.origin!r}; accepted are letter, derived, option, drawing.")
        above = {earlier.name for earlier in rows}
        for condition in (row.default, row.may_be_true, row.must_be_true):
            check_names(condition, above)
        check_names(row.refused, above | {row.name})
        rows.append(row)
    return tuple(rows)


def flag_names() -> frozenset[str]:
    """The names a condition may use."""
    return frozenset(row.name for row in flag_rows())


def option_names() -> tuple[str, ...]:
    """The names `--with` accepts, in file order; each may have `no-` before it."""
    return tuple(row.name for row in flag_rows() if row.origin == "option")


def read_letters(text: str) -> Mapping[str, str]:
    """`"AES"` to front, shell and rear letter; small letters are read as capitals. FlagError lists what is accepted."""
    letters = text.strip().upper()
    places = [row for row in flag_rows() if row.origin == "letter"]
    accepted = "; ".join(f"{row.name} {' '.join(row.accepts)}" for row in places)
    if len(letters) != len(places):
        raise FlagError([f"{text!r} is not a set of three TEMA letters such as AES; accepted are {accepted}."])
    chosen = {row.name: letter for row, letter in zip(places, letters, strict=True)}
    problems = [
        f"{letters}: {row.name} letter {chosen[row.name]!r} is not known; accepted are {' '.join(row.accepts)} ({row.meaning})."
        for row in places
        if chosen[row.name] not in row.accepts
    ]
    if not problems:
        problems = [f"{letters} is refused: {row.refusal}." for row in places if row.refused.holds(chosen)]
    if problems:
        raise FlagError(problems)
    return MappingProxyType(chosen)


def read_options(text: str) -> Mapping[str, bool]:
    """`"plugs,hot,no-st1"` to option names and yes or no. Unknown, derived and contradictory names are refused, all at once."""
    chosen: dict[str, bool] = {}
    problems: list[str] = []
    for word in filter(None, (piece.strip() for piece in text.split(","))):
        name, wanted = (word[3:], False) if word.startswith("no-") else (word, True)
        if name not in option_names():
            problems.append(_not_an_option(word, name))
        elif chosen.setdefault(name, wanted) is not wanted:
            problems.append(f"{name} and no-{name} are both given; leave one of them out.")
    if problems:
        raise FlagError(problems)
    return MappingProxyType(chosen)


def settle(letters: str, options: Mapping[str, bool] | None = None, drawn: Mapping[str, bool] | None = None) -> Flags:
    """All flags for these letters. An option not given takes its default, and so does what no drawing says (`drawn`).

    An option that cannot be as given is refused, never mended: FlagError with its meaning, and every other problem.
    """
    given = dict(options or {})
    unknown = [_not_an_option(name, name) for name in given if name not in option_names()]
    if unknown:
        raise FlagError(unknown)
    flags: dict[str, Value] = dict(read_letters(letters))
    problems: list[str] = []
    for row in flag_rows():
        if row.origin != "letter":
            said = (drawn or {}) if row.origin == "drawing" else given
            flags[row.name] = _settled(row, said, flags, letters.strip().upper(), problems)
    if problems:
        raise FlagError(problems)
    return MappingProxyType(flags)


def _settled(row: FlagRow, given: Mapping[str, bool], flags: Flags, letters: str, problems: list[str]) -> bool:
    usual = row.default.holds(flags)
    value = usual if row.origin == "derived" else given.get(row.name, usual)
    if value and not row.may_be_true.holds(flags):
        said = f"{row.name} is refused for {letters}" if row.name in given else f"{letters}: {row.name} cannot stand with these options"
        problems.append(f"{said}: it may be yes only when {row.may_be_true.text}. {row.name} means: {row.meaning}.")
    elif not value and row.must_be_true.holds(flags):
        said = f"no-{row.name} is refused for {letters}" if row.name in given else f"{letters}: {row.name} is needed with these options"
        problems.append(f"{said}: it must be yes when {row.must_be_true.text}. {row.name} means: {row.meaning}.")
    return value


def _condition(text: str, absent: Condition) -> Condition:
    return parse(text) if text else absent


def _not_an_option(word: str, name: str) -> str:
    for row in flag_rows():
        if row.name == name and row.origin == "drawing":
            return f"{word}: {name} is read off the drawing (tubes, passes) and cannot be set. {name} means: {row.meaning}."
        if row.name == name and row.origin == "derived":
            return f"{word}: {name} follows from the letters and the other options and cannot be set. {name} means: {row.meaning}."
        if row.name == name:
            return f"{word}: {name} is one of the three letters; give it there."
    near = difflib.get_close_matches(name, option_names(), n=2)
    hint = f" Did you mean {' or '.join(near)}?" if near else ""
    return f"{word}: there is no option {name}; accepted, each with or without no-, are {', '.join(option_names())}.{hint}"
