"""The blind list: one row a blind, process and test, what is missing, and whether each fits, is thick enough and rated for it.

A process blind keeps the plant out of the exchanger; a test blind keeps the test water in. A thin blind for water never stays as isolation.
"""

from __future__ import annotations

from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from boxup.core.finding import Finding, Missing
from boxup.core.quantity import Quantity
from boxup.core.rounding import both
from boxup.core.working import Working
from boxup.exchanger.model import Blind, Exchanger, Nozzle
from boxup.isolation.blank import CLAUSE, Plate, blank
from boxup.reference.load import Row, source, table

_SHARED = (
    "Nozzle {0} is bolted to {1} without a spool: no process blind goes there. The blinds, locks and zero of {1} count for this one too, "
    "and this joint stands on both joint lists."
)
Use = Literal["process", "test"]
# The order of a blind's life, and who signs each: the columns of its row. Two names in and two names out.
SIGNED: dict[str, tuple[str, ...]] = {
    "process": ("in: fitter", "in: operator", "line behind proved dead", "out: fitter", "out: operator"),
    "test": ("in: fitter", "in: inspector", "side drained, gauge at 0", "out: fitter", "out: checked"),
}


@dataclass(frozen=True, slots=True)
class BlindRow:
    """One line of the list, ready for pencil. None: the file does not say."""

    id: str
    use: str
    nozzle: str
    side: str
    size: str
    flange_class: str
    kind: str
    thickness: Quantity | None
    rated: Quantity | None
    line: str
    signed: tuple[str, ...]
    far: bool = False  # at the far end of the spool, not at the nozzle

    @property
    def place(self) -> str:
        """Where the fitter puts it."""
        return f"{self.nozzle}, far end of its spool" if self.far else f"{self.nozzle}, at the nozzle"


@dataclass(frozen=True, slots=True)
class BlindList:
    """The rows of one use, the nozzles with no row, and what was found."""

    use: str
    rows: tuple[BlindRow, ...]
    without: tuple[str, ...]
    findings: tuple[Finding, ...]
    missing: tuple[Missing, ...]
    workings: tuple[Working, ...] = ()
    side: str = ""  # of a test's list; a process list holds both

    @property
    def count(self) -> int:
        """How many go in, and must come out."""
        return len(self.rows)


def process_blinds(exchanger: Exchanger) -> BlindList:
    """Every nozzle of both sides needs a row: a blind, or a line taken away and said so. Each is held against the MAWP of its side."""
    rows = _rows(exchanger, "process", exchanger.nozzles)
    own = tuple(n for n in exchanger.nozzles if not _shared(exchanger, n))
    without = _without(rows, own)
    text = "No process blind is listed for nozzle {}: valves pass. A row for it, or the spool out and written down."
    found = [Finding("stop", text.format(n), _practice("positive isolation")) for n in without]
    found += [Finding("note", _SHARED.format(n.id, n.shared_with), _practice("stacked exchangers"))
              for n in exchanger.nozzles if _shared(exchanger, n)]  # fmt: skip
    found += _strays(exchanger, "process")
    missing: list[Missing] = []
    workings: list[Working] = []
    for row in rows:
        w = Working(f"blind {row.id} in {row.nozzle}", blank.source)
        mawp = exchanger.side(row.side).mawp
        missing += _rated(w, row, mawp, "the MAWP of its side", f"give the MAWP of the {row.side} side ([{row.side}_side] mawp).")
        missing += _thick(w, row)
        workings.append(w)
    found += [f for w in workings for f in w.findings]
    return BlindList("process", rows, without, tuple(found), tuple(missing), tuple(workings))


