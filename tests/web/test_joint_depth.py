"""The joint page on gaps, studs and faces: what a reading means, the look at the studs, flatness; each by its form."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING

import pytest
from tests.web.sentences import pieces

from boxup.demo.story import ZONE
from boxup.web.app import Jobs

if TYPE_CHECKING:
    from tests.web.conftest import Site


@pytest.fixture
def site(own: Callable[..., Site]) -> Site:
    return own(4)


def joint(site: Site, id_: str = "J4"):
    return Jobs(site.store)[site.job].state.joint(id_)


def shown(site: Site, id_: str = "J4") -> str:
    return " ".join(pieces(site.page("joint", id_)))


def test_a_tilt_is_told_with_its_low_point_and_drawn(site: Site) -> None:
    """3.0 at 12 against 4.0 at 6: 1 mm across, more than the 0.8 mm of parallel flanges."""
    gaps = {"joint": "J4", "gaps": ["3.0", "3.5", "4.0", "3.5"], "gaps.unit": "mm", "pass": "four snug"}
    assert site.enter("joint.gap_read", **gaps).status_code == 303
    text = shown(site)
    assert "closest at 12 o'clock" in text
    assert "The flanges are not parallel: open towards 6 o'clock, closed towards 12 o'clock, stud 1" in text
    assert "Thick arc inside the circle: where the flanges are closest, 12 o'clock." in text


def test_studs_are_looked_at_by_their_form_and_what_is_wrong_is_said(site: Site) -> None:
    assert "No entry says that these studs were looked at." in shown(site)
    assert "do not reuse: it was past yield and will be again" in shown(site)
    look = {"joint": "J4", "condition": "reused", "count": "36", "stamps": "B7 B16", "pmi": "agrees"}
    answer = site.enter("joint.studs_checked", **look)
    assert answer.status_code == 303, answer.text
    assert "studs of more than one grade in one set (B7, B16)" in shown(site)
    assert joint(site).studs_seen == "reused"
    site.enter("joint.studs_checked", **look | {"stamps": "B7"})
    assert "36 of 36 looked at: reused, stamped B7" in shown(site)
    assert joint(site).studs_wrong == ()


def test_flatness_goes_in_by_its_form_and_the_table_answers(site: Site) -> None:
    said = {"joint": "J4", "face": "floating tubesheet", "readings": "0 0.1 0.2 0.1", "rib": "0.1", "rib_stands": "proud"}
    units = {"readings.unit": "mm", "rib.unit": "mm"}
    answer = site.enter("face.flatness_read", by="S. Oduwale", **said, **units)
    assert answer.status_code == 303, answer.text
    text = shown(site)
    assert "4 places round the face, 0.2 mm apart, pass plate surface 0.1 mm proud" in text
    assert "Not flat round the face for a hard gasket" in text
    assert "stands proud of the ring face" in text


def test_an_item_with_the_wrong_ribs_is_not_offered_and_says_why(site: Site) -> None:
    site.enter("gasket.received", item="G4-8", gasket="G4", ribs="2", **{"its.kind": "kammprofile"})
    text = " ".join(pieces(site.page("gaskets")))
    assert "2 ribs counted; by the passes G4 has 1" in text
    assert site.enter("gasket.fitted", item="G4-8", joint="J4").status_code == 409


@pytest.mark.parametrize(("torque", "says"), [("288 N.m", True), ("245 N.m", False)])
def test_a_pass_that_broke_off_at_another_figure_says_so(own: Callable[..., Site], torque: str, says: bool) -> None:
    """60 % of 411 is set as 245: four studs at 288 and the rest at 245 are not one pass, and nobody goes on without a word of it."""
    site = own(datetime(2027, 4, 12, 21, 50, tzinfo=ZONE))  # pass 1 of the second make-up is whole
    begun = {"joint": "J4", "torque": torque, "pass": "pass 2", "studs": "1,19,10,28", "tool": "W2"}
    assert site.enter("joint.pass_done", **begun).status_code == 303
    text = shown(site)
    assert "the rest of pass 2" in text
    assert ("Studs of this pass were set to 288 N·m (212 lbf·ft), the card says 245 N·m (180 lbf·ft)." in text) == says


def test_what_a_wrench_was_set_to_is_told_as_it_was_entered(told: Callable[..., Site]) -> None:
    """The story has J4 at 123, 288 and 411; a card is set in fives, and nobody entered 290."""
    text = shown(told(6))
    assert "123 N·m (91 lbf·ft)" in text
    assert "288 N·m (212 lbf·ft)" in text
    assert "290 N·m" not in text
