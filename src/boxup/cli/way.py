"""Where to hold the bundle, and the bundle on its way, as `boxup lift` prints them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from boxup.cli.refusal import Refusal

if TYPE_CHECKING:
    from boxup.core.working import Working
    from boxup.job.numbers import Numbers
    from boxup.lift.answer import LiftAnswer
    from boxup.lift.way import OnItsWay, Stand

_WAYS = {"insert": "going_in", "pull": "coming_out"}
_HEAD = ("in", "out", "held by", "hook read expected", "rests in shell", "pull read expected", "STOP at")


def ways_of(n: Numbers) -> dict[str, OnItsWay]:
    """By the name they have in JSON."""
    return {_WAYS[w.way]: w for w in n.ways}


def placed(n: Numbers, place: str, way: str) -> tuple[OnItsWay, Stand]:
    """The bundle at a typed place: metres in when it goes in, metres out when it comes out. Raises Refusal."""
    from boxup.core.quantity import BadValue, quantity

    key = "--in" if way == "insert" else "--out"
    one = n.on_its_way("insert" if way == "insert" else "pull")
    if one is None or not one.known:
        do = " ".join(m.text for m in one.missing) if one else "this exchanger has no bundle to pull, or its mass is not known."
        raise Refusal([f"{key}: {do}"])
    try:
        typed = quantity(place, "m").to("m")
    except BadValue as bad:
        raise Refusal([f"{key}: {bad}"]) from None
    metres = typed if way == "insert" else one.working["L"] - typed
    if not 0 < metres <= one.home + 1e-9:
        raise Refusal([f"{key}: {place} is not on its way; accepted: {_between(one, way)}"])
    return one, one.stand(metres)


def _between(one: OnItsWay, way: str) -> str:
    length = one.working["L"]
    low, high = (0.0, one.home) if way == "insert" else (length - one.home, length)
    return f"more than {low:.2f} m, up to {high:.2f} m" if way == "insert" else f"from {low:.2f} m to less than {high:.2f} m"


def values_of(w: Working) -> dict[str, Any]:
    """A working's values by symbol, with what each is."""
    return {s.symbol: {"label": s.label, "value": s.value, "unit": s.unit} for s in w.steps.values()}


def parts_json(a: LiftAnswer) -> list[dict[str, Any]]:
    """Its parts: the ways of holding it, the places where the bore was measured."""
    return [{"name": p.name, "values": values_of(p)} for p in a.working.parts]


def way_json(one: OnItsWay) -> dict[str, Any]:
    """Marks and places of one way."""
    from boxup.cli.answers import missing_json

    places = [stand_json(one, one.stand(m)) for m in one.places()] if one.known else []
    found = [f.as_json() for f in one.findings]
    values, missing = values_of(one.working), missing_json(one.missing)
    return {"what": one.working.name, "values": values, "places": places, "missing": missing, "findings": found}


def stand_json(one: OnItsWay, stand: Stand) -> dict[str, Any]:
    """One place."""
    from boxup.lift.places import found_at
    from boxup.lift.way_words import do_now

    return {"metres_in": stand.metres, "slings": stand.stage, "values": values_of(stand.working), "do": do_now(one, stand),
            "found": list(found_at(one.exchanger, stand.metres)),
            "findings": [f.as_json() for f in stand.working.all_findings()]}  # fmt: skip


def holding_text(a: LiftAnswer) -> Iterator[str]:
    """A line for each way of holding it, then the slings on the tubes."""
    from boxup.cli.answers import said
    from boxup.core.rounding import both, metric
    from boxup.paper.way import at_said, ends_said

    yield a.name
    limit = a.step("S_b")
    if limit:
        may = both("stress", limit.si, "down")
        yield f"  tubes may bend to {may}: {a.working['f_y']:.2f} of yield; as they hang, by their own stiffness"
    for p in a.working.parts:
        if "M_b" in p.steps:
            at = " and ".join(at_said(p[s]) for s in ("x_1", "x_2") if s in p.steps)
            over = ", TOO FAR" if "S_b" in p.steps and p["s_b"] > p["S_b"] else ""
            droop = f"; ends {ends_said(p['v_1'], p['v_2'])}" if "v_1" in p.steps else ""
            yield f"  {p.name:<32} {metric('stress', p['s_b'], 'up')!s:>8}{over}; at {at}{droop}"
        elif "p" in p.steps:
            yield f"  {p.name:<32} {both('pressure', p['p'], 'up')} under {both('length', p['b'])} of sling"
    yield from said(a.missing, a.findings)
    yield ""


