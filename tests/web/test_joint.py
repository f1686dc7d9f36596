"""The joint pages against what the story says happened: what is next, from when, with what; and what the forms on them become."""

from __future__ import annotations

import re
import struct
import warnings
import zlib
from collections.abc import Callable, Iterator
from datetime import datetime
from html import unescape
from html.parser import HTMLParser
from typing import Any

import pytest

from boxup.demo.fleet import files_of_the_demo
from boxup.demo.story import ZONE
from boxup.job.fold import fold
from boxup.job.state import JointState
from boxup.store.open import open_store
from boxup.web.app import app
from boxup.web.ask import address
from boxup.web.live import Jobs
from boxup.web.opening import open_job

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from starlette.testclient import TestClient

# The order of tightening of 36 studs as the story's crew pulled them: the first eight, known to any crew (opposite, quarter, between).
FIRST_EIGHT = ["1", "19", "10", "28", "5", "23", "14", "32"]
Sites = Callable[..., Any]


def moment(day: int, hour: str) -> datetime:
    """An hour of a day of the story: day 6 is 12 April."""
    h, m = hour.split(":")
    return datetime(2027, 4, 6 + day, int(h), int(m), tzinfo=ZONE)


class Forms(HTMLParser):
    """The forms of a page as a browser sees them: every field with what is in it, and the words on the button."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.found: list[dict[str, list[str]]] = []
        self.buttons: list[str] = []
        self._in_button = False
        self._select = ""
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        a = {k: v or "" for k, v in attrs}
        if tag == "form":
            self.found.append({})
            self.buttons.append("")
        elif tag == "input" and self.found and a.get("name") and (a.get("type") != "radio" or "checked" in a):
            self.found[-1].setdefault(a["name"], []).append(a.get("value", ""))
        elif tag == "select" and self.found:
            self._select = a.get("name", "")
        elif tag == "option" and self._select and ("selected" in a or self._select not in self.found[-1]):
            self.found[-1][self._select] = [a.get("value", "")]
        self._in_button = tag == "button" if tag in ("button", "form") else self._in_button

    def handle_endtag(self, tag: str) -> None:
        if tag == "button":
            self._in_button = False

    def handle_data(self, data: str) -> None:
        if self._in_button and self.buttons:
            self.buttons[-1] += data


def form(page: str, button: str) -> dict[str, list[str]]:
    """The fields of the form with these words on its button."""
    forms = Forms(page)
    (found,) = (f for f, words in zip(forms.found, forms.buttons, strict=True) if words == button)
    return found


def png() -> bytes:
    """A picture of one point."""

    def part(name: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))

    head = struct.pack(">IIBBBBB", 1, 1, 8, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + part(b"IHDR", head) + part(b"IDAT", zlib.compress(b"\x00\x80")) + part(b"IEND", b"")


def buttons(page: str) -> list[str]:
    return Forms(page).buttons


def plain(page: str) -> str:
    """The words of a page."""
    return re.sub(r"[ \n\t]+", " ", unescape(re.sub(r"<[^>]+>", " ", page)))


def next_of(page: str) -> str:
    """What stands under Next."""
    found = re.search(r'<section class="next">(.*?)</section>', page, re.S)
    assert found
    return plain(found[1])


def send(site: Any, fields: dict[str, list[str]], **other: str) -> Any:
    """The form as it stands on the page, with something else in some fields."""
    sent = {name: values if len(values) > 1 else values[0] for name, values in fields.items() if name not in ("kind", "by")}
    return site.enter(fields["kind"][0], by=other.pop("by", "C. Rhoswen"), **{**sent, **other})


def stood(site: Any, name: str = "J4") -> JointState:
    joint = fold(site.events).joint(name)
    assert joint is not None
    return joint


# what is read


def test_the_wait_ends_four_hours_after_the_round(told: Sites) -> None:
    """Day 6: the round on J4 ended 23:16, so the round after the wait may begin at 03:16 the next day."""
    page = told(6).page("joint", "J4")
    said = next_of(page)
    assert "Not before 03:16 13 Apr" in said
    assert "4 h 0 min left" in said
    assert "410 N·m (305 lbf·ft)" in said
    assert 'data-until="2027-04-13T03:16:00+02:00"' in page
    assert "Stands: round" in plain(page)


def test_the_wait_is_counted_from_now(own: Sites) -> None:
    """J1 was rounded at 13:40 on day 5: at 16:40 an hour is left, at 17:45 none, and the wrench is offered."""
    site = own(moment(5, "16:50"))
    early = site.page("joint", "J1")
    assert "Not before 17:40" in next_of(early)
    assert "1 h 0 min left" in next_of(early)
    assert early.index("<summary>It was pulled all the same") < early.index("Round after the wait done, all 32</button>")
    site.enter("note.written", text="tea", at="17:45")
    late = site.page("joint", "J1")
    assert "Not before" not in next_of(late)
    assert "It was pulled all the same" not in next_of(late)
    assert "Round after the wait done, all 32" in buttons(late)


def test_the_number_is_that_of_the_pass_that_is_next(told: Sites) -> None:
    """After pass 1 of J2 comes pass 2 at 60 % of 615: 370 N·m, as the story's crew set it."""
    said = next_of(told(moment(4, "15:26")).page("joint", "J2"))
    assert "J2 + J3: Pass 2, 60 %" in said
    assert "370 N·m (275 lbf·ft)" in said
    order = said.partition("Order:")[2].replace(",", "").split()
    assert order[:8] == FIRST_EIGHT
    assert sorted(map(int, order[:36])) == list(range(1, 37))


