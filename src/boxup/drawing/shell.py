"""The shell between its ends: its wall, a kettle's wide body and weir, an expansion joint, for the stretch that one view shows."""

from __future__ import annotations

from itertools import pairwise
from math import pi, sin

from boxup.drawing.frame import GAP, HUB, Frame, flange, joint_at, pipe_across
from boxup.drawing.packed import BOX
from boxup.drawing.part import Openings, Part, Room, Shape, barrel, both, necked, poly, rect
from boxup.drawing.svg import Point
from boxup.exchanger.joints import SHELL_COVER, SHELL_PACKING, TUBESHEET_SHELL


def shell_parts(f: Frame, start: float, stop: float, openings: Openings) -> list[Part]:
    """The shell's own metal from x = start to stop."""
    shapes: list[Shape] = []
    if not f.fixed and start < wall_from(f):
        rim = flange(joint_at(f.exchanger, TUBESHEET_SHELL), f.bore, f.wall, f.exchanger.channel)
        shapes += both(necked(GAP, 1, rim.thick, f.bore, f.wall, rim.outer, HUB))
    first, last = max(start, wall_from(f)), min(stop, wall_to(f))
    at = bellows_at(f, openings)
    if at is not None:
        openings = [*openings, *((at, at + bellows_length(f), side) for side in (1, -1))]
        if start <= at and at + bellows_length(f) <= stop:
            shapes += both(_bellows(f, at))
    if f.body > f.bore:
        shapes += _kettle(f, first, last, openings)
    else:
        shapes += barrel(first, last, f.bore, f.wall, openings)
    return [Part("shell", tuple(shapes))]


def wall_from(f: Frame) -> float:
    """Where the plain wall of the shell begins behind its front flange."""
    if f.fixed:
        return 0.0
    return GAP + flange(joint_at(f.exchanger, TUBESHEET_SHELL), f.bore, f.wall, f.exchanger.channel).thick + HUB


def wall_to(f: Frame) -> float:
    """Where it ends before what closes the rear."""
    rear = f.exchanger.letters.rear
    if rear == "P":
        return f.shell_end - f.bore * BOX - HUB
    kind = SHELL_PACKING if rear == "W" else SHELL_COVER if f.covered else ""
    return f.shell_end - (flange(joint_at(f.exchanger, kind), f.bore, f.wall).thick + HUB if kind else 0.0)


def shell_room(f: Frame, start: float, stop: float) -> Room:
    """The shell side inside this stretch of the shell."""
    end = f.shell_end - (f.bore * BOX if f.exchanger.letters.rear == "P" else 0.0)
    low, high = max(start, 0.0), min(stop, end)
    top = [p for p in _roof(f, end) if low < p[0] < high]
    edges = [(low, roof(f, low)), *top, (high, roof(f, high))]
    return Room("shell", (*edges, (high, -f.bore), (low, -f.bore)))


# ------------------------------------------------------------------ kettle


def widens(f: Frame) -> tuple[float, float]:
    """From x, to x: where a kettle widens behind its front flange; its bottom is level."""
    first = wall_from(f) + 12
    return first, first + 2 * f.up * 0.75


def narrows(f: Frame) -> tuple[float, float] | None:
    """Where it narrows again to a rear end of the port's size."""
    if f.ends_wide:
        return None
    last = wall_to(f) - 12
    return last - 2 * f.up * 0.75, last


def weir_at(f: Frame) -> float:
    """Behind the bundle in a closed kettle; else before the end of the wide part, with the bundle passing through its plate."""
    if f.closed:
        rear = f.limit if f.exchanger.letters.rear == "U" else f.far_sheet + f.bore * 0.85
        return _before_outlets(f, f.far + rear + 25)
    slope = narrows(f)
    return (slope[0] if slope else wall_to(f)) - f.bore * 0.62


