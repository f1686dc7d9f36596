"""Entries on the work as a whole: shifts, alarms, counts, findings."""

from __future__ import annotations

from collections.abc import Iterable

from boxup.job.fold.engine import About, Folding, tells
from boxup.job.fold.start import joint_state
from boxup.job.state import Open
from boxup.record.event import Event

# The count that is signed for a space.
COUNT_OF = {"shell": "FME_SHELL", "channel": "FME_CHAN", "rear head": "FME_REAR", "shell-cover space": "FME_SC"}
GAUGE_TOLERANCE = 0.02  # of the reading: two people read a dial; from the trade


@tells("shift.changed")
def shift_changed(f: Folding, e: Event) -> None:
    """A new crew looks itself."""
    f.state.shifts.changed(e.happened_at)
    f.undo(e.kind, About(), "shift changed")


@tells("alarm.raised")
def alarm(f: Folding, e: Event) -> None:
    """Conditions are not known any more."""
    f.undo(e.kind, About(), f"work left: {e.payload['why']}")


@tells("lock.removed", "relief.changed", "bellows.stops_wrong")
def found(f: Folding, e: Event) -> None:
    """Something of the isolation, the relief or the bellows is not as it was proved."""
    words = {"lock.removed": "isolation changed", "relief.changed": "relief changed", "bellows.stops_wrong": "expansion joint"}
    f.notice("stop", f"{words[e.kind]}: {e.payload['what']}")
    f.undo(e.kind, About(), words[e.kind])


# counts


@tells("piece.in")
def piece_in(f: Folding, e: Event) -> None:
    """A thing goes into an open space."""
    _piece(f, e, 1)


@tells("piece.out")
def piece_out(f: Folding, e: Event) -> None:
    """It comes out."""
    _piece(f, e, -1)


def _piece(f: Folding, e: Event, way: int) -> None:
    space = f.state.spaces.setdefault(e.payload["space"], {})
    what = e.payload["what"]
    space[what] = space.get(what, 0) + way * e.payload.get("count", 1)
    if space[what] < 0:
        f.notice("warn", f"{e.payload['space']}: more came out than went in ({what}); count again")
        space[what] = 0
    if not space[what]:
        del space[what]
    f.settle(f.code(COUNT_OF[e.payload["space"]]))


@tells("count.short")
def short(f: Folding, e: Event) -> None:
    """A count came out short."""
    space = e.payload["space"]
    f.notice(
        "stop",
        f"{space}: {e.payload['missing']} missing on the count. Nothing is closed; what was closed on it is opened and looked through",
    )
    f.undo(e.kind, About(frozenset(), frozenset({space})), f"count short in the {space}")


def _against_count(f: Folding, code: str) -> Iterable[str]:
    step = code.partition(":")[0]
    for space, counted in COUNT_OF.items():
        if counted == step and (inside := f.state.spaces.get(space)):
            yield f"still inside by the record: {', '.join(f'{n} {what}' for what, n in inside.items())}"


@tells("witness.counted")
def counted(f: Folding, e: Event) -> None:
    """Somebody counted: told, expected, and the difference."""
    p = e.payload
    what, of = p["what"], p.get("of", "")
    if what == "gauge":
        _gauge(f, of, float(p["pressure_mpa"]))
        return
    expected = _expected(f, what, of, p.get("pass", ""))
    if expected is None:
        f.notice("warn", f"counted {p['count']} ({what}{' of ' + of if of else ''}), but the record has nothing to hold it against")
    elif expected != p["count"]:
        more = p["count"] - expected
        said = f"{abs(more)} too {'many' if more > 0 else 'few'}"
        f.notice(
            "stop",
            f"{what}{' of ' + of if of else ''}: {e.by} counted {p['count']}, the record says {expected}, {said}. Find the difference",
        )


def _expected(f: Folding, what: str, of: str, pass_: str) -> int | None:
    process = [b for b in f.state.blinds.values() if b.use == "process"]
    match what:
        case "studs of a pass":
            round_ = joint_state(f, of).rounds.get(pass_) if of else None
            return len(round_.studs) if round_ else 0
        case "blinds in":
            return sum(b.word in ("in", "left in") for b in process)
        case "blinds out":
            return sum(b.word == "out" for b in process)
        case "plugged tubes":
            x = f.state.exchanger
            return len({*(x.plugged if x else ()), *f.state.found.plugged})
        case "pieces in":
            return sum(f.state.spaces.get(of, {}).values())
    return None


def _gauge(f: Folding, of: str, read: float) -> None:
    test = f.state.tests.get(of)
    if test is None:
        f.notice("warn", f"gauge read {read * 10:.1f} bar, but {of!r} is no test of this job")
    elif abs(read - test.pressure_mpa) > GAUGE_TOLERANCE * max(read, test.pressure_mpa):
        last = f"the last reading of test {of} is {test.pressure_mpa * 10:.1f} bar"
        f.notice(
            "stop",
            f"{f.event.by} reads {read * 10:.1f} bar; {last}: {abs(read - test.pressure_mpa) * 10:.1f} bar apart. Compare the gauges",
        )


# findings


@tells("finding.raised")
def raised(f: Folding, e: Event) -> None:
    """Something to put right; A items stand before pressure, B before start-up."""
    p = e.payload
    f.state.to_put_right[e.id] = Open(e.id, p["text"], p["letter"], p.get("about", ""), e.by, e.number)
    _settle_gates(f)


@tells("finding.closed")
def closed(f: Folding, e: Event) -> None:
    """It is put right, by name."""
    said = e.payload["finding"]
    one = f.state.to_put_right.get(said) or next((o for o in f.state.to_put_right.values() if str(o.entry) == said), None)
    if one is None:
        f.notice("warn", f"entry {e.number} closes {e.payload['finding']!r}, which nobody raised")
        return
    one.closed = f"{e.payload['how']} ({e.by})"
    _settle_gates(f)


def _settle_gates(f: Folding) -> None:
    for step in ("PUNCH", "STARTUP"):
        if code := f.code(step):
            f.settle(code)


def _open(f: Folding, letter: str) -> Iterable[str]:
    return (one.stands for one in f.state.to_put_right.values() if one.letter == letter and not one.closed)


def register(f: Folding) -> None:
    """A count with pieces inside is not signed; A items stand before pressure, B items before start-up."""
    for step in COUNT_OF.values():
        f.objections.setdefault(step, []).append(_against_count)
    f.objections.setdefault("PUNCH", []).append(lambda f, _: _open(f, "A"))
    f.objections.setdefault("STARTUP", []).append(lambda f, _: _open(f, "B"))
