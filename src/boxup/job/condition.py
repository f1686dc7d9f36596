"""The small grammar in which a table says when something holds: never `eval`, a tokenizer and a parser of its own.

    either  := both { "or" both }
    both    := denied { "and" denied }
    denied  := "not" denied | "(" either ")" | "true" | "false" | NAME [ "==" TEXT | "!=" TEXT | "in" TEXT ]

NAME is a flag; TEXT is in double quotes. `rear in "LMN"` holds when the rear letter is one of L, M, N.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from functools import cache

Value = bool | str
DEEPEST = 40
ACCEPTED = 'flag names, and, or, not, brackets, ==, !=, in "LETTERS"'
_TOKEN = re.compile(r'(?P<name>[A-Za-z_][A-Za-z0-9_]*)|(?P<text>"[^"]*")|(?P<sign>==|!=|\(|\))')
_WORDS = frozenset({"and", "or", "not", "in", "true", "false"})


class ConditionError(ValueError):
    """A condition that cannot be read or judged: names the condition, the position (first character is 1) and what is accepted."""


@dataclass(frozen=True, slots=True)
class Known:
    """Plain true or false."""

    holds: bool


@dataclass(frozen=True, slots=True)
class Flag:
    """A yes-or-no flag by its name."""

    name: str
    at: int


@dataclass(frozen=True, slots=True)
class Letter:
    """A letter flag compared: one of `letters` (`among` false: none of them)."""

    name: str
    letters: tuple[str, ...]
    among: bool
    at: int


@dataclass(frozen=True, slots=True)
class Not:
    """The part does not hold."""

    part: Node


@dataclass(frozen=True, slots=True)
class All:
    """Every part holds."""

    parts: tuple[Node, ...]


@dataclass(frozen=True, slots=True)
class Some:
    """At least one part holds."""

    parts: tuple[Node, ...]


Node = Known | Flag | Letter | Not | All | Some


@dataclass(frozen=True, slots=True)
class Condition:
    """A parsed condition: the text as written and its tree."""

    text: str
    tree: Node

    def holds(self, flags: Mapping[str, Value]) -> bool:
        """True when it holds for these flags; an unknown flag, or a letter used as yes or no, is a ConditionError."""
        return _holds(self.tree, flags, self.text)

    @property
    def names(self) -> frozenset[str]:
        """The flags it looks at."""
        return frozenset(_names(self.tree))


@cache
def parse(text: str) -> Condition:
    """Read a condition. Anything outside the grammar is a ConditionError that names the position and what is accepted."""
    parser = _Parser(text)
    tree = parser.either(0)
    parser.finish()
    return Condition(text, tree)


def check_names(condition: Condition, known: Collection[str]) -> None:
    """Raise ConditionError when the condition looks at a flag that is not in `known`."""
    strange = sorted(condition.names - set(known))
    if strange:
        raise ConditionError(f'Condition "{condition.text}": no flag {", ".join(strange)}; the flags are {", ".join(sorted(known))}.')


@dataclass(frozen=True, slots=True)
class _Token:
    kind: str  # name, word, text, sign, end
    text: str
    at: int


def _tokens(text: str) -> list[_Token]:
    found: list[_Token] = []
    place = 0
    while place < len(text):
        if text[place].isspace():
            place += 1
            continue
        match = _TOKEN.match(text, place)
        if match is None:
            why = "the quote is not closed" if text[place] == '"' else f"{text[place]!r} is not part of the grammar"
            raise ConditionError(f'Condition "{text}", position {place + 1}: {why}; accepted are {ACCEPTED}.')
        kind, piece = str(match.lastgroup), match.group()
        found.append(_Token("word" if piece in _WORDS else kind, piece.strip('"') if kind == "text" else piece, place + 1))
        place = match.end()
    return [*found, _Token("end", "the end", len(text) + 1)]


class _Parser:
    def __init__(self, text: str) -> None:
        self.text = text
        self.tokens = _tokens(text)
        self.place = 0

    @property
    def next(self) -> _Token:
        return self.tokens[self.place]

    def take(self, *texts: str) -> bool:
        """Step over the next token when it is one of these words or signs."""
        if self.next.kind in ("word", "sign") and self.next.text in texts:
            self.place += 1
            return True
        return False

    def wrong(self, wanted: str) -> ConditionError:
        seen = self.next
        return ConditionError(
            f'Condition "{self.text}", position {seen.at}: {wanted} is wanted here, not {seen.text!r}; accepted are {ACCEPTED}.'
        )

    def either(self, depth: int) -> Node:
        return self._row("or", self.both, Some, depth)

    def both(self, depth: int) -> Node:
        return self._row("and", self.denied, All, depth)

    def _row(self, word: str, part: Callable[[int], Node], node: type[All] | type[Some], depth: int) -> Node:
        parts = [part(depth)]
        while self.take(word):
            parts.append(part(depth))
        return parts[0] if len(parts) == 1 else node(tuple(parts))

    def denied(self, depth: int) -> Node:
        if depth > DEEPEST:
            raise self.wrong(f"a condition no deeper than {DEEPEST} brackets and nots")
        if self.take("not"):
            return Not(self.denied(depth + 1))
        if self.take("("):
            inside = self.either(depth + 1)
            if not self.take(")"):
                raise self.wrong("a closing bracket")
            return inside
        if self.take("true"):
            return Known(True)
        if self.take("false"):
            return Known(False)
        return self.flag()

    def flag(self) -> Node:
        if self.next.kind != "name":
            raise self.wrong("a flag name, not, or an opening bracket")
        name = self.next
        self.place += 1
        if self.take("=="):
            return Letter(name.text, (self.quoted(),), True, name.at)
        if self.take("!="):
            return Letter(name.text, (self.quoted(),), False, name.at)
        if self.take("in"):
            return Letter(name.text, tuple(self.quoted()), True, name.at)
        return Flag(name.text, name.at)

    def quoted(self) -> str:
        if self.next.kind != "text" or not self.next.text:
            raise self.wrong("letters in double quotes")
        letters = self.next.text
        self.place += 1
        return letters

    def finish(self) -> None:
        if self.next.kind != "end":
            raise self.wrong("and, or, or the end")


def _holds(node: Node, flags: Mapping[str, Value], text: str) -> bool:
    match node:
        case Known(holds):
            return holds
        case Flag(name, at):
            value = _value(name, at, flags, text)
            if isinstance(value, str):
                raise ConditionError(f'Condition "{text}", position {at}: {name} is a letter; compare it, as in {name} == "S".')
            return value
        case Letter(name, letters, among, at):
            value = _value(name, at, flags, text)
            if isinstance(value, bool):
                raise ConditionError(f'Condition "{text}", position {at}: {name} is yes or no, not a letter; write {name} or not {name}.')
            return (value in letters) is among
        case Not(part):
            return not _holds(part, flags, text)
        case All(parts):
            return all(_holds(part, flags, text) for part in parts)
        case Some(parts):
            return any(_holds(part, flags, text) for part in parts)


def _value(name: str, at: int, flags: Mapping[str, Value], text: str) -> Value:
    if name not in flags:
        raise ConditionError(f'Condition "{text}", position {at}: no flag {name}; the flags are {", ".join(sorted(flags))}.')
    return flags[name]


def _names(node: Node) -> set[str]:
    match node:
        case Known():
            return set()
        case Flag(name, _) | Letter(name, _, _, _):
            return {name}
        case Not(part):
            return _names(part)
        case All(parts) | Some(parts):
            return set().union(*(_names(part) for part in parts))
