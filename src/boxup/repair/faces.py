"""A mark on a gasket face: how deep it may be for how far it goes across the land. The verdict on a face is the inspector's."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from importlib.resources import files
from math import inf
from typing import Any

from boxup.core.calculation import Answer, BadInput, calculation, number, word
from boxup.core.finding import Missing
from boxup.core.quantity import Quantity
from boxup.core.source import Cite
from boxup.core.working import Working, plain
from boxup.reference.load import Row, read_table, source
from boxup.repair.hardness import HARD, SOFT, Hardness, hardness, kinds

PCC_1, TRADE = source("asme-pcc-1"), source("trade")
TABLE = "Appendix D, Tables D-2M and D-2"
MEND = "Machine the face, or weld and machine it, look again, then a new gasket; whether it may be used as it is, the inspector says"


@cache
def rows(name: str) -> dict[str, Row]:
    """A table of this room, by key."""
    return read_table(files("boxup.repair") / "data" / f"{name}.csv", name)


@dataclass(frozen=True, slots=True, kw_only=True)
class FaceMark:
    """A mark as measured, marks close together as one, and the gasket that is to go on it."""

    depth: Quantity = number("d", "depth of the mark, from the face to its bottom", "mm", above=0)
    span: Quantity = number("r_d", "radial span of the mark, or of marks close together, across the land", "mm", above=0)
    land: Quantity = number("w", "width of the land under the gasket", "mm", above=0)
    gasket: str = word("gasket (hard, soft, or its kind)")
    thickness: Quantity | None = number("t_g", "gasket thickness, new", "mm", above=0, optional=True)

    def problems(self) -> list[str]:
        sizes = {"depth": self.depth, "span": self.span, "land": self.land, "thickness": self.thickness}
        wrong = [f"{key}: {_typed(q)} is no size; accepted: more than 0 mm" for key, q in sizes.items() if q and not 0 < q.si < inf]
        found = hardness(self.gasket, self.thickness)
        return wrong + ([not_known(found)] if isinstance(found, Missing) else [])


def _typed(q: Quantity) -> str:
    return q.typed or f"{q.to('mm'):g} mm"


def not_known(missing: Missing) -> str:
    """What to type for a gasket that is not hard or soft by its name."""
    return f"gasket: {missing.do}. Accepted: {HARD}, {SOFT}, {', '.join(kinds())}"


def taken_as(w: Working, given: Any, found: Hardness | Missing) -> Hardness:
    """Take a face in, with how hard its gasket is taken to be. Raises BadInput where its kind does not tell."""
    if isinstance(found, Missing):
        raise BadInput([not_known(found)])
    w.take_in(given)
    w.words["gasket taken as"] = f"{found.name}, {found.why}"
    return found


@calculation("face-mark", PCC_1, FaceMark, "span_share=s allowed_depth=d_a@mm")
def face_mark(w: Working, mark: FaceMark) -> None:
    """The depth a mark on a gasket face must stay under, by how far it crosses the land; 0 is no mark. The inspector decides."""
    found = taken_as(w, mark, hardness(mark.gasket, mark.thickness))
    w.step("s = r_d/w", "-", "share of the land it crosses", TABLE)
    w.step("b = 1 if r_d < w/4 else 2 if r_d < w/2 else 3 if r_d < 3*w/4 else 4", "count", "band of the table", TABLE)
    row = rows("face_marks")[f"{found.name}, band {w['b']:g}"]
    stricter = _stricter(w, found)
    cite = _allowed(w, row, stricter)
    w.limit("r_d <= w", "The mark is longer than the land is wide: what lies on the land counts, and it crosses all of it", TABLE, "warn")
    _judged(w, f"under a {found.name} gasket for a mark across {row.text('span')} of the land", row, cite)
    if stricter and w["d_a"]:
        w.say("warn", f"{stricter.text('say')}.", stricter.cite.where, stricter.cite.source)


def _stricter(w: Working, found: Hardness) -> Row | None:
    """What a handbook says of marks as wide as this under such a gasket, where it is stricter than the table."""
    row = rows("stricter").get(found.kind)
    return row if row and w["b"] >= row.need("from_band") else None


def _allowed(w: Working, row: Row, stricter: Row | None) -> Cite:
    """`d_a`: the table's, or the handbook's most where that is less. Returns where the lesser stands."""
    label = "depth to stay under, 0 is no mark"
    if stricter is None or stricter.si("most") is None:
        w.table("d_a", label, row.need("depth"), "mm", row.place("depth"), row.cite)
        return row.cite
    w.table("d_t", "depth to stay under by the table", row.need("depth"), "mm", row.place("depth"), row.cite)
    w.table("d_m", "the most a handbook allows", stricter.need("most"), "mm", stricter.place("most"), stricter.cite)
    w.step("d_a = min(d_t, d_m)", "mm", label, "the stricter of the two", source=TRADE)
    return stricter.cite if w["d_m"] < w["d_t"] else row.cite


def _judged(w: Working, where: str, row: Row, cite: Cite) -> None:
    """A stop, or a note that the mark stays under the limit; never that the face is good."""
    if not w["d_a"]:
        seen = f"{plain(w.steps['d'])} deep over {plain(w.steps['r_d'])} of {plain(w.steps['w'])}"
        w.say("stop", f"No depth is allowed {where} ({seen}). {MEND}.", cite.where, cite.source)
    elif w.limit("d < d_a", f"Too deep {where}. {MEND}", cite.where, source=cite.source):
        within = f"Under the limit of {plain(w.steps['d_a'])} {where}"
        say = f"{within}. The table is from memory: confirm it. Whether the face may be used, the inspector says."
        w.say("note", say, cite.where, cite.source)
        _inches(w, row)


def _inches(w: Working, row: Row) -> None:
    """The table is printed in mm and in inches, and the two differ by some thousandths of a millimetre."""
    w.table("d_i", "the table's limit as printed in inches", row.need("depth_us"), "in", row.place("depth_us"), row.cite)
    w.limit("d < d_i", "Under the limit printed in mm, not under the one printed in inches: ask the inspector which holds", TABLE, "warn")


@dataclass(frozen=True, slots=True)
class FaceVerdict:
    """What the table says of a mark, never a person's verdict. `within` is None where the gasket must be asked for first."""

    within: bool | None
    allowed_depth: Quantity | None
    text: str
    source: str
    working: Working | None


