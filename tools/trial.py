"""The trial of the wrong lines: where each line is used, what stands in for it, and who notices."""

from __future__ import annotations

import math
import sys
import tomllib
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import cached_property
from importlib import import_module
from importlib.resources import files
from pathlib import Path
from typing import Any

from boxup.core.calculation import Answer
from boxup.core.formula import INSTEAD, evaluate, formula
from boxup.core.quantity import quantity
from boxup.core.unit import UNITS, DimensionError
from boxup.core.working import Computed, Solved, Step, Working
from boxup.exchanger.file import load, read
from boxup.exchanger.model import Exchanger
from boxup.job.calculations import HOMES, find
from boxup.job.numbers import Numbers, numbers
from evidence import FOLDER, Check, checks, run
from mutant import Mutant, mutants

ROOT = Path(__file__).resolve().parent.parent
TOLERATED = ROOT / "tests" / "mutation" / "survivors.toml"
VARIANTS = ROOT / "tests" / "mutation" / "variants.toml"
DEMOS = Path(str(files("boxup.demo"))) / "data"
JUDGED = ("14-E-103", "14-E-104", "14-E-108")  # the demo exchangers that have a second route; the rest of the fleet has none
LABELS = ("published", "practice", "memory", "computed")  # the strongest that notices is the one recorded
DIMENSIONS, RESIDUAL, SECOND, SAME, SURVIVES = "dimension check", "own residual", "second route of the demos", "same values", "survivor"
SERIOUS = {UNITS[u].dim for u in ("kN", "MPa", "N.m", "kg", "kg.m")}  # a wrong one of these can hurt


@dataclass(frozen=True, slots=True)
class Variant:
    """A demo exchanger with lines of its file changed, and values expected by hand at places of its workings: `M/k`, `J2/studs/F`."""

    name: str
    demo: str
    change: tuple[tuple[str, str], ...]
    expect: dict[str, str]
    within: float
    why: str

    def exchanger(self) -> Exchanger:
        """It, read. Raises LookupError when a line to change is not in the file."""
        text = (DEMOS / f"{self.demo}.toml").read_text("utf-8")
        for old, new in self.change:
            if text.count(old) != 1:
                raise LookupError(f"{old!r} stands {text.count(old)} times in {self.demo}")
            text = text.replace(old, new)
        found, problems = read(text, self.name)
        if found is None:
            raise LookupError(f"{self.name}: {problems}")
        return found

    def wrong(self, found: Numbers) -> list[str]:
        """The places whose value is not the expected one."""
        return [f"{self.name}: {place}" for place, text in self.expect.items() if not self._agrees(found, place, text)]

    def _agrees(self, found: Numbers, place: str, text: str) -> bool:
        step = _step_at(found, place)
        if step is None:
            return False
        want = quantity(text, step.unit).si
        return bool(abs(step.si - want) <= self.within * abs(want))


def _step_at(found: Numbers, place: str) -> Step | None:
    """The step of `code/part/symbol`, or None where there is none."""
    code, *parts, symbol = place.split("/")
    try:
        working = found.workings[code][1]
        for name in parts:
            working = next(p for p in working.parts if p.name == name)
    except (KeyError, StopIteration):
        return None
    return working.steps.get(symbol)


def variants(path: Path = VARIANTS) -> list[Variant]:
    """The variants of the file."""
    raw = tomllib.loads(path.read_text("utf-8"))["variant"]
    return [
        Variant(
            v["name"], v["demo"], tuple((a, b) for a, b in v["change"]), v["expect"], float(v["within"].removesuffix("%")) / 100, v["why"]
        )
        for v in raw
    ]


