"""A one-line formula: parsed once, checked, evaluated (floats or arrays), its dimensions checked, and printed.

The language: names, numbers, + - * / **, brackets, a few functions, comparisons and `A if test else B`.
Unit words have two letters or more; a symbol of the working always wins over a unit word.
"""

from __future__ import annotations

import ast
import copy
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import CodeType
from typing import Any

from boxup.core.unit import NONE, UNITS, Dim, DimensionError, Dimlike, dim

_MATH = ("sqrt", "log", "log10", "exp", "sin", "cos", "tan", "asin", "acos", "atan", "hypot", "ceil", "floor")
SCALAR: dict[str, Callable[..., Any]] = {n: getattr(math, n) for n in _MATH} | {"min": min, "max": max, "abs": abs}
TIE = 1e-12  # a share: two sides this near are the same length worked two ways, and `<=` holds, `<` does not
_TESTS: dict[type[ast.cmpop], tuple[str, Callable[[Any, Any], Any]]] = {
    ast.LtE: ("_le", lambda a, b: a <= b + TIE * abs(b)), ast.GtE: ("_ge", lambda a, b: a >= b - TIE * abs(b)),
    ast.Lt: ("_lt", lambda a, b: a < b - TIE * abs(b)), ast.Gt: ("_gt", lambda a, b: a > b + TIE * abs(b)),
}  # fmt: skip
_COMPARED = dict(_TESTS.values())
_SCALAR_WORLD: dict[str, Any] = {"__builtins__": {}, "pi": math.pi, **SCALAR, **_COMPARED}
UNIT_WORDS: dict[str, float] = {n: UNITS[u].scale for n, u in {
    "mm": "mm", "inch": "in", "MPa": "MPa", "GPa": "GPa", "psi": "psi", "bar": "bar", "kN": "kN", "lbf": "lbf", "kg": "kg", "metre": "m",
}.items()}  # fmt: skip
_WORD_DIM: dict[str, Dim] = {"mm": UNITS["mm"].dim, "inch": UNITS["in"].dim, "metre": UNITS["m"].dim} | {
    n: UNITS[n].dim for n in ("MPa", "GPa", "psi", "bar", "kN", "lbf", "kg")
}
_NODES = (
    ast.Expression, ast.BinOp, ast.UnaryOp, ast.IfExp, ast.Compare, ast.Call, ast.Name, ast.Load, ast.Constant,
    ast.Add, ast.Sub, ast.Mult, ast.Div, ast.Pow, ast.USub, ast.Lt, ast.LtE, ast.Gt, ast.GtE,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Formula:
    """`symbol = text`, its syntax tree, its compiled code and the names it needs."""

    symbol: str
    text: str
    tree: ast.Expression
    code: CodeType
    names: tuple[str, ...]


class _Where(ast.NodeTransformer):
    """`A if test else B` on arrays is a choice element by element."""

    def visit_IfExp(self, node: ast.IfExp) -> ast.AST:
        self.generic_visit(node)
        return ast.Call(ast.Name("where", ast.Load()), [node.test, node.body, node.orelse], [])


class _Near(ast.NodeTransformer):
    """A comparison that does not hang on the last bit of a float: 12 mm/2 is no more than 6 mm however it was worked."""

    def visit_Compare(self, node: ast.Compare) -> ast.AST:
        self.generic_visit(node)
        return ast.Call(ast.Name(_TESTS[type(node.ops[0])][0], ast.Load()), [node.left, node.comparators[0]], [])


def _compiled(tree: ast.AST, line: str) -> CodeType:
    return compile(ast.fix_missing_locations(_Near().visit(copy.deepcopy(tree))), line, "eval")


# Empty, except while a wrong line stands in for a right one to see who notices (tools/mutate.py): right line to wrong line.
INSTEAD: dict[str, str] = {}


def formula(line: str) -> Formula:
    """Compile `symbol = expression`. Raises ValueError naming what is not part of the language."""
    return _formula(INSTEAD.get(line, line))


@lru_cache(maxsize=4096)
def _formula(line: str) -> Formula:
    symbol, _, text = (p.strip() for p in line.partition("="))
    tree = ast.parse(text, mode="eval")
    for node in ast.walk(tree):
        _refuse(line, node)
    names = [n.id for n in ast.walk(tree) if isinstance(n, ast.Name) and n.id not in SCALAR and n.id != "pi"]
    return Formula(symbol, text, tree, _compiled(tree, line), tuple(dict.fromkeys(names)))


def _refuse(line: str, node: ast.AST) -> None:
    if not isinstance(node, _NODES):
        raise ValueError(f"{line!r}: {type(node).__name__} is not part of the formula language")
    if isinstance(node, ast.Constant) and (isinstance(node.value, bool) or not isinstance(node.value, int | float)):
        raise ValueError(f"{line!r}: only numbers may stand in a formula")
    if isinstance(node, ast.Compare) and len(node.ops) != 1:
        raise ValueError(f"{line!r}: one comparison at a time")
    if isinstance(node, ast.Call) and not (isinstance(node.func, ast.Name) and node.func.id in SCALAR and not node.keywords):
        raise ValueError(f"{line!r}: unknown function")


def evaluate(f: Formula, values: Mapping[str, Any]) -> Any:
    """The value in SI. Names not among `values` must be unit words. Arrays give arrays."""
    known = {n: values[n] if n in values else UNIT_WORDS[n] for n in f.names}
    if any(hasattr(v, "__array__") for v in known.values()):
        return _evaluate_arrays(f, known)
    return eval(f.code, _SCALAR_WORLD, known)


def _evaluate_arrays(f: Formula, known: dict[str, Any]) -> Any:
    import numpy as np

    fun: dict[str, Any] = {n: getattr(np, n, None) or getattr(np, "arc" + n[1:]) for n in _MATH}
    fun |= {"min": lambda *a: np.minimum.reduce(np.broadcast_arrays(*a)), "max": lambda *a: np.maximum.reduce(np.broadcast_arrays(*a))}
    code = _compiled(_Where().visit(ast.parse(f.text, mode="eval")), f.text)
    return eval(code, {"__builtins__": {}, "pi": math.pi, "where": np.where, "abs": np.abs, **fun, **_COMPARED}, known)


def _same(*items: Dimlike) -> Dim:
    first = dim(items[0])
    for other in items[1:]:
        if dim(other) != first:
            raise DimensionError(f"puts {first} together with {dim(other)}")
    return first


def _plain(*items: Dimlike) -> Dim:
    if any(dim(x) != NONE for x in items):
        raise DimensionError("needs a plain number")
    return NONE


_DIM_FUN: dict[str, Any] = dict.fromkeys(_MATH, _plain) | {
    "sqrt": lambda x: dim(x) ** 0.5, "min": _same, "max": _same, "abs": dim, "hypot": _same,
    "where": lambda test, a, b: _same(a, b), "pi": NONE,
}  # fmt: skip


def dimension(line: str, units: tuple[tuple[str, str], ...]) -> Dim:
    """The dimension `line` gives for symbols in these units: `(("b_0", "mm"), ...)`.

    A bare number is dimensionless: `b_0 <= 6` fails and `b_0 <= 6*mm` passes. Raises DimensionError.
    """
    return _dimension(INSTEAD.get(line, line), units)


@lru_cache(maxsize=8192)
def _dimension(line: str, units: tuple[tuple[str, str], ...]) -> Dim:
    f = _formula(line)
    known: dict[str, Any] = dict(_WORD_DIM) | {n: UNITS[u].dim for n, u in units}
    tree = ast.fix_missing_locations(_Where().visit(ast.parse(f.text, mode="eval")))
    try:
        got = eval(compile(tree, line, "eval"), {"__builtins__": {}, **_DIM_FUN}, known)
    except DimensionError as bad:
        raise DimensionError(f"{line!r} {bad}") from None
    return NONE if isinstance(got, bool) else dim(got)


def branch(f: Formula, values: Mapping[str, Any]) -> tuple[ast.expr, list[tuple[ast.expr, bool]]]:
    """The branch that ran and the tests that chose it, for print. Scalars only; arrays keep the whole expression."""
    node: ast.expr = f.tree.body
    tests: list[tuple[ast.expr, bool]] = []
    while isinstance(node, ast.IfExp):
        chosen = Formula("", "", f.tree, _compiled(ast.Expression(node.test), "test"), f.names)
        said = evaluate(chosen, values)
        if hasattr(said, "__array__") and getattr(said, "size", 1) > 1:
            return f.tree.body, []
        tests.append((node.test, bool(said)))
        node = node.body if said else node.orelse
    return node, tests


_PREC: dict[type[ast.operator], int] = {ast.Add: 1, ast.Sub: 1, ast.Mult: 2, ast.Div: 2, ast.Pow: 4}
_SIGN: dict[type[ast.operator], str] = {ast.Add: " + ", ast.Sub: " − ", ast.Mult: " × ", ast.Div: " / "}
_COMPARE: dict[type[ast.cmpop], str] = {ast.Lt: "<", ast.LtE: "≤", ast.Gt: ">", ast.GtE: "≥"}
_RAISED = str.maketrans("0123456789-", "⁰¹²³⁴⁵⁶⁷⁸⁹⁻")
Put = Callable[[str], str]


def show(node: ast.AST, put: Put) -> str:
    """The expression as print shows it, each name replaced by `put(name)`."""
    return _show(node, put)[0]


def _constant(value: float) -> str:
    """A number of the line: `0.85`, `1×10⁻⁸`."""
    mantissa, e, power = f"{value:.10g}".partition("e")
    return f"{mantissa}×10{str(int(power)).translate(_RAISED)}" if e else mantissa


def _show(n: ast.AST, put: Put) -> tuple[str, int]:
    if isinstance(n, ast.Expression):
        return _show(n.body, put)
    if isinstance(n, ast.Constant):
        return _constant(float(n.value)), 9  # type: ignore[arg-type]
    if isinstance(n, ast.Name):
        text = "π" if n.id == "pi" else put(n.id)
        return text, 9 if text.replace("_", "").isalnum() or _bare_number(text) else 3
    if isinstance(n, ast.UnaryOp):
        text, p = _show(n.operand, put)
        return "−" + (text if p > 2 else f"({text})"), 2
    if isinstance(n, ast.Call):
        inner = ", ".join(_show(x, put)[0] for x in n.args)
        name = n.func.id if isinstance(n.func, ast.Name) else ""
        return ("√" if name == "sqrt" else name) + f"({inner})", 9
    if isinstance(n, ast.Compare):
        return f"{show(n.left, put)} {_COMPARE[type(n.ops[0])]} {show(n.comparators[0], put)}", 0
    if isinstance(n, ast.IfExp):
        return f"{show(n.body, put)} if {show(n.test, put)}, else {show(n.orelse, put)}", 0
    assert isinstance(n, ast.BinOp)
    return _show_pair(n, put)


def _is_unit_word(n: ast.expr) -> bool:
    """Not a symbol that happens to be 1 in: 1.5*D is no 1.5 in."""
    return isinstance(n, ast.Name) and n.id in UNIT_WORDS


def _bare_number(text: str) -> bool:
    return text.replace(".", "", 1).isdigit()


def _show_pair(n: ast.BinOp, put: Put) -> tuple[str, int]:
    p = _PREC[type(n.op)]
    left, lp = _show(n.left, put)
    right, rp = _show(n.right, put)
    if isinstance(n.op, ast.Mult) and isinstance(n.left, ast.Constant) and _is_unit_word(n.right) and right.startswith("1 "):
        return f"{left} {right[2:]}", 3  # 6*mm reads `6 mm`
    if isinstance(n.op, ast.Pow):
        base = left if lp > 4 else f"({left})"
        whole = isinstance(n.right, ast.Constant) and float(n.right.value).is_integer()  # type: ignore[arg-type]
        return (base + right.translate(_RAISED) if whole else f"{base}^({right})"), 4
    left = left if lp >= p else f"({left})"
    right = right if rp > p or (rp == p and isinstance(n.op, ast.Add | ast.Mult)) else f"({right})"
    return left + _SIGN[type(n.op)] + right, p