def bore_text(a: LiftAnswer) -> Iterator[str]:
    """Clearance by the drawing and at each measured place."""
    from boxup.cli.answers import said
    from boxup.core.rounding import both
    from boxup.lift.bore import clear_said

    yield a.name
    yield f"  clear, all of it at the top: {clear_said(a)}"
    for p in a.working.parts:
        at, off = both("position", p["y"]), both("small length", p["o"])
        yield f"  {both('small length', p['c'], 'down'):<24} clearance at {at}, out of round {off}"
    yield from said(a.missing, a.findings)
    yield ""


def way_text(one: OnItsWay) -> Iterator[str]:
    """A row for each half metre."""
    from boxup.cli.answers import said
    from boxup.lift.figures import hung_said

    yield one.working.name
    if one.known:
        rows = [_HEAD, *(_row(one.stand(m)) for m in one.places())]
        wide = [max(len(r[i]) for r in rows) for i in range(len(_HEAD))]
        yield from ("  " + "  ".join(cell.ljust(w) for cell, w in zip(row, wide, strict=True)).rstrip() for row in rows)
        yield f"  hook: {hung_said(one)}"
        yield from (f"  {line}" for line in _marks(one))
    yield from said(one.missing, one.findings)
    yield ""


def _marks(one: OnItsWay) -> Iterator[str]:
    from boxup.core.rounding import both

    w, length = one.working, one.working["L"]
    if one.by_channel:
        yield "the front sling, on the channel, carries from first to last"
    if one.way == "insert":
        for mark, what in (
            ("s_2", "rear sling off before"),
            *((("s_1", "front sling off before"),) if not one.by_channel else ()),
            ("s_t", "centre of gravity a tenth of the length inside, as worked, from"),
        ):
            yield f"{what} {both('position', w[mark], 'up' if mark == 's_t' else 'down')} in"
        return
    front = () if one.by_channel else (("s_1", "front sling on with"),)
    for mark, what in (("s_t", "the hook carries before"), *front, ("s_2", "rear sling on with")):
        yield f"{what} {both('position', length - w[mark], 'down' if mark == 's_t' else 'up')} out"


def _row(stand: Stand) -> tuple[str, ...]:
    from boxup.lift.figures import hook_said, pull_said, rests_said, stop_said

    held = {"both": "both slings", "front": "front sling", "held": "tubesheet end"}[stand.stage]
    places = (f"{stand.metres:.2f} m", f"{stand.working['L'] - stand.metres:.2f} m")
    return *places, held, hook_said(stand), rests_said(stand), pull_said(stand.working), stop_said(stand)


def stand_text(one: OnItsWay, stand: Stand) -> Iterator[str]:
    """One place, and what to do there."""
    from boxup.cli.answers import said
    from boxup.core.rounding import both
    from boxup.lift.figures import hook_said, hung_said, pull_said, rests_said, stop_said
    from boxup.lift.places import found_at
    from boxup.lift.way_words import do_now, stuck

    w = stand.working
    yield f"{one.working.name}: {both('position', stand.metres)} in, {both('position', w['L'] - stand.metres)} out"
    yield f"  {hook_said(stand):<38} hook read expected, {hung_said(one)}"
    yield f"  {rests_said(stand):<38} rests in the shell"
    if "F_stop" in w.steps:
        yield f"  {pull_said(stand.working):<38} pull read expected, clean to dirty bars"
        yield f"  {stop_said(stand):<38} STOP and look at; also at a quarter over what it was"
    yield from (f"  {line}" for line in do_now(one, stand))
    yield from (f"  {line}" for line in found_at(one.exchanger, stand.metres))
    yield "  If it sticks here:"
    yield from (f"    {line}" for line in stuck(one))
    yield from said((), w.all_findings())
    yield "  The tag on the gear, the lift plan and the person in charge of the lift decide."