def _before_outlets(f: Frame, x: float) -> float:
    """The weir clear of the neck of a bottom nozzle behind it: on one line they read as one wall."""
    least, clear = x - f.bore * 0.19, f.bore * 0.12  # so much nearer to the bundle's end it may stand
    for n in f.exchanger.nozzles:
        if n.side == "shell" and n.position is not None and n.clock is not None and 5 < n.clock.si < 7:
            wall = n.position.to("mm") - pipe_across(n, f.bore * 0.3) / 2
            if abs(x - wall) < clear:
                x = max(least, wall - clear)
    return x


def roof(f: Frame, x: float) -> float:
    """Height of the shell's inside over the bundle's axis at x."""
    points = _roof(f, f.shell_end)
    for a, b in pairwise(points):
        if a[0] <= x <= b[0]:
            return a[1] + (b[1] - a[1]) * (x - a[0]) / ((b[0] - a[0]) or 1.0)
    return points[-1][1] if x > points[-1][0] else points[0][1]


def _roof(f: Frame, end: float) -> list[Point]:
    """The inside of the upper wall from the front to the rear."""
    if f.body == f.bore:
        return [(0.0, f.bore), (end, f.bore)]
    top, low, slope = f.body + f.up, widens(f), narrows(f)
    back = [(slope[0], top), (slope[1], f.bore), (end, f.bore)] if slope else [(end, top)]
    return [(0.0, f.bore), (low[0], f.bore), (low[1], top), *back]


def _kettle(f: Frame, first: float, last: float, openings: Openings) -> list[Shape]:
    """Level at the bottom, wide above; the weir keeps the bundle under the liquid, the rest above it is vapour space."""
    top, t, low, slope = f.body + f.up, f.wall, widens(f), narrows(f)
    lower = [s for s in barrel(first, last, f.bore, t, openings) if s.steps[0][2] < 0]
    shapes, ends = lower, (low[1], slope[0] if slope else last)
    if first < low[1]:
        shapes += [rect("wall", first, f.bore, low[0], f.bore + t), _slant(low, (f.bore, top), t)]
    if slope and last > slope[0]:
        shapes += [_slant(slope, (top, f.bore), t), rect("wall", slope[1], f.bore, max(last, slope[1]), f.bore + t)]
    shapes += [s for s in barrel(max(first, ends[0]), min(last, ends[1]), top, t, openings) if s.steps[0][2] > 0]
    weir = weir_at(f)
    if first < weir < last:
        high = min(f.limit + f.bore * 0.22, f.bore + f.up)
        foot = [rect("wall", weir - 5, -f.bore, weir + 5, high)]
        shapes += foot
    return shapes


def _slant(x: tuple[float, float], y: tuple[float, float], t: float) -> Shape:
    return poly("wall", (x[0], y[0]), (x[1], y[1]), (x[1], y[1] + t), (x[0], y[0] + t))


# ------------------------------------------------------------------ expansion joint


def bellows_length(f: Frame) -> float:
    """Two waves."""
    return f.bore * 0.36


def bellows_at(f: Frame, openings: Openings) -> float | None:
    """Where the expansion joint of a fixed exchanger is drawn, clear of its nozzles; None where the file does not say it has one."""
    if not (f.fixed and f.exchanger.options.get("xj")):
        return None
    long, room = bellows_length(f), f.bore * 0.12
    for x in (f.far - f.bore * s - long for s in (0.35, 0.6, 0.85)) if f.body == f.bore else ():
        if all(b + room < x or a - room > x + long for a, b, _ in openings):
            return x
    return f.bore * 0.3 if f.body == f.bore else 8.0


def _bellows(f: Frame, at: float) -> Shape:
    """The wall in two waves outward."""
    n, long, high, t = 24, bellows_length(f), f.bore * 0.2, max(f.wall * 0.6, 9.0)
    wave = [(at + long * i / n, high * sin(2 * pi * i / n) ** 2) for i in range(n + 1)]
    return poly("wall", *((x, f.bore + y) for x, y in wave), *((x, f.bore + y + t) for x, y in reversed(wave)))
