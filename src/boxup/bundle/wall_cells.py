"""Headings and cells of a report of tube walls: what a column is, what a cell says. What could be two things is asked, not guessed."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass

NUMBER = re.compile(r"([<>≤≥~]?)\s*(-?\d+(?:[.,]\d+)?)\s*(?:(?:-|–|to|a)\s*(\d+(?:[.,]\d+)?))?\s*(%|mm|in|inch|\")?")
HOLE = re.compile(r"\s*(?:tube|tubo)?\s*r?\s*([0-9]{1,3})\s*(?:[-–/.,;: ]\s*[ct]?|[ct])\s*([0-9]{1,3})\s*", re.I)
DATE = re.compile(r"\d{4}-\d{2}-\d{2}|\d{1,2}/\d{1,2}/\d{2,4}|\d{1,2}[- ](?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)", re.I)
CLEAN = {"ndd", "nd", "nil", "none", "no defect", "no detectable defect", "no wall loss", "ok", "clean", "sin defecto", "ninguno"}
NOT_READ = ("not tested", "not inspected", "blocked", "obstructed", "restricted", "plugged", "no access", "obstruido", "taponado",
            "no inspeccionado")  # fmt: skip
ACCEPTED = (
    "one column for the tube (tube: 9-14), or two (row, hole); and wall loss in % (wall loss %), or as a fraction (wall loss fraction), or "
    "the wall left with its unit (remaining wall mm), or both; beside them method, if you like"
)
_WORDS: dict[str, tuple[str, ...]] = {
    "left": (
        "remaining",
        "remain",
        "wall left",
        "left",
        "min wall",
        "minimum wall",
        "least wall",
        "rest wall",
        "rest",
        "resto",
        "residual",
        "restante",
        "remanente",
        "pared minima",
    ),
    "loss": ("loss", "depth", "thinning", "perdida", "profundidad", "adelgazamiento"),
    "method": ("method", "technique", "ndt", "metodo", "tecnica"),
    "row": ("row", "fila"),
    "hole": ("hole", "column", "col", "agujero", "columna", "position", "tube in row"),
    "tube": ("tube", "tubo", "id", "no"),
}


@dataclass(frozen=True, slots=True)
class Column:
    """What a column holds: tube, row, hole, loss, left or method; its unit: %, fraction, mm, in, or "" where the heading has none."""

    field: str
    unit: str


@dataclass(frozen=True, slots=True)
class Read:
    """A cell: the number as a fraction or in mm; `word` where it was a bound, a range or a word. number None: the tube was not measured."""

    number: float | None
    word: str = ""


# A heading that is neither and has one of these may be a wall or a loss: asked about, unless it says what else it is.
_MAYBE = re.compile(r"%|\b(?:wall|walls|wt|thick|thickness|thk|wear|worn|defect|pit|pitting|corrosion|pared|espesor|desgaste|defecto)\b")
_NO_WALL = re.compile(r"\b(?:nominal|original|new|design|od|id|bore|diameter|length|position|place|from|type|kind|code|remark|remarks|"
                      r"comment|nuevo|nueva|diametro|longitud|posicion|tipo|observacion|observaciones)\b")  # fmt: skip


class BadCell(ValueError):
    """What is wrong with a cell, a clause."""


def plain(text: str) -> str:
    """Small letters, no accents, no signs but %."""
    bare = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode().lower()
    return " ".join(re.sub(r"[^a-z0-9%]+", " ", bare).split())


def columns_of(heads: Sequence[str]) -> tuple[dict[int, Column], list[str], list[str]]:
    """Columns by place; headings that are not read; what is wrong with the headings."""
    found: dict[int, Column] = {}
    unread: list[str] = []
    for n, head in enumerate(heads):
        if (column := _column(head)) is None:
            unread += [head.strip()] if head.strip() else []
        else:
            found[n] = column
    fields = [c.field for c in found.values()]
    if "hole" in fields and "row" not in fields and "tube" not in fields:  # a column called hole, alone, names the tube
        found = {n: Column("tube", c.unit) if c.field == "hole" else c for n, c in found.items()}
        fields = [c.field for c in found.values()]
    return found, unread, list(_wrong(fields))


def maybe_wall(head: str) -> bool:
    """Whether a column that is not read looks like a wall or a loss: a unit of length or a share, or a word of it, and nothing else."""
    words = plain(head)
    sized = {"mm", "inch", "mils"} & set(words.split()) or words.endswith(" in")
    return bool(_MAYBE.search(words) or sized) and not _NO_WALL.search(words)


def _column(head: str) -> Column | None:
    words = plain(head)
    if not words:
        return None
    unit = "%" if "%" in words or "percent" in words else "fraction" if "fraction" in words or "fraccion" in words else ""
    unit = unit or next((u for u in ("mm", "in") if u in words.split() or (u == "in" and "inch" in words)), "")
    for field, some in _WORDS.items():
        if any(re.search(rf"\b{w}\b", words) for w in some):
            return None if field == "tube" and unit in ("mm", "in") else Column(field, unit)  # `tube ID mm` is a bore
    return Column("loss", "%") if words == "%" else None


def _wrong(fields: list[str]) -> list[str]:
    wrong = [f"two columns are {name}" for name in ("tube", "row", "loss", "left", "method") if fields.count(name) > 1]
    if "tube" not in fields and not ("row" in fields and "hole" in fields):
        wrong.append("no column names the tube")
    if "loss" not in fields and "left" not in fields:
        wrong.append("no column is the wall loss or the wall left")
    return wrong


def loss_of(cell: str, unit: str) -> Read:
    """Wall loss as a fraction of the wall. BadCell for what is no loss, or could be two things."""
    sign, low, high, own = _taken(cell)
    if low is None:
        return Read(*high)  # type: ignore[misc]
    if (own or unit) not in ("%", "fraction"):
        raise BadCell(f"{cell.strip()[:20]!r} is a loss in neither % nor a fraction; write % behind it or into the heading")
    number = (high if isinstance(high, float) else low) / (100 if (own or unit) == "%" else 1)
    if not 0 <= number <= 1:
        raise BadCell(f"loss {cell.strip()[:20]!r} is not between 0 and 100 %")
    return Read(number, cell.strip() if sign or isinstance(high, float) else "")


def is_clean(cell: str) -> bool:
    """Whether a cell says in words that nothing is lost."""
    return plain(cell) in CLEAN


def left_of(cell: str, unit: str) -> Read:
    """Wall left in mm."""
    sign, low, high, own = _taken(cell)
    if low is None:
        return Read(None, high[1]) if isinstance(high, tuple) and high[0] is None else Read(None, "")
    own = "in" if own in ("inch", '"') else own
    if (own or unit) not in ("mm", "in"):
        raise BadCell(f"{cell.strip()[:20]!r} is a wall without a unit; write mm or in behind it or into the heading")
    return Read(low * (25.4 if (own or unit) == "in" else 1), cell.strip() if sign or isinstance(high, float) else "")


def _taken(cell: str) -> tuple[str, float | None, float | tuple[float | None, str] | None, str]:
    """Sign, the number (of a range the lower), the upper or a word, and the unit in the cell."""
    said = plain(cell)
    if said in CLEAN:
        return "", None, (0.0, cell.strip()), ""
    if any(word in said for word in NOT_READ):
        return "", None, (None, cell.strip()), ""
    match = NUMBER.fullmatch(cell.strip())
    if not match:
        raise BadCell(f"{cell.strip()[:20]!r} is no number")
    sign, low, high, unit = match.groups()
    return sign, _number(low), _number(high) if high else None, unit or ""


def _number(text: str) -> float:
    return float(text.replace(",", "."))


def hole_of(cell: str) -> tuple[int, int]:
    """Row and hole of a tube number. BadCell for what names no row."""
    if DATE.search(cell):
        raise BadCell(f"{cell.strip()[:20]!r} is a date: the spreadsheet made one of a tube number; set that column to text")
    match = HOLE.fullmatch(cell)
    if not match:
        alone = " is one number" if cell.strip().isdecimal() else " is no tube number"
        raise BadCell(f"{cell.strip()[:20]!r}{alone}; a tube is row-hole, as 9-14, or has its row and its hole in two columns")
    return int(match[1]), int(match[2])


def whole(cell: str, what: str) -> int:
    """A row or a hole in a column of its own; a spreadsheet may write 9.0."""
    try:
        number = float(cell.replace(",", "."))
    except ValueError:
        number = -1.0
    if number < 1 or number != int(number):
        raise BadCell(f"{what} is {cell.strip()[:20]!r}, not a whole number")
    return int(number)
