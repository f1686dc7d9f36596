"""Where nozzles, vents and drains usually stand on an exchanger of these letters: drawn there while the file does not say where they do."""

from __future__ import annotations

from dataclasses import dataclass

from boxup.drawing.frame import GAP, Frame, mm, pipe_across, usual_length
from boxup.drawing.inside import quarters
from boxup.drawing.shell import narrows, wall_from, wall_to, weir_at, widens
from boxup.exchanger.model import Nozzle, Opening

TOP, BOTTOM = 12.0, 6.0


@dataclass(frozen=True, slots=True)
class Stand:
    """x from the inner face of the stationary tubesheet, mm; hour of the clock seen from the front."""

    x: float
    clock: float


def usual_stands(f: Frame) -> dict[str, Stand]:
    """The places of those that have none in the file, by id."""
    found: dict[str, Stand] = {}
    lost = [n for n in f.exchanger.nozzles if n.position is None or n.clock is None]
    shell, tube = ([n for n in lost if n.side == side] for side in ("shell", "tube"))
    found |= dict(zip((n.id for n in _inlets_first(shell)), _shell(f, _inlets_first(shell)), strict=False))
    found |= dict(zip((n.id for n in _inlets_first(tube)), _tube(f), strict=False))
    taken = [(s.x, s.clock, 0.0) for s in found.values()]
    taken += [(n.position.to("mm"), n.clock.si, 0.0) for n in f.exchanger.nozzles if n.position is not None and n.clock is not None]
    wide = max((pipe_across(n, f.bore * 0.4) for n in f.exchanger.nozzles), default=0.0) * 0.61 + 70
    for o in f.exchanger.openings:
        if o.kind in ("vent", "drain") and (o.position is None or o.clock is None):
            found[o.id] = _small(f, o, [(x - wide, x + wide, clock) for x, clock, _ in taken])
            taken.append((found[o.id].x, found[o.id].clock, 0.0))
    return found


def _inlets_first(nozzles: list[Nozzle]) -> list[Nozzle]:
    return sorted(nozzles, key=lambda n: not n.duty.startswith("inlet"))


def _ends(f: Frame) -> tuple[float, float]:
    """Nozzles of the shell near its front and near its rear."""
    across = [pipe_across(n, f.bore * 0.3) for n in f.exchanger.nozzles if n.side == "shell"]
    rim = max(across, default=f.bore * 0.3) * 0.61 + 56
    front = (widens(f)[1] if f.up else wall_from(f)) + rim
    slope = narrows(f) if f.up else None
    last = slope[0] if slope else wall_to(f)
    return min(front, f.far * 0.3), max(last - rim, f.far * 0.7)


def _shell(f: Frame, nozzles: list[Nozzle]) -> list[Stand]:
    """By the shell's letter: how the flow goes. Inlets come first."""
    front, rear = _ends(f)
    middle, n = f.far / 2, len(nozzles)
    ins = sum(x.duty.startswith("inlet") for x in nozzles) or n - n // 2
    match f.exchanger.letters.shell:
        case "F":
            return [Stand(front, TOP), Stand(front, BOTTOM)]
        case "G":
            return [Stand(middle, TOP), Stand(middle, BOTTOM)]
        case "H":
            low, high = quarters(f)
            return [*(Stand(x, TOP) for x in (low, high)[:ins]), *(Stand(x, BOTTOM) for x in ((low, high) if n - ins > 1 else (high, low)))]
        case "J" if ins > 1:
            return [Stand(front, TOP), Stand(rear, TOP), Stand(middle, BOTTOM)]
        case "J":
            return [Stand(middle, TOP), Stand(front, BOTTOM), Stand(rear, BOTTOM)]
        case "K":
            after = min(weir_at(f) + f.bore * 0.3, f.shell_end)
            return [*(Stand(middle, BOTTOM) for _ in range(ins)), Stand(middle, TOP), Stand(after, BOTTOM)]
        case "X":
            return [*_along(f, ins, TOP), *_along(f, n - ins, BOTTOM)]
        case _:
            return [Stand(front, TOP), Stand(rear, BOTTOM)]


def _along(f: Frame, n: int, clock: float) -> list[Stand]:
    """One in the middle; more at even distances, so that each has its share of the bundle."""
    front, rear = _ends(f)
    if n == 1:
        return [Stand(f.far / 2, clock)]
    return [Stand(front + (rear - front) * i / (n - 1), clock) for i in range(n)]


def _tube(f: Frame) -> list[Stand]:
    """An even number of passes comes and goes at the front; an odd one leaves at the rear."""
    e = f.exchanger
    length = mm(e.channel.length, f.bore * usual_length(f))
    start = -f.sheet - (0.0 if f.one_piece else GAP)
    x = start - length * (0.62 if e.letters.front == "B" else 0.36 if e.letters.front == "D" else 0.5)
    odd = e.tubes.passes is not None and round(e.tubes.passes.si) % 2 == 1
    if odd and e.letters.rear in "LMNW":
        reach = mm(e.rear_head.length, f.bore * (1.1 if e.letters.rear in "LN" else 0.5))
        return [Stand(x, BOTTOM), Stand(f.far + f.far_sheet + reach * 0.55, TOP)]
    return [Stand(x, BOTTOM), Stand(x, TOP)]


def _small(f: Frame, o: Opening, taken: list[tuple[float, float, float]]) -> Stand:
    """A vent at the top, a drain at the bottom, clear of the nozzles; where there is no room, beside them."""
    clock = TOP if o.kind == "vent" else BOTTOM
    if o.side == "tube":
        start = -f.sheet - (0.0 if f.one_piece else GAP)
        return Stand(start - mm(f.exchanger.channel.length, f.bore * usual_length(f)) * 0.25, 1.5 if clock == TOP else 4.5)
    front, rear = _ends(f)
    for x in (rear, front, rear - f.bore * 0.3, front + f.bore * 0.4, rear - f.bore * 0.55):
        if not any(a < x < b and abs(hour - clock) < 1 for a, b, hour in taken):
            return Stand(x, clock)
    return Stand(rear, 1.5 if clock == TOP else 4.5)
