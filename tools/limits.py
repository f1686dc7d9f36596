"""The limits: lines that must hold, else a person is told to stop or look. Each is tried on numbers close to it, set by hand."""

from __future__ import annotations

import ast
import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from boxup.core.formula import dimension, evaluate, formula
from boxup.core.unit import DimensionError, unit
from mutant import Mutant, mutants

ROOT = Path(__file__).resolve().parent.parent
FILE = ROOT / "tests" / "mutation" / "limits.toml"
SOURCE = ROOT / "src" / "boxup"


@dataclass(frozen=True, slots=True)
class Limit:
    """A limit with numbers close to it, on both sides: `U 39.2 kN; C 4000 kg`."""

    line: str
    holds: str
    breaks: str
    why: str

    def as_said(self, line: str) -> bool:
        """Whether a line, this limit or a wrong one, says of both sets of numbers what this limit must say."""
        f = formula("holds = " + line)
        return [bool(evaluate(f, _values(text))) for text in (self.holds, self.breaks)] == [True, False]

    def fits(self, line: str) -> bool:
        """Whether the dimension check lets the line pass."""
        try:
            dimension("holds = " + line, tuple((name, u) for name, _, u in _read(self.holds)))
        except DimensionError:
            return False
        return True


def _read(text: str) -> Iterator[tuple[str, float, str]]:
    for part in text.split(";"):
        name, number, *spelt = part.split()
        yield name, float(number), unit(" ".join(spelt) or "-").name


def _values(text: str) -> dict[str, float]:
    return {name: unit(u).to_si(number) for name, number, u in _read(text)}


def limits(path: Path = FILE) -> list[Limit]:
    """The limits of the file."""
    return [Limit(**one) for one in tomllib.loads(path.read_text("utf-8"))["limit"]]


def in_source(folder: Path = SOURCE) -> list[str]:
    """Every limit of the program, in the order of its files; what is filled in stands as `{}`."""
    found = [_text(call.args[0]) for path in sorted(folder.rglob("*.py")) for call in _calls(path)]
    return list(dict.fromkeys(found))


def _calls(path: Path) -> Iterator[ast.Call]:
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr == "limit" and node.args:
            yield node


def _text(node: ast.expr) -> str:
    if isinstance(node, ast.JoinedStr):
        return "".join(str(v.value) if isinstance(v, ast.Constant) else "{}" for v in node.values)
    return str(node.value) if isinstance(node, ast.Constant) else "{}"


def untried() -> list[str]:
    """Limits of the program that the file has no numbers for."""
    have = [one.line for one in limits()]
    return [line for line in in_source() if not any(re.fullmatch(re.escape(line).replace(r"\{\}", r"\w+"), h) for h in have)]


def judged() -> tuple[list[Mutant], list[Mutant], list[Mutant]]:
    """All mutants of all limits: refused by the dimension check, told apart by the numbers, and not noticed."""
    refused: list[Mutant] = []
    told: list[Mutant] = []
    missed: list[Mutant] = []
    by_line: dict[str, list[Limit]] = {}
    for one in limits():
        by_line.setdefault(one.line, []).append(one)
    for line, tries in by_line.items():
        for mutant in mutants("holds = " + line):
            wrong = mutant.wrong.removeprefix("holds = ")
            if not tries[0].fits(wrong):
                refused.append(mutant)
            else:
                (missed if all(one.as_said(wrong) for one in tries) else told).append(mutant)
    return refused, told, missed
