"""The outside checks: read them, run them, and write the evidence page.

`python tools/evidence.py` writes docs/evidence.md. A check is data in tests/evidence, one file a source; what was expected was not made by
this program.
"""

from __future__ import annotations

import math
import tomllib
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import counts
from boxup.core.quantity import Quantity, quantity
from boxup.core.unit import UNITS
from boxup.job.calculations import find

ROOT = Path(__file__).resolve().parent.parent
FOLDER = ROOT / "tests" / "evidence"
PAGE = ROOT / "docs" / "evidence.md"


@dataclass(frozen=True, slots=True)
class Check:
    """One expected value with its source; `tolerance` and `why` say how near and why that near."""

    source_id: str
    title: str
    where: str
    address: str
    label: str
    calculation: str
    case: str
    inputs: dict[str, str]
    answer: str
    expected: Any
    tolerance: str
    why: str
    read_on: str
    note: str

    @property
    def id(self) -> str:
        return f"{self.calculation}/{self.source_id}/{self.case}/{self.answer}"


@dataclass(frozen=True, slots=True)
class Verdict:
    """What we got, shown in the unit of the expected value, and whether it agrees."""

    got: str
    agrees: bool


def checks(folder: Path = FOLDER) -> list[Check]:
    """Every check of every source, in the order of the files."""
    return [c for path in sorted(folder.glob("*.toml")) for c in _file(path)]


def _file(path: Path) -> Iterator[Check]:
    raw = tomllib.loads(path.read_text("utf-8"))
    source = raw["source"]
    for entry in raw["check"]:
        yield Check(
            source_id=source["id"],
            title=source["title"],
            where=entry.get("where", source.get("where", "")),
            address=entry.get("address", source.get("address", "")),
            label=entry.get("label", source["label"]),
            calculation=entry["calculation"],
            case=entry["case"],
            inputs={k: str(v) for k, v in entry["inputs"].items()},
            answer=entry["answer"],
            expected=entry["expected"],
            tolerance=entry["tolerance"],
            why=entry["why"],
            read_on=source["read_on"],
            note=source["note"],
        )


def run(check: Check) -> Verdict:
    """Run the calculation on the check's inputs and compare."""
    calculation = find(check.calculation)
    inputs = {k: str(FOLDER / v) if k == "file" else v for k, v in check.inputs.items()}
    answer = calculation.run(calculation.parse(inputs))
    if check.answer in answer.lists:
        got = answer.lists[check.answer][0]
        return Verdict(str(got), got == check.expected)
    step, spelt = answer.values[check.answer], answer.units[check.answer]
    want = quantity(str(check.expected), spelt)
    shown = UNITS[want.unit].from_si(step.si)
    return Verdict(f"{shown:.6g} {want.unit}".removesuffix(" -"), abs(step.si - want.si) <= allowed(check, want, spelt))


def allowed(check: Check, want: Quantity, unit: str) -> float:
    """How far off, in SI, still agrees."""
    text = check.tolerance.strip()
    if text.endswith("%"):
        return abs(want.si) * float(text[:-1]) / 100
    if text == "exact":
        return abs(want.si) * 1e-9
    number = quantity(text, {"degC": "K"}.get(unit, unit))
    return math.nextafter(abs(number.si) * (1 + 1e-9), math.inf)


def page() -> str:
    """The evidence page: how many of what label, then every check."""
    found = checks()
    per_label = Counter(c.label for c in found)
    lines = [
        "# Evidence",
        "",
        "Made by `python tools/evidence.py`; a test keeps it up to date. Every value below was expected before this program gave it.",
        "*published*: the page was read. *practice*: common practice. *memory*: believed, to be confirmed. *computed*: a second route.",
        "",
        "| label | checks | sources |",
        "|---|---|---|",
    ]
    for label in ("published", "practice", "memory", "computed"):
        where = {c.source_id for c in found if c.label == label}
        lines.append(f"| {label} | {per_label[label]} | {len(where)} |")
    lines += ["", "| calculation | published | practice | memory | computed |", "|---|---|---|---|---|"]
    for name in sorted({c.calculation for c in found}):
        per = Counter(c.label for c in found if c.calculation == name)
        lines.append(f"| {name} | {per['published']} | {per['practice']} | {per['memory']} | {per['computed']} |")
    lines += counts.page_lines()
    for source_id in dict.fromkeys(c.source_id for c in found):
        lines += _source_lines([c for c in found if c.source_id == source_id])
    return "\n".join(lines) + "\n"


def _where_read(c: Check) -> str:
    """The address and the day; without an address, what the label says of it."""
    if not c.address:
        return {"computed": "Worked by a second route.", "practice": "Common practice."}.get(c.label, "Not read, from memory.")
    return f"{c.address}, read {c.read_on}." if c.read_on else f"{c.address}."


def _source_lines(of: list[Check]) -> list[str]:
    first = of[0]
    lines = ["", f"## {first.title}", "", " ".join(x for x in (_where_read(first), first.note) if x), ""]
    lines += ["| calculation | case | where | label | answer | expected | got | tolerance, and why |", "|---|---|---|---|---|---|---|---|"]
    for c in of:
        got = run(c).got
        cells = (c.calculation, c.case, c.where, c.label, c.answer, c.expected, got, f"{c.tolerance}: {c.why}")
        lines.append("| " + " | ".join(str(x).replace("|", "/") for x in cells) + " |")
    return lines


if __name__ == "__main__":
    PAGE.write_text(page(), "utf-8")
    print(f"{PAGE.relative_to(ROOT)} written: {len(checks())} checks")
