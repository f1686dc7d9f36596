"""A reader of printed formulas that knows nothing of the program that printed them: units, signs and arithmetic of its own.

It knows what the print promises: results stand with five figures, carried numbers with seven, trailing zeros dropped. So `45 kN` as a
result means 45.000 to within half a unit of the fifth figure, and a carried number is known to half a unit of its seventh.
"""

from __future__ import annotations

import math
import operator
import re
from collections.abc import Callable
from dataclasses import dataclass

RESULT_FIGURES, CARRIED_FIGURES = 5, 7


class Unreadable(ValueError):
    """The print does not say what a reader can work."""


class Wrong(AssertionError):
    """The print says something that does not follow."""


# Unit sign: factor to m, kg, s, K; exponents of these four. Written from the definitions of the units, not from the program's table.
Dims = tuple[float, float, float, float]
_LENGTH: Dims = (1, 0, 0, 0)
_AREA: Dims = (2, 0, 0, 0)
_VOLUME: Dims = (3, 0, 0, 0)
_MASS: Dims = (0, 1, 0, 0)
_TIME: Dims = (0, 0, 1, 0)
_WARMTH: Dims = (0, 0, 0, 1)
_FORCE: Dims = (1, 1, -2, 0)
_PRESSURE: Dims = (-1, 1, -2, 0)
_MOMENT: Dims = (2, 1, -2, 0)
_POWER: Dims = (2, 1, -3, 0)
PLAIN: Dims = (0, 0, 0, 0)
_POUND_FORCE = 0.45359237 * 9.80665
UNITS: dict[str, tuple[float, Dims]] = {
    "°": (math.pi / 180, PLAIN), "m": (1, _LENGTH), "mm": (1e-3, _LENGTH), "cm": (1e-2, _LENGTH), "in": (0.0254, _LENGTH),
    "inch": (0.0254, _LENGTH),
    "ft": (0.3048, _LENGTH), "mm²": (1e-6, _AREA), "m²": (1, _AREA), "in²": (0.0254**2, _AREA), "ft²": (0.3048**2, _AREA),
    "mm³": (1e-9, _VOLUME), "m³": (1, _VOLUME), "ft³": (0.3048**3, _VOLUME), "L": (1e-3, _VOLUME), "mL": (1e-6, _VOLUME),
    "mm⁴": (1e-12, (4, 0, 0, 0)),
    "US gal": (3.785411784e-3, _VOLUME), "kg": (1, _MASS), "lb": (0.45359237, _MASS), "t": (1000, _MASS), "kg/m": (1, (-1, 1, 0, 0)),
    "kg·m": (1, (1, 1, 0, 0)), "s": (1, _TIME), "min": (60, _TIME), "h": (3600, _TIME), "years": (31557600, _TIME), "K": (1, _WARMTH),
    "°C": (1, _WARMTH), "°F": (5 / 9, _WARMTH), "N": (1, _FORCE), "kN": (1e3, _FORCE), "MN": (1e6, _FORCE), "lbf": (_POUND_FORCE, _FORCE),
    "kgf": (9.80665, _FORCE), "Pa": (1, _PRESSURE), "kPa": (1e3, _PRESSURE), "MPa": (1e6, _PRESSURE), "MPa abs": (1e6, _PRESSURE),
    "GPa": (1e9, _PRESSURE), "bar": (1e5, _PRESSURE), "psi": (_POUND_FORCE / 0.0254**2, _PRESSURE),
    "ksi": (1e3 * _POUND_FORCE / 0.0254**2, _PRESSURE), "kgf/cm²": (98066.5, _PRESSURE), "N·m": (1, _MOMENT), "kN·m": (1e3, _MOMENT),
    "lbf·ft": (_POUND_FORCE * 0.3048, _MOMENT), "lbf·in": (_POUND_FORCE * 0.0254, _MOMENT), "J": (1, _MOMENT), "MJ": (1e6, _MOMENT),
    "kg/m³": (1, (-3, 1, 0, 0)), "m/s²": (1, (1, 0, -2, 0)), "1/K": (1, (0, 0, 0, -1)), "1/GPa": (1e-9, (1, -1, 2, 0)),
    "MPa/K": (1e6, (-1, 1, -2, -1)), "bar/K": (1e5, (-1, 1, -2, -1)), "L/MPa": (1e-9, (4, -1, 2, 0)), "mL/MPa": (1e-12, (4, -1, 2, 0)),
    "N·m/bar": (1e-5, _VOLUME), "N·m/MPa": (1e-6, _VOLUME), "lbf·ft/psi": (0.3048 * 0.0254**2, _VOLUME),
    "1/mm": (1e3, (-1, 0, 0, 0)), "mm/kN": (1e-6, (0, -1, 2, 0)), "°/kN·m": (math.pi / 180e3, (-2, -1, 2, 0)),
    "kJ": (1e3, _MOMENT), "MJ/kg": (1e6, (2, 0, -2, 0)), "m/kg^(1/3)": (1, (1, -1 / 3, 0, 0)),
    "L/min": (1e-3 / 60, (3, 0, -1, 0)), "US gal/min": (3.785411784e-3 / 60, (3, 0, -1, 0)),
    "m/s": (1, (1, 0, -1, 0)), "kg/s": (1, (0, 1, -1, 0)), "kg/h": (1 / 3600, (0, 1, -1, 0)), "W": (1, _POWER), "kW": (1e3, _POWER),
    "MW": (1e6, _POWER), "kW/K": (1e3, (2, 1, -3, -1)), "W/K": (1, (2, 1, -3, -1)), "kJ/kg·K": (1e3, (2, 0, -2, -1)),
    "J/kg·K": (1, (2, 0, -2, -1)), "W/m·K": (1, (1, 1, -3, -1)), "W/m²·K": (1, (0, 1, -3, -1)), "m²·K/W": (1, (0, -1, 3, 1)),
    "Pa·s": (1, (-1, 1, -1, 0)), "mPa·s": (1e-3, (-1, 1, -1, 0)),
    "mL/min": (1e-6 / 60, (3, 0, -1, 0)), "mm/yr": (1e-3 / 31557600, (1, 0, -1, 0)), "in/yr": (0.0254 / 31557600, (1, 0, -1, 0)),
}  # fmt: skip
ZERO = {"°C": 273.15, "°F": 459.67 * 5 / 9}  # where a temperature scale has its zero, in K

