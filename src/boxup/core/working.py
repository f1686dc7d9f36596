"""A working: given values and formula lines in order, each symbol once. The line that is printed is the line that gave the value."""

from __future__ import annotations

import ast
import math
from dataclasses import dataclass, field, fields
from typing import Any

from boxup.core.finding import Finding, Level
from boxup.core.formula import branch, dimension, evaluate, formula, show
from boxup.core.quantity import Quantity
from boxup.core.source import Cite, Source
from boxup.core.unit import UNITS, DimensionError


class CannotWork(ArithmeticError):
    """A step gave something that is not a finite real number."""


@dataclass(frozen=True, slots=True)
class Entered:
    """Given by a person or read from the exchanger's file."""

    typed: str
    grade: str
    where: str = ""


@dataclass(frozen=True, slots=True)
class TableRow:
    """Read from a published table."""

    table: str
    row: str
    column: str


@dataclass(frozen=True, slots=True)
class Computed:
    """The line gave it."""

    line: str


@dataclass(frozen=True, slots=True)
class Assumed:
    """Not given; taken, and why."""

    reason: str


@dataclass(frozen=True, slots=True)
class Solved:
    """A root: the equation that is zero at the answer, and what is left of it there."""

    equation: str
    residual: float


@dataclass(frozen=True, slots=True)
class Kernel:
    """A plain function that is not one line (a table of coefficients, a count, a simulation): its method in words."""

    method: str


@dataclass(frozen=True, slots=True)
class Taken:
    """Carried over from another part of the working."""

    part: str
    symbol: str


Origin = Entered | TableRow | Computed | Assumed | Solved | Kernel | Taken


@dataclass(frozen=True, slots=True)
class Step:
    """One line of the working. `si` is the value in SI, `unit` the unit it is shown in."""

    symbol: str
    label: str
    si: Any
    unit: str
    origin: Origin
    cite: Cite | None = None
    inputs: tuple[Step, ...] = field(default=(), repr=False)  # a step stands on others, those on more: printed whole they grow without end
    note: str = ""

    @property
    def value(self) -> float:
        """The number in the unit it is shown in."""
        return UNITS[self.unit].from_si(self.si)

    @property
    def line(self) -> str:
        """The formula as it ran, or nothing."""
        return self.origin.line if isinstance(self.origin, Computed) else ""


