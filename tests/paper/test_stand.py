"""The sheet *Where it stands*: what the record says, and nothing where no record is kept."""

from __future__ import annotations

import pypdfium2
import pytest
from tests.demo.conftest import told

from boxup.demo.fleet import FOCUS, files_of_the_demo
from boxup.drawing.stand import look_of, stand_view
from boxup.job.fold import fold
from boxup.job.state import JointState, Round
from boxup.paper.pack import material, pack

FILE = files_of_the_demo()[FOCUS]


@pytest.fixture(scope="module")
def after_six_days():
    return fold([e for e in told() if e.happened_at.day <= 12 and e.happened_at.month == 4])


def words_of(pdf: bytes) -> str:
    return " ".join(" ".join(page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(pdf)).split())


def test_the_sheet_tells_joints_proof_changes_and_stops(after_six_days):
    text = words_of(pack(material(FILE, state=after_six_days), sheets=["stand"]))
    for said in (
        "Where it stands", "412 entries", f"{412:064x}"[:16], "J4 round G4-2", "round after the wait is not on record",
        "gasket J4 G4-2 unproved: test T failed", "gasket J3 G3-1 S1, attempt 3", "plug 9-14 S1, attempt 3",
        "floating tubesheet 74.6 mm", "12 Apr 13:20: TTEST:T was begun although", "studs 13-19 carry less",
    ):  # fmt: skip
        assert said in text, said


def test_no_record_no_sheet():
    assert "Where it stands" not in words_of(pack(FILE, sheets=["stand"]))


def test_what_was_found_is_in_the_numbers_and_the_steps_of_the_pack(after_six_days):
    made = material(FILE, state=after_six_days)
    assert made.exchanger.floating_tubesheet.thickness.to("mm") == pytest.approx(74.6)
    assert "PLUG:9-14" in {placed.instance.code for placed in made.ordered}
    assert "9-14" in words_of(pack(made, sheets=["tubesheet"]))


def test_the_drawing_inks_in_what_is_on_record(after_six_days):
    view = stand_view(after_six_days)
    assert view.off == {"shell cover"}
    assert {"B1", "TB1", "TB4"} <= view.blinds
    looks = {id_: look.word for id_, look in view.joints.items()}
    assert looks == {"J1": "pulled up", "J2": "pulled up", "J3": "pulled up", "J4": "round", "J5": "off"}


def test_a_pass_that_stopped_shows_where():
    """36 studs, pass 1 whole, pass 2 as far as stud 20: by the look, the rays of those studs are a pass longer."""
    joint = JointState("J4", "floating head", ("shell", "tube"), ("J4",), studs=36, word="pass 2 at stud 20")
    joint.rounds = {"pass 1": Round("pass 1", studs=set(range(1, 37))), "pass 2": Round("pass 2", studs={1, 19, 20}, last_stud=20)}
    look = look_of(joint)
    assert (look.passes[0], look.passes[1], look.passes[18], look.stud) == (2, 1, 2, 20)
    assert look.word == "pass 2 at stud 20"


def test_pressure_is_written_in_the_hatch():
    state = fold([e for e in told() if e.number <= 362])
    view = stand_view(state)
    assert (view.pressed, view.pressure) == ("tube", "22.2 bar")
