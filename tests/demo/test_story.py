"""The story of the demo job as text: it reads, it keeps its days, and everything wrong with another one is told at once."""

from __future__ import annotations

import re
import tomllib
from datetime import timedelta
from itertools import pairwise
from pathlib import Path

import pytest

from boxup.demo.fleet import FOCUS, files_of_the_demo
from boxup.demo.story import ZONE, drafts, story_text
from boxup.exchanger.file import read
from boxup.job.lists import scope_of
from boxup.record.event import BadEvent, Draft, moment_of
from boxup.record.kinds import check, kinds

pytestmark = pytest.mark.demo

JOB = "OM-27-0103"
DAYS = (1, 2, 3, 4, 5, 6, 7, 8, 19, 20)
FILE = files_of_the_demo()[FOCUS].read_text(encoding="utf-8")
EXPECTED = tomllib.loads((Path(__file__).parent / "days.toml").read_text(encoding="utf-8"))


def of_story(until_day: int | None = None) -> tuple[Draft, ...]:
    return drafts(story_text(), FILE, JOB, until_day=until_day)


def told(*lines: str, first_day: str = "day 1 2027-04-07") -> tuple[Draft, ...]:
    return drafts("\n".join((first_day, *lines)), "[exchanger]", "J")


def wrong_with(*lines: str) -> tuple[str, ...]:
    with pytest.raises(BadEvent) as bad:
        told(*lines)
    return bad.value.problems


# the story itself


def test_every_line_of_the_story_is_an_event_of_the_record() -> None:
    story = of_story()
    assert len(story) > 500
    for draft in story:
        check(draft)
    assert {draft.job for draft in story} == {JOB}


def test_the_first_event_opens_the_job_with_the_file_and_no_other_does() -> None:
    story = of_story()
    assert [draft.kind for draft in story if draft.kind == "job.opened"] == [story[0].kind]
    assert story[0].payload["file"] == FILE
    assert story[0].payload["shift_ends"] == ["06:00", "18:00"]


def test_time_runs_forward_and_only_a_correction_goes_back() -> None:
    plain = [draft.happened_at for draft in of_story() if not draft.corrects]
    assert all(before <= after for before, after in pairwise(plain))
    assert {moment.utcoffset() for moment in plain} == {timedelta(hours=2)}


def test_until_a_day_is_the_beginning_of_the_whole() -> None:
    whole = of_story()
    lengths = [len(of_story(day)) for day in DAYS]
    assert lengths == sorted(set(lengths)), "a day without an event"
    assert lengths[-1] == len(whole)
    assert of_story(6) == whole[: lengths[5]]
    assert len(of_story(18)) == lengths[7]
    assert whole[0].happened_at.date() + timedelta(days=5) == of_story(6)[-1].happened_at.date()


def test_a_second_telling_has_the_same_ids_and_no_id_stands_twice() -> None:
    first, second = of_story(), of_story()
    assert [draft.id for draft in first] == [draft.id for draft in second]
    assert len({draft.id for draft in first}) == len(first)
    assert not {draft.id for draft in first} & {draft.id for draft in drafts(story_text(), FILE, "OM-27-0104")}


def test_corrections_name_events_that_were_told_before_them() -> None:
    place = {draft.id: number for number, draft in enumerate(of_story())}
    corrections = [draft for draft in of_story() if draft.corrects]
    assert all(place[draft.corrects] < place[draft.id] for draft in corrections)
    assert {draft.kind for draft in corrections} >= {"joint.gap_read", "record.withdrawn"}


def test_a_withdrawal_is_withdrawn() -> None:
    back = {draft.id: draft.corrects for draft in of_story() if draft.kind == "record.withdrawn"}
    assert any(what in back for what in back.values())


def test_every_finding_closed_was_raised() -> None:
    story = of_story()
    raised = {draft.id for draft in story if draft.kind == "finding.raised"}
    closed = [draft.payload["finding"] for draft in story if draft.kind == "finding.closed"]
    assert closed
    assert set(closed) < raised


def test_steps_that_need_two_names_have_two_people() -> None:
    for draft in of_story():
        if second := draft.payload.get("second"):
            assert second != draft.by, f"{draft.happened_at}: {draft.kind}"


def test_every_step_named_is_one_of_the_order() -> None:
    exchanger, _ = read(FILE)
    assert exchanger is not None
    scope = scope_of(exchanger)
    for draft in of_story():
        if (step := draft.payload.get("step")) and not step.endswith(":9-14"):
            assert scope.named(step)


