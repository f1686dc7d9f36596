"""Full scale of a gauge on a test sheet: 1.5 to 4 times the test pressure, both ends rounded inwards."""

from __future__ import annotations

import pytest

from boxup.paper.tests import _span


@pytest.mark.computed
@pytest.mark.parametrize(
    ("bar", "span"),
    [(22.36, "34 – 89"), (31.33, "47 – 125"), (8.97, "14 – 35"), (20.0, "30 – 80"), (1.5, "2.3 – 6"), (0.33, "0.5 – 1.3")],
)
def test_both_ends_round_inwards(bar: float, span: str) -> None:
    """22.36 bar: 33.54 to 89.44; 31.33: 47.0 (46.995) to 125.32; 8.97: 13.455 to 35.88; under 5 bar of choice, in tenths."""
    assert _span(1.5 * bar * 1e5, 4 * bar * 1e5) == span
    least, most = (float(end) for end in span.split(" – "))
    assert 1.5 * bar <= least + 1e-9
    assert most <= 4 * bar + 1e-9