@dataclass(slots=True)
class Working:
    """Steps in order. `findings` are limits broken; `parts` are workings inside this one (two gaskets, two legs).

    `aside`: a part for the engineer: on the screen and by its code, not among the printed workings of a pack.
    """

    name: str
    source: Source
    steps: dict[str, Step] = field(default_factory=dict)
    parts: list[Working] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    words: dict[str, str] = field(default_factory=dict)
    aside: bool = False

    def __getitem__(self, symbol: str) -> float:
        """The SI value of a symbol."""
        return self.steps[symbol].si  # type: ignore[no-any-return]

    def _add(self, step: Step) -> Step:
        if step.symbol in self.steps:
            raise KeyError(f"{self.name}: the symbol {step.symbol} is already there")
        self.steps[step.symbol] = step
        return step

    def cite(self, where: str, source: Source | None = None) -> Cite:
        return Cite(source or self.source, where)

    def take_in(self, given: Any) -> None:
        """Take the fields of a calculation's dataclass in: numbers as given steps, words as chosen words; absent ones are left out."""
        for f in fields(given):
            value = getattr(given, f.name)
            if isinstance(value, Quantity) and "symbol" in f.metadata:
                self.given(f.metadata["symbol"], f.metadata["label"], value, f.metadata["unit"])
            elif isinstance(value, str) and value:
                self.words[f.metadata.get("label", f.name)] = value

    def given(self, symbol: str, label: str, value: Quantity, unit: str) -> Step:
        """A value from a person or a file, shown in `unit`."""
        return self._add(Step(symbol, label, value.si, unit, Entered(value.typed, value.grade, value.where)))

    def table(self, symbol: str, label: str, si: float, unit: str, row: TableRow, cite: Cite) -> Step:
        """A value read from a table."""
        return self._add(Step(symbol, label, si, unit, row, cite))

    def assumed(self, symbol: str, label: str, number: float, unit: str, reason: str) -> Step:
        """A default, with its reason; `number` in `unit`."""
        return self._add(Step(symbol, label, UNITS[unit].to_si(number), unit, Assumed(reason)))

    def constant(self, symbol: str, label: str, number: float, unit: str, cite: Cite) -> Step:
        """A constant of nature or of a standard; `number` in `unit`."""
        return self._add(Step(symbol, label, UNITS[unit].to_si(number), unit, TableRow("", "", ""), cite))

    def step(self, line: str, unit: str, label: str, where: str = "", note: str = "", source: Source | None = None) -> Step:
        """Evaluate `symbol = formula` on earlier symbols and keep it, shown in `unit`.

        Raises DimensionError when the line does not give such a unit, CannotWork when the value is not a finite real number.
        """
        f = formula(line)
        inputs = tuple(self.steps[n] for n in f.names if n in self.steps)
        got = dimension(line, tuple((s.symbol, s.unit) for s in inputs))
        if got != UNITS[unit].dim:
            raise DimensionError(f"{line!r} gives {got}, not {unit}")
        value = _finite(line, evaluate, f, {s.symbol: s.si for s in inputs})
        return self._add(Step(f.symbol, label, value, unit, Computed(line), self.cite(where, source), inputs, note))

    def take(self, symbol: str, step: Step, part: str = "", label: str = "") -> Step:
        """Carry a step over from another part, under a symbol of this one."""
        return self._add(Step(symbol, label or step.label, step.si, step.unit, Taken(part, step.symbol), step.cite, (step,)))

    def kernel(self, symbol: str, label: str, si: float, unit: str, method: str, cite: Cite, inputs: tuple[str, ...] = ()) -> Step:
        """A value from a plain function, with its method in words and the symbols it used."""
        _finite(symbol, lambda: si)
        return self._add(Step(symbol, label, si, unit, Kernel(method), cite, tuple(self.steps[n] for n in inputs)))

    def solved(self, symbol: str, label: str, si: float, unit: str, equation: str, where: str, tolerance: float = 1e-9) -> Step:
        """A root found elsewhere: `equation` (in units of its own, zero at the answer) is evaluated at it; the residual is the evidence."""
        f = formula("residual = " + equation)
        values = {n: self.steps[n].si for n in f.names if n in self.steps} | {symbol: si}
        left = _finite(equation, evaluate, f, values)
        if abs(left) > tolerance:
            raise CannotWork(f"{self.name}: {symbol} leaves {left:.2g} in {equation}")
        inputs = tuple(self.steps[n] for n in f.names if n in self.steps)
        return self._add(Step(symbol, label, si, unit, Solved(equation, left), self.cite(where), inputs))

    def part(self, name: str, source: Source | None = None) -> Working:
        """A working inside this one, with symbols and a heading of its own."""
        inner = Working(name, source or self.source)
        self.parts.append(inner)
        return inner

    def limit(self, line: str, say: str, where: str, level: Level = "stop", source: Source | None = None, *, bare: bool = False,
              few: bool = False) -> bool:  # fmt: skip
        """A limit is a formula that must hold; broken, it is a finding with both sides in numbers; bare, in words alone.

        `few`: no more figures than tell the two sides apart, as the trade reads a mass or a stress.
        """
        f = formula("holds = " + line)
        inputs = {n: self.steps[n] for n in f.names if n in self.steps}
        dimension("holds = " + line, tuple((s.symbol, s.unit) for s in inputs.values()))
        holds = bool(evaluate(f, {n: s.si for n, s in inputs.items()}))
        if not holds:
            text = f"{say}." if bare else f"{say} ({_few(f.tree.body, inputs) if few else _sides(f.tree.body, inputs)})."
            self.findings.append(Finding(level, text, str(self.cite(where, source))))
        return holds

    def say(self, level: Level, text: str, where: str = "", source: Source | None = None) -> None:
        """A finding that is not a comparison."""
        self.findings.append(Finding(level, text, str(self.cite(where, source))))

    def all_findings(self) -> list[Finding]:
        """Its own and those of its parts."""
        return self.findings + [f for p in self.parts for f in p.all_findings()]

    def all_steps(self) -> list[tuple[str, Step]]:
        """(part, step) in the order worked: each part stands before the steps that use it."""
        return [(p.name, s) for p in self.parts for _, s in p.all_steps()] + [("", s) for s in self.steps.values()]


_MUST: dict[type[ast.cmpop], str] = {ast.GtE: "at least", ast.LtE: "at most", ast.Gt: "more than", ast.Lt: "less than"}