def test_the_mistakes_of_the_first_make_up_are_in_it() -> None:
    story = of_story(6)
    bad = [draft for draft in story if draft.kind == "joint.pass_done" and draft.payload.get("dry")]
    assert [(draft.payload["joint"], draft.payload["dry"], draft.payload["tool"]) for draft in bad] == [("J4", list(range(13, 20)), "W3")]
    swap = next(d.happened_at for d in story if d.kind == "shift.changed" and d.happened_at.day == 12 and d.happened_at.hour == 11)
    assert moment_of(bad[0].payload["started_at"]) < swap < bad[0].happened_at
    assert [d.payload["verdict"] for d in of_story() if d.kind == "test.result" and d.payload["test"] == "T"] == ["failed", "passed"]


def test_no_line_is_long_and_the_head_says_that_it_is_invented() -> None:
    lines = story_text().splitlines()
    assert max(map(len, lines)) <= 140
    assert "invented" in lines[0]


# what is expected of it


@pytest.mark.parametrize("stand", [*EXPECTED["day"].values(), *EXPECTED["moment"]], ids=lambda stand: str(stand["at"]))
def test_what_is_expected_speaks_of_this_exchanger(stand: dict) -> None:
    exchanger, _ = read(FILE)
    assert exchanger is not None
    scope = scope_of(exchanger)
    for key in ("steps_done", "steps_not_done", "may", "may_not"):
        assert all(scope.named(code.removesuffix(":9-14")) for code in stand.get(key, ()))
    assert {*stand.get("joint", ()), *stand.get("gaskets", ()), *stand.get("not_pulled_up", ())} <= {*scope.owners}
    assert {*stand.get("blinds_in", ()), *stand.get("blinds_out", ())} <= {item.id for item in scope.items if item.list == "blinds"}
    for text in (*stand.get("found", ()), *stand.get("stops", ()), *(t for why in stand.get("not_pulled_up", {}).values() for t in why)):
        re.compile(text)
    assert stand["at"].utcoffset() == ZONE.utcoffset(None)


def test_every_day_of_the_story_has_its_expectation() -> None:
    assert tuple(map(int, EXPECTED["day"])) == DAYS
    for day, stand in EXPECTED["day"].items():
        assert of_story(int(day))[-1].happened_at.date() == stand["at"].date()


# the way it is written


def test_a_line_is_time_person_kind_and_fields() -> None:
    (one,) = told("06:20 | D. Wrexholme | step.done | step=ZERO:shell second=\"M. Trevanick\" reading='V2 rodded, 0 bar'")
    assert one.happened_at.isoformat() == "2027-04-07T06:20:00+02:00"
    assert (one.by, one.entered_by, one.kind, one.version) == ("D. Wrexholme", "D. Wrexholme", "step.done", kinds()["step.done"].version)
    assert one.payload == {"step": "ZERO:shell", "second": "M. Trevanick", "reading": "V2 rodded, 0 bar"}


def test_comments_and_blank_lines_say_nothing() -> None:
    assert len(told("", "# a comment | with | bars | in it", "06:00 | A | note.written | text=wet", "", "# end")) == 1


def test_an_indented_line_goes_on_with_the_one_above() -> None:
    one, other = told("06:00 | A | note.written |", '    text="first half,', '    second half"', "06:01 | A | note.written | text=dry")
    assert (one.payload["text"], other.payload["text"]) == ("first half, second half", "dry")


def test_quantities_studs_and_moments_are_read_as_they_are_typed() -> None:
    (one,) = told('11:20 | C | joint.pass_done | joint=J4 pass="pass 3" torque="411 N.m" studs=1-3,5 dry=2-3 started_at="10:50"')
    assert one.payload["torque_n_m"] == pytest.approx(411)
    assert one.payload["studs"] == [1, 2, 3, 5]
    assert one.payload["dry"] == [2, 3]
    assert one.payload["started_at"] == "2027-04-07T10:50:00+02:00"
    assert one.payload["typed"] == {"torque_n_m": "411 N.m"}


def test_a_whole_moment_is_left_as_it_is() -> None:
    (one,) = told('11:20 | N | tool.bad | tool=W3 why=late last_good_at="2027-04-06T18:00:00+02:00"')
    assert one.payload["last_good_at"] == "2027-04-06T18:00:00+02:00"


def test_braces_tell_the_line_once_for_each() -> None:
    story = told("06:00 | N | step.done | step=GKT_RCV:{G1,G2, G3}", "06:01 | N | step.done | step={PIERCE,PLUG} reading=none")
    assert [draft.payload["step"] for draft in story] == ["GKT_RCV:G1", "GKT_RCV:G2", "GKT_RCV:G3", "PIERCE", "PLUG"]
    assert len({draft.id for draft in story}) == 5