def test_blinds(exchanger: Exchanger, side: str, pressure: Quantity | None, stress: Quantity | None = None) -> BlindList:  # noqa: PT028
    """The rows of the side under test. `pressure`: what the blind must hold (at the bottom); `stress`: allowable of the plate, if known.

    With the stress the plate formula judges the thickness; without it the standard blank of that class and size.
    A process blind closes a nozzle for a test only when its rating covers the pressure, and while its joint has not been dropped since.
    """
    nozzles = tuple(n for n in exchanger.nozzles if n.side == side)
    rows = _rows(exchanger, "test", nozzles)
    found = []
    without = []
    for n in _without(rows, nozzles):
        stands_in = next((b for b in exchanger.blinds if b.nozzle == n and _covers(b, pressure)), None)
        shared = next((o for o in nozzles if o.id == n and _shared(exchanger, o)), None)
        if shared and exchanger.options.get("pair_test"):
            text = f"Nozzle {n} stays bolted to {shared.shared_with}: both are filled and pressed as one, and both are looked at."
            found.append(Finding("note", text, _practice("stacked exchangers")))
        elif stands_in is None:
            without.append(n)
            text = f"Nozzle {n} is on the {side} side and has no blind listed that bears the test: the side cannot hold water. Add its row."
            found.append(Finding("stop", text, _practice("every nozzle of the side under test")))
        else:
            text = f"Nozzle {n} is closed for the test by process blind {stands_in.id}: only while its joint has not been dropped since."
            found.append(Finding("warn", text, _practice("process blind on a test")))
    missing: list[Missing] = []
    workings: list[Working] = []
    for row in rows:
        w = Working(f"blind {row.id} in {row.nozzle}", blank.source)
        missing += _rated(w, row, pressure, "the test", "the test pressure of that side is not known yet.")
        missing += _thick(w, row) if stress is None or pressure is None else _by_formula(w, row, pressure, stress)
        workings.append(w)
    found += [f for w in workings for f in w.findings] + list(_strays(exchanger, "test"))
    return BlindList("test", rows, tuple(without), tuple(found), tuple(missing), tuple(workings), side)


def _shared(exchanger: Exchanger, n: Nozzle) -> bool:
    """Bolted to a stacked neighbour: no spool and no room for a process blind."""
    return bool(n.shared_with and exchanger.options.get("stacked"))


test_blinds.__test__ = False  # type: ignore[attr-defined]  # a list, not a test of pytest


def in_equals_out(
    rows: tuple[BlindRow, ...], in_: AbstractSet[str], out: AbstractSet[str], left_in: AbstractSet[str] = frozenset()
) -> tuple[Finding, ...]:
    """Blinds still in, blinds out that never went in, strangers. `left_in`: signed LEFT IN by operations."""
    listed = {r.id for r in rows}
    still = sorted((in_ - out - left_in) & listed)
    count = _practice("count in = count out")
    found = [Finding("stop", f"Blind {b} is in and not out: no hand-over while its row is open.", count) for b in still]
    found += [Finding("stop", f"Blind {b} is marked out and never was in: look which one came out.", count) for b in sorted(out - in_)]
    strangers = sorted((in_ | out | left_in) - listed)
    found += [Finding("stop", f"Blind {b} is not on the list: who fitted it, and where?", _practice("blind list")) for b in strangers]
    return tuple(found)


def _rows(exchanger: Exchanger, use: Use, nozzles: tuple[Nozzle, ...]) -> tuple[BlindRow, ...]:
    by_id = {n.id: n for n in nozzles}
    return tuple(_row(b, by_id[b.nozzle]) for b in exchanger.blinds if b.use == use and b.nozzle in by_id)


def _row(b: Blind, n: Nozzle) -> BlindRow:
    size, rating = b.size or n.size, b.flange_class or n.flange_class
    return BlindRow(
        b.id,
        b.use,
        n.id,
        n.side,
        size,
        rating,
        b.kind,
        b.thickness,
        b.rated,
        b.line,
        SIGNED[b.use],
        b.use == "process" and b.at == "far end",
    )


def _covers(b: Blind, pressure: Quantity | None) -> bool:
    """A blind at the far end does not: its spool is dropped at the nozzle, which then stands open."""
    return b.use == "process" and b.at == "nozzle" and b.rated is not None and pressure is not None and b.rated.si >= pressure.si


def _without(rows: tuple[BlindRow, ...], nozzles: tuple[Nozzle, ...]) -> tuple[str, ...]:
    covered = {r.nozzle for r in rows}
    return tuple(n.id for n in nozzles if n.id not in covered)


def _strays(exchanger: Exchanger, use: Use) -> list[Finding]:
    known = {n.id: n for n in exchanger.nozzles}
    found = [Finding("stop", f"Blind {b.id} is listed for {b.nozzle}, and there is no such nozzle.", _practice("blind list"))
             for b in exchanger.blinds if b.use == use and b.nozzle not in known]  # fmt: skip
    for b in exchanger.blinds:
        n = known.get(b.nozzle)
        if b.use == use and n:
            found += _unlike(b, n)
    return found


