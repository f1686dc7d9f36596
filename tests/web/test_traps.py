"""Traps of the trade at the server: what a crew lead would want to be asked first is asked, and what was seen is never held up."""

from __future__ import annotations

import re

import pytest
from tests.web.conftest import HOST, Site, TestClient, person
from tests.web.test_enter import ID, after, at, words

from boxup.demo.fleet import files_of_the_demo
from boxup.exchanger.file import load
from boxup.job.numbers import numbers
from boxup.job.set_torque import off_the_card
from boxup.store.open import open_store
from boxup.web.app import app
from boxup.web.live import Jobs
from boxup.web.opening import open_job
from boxup.web.words import Words

# what a crew lead would want to be asked first: the traps of the trade, on the invented job


def asked(site, kind: str, **said: str) -> str:
    """What speaks against an act, which is not on record then; and that it is once somebody says that it happened all the same."""
    before = len(site.events)
    answer = site.enter(kind, id=ID, **said)
    assert answer.status_code == 409, words(answer)
    assert len(site.events) == before, "asked first, and written all the same"
    assert site.enter(kind, id=ID, happened="yes", **said).status_code == 303
    assert len(site.events) == before + 1
    assert site.events[-1].payload.items() >= {k: v for k, v in said.items() if k in ("step", "item", "joint")}.items()
    return words(answer)


def test_a_gasket_item_is_not_fitted_twice(own):
    assert "this item lies in J2" in asked(own(6), "gasket.fitted", item="G2-1", joint="J5")


def test_a_gasket_that_was_loaded_does_not_go_back(own):
    assert "A gasket is used once" in asked(own(at(12, 15, 30)), "gasket.fitted", item="G4-1", joint="J4")


@pytest.mark.parametrize("kind", ["step.started", "step.done"])
def test_the_shell_cover_waits_for_the_tube_test(own, kind):
    text = asked(own(at(13, 4, 10)), kind, step="SC_ON:J5")
    assert "TTEST:T" in text
    assert "the floating-head joint can be watched only with the shell cover off" in text


def test_checks_run_out_when_the_shift_changes_in_the_middle_of_a_pass(own):
    """Third pass of the second make-up, 22:26 to 22:54: the shift changes at 22:40, and no stud is written down."""
    site = own(at(12, 22, 30))
    assert site.enter("shift.changed", at="2027-04-12T22:40:00+02:00", to="L. Brackendale").status_code == 303
    page = words(site.get("step/FH_TORQ:J4"))
    assert "TOOLTAB:J4" in page
    assert "ran out" in page
    said = {"joint": "J4", "pass": "pass 3", "torque": "411 N.m", "tool": "W2", "at": "2027-04-12T22:54:00+02:00"}
    text = asked(site, "joint.pass_done", **said, started_at="2027-04-12T22:26:00+02:00")
    assert "the shift changed in the middle of it and no stud was written down" in text


def test_handover_waits_for_every_blind(own):
    site = own(at(14, 11, 40))  # four in, three out
    counted = after(site, site.enter("witness.counted", what="blinds out", count="4"))
    assert "counted 4, the record says 3" in counted
    text = asked(site, "step.done", step="HANDOVER", second="D. Wrexholme", paper="HC-103")
    assert "BLIND_OUT:B4: every line of the blind list is signed OUT" in text
    assert "BLIND_OUT:B4" in words(site.get("step/HANDOVER"))


@pytest.mark.parametrize("kind", ["step.started", "test.reading"])
def test_the_tube_test_waits_for_the_shell_to_be_drained(own, kind):
    """Ready for the second tube test, then somebody fills the shell again."""
    site = own(at(13, 5, 12))
    assert site.enter("step.started", step="TTEST:T").status_code == 303, "ready, before the shell was filled"
    site = own(at(13, 5, 12))
    assert site.enter("step.done", step="FILL_S1:S1", happened="yes").status_code == 303
    said = {"step": "TTEST:T"} if kind == "step.started" else {"test": "T", "pressure": "15.7 bar"}
    assert "STEST1_DRAIN:S1" in asked(site, kind, **said)


def test_no_nut_is_nipped_up_with_pressure_on(own):
    site = own(at(13, 16, 50))  # 22.4 bar on the shell
    assert "22.4 bar" in words(site.get())
    said = {"joint": "J5", "pass": "corrective", "torque": "410 N.m", "tool": "W2"}
    text = asked(site, "joint.pass_done", **said)
    assert "Gauge to 0, vent open, then the joint" in text


def test_a_joint_that_is_not_pulled_up_is_not_filled(own):
    text = asked(own(at(12, 11, 36)), "step.started", step="FILL_T:T")
    for why in ("round is not on record", "3 days out of calibration", "studs 13-19", "no second man has verified it"):
        assert why in text, why


