"""The studs of a process nozzle, as the file gives them. What the flange table says is a hint to count by, never a number to pull by."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from boxup.core.finding import Finding, Missing
from boxup.core.quantity import BadValue, Quantity
from boxup.core.rounding import both
from boxup.core.source import SAID
from boxup.core.working import Step, Working
from boxup.exchanger.model import Nozzle
from boxup.joint.studs import PCC_1, StudSet, missing_studs, stud_lines, torque_lines, withheld
from boxup.joint.thread import common_size, thread
from boxup.reference.load import Row, source, table

B16_5 = source("asme-b16-5")
_SIZE = re.compile(r"(?:NPS ?)?([0-9]{1,2}(?:-[0-9]/[0-9])?|[0-9]/[0-9]) ?(?:in|inch|\")?", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class NozzleAnswer:
    """The studs of one nozzle, as the file gives them. `row`: the flange table's line for its size and class, or None."""

    nozzle: str
    row: Row | None
    studs: StudSet
    working: Working
    missing: tuple[Missing, ...]

    @property
    def by_table(self) -> str:
        """`8 × 3/4-10` as the flange table has it, to count and gauge by, or nothing."""
        return _by_table(self.row) if self.row else ""

    @property
    def count(self) -> Quantity | None:
        return self.studs.count

    @property
    def size(self) -> str:
        """`3/4-10`, or nothing."""
        return self.studs.size

    @property
    def torque(self) -> Step | None:
        return self.working.steps.get("T")

    @property
    def torque_text(self) -> str:
        return both("torque", self.torque.si) if self.torque else ""

    @property
    def findings(self) -> list[Finding]:
        return self.working.all_findings()


def flange_row(size: str, flange_class: str) -> Row | None:
    """The flange table's line for `10 in` and `300`, or None."""
    found = _SIZE.fullmatch(size.strip())
    return table("b165_bolting").get(f"NPS {found[1]} class {flange_class}") if found else None


def nozzle_studs(n: Nozzle) -> NozzleAnswer:
    """Studs and torque of one nozzle, from the file alone; where the flange table says otherwise, the answer says stop.

    Count and size the file does not give are not taken from the table: it is told beside what to count, and there is no torque.
    """
    w = Working(f"nozzle {n.id}", PCC_1)
    row = flange_row(n.size, n.flange_class)
    studs = StudSet.of_nozzle(n)
    if row is not None:
        _compare(w, n, row)
        _tell(w, n, row)
    missing = missing_studs(studs, f"nozzle {n.id}")
    if row is None:
        missing.insert(0, _no_row(n))
    elif studs.count is None or not studs.size:
        missing = [_hinted(m, row) for m in missing]
    stud_lines(w, studs)
    torque_lines(w, studs)
    return NozzleAnswer(n.id, row, studs, w, (*missing, *withheld(w, f"nozzle {n.id}")))


def _by_table(row: Row) -> str:
    return f"{row.text('studs')} × {common_size(row.need('stud_diameter'))}"


def _tell(w: Working, n: Nozzle, row: Row) -> None:
    """What the table has, where the file does not give count or size."""
    if n.studs is None or not n.stud_size:
        by = f"{n.id}: {_by_table(row)} by the flange table for {row.key}"
        say = f"{by}. Count them on the flange and gauge one; no torque is given until the file says both."
        w.say("note", say, row.key, B16_5)


def _hinted(m: Missing, row: Row) -> Missing:
    """The table's figure beside the count or the size that must be taken from the flange."""
    if not m.number.endswith(("(count not given)", "(size not given)")):
        return m
    return replace(m, do=f"{m.do} By the flange table ({SAID[row.cite.source.label]}): {_by_table(row)}.")


def _compare(w: Working, n: Nozzle, row: Row) -> None:
    told = f"{row.text('studs')} studs {common_size(row.need('stud_diameter'))}"
    if n.studs is not None and n.studs.si != row.need("studs"):
        w.say(
            "stop", f"{n.id}: the file says {n.studs.typed} studs, the flange table says {told} for {row.key}. Count them.", row.key, B16_5
        )
    try:
        differs = bool(n.stud_size) and abs(thread(n.stud_size).diameter - row.need("stud_diameter")) > 1e-4
    except BadValue:
        return  # named among what is missing
    if differs:
        w.say("stop", f"{n.id}: the file says {n.stud_size}, the flange table says {told} for {row.key}. Measure one.", row.key, B16_5)


def _no_row(n: Nozzle) -> Missing:
    if not n.size or not n.flange_class:
        return Missing(f"studs of nozzle {n.id}", "give the nominal size and the class as stamped on the flange rim.")
    classes = ", ".join(dict.fromkeys(r.text("class") for r in table("b165_bolting").values()))
    return Missing(
        f"studs of nozzle {n.id}",
        f"{n.size} class {n.flange_class} is not in the flange table (1/2 to 24 in, class {classes}); count and measure.",
    )
