"""`boxup calc`: one calculation, its working, or the list of all with their keys."""

from __future__ import annotations

import json
from dataclasses import MISSING, fields
from itertools import groupby
from typing import Any

import click

from boxup.cli.refusal import Refusal
from boxup.core.calculation import Answer, BadInput, Calculation
from boxup.core.printing import working_text
from boxup.core.working import plain


@click.command("calc", short_help="One calculation, with its working.")
@click.argument("name", required=False)
@click.argument("keys", nargs=-1, metavar="[key=value]...")
@click.option("--json", "as_json", is_flag=True, help="For machines.")
@click.option("--us", is_flag=True, help="Answers in US customary units too.")
def calc_command(name: str | None, keys: tuple[str, ...], as_json: bool, us: bool) -> None:
    """Work one calculation: boxup calc torque size=1-8 stress="345 MPa" nut_factor=0.18"""
    from boxup.job.calculations import all_calculations, find

    if not name:
        click.echo("\n".join(_list(all_calculations())))
        return
    try:
        calculation = find(name)
        if not keys and not as_json:
            click.echo("\n".join(_keys(calculation)))
            return
        answer = calculation.run(calculation.parse(_pairs(keys)))
    except BadInput as bad:
        raise Refusal(bad.problems) from bad
    click.echo(json.dumps(answer.as_json(), ensure_ascii=False, indent=1) if as_json else "\n".join(_told(answer, us)))


def _pairs(keys: tuple[str, ...]) -> dict[str, str]:
    wrong = [k for k in keys if "=" not in k]
    if wrong:
        raise BadInput([f'{k!r}: written as key=value, for example pressure="24.1 bar"' for k in wrong])
    pairs = [k.split("=", 1) for k in keys]
    twice = {k for k, _ in pairs if [p[0] for p in pairs].count(k) > 1}
    if twice:
        raise BadInput([f"{k}: given twice; once is accepted" for k in sorted(twice)])
    return {k: v for k, v in pairs}  # noqa: C416 - pairs are lists of two


def _told(answer: Answer, us: bool) -> list[str]:
    lines = list(working_text(answer.working))
    lines += ["", "Answer"]
    named = {s.symbol: key for key, s in answer.values.items()}  # a figure under an older key as well is printed once, by its name of now
    shown = [(key, s) for key, s in answer.values.items() if named[s.symbol] == key]
    lines += [f"  {key.replace('_', ' '):<24} {plain(s)}{_customary(s.si, s.unit) if us else ''}" for key, s in shown]
    lines += [f"  {key.replace('_', ' '):<24} {_listed(v)} {u}".rstrip(" -") for key, (v, u) in answer.lists.items()]
    lines += [f"  {f.level.upper()}: {f.text}  [{f.source}]" for f in answer.findings]
    return lines


_CUSTOMARY = {
    "mm": "in", "m": "ft", "mm2": "in2", "MPa": "psi", "bar": "psi", "kN": "lbf", "N": "lbf", "N.m": "lbf.ft", "kg": "lb", "L": "gal",
    "m3": "gal", "degC": "degF",
}  # fmt: skip


def _customary(si: float, unit: str) -> str:
    from boxup.core.unit import UNITS
    from boxup.core.working import digits

    other = _CUSTOMARY.get(unit)
    return f"   ({digits(UNITS[other].from_si(si), 5)} {UNITS[other].sign})" if other else ""


def _listed(value: object) -> str:
    """An answer that is not one number, as a person reads it: an order 1-7-4-10, sentences, names with their figures."""
    from boxup.core.working import digits

    match value:
        case bool():
            return "yes" if value else "no"
        case float():
            return digits(value, 4)
        case dict():
            return ", ".join(f"{name} {_listed(v)}" for name, v in value.items())
        case list() if value and all(isinstance(v, int) for v in value):
            return "-".join(map(str, value))
        case list():
            return "; ".join(map(_listed, value))
    return str(value)


def _list(found: list[Calculation]) -> list[str]:
    lines: list[str] = []
    for room, of_room in groupby(found, key=lambda c: c.room):
        lines += ["", room]
        for c in of_room:
            keys = (_key(f) for f in fields(c.given))
            lines += [f"  {c.name:<18} {' '.join(keys)}", f"  {'':<18} gives {', '.join(c.answers) or 'lists'}"]
    return lines[1:]


def _keys(c: Calculation) -> list[str]:
    lines = [f"{c.name}  ({c.source.title})"]
    for f in fields(c.given):
        meta = f.metadata
        takes = f"{meta['symbol']}, {meta['unit']}" if "unit" in meta else ", ".join(meta["accepted"]) or "a word"
        lines.append(f"  {_key(f):<20} {meta['label']}  ({takes})")
    return lines


def _key(f: Any) -> str:
    """A key as it is typed, in brackets where it may be left out."""
    name = f.name.removesuffix("_")
    return name if f.default is MISSING else f"[{name}]"