@pytest.mark.parametrize(
    ("said", "why"), [({"tool": "W3"}, "3 days out of calibration"), ({"tool": "W2", "dry": "13-19"}, "studs 13-19 dry")]
)
def test_a_pass_that_would_not_count_is_asked_before_it_is_entered(own, said, why):
    pass_ = {"joint": "J4", "pass": "pass 1", "torque": "123 N.m", "lubricant": "nickel anti-seize, lot 7"}
    assert why in asked(own(at(12, 9, 29)), "joint.pass_done", **pass_, **said)


def test_a_pass_that_counts_is_entered_at_once(own):
    said = {"joint": "J4", "pass": "pass 1", "torque": "123 N.m", "tool": "W2", "lubricant": "nickel anti-seize, lot 7"}
    assert own(at(12, 21, 20)).enter("joint.pass_done", **said).status_code == 303


def test_a_test_is_not_passed_without_its_hold(own):
    site = own(at(13, 5, 45))  # at 31.3 bar for five minutes
    said = {"test": "T", "verdict": "passed", "pressure": "31.3 bar", "second": "S. Oduwale"}
    assert "min are asked for" in asked(site, "test.result", **said)


def test_pressure_is_not_raised_again_on_a_zone_that_ran_out(own):
    """Dropped to 0 in the middle of a test; two hours later the zone must be walked again."""
    site = own(at(11, 7, 50))
    text = asked(site, "test.reading", test="S1", pressure="11.2 bar", at="2027-04-11T10:30:00+02:00")
    assert "TESTZONE_S1:S1" in text


# what was seen is never held up; what it means is said after


def test_a_scored_face_goes_on_record_and_is_told_after(own):
    site = own(3)
    said = {
        "joint": "J4",
        "face": "floating tubesheet",
        "mark": "scratch",
        "depth": "0.30 mm",
        "span": "9 mm",
        "land": "12 mm",
        "clock": "5",
    }
    text = after(site, site.enter("face.measured", **said))
    assert "No depth is allowed" in text
    assert "INSP_FACE:J4" in text + words(site.get("step/INSP_FACE:J4"))


