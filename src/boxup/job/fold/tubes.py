"""Entries on tubes, plugs and the bundle."""

from __future__ import annotations

from boxup.bundle.wall_report import walls_of
from boxup.bundle.walls import worst_of
from boxup.core.quantity import Quantity
from boxup.exchanger.layout import Layout, numbered_layout
from boxup.exchanger.model import BoreReading
from boxup.job.fold.engine import About, Folding, tells
from boxup.job.fold.start import seen_leaking, test_of
from boxup.job.plugs import lone_end, mapped, other_end
from boxup.job.state import TubeState
from boxup.record.event import Event


@tells("tube.leaks")
def leaks(f: Folding, e: Event) -> None:
    """Water shows at a tube; the plug list is another entry."""
    tube = _tube(f, e.payload["tube"])
    tube.leaks, tube.leaking = e.payload.get("ends", "yes"), True
    seen_leaking(f, e.payload.get("test", ""), f"tube {tube.id}")


@tells("tube.to_plug")
def to_plug(f: Folding, e: Event) -> None:
    """On the list: the steps for this tube come to be. One end of a U-tube alone is told, once its other end was not listed before."""
    id_ = e.payload["tube"]
    _list(f, id_, f"entry {e.number}")
    other = _other_end(f, id_)
    if other and not (other in f.state.tubes and f.state.tubes[other].to_plug):
        f.notice("warn", lone_end(id_, other))


def _list(f: Folding, id_: str, where: str) -> None:
    tube = _tube(f, id_)
    tube.to_plug = True
    if id_ not in f.state.found.to_plug and not f.code("PLUG", id_).endswith(f":{id_}"):
        f.state.found.to_plug[id_] = where
        f.stale_lists = True


@tells("tube.pierced")
def pierced(f: Folding, e: Event) -> None:
    """Open before its plugs go in, so that nothing stays shut up in it. A U-tube is one tube: pierced once."""
    tube = _tube(f, e.payload["tube"])
    for one in (tube, *_listed_other_end(f, tube)):
        one.pierced = True
        _tick(f, "PIERCE", one.id)


@tells("tube.plugged")
def plugged(f: Folding, e: Event) -> None:
    """New plugs are unproved. A tube is plugged when both its ends are; both ends of a U-tube are in the front, each a hole of the list."""
    tube, ends = _tube(f, e.payload["tube"]), e.payload["ends"]
    if not tube.to_plug:
        _list(f, tube.id, f"entry {e.number}")
    if not _bent(f):
        _plug(f, e, tube, {"front", "rear"} if ends == "both" else {ends})
    elif ends == "rear":
        f.notice("warn", f"tube {tube.id}: a U-tube has no rear end; its other end is a hole in the front, {_other_end(f, tube.id) or '?'}")
    else:
        for one in (tube, *(_listed_other_end(f, tube, put_on=True) if ends == "both" else ())):
            _plug(f, e, one, {"front", "rear"})  # a hole of a U-tube has one end


def _plug(f: Folding, e: Event, tube: TubeState, ends: set[str]) -> None:
    _worked(f, e, tube, "plugged")
    tube.plugged |= ends
    if tube.plugged >= {"front", "rear"}:
        f.state.found.plugged[tube.id] = f"entry {e.number}"
        tube.leaking = False
        _tick(f, "PLUG", tube.id)


def _bent(f: Folding) -> bool:
    return f.state.scope.flags["rear"] == "U"


def _other_end(f: Folding, id_: str) -> str:
    return other_end(f.state.exchanger, id_) if f.state.exchanger else ""


def _listed_other_end(f: Folding, tube: TubeState, *, put_on: bool = False) -> tuple[TubeState, ...]:
    """The other end of a U-tube, where it is on the list; `put_on`: it is put there."""
    other = _other_end(f, tube.id)
    if not other:
        return ()
    found = _tube(f, other)
    if put_on and not found.to_plug:
        _list(f, other, f"entry {f.event.number}")
    return (found,) if found.to_plug and not found.plugged else ()


@tells("tube.repaired")
def repaired(f: Folding, e: Event) -> None:
    """A rolled, welded or sleeved end is a new joint: unproved."""
    tube = _tube(f, e.payload["tube"])
    _worked(f, e, tube, e.payload["how"])
    tube.repaired, tube.leaking = e.payload["how"], False


