"""Forms become entries: once and only once, with everything wrong told at once, and asked back where it would be a STOP."""

from __future__ import annotations

import re
from concurrent.futures import ThreadPoolExecutor
from datetime import datetime
from html import unescape

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.web.conftest import HOST, opened

from boxup.demo.story import ZONE
from boxup.record.chain import first_broken
from boxup.record.kinds import kinds
from boxup.store.open import open_store
from boxup.web.ask import address
from boxup.web.enter import Form, enter
from boxup.web.form import name_of
from boxup.web.live import Jobs

ID = "f0rm-0001"


def at(day: int, hour: int, minute: int) -> datetime:
    """A moment of the invented job, by its day in April 2027."""
    return datetime(2027, 4, day, hour, minute, tzinfo=ZONE)


def words(answer) -> str:
    """What a person reads on a page."""
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", answer.text)))


def after(site, answer) -> str:
    """What the page says to which a form leads back."""
    assert answer.status_code == 303, words(answer)
    page = site.client.get(answer.headers["location"]).text
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", page[page.index('class="entered"') :])))


# once and only once


def test_a_form_sent_again_is_the_same_entry(own):
    site = own(1)
    before = len(site.events)
    first = site.enter("note.written", id=ID, text="rain")
    again = site.enter("note.written", id=ID, text="rain")
    assert first.status_code == again.status_code == 303
    assert first.headers["location"] == again.headers["location"]
    assert len(site.events) == before + 1


@pytest.mark.parametrize(
    ("serial", "asked"),
    [("XX-9", "is XX-9, and the list has TW-217"), ("TW-214", "is TW-214, the number of W3, and the list has TW-217"), ("tw 217", "")],
)
def test_a_tool_with_another_number_is_asked_about(own, serial, asked):
    """By the file W2 is TW-217 and W3 is TW-214. Nothing is on record until somebody says that it is so; then it is told."""
    site = own(4)
    before = len(site.events)
    said = {"tool": "W2", "good_until": "2027-08-15", "serial": serial}
    answer = site.enter("tool.checked", **said)
    assert len(site.events) == before + (not asked)
    assert asked in unescape(answer.text)
    if asked:
        sent = site.enter("tool.checked", **said, happened="yes")
        assert asked in unescape(site.client.get(sent.headers["location"]).text)


@pytest.mark.parametrize(
    ("kind", "said"),
    [
        ("joint.pass_done", {"joint": "J1", "pass": "pass 1", "torque": "205 N.m", "studs": "1-12,15", "tool": "W1", "happened": "yes"}),
        ("joint.gap_read", {"joint": "J1", "gaps": "3.1 3.2 3.3 3.2 mm"}),
        ("test.reading", {"test": "S1", "pressure": "0", "pressure.unit": "bar"}),
        ("tool.checked", {"tool": "W1", "good_until": "2027-09-30"}),
        ("piece.in", {"space": "shell", "what": "lamp", "count": "2"}),
        ("water.chloride_read", {"test": "S1", "chloride_mg_l": "38.5"}),
    ],
)
def test_every_sort_of_field_is_recognised_when_it_comes_again(own, kind, said):
    site = own(4)
    assert site.enter(kind, id=ID, **said).status_code == 303
    before = len(site.events)
    assert site.enter(kind, id=ID, **said).status_code == 303
    assert len(site.events) == before


@pytest.mark.parametrize(
    "other", [{"text": "sun"}, {"by": "Somebody else"}, {"at": "05:01"}, {"kind": "step.started", "step": "CLEAN", "text": ""}]
)
def test_the_same_form_with_other_words_is_told(own, other):
    site = own(1)
    assert site.enter("note.written", id=ID, text="rain").status_code == 303
    before = len(site.events)
    said = {"kind": "note.written", "id": ID, "by": "M. Trevanick", "text": "rain", **other}
    answer = site.client.post(site.address("enter"), data=said, headers={"origin": HOST}, follow_redirects=False)
    assert answer.status_code == 422
    assert f"on record already, as entry {before}" in words(answer)
    assert len(site.events) == before