_RAISED = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁻", "0123456789-")
_UNIT = "|".join(re.escape(u) for u in sorted(UNITS, key=len, reverse=True))
NUMBER = re.compile(rf"(?P<mantissa>\d+(?:\.\d+)?)(?:×10(?P<power>⁻?[⁰¹²³⁴⁵⁶⁷⁸⁹]+))?(?: (?P<unit>{_UNIT})(?![\w²³/·]))?")
_TOKEN = re.compile(rf"(?P<number>{NUMBER.pattern})|(?P<name>[A-Za-z][A-Za-z0-9_]*)|(?P<raised>⁻?[⁰¹²³⁴⁵⁶⁷⁸⁹]+)|(?P<sign>[-+−×/√π^(),])")
_FUNCTIONS: dict[str, Callable[..., float]] = {
    "√": math.sqrt, "min": min, "max": max, "abs": abs, "hypot": math.hypot, "sin": math.sin, "cos": math.cos, "tan": math.tan,
    "asin": math.asin, "acos": math.acos, "atan": math.atan, "exp": math.exp, "log": math.log, "log10": math.log10, "ceil": math.ceil,
    "floor": math.floor,
}  # fmt: skip
_KEEPS_UNIT = ("min", "max", "abs", "hypot")


@dataclass(frozen=True)
class Number:
    """A printed number: in SI, with its exponents, and half a unit of its last figure, in SI."""

    si: float
    dims: Dims
    half: float
    text: str


@dataclass(frozen=True)
class Name:
    """A symbol."""

    text: str


@dataclass(frozen=True)
class Act:
    """A sign or a function and what it acts on."""

    sign: str
    parts: tuple[Tree, ...]


Tree = Number | Name | Act