def test_the_pump_of_a_hydraulic_wrench_stands_beside_the_torque(told: Sites) -> None:
    """W1 gives 2.857 N·m for each bar: 370 N·m are 129.5 bar, as a gauge is read 130."""
    page = told(moment(4, "15:26")).page("joint", "J2")
    assert "Pump of W1, HW-108, calibrated until 2027-09-30: 130 bar (1 900 psi)" in next_of(page).replace("\u202f", " ")
    assert "pump" not in next_of(told(moment(6, "11:21")).page("joint", "J4")).lower(), "a hand wrench has none"


def test_a_wrench_without_its_factor_shows_no_pump_pressure(fleet: tuple[TestClient, Jobs]) -> None:
    """40-E-402 names W1 with no factor: the page says so and what to ask for."""
    client, jobs = fleet
    job = next(name for name in jobs.names() if jobs[name].exchanger.identity.tag == "40-E-402")
    page = plain(client.get(address(job, "joint", "J1")).text)
    assert "ask the tool room for the calibration certificate of W1, HW-108" in page


def test_both_joints_on_one_set_of_studs_are_one_page(told: Sites) -> None:
    site = told(moment(4, "15:26"))
    assert next_of(site.page("joint", "J2")) == next_of(site.page("joint", "J3"))


def test_a_pass_below_the_least_of_its_wrench_is_not_filled_in(told: Sites) -> None:
    """W1 begins at 200 N·m; 30 % of 615 is 185: the page says so, and one press does not put 185 with W1 on record."""
    page = told(moment(4, "14:41")).page("joint", "J2")
    assert "W1 goes from 200 N·m" in next_of(page)
    fields = form(page, "Pass 1 done, all 36")
    assert fields["torque"] == [""]
    assert not fields.get("tool")


def test_wrench_out_of_date_and_dry_studs(told: Sites) -> None:
    """Day 6, 11:20: three passes with W3, out of date, studs 13-19 dry, over a shift change. The page says every bit of it."""
    page = plain(told(moment(6, "11:21")).page("joint", "J4"))
    assert "Not pulled up, because" in page
    for why in (
        "pass 1, pass 2, pass 3: W3 was 3 days out of calibration", "studs 13-19 pulled on dry, wet or dirty threads",
        "the shift changed in the middle of it", "round is not on record", "no second man has verified it",
    ):  # fmt: skip
        assert why in page
    assert "Open ring: pulled on dry, wet or dirty threads, 13, 14, 15, 16, 17, 18, 19." in page
    assert "Again, because: W3 was 3 days out of calibration" in page
    assert "the studs carry load already" in page


def test_a_joint_that_was_never_pulled_up_is_not_mended_by_a_corrective_pass(told: Sites) -> None:
    """After the weep at 22.2 bar: no button, for one pass more does not mend a bad wrench and dry threads."""
    page = told(moment(6, "14:20")).page("joint", "J4")
    assert "One corrective pass does not mend that" in next_of(page)
    assert not [b for b in buttons(page) if "done" in b]
    assert "Hold point refused: inspector S. Oduwale: refused" in next_of(page)  # 14:05
    said = plain(page)
    assert "Less than 80% of the middle: studs 13-19." in said
    assert "59.7 kN (13\u202f400 lbf) at stud 16, 60% of the middle" in said


