"""What is kept of a job is what the record says, whoever else writes to it; and a record that is not as it was entered is told."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from uuid import uuid4

import pytest
from tests.web.conftest import HOST, opened, story

from boxup.job.fold import fold
from boxup.record.event import Draft
from boxup.store.base import Busy
from boxup.store.open import open_store
from boxup.web.enter import Form, enter
from boxup.web.live import Damaged, Jobs, NotThere

DAY = 4


def note(site, text: str = "x") -> Draft:
    last = site.events[-1]
    later = last.happened_at + timedelta(minutes=1)
    return Draft(
        id=str(uuid4()), job=site.job, kind="note.written", version=1, happened_at=later, by="N", entered_by="N", payload={"text": text}
    )


# what is kept


def test_a_job_is_worked_out_once_until_it_moves_on(own):
    site = own(DAY)
    jobs = Jobs(site.store)
    first = jobs[site.job]
    numbers = first.material.numbers
    assert jobs[site.job] is first
    site.store.append([note(site)])
    second = jobs[site.job]
    assert second is not first
    assert second.head == first.head + 1
    assert second.events[:-1] == first.events
    assert second.material.numbers is numbers, "the exchanger is the same"


def test_the_numbers_are_worked_anew_when_the_exchanger_changes(own):
    site = own(DAY)
    jobs = Jobs(site.store)
    before = jobs[site.job]
    assert before.material.numbers
    assert site.enter("joint.lubricant_changed", joint="J5", lubricant="copper paste", nut_factor="0.2").status_code == 303
    after = jobs[site.job]
    assert after.exchanger != before.exchanger
    assert after.material.numbers is not before.material.numbers


def test_what_was_added_bit_by_bit_is_what_is_read_at_once(own):
    """The other route: the whole record folded in one go."""
    site = own(1)
    jobs = Jobs(site.store)
    assert jobs[site.job]
    _, told = story(3)
    for at in range(len(site.events), len(told), 25):
        site.store.append(told[at : at + 25])
        kept = jobs[site.job]
        assert kept.events == site.store.events(site.job)
    whole = fold(site.events)
    assert (kept.state.head, kept.state.done, kept.state.story) == (whole.head, whole.done, whole.story)
    assert {c: t.stand for c, t in kept.state.steps.items()} == {c: t.stand for c, t in whole.steps.items()}


def test_what_was_looked_ahead_to_is_what_is_read_anew(own):
    """The state kept after a form is that of a fold of the record as it then is: several entries, a correction, an act that undoes."""
    site = own(5)
    jobs = Jobs(site.store)
    assert jobs[site.job]
    forms = [
        {"kind": "step.done", "step": "BOLT_PREP:J4"},
        {"kind": "joint.opened", "joint": "J1", "why": "seen weeping"},
        {"kind": "step.done", "step": "BOLT_PREP:J1", "happened": "yes"},
        {"kind": "record.withdrawn", "why": "slip", "corrects": site.events[-3].id},
        {"kind": "finding.raised", "text": "x", "letter": "A"},
    ]
    for n, said in enumerate(forms):
        many = {"step": ["BOLT_PREP:J4", "BOLT_PREP:J5"]} if n == 0 else {}
        came = enter(jobs, site.job, Form({"id": f"ahead-{n:03}", "by": "X", "happened": "yes", **said}, many))
        assert came.events
        kept, whole = jobs._kept[site.job], fold(site.events)
        assert jobs[site.job] is kept, "not worked a second time"
        assert kept.events == site.events
        for name in whole.__dataclass_fields__:
            if name not in ("exchanger", "scope", "needs", "shifts"):
                assert getattr(kept.state, name) == getattr(whole, name), name


def test_another_process_writes_and_the_page_shows_it(own):
    site = own(DAY)
    assert "Fennimarsh was here" not in site.page("log") + site.page()
    code = """
import sys
from boxup.store.base import Busy
from boxup.store.open import open_store
from boxup.record.event import Draft
with open_store(sys.argv[1]) as store:
    last = store.events(sys.argv[2])[-1]
    who = "O. Fennimarsh"
    store.append([Draft(id="from-elsewhere", job=sys.argv[2], kind="finding.raised", version=1, happened_at=last.happened_at,
                        by=who, entered_by=who, payload={"text": "hose left in the way", "letter": "A"})])
