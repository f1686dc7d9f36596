"""What on a bundle says which way up it goes: impingement plates, bars, notches, match mark, dowel, baffle cut, long baffle.

Clock positions are those of the bundle in its place, seen from the front: 12 is up. A key of its own wins; where there is none they are
read out of the words of the file ("two, at 5 and 7 o'clock"), and said to be.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from boxup.exchanger.joints import CHANNEL_SHELL, group_of
from boxup.exchanger.model import Exchanger, Nozzle, Studs

_HOURS = r"(\d{1,2}(?:\.\d+)?(?:(?:\s*,\s*|\s+and\s+|\s*,\s*and\s+)\d{1,2}(?:\.\d+)?)*)"
_AT = re.compile(rf"\bat {_HOURS}", re.I)
_DOWEL = re.compile(rf"\bdowel[^;,]*? at {_HOURS}", re.I)
_NUMBER = re.compile(r"\d{1,2}(?:\.\d+)?")
_NONE = re.compile(r"\s*(none|no)\b", re.I)
LONG = {"F": "horizontal", "G": "horizontal", "H": "horizontal"}  # shells with a baffle along them; nozzles above and below it


@dataclass(frozen=True, slots=True)
class Plate:
    """An impingement plate under a shell inlet: the nozzle, its clock position, mm from the inner face of the stationary tubesheet."""

    nozzle: str
    clock: float
    position: float | None


@dataclass(frozen=True, slots=True)
class WayMarks:
    """Everything the file gives. `plates` is None where nobody said whether there are any, () where there are none.

    `strange`: sentences on what does not fit; `from_words`: keys that were read out of words.
    """

    plates: tuple[Plate, ...] | None
    bars: tuple[float, ...]
    notches: tuple[float, ...]
    mark: float | None
    dowel: float | None
    first_cut: str
    cut_direction: str
    long_baffle: str
    pattern: int | None
    studs: int | None
    studs_id: str
    strange: tuple[str, ...] = ()
    from_words: tuple[str, ...] = ()


def said_hours(hours: Iterable[float]) -> str:
    """Clock hours as they are read off, each once: `5 and 7`, `11 and 1`. Clockwise over the shortest way; of two as short, from 12 on."""
    found = sorted({round(h, 2) % 12 for h in hours})
    turns = [found[i:] + found[:i] for i in range(len(found))]
    way = min(turns, key=lambda t: (t[-1] - t[0]) % 12, default=[])
    return " and ".join(f"{h or 12:g}" for h in way)


def said_pose(m: WayMarks, *, bars: bool = True) -> str:
    """What stands at which clock hour, in a line: `plate at 12, facing N1; bars at 5 and 7; first cut up`."""
    parts = []
    if m.plates:
        names = " and ".join(p.nozzle for p in m.plates)
        parts.append(f"plate{'s' * (len(m.plates) > 1)} at {said_hours(p.clock for p in m.plates)}, facing {names}")
    if m.bars and bars:
        parts.append(f"bars at {said_hours(m.bars)}")
    parts += [f"match mark at {m.mark:g}"] if m.mark else []
    parts += [f"first cut {m.first_cut}"] if m.first_cut else []
    return "; ".join(parts)


def way_marks(exchanger: Exchanger) -> WayMarks:
    """The marks of this bundle. Never raises: what cannot be read is said in `strange`."""
    b, strange, words = exchanger.bundle, list[str](), list[str]()
    bars = _hours("bars_at", b.bars_at, b.sliding_bars, _AT, strange, words)
    mark = _hours("mark_at", b.mark_at, _before_dowel(b.match_mark), _AT, strange, words)
    dowel = _hours("dowel_at", b.dowel_at, b.match_mark, _DOWEL, strange, words)
    notches = _hours("notches_at", b.notches_at, "", _AT, strange, words)
    plates = _plates(exchanger, strange, words)
    studs = bundle_studs(exchanger)
    return WayMarks(
        plates, bars, notches, mark[0] if mark else None, dowel[0] if dowel else None, exchanger.baffles.first_cut,
        exchanger.baffles.cut_direction or _direction(exchanger.baffles.first_cut), b.long_baffle or LONG.get(exchanger.letters.shell, ""),
        round(exchanger.tubes.pattern.si) if exchanger.tubes.pattern else None,
        round(studs.count.si) if studs and studs.count else None, studs.id if studs else "", tuple(strange), tuple(words),
    )  # fmt: skip


def bundle_studs(exchanger: Exchanger) -> Studs | None:
    """The studs that hold the stationary tubesheet to the shell: their circle sets the turns there are."""
    return next((j.studs for j in exchanger.joints if group_of(j.kind) == CHANNEL_SHELL and j.studs), None)


def inlets(exchanger: Exchanger) -> tuple[Nozzle, ...]:
    """Shell nozzles whose duty is said to be inlet."""
    return tuple(n for n in exchanger.nozzles if n.side == "shell" and "inlet" in n.duty.lower())


def _direction(first_cut: str) -> str:
    return "" if not first_cut else "horizontal" if first_cut in ("up", "down") else "vertical"


def _before_dowel(text: str) -> str:
    return re.split(r"\bdowel\b", text, maxsplit=1, flags=re.I)[0]


def _hours(key: str, said: str, words: str, pattern: re.Pattern[str], strange: list[str], from_words: list[str]) -> tuple[float, ...]:
    """Clock positions of a key, else out of words."""
    if said:
        return () if _NONE.match(said) else _clocks(key, said, strange)
    found = pattern.search(words)
    if not found:
        return ()
    from_words.append(key)
    return _clocks(key, found[1], strange)


def hours_in(key: str, text: str, *, words: bool = False) -> tuple[float, ...]:
    """Clock positions a text gives, by itself or in words; () where it gives none, or none that is one."""
    if words:
        found = _AT.search(_before_dowel(text))
        text = found[1] if found else ""
    return () if not text or _NONE.match(text) else _clocks(key, text, [])


def _clocks(key: str, text: str, strange: list[str]) -> tuple[float, ...]:
    hours = [float(n) for n in _NUMBER.findall(text)]
    if not hours or any(not 0 < h <= 12 for h in hours):
        strange.append(f'[bundle] {key} is {text!r}: accepted are clock positions from 1 to 12, for example "5, 7", or "none"')
        return ()
    return tuple(hours)


def _plates(exchanger: Exchanger, strange: list[str], words: list[str]) -> tuple[Plate, ...] | None:
    b = exchanger.bundle
    text = b.plates_under or b.impingement_plate
    if not text:
        return None
    if _NONE.match(text):
        return ()
    named = [n for n in exchanger.nozzles if re.search(rf"(?<![\w-]){re.escape(n.id)}(?![\w-])", text)]
    if not named:
        strange.append(f"the file says of the impingement plate {text!r}, and not under which nozzle: give plates_under in [bundle]")
        return None
    if not b.plates_under:
        words.append("plates_under")
    wrong = [n.id for n in named if n not in inlets(exchanger)]
    if wrong:
        strange.append(
            f"impingement plate under {', '.join(wrong)}, which the file does not call a shell inlet: look at nozzle and drawing"
        )
    if lost := [n.id for n in named if n.clock is None]:
        strange.append(f"{', '.join(lost)} has a plate under it and no clock position in the file")
    return tuple(Plate(n.id, n.clock.si, n.position.to("mm") if n.position else None) for n in named if n.clock)