def test_a_number_that_another_job_has_is_told(own):
    site = own(1)
    taken = site.events[3]
    jobs = Jobs(site.store)
    file = site.events[0].payload["file"].replace('job = "OM-27-0103"', 'job = "OTHER"')
    site.client.post("/open", files={"file": ("x", file.encode())}, data={"by": "X"}, headers={"origin": HOST})
    said = {"kind": "note.written", "id": taken.id, "by": "X", "text": "y"}
    answer = site.client.post("/job/OTHER/enter", data=said, headers={"origin": HOST}, follow_redirects=False)
    assert answer.status_code == 422
    assert f"entry {taken.number} of job OM-27-0103" in words(answer)
    assert jobs["OTHER"].head == 1


def test_several_items_are_an_entry_each_and_once(own):
    site = own(1)
    steps = ["BOLT_PREP:J1", "BOLT_PREP:J2", "BOLT_PREP:J1"]
    before = len(site.events)
    first = site.enter("step.done", id=ID, step=steps, reading="run by hand", happened="yes")
    assert first.headers["location"].endswith(f"said={before + 1}-{before + 2}")
    new = site.events[before:]
    assert [(e.id, e.payload["step"]) for e in new] == [(f"{ID}-0", "BOLT_PREP:J1"), (f"{ID}-1", "BOLT_PREP:J2")]
    again = site.enter("step.done", id=ID, step=steps, reading="run by hand", happened="yes")
    assert again.headers["location"] == first.headers["location"]
    assert len(site.events) == before + 2


@pytest.mark.parametrize(("first", "second"), [(1, 2), (2, 1), (2, 3), (3, 2)])
def test_the_same_form_with_more_or_fewer_items_is_told(own, first, second):
    """Back in the browser, one more ticked, sent again: the first items are not entered a second time under another number."""
    site = own(1)
    steps = [f"BOLT_PREP:J{n}" for n in (1, 2, 5)]
    assert site.enter("step.done", id=ID, step=steps[:first], happened="yes").status_code == 303
    before = len(site.events)
    answer = site.enter("step.done", id=ID, step=steps[:second], happened="yes")
    assert (answer.status_code, len(site.events)) == (422, before)


def test_of_several_items_all_are_entered_or_none(own):
    site = own(1)
    before = len(site.events)
    answer = site.enter("step.done", id=ID, step=["BOLT_PREP:J1", "BOLT_PREP:J77"], happened="yes")
    assert (answer.status_code, len(site.events)) == (422, before)


def test_two_who_write_at_once_lose_nothing_and_double_nothing(own):
    """Threads of one server, and a second server on the same record."""
    site = own(1)
    before = len(site.events)
    with open_store(str(site.photos.parent / "record.db")) as other:
        servers = [Jobs(site.store), Jobs(other)]

        def write(n: int) -> tuple[int, ...]:
            form = Form({"kind": "note.written", "id": f"at-once-{n}", "by": f"P{n % 5}", "text": f"note {n}"})
            tried = [enter(servers[n % 2], site.job, form), enter(servers[(n + 1) % 2], site.job, form)]
            assert tried[0] == tried[1], "the same form sent to both"
            return tuple(e.number for e in tried[0].events)

        with ThreadPoolExecutor(4) as pool:
            numbers = list(pool.map(write, range(24)))
    new = site.events[before:]
    assert sorted(e.payload["text"] for e in new) == sorted(f"note {n}" for n in range(24))
    assert sorted(numbers) == [(before + n + 1,) for n in range(24)]
    assert first_broken(site.events) == 0


def test_the_same_form_sent_ten_times_at_once_is_one_entry(own):
    site = own(1)
    before = len(site.events)
    with ThreadPoolExecutor(5) as pool:
        answers = list(pool.map(lambda _: site.enter("note.written", id=ID, text="rain"), range(10)))
    assert {a.status_code for a in answers} == {303}
    assert {a.headers["location"] for a in answers} == {f"/job/{site.job}?said={before + 1}-{before + 1}"}
    assert len(site.events) == before + 1


