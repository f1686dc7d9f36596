"""Who notices a wrong formula? Every formula line is made wrong in every small way, and the outside checks are run on it.

`python tools/mutate.py` writes docs/mutation.md. A mutant is one line with one sign, number or function changed. It stands in for the
right line at one place, `boxup.core.formula.INSTEAD`, so that it is evaluated, checked for its dimensions and printed as any line is.
"""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import limits
import lines
from trial import DIMENSIONS, LABELS, RESIDUAL, SAME, SECOND, SURVIVES, Fate, Trial, reasons, trial

ROOT = Path(__file__).resolve().parent.parent
PAGE = ROOT / "docs" / "mutation.md"


def page(t: Trial) -> str:
    """What was tried and what became of it."""
    return "\n".join([*_totals(t), *_by_kind(t), *_survivors(t), *_equivalent(t), *_limits(), *_unreached(t)]) + "\n"


def _totals(t: Trial) -> list[str]:
    worked = Counter(kind for use in t.uses.values() for kind in ("checks" * bool(use.checks), "demos" * bool(use.demos)) if kind)
    rows = [
        "# Who notices a wrong formula",
        "",
        "Made by `python tools/mutate.py`; a test keeps it up to date. Every formula line that an outside check or a demo exchanger",
        "works is made wrong in every small way: + and -, * and / change places, each number is scaled by 1.1 and a whole one also",
        "raised by one (exponents too), comparisons are turned round, min and max, sin and cos, ceil and floor change places. The wrong",
        "line stands in for the right one wherever its text stands, and everything that uses it is run again. Which symbol stands where,",
        "and which line is taken when, is not tried here.",
        "",
        f"{len(t.uses)} lines, {worked['checks']} of them worked by outside checks, {worked['demos']} by demo exchangers.",
        f"{len(t.fates)} wrong lines.",
        "",
        "| noticed by | wrong lines |",
        "|---|---|",
    ]
    said = {
        DIMENSIONS: "the dimension check: refused before it gives a number",
        **{label: f"an outside check, label {label}" for label in LABELS},
        SECOND: "the second route of the demo exchangers, or a variant worked by hand (tests/mutation/variants.toml); label computed",
        RESIDUAL: "the equation's own residual: a root is put back into its equation, and no root of another passes",
        SAME: "nobody: the same value at every use here, so that no check here could (below)",
        SURVIVES: "**nobody: survivors** (below)",
    }
    rows += [f"| {text} | {t.counts[fate]} |" for fate, text in said.items()]
    if t.differing:
        rows += ["", f"{len(t.differing)} comparisons fail with every line right, and were left out: {', '.join(t.differing)}."]
    return [*rows, "", "Where several notice, the strongest label counts: published, practice, memory, computed, then the second route."]


def _by_kind(t: Trial) -> list[str]:
    rows = [
        "",
        "## By room",
        "",
        "| room | wrong lines | dimension check | outside check | second route | residual | same values | survivors |",
    ]
    rows += ["|---|---|---|---|---|---|---|---|"]
    for room in sorted({r for use in t.uses.values() for r in use.rooms}):
        own = Counter(f.fate for f in t.fates if f.use.rooms[0] == room)
        outside = sum(own[label] for label in LABELS)
        cells = (own.total(), own[DIMENSIONS], outside, own[SECOND], own[RESIDUAL], own[SAME], own[SURVIVES])
        rows.append(f"| {room} | " + " | ".join(str(c) for c in cells) + " |")
    return [*rows, "", "A line that several rooms use counts in the first of them."]


def _survivors(t: Trial) -> list[str]:
    why, rows = reasons("survivor"), ["", "## Survivors", ""]
    if not t.of(SURVIVES):
        return [*rows, "None."]
    rows += ["| where | line | wrong | why tolerable |", "|---|---|---|---|"]
    return rows + [_row(f, why.get((f.use.line, f.mutant.wrong), "**not in the list**")) for f in t.of(SURVIVES)]


def _equivalent(t: Trial) -> list[str]:
    why = reasons("untold")
    rows = [
        "",
        "## The same value at every use",
        "",
        "Right and wrong line were both worked at every step that uses the line; all values agree to 12 figures.",
    ]
    rows += ["Another exchanger could tell them apart. A line that matters stands here only with a reason.", ""]
    rows += ["| where | line | wrong | steps compared, and why tolerable |", "|---|---|---|---|"]
    for f in t.of(SAME):
        said = why.get((f.use.line, f.mutant.wrong), "**not in the list**" if f.use.serious else "")
        rows.append(_row(f, f"{len(f.use.steps)} steps. {said}".strip()))
    return rows


def _row(f: Fate, said: str) -> str:
    where = "; ".join([*f.use.where][:3]) + (" and more" if len(f.use.where) > 3 else "")
    return f"| {where} | `{f.use.line}` | `{f.mutant.wrong}` ({f.mutant.change}) | {said} |"


def _limits() -> list[str]:
    refused, told, missed = limits.judged()
    tried = len(refused) + len(told) + len(missed)
    return [
        "",
        "## Limits",
        "",
        f"{len(limits.in_source())} limits stop a person or make one look. Each has numbers close to it that hold and that do not, set by",
        f"hand (tests/mutation/limits.toml). Of {tried} wrong limits the dimension check refuses {len(refused)}, the numbers tell",
        f"{len(told)} apart, and {len(missed)} are not noticed.",
    ]


def _unreached(t: Trial) -> list[str]:
    found = lines.unreached(t.uses)
    told = [
        "",
        "## Lines that no outside check and no demo exchanger works",
        "",
        f"{len(found)} of {len(lines.in_source())} lines of the source.",
    ]
    told += ["Only tests of their room work them. `{}` is filled in at run time.", "", "| module | line |", "|---|---|"]
    return told + [f"| {module} | `{line}` |" for line, module in found.items()]


if __name__ == "__main__":
    PAGE.write_text(page(trial()), "utf-8")
    print(f"{PAGE.relative_to(ROOT)} written")
