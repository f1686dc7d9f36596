"""Thickness of a blank, against sheets others printed."""

from __future__ import annotations

import pytest

from boxup.core.calculation import BadInput
from boxup.isolation.blank import blank
from boxup.isolation.blinds import nominal, standard_blank
from boxup.reference.load import table


def run(**typed: str):
    return blank.run(blank.parse(typed))


@pytest.mark.practice
@pytest.mark.parametrize(("diameter", "thickness"), [("327.1 mm", 13.3), ("615.9 mm", 25.1)])
def test_a_printed_blind_sheet(diameter: str, thickness: float):
    """A design sheet for A36 blanks on a document-sharing page: 10 kgf/cm2, 1 251.5 kgf/cm2, E 0.9; printed to 0.1 mm."""
    a = run(diameter=diameter, pressure="10 kgf/cm2", stress="1251.5 kgf/cm2", efficiency="0.9")
    assert a.si("thickness") * 1000 == pytest.approx(thickness, abs=0.1)


@pytest.mark.computed
def test_with_corrosion_by_hand():
    """340 sqrt(3 x 2.86 / (16 x 138)) + 1.5 = 22.69 mm."""
    a = run(diameter="340 mm", pressure="2.86 MPa", stress="138 MPa", corrosion="1.5 mm")
    assert a.as_json()["answers"]["thickness"] == {"value": pytest.approx(22.69, abs=0.01), "unit": "mm"}


@pytest.mark.memory
@pytest.mark.parametrize(("key", "mm"), [("150 12", 19.1), ("300 24", 50.8)])
def test_two_rows_of_the_line_blank_table(key: str, mm: float):
    """ASME B16.48, class 150 NPS 12 and class 300 NPS 24, as two makers print them."""
    assert table("line_blanks")[key].need("thickness") * 1000 == pytest.approx(mm)


@pytest.mark.computed
def test_every_line_blank_bears_its_class():
    """B31.3 304.5.3 on the spacer bore at the cold class rating, 138 MPa: no row thinner by 0.05 mm (class 300 NPS 24: 50.8 for 50.85)."""
    rating = {"150": 1.96, "300": 5.11, "600": 10.21, "900": 15.32}  # MPa, carbon steel at 38 °C, ASME B16.5, from memory
    rows = table("line_blanks").values()
    assert len(rows) > 70
    for row in rows:
        a = run(diameter=f"{row.text('bore')} mm", pressure=f"{rating[row.text('flange_class')]} MPa", stress="137.9 MPa")
        assert row.need("thickness") >= a.si("thickness") - 5e-5, row.key


@pytest.mark.parametrize(
    ("size", "plain"), [("10 in", "10"), ("NPS 1-1/2", "1-1/2"), ("1.5 in", "1-1/2"), ('3/4"', "3/4"), ("DN 50", "dn 50")]
)
def test_sizes(size: str, plain: str):
    assert nominal(size) == plain


def test_a_size_the_table_lacks():
    assert standard_blank("300", "DN 50") is None
    assert standard_blank("", "8 in") is None


@pytest.mark.parametrize("key", ["diameter", "pressure", "stress"])
def test_nothing_below_zero(key: str):
    given = {"diameter": "340 mm", "pressure": "2.86 MPa", "stress": "138 MPa"}
    with pytest.raises(BadInput, match=key):
        blank.parse(given | {key: "-" + given[key]})