def face_verdict(depth: Quantity, span: Quantity, land: Quantity, gasket_kind: str, thickness: Quantity | None = None) -> FaceVerdict:
    """The mark against the table, for a gasket of this kind. Raises BadInput for a size that is none.

    A kind that does not tell is asked for, unless the mark is too much under any gasket.
    """
    found = hardness(gasket_kind, thickness)
    mark = FaceMark(depth=depth, span=span, land=land, gasket=gasket_kind, thickness=thickness)
    return _verdict(mark) if isinstance(found, Hardness) else _unknown(mark, found)


def _verdict(mark: FaceMark) -> FaceVerdict:
    answer: Answer = face_mark.run(mark)
    within = not any(f.level == "stop" for f in answer.findings)
    text = " ".join(f.text for f in answer.findings)
    sources = "; ".join(dict.fromkeys(f.source for f in answer.findings))
    return FaceVerdict(within, answer.quantity("allowed_depth"), text, sources, answer.working)


def _unknown(mark: FaceMark, missing: Missing) -> FaceVerdict:
    """Soft is the most the table allows: over that is over for any gasket; under it, the gasket must be known."""
    hard, soft = (_verdict(replace(mark, gasket=name)) for name in (HARD, SOFT))
    if not soft.within:
        return replace(soft, text=f"Too much under any gasket, a soft one too. {soft.text}")
    under = "Under a hard gasket and under a soft one" if hard.within else "Under a soft gasket"
    rest = "" if hard.within else ", under a hard one not"
    text = f"{missing.text}. {under} the mark is within the table{rest}. Whether the face may be used, the inspector says."
    return FaceVerdict(None, None, text, soft.source, None)
