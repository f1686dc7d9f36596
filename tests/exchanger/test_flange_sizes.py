"""Flanges no drawing shows: sizes out of order, metal stronger hot, a part that is worked as another. Told at their line."""

from __future__ import annotations

import re
from importlib.resources import files

import pytest

from boxup.exchanger.check import Report, check_text
from boxup.job.options import ASKED

TEXT = (files("boxup.demo") / "data" / "14-E-103.toml").read_text(encoding="utf-8")


def changed(section: str, key: str, value: str) -> Report:
    start = TEXT.index(f"[{section}]")
    end = TEXT.find("\n[", start)
    block = TEXT[start:end]
    line = f"{key} = {value}"
    made, times = re.subn(rf"^{key} = .*$", line, block, count=1, flags=re.M)
    return check_text(TEXT[:start] + (made if times else f"{block.rstrip()}\n{line}\n") + TEXT[end:], "x.toml", ASKED)


@pytest.mark.parametrize(
    ("section", "key", "value", "said"),
    [
        ("studs.S2", "bolt_circle", '"1000 mm"', "bolt circle 1000 mm is not inside od 965 mm"),
        ("flange.F3", "od", '"800 mm"', "is not inside od 800 mm"),
        ("flange.F3", "bore", '"940 mm"', "bore 940 mm is not inside bolt circle 914 mm"),
        ("flange.F6", "bearing_diameter", '"850 mm"', "bearing_diameter 850 mm is not inside bolt circle 840 mm"),
        ("flange.F3", "thickness", '"11.8 m"', "as thick as the flange is wide"),
        ("flange.F3", "hub_large", '"10 mm"', "they may be swapped"),
        ("flange.F5", "crown_radius", '"300 mm"', "does not reach across"),
        ("flange.F5", "head_lever", '"1.5 m"', "is outside it"),
        ("flange.F3", "yield_design", '"913 MPa"', "more than yield_ambient 250 MPa"),
        ("flange.F3", "allowable_ambient", '"300 MPa"', "more than yield_ambient 250 MPa"),
        ("flange.F3", "modulus_ambient", '"202 MPa"', "accepted: at least 10 GPa"),
        ("flange.F3", "type", '"flat cover"', "which has a bore"),
        ("flange.F6", "type", '"ring"', "worked as a backing ring"),
        ("studs.S2", "grip", '"100 mm"', "less than the flanges of J2 are thick together, 118 mm"),
        ("studs.S2", "grip", '"400 mm"', "they do not reach through"),
        ("studs.S2", "count", "35", "never an odd number"),
        ("studs.S2", "most_stress", '"750 MPa"', "the yield strength of B7, 724 MPa, or more"),
        ("studs.S2", "least_stress", '"410 MPa"', "less than least_stress"),
        ("gasket.G2", "unloading_modulus", '"2.3 kPa"', "accepted: at least 1 MPa"),
    ],
)
def test_what_cannot_be_is_an_error_at_its_line(section: str, key: str, value: str, said: str) -> None:
    report = changed(section, key, value)
    told = [e for e in report.errors if said in str(e)]
    assert told
    assert told[0].line > 0


@pytest.mark.parametrize(
    ("key", "value", "said"),
    [("crown_radius", '"1600 mm"', "nearly a plate"), ("head_lever", '"60 mm"', "outside it"), ("head_lever", '"-60 mm"', "outside it")],
)
def test_what_is_hardly_so_is_a_warning(key: str, value: str, said: str) -> None:
    report = changed("flange.F5", key, value)
    assert report.ok
    assert any(said in str(w) for w in report.warnings)


def test_the_file_as_it_is_has_neither() -> None:
    report = check_text(TEXT, "x.toml", ASKED)
    assert report.ok
    assert not [w for w in report.warnings if "flange." in w.key or "studs." in w.key]
