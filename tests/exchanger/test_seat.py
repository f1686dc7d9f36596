"""Gaskets in their seats: recess, bore, depth, ribs, each just within and just over; and how many ribs somebody may count."""

from __future__ import annotations

from pathlib import Path

import pytest

from boxup.core.quantity import quantity
from boxup.demo.fleet import files_of_the_demo
from boxup.exchanger.check import check_text
from boxup.exchanger.file import load
from boxup.exchanger.seat import Sizes, misfits, rib_counts

FILE = files_of_the_demo()["14-E-103"].read_text("utf-8")  # J1: gasket 861/829, 3.2 mm thick, two ribs of 10 mm
FLANGE = '\n[flange.F1]\njoint = "J1"\npart = "channel"\n'


def told(extra: str, text: str = FILE) -> list[tuple[str, str]]:
    """Level and text of what the check says of J1's gasket with these keys of its flange."""
    report = check_text(text + FLANGE + extra + "\n", "a.toml")
    return [(p.level, p.text) for p in (*report.errors, *report.warnings) if p.key.startswith("gasket.G1")]


@pytest.mark.computed
@pytest.mark.parametrize(
    ("keys", "level", "words"),
    [
        ('recess_od = "861 mm"', "", ""),
        ('recess_od = "860.9 mm"', "error", "861 mm does not go into the recess of 860.9 mm in the channel"),
        ('recess_od = "864 mm"', "", ""),
        ('recess_od = "864.5 mm"', "warning", "3.5 mm loose in the recess"),
        ('recess_id = "829 mm"', "", ""),
        ('recess_id = "829.1 mm"', "error", "829 mm does not go over the inside of the recess"),
        ('bore = "829 mm"', "", ""),
        ('bore = "829.5 mm"', "error", "829 mm reaches over the bore of the channel"),
        ('recess_od = "863 mm"\nbore = "827 mm"', "", ""),
        ('recess_od = "863 mm"\nbore = "827.1 mm"', "warning", "off the middle"),
        ('recess_depth = "1.9 mm"', "", ""),
        ('recess_depth = "2 mm"', "warning", "pressed to 60% it lies below the face"),
        ('recess_depth = "3.2 mm"', "warning", "the flanges touch before the gasket is loaded"),
        ('rib_land = "9 mm"', "", ""),
        ('rib_land = "8.9 mm"', "warning", "10 mm is wider than the edge of the pass plate"),
    ],
)
def test_each_way_of_not_fitting_just_within_and_just_over(keys: str, level: str, words: str):
    """Off the middle by half the play on each side, the inside of 829 comes within 1 mm of 827 for a play of 2 mm across."""
    found = told(keys)
    assert [at for at, _ in found] == ([level] if level else [])
    assert words in " ".join(text for _, text in found)


@pytest.mark.computed
def test_without_a_flange_the_pass_plate_of_the_channel_counts():
    thin = FILE.replace('pass_plate = "12.7 mm"', 'pass_plate = "8 mm"', 1)
    report = check_text(thin, "a.toml")
    assert [p.key for p in report.warnings if "wider than the pass plate, 8 mm" in p.text] == ["gasket.G1.rib_width", "gasket.G2.rib_width"]


def test_a_backing_ring_has_no_say():
    x = load_text(FILE + '\n[flange.F9]\njoint = "J4"\npart = "backing ring"\nbore = "790 mm"\n')
    assert list(misfits(x, x.joint("J4"), Sizes(id_=quantity("771 mm", "mm")))) == []


def load_text(text: str):
    report = check_text(text, "a.toml")
    assert report.exchanger, report.text
    return report.exchanger


@pytest.mark.practice
@pytest.mark.parametrize(
    ("tag", "joint", "counts"),
    [
        ("14-E-103", "J1", (2,)),  # four passes in bands: two bars in front, one behind
        ("14-E-103", "J3", (0,)),  # the shell side has none
        ("14-E-103", "J4", (1,)),
        ("14-E-101", "J1", (1,)),  # two passes: one bar in front, none behind
        ("14-E-101", "J4", (0,)),
        ("14-E-104", "J1", (2, 3)),  # a cross of which one arm is half: three pieces, two bars
    ],
)
def test_ribs_that_somebody_may_count(tag: str, joint: str, counts: tuple[int, ...]):
    x = load(Path(files_of_the_demo()[tag]))
    assert rib_counts(x, x.joint(joint)) == counts
