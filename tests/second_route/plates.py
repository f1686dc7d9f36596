"""Plates, rings and hubs from their own equations: what Appendix 2 and UG-34 have in closed form comes here from sets of equations."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from math import log, pi, sqrt

POISSON = 0.3
STIFF = 12 * (1 - POISSON**2)  # E t^3 over it is the stiffness of a plate


def solve(rows: list[list[float]], right: list[float]) -> list[float]:
    """The unknowns of a set of linear equations, by elimination with the largest pivot."""
    m = [[*row, b] for row, b in zip(rows, right, strict=True)]
    for i in range(len(m)):
        top = max(range(i, len(m)), key=lambda k: abs(m[k][i]))
        m[i], m[top] = m[top], m[i]
        for k in range(len(m)):
            if k != i:
                share = m[k][i] / m[i][i]
                m[k] = [a - share * b for a, b in zip(m[k], m[i], strict=True)]
    return [row[-1] / row[i] for i, row in enumerate(m)]


def halved(over: Callable[[float], float], high: float) -> float:
    """Where a rising function passes nothing, between 0 and `high`; `high` is doubled until it does."""
    low = 0.0
    while over(high) < 0:
        low, high = high, 2 * high
    for _ in range(80):
        middle = (low + high) / 2
        low, high = (middle, high) if over(middle) < 0 else (low, middle)
    return high


# --- the hub: a strip on an elastic foundation, g growing evenly ---


@cache
def hub(taper: float, length: float) -> tuple[float, float, float]:
    """(F, V, f) of an integral hub: taper g1/g0, length h/h0. Held at the flange from moving outward, endless shell at its thin end."""
    spring = 4 * STIFF
    beta = (spring / 4) ** 0.25
    starts = []
    for w, turn in ((1.0, 0.0), (0.0, 1.0)):  # the shell: w'' = 2 beta w' - 2 beta^2 w, and so on
        bend = 2 * beta * turn - 2 * beta**2 * w
        starts.append([w, turn, bend, 2 * beta * bend - 2 * beta**2 * turn])
    ends = [_along(start, taper, length, spring) for start in starts]
    # No movement and a moment of 1 at the flange.
    a, b = solve([[ends[0][0], ends[1][0]], [ends[0][2], ends[1][2]]], [0.0, 1.0])
    shear, turn = (a * ends[0][i] + b * ends[1][i] for i in (3, 1))
    thin = a * starts[0][2] + b * starts[1][2]
    return abs(shear) / 2, 2 * abs(turn), max(1.0, abs(thin) * taper**2)


def _along(start: list[float], taper: float, length: float, spring: float, steps: int = 600) -> list[float]:
    """Deflection, slope, moment and shear at the flange, by Runge and Kutta."""

    def change(x: float, y: list[float]) -> list[float]:
        g = 1 + (taper - 1) * x / length
        return [y[1], y[2] / g**3, y[3], -spring * g * y[0]]

    def moved(y: list[float], by: float, k: list[float]) -> list[float]:
        return [a + by * b for a, b in zip(y, k, strict=True)]

    y, d = start, length / steps
    for i in range(steps):
        x = i * d
        k1 = change(x, y)
        k2 = change(x + d / 2, moved(y, d / 2, k1))
        k3 = change(x + d / 2, moved(y, d / 2, k2))
        k4 = change(x + d, moved(y, d, k3))
        y = [v + d / 6 * (p + 2 * q + 2 * r + s) for v, p, q, r, s in zip(y, k1, k2, k3, k4, strict=True)]
    return y


# --- the ring of a flange: a plate with a hole, pulled down at its outer edge and held at its inner one ---


def flange(outer: float, bore: float, t: float, modulus: float, hubbed: tuple[float, float, float] | None) -> dict[str, float]:
    """What a moment of 1 N·m does: S_H, S_R, S_T in Pa and the turn in rad. `hubbed`: g0, g1, h; None for a ring with a free edge."""
    a = outer / bore
    stiffness = modulus * t**3 / STIFF
    load = -1 / ((outer - bore) / 2)  # the couple as two forces round the edges
    k = load / (4 * pi * stiffness)
    nu = POISSON
    # The slope is C1 x + C2/x + k r x ln x with x = r/r_i. Unknown: C1, C2 and what the hub takes, a moment to the metre.
    grow, turn = 1.0, 0.0
    if hubbed:
        g0, g1, h = hubbed
        h0 = sqrt(bore * g0)
        shear, give, peak = hub(g1 / g0, h / h0 if h else 1.0)
        grow = 1 + shear * t / h0  # the shear at the back of the ring turns it too
        turn = give * h0 * STIFF / (2 * modulus * g0**3)
    radius = bore / 2
    free = [[1 + nu, -(1 - nu) / a**2, 0.0], [1 + nu, -(1 - nu), -grow * radius / stiffness], [1.0, 1.0, -turn]]
    if not hubbed:
        free[2] = [0.0, 0.0, 1.0]
    c1, c2, taken = solve(free, [-k * radius * ((1 + nu) * log(a) + 1), -k * radius, 0.0])
    round_about = stiffness / radius * ((1 + nu) * c1 + (1 - nu) * c2 + k * radius * nu)
    if not hubbed:
        # A ring that keeps its shape turns as a whole: E t^3/12 ln K 2 pi.
        return {"S_T": 6 * round_about / t**2, "turn": 12 / (2 * pi * modulus * t**3 * log(a))}
    pulled = 2 * shear * taken / h0 / t  # the shear also pulls the ring inward
    lame = (a**2 + 1) / (a**2 - 1)
    return {"S_H": peak * 6 * taken / g1**2, "S_R": 6 * grow * taken / t**2 + pulled,
            "S_T": 6 * round_about / t**2 - lame * pulled, "turn": turn * taken}  # fmt: skip


# --- a round plate carried at its edge ---


def edge_turn(diameter: float, t: float, modulus: float) -> float:
    """Turn of the edge, rad, for a total moment of 1 N·m spread round it."""
    to_the_metre, stiffness = 1 / (pi * diameter), modulus * t**3 / STIFF
    return to_the_metre * diameter / 2 / (stiffness * (1 + POISSON))


def edge_turn_of_pressure(diameter: float, t: float, modulus: float, pressure: float) -> float:
    """Turn of the edge under an even pressure, rad."""
    return pressure * (diameter / 2) ** 3 / (8 * modulus * t**3 / STIFF * (1 + POISSON))


def bow(diameter: float, t: float, modulus: float, pressure: float, moment: float) -> float:
    """How far the middle stands out, m: pressure and a total moment at the edge."""
    r, stiffness, nu = diameter / 2, modulus * t**3 / STIFF, POISSON
    return pressure * r**4 / (64 * stiffness) * (5 + nu) / (1 + nu) + moment / (pi * diameter) * r**2 / (2 * stiffness * (1 + nu))