@dataclass(slots=True)
class Use:
    """Where a line is evaluated: the checks and demo exchangers that need it, the steps it gave, and the values it was given."""

    line: str
    where: dict[str, None] = field(default_factory=dict)
    checks: list[Check] = field(default_factory=list)
    demos: dict[str, None] = field(default_factory=dict)
    steps: list[Step] = field(default_factory=list)

    @property
    def solved(self) -> bool:
        return isinstance(self.steps[0].origin, Solved)

    @property
    def serious(self) -> bool:
        """Whether it gives a load, a pressure, a stress, a torque, a force, a mass, or any number of a lift."""
        return any(UNITS[s.unit].dim in SERIOUS for s in self.steps) or any(w.startswith("lift") for w in self.where)

    @property
    def rooms(self) -> list[str]:
        """The rooms that use it, the first first."""
        return list(dict.fromkeys(w.partition(":")[0] for w in self.where))

    def values(self, step: Step) -> dict[str, Any]:
        """What the line is evaluated on at this step; an equation also on its own root."""
        return {s.symbol: s.si for s in step.inputs} | ({step.symbol: step.si} if self.solved else {})


@dataclass(frozen=True, slots=True)
class Fate:
    """What became of a mutant, and the check that noticed it."""

    mutant: Mutant
    use: Use
    fate: str
    by: str = ""


# --- the lines ---


def uses() -> dict[str, Use]:
    """Every line that the outside checks or the demo exchangers evaluate, and where."""
    found: dict[str, Use] = {}
    for check in checks():
        room = HOMES[check.calculation].split(".")[1]
        for use in _noted(found, _answer(check).working, f"{room}: {check.calculation}"):
            use.checks.append(check)
    demos = {tag: load(DEMOS / f"{tag}.toml") for tag in JUDGED} | {v.name: v.exchanger() for v in variants()}
    for name, exchanger in demos.items():
        for code, (_, working) in numbers(exchanger).workings.items():
            for use in _noted(found, working, f"{_room(code)}: {name} {code}"):
                use.demos[name] = None
    return found


def _answer(check: Check) -> Answer:
    calculation = find(check.calculation)
    return calculation.run(calculation.parse({k: str(FOLDER / v) if k == "file" else v for k, v in check.inputs.items()}))


def _room(code: str) -> str:
    """The room of a working of the demos, from its code: L lifts, M masses, V volumes, J and N joints, D duties, else tests and blinds."""
    letter = code.partition("-")[0]
    rooms = {"L": "lift", "M": "exchanger", "V": "exchanger", "S1": "hydro", "S2": "hydro", "T": "hydro", "D": "bundle"}
    return rooms.get(letter) or ("isolation" if letter.startswith("TB") else "joint")


def _noted(found: dict[str, Use], working: Working, where: str) -> Iterator[Use]:
    """Each line of a working once, its steps noted."""
    seen: dict[str, Use] = {}
    for _, step in working.all_steps():
        line = _line(step)
        if line:
            use = seen.setdefault(line, found.setdefault(line, Use(line)))
            use.steps.append(step)
            use.where[where] = None
    yield from seen.values()


def _line(step: Step) -> str:
    match step.origin:
        case Computed(line=line):
            return line
        case Solved(equation=equation):
            return "residual = " + equation
    return ""


# --- who notices ---


@contextmanager
def instead(mutant: Mutant) -> Iterator[None]:
    """Within it the wrong line stands for the right one."""
    INSTEAD[mutant.line] = mutant.wrong
    try:
        yield
    finally:
        del INSTEAD[mutant.line]


