"""A state of the exchanger: what is fitted, what is off, and what each side holds. Joint and test rooms ask for numbers in a state."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from boxup.core.quantity import Quantity
from boxup.exchanger.model import Exchanger, SideName
from boxup.exchanger.parts import PartId, parts

StateId = Literal["bolt-up", "shell-test-bare", "tube-test", "shell-test", "operating", "shell-down", "tube-down"]
Contents = Literal["empty", "water", "process"]
ZERO = Quantity(0.0, "MPa", "0 bar")


@dataclass(frozen=True, slots=True)
class SideState:
    """One side. `pressure` gauge, None where nobody gave it; `open_to_air`: lowest drain and highest vent stand open."""

    contents: Contents = "empty"
    pressure: Quantity | None = ZERO
    temperature: Quantity | None = None
    open_to_air: bool = True

    @property
    def pressed(self) -> bool:
        """True unless it is known to be at zero."""
        return self.pressure is None or self.pressure.si > 0


@dataclass(frozen=True, slots=True)
class State:
    """A named state. `off`: parts not fitted in it; `gear`: test rings that stand in for them; `seen`: where the crew looks."""

    id: StateId
    what: str
    shell: SideState
    tube: SideState
    off: tuple[PartId, ...] = ()
    gear: tuple[str, ...] = ()
    seen: str = ""

    def side(self, name: SideName) -> SideState:
        return self.shell if name == "shell" else self.tube

    def fitted(self, exchanger: Exchanger) -> tuple[PartId, ...]:
        """The parts that are on, front to rear."""
        return tuple(p.id for p in parts(exchanger) if p.id not in self.off)


def bolt_up(exchanger: Exchanger, temperature: Quantity | None = None) -> State:
    """Everything on, both sides empty and open."""
    still = SideState(temperature=temperature)
    return State("bolt-up", "pulled up, no pressure", still, still)


def shell_test_bare(exchanger: Exchanger, pressure: Quantity | None, temperature: Quantity | None = None) -> State:
    """Shell side under test, tube ends bare: what hides them is off, test rings stand in where the bundle needs them."""
    rings = _rings(exchanger)
    words = "shell test with the tube ends bare" + (", rear test ring on" if "rear test ring" in rings else "")
    off, seen = _hides_tube_ends(exchanger), "tube ends, tubesheets, shell joints"
    return State("shell-test-bare", words, _water(pressure, temperature), SideState(temperature=temperature), off, rings, seen)


def tube_test(exchanger: Exchanger, pressure: Quantity | None, temperature: Quantity | None = None) -> State:
    """Tube side under test, shell side drained and open; an internal floating head is seen only with the shell cover off."""
    floating = exchanger.letters.rear in "ST"
    off: tuple[PartId, ...] = tuple(p.id for p in parts(exchanger) if floating and p.id == "shell_cover")
    words = "tube test, shell cover off" if off else "tube test"
    seen = "floating head joint, channel joints" if off else "channel joints, lowest shell drain"
    return State("tube-test", words, SideState(temperature=temperature), _water(pressure, temperature), off, (), seen)


def shell_test(exchanger: Exchanger, pressure: Quantity | None, temperature: Quantity | None = None) -> State:
    """The final shell test: everything on, tube side drained and open."""
    return State("shell-test", "final shell test", _water(pressure, temperature), SideState(temperature=temperature), (), (),
                 "shell joints, lowest tube-side drain")  # fmt: skip


def operating(exchanger: Exchanger) -> State:
    """Both sides at their MAWP and design temperature: the state the code's loads are worked for."""
    return State("operating", "in service, both sides at MAWP", _service(exchanger, "shell"), _service(exchanger, "tube"))


def one_side_down(exchanger: Exchanger, down: SideName) -> State:
    """One side at its MAWP, the other empty and at zero."""
    other: SideName = "tube" if down == "shell" else "shell"
    up = _service(exchanger, other)
    words = f"in service, {down} side down"
    if down == "shell":
        return State("shell-down", words, SideState(), up)
    return State("tube-down", words, up, SideState())


def _water(pressure: Quantity | None, temperature: Quantity | None) -> SideState:
    return SideState("water", pressure, temperature, open_to_air=False)


def _service(exchanger: Exchanger, name: SideName) -> SideState:
    side = exchanger.side(name)
    return SideState("process", side.mawp, side.design_temperature, open_to_air=False)


def rear_open(exchanger: Exchanger) -> bool:
    """Whether the rear tube ends can be laid bare: not behind the closed end of a kettle, not on U-tubes."""
    got = exchanger.letters
    return got.rear != "U" and not (got.rear == "T" and not any(p.id == "shell_cover" for p in parts(exchanger)))


def _hides_tube_ends(exchanger: Exchanger) -> tuple[PartId, ...]:
    """What comes off to see the tube ends: front cover or bonnet, and the rear end where it opens. A shell cover on U-tubes stays on."""
    front: set[PartId] = {"channel"} if exchanger.letters.front == "B" else {"channel_cover"}
    rear: set[PartId] = {"floating_head", "shell_cover"} if exchanger.letters.rear in "ST" else {"rear_cover"}
    if exchanger.letters.rear in "MW":
        rear = {"rear_head"}
    hidden = front | rear if rear_open(exchanger) else front
    return tuple(p.id for p in parts(exchanger) if p.id in hidden)


def _rings(exchanger: Exchanger) -> tuple[str, ...]:
    got = exchanger.letters
    front = ("front test ring",) if got.front == "B" and not got.fixed else ()
    if got.rear in "ST" and rear_open(exchanger):
        return (*front, "rear test ring")
    return (*front, "rear gland ring") if got.rear == "W" else front