def number(found: re.Match[str], figures: int = CARRIED_FIGURES) -> Number:
    """The number of a match of the number's pattern, known to half a unit of its last figure; dropped zeros count as figures."""
    mantissa, power, unit = found["mantissa"], found["power"], found["unit"] or ""
    size = float(mantissa)
    if size == 0 and power is None:
        place = -math.inf  # a printed 0 is a true zero
    else:
        printed = -len(mantissa.partition(".")[2])
        place = min(printed, math.floor(math.log10(size)) + 1 - figures) if size else printed
    tens = int(power.translate(_RAISED)) if power else 0
    scale, dims = UNITS[unit] if unit else (1.0, PLAIN)
    half = 0.5 * 10.0 ** (place + tens) * scale
    return Number(size * 10.0**tens * scale + ZERO.get(unit, 0.0), dims, half, found[0].strip())


def opposite(n: Number) -> Number:
    """The number with a minus before it; below zero of its own scale for a temperature point."""
    zero = next((z for unit, z in ZERO.items() if n.text.endswith(unit)), 0.0)
    return Number(2 * zero - n.si, n.dims, n.half, "−" + n.text)


def parse(text: str) -> Tree:
    """The tree of a printed expression. Raises Unreadable where the print is not arithmetic."""
    return _Parser(text).whole()


class _Parser:
    def __init__(self, text: str) -> None:
        self.text = text
        self.tokens: list[re.Match[str]] = []
        at = 0
        while at < len(text):
            found = _TOKEN.match(text, at)
            if found is None:
                raise Unreadable(f"cannot read {text[at : at + 12]!r} in {text!r}")
            self.tokens.append(found)
            at = found.end() + (found.end() < len(text) and text[found.end()] == " ")
        self.at = 0

    def whole(self) -> Tree:
        tree = self.sum()
        if self.at != len(self.tokens):
            raise Unreadable(f"{self.tokens[self.at][0]!r} stands where nothing should, in {self.text!r}")
        return tree

    def is_next(self, *signs: str) -> str:
        """The next sign when it is one of these, taken."""
        if self.at < len(self.tokens) and self.tokens[self.at][0] in signs:
            self.at += 1
            return self.tokens[self.at - 1][0]
        return ""

    def need(self, sign: str) -> None:
        if not self.is_next(sign):
            raise Unreadable(f"{sign!r} is missing in {self.text!r}")

    def sum(self) -> Tree:
        tree = self.product()
        while sign := self.is_next("+", "−"):
            tree = Act(sign, (tree, self.product()))
        return tree

    def product(self) -> Tree:
        tree = self.signed()
        while sign := self.is_next("×", "/"):
            tree = Act(sign, (tree, self.signed()))
        return tree

    def signed(self) -> Tree:
        """A sign before a number belongs to the number: `−7 °C` is a point on the scale, not the opposite of 7 °C."""
        if not self.is_next("−"):
            return self.power(self.atom())
        inner = self.signed()
        return opposite(inner) if isinstance(inner, Number) and inner.text != "π" else Act("minus", (inner,))

    def power(self, base: Tree) -> Tree:
        if self.is_next("^"):
            self.need("(")
            exponent = self.sum()
            self.need(")")
            return Act("^", (base, exponent))
        if self.at < len(self.tokens) and self.tokens[self.at]["raised"]:
            self.at += 1
            raised = self.tokens[self.at - 1][0]
            return Act("^", (base, Number(float(raised.translate(_RAISED)), PLAIN, 0.0, raised)))
        return base

    def atom(self) -> Tree:
        if self.at == len(self.tokens):
            raise Unreadable(f"{self.text!r} breaks off")
        token = self.tokens[self.at]
        self.at += 1
        if token["number"]:
            return number(token)
        if token[0] == "π":
            return Number(math.pi, PLAIN, 0.0, "π")
        if token[0] == "(":
            inner = self.sum()
            self.need(")")
            return inner
        if token[0] in _FUNCTIONS and (token[0] == "√" or self.is_next("(")):
            if token[0] == "√":
                self.need("(")
            return self.call(token[0])
        if token["name"]:
            return Name(token[0])
        raise Unreadable(f"{token[0]!r} is out of place in {self.text!r}")

    def call(self, name: str) -> Tree:
        inside = [self.sum()]
        while self.is_next(","):
            inside.append(self.sum())
        self.need(")")
        return Act(name, tuple(inside))


