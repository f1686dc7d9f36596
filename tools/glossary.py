"""The parts of the documents that the code knows better: symbols of the workings, the calculations and the entries
of the record with their keys.

`python tools/glossary.py` writes them anew, between their marks, into docs/glossary.md, docs/commands.md and docs/entries.md. Words around
them stay.
A symbol is found twice: where a line of the source names it, and in workings that are really worked (the outside checks, the demo's files).
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from dataclasses import MISSING, Field, fields
from functools import cache
from pathlib import Path
from typing import Any

from boxup.core.calculation import Answer, BadInput, Calculation
from boxup.core.source import SAID
from boxup.core.unit import UNITS
from boxup.core.working import Step, Taken
from boxup.demo.fleet import files_of_the_demo
from boxup.exchanger.file import load
from boxup.job.calculations import all_calculations, find
from boxup.job.numbers import numbers
from boxup.record.kinds import kinds
from evidence import checks

ROOT = Path(__file__).resolve().parent.parent
SRC = ROOT / "src" / "boxup"
GLOSSARY, COMMANDS, ENTRIES = (ROOT / "docs" / f"{name}.md" for name in ("glossary", "commands", "entries"))
BEGIN, END = "<!-- written by tools/glossary.py: begin -->", "<!-- written by tools/glossary.py: end -->"

# Where symbol, label and unit stand in a call that puts a line into a working. `step` starts with its formula, `give` with the working.
PLACES = dict.fromkeys(("given", "table", "assumed", "constant", "kernel", "solved"), (0, 1, 3))
PLACES |= {"step": (0, 2, 1), "number": (0, 1, 2), "give": (1, 2, 4)}
NUMBERED = re.compile(r"^(.+)_(\d+)$")
COEFFICIENT = "coefficient of the table"
OF_ITEM = re.compile(r"^(.+)_([JF])\d+$")  # of a joint or a flange: `A_g_J1`, `U_r_F4`
ITEM = re.compile(r"\b([JF])\d+\b")

# Inputs for a calculation that no outside check works.
EXAMPLES: dict[str, dict[str, str]] = {"blank": {"diameter": "211 mm", "pressure": "31.3 bar", "stress": "138 MPa"}}

Symbol = tuple[str, str, str]  # symbol, unit, meaning


def symbols() -> dict[tuple[str, str], list[str]]:
    """The meanings of each symbol in each unit. What a run alone shows (a symbol put together while it runs) comes after the source's."""
    found: dict[tuple[str, str], list[str]] = {}
    for symbol, unit, meaning in in_source():
        _add(found, symbol, unit, meaning)
    named = set(found)
    for step in worked():
        symbol = shown(step)
        if (step.symbol, step.unit) not in named:
            meaning = step.label.partition(":")[0]
            if OF_ITEM.match(step.symbol):
                meaning = ITEM.sub(r"\g<1>1", step.label)
            elif symbol != step.symbol and step.label != COEFFICIENT:
                meaning = "that figure of each part, carried into a sum"
            _add(found, symbol, step.unit, meaning)
    return found


def _add(found: dict[tuple[str, str], list[str]], symbol: str, unit: str, meaning: str) -> None:
    meanings = found.setdefault((symbol, unit), [])
    if meaning not in meanings:
        meanings.append(meaning)


def shown(step: Step) -> str:
    """The symbol as the glossary lists it: `V_1`, `V_2` of parts carried into a sum are one row, `V_1 ...`; so is what joints have each."""
    if of := OF_ITEM.match(step.symbol):
        return f"{of[1]}_{of[2]}1 ..."
    numbered = NUMBERED.match(step.symbol)
    if numbered and step.label == COEFFICIENT:
        return f"{numbered[1]}_1 ..."
    return f"{numbered[1]}_1 ..." if numbered and isinstance(step.origin, Taken) and step.origin.symbol != step.symbol else step.symbol


def in_source() -> Iterator[Symbol]:
    """Every symbol that a line of the source names outright, module by module."""
    for path in sorted(SRC.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Call) and (got := _of_call(node)):
                yield got


def _of_call(call: ast.Call) -> Symbol | None:
    name = call.func.attr if isinstance(call.func, ast.Attribute) else getattr(call.func, "id", "")
    places = PLACES.get(name)
    if not places or len(call.args) <= max(places):
        return None
    texts = [a.value if isinstance(a := call.args[p], ast.Constant) else None for p in places]
    symbol, label, unit = texts
    if not (isinstance(symbol, str) and isinstance(label, str) and isinstance(unit, str) and unit in UNITS):
        return None
    return symbol.partition("=")[0].strip(), unit, label


