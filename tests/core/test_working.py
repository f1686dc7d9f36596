"""A working refuses what is not finite, keeps each symbol once, prints what ran, and says which limit broke with both numbers."""

from dataclasses import dataclass

import pytest

from boxup.core.calculation import BadInput, calculation, number, word
from boxup.core.quantity import Quantity, quantity
from boxup.core.source import Source
from boxup.core.unit import DimensionError
from boxup.core.working import CannotWork, Working, because, digits, in_numbers, in_symbols, plain

TEXT = Source("test", "A book read by nobody", "memory")


def working(**given):
    w = Working("w", TEXT)
    for name, text in given.items():
        unit = "MPa" if "bar" in text else "mm"
        w.given(name, name, quantity(text, unit), unit)
    return w


def test_prints_the_line_that_ran():
    w = working(b_0="8 mm", P="24.1 bar")
    s = w.step("b = b_0 if b_0 <= 6*mm else 2.5*sqrt(b_0*mm)", "mm", "effective width", "Table 2-5.2")
    assert in_symbols(s) == "2.5 × √(b_0 × 1 mm)"
    assert in_numbers(s) == "2.5 × √(8 mm × 1 mm)"
    assert plain(s) == "7.0711 mm"
    assert because(s) == "b_0 ≤ 6 mm: 8 mm ≤ 6 mm is not so"
    assert str(s.cite) == "A book read by nobody, Table 2-5.2 (from memory: confirm)"


def test_a_broken_limit_is_a_finding_with_both_numbers():
    w = working(G_o="800 mm", G_i="829 mm")
    assert not w.limit("G_o > G_i", "The gasket has no width", "geometry")
    assert w.findings[0].text == "The gasket has no width (800 mm; must be more than 829 mm)."
    assert w.findings[0].level == "stop"


@pytest.mark.parametrize("line", ["x = sqrt(a - b)", "x = sqrt((a - b)*mm)", "x = a/(a - a)*mm", "x = (a - b)**0.5*sqrt(mm)"])
def test_not_finite_is_refused_naming_the_step(line):
    w = working(a="1 mm", b="2 mm")
    with pytest.raises((CannotWork, DimensionError), match="x ="):
        w.step(line, "mm", "x")


def test_the_same_symbol_twice_is_refused():
    w = working(a="1 mm")
    with pytest.raises(KeyError):
        w.step("a = 2*mm", "mm", "again")


def test_a_root_that_does_not_solve_its_equation_is_refused():
    w = working(a="4 mm")
    w.solved("x", "root", 0.002, "mm", "x**2/mm - a", "algebra")
    assert w.steps["x"].value == pytest.approx(2.0)
    with pytest.raises(CannotWork):
        w.solved("z", "no root", 0.003, "mm", "z**2/mm - a", "algebra")


DIGITS = [(0, "0"), (134.84, "134.84"), (616204.0, "616204"), (1.17e-5, "1.17×10⁻⁵"), (-0.02, "−0.02"), (100.0, "100")]


@pytest.mark.parametrize(("x", "text"), DIGITS)
def test_digits(x, text):
    assert digits(x, 5) == text


@dataclass(frozen=True, slots=True, kw_only=True)
class Rod:
    length: Quantity = number("l", "length", "mm", above=0)
    load: Quantity = number("F", "load", "kN", optional=True, least=0)
    end: str = word("end", ("free", "held"), default="free")

    def problems(self):
        return ["length: shorter than the load is large"] if self.load and self.load.si > 1e6 else []


@calculation("test-rod", TEXT, Rod, "twice=d@m")
def rod(w: Working, x: Rod) -> None:
    w.take_in(x)
    w.step("d = 2*l", "mm", "twice")


def test_a_calculation_reads_its_keys_and_answers_in_the_spelt_unit():
    got = rod.run(rod.parse({"length": "10 in"})).as_json()
    assert got["answers"] == {"twice": {"value": pytest.approx(0.508), "unit": "m"}}
    assert set(got) == {"name", "answers", "findings", "steps"}
    assert set(got["steps"][0]) == {"symbol", "label", "formula", "value", "unit", "cite", "kind"}


def test_all_bad_inputs_at_once_each_naming_its_key():
    with pytest.raises(BadInput) as bad:
        rod.parse({"lenght": "1 mm", "load": "-1 kN", "end": "loose"})
    text = str(bad.value)
    assert "lenght" in text
    assert "did you mean length?" in text
    assert "length: missing" in text
    assert "load" in text
    assert "at least 0 kN" in text
    assert "accepted: free, held" in text


def test_values_that_do_not_fit_together_are_refused():
    with pytest.raises(BadInput, match="shorter"):
        rod.parse({"length": "1 mm", "load": "2 MN"})