def leaves(tree: Tree) -> list[Number]:
    """The printed numbers that rounding touches, left to right: what is counted up or down to a whole number is a count, and exact."""
    if isinstance(tree, Act):
        if tree.sign in ("ceil", "floor"):
            return []
        return [n for part in tree.parts for n in leaves(part)]
    return [tree] if isinstance(tree, Number) else []


def work(tree: Tree, moved: Number | None = None, up: int = 1) -> float:
    """The value in SI. `moved`: this leaf (the very one) is taken half a unit of its last figure higher, or lower with `up` -1."""
    if isinstance(tree, Name):
        raise Unreadable(f"the symbol {tree.text} stands where a number should")
    if isinstance(tree, Number):
        return tree.si + (up * tree.half if tree is moved else 0.0)
    values = [work(p, moved, up) for p in tree.parts]
    if tree.sign in _FUNCTIONS:
        return float(_FUNCTIONS[tree.sign](*values))
    if tree.sign == "minus":
        return -values[0]
    a, b = values
    match tree.sign:
        case "+":
            return a + b
        case "−":
            return a - b
        case "×":
            return a * b
        case "/":
            return a / b
        case _:
            return float(a**b)


def measure(tree: Tree) -> Dims:
    """The exponents of the value. Raises Wrong where things are put together that do not belong together."""
    if isinstance(tree, Number):
        return tree.dims
    if isinstance(tree, Name):
        raise Unreadable(f"the symbol {tree.text} stands where a number should")
    found = [measure(p) for p in tree.parts]
    if tree.sign in ("+", "−", *_KEEPS_UNIT):
        if any(d != found[0] for d in found):
            raise Wrong(f"{tree.sign!r} puts {found} together")
        return found[0]
    if tree.sign == "√":
        return _scaled(found[0], 0.5)
    if tree.sign in _FUNCTIONS:
        if found[0] != PLAIN:
            raise Wrong(f"{tree.sign} of {found[0]}")
        return PLAIN
    if tree.sign == "minus":
        return found[0]
    if tree.sign == "^":
        return _scaled(found[0], work(tree.parts[1]))
    way = 1 if tree.sign == "×" else -1
    return _scaled(found[0], 1, found[1], way)


def _scaled(a: Dims, by: float, b: Dims = PLAIN, way: float = 0) -> Dims:
    m, kg, s, k = (x * by + y * way for x, y in zip(a, b, strict=True))
    return (m, kg, s, k)


def allowance(tree: Tree) -> float:
    """How far the value may be off because the printed numbers are rounded: each moved by half a unit of its last figure, all added."""
    at = work(tree)
    return sum(abs(_beside(tree, moved) - at) for moved in leaves(tree))


def _beside(tree: Tree, moved: Number) -> float:
    """The value a little higher or, at the end of what a function takes (arc cosine of 1), a little lower."""
    try:
        return work(tree, moved)
    except ValueError:
        return work(tree, moved, -1)


def printed_value(text: str, figures: int = RESULT_FIGURES) -> tuple[Number, str]:
    """A number with its unit at the start of `text`, and the text after it. Raises Unreadable when there is none."""
    negative = text.startswith("−")
    found = NUMBER.match(text, int(negative))
    if found is None:
        raise Unreadable(f"no number at the start of {text!r}")
    n = number(found, figures)
    return opposite(n) if negative else n, text[found.end() :]


@dataclass(frozen=True)
class Printed:
    """A formula as it stands in print: its symbol, its three lines, and what is said about it (name, reason, source)."""

    symbol: str
    symbols: str
    numbers: str
    result: str
    said: str = ""

    def __str__(self) -> str:
        return f"{self.symbol} = {self.symbols} = {self.numbers} = {self.result}"


