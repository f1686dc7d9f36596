"""`boxup bundle`: tubes by pass, masses, which way up the bundle goes in; what a report of walls or of holes says of it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import click

from boxup.cli.answers import FILE, JSON, figure, missing_json, out, said
from boxup.cli.live import DB, as_it_is
from boxup.cli.refusal import Refusal

if TYPE_CHECKING:
    from boxup.bundle.way_up import WayUp
    from boxup.job.numbers import Numbers


@click.command("bundle")
@FILE
@click.option(
    "--walls", metavar="REPORT", help="A report of tube walls, CSV or XLSX: which tubes are over the site's limit, the thinnest left."
)
@click.option("--rolls", metavar="HOLES", help="Measured tube holes, CSV or XLSX: the bore each tube end is rolled to.")
@click.option("--numbered-from", "end", type=click.Choice(["front", "rear"]),
              help="From which end that report counts the holes of a row: from the left as seen there. Never guessed.")  # fmt: skip
@JSON
@DB
def bundle_command(file: str, walls: str | None, rolls: str | None, end: str | None, as_json: bool, db: str | None) -> None:
    """Tubes by pass, the masses of the bundle and every part that is lifted, and which way up it goes in.

    With --walls what an inspection found; with --rolls how far each tube end is rolled.
    """
    from boxup.cli import tube_reports

    exchanger = as_it_is(file, db)
    if walls or rolls:
        tube_reports.show(exchanger, walls, rolls, end, as_json)
        return
    if end:
        raise Refusal(["--numbered-from says something about a report: give it with --walls REPORT or --rolls HOLES"])
    from boxup.job.numbers import numbers

    n = numbers(exchanger)
    out(as_json, lambda: _json(n), lambda: _text(n))


def _json(n: Numbers) -> dict[str, Any]:
    from boxup.cli import plugging
    from boxup.core.calculation import Answer

    by_pass, told = _by_pass(n)
    mass = n.hung.as_json()["answers"] if isinstance(n.hung, Answer) else None
    alone = n.bundle.as_json()["answers"] if isinstance(n.bundle, Answer) and _rides(n) else None
    lifted = [{"id": p.id, "what": p.what, "mass": _plain_value(p.mass), "lift_mass": _plain_value(p.lift_mass)} for p in n.parts]
    return {
        "holes_by_pass": by_pass, "plugs_by_pass": _plugs_json(n), "told": told, "bundle": mass,
        "parts": lifted, "way_up": _way_up_json(n),
        "after_plugging": plugging.as_json(n), "missing": missing_json(n.missing()),
    } | ({"bundle_alone": alone} if alone else {})  # fmt: skip


def _plugs_json(n: Numbers) -> dict[str, Any]:
    from boxup.bundle.walls import pass_counts
    from boxup.exchanger.layout import Layout, numbered_layout

    layout, limit = numbered_layout(n.exchanger), n.exchanger.tubes.plug_limit
    counts = pass_counts(n.exchanger, layout) if isinstance(layout, Layout) else ()
    rows = [{"pass": c.number, "holes": c.holes, "plugged": c.plugged, "to_plug": c.listed, "share": c.share} for c in counts]
    return {"passes": rows, "limit": limit.si if limit else None}


def _way_up_json(n: Numbers) -> dict[str, Any]:
    from boxup.bundle.turned_part import turned_parts

    w = n.way_up
    turns = [{"degrees": round(t.degrees, 3), "name": t.name, "studs": t.studs, "stopped_by": list(t.stops), "harm": list(t.harms),
              "goes_together": t.goes_together} for t in w.turns]  # fmt: skip
    parts = [{"what": p.what, "joint": p.joint, "half_turn": p.half, "turned_over": p.over} for p in turned_parts(n.exchanger)]
    return {
        "short": w.short, "count": w.count, "right": list(w.right), "turns": turns, "not_caught": [t.name for t in w.uncaught],
        "look": list(w.ask), "end_for_end": w.end_for_end, "fixed": w.fixed, "read_from_words": list(w.marks.from_words), "parts": parts,
        "findings": [f.as_json() for f in w.findings],
    }  # fmt: skip


def _plain_value(q: Any) -> dict[str, Any] | None:
    return {"value": q.to("kg"), "unit": "kg", "grade": q.grade} if q else None


def _by_pass(n: Numbers) -> tuple[dict[int, int], list[str]]:
    from collections import Counter

    from boxup.core.finding import Missing
    from boxup.exchanger.layout import numbered_layout

    layout = numbered_layout(n.exchanger)
    if isinstance(layout, Missing):
        return {}, [layout.text]
    return dict(sorted(Counter(t.tube_pass for t in layout.tubes).items())), [f.text for f in (*layout.findings, *layout.beside)]


def _text(n: Numbers) -> Iterator[str]:
    from boxup.cli import plugging
    from boxup.core.rounding import both

    by_pass, told = _by_pass(n)
    if by_pass:
        yield "holes by pass: " + ", ".join(f"{p}: {c}" for p, c in by_pass.items())
    yield from (f"  {t}" for t in told)
    yield from _plugs_text(n)
    yield from plugging.as_text(n)
    yield from _hangs_text(n)
    for p in n.parts:
        planned = both("mass", p.lift_mass.si, "up") if p.lift_mass else "not given"
        yield f"  {both('mass', p.mass.si, 'up') if p.mass else '?':<22} plan for {planned:<22} {p.what}"
    yield from said([m for m in n.missing() if "mass" in m.number], [])
    yield ""
    yield from _way_up_text(n.way_up)


def _rides(n: Numbers) -> bool:
    """Whether a channel or a head hangs on the hook with the bundle: then their figures are those of the lift."""
    return n.hung_code != "M"


def _hangs_text(n: Numbers) -> Iterator[str]:
    """What hangs on the hook, by the figures every lift is worked with; the bundle alone where something rides with it."""
    from boxup.core.calculation import Answer
    from boxup.core.rounding import both

    if isinstance(n.hung, Answer):
        for key, s in n.hung.values.items():
            yield f"  {key.replace('_', ' '):<12} {figure(s):<22} {s.label}"
    if isinstance(n.bundle, Answer) and _rides(n):
        dry, pulled = (both("mass", n.bundle.si(key), "up") for key in ("dry", "fouled"))
        yield f"  of that the bundle alone: {dry} dry, {pulled} as pulled"


def _plugs_text(n: Numbers) -> Iterator[str]:
    """Plugs by pass, where there are any."""
    from boxup.bundle.plugging_figures import percent
    from boxup.bundle.walls import pass_counts, plug_findings
    from boxup.exchanger.layout import Layout, numbered_layout

    x, layout = n.exchanger, numbered_layout(n.exchanger)
    if not isinstance(layout, Layout) or not (x.plugged or x.to_plug):
        return
    counts = pass_counts(x, layout)
    worst = max(counts, key=lambda c: c.share)
    yield "plugged and to plug: " + ", ".join(f"{c.number}: {c.plugged} + {c.listed} ({percent(c.share)})" for c in counts)
    limit = (
        f"the site allows {percent(x.tubes.plug_limit.si)}"
        if x.tubes.plug_limit
        else "no limit in the file (plug_limit), and none is assumed"
    )
    yield f"  worst: pass {worst.number}, {percent(worst.share)}; {limit}"
    yield from said([], plug_findings(x))


def _way_up_text(w: WayUp) -> Iterator[str]:
    yield "which way up, seen from the front:"
    if w.fixed:
        yield f"  {w.fixed}"
        return
    if w.against:
        yield f"  {w.short}"
    yield from (f"  {line}" for line in (w.count, *w.right) if line)
    for t in w.turns:
        stops = "; ".join(t.stops) or ("nothing known: count the studs" if t.studs is None else "NOTHING that bolts up")
        yield f"  turned by {t.name}"
        yield f"    stopped by: {stops}"
        yield from (f"    wrong: {h}" for h in t.harms)
    yield f"  {w.end_for_end}"
    yield from (f"  not in the file. {line}" for line in w.ask)
    yield from said(w.missing, w.findings)
