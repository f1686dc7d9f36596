"""The printed middle line, read by an independent reader, gives the printed result within its rounding."""

from __future__ import annotations

import math
import re

import pytest

from boxup.core.quantity import quantity
from boxup.core.unit import UNITS
from boxup.core.working import RESULT_DIGITS, Computed, Working, in_numbers, plain
from boxup.hydro.plan import plan_of
from boxup.hydro.pressure import required_pressure
from boxup.hydro.sheet import Conditions
from boxup.hydro.sheet import test_sheet as sheet_of
from boxup.hydro.shut_in import shut_in
from boxup.hydro.tube_collapse import tube_collapse

SIGNS = {u.sign: u for u in UNITS.values() if u.sign}
RAISED = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁻", "0123456789-")


def read(line: str) -> float:
    """Numbers with units to SI by a plain reader of its own: `2.6 MPa` to 2.6e6, powers, signs and words of the print."""
    text = re.sub(r"(\d)×10([⁰¹²³⁴⁵⁶⁷⁸⁹⁻]+)", lambda m: f"{m[1]}e{m[2].translate(RAISED)}", line.replace("−", "-"))
    signs = "|".join(re.escape(s) for s in sorted(SIGNS, key=len, reverse=True))
    text = re.sub(rf"(-?\d[\d.e+-]*) ({signs})(?![\w³²])", lambda m: f"({SIGNS[m[2]].to_si(float(m[1]))!r})", text)
    text = re.sub(r"([)\d])([²³⁴])", lambda m: f"{m[1]}**{m[2].translate(RAISED)}", text)
    text = text.replace("π", "pi").replace("×", "*").replace("√", "sqrt").replace("^(", "**(")
    assert not re.search(r"[^\x00-\x7f]", text), text
    return float(eval(text, {"__builtins__": {}}, {"pi": math.pi, "sqrt": math.sqrt, "min": min, "max": max}))  # noqa: S307 -- our own print


def workings(make) -> list[Working]:
    x = make("AES")
    known = Conditions(head=quantity("3 m", "m"), water=quantity("12 degC", "degC"), push_allowed=quantity("1000 kN", "kN"))
    sheets = [sheet_of(x, t, volume=quantity("1.9 m3", "m3"), known=known).working for t in plan_of(x)]
    shell = {"diameter": "900 mm", "wall": "12 mm", "length": "6 m", "tubes": "700", "tube_od": "19.05 mm", "tube_wall": "2.11 mm",
             "temperature": "20 degC", "pressure": "26 bar", "to_temperature": "30 degC"}  # fmt: skip
    more = ({"side": "tube"}, {"restraint": "fixed"}, {"side": "tube", "restraint": "fixed"}, {"temperature": "9 degC"})
    calcs = [shut_in.run(shut_in.parse(shell | m)).working for m in ({}, *more)]
    pressed = {"mawp": "20 bar", "stress_test": "138 MPa", "stress_design": "118 MPa"}
    calcs += [required_pressure.run(required_pressure.parse(pressed | m)).working for m in ({"head": "3 m"}, {"medium": "air"})]
    squeezed = {"tube_od": "19.05 mm", "wall": "2.11 mm", "yield_strength": "180 MPa"}
    return [*sheets, *calcs, tube_collapse.run(tube_collapse.parse(squeezed)).working]


def test_every_printed_line_gives_its_printed_result(make):
    checked = 0
    for w in workings(make):
        for part, step in w.all_steps():
            if isinstance(step.origin, Computed):
                got = UNITS[step.unit].from_si(read(in_numbers(step)))
                shown = f"{part} {in_numbers(step)} = {plain(step)}"
                assert got == pytest.approx(step.value, rel=0.6 * 10 ** (1 - RESULT_DIGITS)), shown
                checked += 1
    assert checked >= 140
