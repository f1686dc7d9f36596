"""Every undoing and every check that runs out, as a story argued from the trade: what falls, what stands, what has run out."""

from __future__ import annotations

import tomllib
from datetime import datetime, time, timedelta
from pathlib import Path

import pytest
from tests.job.telling import DAY, ZONE, Story, role_of

from boxup.job.fold.start import KIND_OF
from boxup.job.freshness import freshness
from boxup.job.live import may_now
from boxup.job.order import all_needs, order
from boxup.job.scope import Scope, scope_of_letters
from boxup.job.stale import stale_since
from boxup.job.undoing import undoings

HERE = Path(__file__).parent / "stories"
STORIES = tomllib.loads((HERE / "undoing.toml").read_text(encoding="utf-8"))["story"]
# What some other entries must say beside the joint.
MORE = {"face": "channel flange", "part": "flange", "off_mm": 0.2, "why": "seen on the way"}
# `also`: entries that come to the same, because the joint has to be opened for them.
UNDOING = [
    *STORIES,
    *(told | {"event": event, "name": f"{told['name']}, {event}", "payload": MORE | told.get("payload", {})} for told in STORIES
      for event in told.get("also", ())),
]  # fmt: skip
FRESH = tomllib.loads((HERE / "freshness.toml").read_text(encoding="utf-8"))
# With bare letters no item is named: the kind stands for it, in this field.
FIELD_OF = {"joint": "joint", "gasket": "joint", "face": "joint", "blind": "blind", "tool": "tool", "tube": "tube", "plug": "tube",
            "count": "space", "test": "side"}  # fmt: skip


SCOPES: dict[tuple[str, str], Scope] = {}


def scope_of_story(told: dict, listed) -> Scope | None:
    """None for a demo file; each other scope is settled once."""
    if "demo" in told:
        return None
    name, options = told.get("listed") or told["letters"], told.get("options", "")
    if (name, options) not in SCOPES:
        SCOPES[name, options] = listed(name, options) if "listed" in told else scope_of_letters(name, options)
    return SCOPES[name, options]


DEMO_SCOPES: dict[str, Scope] = {}


def scope_of_demo(tag: str) -> Scope:
    if tag not in DEMO_SCOPES:
        DEMO_SCOPES[tag] = Story(tag=tag).state.scope
    return DEMO_SCOPES[tag]


def begin(told: dict, listed) -> Story:
    story = Story(scope_of_story(told, listed), tag=told.get("demo", "14-E-103"))
    story.done_until(told["done"])
    return story


def payload_of(told: dict) -> dict:
    payload = dict(told.get("payload", {}))
    if about := told.get("about"):
        payload.setdefault(FIELD_OF[told["event"].partition(".")[0]], about.removesuffix(" side"))
    return payload


def happen(story: Story, told: dict) -> None:
    """The event; for a derived one, what the program derives it from."""
    kind, _, more = told["event"].partition(" ")
    if more == "again":  # the first weep, its corrective pass ticked, and then once more
        before = set(story.state.done)
        story.say(kind, **payload_of(told))
        story.tick(*(before - story.state.done))
    derived = {"failed": {"verdict": "failed"}, "to repair": {"verdict": "to repair"}}.get(more, {})
    story.say(kind, **payload_of(told) | derived)


@pytest.mark.parametrize("told", UNDOING, ids=[one["name"] for one in UNDOING])
def test_what_an_event_undoes(told, listed):
    story = begin(told, listed)
    before = story.state
    falls, stands = ({code for name in told[key] for code in before.scope.named_all([name])} for key in ("falls", "stands"))
    assert falls | stands <= before.done, f"not done before: {sorted((falls | stands) - before.done)}"
    happen(story, told)
    after = story.state
    assert falls & after.done == set(), f"should have fallen: {sorted(falls & after.done)}"
    assert stands <= after.done, f"should stand: {sorted(stands - after.done)}"
    assert all(after.step(code).stand == "undone" and after.step(code).why for code in falls)


def test_every_row_of_undoing_has_a_story(listed):
    """A row is told when a story with each of its events, on an exchanger where its condition holds, is about its item."""
    untold = [
        f"{event}, {row.item}, {row.when.text}"
        for row in undoings()
        for event in row.events
        if not any(told["event"] == event and _holds(row, told, listed) for told in UNDOING)
    ]
    assert untold == []


def test_every_event_that_undoes_has_a_story():
    assert {event for row in undoings() for event in row.events} - {told["event"] for told in UNDOING} == set()


