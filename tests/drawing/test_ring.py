"""Gaskets that are no flat ring: nothing on their drawing is of a flat one, and what tells them apart is there."""

from __future__ import annotations

import re
from html import unescape

import pytest

from boxup.demo.fleet import files_of_the_demo
from boxup.drawing.gasket import gasket
from boxup.exchanger.file import load

FORMS = {
    "octagonal": ("22-E-201A", "22-E-201B", "22-E-204"),
    "O-ring": ("31-E-303",),
    "packing": ("31-E-301",),
}
SAID = {"octagonal": "ring number", "O-ring": "cord", "packing": "staggered, 90° from one ring to the next"}


def drawn(kind: str) -> list[str]:
    """The drawings of all gaskets of that kind in the demo, as their files name it."""
    found = []
    for tag in FORMS[kind]:
        x = load(files_of_the_demo()[tag])
        found += [gasket(x, j) for j in x.joints if j.gasket and kind in j.gasket.kind]
    assert len(found) >= len(FORMS[kind])
    return found


def words(svg: str) -> str:
    return unescape(" ".join(re.findall(r"<text[^>]*>([^<]*)</text>", svg)))


@pytest.mark.parametrize("kind", FORMS)
def test_it_has_no_tab_and_no_top_but_its_section(kind: str) -> None:
    for svg in drawn(kind):
        said = words(svg)
        assert "12 o'clock" not in said
        assert "TOP" not in said
        assert "section, enlarged" in said
        assert SAID[kind].lower() in said.lower()


def test_four_rings_of_packing_have_four_cuts_each_in_another_place() -> None:
    (svg,) = drawn("packing")
    cuts = re.findall(r'<path d="M([\d.]+),([\d.]+)L[^"]*" stroke="var', svg)
    assert len(set(cuts)) == 4


def test_a_flat_gasket_keeps_its_tab() -> None:
    x = load(files_of_the_demo()["14-E-104"])
    assert all("12 o'clock" in words(gasket(x, j)) for j in x.joints if j.gasket)
