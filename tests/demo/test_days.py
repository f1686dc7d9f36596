"""The invented job, day by day: what must stand at the end of each day, argued from its timeline (`days.toml`) and not from the program."""

from __future__ import annotations

import re
import tomllib
from datetime import datetime
from pathlib import Path

import pytest
from tests.demo.conftest import told

from boxup.job.fold import fold
from boxup.job.live import may_now
from boxup.job.proof import unproved
from boxup.job.state import JobState

DOCUMENT = tomllib.loads((Path(__file__).parent / "days.toml").read_text(encoding="utf-8"))


TOLD = told()


WANTED = [
    *(pytest.param(want, id=f"end of day {day}") for day, want in DOCUMENT["day"].items()),
    *(pytest.param(want, id=f"{want['at']:%d %H:%M}") for want in DOCUMENT["moment"]),
]


def state_at(moment: datetime) -> JobState:
    """What was on record by then: a correction is on record when it was typed, which is where it stands in the story."""
    last = max(e.number for e in TOLD if e.happened_at <= moment and not e.corrects)
    return fold([e for e in TOLD if e.number <= last])


@pytest.mark.parametrize("want", WANTED)
def test_the_job_stands_as_the_timeline_says(want):
    state = state_at(want["at"])
    named = {key: set(state.scope.named_all(want.get(key, ()))) for key in ("steps_done", "steps_not_done")}
    assert named["steps_done"] <= state.done, sorted(named["steps_done"] - state.done)
    assert named["steps_not_done"] & state.done == set()
    joints = {id_: state.joint(id_) for id_ in want.get("joint", {})}
    assert {id_: joint.word for id_, joint in joints.items() if joint} == want.get("joint", {})
    gaskets = want.get("gaskets", {})
    assert {id_: (state.joint(id_).gaskets.get(id_, "")) for id_ in gaskets} == gaskets
    for key, word in (("blinds_in", "in"), ("blinds_out", "out")):
        assert {state.blinds[id_].word for id_ in want.get(key, ())} <= {word}
    tests = {code: [a.verdict for a in test.attempts] for code, test in state.tests.items()}
    assert {code: tests[code] for code in want.get("tests", {})} == want.get("tests", {})
    for step in want.get("may", ()):
        answer = may_now(state, step, want["at"])
        assert answer.may, f"{step}: {[(m.need.step, m.stands) for m in answer.missing]}"
    for step in want.get("may_not", ()):
        assert not may_now(state, step, want["at"]).may, step
    assert {item for item in want.get("used", ()) if not state.gaskets[item].where.startswith("out of")} == set()
    assert state.complete or not want.get("complete", False)
    for id_, patterns in want.get("not_pulled_up", {}).items():
        for pattern in patterns:
            assert any(re.search(pattern, why) for why in state.joint(id_).not_pulled_up), pattern


@pytest.mark.parametrize("want", WANTED)
def test_what_is_measured_and_raised_is_kept(want):
    state = state_at(want["at"])
    letters = {letter: sum(one.letter == letter and not one.closed for one in state.to_put_right.values()) for letter in "ABC"}
    x = state.exchanger
    seen = {
        "bore_mm": round(x.shell.inside_diameter.to("mm"), 6), "floating_tubesheet_mm": round(x.floating_tubesheet.thickness.to("mm"), 6),
        "plugged": sorted(x.plugged), "open_items": letters,
    }  # fmt: skip
    wanted = {key: sorted(want[key]) if key == "plugged" else want[key] for key in seen if key in want}
    assert {key: seen[key] for key in wanted} == wanted


@pytest.mark.parametrize("want", WANTED)
def test_what_is_noticed_is_what_the_timeline_says(want):
    state = state_at(want["at"])
    seen = [n.finding.text for n in state.story]
    standing = [why for joint in state.joints.values() for why in joint.not_pulled_up] + [tick.why for tick in state.steps.values()]
    for pattern in want.get("found", ()):
        assert any(re.search(pattern, text, re.IGNORECASE) for text in (*seen, *standing)), pattern
    if "stops" in want:
        stops = [n.finding.text for n in state.story if n.finding.level == "stop" and n.at.date() == want["at"].date()]
        strange = [text for text in stops if not any(re.search(p, text, re.IGNORECASE) for p in want["stops"])]
        assert strange == []


def test_the_job_ends_done_and_proved():
    state = fold(TOLD)
    assert state.complete
    assert unproved(state) == ()
    assert state.exchanger.floating_tubesheet.thickness.to("mm") == pytest.approx(74.6)
    assert "9-14" in state.exchanger.plugged