# what is wrong, all of it, and nothing typed lost


def test_everything_wrong_is_told_at_once_and_what_was_typed_is_still_there(own):
    site = own(5)
    typed = {
        "joint": "J4", "pass": "pass 9", "torque": "four hundred", "tool": "W99", "lubricant": "blue <tin>", "studs": "1-99", "moved": "-3",
        "note": 'said "so" & <so>', "at": "25:99", "started_at": "half past", "by": "",
    }  # fmt: skip
    answer = site.enter("joint.pass_done", **typed)
    assert answer.status_code == 422
    said = words(answer)
    for part in ("Whose hands", "25:99", "half past", "pass 9", "four hundred", "-3"):
        assert part in said, part
    for name in ("torque", "lubricant", "studs", "note", "at", "started_at"):
        value = typed[name].replace("&", "&amp;").replace('"', "&quot;").replace("<", "&lt;").replace(">", "&gt;")
        assert re.search(rf'<input[^>]*name="{name}"[^>]*value="{re.escape(value)}"', answer.text), name
    assert len(site.events) == len(own(5).events)


def test_hidden_values_and_long_texts_come_back_too(own):
    site = own(1)
    file = "line 1\nline 2 <b>"
    answer = site.enter("job.file_revised", id=ID, file=file, entered_by="The planner", by="", why="")
    assert answer.status_code == 422
    kept = dict(re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', answer.text))
    assert (kept["id"], kept["entered_by"], unescape(kept["file"])) == (ID, "The planner", file)


def test_several_items_come_back_ticked(own):
    answer = own(1).enter("step.done", step=["BOLT_PREP:J1", "BOLT_PREP:J2"], by="")
    assert answer.text.count('type="hidden" name="step"') == 2


@pytest.mark.parametrize("id_", ["", "short", "x" * 61, " " * 20])
def test_a_form_without_its_own_number_is_not_entered(own, id_):
    site = own(1)
    before = len(site.events)
    answer = site.enter("note.written", id=id_, text="x")
    assert (answer.status_code, len(site.events)) == (422, before)


@pytest.mark.parametrize(
    ("name", "value"),
    [("by", "x" * 201), ("by", "a\x07b"), ("entered_by", "y" * 201), ("text", "x" * 2001), ("photo_kept", "../../record.db")],
)
def test_what_the_record_would_refuse_is_told_before(own, name, value):
    site = own(1)
    before = len(site.events)
    answer = site.enter("note.written", **{"text": "x", name: value})
    assert (answer.status_code, len(site.events)) == (422, before)


def test_a_range_without_an_end_is_told(own):
    answer = own(4).enter("joint.pass_done", joint="J1", studs="1-99999999999", **{"pass": "pass 1"})
    assert answer.status_code == 422
    assert "studs" in words(answer)


# corrections


def test_a_correction_takes_the_place_and_the_time_of_the_entry(own):
    site = own(at(12, 9, 25))
    gap = next(e for e in reversed(site.events) if e.kind == "joint.gap_read")
    answer = site.enter("joint.gap_read", corrects=gap.id, joint="J4", gaps="3.1 3.1 3.3 3.2 mm", **{"pass": "four snug"})
    assert answer.status_code == 303
    new = site.events[-1]
    assert (new.corrects, new.happened_at) == (gap.id, gap.happened_at)
    assert Jobs(site.store)[site.job].state.joint("J4").gaps == (3.1, 3.1, 3.3, 3.2)


def test_an_entry_is_taken_back(own):
    site = own(1)
    site.enter("finding.raised", text="strap loose", letter="B")
    wrong = site.events[-1]
    assert site.enter("record.withdrawn", corrects=wrong.id, why="another exchanger").status_code == 303
    assert wrong.id not in Jobs(site.store)[site.job].state.to_put_right


@pytest.mark.parametrize(("kind", "corrects"), [("record.withdrawn", ""), ("record.withdrawn", "nowhere"), ("note.written", "nowhere")])
def test_a_correction_of_nothing_is_told(own, kind, corrects):
    site = own(1)
    more = {"why": "x"} if kind == "record.withdrawn" else {"text": "x"}
    answer = site.enter(kind, corrects=corrects, **more)
    assert answer.status_code == 422
    assert "entry" in words(answer)


def test_a_correction_that_says_another_thing_is_told(own):
    site = own(1)
    answer = site.enter("note.written", corrects=site.events[4].id, text="x")
    assert answer.status_code == 422
    assert "Take that entry back" in words(answer)


# all but these studs


def test_all_but_the_studs_named(own):
    site = own(5)
    answer = site.enter("joint.pass_done", joint="J4", not_studs="3, 5-7", happened="yes", **{"pass": "pass 1"})
    assert answer.status_code == 303
    assert sorted(site.events[-1].payload["studs"]) == [n for n in range(1, 37) if n not in (3, 5, 6, 7)]


@pytest.mark.parametrize("text", ["40", "1-36", "x", "0", "1--3"])
def test_studs_that_cannot_be_left_out_are_told(own, text):
    site = own(5)
    answer = site.enter("joint.pass_done", joint="J4", not_studs=text, happened="yes", **{"pass": "pass 1"})
    assert answer.status_code == 422


# whatever is typed


TYPED = st.one_of(
    st.text(max_size=40),
    st.sampled_from(
        [
            "1e400 bar",
            "-1 bar",
            "nan",
            "inf mm",
            "²",
            "1" * 5000,
            "0x10",
            "1,2,3 mm",
            "1-9999999999999",
            "12-1",
            "0001-01-01 00:00",
            "9999-12-31 23:59",
            "0001-01-01T00:00+23:59",
            "24:00",
            "\x00",
            "\ud7ff",
            "{}",
            "%s",
            "{0}",
            "J4",
            "T",
            "W1",
            "pass 1",
            "PERMIT",
            "x" * 3000,
        ]
    ),
)


@pytest.fixture(scope="module")
def fuzzed(tmp_path_factory):
    site = opened(tmp_path_factory.mktemp("fuzzed"), at(7, 7, 0))
    yield site
    site.store.close()


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.data())
def test_no_words_make_a_fault(fuzzed, data):
    kind = data.draw(st.sampled_from([k for k in kinds() if k != "job.opened"]))
    names = [name_of(f.typed_name) for f in kinds()[kind].fields.values()]
    said = {name: data.draw(TYPED, label=name) for name in names if data.draw(st.integers(0, 3), label=f"{name}?")}
    more = {
        name: data.draw(TYPED, label=name)
        for name in ("at", "corrects", "not_studs", "entered_by")
        if data.draw(st.booleans(), label=f"{name}?")
    }
    form = {"kind": kind, "by": "X", "id": data.draw(st.uuids()).hex, **said, **more}
    answer = fuzzed.client.post(address(fuzzed.job, "enter"), data=form, headers={"origin": HOST}, follow_redirects=False)
    assert answer.status_code in (303, 409, 422)
    assert fuzzed.client.get(fuzzed.address("order")).status_code == 200, "the record can be read"


@pytest.mark.practice
def test_the_engineers_figure_asks_for_the_role_and_refuses_another(own) -> None:
    site = own(4)
    form = next(f for f in re.findall(r"<form.*?</form>", site.page("step", "THRUST_OK"), re.S) if 'value="step.done"' in f)
    role = re.search(r'<select[^>]*name="role"[^>]*>', form) or re.search(r'<input[^>]*name="role"[^>]*>', form)
    assert role
    assert "required" in role[0]
    other = next(f for f in re.findall(r"<form.*?</form>", site.page("step", "TESTKIND"), re.S) if 'value="step.done"' in f)
    assert 'name="role"' not in other
    answer = site.enter("step.done", step="THRUST_OK", role="crew lead", reading="790 kN")
    assert answer.status_code == 409
    assert "signed it as crew lead; it takes the engineer, in that role" in answer.text
