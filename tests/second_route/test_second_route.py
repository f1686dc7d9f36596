"""The demo exchangers' numbers against `recompute`, which shares nothing with the package but the files it reads.

Each tolerance stands in `recompute` with its reason: exact where only the order of arithmetic differs, the rounding of a printed
constant (0.9743, 109.4, 1.9), slices of a circle, the square where two ribs meet, and 0.3 % between two formulations of water.
"""

from __future__ import annotations

import ast
from pathlib import Path
from types import SimpleNamespace

import pytest
from tests.second_route import bolts, plates, recompute, water
from tests.second_route.given import DATA, INCH, TAGS

from boxup.exchanger.file import load
from boxup.job.numbers import Numbers, numbers


@pytest.fixture(scope="module")
def found() -> dict[str, Numbers]:
    return {tag: numbers(load(DATA / f"{tag}.toml")) for tag in TAGS}


@pytest.mark.computed
@pytest.mark.parametrize("tag", TAGS)
def test_every_headline_number_agrees_with_its_second_route(found: dict[str, Numbers], tag: str) -> None:
    rows = recompute.compare({tag: found[tag]})
    assert len(rows) >= 150
    wrong = [f"{name}: {got:.8g}, by the second route {want:.8g} (within {room:.2g})" for name, want, room, got, ok in rows if not ok]
    assert not wrong, "\n".join(wrong)


@pytest.mark.computed
@pytest.mark.parametrize(("celsius", "pressure"), [(15.0, 101325.0), (15.0, 2337325.0), (25.0, 4.2407e6), (14.95, 3234325.0)])
def test_the_stored_water_is_still_what_the_library_gives(celsius: float, pressure: float) -> None:
    """Between two rows of the table the cubic must not show: 1e-9."""
    assert water.density(celsius, pressure) == pytest.approx(water.by_coolprop(celsius, pressure), rel=1e-9)


@pytest.mark.memory
@pytest.mark.parametrize(("size", "root", "tensile"), [("5/8-11", 0.202, 0.226), ("3/4-10", 0.302, 0.334), ("7/8-9", 0.419, 0.462),
                                                       ("1-8", 0.551, 0.606)])  # fmt: skip
def test_thread_areas_from_the_triangle_are_those_of_the_handbooks(size: str, root: float, tensile: float) -> None:
    """Handbooks print three decimals of a square inch, hence half of the last."""
    assert [a / INCH**2 for a in bolts.areas(size)] == pytest.approx([root, tensile], abs=5.1e-4)


@pytest.mark.computed
def test_a_hub_without_taper_is_the_shell_itself() -> None:
    """Of an endless shell: F is the fourth root of 3(1 - 0.09) over the root of 2, V half its inverse; six figures are printed (2-7)."""
    f, v, peak = plates.hub(1.0, 1.0)
    assert f == pytest.approx(2.73**0.25 / 2**0.5, rel=1e-9)
    assert v == pytest.approx(1 / (2 * f), rel=1e-9)
    assert (f, v, peak) == pytest.approx((0.908920, 0.550103, 1.0), rel=1e-6)


def test_a_wrong_or_absent_number_does_not_pass(found: dict[str, Numbers]) -> None:
    swapped = recompute.compare({"14-E-103": found["14-E-104"]})
    assert sum(ok for *_, ok in swapped) < len(swapped) / 3
    assert not any(ok for *_, ok in recompute.compare({"14-E-103": SimpleNamespace(workings={})}))


def test_every_expected_number_can_fail() -> None:
    """A tolerance so wide that it catches nothing is no check; a value of nothing cannot be compared in parts of itself."""
    for tag in TAGS:
        for place, value in recompute.expected(tag).items():
            assert value.si != 0, place
            assert 0 < value.rel <= 0.01, place
            assert value.route, place


def test_the_second_route_takes_nothing_from_the_package() -> None:
    for name in ("given", "bolts", "plates", "flanges", "balance", "space", "water", "recompute"):
        tree = ast.parse((Path(__file__).parent / f"{name}.py").read_text(encoding="utf-8"))
        named = [a.name for n in ast.walk(tree) if isinstance(n, ast.Import) for a in n.names]
        named += [n.module or "" for n in ast.walk(tree) if isinstance(n, ast.ImportFrom)]
        assert not [m for m in named if m.startswith("boxup")], name