"""
    words = [sys.executable, "-c", code, str(site.store.path), site.job]
    done = subprocess.run(words, env=os.environ, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert "hose left in the way" in site.page()
    assert site.enter("note.written", text="seen").status_code == 303, "entered behind the other one's entry"
    assert [e.by for e in site.events[-2:]] == ["O. Fennimarsh", "M. Trevanick"]


def test_many_who_look_while_some_write(own):
    site = own(1)
    jobs = Jobs(site.store)
    first = len(site.events)

    def look(_: int) -> int:
        live = jobs[site.job]
        assert [e.number for e in live.events] == list(range(1, live.head + 1))
        assert live.state.entries == live.head
        return live.head

    def write(n: int) -> int:
        return site.store.append([note(site, str(n))])[0].number

    with ThreadPoolExecutor(8) as pool:
        work = [pool.submit(write if n % 8 == 0 else look, n) for n in range(64)]
        seen = [one.result() for one in work]
    assert max(seen) == first + 8 == jobs[site.job].head


def test_a_job_that_is_not_there_is_not_there_and_nothing_is_kept_of_it(own):
    jobs = Jobs(own(1).store)
    for n in range(50):
        with pytest.raises(NotThere):
            jobs[f"none {n}"]
    assert len(jobs._turns) == 0


# a record that is not as it was entered


def spoil(site, *statements: tuple[str, tuple[object, ...]]) -> None:
    """As somebody would with a tool of their own: the triggers that forbid it are taken off first."""
    db = sqlite3.connect(site.store.path)
    for (name,) in db.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
        db.execute(f"DROP TRIGGER {name}")
    for text, values in statements:
        db.execute(text, values)
    db.commit()
    db.close()


SPOILT = {
    "a word changed": ("UPDATE event SET by = 'Somebody' WHERE number = 7", ()),
    "a payload changed": ("UPDATE event SET payload = replace(payload, 'step', 'stop') WHERE number = 7", ()),
    "no payload at all": ("UPDATE event SET payload = ? WHERE number = 7", ("{",)),
    "brackets without an end": ("UPDATE event SET payload = ? WHERE number = 7", ('{"a":' * 20_000,)),
    "a list": ("UPDATE event SET payload = ? WHERE number = 7", ("[]",)),
    "a time that is none": ("UPDATE event SET happened_at = 'noon' WHERE number = 7", ()),
    "an entry taken out": ("DELETE FROM event WHERE number = 7", ()),
    "the first taken out": ("DELETE FROM event WHERE number = 1", ()),
}


@pytest.mark.parametrize("what", SPOILT)
def test_a_damaged_record_is_a_sentence(tmp_path, what):
    site = opened(tmp_path, 1)
    spoil(site, SPOILT[what])
    with pytest.raises(Damaged):
        Jobs(site.store)[site.job]
    for parts in ((), ("order",), ("log",), ("step", "PACK")):
        answer = site.client.get(site.address(*parts))
        assert answer.status_code == 503
        assert "Look with boxup record verify" in answer.text
        assert "Traceback" not in answer.text
    assert site.client.get("/").status_code == 200, "the other exchangers go on"
    assert site.client.get("/fleet").status_code == 200
    entered = site.enter("note.written", text="x")
    assert entered.status_code == 503
    site.store.close()


def test_a_page_cached_before_the_damage_tells_of_the_next_entry_that_does_not_fit(own):
    site = own(1)
    assert site.page()
    site.store.append([note(site)])
    spoil(site, ("UPDATE event SET by = 'Somebody' WHERE number = ?", (len(site.events),)))
    assert site.get().status_code == 503


def test_entries_taken_off_the_end_are_noticed_while_the_pages_run(own):
    """A chain cannot show that its end is gone; whoever has seen it can."""
    site = own(1)
    assert site.page()
    spoil(site, ("DELETE FROM event WHERE number = ?", (len(site.events),)))
    answer = site.get()
    assert answer.status_code == 503
    assert "was on record a moment ago" in answer.text


def test_a_file_that_is_no_record_any_more_is_a_sentence(own):
    site = own(1)
    assert site.page()
    with open_store(str(site.store.path)) as other:
        other.append([note(site)])
    size = site.store.path.stat().st_size
    with site.store.path.open("r+b") as file:
        file.seek(2048)
        file.write(b"\xff" * (size - 2048))
    for path in (site.address(), "/", "/fleet"):
        answer = site.client.get(path)
        assert answer.status_code in (200, 503)
        assert "Traceback" not in answer.text


def test_an_opening_whose_file_cannot_be_read_is_told_and_the_rest_goes_on(own):
    site = own(1)
    bad = Draft(
        id="bad-file", job="BAD", kind="job.opened", version=1, happened_at=site.events[0].happened_at, by="X", entered_by="X",
        payload={"file": "no file"},
    )  # fmt: skip
    site.store.append([bad])
    for path in ("/job/BAD", "/job/BAD/log", "/job/BAD/order"):
        answer = site.client.get(path)
        assert answer.status_code == 503
        assert "no exchanger file that can be read" in answer.text
    assert "BAD" in site.client.get("/fleet").text
    assert site.client.get("/").status_code == 200
    said = {"kind": "note.written", "id": "12345678", "by": "X", "text": "y"}
    assert site.client.post("/job/BAD/enter", data=said, headers={"origin": HOST}).status_code == 503


def test_a_record_that_another_program_holds_loses_no_form(own, monkeypatch):
    """Busy: what was typed is still on the page."""
    site = own(1)

    def busy(*_: object, **__: object) -> None:
        raise Busy("another program has been writing for 30 s. Try again")

    monkeypatch.setattr(type(site.store), "append", busy)
    answer = site.enter("note.written", text="typed with a glove on")
    assert answer.status_code == 503
    assert "another program has been writing" in answer.text
    assert 'value="typed with a glove on"' in answer.text
