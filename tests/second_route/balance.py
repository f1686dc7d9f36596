"""The window of a joint and its load in every state a second way: limits by halving, springs as a set of equations."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import pi
from typing import Any

from .flanges import Clamped, Part, modulus
from .given import si
from .plates import halved, solve

# Mean growth from 70 °F in millionths to the degree F, steel of group 1 (Table TE-1, from memory), by degrees F.
GROWTH = {70: 6.4, 200: 6.7, 300: 6.9, 400: 7.1, 500: 7.3, 600: 7.4, 650: 7.5, 700: 7.6}
USUAL_SHARE = 0.7
LEAST_OF_YIELD, MOST_OF_YIELD = 0.4, 0.7


@dataclass
class Sealed:
    """A gasket: its joint, its table in the file, area, and what pulls at it in each state (end forces; below nothing presses it on)."""

    joint: str
    file: dict[str, Any]
    area: float
    g: float
    design: float
    test: float
    outside: float | None
    parts: list[tuple[str, Part]]

    def end(self, pressure: float) -> float:
        return pi / 4 * self.g**2 * pressure

    def kept(self) -> float:
        return float(self.file.get("retained", USUAL_SHARE))

    def pushes(self) -> dict[str, tuple[str, float]]:
        """State -> (mark of the pressure's moment, end force)."""
        found = {"o": ("o", self.end(self.design)), self.own: ("t", self.end(self.test))}
        return found | ({"st": ("x", -self.end(self.outside))} if self.outside else {})

    own: str = ""  # the test that presses it from inside: tt, st
    outside_hot: float | None = None


def window(pull: Callable[[float], float], studs: dict[str, Any], stud_yield: float, gaskets: Sequence[Sealed]) -> dict[str, float]:
    """Every limit of the window, and its two ends."""
    low = {"S_b1": si(studs["least_stress"]) if "least_stress" in studs else LEAST_OF_YIELD * stud_yield}
    high = {"S_b2": si(studs["most_stress"]) if "most_stress" in studs else MOST_OF_YIELD * stud_yield}
    for k in gaskets:
        least, most = si(k.file["operating_stress"]), si(k.file["crush_stress"])
        wanted: dict[str, tuple[Callable[[float], float], float]] = {
            "L_s": (lambda s, k=k: pull(s) / k.area, si(k.file["seating_stress"])),
            "L_o": (lambda s, k=k: (k.kept() * pull(s) - k.end(k.design)) / k.area, least),
            "L_t": (lambda s, k=k: (pull(s) - k.end(k.test)) / k.area, least),
        }
        low |= {f"{name}_{k.joint}": halved(lambda s, on=on, want=want: on(s) - want, 1e8) for name, (on, want) in wanted.items()}
        high[f"U_c_{k.joint}"] = halved(lambda s, k=k, most=most: pull(s) / k.area - most, 1e8)
        for symbol, outside in (("U_x", k.outside), ("U_d", k.outside_hot)):
            if not outside:
                continue
            pressed = k.end(outside)
            high[f"{symbol}_{k.joint}"] = halved(lambda s, k=k, p=pressed, most=most: (pull(s) + p) / k.area - most, 1e8)
        for name, part in k.parts:
            high |= {f"{symbol}_{name}": v for symbol, v in part.values.items() if symbol.startswith("U_")}
            if part.rotation and "rotation" in k.file:
                stood = si(k.file["rotation"])
                high[f"U_r_{name}"] = halved(lambda s, r=part.rotation, stood=stood: r(s) - stood, 1e8)
    return low | high | {"S_low": max(low.values()), "S_up": min(high.values())}


def moved(studs: dict[str, Any], stud: dict[str, float], c: Clamped, gaskets: Sequence[Sealed], hot: float) -> dict[str, float]:
    """The load of the studs and the stress on each gasket in every state. `hot`: °C at which studs and flanges are in service."""
    pulled, count = c.pull(c.target), c.count
    length = si(studs["grip"]) + c.stud
    give = {"studs": length / (modulus(studs["grade"]) * count * stud["A_s"])}
    give |= {k.joint: si(k.file["thickness"]) / (si(k.file["unloading_modulus"]) * k.area) for k in gaskets}
    found = {"L_eff": length, "X_B": give["studs"]} | {f"X_G_{k.joint}": give[k.joint] for k in gaskets}
    found |= {f"X_F_{name}": p.turn * p.arm**2 for k in gaskets for name, p in k.parts}
    states = {state for k in gaskets for state in k.pushes()}
    for state in sorted(states):
        all_, left = _settled(pulled, give, gaskets, state)
        found |= {f"W_{state}": all_, f"F_{state}": all_ / count}
        found |= {f"S_{state}_{k.joint}": n / k.area for k, n in zip(gaskets, left, strict=True)}
    # 10 K that the flanges are hotter: the same equations with the stack grown and no pressure.
    whole = sum(v for s, v in found.items() if s.startswith("X_"))
    return found | {"Y": whole, "dF": _settled(0.0, give, gaskets, "", mean_growth(hot) * 10 * si(studs["grip"]))[0] / count}


def _settled(pulled: float, give: dict[str, float], gaskets: Sequence[Sealed], state: str, grown: float = 0.0) -> tuple[float, list[float]]:
    """(load of all studs, load on each gasket). Unknown: both; equations: each gasket in balance, and no gap anywhere in the stack."""
    rows, right = [], []
    turn = turned = 0.0
    for i, k in enumerate(gaskets):
        mark, end = k.pushes().get(state, ("", 0.0))
        rows.append([1.0, *(-1.0 if i == j else 0.0 for j in range(len(gaskets)))])
        right.append(end)  # studs less gasket is the end force
        turn += sum(p.turn * p.arm**2 for _, p in k.parts)
        turned += sum(p.turn * p.arm * p.pressed.get(mark, 0.0) for _, p in k.parts)
    stack = [give[k.joint] for k in gaskets]
    rows.append([give["studs"] + turn, *stack])
    right.append((give["studs"] + turn + sum(stack)) * pulled - turned + grown)
    all_, *left = solve(rows, right)
    return all_, left


def mean_growth(celsius: float) -> float:
    """To the kelvin, by a line between two rows of the table."""
    f = celsius * 1.8 + 32
    low = max(k for k in GROWTH if k <= f + 1e-9)
    high = min((k for k in GROWTH if k > low), default=low)
    share = (f - low) / (high - low) if high > low else 0.0
    return (GROWTH[low] + share * (GROWTH[high] - GROWTH[low])) * 1.8e-6