FEW = 4  # figures: a mass to the kilogram, a stress to a hundredth


def _few(test: ast.expr, inputs: dict[str, Step]) -> str:
    """As `_sides`, in four figures where those tell the sides apart; masses in pounds too."""
    said = _sides(test, inputs, FEW)
    one, _, other = said.partition("; must be ")
    return _sides(test, inputs, RESULT_DIGITS) if other.endswith(f" {one}") else said


def _pounds(step: Step, figures: int) -> str:
    """A pound is under half a kilogram: one figure more tells as much."""
    return f"{digits(UNITS['lb'].from_si(step.si), figures + 1)} {UNITS['lb'].sign}"


def _sides(test: ast.expr, inputs: dict[str, Step], figures: int | None = None) -> str:
    """`27.86 MPa; must be at least 28 MPa`: what there is and what it must be, in numbers; the symbols stand in the working."""

    def put(name: str) -> str:
        if name not in inputs:
            return f"1 {_word_sign(name)}"
        said = plain(inputs[name], RESULT_DIGITS if figures is None else figures)
        return f"{said} ({_pounds(inputs[name], figures)})" if figures is not None and inputs[name].unit == "kg" else said

    if not isinstance(test, ast.Compare):
        return show(test, put)
    return f"{show(test.left, put)}; must be {_MUST[type(test.ops[0])]} {show(test.comparators[0], put)}"


def _finite(what: str, work: Any, *args: Any) -> Any:
    try:
        value = work(*args)
    except (ValueError, ZeroDivisionError, OverflowError) as bad:
        raise CannotWork(f"{what} has no real value here: {bad}") from bad
    if isinstance(value, complex) or (isinstance(value, float) and not math.isfinite(value)):
        raise CannotWork(f"{what} has no finite real value here")
    return value


def digits(number: float, significant: int) -> str:
    """`number` with so many significant digits, no trailing zeros, powers of ten written out."""
    if number == 0:
        return "0"
    size = math.floor(math.log10(abs(number)))
    if -4 <= size < 9:
        text = f"{number:.{max(significant - 1 - size, 0)}f}"
        text = text.rstrip("0").rstrip(".") if "." in text else text
    else:
        mantissa, _, power = f"{number:.{significant - 1}e}".partition("e")
        mantissa = mantissa.rstrip("0").rstrip(".") if "." in mantissa else mantissa
        text = f"{mantissa}×10{str(int(power)).translate(str.maketrans('0123456789-', '⁰¹²³⁴⁵⁶⁷⁸⁹⁻'))}"
    return text.replace("-", "−")


RESULT_DIGITS, CARRIED_DIGITS = 5, 7


def plain(step: Step, significant: int = RESULT_DIGITS) -> str:
    """A step's value with its unit: `134.8 kN`."""
    if not isinstance(step.si, int | float):
        return f"[{len(step.si)} values]"
    return f"{digits(step.value, significant)} {UNITS[step.unit].sign}".strip()


def in_symbols(step: Step) -> str:
    """The first printed line: the branch that ran, in symbols."""
    return show(_ran(step)[0], lambda n: f"1 {_word_sign(n)}" if _is_word(step, n) else n)


def in_numbers(step: Step) -> str:
    """The middle printed line: the same with numbers, carried with more figures than results are shown with."""
    known = {s.symbol: s for s in step.inputs}
    return show(_ran(step)[0], lambda n: plain(known[n], CARRIED_DIGITS) if n in known else f"1 {_word_sign(n)}")


def because(step: Step) -> str:
    """Why that branch: each test with its numbers, or nothing."""
    known = {s.symbol: s for s in step.inputs}

    def one(test: ast.expr, so: bool) -> str:
        words = show(test, lambda n: n if n in known else f"1 {_word_sign(n)}")
        numbers = show(test, lambda n: plain(known[n]) if n in known else f"1 {_word_sign(n)}")
        return f"{words}: {numbers} is {'so' if so else 'not so'}"

    return "; ".join(one(t, so) for t, so in _ran(step)[1])


def _ran(step: Step) -> tuple[ast.expr, list[tuple[ast.expr, bool]]]:
    return branch(formula(step.line), {s.symbol: s.si for s in step.inputs})


def _is_word(step: Step, name: str) -> bool:
    return name not in {s.symbol for s in step.inputs} and name != "pi"


def _word_sign(name: str) -> str:
    return {"inch": "in", "metre": "m"}.get(name, name)