@cache
def worked() -> tuple[Step, ...]:
    """Every step of every outside check and of everything the demo's files are asked for."""
    steps = [s for answer in runs() for _, s in answer.working.all_steps()]
    for path in files_of_the_demo().values():
        steps += [s for _, w in numbers(load(str(path))).workings.values() for _, s in w.all_steps()]
    return tuple(steps)


@cache
def runs() -> tuple[Answer, ...]:
    """Each calculation worked on the inputs of its outside checks, or on the example here."""
    asked = [(c.calculation, c.inputs) for c in checks()] + list(EXAMPLES.items())
    seen = {(name, tuple(inputs.items())): inputs for name, inputs in asked}
    return tuple(answer for (name, _), inputs in seen.items() if (answer := _run(name, inputs)))


def _run(name: str, inputs: dict[str, str]) -> Answer | None:
    calculation = find(name)
    try:
        return calculation.run(calculation.parse(inputs))
    except BadInput:  # a check may ask for a refusal
        return None


def symbol_table() -> Iterator[str]:
    """The table of docs/glossary.md."""
    yield from ("| symbol | unit | meaning |", "|---|---|---|")
    found = symbols()
    for symbol, unit in sorted(found, key=lambda k: (k[0].lower(), k[0], k[1])):
        yield f"| `{symbol}` | {UNITS[unit].sign or unit.replace('-', '–')} | {'; '.join(found[symbol, unit]).replace('|', '/')} |"


def calculation_tables() -> Iterator[str]:
    """The calculations of docs/commands.md: what each takes and gives."""
    for c in all_calculations():
        mark = "" if c.source.label == "published" else f" ({SAID[c.source.label]})"
        yield from (f"### `{c.name}`", "", f"{(c.work.__doc__ or '').strip()} Room: {c.room}. After {c.source.title}{mark}.", "")
        yield from ("| key | what | accepted |", "|---|---|---|")
        yield from (f"| {_key(f)} | {f.metadata['label']} | {_accepted(f)} |" for f in fields(c.given))
        yield from ("", f"Gives {', '.join(f'`{key}` ({unit})' for key, unit in answer_units(c).items())}.", "")


def _key(f: Field[Any]) -> str:
    return f"`{f.name}`" if f.default is MISSING else f"`[{f.name}]`"


def _accepted(f: Field[Any]) -> str:
    if "unit" in f.metadata:
        return f"`{f.metadata['symbol']}`, {f.metadata['unit']}"
    default = f", else `{f.default}`" if isinstance(f.default, str) and f.default else ""
    return (", ".join(f"`{w}`" for w in f.metadata["accepted"] if w) or "a word") + default


def answer_units(c: Calculation) -> dict[str, str]:
    """The answers of a calculation in the unit JSON gives them in; those that are lists are known from its runs."""
    units = {key: unit for key, (_, unit) in c.answers.items()}
    for answer in runs():
        if answer.name == c.name:
            units |= {key: got["unit"] for key, got in answer.as_json()["answers"].items()}
    return units


def entry_tables() -> Iterator[str]:
    """Every kind of entry of the record, with its fields as they are typed."""
    about = ""
    for kind in kinds().values():
        if kind.about != about:
            about = kind.about
            yield f"## {about[0].upper()}{about[1:]}"
            yield ""
        yield f"**`{kind.name}`** {kind.says}."
        yield ""
        yield "| key | | what | accepted |"
        yield "|---|---|---|---|"
        for f in kind.fields.values():
            unit = (
                (f"a number with its unit, kept in {UNITS[f.unit].sign}" + (", several" if f.type.endswith("*") else ""))
                if f.unit not in ("", "-")
                else f.type
            )
            yield f"| `{f.typed_name}` | {'must' if f.must else ''} | {f.says} | {', '.join(f.accepted) or unit} |"
        yield ""


def documents() -> tuple[tuple[Path, Iterator[str]], ...]:
    """Each document with the lines that the code knows better."""
    return (GLOSSARY, symbol_table()), (COMMANDS, calculation_tables()), (ENTRIES, entry_tables())


def between(text: str, lines: Iterator[str]) -> str:
    """The document with the lines between its marks put anew. Raises ValueError where a mark is missing."""
    if text.count(BEGIN) != 1 or text.count(END) != 1:
        raise ValueError(f"the document needs each of these marks once: {BEGIN} and {END}")
    head, tail = text.split(BEGIN)[0], text.split(END)[1]
    return "\n".join([head + BEGIN, "", *lines, "", END]).replace("\n\n\n", "\n\n") + tail


def main() -> None:
    """Write the documents."""
    for path, lines in documents():
        path.write_text(between(path.read_text("utf-8"), lines), "utf-8")
        print(f"{path.relative_to(ROOT)} is written.")


if __name__ == "__main__":
    main()