def _holds(row, told, listed) -> bool:
    scope = scope_of_story(told, listed) or scope_of_demo(told.get("demo", "14-E-103"))
    payload = payload_of(told)
    kinds = {told.get("about", ""), *payload.values()} | {item.kind for item in scope.items if item.id in payload.values()}
    kinds |= {KIND_OF.get(payload.get("test", ""), "")}
    if "side" in payload:
        kinds.add(f"{payload['side']} side")
    return row.when.holds(scope.flags) and (not row.item or row.item in kinds or told.get("of") == row.item)


# checks that run out


def at(text: str, day: int = 0) -> datetime:
    return datetime.combine(DAY.date() + timedelta(days=day), time.fromisoformat(text), ZONE)


def later(text: str, told: dict) -> datetime:
    """An hour after the tick: past midnight where the clock shows less than at the tick, or where the story says "06:20 next day"."""
    clock = text.removesuffix(" next day")
    return at(clock, int(clock != text or clock < told["ticked"]))


def ticked(told: dict, listed) -> Story:
    """A job done up to the step, and the step ticked at that hour."""
    story = Story(scope_of_story(told, listed), tag=told.get("demo", "14-E-103"))
    story.say("step.done", at(told["ticked"]), step=told["step"], second="B. Torrund", paper="sheet 1", **role_of(told["step"]))
    return story


@pytest.mark.parametrize("told", FRESH["fresh"], ids=[f"{one['step']} for {one['guarded']}" for one in FRESH["fresh"]])
def test_a_check_runs_out(told, listed):
    story = ticked(told, listed)
    state = story.state
    guard, guarded = (next(iter(state.scope.named_all([told[key]]))) for key in ("step", "guarded"))
    last = later(told["fresh_at"], told) if "fresh_at" in told else later(told["shift_end"], told) - timedelta(minutes=1)
    assert last > at(told["ticked"]), "the story says nothing"
    assert stale_since(state, guard, guarded, last) is None
    assert stale_since(state, guard, guarded, _over(told)) is not None


def _over(told: dict) -> datetime:
    return later(told.get("stale_at") or told["shift_end"], told)


@pytest.mark.parametrize("told", FRESH["fresh"], ids=[f"{one['step']} for {one['guarded']}" for one in FRESH["fresh"]])
def test_a_step_may_not_begin_on_a_check_that_has_run_out(told, listed):
    """With all it waits for done, it may begin while the check is good, and not after."""
    story = Story(scope_of_story(told, listed), tag=told.get("demo", "14-E-103"))
    scope = story.state.scope
    guard, guarded = (next(iter(scope.named_all([told[key]]))) for key in ("step", "guarded"))
    ready = [need.step for need in story.needs[guarded]]
    far = all_needs(scope, guarded)
    story.now = at(told["ticked"])
    story.now -= timedelta(minutes=10)
    story.tick(*(placed.instance.code for placed in order(scope) if placed.instance.code in far - set(ready)))
    story.now = at(told["ticked"])
    story.tick(*ready)
    assert guard in ready, f"{guarded} does not wait for {guard}: the check would guard nothing"
    state = story.state
    assert may_now(state, guarded, story.now).may
    missing = {m.need.step: m.stands for m in may_now(state, guarded, _over(told)).missing}
    assert "ran out" in missing[guard]


@pytest.mark.parametrize("told", FRESH["started"], ids=[f"{one['step']} for {one['guarded']}" for one in FRESH["started"]])
def test_what_is_begun_or_done_is_not_undone_by_a_check_that_runs_out(told, listed):
    story = ticked(told, listed)
    guard, guarded = (next(iter(story.state.scope.named_all([told[key]]))) for key in ("step", "guarded"))
    story.say("step.started", later(told["started"], told), step=guarded)
    begun = len(story.state.story)
    story.say("step.done", later(told["done_at"], told), step=guarded, second="B. Torrund", paper="sheet 2")
    state = story.state
    assert guarded in state.done
    assert len(state.story) == begun, "nothing more is noticed when it is done"
    assert stale_since(state, guard, guarded, later(told["started"], told)) is None
    assert stale_since(state, guard, guarded, later(told["done_at"], told)) is not None, "the story says nothing"


def test_every_check_that_runs_out_has_a_story(listed):
    told = {(one["step"].partition(":")[0], one["guarded"].partition(":")[0]) for one in FRESH["fresh"]}
    assert {(row.step, guarded) for row in freshness().values() for guarded in row.guards} - told == set()
