"""The bolted joints the letters call for, numbered from the front to the rear."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from boxup.exchanger.letters import Letters
from boxup.exchanger.model import SideName

CHANNEL_COVER = "channel cover"
CHANNEL_TUBESHEET = "channel/tubesheet"
TUBESHEET_SHELL = "tubesheet/shell"
CLOSURE = "special closure"
FLOATING_HEAD = "floating head"
SHELL_COVER = "shell cover"
REAR_HEAD = "rear head"
REAR_COVER = "rear cover"
STUFFING_BOX = "stuffing box"
SHELL_PACKING = "shell packing"
CHANNEL_PACKING = "channel packing"

CHANNEL_SHELL = "channel/shell joint"
LANTERN_RING = "lantern ring joint"


class JointCalled(NamedTuple):
    """One joint of a type: its number, kind, the parts it is between, the sides it holds in, and which end's pass ribs its gasket has."""

    id: str
    kind: str
    between: str
    sides: tuple[SideName, ...]
    ribs_end: str


_TUBE: tuple[SideName, ...] = ("tube",)
_SHELL: tuple[SideName, ...] = ("shell",)


def joints_of(letters: Letters, options: Mapping[str, bool] | None = None) -> list[JointCalled]:
    """The joints of these letters. Of the options only `sc` counts: whether the rear of the shell has a removable cover (T and U)."""
    found = [*_front(letters), *_rear(letters, has_shell_cover(letters, options))]
    return [JointCalled(f"J{n}", *rest) for n, rest in enumerate(found, start=1)]


def has_shell_cover(letters: Letters, options: Mapping[str, bool] | None = None) -> bool:
    """S cannot be put together without one; T usually has one, a kettle with T usually not; U only when the option says so."""
    if letters.rear == "S":
        return True
    usual = letters.rear == "T" and letters.shell != "K"
    return letters.rear in "TU" and (options or {}).get("sc", usual)


def group_of(kind: str) -> str:
    """What the trade calls the joints that one set of studs pulls up together; any other joint is its own group."""
    if kind in (CHANNEL_TUBESHEET, TUBESHEET_SHELL):
        return CHANNEL_SHELL
    return LANTERN_RING if kind in (SHELL_PACKING, CHANNEL_PACKING) else kind


def words_of_both(kind: str) -> str:
    """The parts that one set of studs clamps together, front to rear, where it pulls up two joints."""
    return "shell / lantern ring / rear bonnet" if group_of(kind) == LANTERN_RING else "channel / tubesheet / shell"


_Called = tuple[str, str, tuple[SideName, ...], str]


def _front(letters: Letters) -> Iterator[_Called]:
    if letters.front in "ACN":
        yield CHANNEL_COVER, "channel cover to channel", _TUBE, "front"
    if letters.front in "AB":
        yield CHANNEL_TUBESHEET, ("channel" if letters.front == "A" else "bonnet") + " to tubesheet", _TUBE, "front"
    if letters.front == "D":
        yield CLOSURE, "closure to channel, maker's procedure", _TUBE, ""
    if not letters.fixed:
        sheet = {"C": "channel and tubesheet in one", "D": "channel and tubesheet"}.get(letters.front, "tubesheet")
        yield TUBESHEET_SHELL, f"{sheet} to {'kettle flange' if letters.shell == 'K' else 'shell'}", _SHELL, ""


def _rear(letters: Letters, shell_cover: bool) -> Iterator[_Called]:
    match letters.rear:
        case "S" | "T":
            how = "split backing ring" if letters.rear == "S" else "bolted to it"
            yield FLOATING_HEAD, f"floating head cover to floating tubesheet, {how}", _TUBE, "rear"
        case "L" | "M":
            yield REAR_HEAD, ("rear channel" if letters.rear == "L" else "rear bonnet") + " to tubesheet", _TUBE, "rear"
        case "P":
            yield REAR_HEAD, "rear cover to floating tubesheet skirt", _TUBE, "rear"
            yield STUFFING_BOX, "packing between shell and floating tubesheet skirt", _SHELL, ""
        case "W":
            yield SHELL_PACKING, "lantern ring, packing on the shell side", _SHELL, ""
            yield CHANNEL_PACKING, "lantern ring, packing on the rear channel side", _TUBE, ""
    if letters.rear in "LN":
        yield REAR_COVER, "rear cover to rear channel", _TUBE, "rear"
    if shell_cover:
        yield SHELL_COVER, "shell cover to shell", _SHELL, ""