def check_result(p: Printed) -> None:
    """The middle line, worked, gives the last line, within what rounding explains. Raises Wrong or Unreadable."""
    tree = parse(p.numbers)
    result, rest = printed_value(p.result)
    if rest.strip():
        raise Unreadable(f"{rest!r} stands after the result of {p}")
    if any(abs(a - b) > 1e-9 for a, b in zip(measure(tree), result.dims, strict=True)):
        raise Wrong(f"{p}: the units give {measure(tree)}, printed is {result.dims}")
    got = work(tree)
    allowed = (result.half + allowance(tree)) * (1 + 1e-9) + 1e-12 * abs(got)
    if abs(got - result.si) > allowed:
        raise Wrong(f"{p}: the middle line gives {got:.9g}, printed is {result.si:.9g}, allowed {allowed:.2g} (SI)")


def check_numbers(p: Printed, known: dict[str, Number]) -> None:
    """The middle line is the first with every symbol replaced by the value last printed for it. Raises Wrong."""
    for name, n in _pairs(parse(p.symbols), parse(p.numbers), p):
        if name not in known:
            raise Wrong(f"{p}: {name} is not printed above")
        above = known[name]
        if above.dims != n.dims or abs(above.si - n.si) > (above.half + n.half) * (1 + 1e-9) + 1e-12 * abs(n.si):
            raise Wrong(f"{p}: {name} stands as {n.text} ({n.si:.9g} SI), above as {above.text} ({above.si:.9g} SI)")


def _pairs(a: Tree, b: Tree, p: Printed) -> list[tuple[str, Number]]:
    if isinstance(a, Name):
        if not isinstance(b, Number):
            raise Wrong(f"{p}: the symbol {a.text} became more than one number")
        return [(folded(a.text), b)]
    if isinstance(a, Act) and a.sign == "minus" and isinstance(b, Number):
        return _pairs(a.parts[0], opposite(b), p)
    if isinstance(a, Number) and isinstance(b, Number) and (a.si, a.dims) == (b.si, b.dims):
        return []
    if isinstance(a, Act) and isinstance(b, Act) and (a.sign, len(a.parts)) == (b.sign, len(b.parts)):
        return [pair for x, y in zip(a.parts, b.parts, strict=True) for pair in _pairs(x, y, p)]
    raise Wrong(f"{p}: the middle line is not built as the first")


_REASON = re.compile(r"([^:;]+) ([<≤>≥]) ([^:;]+): ([^:;]+) ([<≤>≥]) ([^:;]+) is (so|not so)")
_HOLDS: dict[str, Callable[[float, float], bool]] = {"<": operator.lt, "≤": operator.le, ">": operator.gt, "≥": operator.ge}


@dataclass(frozen=True)
class Reason:
    """A test that chose a branch, as printed, and whether what is said of it is true."""

    text: str
    true: bool


def reasons(text: str, known: dict[str, Number]) -> list[Reason]:
    """Each `test in symbols: test in numbers is so` of a printed reason. Raises Wrong when the numbers are not those printed above."""
    return [_reason(one, known) for one in _REASON.finditer(text)]


def _reason(one: re.Match[str], known: dict[str, Number]) -> Reason:
    left, sign, right, left_number, sign_again, right_number, said = (g.strip() for g in one.groups())
    p = Printed("", f"{left} and {right}", f"{left_number} and {right_number}", "")
    a, b = parse(left_number), parse(right_number)
    for name, n in _pairs(parse(left), a, p) + _pairs(parse(right), b, p):
        if name not in known or (known[name].si, known[name].dims) != (n.si, n.dims):
            raise Wrong(f"{one[0]}: {name} stands otherwise above")
    if sign != sign_again or measure(a) != measure(b):
        raise Wrong(f"{one[0]}: the two tests are not the same, or compare what cannot be compared")
    x, y = work(a), work(b)
    y = x if abs(x - y) <= 1e-12 * abs(x) else y  # `6 mm` and `6 × 1 mm` are the same length
    return Reason(one[0].strip(), _HOLDS[sign](x, y) == (said == "so"))


def folded(symbol: str) -> str:
    """A symbol as text keeps it: print sets the part after `_` lower, which text does not show."""
    return symbol.replace("_", "").replace(" ", "")
