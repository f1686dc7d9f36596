"""Whether one rate of loss stands for a whole hold: a bend, a loss that begins late, a jump.

What is found keeps a hold from ruling a leak out. Minutes, kelvin, mL; pressure in any one unit.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from boxup.hydro.hold_log import Array, Doubt, EvenLog

FEWEST = 6  # readings or blocks under which no bend is looked for, nor a leak ruled out
CURVED, SLOWING = 4.0, 3.0  # |t| of the bend from which a rate is unsteady; a loss that dies away, as dissolving air does, from less
OF_LEAK = 0.2  # the bend must also be so much of the leak
LATER, SURE = 4.0, 2.0  # t from which a loss begins late, and sd by which it then stands over what would be ruled out
FIRST = 0.3  # of the hold: nothing begins late before
JUMP, GRADUATIONS = 6.0, 1.5  # a jump is so many usual changes from minute to minute, and so many graduations
MINUTES = 60  # the log is looked at in about so many means for a jump
MAD = 1.4826  # of a normal spread: its sd over its median absolute deviation


@dataclass(frozen=True, slots=True)
class Break:
    """Where one rate no longer holds: from which minute, and by how much: `late` mL/min lost then, `rise` or `fall` pressure at once."""

    kind: Literal["late", "rise", "fall"]
    minute: float
    amount: float


def unsteady(log: EvenLog, rise: float, volume: float, doubt: Doubt, leak: float, sd: float) -> tuple[str, ...]:
    """Whether the corrected pressure bends more than its own noise explains, serial correlation allowed for."""
    k = log.blocks
    if k < FEWEST:
        return ()
    q = (np.arange(k) - (k - 1) / 2) / k
    x = np.column_stack([np.ones(k), q, q * q])
    z = log.cut(log.pressure).mean(1) - rise * log.cut(log.kelvin).mean(1)
    inverse = np.linalg.inv(x.T @ x)
    b = inverse @ (x.T @ z)
    spread = _spread((z - x @ b)[None, :], doubt.floor(rise), 3)[0]
    curve = b[2] / (spread * np.sqrt(inverse[2, 2]))
    change = abs(b[2]) / log.hours * volume
    bent = curve > SLOWING or curve < -CURVED
    return ("rate not steady",) if bent and change > max(sd, OF_LEAK * abs(leak)) else ()


def _spread(left: Array, floor: float, fitted: int) -> Array:
    """1 sd of one reading by what is left of each fit, as if each stood alone: serial correlation makes it larger. (fits, k)."""
    k = left.shape[1]
    power = np.maximum((left**2).sum(1), k * floor**2)
    r = np.clip((left[:, 1:] * left[:, :-1]).sum(1) / power + 3 / k, 0.0, 0.85)
    spread: Array = np.sqrt(power / (k - fitted) * (1 + r) / (1 - r))
    return spread


def breaks(log: EvenLog, line: Array, rise: float, volume: float, doubt: Doubt, most: float) -> tuple[Break, ...]:
    """A loss that begins late and is more than the `most` mL/min that would be ruled out, and jumps. `line`: the pressure of each block,
    the warming taken out."""
    if log.blocks < FEWEST:
        return ()
    late, jump = _late(log, line, volume, doubt, rise, most), _jump(log, rise, doubt)
    if late and jump and jump.kind == "fall":
        jump = None  # the late loss itself
    return tuple(b for b in (late, jump) if b is not None)


def _late(log: EvenLog, line: Array, volume: float, doubt: Doubt, rise: float, most: float) -> Break | None:
    """Two straight lines that meet, the second steeper: for every block they may meet at."""
    k = log.blocks
    at = np.arange(k, dtype=float)
    meet = np.arange(int(np.ceil(FIRST * k)), k - 1, dtype=float)
    x = np.stack([np.broadcast_to(np.ones(k), (len(meet), k)), np.broadcast_to(at, (len(meet), k)), np.maximum(at - meet[:, None], 0)], 2)
    inverse = np.linalg.inv(np.swapaxes(x, 1, 2) @ x)
    b = (inverse @ (np.swapaxes(x, 1, 2) @ line)[..., None])[..., 0]
    spread = _spread(line - (x @ b[..., None])[..., 0], doubt.floor(rise), 4)
    off = spread * np.sqrt(inverse[:, 2, 2])
    worst = int(np.argmin(b[:, 2] / off))
    block = log.dt * log.each
    both = np.array([0.0, 1.0, 1.0])
    rate = -float(both @ b[worst]) / block * volume
    sure = rate - SURE * float(spread[worst] * np.sqrt(both @ inverse[worst] @ both)) / block * volume
    fallen = -b[worst, 2] * (k - 1 - meet[worst])
    if b[worst, 2] < -LATER * off[worst] and sure > most and fallen > GRADUATIONS * doubt.graduation(rise):
        return Break("late", (meet[worst] + 0.5) * block, rate)
    return None


def _jump(log: EvenLog, rise: float, doubt: Doubt) -> Break | None:
    """The largest change from minute to minute that neither the slope, nor the usual unrest, nor graduations explain."""
    m = max(1, len(log.t) // MINUTES)
    k = len(log.t) // m
    apart = 2 if m > 1 else 1  # a jump within a mean shows whole only over the next
    pressure, kelvin = (x[: k * m].reshape(k, m).mean(1) for x in (log.last_pressure, log.last_kelvin))
    warming = rise * (kelvin[apart:] - kelvin[:-apart])
    change = pressure[apart:] - pressure[:-apart] - warming
    usual = float(np.median(change))
    unrest = MAD * float(np.median(np.abs(change - usual)))
    worst = int(np.argmax(np.abs(change - usual)))
    jump = float(change[worst] - usual)
    behind = float(np.abs(warming).max())  # a thermometer that lags may have it all still to show
    if abs(jump) <= max(JUMP * unrest, GRADUATIONS * doubt.graduation(rise), 1e-9) + behind:
        return None
    return Break("rise" if jump > 0 else "fall", (worst + apart / 2 + 0.5) * m * log.dt, abs(jump))