def test_with_pressure_on_the_wrench_is_not_offered(told: Sites) -> None:
    """Day 7, 16:45: 22.4 bar on the shell side."""
    site = told(moment(7, "16:50"))
    for name in ("J5", "J4", "J1", "N1"):
        page = site.page("joint", name)
        assert "STOP" in next_of(page)
        assert "No wrench on this joint" in next_of(page)
        assert not [f for f in Forms(page).found if f["kind"][0] in ("joint.pass_done", "joint.stud_done", "joint.gap_read")]


def test_a_nip_under_pressure_is_asked_first(own: Sites) -> None:
    site = own(moment(7, "16:50"))
    before = len(site.events)
    answer = site.enter("joint.pass_done", joint="J5", **{"pass": "corrective", "torque": "410", "torque.unit": "N.m"})
    assert answer.status_code == 409
    assert "22.4 bar on the shell side" in answer.text
    assert len(site.events) == before


def test_gaps_say_only_what_was_read(told: Sites) -> None:
    """Day 6, first make-up, as corrected: 3.1 3.1 3.3 3.2 mm at 12, 3, 6 and 9."""
    page = plain(told(moment(6, "11:21")).page("joint", "J4"))
    assert "widest 3.3 mm (0.130 in) at 6 o'clock, narrowest 3.1 mm (0.122 in) at 12, 3 o'clock, spread 0.2 mm (0.008 in)." in page


def test_the_face_and_the_limits(told: Sites) -> None:
    """The score of day 6: 9 of 12 mm, over the limit; the inspector's words; skimmed and accepted."""
    page = plain(told(6).page("joint", "J4"))
    assert "scratch, 0.3 mm deep, 9 of 12 mm across the land" in page
    assert "OVER THE LIMIT." in page
    assert "0.4 mm cut off, 74.6 mm left" in page
    pit = plain(told(6).page("joint", "J1"))
    assert "pit, 0.2 mm deep, 2 of 16 mm across the land" in pit
    assert "OVER THE LIMIT." not in pit


def test_an_open_finding_is_a_cloud_with_its_number(told: Sites) -> None:
    """The score was raised 16:12 as an A item about J4, and closed 19:44."""
    site = told(moment(6, "17:00"))
    raised = next(e for e in site.events if e.kind == "finding.raised")
    assert f"Cloud: to put right, entry {raised.number}." in plain(site.page("joint", "J4"))
    assert "Cloud:" not in plain(told(6).page("joint", "J4"))


def test_the_bolting_step_waits_for_what_it_waits_for(told: Sites) -> None:
    """J5 on the morning of day 6: its cover is off, the form is folded away behind what is missing."""
    page = told(moment(6, "11:21")).page("joint", "J5")
    assert "It may not be pulled yet: SC_ON:J5 waits" in plain(page)
    assert page.index("It may not be pulled yet") < page.index("Four studs hand-tight</button>")


def test_every_stud_set_is_on_the_list(told: Sites) -> None:
    page = plain(told(6).page("joints"))
    for said in ("J2 + J3", "G2-1, G3-1", "G4-2", "round after the wait is not on record", "kerosene rundown"):
        assert said in page


@pytest.mark.parametrize("name", ["J1", "J2", "J3", "J4", "J5", "N1", "N4"])
@pytest.mark.parametrize("day", [1, 4, 7, 20])
def test_every_joint_has_its_page_on_any_day(told: Sites, name: str, day: int) -> None:
    page = told(day).page("joint", name)
    assert f">{name}<" in page or f"{name} " in page


def test_a_joint_that_is_not_there(told: Sites) -> None:
    answer = told(6).get("joint/J9")
    assert answer.status_code == 404
    assert "there are J1, J2, J3" in plain(answer.text)


# what is put on record from it


def test_one_button_puts_the_whole_pass_on_record(own: Sites) -> None:
    """Pass 3 of J4 on the night of day 6, as the card says: all 36, 410 N·m, W2, the listed tin."""
    site = own(moment(6, "22:19"))
    answer = send(site, form(site.page("joint", "J4"), "Pass 3 done, all 36"), at="22:54")
    assert answer.status_code == 303
    done = stood(site).rounds["pass 3"]
    assert done.studs == set(range(1, 37))
    assert done.tools == {"W2"}
    assert not done.faults
    last = site.events[-1].payload
    assert (last["torque_n_m"], last["lubricant"]) == (410.0, "nickel anti-seize")
    assert "J4: Round" in next_of(site.page("joint", "J4"))


