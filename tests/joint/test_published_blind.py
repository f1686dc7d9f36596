"""A published blind whose stud load cannot hold its pressure: refused with both figures; with the load that was meant, the thickness."""

from __future__ import annotations

import pytest

from boxup.core.calculation import BadInput
from boxup.joint.cover import cover_thickness

BLIND = {
    "diameter": "876.5 mm", "pressure": "13.76 kgf/cm2", "stress": "1757 kgf/cm2", "efficiency": "1", "C": "0.3", "gasket_arm": "50.75 mm",
}  # fmt: skip


@pytest.mark.practice
def test_a_stud_load_of_94_kg_on_a_32_inch_blind_is_refused():
    """The page prints 94 kg and 42.48 mm; the end force alone is 83,026 kgf: pi/4 x 87.65^2 x 13.76."""
    with pytest.raises(BadInput) as refused:
        cover_thickness.parse(BLIND | {"bolt_load": "94 kgf"})
    assert "'94 kgf' is less than the end force 814.2 kN" in str(refused.value)
    kilonewtons = 83026 * 9.80665 / 1e3
    assert kilonewtons == pytest.approx(814.2, abs=0.05)


@pytest.mark.computed
def test_with_94_tonnes_it_is_48_9_mm():
    a = cover_thickness.run(cover_thickness.parse(BLIND | {"bolt_load": "94000 kgf"}))
    assert a.si("thickness") == pytest.approx(0.0489, abs=5e-5)
