"""States: what is on, what is off, what each side holds."""

from __future__ import annotations

from dataclasses import replace
from importlib.resources import files

import pytest

from boxup.core.quantity import quantity
from boxup.exchanger.file import load
from boxup.exchanger.letters import letters
from boxup.exchanger.model import Exchanger
from boxup.exchanger.state import State, bolt_up, one_side_down, operating, shell_test, shell_test_bare, tube_test

P = quantity("22.4 bar", "MPa")


@pytest.fixture(scope="module")
def exchanger() -> Exchanger:
    return load(str(files("boxup.demo") / "data" / "14-E-103.toml"))


# What comes off and what stands in for it, by the letters (common practice).
BARE = [
    ("AES", {"channel_cover", "floating_head", "shell_cover"}, ("rear test ring",)),
    ("BES", {"channel", "floating_head", "shell_cover"}, ("front test ring", "rear test ring")),
    ("AET", {"channel_cover", "floating_head", "shell_cover"}, ("rear test ring",)),
    ("AKT", {"channel_cover"}, ()),
    ("BEU", {"channel"}, ("front test ring",)),
    ("AEU", {"channel_cover"}, ()),
    ("CFU", {"channel_cover"}, ()),
    ("BEM", {"channel", "rear_head"}, ()),
    ("AEL", {"channel_cover", "rear_cover"}, ()),
    ("NEN", {"channel_cover", "rear_cover"}, ()),
    ("AEP", {"channel_cover", "rear_cover"}, ()),
    ("BEW", {"channel", "rear_head"}, ("front test ring", "rear gland ring")),
]


@pytest.mark.practice
@pytest.mark.parametrize(("type_", "off", "gear"), BARE)
def test_the_tube_ends_are_laid_bare(exchanger: Exchanger, type_: str, off: set[str], gear: tuple[str, ...]) -> None:
    state = shell_test_bare(replace(exchanger, letters=letters(type_), options={}), P)
    assert set(state.off) == off
    assert state.gear == gear
    assert (state.shell.pressed, state.tube.pressed, state.tube.open_to_air) == (True, False, True)


@pytest.mark.practice
def test_the_shell_cover_of_a_floating_head_is_off_for_the_tube_test(exchanger: Exchanger) -> None:
    state = tube_test(exchanger, P)
    assert state.off == ("shell_cover",)
    assert "shell_cover" not in state.fitted(exchanger)
    assert "floating_head" in state.fitted(exchanger)
    assert (state.shell.contents, state.shell.open_to_air, state.tube.contents) == ("empty", True, "water")
    u = replace(exchanger, letters=letters("AEU"), options={"sc": True})
    assert tube_test(u, P).off == ()


@pytest.mark.practice
def test_no_test_presses_both_sides(exchanger: Exchanger) -> None:
    tests: list[State] = [shell_test_bare(exchanger, P), tube_test(exchanger, P), shell_test(exchanger, P)]
    assert all(s.shell.pressed != s.tube.pressed for s in tests)
    assert shell_test(exchanger, P).off == ()
    assert not bolt_up(exchanger).shell.pressed


def test_in_service_and_one_side_down(exchanger: Exchanger) -> None:
    both = operating(exchanger)
    assert both.shell.pressure == exchanger.shell_side.mawp
    assert both.tube.temperature == exchanger.tube_side.design_temperature
    down = one_side_down(exchanger, "shell")
    assert (down.id, down.shell.pressed, down.side("tube").pressed) == ("shell-down", False, True)
    assert one_side_down(exchanger, "tube").side("tube").pressed is False


def test_a_pressure_nobody_gave_is_not_zero(exchanger: Exchanger) -> None:
    unknown = replace(exchanger, shell_side=replace(exchanger.shell_side, mawp=None))
    assert operating(unknown).shell.pressed
