"""The job pack: all sheets of one exchanger as one PDF or one HTML file, the same bytes each time for the same file and date."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterable
from datetime import UTC, date, datetime
from importlib.resources import files
from pathlib import Path
from typing import Any

from boxup.drawing.svg import plain
from boxup.exchanger.file import load
from boxup.job.state import JobState
from boxup.paper.certificate import certificate_sheets
from boxup.paper.cover import contents_sheet, cover_sheet
from boxup.paper.handover import handover_sheet
from boxup.paper.html.page import page
from boxup.paper.joints import joint_sheets, nozzle_sheets
from boxup.paper.lift import lift_sheets
from boxup.paper.lists import blind_sheet, gasket_sheets, small_bore_sheet, stud_sheet, tool_sheet, tubesheet_sheet
from boxup.paper.sheet import Drawing, Material, Sheet
from boxup.paper.stand import stand_sheets
from boxup.paper.steps import step_sheet
from boxup.paper.tests import test_sheets
from boxup.paper.way import way_sheets
from boxup.paper.way_up import way_up_sheet
from boxup.paper.workings import working_sheet

PAPERS = {"A4": "a4", "LETTER": "us-letter"}

# What can be asked for by name, in the order of the pack.
SHEETS: dict[str, Callable[[Material], Iterable[Sheet]]] = {
    "stand": stand_sheets,
    "gaskets": gasket_sheets,
    "studs": lambda m: [stud_sheet(m)],
    "blinds": lambda m: [blind_sheet(m)],
    "small-bore": lambda m: [small_bore_sheet(m)],
    "tubesheet": tubesheet_sheet,
    "way-up": way_up_sheet,
    "lift": lift_sheets,
    "way": way_sheets,
    "steps": lambda m: [step_sheet(m)],
    "joints": joint_sheets,
    "nozzles": nozzle_sheets,
    "tests": test_sheets,
    "certificates": certificate_sheets,
    "tools": lambda m: [tool_sheet(m)],
    "handover": lambda m: [handover_sheet(m)],
    "workings": lambda m: [working_sheet(m)],
}


def material(path: Path, issued: date | None = None, state: JobState | None = None) -> Material:
    """What the sheets of that file are written from, worked once. Raises BadFile for a file that cannot be read.

    `state`: where the job stands on record; the exchanger is then the one the record says it now is.
    """
    day = issued or datetime.now(UTC).date()
    if state is None or state.exchanger is None:
        return Material(load(path), path, day)
    return Material(state.exchanger, path, day, state=state)


def _sheets(m: Material, wanted: Iterable[str]) -> list[Sheet]:
    """The cover, `Read first`, and the sheets of those names, all when none is named. Raises ValueError for a name that is not known."""
    names = list(wanted) or list(SHEETS)
    if unknown := [s for s in names if s not in SHEETS]:
        raise ValueError(f"no sheet is called {', '.join(unknown)}; accepted: {', '.join(SHEETS)}")
    body = [s for name in SHEETS if name in names for s in SHEETS[name](m)]
    return [cover_sheet(m), contents_sheet(m), *body]


def chosen(wanted: Iterable[str], without: Iterable[str]) -> list[str]:
    """The sheets of those names, all when none is named, less those left out.

    Raises ValueError for a name that is not known, or when none is left.
    """
    only, less = list(wanted), set(without)
    if unknown := [s for s in (*only, *less) if s not in SHEETS]:
        raise ValueError(f"no sheet is called {', '.join(unknown)}; accepted: {', '.join(SHEETS)}")
    left = [s for s in SHEETS if s in (only or SHEETS) and s not in less]
    if not left:
        raise ValueError(f"no sheet is left without {', '.join(sorted(less))}; leave fewer out")
    return left


def paper_size(paper: str) -> str:
    """A paper by its name. Raises ValueError for one that is not known."""
    size = PAPERS.get(paper.upper())
    if size is None:
        raise ValueError(f"paper {paper!r} is not known; accepted: A4, Letter")
    return size


def _data(m: Material, sheets: Iterable[str], size: str) -> dict[str, Any]:
    """The whole pack as plain data, of which the PDF and the page are both made."""
    words = {k: v for k, v in m.words.items() if isinstance(v, str)}
    return {"words": words, "meta": _meta(m, size), "sheets": _sheets(m, sheets)}


def pack(of: Path | Material, *, paper: str = "A4", sheets: Iterable[str] = (), issued: date | None = None) -> bytes:
    """The PDF of a file's pack. `sheets`: names of SHEETS; all when left out; the cover and `Read first` always stand before them.

    Raises BadFile for a file that cannot be read, ValueError for a paper or a sheet that is not known.
    """
    size = paper_size(paper)
    m = of if isinstance(of, Material) else material(of, issued)
    return _typeset(_inked(_data(m, sheets, size)))


def html_pack(of: Path | Material, *, sheets: Iterable[str] = (), issued: date | None = None) -> bytes:
    """The same pack as one HTML file that needs nothing beside it. Raises as `pack` does."""
    m = of if isinstance(of, Material) else material(of, issued)
    return page(_data(m, sheets, "")).encode()


def _inked(value: Any) -> Any:
    """Every drawing with its colours written out, for paper."""
    match value:
        case Drawing():
            return plain(value)
        case dict():
            return {k: _inked(v) for k, v in value.items()}
        case list():
            return [_inked(v) for v in value]
    return value


def _meta(m: Material, size: str) -> dict[str, Any]:
    """What the title block says on every sheet. The mark is of the file as it was: change it and the mark is another one."""
    i, issued = m.exchanger.identity, m.issued
    said = m.state.head.encode() if m.state else b""
    mark = hashlib.sha256(m.path.read_bytes() + issued.isoformat().encode() + said).hexdigest()[:10]
    return {
        "tag": i.tag,
        "type_words": m.exchanger.letters.short,
        "plant": i.plant or "–",
        "job": i.job or "–",
        "drawing": ", ".join(t for t in (i.drawing, f"rev {i.revision}" if i.revision else "") if t) or "–",
        "date": issued.isoformat(),
        "hash": mark,
        "qr": _code(f"{i.tag} {i.job} {issued.isoformat()} {mark}"),
        "made_up": i.made_up == "yes",
        "title": f"{i.tag}: job pack",
        "paper": size,
        "lang": m.language,
    }


def _code(text: str) -> str:
    import segno

    made = segno.make(text, error="m")
    svg: str = made.svg_inline(border=1, scale=4)
    return svg.replace("<svg", '<svg xmlns="http://www.w3.org/2000/svg"', 1)


def _typeset(data: dict[str, Any]) -> bytes:
    import font_source_sans_pro
    import typst

    here = files("boxup.paper") / "typst"
    fonts = str(Path(font_source_sans_pro.__file__).parent / "files")
    made: bytes = typst.compile(
        str(here / "pack.typ"),
        root=str(here),
        font_paths=[fonts],
        ignore_system_fonts=True,
        sys_inputs={"data": json.dumps(data, ensure_ascii=False)},
    )
    return made
