"""The formula language: what it is, what it refuses, dimensions, print, and branches."""

import math
import random

import pytest

from boxup.core.formula import branch, dimension, evaluate, formula, show
from boxup.core.unit import NONE, UNITS, DimensionError


def value(line, **names):
    return evaluate(formula(line), names)


@pytest.mark.parametrize(
    ("line", "names", "expected"),
    [
        ("A = pi/4*d**2", {"d": 2.0}, math.pi),
        ("x = a if a > b else b", {"a": 1.0, "b": 3.0}, 3.0),
        ("x = max(a, b, c) - min(a, b)", {"a": 1.0, "b": 3.0, "c": 7.0}, 6.0),
        ("x = -a**2", {"a": 3.0}, -9.0),
        ("b = 2.5*sqrt(b_0*mm)", {"b_0": 0.008}, 2.5 * math.sqrt(8e-6)),
        ("x = hypot(a, b)", {"a": 3.0, "b": 4.0}, 5.0),
        ("x = mm", {"mm": 5.0}, 5.0),  # a symbol of the working wins over a unit word
    ],
)
def test_evaluates(line, names, expected):
    assert value(line, **names) == pytest.approx(expected, rel=1e-15)


@pytest.mark.parametrize(
    "line",
    ["x = __import__('os')", "x = a.b", "x = [1][0]", "x = 'a'", "x = a and b", "x = lambda: 1", "x = True", "x = f(a)", "x = 1 < a < 2",
     "x = a % b", "x = a // b", "x = (y := 3)", "x = max(a, key=b)", "x = 1j"],
)  # fmt: skip
def test_refuses_what_is_not_in_the_language(line):
    with pytest.raises((ValueError, SyntaxError)):
        formula(line)


def test_dimensions_are_checked():
    mm, mpa = ("b_0", "mm"), ("P", "MPa")
    assert dimension("H = pi/4*b_0**2*P", (mm, mpa)) == UNITS["kN"].dim
    assert dimension("b = b_0 if b_0 <= 6*mm else 2.5*sqrt(b_0*mm)", (mm,)) == UNITS["mm"].dim
    wrongs = ("q = b_0 + P", "q = b_0 if b_0 <= 6 else b_0", "q = exp(b_0)", "q = 2**b_0", "q = max(b_0, P)", "q = b_0 if P > 0 else 1")
    for wrong in wrongs:
        with pytest.raises(DimensionError):
            dimension(wrong, (mm, mpa))


def test_points_of_temperature_subtract_and_never_add():
    t = (("T", "degC"), ("T_0", "degC"), ("r", "MPa/K"))
    assert dimension("P = r*(T - T_0)", t) == UNITS["MPa"].dim
    for wrong in ("q = T + T_0", "q = T*2", "q = T_0 - r", "q = -T", "q = (T + T_0)/2"):
        with pytest.raises(DimensionError):
            dimension(wrong, t)


def test_absolute_pressure_comes_only_by_a_step():
    p = (("P", "MPa"), ("p_a", "MPa abs"))
    assert dimension("p = P + p_a", p) == UNITS["MPa abs"].dim
    assert dimension("P = p_a - p_a", p) == UNITS["MPa"].dim
    with pytest.raises(DimensionError):
        dimension("q = p_a + p_a", p)
    assert dimension("q = p_a/p_a", p) == NONE


def test_print_keeps_the_meaning_of_random_formulas():
    """Print, read back with the signs replaced, evaluate: the same number. The expression is drawn, not ours."""
    draw = random.Random(20260101)
    names = {n: draw.uniform(0.5, 3.0) for n in "abcd"}

    def expression(depth):
        if depth == 0 or draw.random() < 0.2:
            return draw.choice([*names, "2.5", "pi"])
        one, two = expression(depth - 1), expression(depth - 1)
        pairs = [f"({one}){op}({two})" for op in ("+", "-", "*", "/")]
        return draw.choice([*pairs, f"({one})**2", f"-({one})", f"sqrt({one})", f"max({one}, {two})"])

    tried = 0
    for _ in range(600):
        line = "x = " + expression(4)
        try:
            want = value(line, **{n: names[n] for n in formula(line).names})
        except (ValueError, ZeroDivisionError, OverflowError):
            continue
        text = show(formula(line).tree, lambda n: n)
        for sign, python in (("×", "*"), ("−", "-"), ("√", "sqrt"), ("π", "pi"), ("²", "**2")):
            text = text.replace(sign, python)
        got = eval(text, {"sqrt": math.sqrt, "pi": math.pi, "max": max, **names})  # noqa: S307 - a line this test drew itself
        assert got == pytest.approx(want, rel=1e-12), text
        tried += 1
    assert tried > 300


def test_the_branch_that_ran_and_why():
    f = formula("b = b_0 if b_0 <= 6*mm else 2.5*sqrt(b_0*mm)")
    node, tests = branch(f, {"b_0": 0.008})
    assert show(node, lambda n: n) == "2.5 × √(b_0 × mm)"
    assert [so for _, so in tests] == [False]


def test_the_same_line_takes_arrays():
    np = pytest.importorskip("numpy")
    f = formula("b = b_0 if b_0 <= 6*mm else 2.5*sqrt(b_0*mm)")
    got = evaluate(f, {"b_0": np.array([0.004, 0.008])})
    assert got == pytest.approx([0.004, 2.5 * math.sqrt(8e-6)])
