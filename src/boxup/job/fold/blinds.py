"""Entries on blinds: in and out with two names each, or left in with an owner."""

from __future__ import annotations

from boxup.job.fold.engine import About, Folding, tells
from boxup.job.sound import met
from boxup.job.state import BlindState
from boxup.record.event import Event

IN = ("BLIND_IN", "TBLIND_S", "TBLIND_T")
OUT = ("BLIND_OUT", "TBLIND_OUT")


@tells("blind.in")
def went_in(f: Folding, e: Event) -> None:
    """Two names put a blind in."""
    _signed(f, e, IN)


@tells("blind.out")
def came_out(f: Folding, e: Event) -> None:
    """Two names take it out; one alone leaves its line open."""
    id_ = e.payload["blind"]
    if (blind := f.state.blinds.get(id_)) and blind.word in ("not in", "out"):
        f.notice("warn", f"blind {id_} is signed out, but by the record it is {blind.word}")
    early = _early(f, id_)
    _signed(f, e, OUT)
    if early:
        f.fall(f.code("BLIND_IN", id_), f"pulled before {early} was done: the boundary is open")


def _early(f: Folding, id_: str) -> str:
    """What the blind's coming out still waits for, "" for nothing."""
    code = f.code("BLIND_OUT", id_)
    return next((need.step for need in f.state.needs.get(code, ()) if not met(f.state, need)), "") if code else ""


def _signed(f: Folding, e: Event, steps: tuple[str, ...]) -> None:
    id_ = e.payload["blind"]
    codes = [code for step in steps if (code := f.code(step, id_))]
    if not codes:
        f.notice("warn", f"blind {id_} is not on the blind list of this job; enter blind.changed and put it on the list")
    for code in codes:
        f.tick(code, second=e.payload.get("second", ""))


@tells("blind.left_in")
def left_in(f: Folding, e: Event) -> None:
    """Its line is closed all the same: operations own it from now on, and the start-up sheet shows it."""
    id_, p = e.payload["blind"], e.payload
    blind = f.state.blinds.setdefault(id_, BlindState(id_, "process"))
    if code := f.code("BLIND_OUT", id_):
        f.tick(code, second=p["owner"])
    blind.word, blind.owner, blind.until = "left in", p["owner"], p["until"]
    f.notice("warn", f"blind {id_} stays in; {p['owner']} owns it until {p['until']}. It is on the start-up sheet")


@tells("blind.changed")
def changed(f: Folding, e: Event) -> None:
    """The boundary is another: what was proved on the old one is proved again."""
    id_ = e.payload["blind"]
    blind = f.state.blinds.get(id_)
    about = About(frozenset({id_}), frozenset({blind.use} if blind else ()))
    f.undo("blind.changed", about, f"blind list changed at {id_}: {e.payload['why']}")


def _now_in(f: Folding, code: str) -> None:
    """In again: its line is not signed out any more."""
    _move(f, code, "in")
    for step in OUT:
        f.fall(f.code(step, code.partition(":")[2]), "the blind is in again")


def _now_out(f: Folding, code: str) -> None:
    _move(f, code, "out")


def _move(f: Folding, code: str, word: str) -> None:
    """Where it is does not wait for the second name; whether its line is closed does."""
    step, _, id_ = code.partition(":")
    if not id_:
        return
    tick = f.tick_of(code)
    blind = f.state.blinds.setdefault(id_, BlindState(id_, "process" if step.startswith("BLIND") else "test"))
    blind.word, blind.by, blind.second = word, tick.by, tick.second


def register(f: Folding) -> None:
    """A tick on a blind's step moves the blind."""
    f.after_tick |= {**dict.fromkeys(IN, _now_in), **dict.fromkeys(OUT, _now_out)}
