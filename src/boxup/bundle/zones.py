"""The heat passed in a shell, as a boundary value problem. The shell is cut into zones; in each the shell fluid runs one way, well mixed
across, and tube passes run with it or against it, each with its own heat transfer and its own flow.

Scaled temperatures: the shell fluid comes in at 1, the tube fluid at 0. The zone is halved until it is thin, solved there by its
exponential series, and doubled again from what goes in to what comes out: nothing grows without bound however large the exchanger is.
Right as far as its own equations: shell fluid mixed across each zone, many baffles, no heat lost outside, constant properties.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import ceil, exp, log2

from boxup.bundle.small_matrix import Matrix, eye, plus, solve, times

THIN, TERMS = 0.25, 14  # of the exponential series: 0.25^15/15! is 1e-21


@dataclass(frozen=True, slots=True)
class Crossing:
    """A tube pass in one zone: U A of it there, the C of the fluid in it (one unit for both), and whether it runs with the shell fluid."""

    number: int
    ua: float
    c: float
    along: bool


@dataclass(frozen=True, slots=True)
class Zone:
    """A stretch of shell: the C of the shell fluid in it (None: it stays at one temperature), the passes, the zone it comes from."""

    shell_c: float | None
    crossings: tuple[Crossing, ...]
    after: int | None = None  # number of the zone the shell fluid comes from; None: the inlet


@dataclass(frozen=True, slots=True)
class Past:
    """A share of the tube fluid that leaves before pass `first` and comes back after pass `last`."""

    first: int
    last: int
    share: float


@lru_cache(maxsize=1024)  # the film of a design duty is sought among the same few again and again
def tube_outlet(zones: tuple[Zone, ...], path: tuple[tuple[int, int], ...], past: Past | None = None) -> float:
    """Scaled temperature of the tube fluid at its outlet: the P of the tube side. `path`: (pass, zone) in the order the tube fluid goes.

    C of the crossings must be that of the fluid really in them where some goes past.
    """
    maps = [_through(z) for z in zones]
    ports = [(z, slot) for z, zone in enumerate(zones) for slot in range(1 + len(zone.crossings))]
    place = {port: i for i, port in enumerate(ports)}
    rows, known = eye(len(ports)), [[0.0] for _ in ports]

    def out_of(z: int, slot: int) -> list[tuple[int, float]]:
        return [(place[z, k], share) for k, share in enumerate(maps[z][slot])]

    def join(port: int, sources: list[tuple[int, float]]) -> None:
        for i, share in sources:
            rows[port][i] -= share

    for z, zone in enumerate(zones):
        if zone.after is None:
            known[place[z, 0]] = [1.0]
        else:
            join(place[z, 0], out_of(zone.after, 0))
    stream: list[tuple[int, float]] = []  # what flows on, by what it is made of
    kept: list[tuple[int, float]] = []  # what was there where some left
    for number, z in path:
        slot = 1 + next(i for i, c in enumerate(zones[z].crossings) if c.number == number)
        if past and number == past.first and not kept:
            kept = [*stream, (-1, 0.0)]
        if past and number > past.last and kept:
            stream, kept = _mixed(stream, kept, past.share), []
        join(place[z, slot], stream)
        stream = out_of(z, slot)
    if past and kept:
        stream = _mixed(stream, kept, past.share)
    found = solve(rows, known)
    return sum(share * found[i][0] for i, share in stream if i >= 0)


def _mixed(stream: list[tuple[int, float]], kept: list[tuple[int, float]], share: float) -> list[tuple[int, float]]:
    return [(i, (1 - share) * s) for i, s in stream] + [(i, share * s) for i, s in kept if i >= 0]


def _through(zone: Zone) -> Matrix:
    """What comes out of each stream of the zone for what goes in: the shell first, then the passes in their order."""
    shell_ua = sum(c.ua for c in zone.crossings)
    size = max(shell_ua / zone.shell_c if zone.shell_c else 0.0, *(c.ua / c.c for c in zone.crossings))
    halvings = max(0, ceil(log2(max(size, 1e-12) / THIN)))
    ahead = [0, *(1 + i for i, c in enumerate(zone.crossings) if c.along)]
    back = [1 + i for i, c in enumerate(zone.crossings) if not c.along]
    if not back:
        return _only_ahead(_slopes(zone), halvings)
    slab = _thin(_slopes(zone), 0.5**halvings, ahead, back)
    for _ in range(halvings):
        slab = _doubled(slab)
    return _in_order(slab, ahead, back)


def _slopes(zone: Zone) -> Matrix:
    """d(temperature)/dx of every stream, x along the shell flow from 0 to 1."""
    n = 1 + len(zone.crossings)
    m = [[0.0] * n for _ in range(n)]
    for i, c in enumerate(zone.crossings, start=1):
        if zone.shell_c:
            m[0][0] -= c.ua / zone.shell_c
            m[0][i] += c.ua / zone.shell_c
        way = 1.0 if c.along else -1.0
        m[i][0] += way * c.ua / c.c
        m[i][i] -= way * c.ua / c.c
    return m


def _series(m: Matrix, h: float) -> Matrix:
    """exp(m h) by its series; m h is small."""
    term, total = eye(len(m)), eye(len(m))
    for k in range(1, TERMS + 1):
        term = [[x * h / k for x in row] for row in times(term, m)]
        total = plus(total, term)
    return total


def _only_ahead(m: Matrix, halvings: int) -> Matrix:
    t = _series(m, 0.5**halvings)
    for _ in range(halvings):
        t = times(t, t)
    return t


Slab = tuple[Matrix, Matrix, Matrix, Matrix]  # ahead = A in + B back in; back = C in + D back in


def _thin(m: Matrix, h: float, ahead: list[int], back: list[int]) -> Slab:
    t = _series(m, h)
    pp, pm, mp, mm = ([[t[i][j] for j in cols] for i in rows] for rows in (ahead, back) for cols in (ahead, back))
    d = solve(mm, eye(len(back)))
    c = [[-x for x in row] for row in times(d, mp)]
    return plus(pp, times(pm, c)), times(pm, d), c, d


def _doubled(s: Slab) -> Slab:
    """Two such slabs one behind the other."""
    a, b, c, d = s
    open_ = plus(eye(len(a)), times(b, c), -1.0)
    mid_a, mid_b = solve(open_, a), solve(open_, times(b, d))
    back_a, back_b = times(c, mid_a), plus(times(c, mid_b), d)
    return times(a, mid_a), plus(times(a, mid_b), b), plus(c, times(d, back_a)), times(d, back_b)


def _in_order(s: Slab, ahead: list[int], back: list[int]) -> Matrix:
    n = len(ahead) + len(back)
    whole = [[0.0] * n for _ in range(n)]
    for rows, cols, block in ((ahead, ahead, s[0]), (ahead, back, s[1]), (back, ahead, s[2]), (back, back, s[3])):
        for i, row in zip(rows, block, strict=True):
            for j, x in zip(cols, row, strict=True):
                whole[i][j] = x
    return whole


def counterflow(ntu: float, r: float) -> float:
    """P of pure counterflow: no shell and tubes do better. `ntu` of the tube side, `r` its C over the shell's (0: one temperature)."""
    if abs(1 - r) * max(ntu, 1.0) < 1e-9:
        return ntu / (1 + ntu)
    if r > 1:  # the same from the other side, so that nothing overflows
        return counterflow(ntu * r, 1 / r) / r
    e = exp(-ntu * (1 - r))
    return (1 - e) / (1 - r * e)
