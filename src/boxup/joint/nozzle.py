"""The studs of a process nozzle: count and size from the flange table by size and class, torque where lubricant and target are given."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from boxup.core.finding import Finding, Missing
from boxup.core.quantity import BadValue, Quantity
from boxup.core.rounding import both
from boxup.core.working import Step, Working
from boxup.exchanger.model import Nozzle
from boxup.joint.studs import PCC_1, StudSet, missing_studs, stud_lines
from boxup.joint.thread import common_size, thread
from boxup.reference.load import Row, source, table

B16_5 = source("asme-b16-5")
_SIZE = re.compile(r"(?:NPS ?)?([0-9]{1,2}(?:-[0-9]/[0-9])?|[0-9]/[0-9]) ?(?:in|inch|\")?", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class NozzleAnswer:
    """The studs of one nozzle. `row`: the flange table's line for its size and class, or None."""

    nozzle: str
    row: Row | None
    studs: StudSet
    working: Working
    missing: tuple[Missing, ...]

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
    """Studs and torque of one nozzle. What the file says wins over the table; where they differ, the answer says stop."""
    w = Working(f"nozzle {n.id}", PCC_1)
    row = flange_row(n.size, n.flange_class)
    studs = StudSet.of_nozzle(n)
    if row is not None:
        _compare(w, n, row)
        studs = _filled(studs, row)
    missing = missing_studs(studs, f"nozzle {n.id}")
    if row is None:
        missing.insert(0, _no_row(n))
    stud_lines(w, studs)
    return NozzleAnswer(n.id, row, studs, w, tuple(missing))


def _filled(studs: StudSet, row: Row) -> StudSet:
    """Count and size from the table where the file does not give them."""
    place = f"{row.key}, {row.cite}"
    count = studs.count or Quantity(row.need("studs"), "count", row.text("studs"), "memory", place)
    return replace(studs, count=count, size=studs.size or common_size(row.need("stud_diameter")) or "")


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