def _unlike(b: Blind, n: Nozzle) -> list[Finding]:
    """A blind of another class or size than its nozzle."""
    text = f"Blind {b.id} is {{}}, its nozzle {n.id} {{}}: it does not fit between the bolts. Fit one that does, or mend the file."
    found = []
    if b.flange_class and n.flange_class and b.flange_class != n.flange_class:
        pair = (f"class {b.flange_class}", f"class {n.flange_class}")
        found.append(Finding("stop", text.format(*pair), _practice("class of blind and flange")))
    if b.size and n.size and nominal(b.size) != nominal(n.size):
        found.append(Finding("stop", text.format(b.size, n.size), _practice("size of blind and flange")))
    return found


def _rated(w: Working, row: BlindRow, pressure: Quantity | None, what: str, unknown: str) -> list[Missing]:
    """The rating against what stands on the blind; `unknown`: what to do where that is not known."""
    name = f"check of {row.use} blind {row.id} in nozzle {row.nozzle}"
    if row.rated is None:
        return [Missing(name, "its rating: read its tag, or ask the engineer. Thickness alone does not say what it bears.")]
    if pressure is None:
        return [Missing(name, unknown)]
    if row.rated.si < pressure.si:
        rated, asked = both("pressure", row.rated.si, "down"), both("pressure", pressure.si, "up")
        text = f"{row.use.capitalize()} blind {row.id} in {row.nozzle} is rated {rated}; {what} puts {asked} on it. Fit one that bears it."
        w.say("stop", text, f"rating against {what}", source("trade"))
    return []


def _thick(w: Working, row: BlindRow) -> list[Missing]:
    """The thickness against the standard blank of that class and size: a thinner one is a stop."""
    name = f"thickness check of {row.use} blind {row.id} in nozzle {row.nozzle}"
    standard = standard_blank(row.flange_class, row.size)
    if row.thickness is None:
        return [Missing(name, "measure its thickness with a caliper.")]
    if standard is None:
        what = f"size {row.size or '(not given)'} and class {row.flange_class or '(not given)'}"
        return [
            Missing(
                name, f"the table of line blanks has no row for {what}: give both, or have the engineer work the plate and write it down."
            )
        ]
    w.given("t", "thickness of the blind", row.thickness, "mm")
    label = "standard line blank of its class and size"
    w.table("t_std", label, standard.need("thickness"), "mm", standard.place("thickness"), standard.cite)
    # the table prints tenths of a millimetre of what is set in inches: 22.35 stands there as 22.4
    w.limit("t >= t_std - 0.1*mm", f"{row.use.capitalize()} blind {row.id} in {row.nozzle} is thinner than the standard blank of its class "
            "and size. Another one, or the engineer's sum for this plate", standard.cite.where, "stop", standard.cite.source)  # fmt: skip
    return []


def _by_formula(w: Working, row: BlindRow, pressure: Quantity, stress: Quantity) -> list[Missing]:
    """The plate formula, where the stress of the plate is known."""
    blank_row = standard_blank(row.flange_class, row.size)
    absent = [name for name, bad in (
        ("its thickness, measured", row.thickness is None), ("its size and class, so that the bore can be looked up", blank_row is None),
    ) if bad]  # fmt: skip
    if row.thickness is None or blank_row is None:
        return [Missing(f"thickness check of test blind {row.id} in nozzle {row.nozzle}", f"give {', '.join(absent)}.")]
    spacer = f"gasket inside diameter taken as the bore of a {row.size} ring spacer, class {row.flange_class} ({blank_row.cite})"
    blank.work(w, Plate(diameter=Quantity(blank_row.need("bore"), "mm", "", "assumed", spacer), pressure=pressure, stress=stress))
    w.given("t", "thickness of the blind", row.thickness, "mm")
    w.limit("t >= t_m", f"Test blind {row.id} in {row.nozzle} is thinner than the plate formula asks", CLAUSE)
    return []


def standard_blank(flange_class: str, size: str) -> Row | None:
    """The row of the line blank table for a class and a size such as `10 in`; None where it has none."""
    return table("line_blanks").get(f"{flange_class} {nominal(size)}")


def nominal(size: str) -> str:
    """`10 in`, `NPS 1-1/2`, `1.5 in` to `10`, `1-1/2`; the text as it is where it is no inch size."""
    text = size.lower().replace("nps", "").replace("in", "").replace('"', "").strip()
    try:
        value = sum(Fraction(part) for part in text.replace("-", " ").split())
    except ValueError:
        return text
    whole, rest = divmod(Fraction(value), 1)
    return "-".join(str(p) for p in (whole, rest) if p) or text


def _practice(where: str) -> str:
    return f"{source('trade').title}, {where} (common practice)"
