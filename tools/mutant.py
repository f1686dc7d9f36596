"""A formula line made wrong in every small way: one sign, one number or one function changed."""

from __future__ import annotations

import ast
import copy
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class Mutant:
    """A wrong line in place of a right one, and what was changed in words."""

    line: str
    wrong: str
    change: str


_SWAPPED: dict[type[ast.AST], type[Any]] = {
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult,
    ast.Lt: ast.Gt, ast.Gt: ast.Lt, ast.LtE: ast.GtE, ast.GtE: ast.LtE,
}  # fmt: skip
_SAID: dict[type[ast.AST], str] = {
    ast.Add: "+", ast.Sub: "-", ast.Mult: "*", ast.Div: "/", ast.Lt: "<", ast.Gt: ">", ast.LtE: "<=", ast.GtE: ">=",
}  # fmt: skip
_RENAMED = {"min": "max", "max": "min", "sin": "cos", "cos": "sin", "asin": "acos", "acos": "asin", "ceil": "floor", "floor": "ceil"}


class _NoPlus(ast.NodeTransformer):
    """A plus before a thing is nothing, and not part of the formula language."""

    def visit_UnaryOp(self, node: ast.UnaryOp) -> ast.AST:
        self.generic_visit(node)
        return node.operand if isinstance(node.op, ast.UAdd) else node


def mutants(line: str) -> list[Mutant]:
    """The line made wrong in every small way, each once.

    + and -, * and / change places; each number is scaled by 1.1 and a whole one also raised by 1, exponents with them; a comparison is
    turned round; min and max, sin and cos, asin and acos, ceil and floor change places; a minus sign before a thing is dropped.
    """
    symbol, _, text = (p.strip() for p in line.partition("="))
    tree = ast.parse(text, mode="eval")
    right = ast.unparse(tree)
    found: dict[str, Mutant] = {}
    for at in range(sum(1 for _ in ast.walk(tree))):
        for change in _changes(list(ast.walk(tree))[at]):
            other = copy.deepcopy(tree)
            said = change(list(ast.walk(other))[at])
            wrong = ast.unparse(_NoPlus().visit(other))
            if wrong != right:
                found.setdefault(wrong, Mutant(line, f"{symbol} = {wrong}", said))
    return list(found.values())


Change = Callable[[Any], str]


def _changes(node: ast.AST) -> list[Change]:
    """What can be made wrong at this node: functions that do it to the same node of a copy and say it."""
    if isinstance(node, ast.BinOp) and type(node.op) in _SWAPPED:
        return [_swap_sign]
    if isinstance(node, ast.Compare):
        return [_turn_round]
    if isinstance(node, ast.Constant):
        whole: list[Change] = [_raise] if isinstance(node.value, int) else []
        return [_scale, *whole] if node.value else whole
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in _RENAMED:
        return [_rename]
    return [_drop_minus] if isinstance(node, ast.UnaryOp) else []


def _swap_sign(node: Any) -> str:
    old, node.op = type(node.op), _SWAPPED[type(node.op)]()
    return f"{_SAID[old]} to {_SAID[type(node.op)]}"


def _turn_round(node: Any) -> str:
    old, node.ops = type(node.ops[0]), [_SWAPPED[type(node.ops[0])]()]
    return f"{_SAID[old]} to {_SAID[type(node.ops[0])]}"


def _scale(node: Any) -> str:
    old, node.value = node.value, round(node.value * 1.1, 12)
    return f"{old:g} to {node.value:g}"


def _raise(node: Any) -> str:
    old, node.value = node.value, node.value + 1
    return f"{old} to {node.value}"


def _rename(node: Any) -> str:
    old, node.func.id = node.func.id, _RENAMED[node.func.id]
    return f"{old} to {node.func.id}"


def _drop_minus(node: Any) -> str:
    node.op = ast.UAdd()
    return "minus dropped"