@dataclass(slots=True)
class Judge:
    """Runs what uses a line. `demos`: the exchangers read once, variants by their names; `compare`: the second route's comparisons."""

    demos: dict[str, Exchanger]
    variants: dict[str, Variant]
    compare: Callable[[Mapping[str, Any]], list[tuple[str, float, float, float, bool]]]
    differing: set[str] = field(default_factory=set)  # what fails with every line right tells nothing, and is left out

    def begin(self) -> None:
        """Note what fails with every line right."""
        self.differing = {c.id for c in checks() if not _agrees(c)} | {name for tag in self.demos for name in self._wrong(tag)}

    def fate(self, mutant: Mutant, use: Use) -> Fate:
        """What becomes of the mutant: the strongest label that notices it."""
        with instead(mutant):
            try:
                caught = self._caught(use)
            except DimensionError as refused:
                return Fate(mutant, use, DIMENSIONS, str(refused))
        if caught and use.solved:
            return Fate(mutant, use, RESIDUAL, caught[1])
        if caught:
            return Fate(mutant, use, *caught)
        return Fate(mutant, use, SAME if same_values(mutant, use) else SURVIVES)

    def _caught(self, use: Use) -> tuple[str, str] | None:
        for check in sorted(use.checks, key=lambda c: LABELS.index(c.label)):
            if check.id not in self.differing and not _agrees(check):
                return check.label, check.id
        likely_first = sorted(use.demos, key=lambda tag: not self._names(tag, use))
        wrong = (name for tag in likely_first for name in self._wrong(tag) if name not in self.differing)
        return next(((SECOND, name) for name in wrong), None)

    def _names(self, tag: str, use: Use) -> bool:
        """Whether it is a variant with a value by hand for the symbol that the line gives: there a wrong one shows soonest."""
        expected = self.variants[tag].expect if tag in self.variants else ()
        return any(place.rpartition("/")[2] == use.steps[0].symbol for place in expected)

    def _wrong(self, tag: str) -> list[str]:
        try:
            found = numbers(self.demos[tag])
        except (ArithmeticError, ValueError) as bad:
            return [f"{tag}: cannot be worked: {bad}"]
        if tag in self.variants:
            return self.variants[tag].wrong(found)
        return [name for name, *_, agrees in self.compare({tag: found}) if not agrees]


def _agrees(check: Check) -> bool:
    try:
        return run(check).agrees
    except (ArithmeticError, ValueError, KeyError):  # it could not be worked, or a branch was taken that gives no such answer: noticed
        return False


def same_values(mutant: Mutant, use: Use) -> bool:
    """Whether the wrong line gives the same value at every step where the right one was used."""
    right, wrong = formula(mutant.line), formula(mutant.wrong)
    return all(_same(right, wrong, use.values(s)) for s in use.steps)


def _same(right: Any, wrong: Any, values: dict[str, Any]) -> bool:
    try:
        return math.isclose(evaluate(right, values), evaluate(wrong, values), rel_tol=1e-12, abs_tol=0.0)
    except (ArithmeticError, ValueError):
        return False


def judge() -> Judge:
    """A judge with the demo exchangers and the second route."""
    if str(ROOT) not in sys.path:
        sys.path.insert(0, str(ROOT))
    compare = import_module("tests.second_route.recompute").compare
    altered = {v.name: v for v in variants()}
    demos = {tag: load(DEMOS / f"{tag}.toml") for tag in JUDGED} | {name: v.exchanger() for name, v in altered.items()}
    return Judge(demos, altered, compare)


@dataclass(frozen=True)
class Trial:
    """All lines, all mutants, all fates."""

    uses: dict[str, Use]
    fates: list[Fate]
    differing: list[str]

    @cached_property
    def counts(self) -> Counter[str]:
        return Counter(f.fate for f in self.fates)

    def of(self, fate: str) -> list[Fate]:
        return [f for f in self.fates if f.fate == fate]


def trial() -> Trial:
    """Every mutant of every line, judged."""
    found, court = uses(), judge()
    court.begin()
    return Trial(found, [court.fate(m, use) for line, use in found.items() for m in mutants(line)], sorted(court.differing))


def reasons(kind: str, path: Path = TOLERATED) -> dict[tuple[str, str], str]:
    """(line, wrong line) to why it is tolerable. `kind`: `survivor`, or `untold` for a line that matters and that no use tells apart."""
    return {(s["line"], s["wrong"]): s["why"] for s in tomllib.loads(path.read_text("utf-8")).get(kind, [])}