@pytest.mark.parametrize(
    ("until", "kind", "said"),
    [
        (at(13, 16, 50), "test.reading", {"test": "S2", "pressure": "21.0 bar", "metal": "2 degC"}),
        (at(13, 16, 50), "test.reading", {"test": "S2", "pressure": "55 bar"}),
        (at(13, 16, 50), "test.reading", {"test": "S2", "pressure": "0 bar"}),
        (at(13, 16, 50), "test.result", {"test": "S2", "verdict": "failed"}),
        (at(13, 16, 50), "joint.weeped", {"joint": "J5", "test": "S2", "clock": "6"}),
        (at(12, 22, 30), "hold.signed", {"step": "FH_TORQ:J4", "role": "inspector", "verdict": "refused"}),
        (at(10, 6, 13), "tool.checked", {"tool": "W3", "good_until": "2027-04-09"}),
        (at(12, 8, 0), "gasket.received", {"item": "G4-9", "gasket": "G4", "its.kind": "double-jacketed", "od": "790 mm"}),
        (at(12, 8, 0), "water.chloride_read", {"test": "T", "chloride_mg_l": "900"}),
        (at(12, 8, 0), "count.short", {"space": "rear head", "missing": "lamp"}),
        (at(12, 8, 0), "alarm.raised", {"why": "gas"}),
        (at(14, 11, 40), "lock.removed", {"what": "lock 3"}),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_what_was_found_is_never_held_up(own, until, kind, said):
    answer = own(until).enter(kind, **said)
    assert answer.status_code == 303, words(answer)


def test_a_field_that_has_a_name_of_the_form_itself_is_sent_beside_it(own):
    """A gasket has a kind and an inside diameter, `id`: every box of the form of its page reaches the record."""
    site = own(6)
    page = site.page("log", "gasket.received")
    form = dict(re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', page))
    named = re.findall(r'<(?:input|select)[^>]* name="([^"]+)"', page)
    assert not set(form) & set(re.findall(r'<(?:input|select)(?! type="hidden")[^>]* name="([^"]+)"', page))
    form |= {
        "by": "N. Quillbrook",
        "item": "G4-7",
        "gasket": "G4",
        "its.kind": "kammprofile",
        "its.id": "771",
        "its.id.unit": "mm",
        "od": "795 mm",
    }
    assert set(form) <= set(named)
    answer = site.client.post(site.address("enter"), data=form, headers={"origin": HOST}, follow_redirects=False)
    assert answer.status_code == 303, words(answer)
    said = site.events[-1].payload
    assert (said["kind"], said["id_mm"], said["od_mm"]) == ("kammprofile", 771.0, 795.0)


def test_what_was_typed_into_such_a_field_is_still_there(own):
    answer = own(6).enter("gasket.received", **{"its.kind": "spiral", "its.id": "771 x"})
    assert answer.status_code == 422
    assert re.search(r'name="its.kind"[^>]*value="spiral"', answer.text)
    assert re.search(r'name="its.id"[^>]*value="771 x"', answer.text)


def test_the_torque_of_another_stud_is_asked_with_where_it_comes_from(own):
    """411 N.m is the torque of the 7/8-9 studs of J4; J2 has 1-8 studs, which it pulls to two thirds: 230 MPa."""
    site = own(at(10, 16, 30))
    text = asked(site, "joint.pass_done", **{"joint": "J2", "pass": "pass 3", "torque": "411 N.m", "tool": "W1"})
    assert "It is the torque of J4, 7/8-9 studs" in text
    assert "230 MPa (33.4 ksi), 32 % of yield" in text


def test_a_torque_that_was_put_on_record_all_the_same_is_told_behind_it(own):
    site = own(at(10, 16, 30))
    said = {"joint": "J2", "pass": "pass 3", "torque": "411 N.m", "tool": "W1"}
    assert "It is the torque of J4, 7/8-9 studs" in after(site, site.enter("joint.pass_done", id=ID, happened="yes", **said))


def test_where_a_torque_comes_from_is_said_in_spanish_too():
    off = off_the_card(numbers(load(files_of_the_demo()["14-E-103"])), "J2", "pass 3", 411)
    said = Words("es").told(off.text)
    assert "Es el par de J4, espárragos de 7/8-9, quizá copiado de esa ficha" in said
    assert "el 32 % de la fluencia" in said


# the channel that rides with the bundle, on a chart that was read for the bundle alone


def test_the_page_says_unasked_that_the_crane_is_too_small_until_another_stands_there(tmp_path):
    store = open_store(str(tmp_path / "r.db"), create=True)
    job = open_job(Jobs(store), files_of_the_demo()["22-E-201A"].read_bytes(), "T. Wray-Estrada")
    site = Site(TestClient(app(store, tmp_path / "p"), base_url=HOST), store, job, tmp_path / "p")
    over = "With the bundle with its channel on its hook the crane would carry more than its chart allows at this radius"
    for path in ("lift", "step/PULL", "step/RIG"):
        assert over in words(site.get(path)), path
    assert "Not lifted: C2 over what it may carry" in words(site.get("lift")).replace("crane C2", "C2")
    assert over in asked(site, "step.started", step="RIG")
    said = {"crane": "C7", "radius": "9 m", "chart_radii": "6 9 12", "chart_radii.unit": "m", "chart": "24 14 9", "chart.unit": "t"}
    masses = {"hook_block": "300 kg", "slings": "120 kg", "spreader": "0 kg", "rope": "60 kg", "configuration": "boom 24 m"}
    assert site.enter("crane.stood", **said, **masses).status_code == 303
    page = words(site.get("lift"))
    assert over not in page
    assert "crane C7 carries" in page
    assert over not in words(site.get("step/RIG"))
    spanish = words(site.client.get(site.address("lift"), headers=person(name="M. Trevanick", language="es")))
    assert "La grúa" in spanish
    assert "grúa C7 lleva" in spanish


def test_a_chart_is_typed_in_tonnes_and_never_in_a_unit_nobody_chose(tmp_path):
    store = open_store(str(tmp_path / "r.db"), create=True)
    job = open_job(Jobs(store), files_of_the_demo()["40-E-402"].read_bytes(), "T. Wray-Estrada")
    site = Site(TestClient(app(store, tmp_path / "p"), base_url=HOST), store, job, tmp_path / "p")
    pick = re.search(r'<select[^>]*name="chart\.unit".*?</select>', site.get("lift").text, re.S)
    assert pick
    assert 'value="t"' in pick[0]
    assert ("selected" in pick[0]) == bool(load(files_of_the_demo()["40-E-402"]).crane.chart), "t of the file's chart, or nothing"
    said = {"crane": "C7", "radius": "9 m", "chart_radii": "6 9 12", "chart_radii.unit": "m", "chart": "24 14 9", "chart.unit": ""}
    masses = {"hook_block": "300 kg", "slings": "120 kg", "spreader": "0 kg", "rope": "60 kg", "configuration": "boom 24 m"}
    refused = site.enter("crane.stood", **said, **masses)
    assert refused.status_code != 303
    assert "has no unit" in words(refused)
    two = site.enter("crane.stood", **(said | {"chart": "24 14", "chart.unit": "t"}), **masses)
    assert "each row of the chart has one of each" in words(two)
    assert site.enter("crane.stood", **(said | {"chart.unit": "t"}), **masses).status_code == 303