def test_the_whole_night_from_the_page_pulls_the_joint_up(own: Sites) -> None:
    """Pass 3, round, the round after the wait, and a second man: each with the one button of its hour."""
    site = own(moment(6, "22:19"))
    for button, at, other in (
        ("Pass 3 done, all 36", "22:54", {}),
        ("Round done, all 36", "23:16", {"moved": "0"}),
        ("Round after the wait done, all 36", "2027-04-13 03:38", {"moved": "9", "started_at": "2027-04-13 03:20"}),
        ("Verify done, all 36", "2027-04-13 04:00", {"moved": "0", "by": "P. Duvenhage"}),
    ):
        assert send(site, form(site.page("joint", "J4"), button), at=at, **other).status_code == 303
    assert stood(site).pulled_up
    assert "Nothing more to pull" in next_of(site.page("joint", "J4"))


def test_he_who_pulled_it_does_not_verify(own: Sites) -> None:
    site = own(moment(7, "03:39"))
    page = site.page("joint", "J4")
    assert "A second man, not C. Rhoswen" in next_of(page)
    assert send(site, form(page, "Verify done, all 36"), at="03:50", moved="0", by="C. Rhoswen").status_code == 303
    assert not stood(site).pulled_up
    assert "C. Rhoswen pulled it; a second man verifies" in next_of(site.page("joint", "J4"))


def test_nuts_that_still_turn_ask_for_another_round(own: Sites) -> None:
    site = own(moment(7, "03:39"))
    send(site, form(site.page("joint", "J4"), "Verify done, all 36"), at="03:50", moved="2", by="P. Duvenhage")
    assert "2 nuts still turned when it was verified" in next_of(site.page("joint", "J4"))


def test_stopped_at_a_stud_and_taken_up_there(own: Sites) -> None:
    """Stopped at the eighth of the order, 32: those eight are done, and the page says which comes next."""
    site = own(moment(6, "22:19"))
    page = site.page("joint", "J4")
    assert send(site, form(page, "Pass 3 done, all 36"), at="22:40", stopped_at="32").status_code == 303
    done = stood(site).rounds["pass 3"]
    assert done.studs == set(map(int, FIRST_EIGHT))
    assert stood(site).word == "pass 3 at stud 32"
    page = site.page("joint", "J4")
    ninth = next_of(page).partition("Go on with stud ")[2].partition(".")[0]
    assert ninth not in FIRST_EIGHT
    assert "Ringed number: stopped at stud 32." in plain(page)
    assert send(site, form(page, f"Stud {ninth} done"), at="22:42").status_code == 303
    assert stood(site).rounds["pass 3"].last_stud == int(ninth)
    assert send(site, form(site.page("joint", "J4"), "Rest of pass 3 done: 27 studs"), at="22:54").status_code == 303
    assert stood(site).rounds["pass 3"].studs == set(range(1, 37))
    assert stood(site).word == "pass 3"


def test_a_pass_over_the_shift_change_is_taken_up_where_the_stud_was_written_down(own: Sites) -> None:
    """The trap of day 6: without a stud the pass is begun again; with one it goes on."""
    site = own(moment(4, "17:01"))
    fields = form(site.page("joint", "J2"), "Round done, all 36")
    send(site, fields, at="17:50", started_at="17:10", stopped_at="20", by="I. Belmarsh")
    site.enter("shift.changed", to="H. Achterberg", at="18:00")
    page = site.page("joint", "J2")
    assert "Go on with stud 21." in next_of(page)
    assert "Again, because" not in next_of(page)
    fields = form(page, "Rest of round done: 16 studs")
    send(site, fields, at="18:30", started_at="18:10", moved="0", by="P. Duvenhage")
    assert not stood(site, "J2").rounds["round"].faults
    assert stood(site, "J2").word == "round"


def test_studs_it_did_not_reach(own: Sites) -> None:
    site = own(moment(6, "22:19"))
    send(site, form(site.page("joint", "J4"), "Pass 3 done, all 36"), at="22:40", not_studs="13-15 20")
    assert stood(site).rounds["pass 3"].studs == set(range(1, 37)) - {13, 14, 15, 20}
    assert "Rest of pass 3 done: 4 studs" in buttons(site.page("joint", "J4"))


def test_dry_studs_are_pulled_again(own: Sites) -> None:
    site = own(moment(6, "22:19"))
    fields = form(site.page("joint", "J4"), "Pass 3 done, all 36")
    assert send(site, fields, at="22:40", dry="13-19").status_code == 409  # it would not count: asked first
    assert send(site, fields, at="22:40", dry="13-19", happened="yes").status_code == 303
    page = site.page("joint", "J4")
    assert "studs 13-19 pulled on dry, wet or dirty threads" in next_of(page)
    send(site, form(page, "Rest of pass 3 done: 7 studs"), at="22:50")
    assert not stood(site).rounds["pass 3"].dry
    assert "J4: Round" in next_of(site.page("joint", "J4"))


