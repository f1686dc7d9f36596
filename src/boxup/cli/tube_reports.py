"""`boxup bundle --walls`, `--rolls`: a report of an inspection or of a measurement, read and judged; nothing is put on record."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from boxup.cli.answers import out, said
from boxup.cli.refusal import Refusal

if TYPE_CHECKING:
    from boxup.bundle.roll_report import RollReport
    from boxup.bundle.wall_report import ReadFrom, WallReport
    from boxup.bundle.walls import WallVerdict
    from boxup.exchanger.layout import Layout
    from boxup.exchanger.model import Exchanger

MOST_SHOWN = 20
ASK = (
    "from which end does the report count the holes of a row? Give --numbered-from front or --numbered-from rear: row 9, hole 14 from "
    "the left is another tube from the other end"
)


def show(x: Exchanger, walls: str | None, rolls: str | None, end: str | None, as_json: bool) -> None:
    """Print what the reports say; exit 1 where a line of one could not be read."""
    from boxup.exchanger.layout import Layout, numbered_layout

    layout = numbered_layout(x)
    if not isinstance(layout, Layout):
        raise Refusal([layout.text])
    if walls and rolls:
        raise Refusal(["--walls and --rolls: one report at a time, each may be numbered from another end"])
    if x.letters.rear == "U":
        end = end or "front"  # one tubesheet: nothing to ask
    if end is None:
        raise Refusal([ASK])
    if end == "rear" and x.letters.rear == "U":
        raise Refusal(["U-tubes have one tubesheet: a report is numbered from the front"])
    side: ReadFrom = "rear" if end == "rear" else "front"
    problems = _walls(x, layout, walls, side, as_json) if walls else _rolls(x, layout, str(rolls), side, as_json)
    if problems:
        sys.exit(1)


def _rows(name: str) -> list[tuple[int, list[str]]]:
    from boxup.paper.rows_in import rows_of
    from boxup.paper.spreadsheet_in import book_of
    from boxup.turnaround.book import BadBook

    if not Path(name).is_file():
        raise Refusal([f"there is no file {name}"])
    try:
        return rows_of(book_of(Path(name)))
    except BadBook as bad:
        raise Refusal([str(bad)]) from bad


def _walls(x: Exchanger, layout: Layout, name: str, end: ReadFrom, as_json: bool) -> tuple[str, ...]:
    from boxup.bundle.wall_report import read_walls
    from boxup.bundle.walls import judged

    report = read_walls(_rows(name), layout, end, x.tubes.wall)
    verdict = judged(replace(x, walls=report.walls))
    out(as_json, lambda: _walls_json(report, verdict), lambda: _walls_text(x, report, verdict))
    return report.problems


def _walls_json(r: WallReport, v: WallVerdict) -> dict[str, Any]:
    walls = [{"hole": w.hole, "loss": w.loss, "left_mm": None if w.left is None else w.left * 1e3, "method": w.method, "said": w.said,
              "where": w.where} for w in (*v.read, *v.unread)]  # fmt: skip
    return {
        "lines": r.lines, "walls": walls, "problems": list(r.problems), "notes": list(r.notes), "limit": v.limit,
        "over": None if v.over is None else [w.hole for w in v.over], "proposed": [list(t) for t in v.proposed],
        "least": {"hole": v.least.hole, "left_mm": (v.least.left or 0) * 1e3} if v.least else None,
        "findings": [f.as_json() for f in v.findings],
    }  # fmt: skip


def _walls_text(x: Exchanger, r: WallReport, v: WallVerdict) -> Iterator[str]:
    yield f"{x.identity.tag}: {r.lines} lines, {len(v.read)} holes with a wall, {len(v.unread)} not measured, {len(r.problems)} not read"
    yield from (f"  STOP: {p}" for p in r.problems)
    yield from (f"  {n}" for n in r.notes)
    if v.read:
        yield f"  {'tube':<8} {'wall loss':>9}  {'wall left':<22} method"
    for w in v.read[:MOST_SHOWN]:
        yield f"  {w.hole:<8} {_share(w.loss):>9}  {_left(w.left):<22} {w.method} {w.said} ({w.where})".rstrip()
    if len(v.read) > MOST_SHOWN:
        yield f"  and {len(v.read) - MOST_SHOWN} with more wall left; --json has them all"
    yield from said([], v.findings)


def _share(loss: float | None) -> str:
    return "?" if loss is None else f"{loss:.0%}"


def _left(left: float | None) -> str:
    from boxup.bundle.walls import wall_text

    return "?" if left is None else wall_text(left)


def _rolls(x: Exchanger, layout: Layout, name: str, end: ReadFrom, as_json: bool) -> tuple[str, ...]:
    from boxup.bundle.roll_report import read_rolls

    report = read_rolls(_rows(name), x, layout, end)
    out(as_json, lambda: _rolls_json(report), lambda: _rolls_text(x, report))
    return report.problems


def _rolls_json(r: RollReport) -> dict[str, Any]:
    lines = [{"tube": line.tube, "line": line.line, **line.answer.as_json()["answers"],
              "findings": [f.as_json() for f in line.answer.findings if f.level != "note"]} for line in r.lines]  # fmt: skip
    return {"lines": lines, "problems": list(r.problems), "missing": [{"number": m.number, "do": m.do} for m in r.missing]}


def _rolls_text(x: Exchanger, r: RollReport) -> Iterator[str]:
    yield f"{x.identity.tag}: {len(r.lines)} tube ends, {len(r.problems)} lines not read"
    yield from (f"  STOP: {p}" for p in r.problems)
    if r.lines:
        yield f"  {'tube':<8} {'touches at':>11} {'roll to':>11} {'of 2 walls':>10} {'of 1 wall':>10}"
    for line in r.lines:
        a = line.answer
        touches = f"  {line.tube:<8} {a.si('contact_id') * 1e3:>8.2f} mm"
        if "rolled_id" in a.values:
            yield (f"{touches} {a.si('rolled_id') * 1e3:>8.2f} mm {a.si('reduction'):>10.1%} {a.si('reduction_of_one_wall'):>10.1%}")
        else:
            yield f"{touches} {'–':>11} {'–':>10} {'–':>10}"
        yield from (f"    {f.level.upper()}: {f.text}  [{f.source}]" for f in a.findings if f.level != "note")
    if r.lines:
        yield from dict.fromkeys(f"  NOTE: {f.text}  [{f.source}]" for line in r.lines for f in line.answer.findings if f.level == "note")
        if "rolled_length" in r.lines[0].answer.values:
            yield f"  rolled length at most {r.lines[0].answer.si('rolled_length') * 1e3:.1f} mm: 1/8 in short of the back face"
    yield from said(r.missing, [])