def test_labels_stand_for_the_id_of_their_line() -> None:
    raised, closed, gap, again = told(
        '06:00 | I | finding.raised | text="cap loose" letter=A | @f1',
        "06:10 | I | finding.closed | finding=@f1 how=tight",
        '06:20 | I | joint.gap_read | joint=J4 gaps="3.1 3.1 3.9 3.2 mm" | @gap',
        '06:20 | I | joint.gap_read | joint=J4 gaps="3.1 3.1 3.3 3.2 mm" corrects=@gap entered=M',
    )
    assert closed.payload["finding"] == raised.id
    assert (again.corrects, again.by, again.entered_by) == (gap.id, "I", "M")
    assert again.payload["gaps_mm"] == [3.1, 3.1, 3.3, 3.2]
    assert "corrects" not in again.payload


def test_an_event_put_in_leaves_the_ids_of_other_days_alone() -> None:
    later = "day 2 2027-04-08\n06:00 | A | note.written | text=dry"
    short = told("06:00 | A | note.written | text=wet", later)
    long = told("05:00 | A | note.written | text=cold", "06:00 | A | note.written | text=wet", later)
    assert short[-1].id == long[-1].id


def test_the_same_words_twice_are_two_events() -> None:
    one, two = told("06:00 | A | note.written | text=wet", "06:00 | A | note.written | text=wet")
    assert one.id != two.id


def test_everything_wrong_is_told_at_once_with_its_line() -> None:
    problems = wrong_with(
        "6:20 | A | note.written | text=wet",
        "06:20 | A | note.written",
        "06:21 | A | no.kind | text=wet",
        "06:22 | A | joint.pass_done | joint=J4 pass=fourth torque=411",
        "06:23 | A | finding.closed | finding=@nobody how=shut",
        "06:24 | A | note.written | text=wet",
    )
    assert {int(re.match(r"line (\d+): ", problem)[1]) for problem in problems} == {2, 3, 4, 5, 6}
    assert len([problem for problem in problems if problem.startswith("line 5:")]) == 2, "both fields of the pass"


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("25:00 | A | note.written | text=wet", "no time"),
        ("06:00 | A | note.written | text=wet | f1", "no label"),
        ("06:00 | A | note.written | text=wet | @f1 | more", "6 columns"),
        ("06:00 | A | note.written | wet", "no field"),
        ("06:00 | A | note.written | text=wet text=dry", "twice"),
        ('06:00 | A | note.written | text="wet', "cannot be read"),
        ("06:00 | A | step.done | step={A,B}:{C,D}", "braces"),
        ("06:00 | A | step.done | step=GKT_RCV:{G1,G2} | @f1", "braces"),
        ("06:00 | A | step.done | step=GKT_RCV:{G1,,G2}", "missing or stands twice"),
        ("06:00 | A | step.done | step=GKT_RCV:{G1,G1}", "missing or stands twice"),
        ("06:00 | A | record.withdrawn | why=slip corrects=@none", "no label"),
        ("06:00 | A | record.withdrawn | why=slip", "must name the event"),
        ("06:00 | A | joint.pass_done | joint=J4 pass=round started_at=07:00", "after the event itself"),
        ("06:00 | A | joint.pass_done | joint=J4 pass=round started_at=26:00", "no time"),
        ("06:00 | A | joint.pass_done | joint=J4 pass=round started_at=05:70", "no time"),
        ("day 3 2027-04-08", "does not follow"),
        ("day 1 2027-04-07", "does not follow"),
        ("day two", "no day"),
        ("day 2 2027-13-40", "no day"),
    ],
)
def test_what_cannot_be_read_is_refused(line: str, says: str) -> None:
    problems = wrong_with(line)
    assert problems
    assert all(problem.startswith("line 2: ") for problem in problems)
    assert says in problems[0]


def test_time_may_not_run_backwards() -> None:
    (problem,) = wrong_with("06:10 | A | note.written | text=wet", "06:00 | A | note.written | text=dry")
    assert problem == "line 3: 06:00 comes after 06:10; only a correction goes back."


def test_a_label_stands_once() -> None:
    (problem,) = wrong_with("06:00 | A | note.written | text=wet | @n", "06:01 | A | note.written | text=dry | @n")
    assert problem.startswith("line 3: @n is named twice")


def test_a_line_before_the_first_day_and_one_with_nothing_above_are_told() -> None:
    with pytest.raises(BadEvent) as bad:
        drafts("06:00 | A | note.written | text=wet\n\n   goes on\n", "", "J")
    assert [problem.partition(":")[0] for problem in bad.value.problems] == ["line 1", "line 3"]
