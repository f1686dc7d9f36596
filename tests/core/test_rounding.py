"""Both systems, rounded as the trade rounds; the second figure is of the first, so that the two agree wherever they stand."""

import random

import pytest

from boxup.core.rounding import both, customary, metric, shown_si, span, unbroken
from boxup.core.unit import UNITS

PSI, LBF_FT = UNITS["psi"].scale, UNITS["lbf.ft"].scale


@pytest.mark.parametrize(
    ("kind", "si", "way", "text"),
    [
        ("torque", 616.2, "near", "615 N·m (455 lbf·ft)"),  # 615 N·m is 453.6 lbf·ft; wrenches are set to the nearest 5
        ("torque", 411.1, "near", "410 N·m (305 lbf·ft)"),  # 303.2 lbf·ft; by way of 410 N·m it would be 300
        ("torque", 47.3, "near", "47 N·m (35 lbf·ft)"),
        ("pressure", 22.36e5, "up", "22.4 bar (325 psi)"),  # 22.4 bar is 324.9 psi
        ("pressure", 22.36e5, "near", "22.4 bar (325 psi)"),
        ("pressure", 31.33e5, "up", "31.4 bar (455 psi)"),  # 455 psi is 31.37 bar: still over 31.33
        ("mass", 4292.6, "up", "4\u202f300 kg (9\u202f480 lb)"),
        ("mass", 295.0, "near", "295 kg (650 lb)"),
        ("length", 0.300, "near", "300 mm (11.81 in)"),
        ("temperature", 280.15, "near", "7 °C (45 °F)"),
        ("angle", 1.0472, "near", "60°"),
    ],
)
def test_as_the_trade_rounds(kind, si, way, text):
    assert both(kind, si, way) == text


@pytest.mark.parametrize("kind", ["pressure", "load", "mass", "torque", "volume"])
def test_never_past_the_figure_the_wrong_way(kind):
    draw = random.Random(7)
    unit = {"pressure": ("bar", "psi"), "load": ("kN", "lbf"), "mass": ("kg", "lb"), "torque": ("N.m", "lbf.ft"), "volume": ("L", "gal")}[
        kind
    ]
    for _ in range(2000):
        si = UNITS[unit[0]].to_si(10 ** draw.uniform(-0.5, 4))
        for figure, name in ((metric, unit[0]), (customary, unit[1])):
            up, down = (UNITS[name].to_si(float(figure(kind, si, way).text.replace("\u202f", ""))) for way in ("up", "down"))
            assert down <= si * (1 + 1e-9), (kind, si, name)
            assert up >= si * (1 - 1e-9), (kind, si, name)


def test_a_range_is_rounded_outwards_and_never_past_a_stop():
    """17.48 to 23.04 kN lie in 17.0 – 23.5; 21.04 kN as the stop are 21.0; one figure where both ends are one."""
    assert span("load", 17.48e3, 23.04e3).startswith("17.0 – 23.5 kN (")
    assert span("load", 6.3e3, 21.04e3, "down").startswith("6.3 – 21.0 kN (")
    assert span("load", 5e3, 5e3).startswith("5.0 kN (")
    assert shown_si("load", 15.4e3, "down") == 15.0e3
    assert unbroken("17.0 – 23.5 kN (3 850 lbf)") == "17.0\u00a0–\u2060\u00a023.5\u00a0kN (3\u00a0850\u00a0lbf)"