@pytest.mark.parametrize(
    "wrong", [{"stopped_at": "40"}, {"stopped_at": "twelve"}, {"not_studs": "37"}, {"not_studs": "1-36"}, {"not_studs": "?"}]
)
def test_studs_that_cannot_be_are_refused_and_asked_again(own: Sites, wrong: dict[str, str]) -> None:
    site = own(moment(6, "22:19"))
    before = len(site.events)
    answer = send(site, form(site.page("joint", "J4"), "Pass 3 done, all 36"), at="22:40", **wrong)
    assert answer.status_code == 422
    assert len(site.events) == before
    (again,) = Forms(answer.text).found
    ((name, value),) = wrong.items()
    assert again[name] == [value]  # to be mended where it stands


def test_the_same_press_twice_is_one_entry(own: Sites) -> None:
    """A form stopped at a stud means the same studs the second time, when the record has moved on."""
    site = own(moment(6, "22:19"))
    fields = form(site.page("joint", "J4"), "Pass 3 done, all 36")
    before = len(site.events)
    for _ in range(2):
        assert send(site, fields, at="22:40", stopped_at="32").status_code == 303
    assert len(site.events) == before + 1


def _gap_fields(page: str) -> Iterator[dict[str, list[str]]]:
    yield from (f for f in Forms(page).found if f["kind"] == ["joint.gap_read"])


def test_a_gap_has_a_box_for_each_place(own: Sites) -> None:
    site = own(moment(6, "21:16"))
    four, eight = _gap_fields(site.page("joint", "J4"))
    assert (len(four["gaps"]), len(eight["gaps"])) == (4, 8)
    answer = site.enter("joint.gap_read", joint="J4", gaps=["3.2", "3.1", "3.2", "3.4"], **{"gaps.unit": "mm", "pass": "all snug"})
    assert answer.status_code == 303
    assert stood(site).gaps == (3.2, 3.1, 3.2, 3.4)
    assert "widest 3.4 mm (0.134 in) at 9 o'clock" in plain(site.page("joint", "J4"))


def test_a_mark_is_measured_with_a_photo_and_judged(own: Sites) -> None:
    """A scratch of 0.3 mm over 9 of 12 mm, as the story has it, this time with its photo."""
    site = own(moment(6, "15:30"))
    photo = png()
    said = {
        "joint": "J4",
        "face": "floating tubesheet",
        "mark": "scratch",
        "depth": "0.3",
        "depth.unit": "mm",
        "span": "9",
        "span.unit": "mm",
    }
    answer = site.enter("face.measured", by="S. Oduwale", photo=photo, land="12", **{**said, "land.unit": "mm"})
    assert answer.status_code == 303
    page = site.page("joint", "J4")
    assert "OVER THE LIMIT." in page
    assert f"/photo/{site.events[-1].payload['photo']}" in page
    assert 'name="face" value="floating tubesheet"' in page


# other exchangers


@pytest.fixture(scope="module")
def fleet(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[TestClient, Jobs]]:
    """Every exchanger of the demo, opened and not begun."""
    store = open_store(str(tmp_path_factory.mktemp("fleet") / "record.db"), create=True)
    jobs = Jobs(store)
    for file in files_of_the_demo().values():
        open_job(jobs, file.read_bytes(), "T. Wray-Estrada")
    yield TestClient(app(store, tmp_path_factory.mktemp("photos")), base_url="http://localhost"), jobs
    store.close()


@pytest.mark.parametrize("tag", sorted(files_of_the_demo()))
def test_every_joint_of_every_type_has_its_page(fleet: tuple[TestClient, Jobs], tag: str) -> None:
    client, jobs = fleet
    job = next(name for name in jobs.names() if jobs[name].exchanger.identity.tag == tag)
    for page in (("joints",), ("gaskets",), *(("joint", joint.id) for joint in jobs[job].state.joints.values())):
        assert client.get(address(job, *page)).status_code == 200, page


def test_a_closure_is_pulled_up_by_its_maker(fleet: tuple[TestClient, Jobs]) -> None:
    """The D front of the feed heater type DEU: no torque, no pass of ours, no wrench offered."""
    client, jobs = fleet
    job = next(name for name in jobs.names() if str(jobs[name].exchanger.letters) == "DEU")
    page = client.get(address(job, "joint", "J1")).text
    assert "Pulled up by its maker's procedure" in next_of(page)
    assert "joint.pass_done" not in [f["kind"][0] for f in Forms(page).found]
    assert not re.search(r"\d N·m", next_of(page))