def _tick(f: Folding, step: str, id_: str) -> None:
    """The step of this very tube; the bare step of a list that says none is not its."""
    if f.stale_lists:
        f.found_changed()
    code = f.code(step, id_)
    if code and (code != step or f.state.exchanger is None):
        f.tick(code)


def _worked(f: Folding, e: Event, tube: TubeState, how: str) -> None:
    tube.worked += 1
    f.stamp += 1
    f.undo(e.kind, About(frozenset({tube.id}), frozenset({"tube"})), f"tube {tube.id} {how}")


@tells("plug.leaks")
def plug_leaks(f: Folding, e: Event) -> None:
    """Its plugs do not count; the tube is to be plugged again."""
    tube = _tube(f, e.payload["tube"])
    seen_leaking(f, e.payload.get("test", ""), f"plug of tube {tube.id}")
    tube.worked += 1
    f.stamp += 1
    tube.leaking = True
    tube.plugged.clear()
    f.state.found.plugged.pop(tube.id, None)
    if not tube.to_plug:
        _list(f, tube.id, f"entry {e.number}")
    test = test_of(f, e.payload.get("test", ""))
    about = About(frozenset({tube.id}), frozenset({"tube"}), test.code if test else "", test.side if test else "")
    f.undo("plug.leaks", about, f"plug of tube {tube.id} leaks")


@tells("tube.walls_read")
def walls_read(f: Folding, e: Event) -> None:
    """Walls as a report gives them, by front numbers; a hole read again has its new wall. What is over a limit is only proposed."""
    read = list(walls_of(e.payload["rows"], f"entry {e.number}"))
    x = f.state.exchanger
    if x is not None and isinstance(layout := numbered_layout(x), Layout):
        for wall in read:
            if mapped(layout, wall.hole) is None:
                raise ValueError(f"there is no hole {wall.hole}: a hole is written row-column, as 9-14, counted from the front")
    if unread := e.payload.get("unread"):
        f.notice("warn", f"columns of the report that were not read: {unread}")
    f.state.found.walls |= worst_of(read)
    f.found_changed()


def _tube(f: Folding, id_: str) -> TubeState:
    """The tube; ValueError where the map of this exchanger has no such hole."""
    found = f.state.tubes.get(id_)
    if found is None:
        x = f.state.exchanger
        if x is not None and isinstance(layout := numbered_layout(x), Layout):
            try:
                layout.tube(id_)
            except KeyError as bad:
                raise ValueError(bad.args[0]) from bad
        before = x is not None and id_ in x.plugged
        found = f.state.tubes[id_] = TubeState(id_, plugged={"front", "rear"} if before else set())
        found.to_plug = before or (x is not None and id_ in x.to_plug)
    return found


@tells("bundle.pulled")
def pulled(f: Folding, e: Event) -> None:
    """The first pull is a step; a pull after it went back in undoes what closed on it."""
    if f.code("PULL") and f.code("PULL") not in f.state.done and f.code("INSERT") not in f.state.done:
        f.tick(f.code("PULL"))
        return
    f.undo("bundle.pulled", About(), "bundle pulled again")
    f.tick(f.code("PULL"))


@tells("bundle.forced")
def forced(f: Folding, e: Event) -> None:
    """Bent tubes and scored faces do not show from outside."""
    f.notice("stop", f"bundle {e.payload['what']}: tubes, faces and baffles are looked at before it goes on")
    f.undo("bundle.forced", About(), f"bundle {e.payload['what']}")


@tells("bore.measured")
def bore(f: Folding, e: Event) -> None:
    """The bore as measured takes the place of the drawing."""
    mm = float(e.payload["diameter_mm"])
    where = f"entry {e.number}, {e.by}"
    f.state.found.bore = Quantity(mm / 1000, "mm", f"{mm:g} mm", "measured", where)
    place, least = e.payload.get("position_m"), e.payload.get("least_mm")
    if place is not None and least is not None and float(least) <= mm:
        f.state.found.bores.append(_reading(float(place), float(least), mm, where))


def _reading(place: float, least: float, mean: float, where: str) -> BoreReading:
    """The entry has the mean and the least: the greatest is taken to lie as far over the mean as the least lies under it."""
    most = 2 * mean - least
    return BoreReading(
        at=Quantity(place, "m", f"{place:g} m", "measured", where),
        least=Quantity(least / 1000, "mm", f"{least:g} mm", "measured", where),
        most=Quantity(most / 1000, "mm", f"{most:g} mm", "assumed", f"{where}: as far over the mean as the least is under it"),
    )
