"""Each flange and cover of the demo exchangers a second way: forces about the axis, plates by their equations, limits by halving.

Every state is a function of the stud stress; what a part takes at most is where that function reaches its limit.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from math import pi, sqrt
from typing import Any

from .given import FLOATING, si
from .plates import bow, edge_turn, edge_turn_of_pressure, flange, halved

PSI = 6894.757293168
# Moduli at 70 °F in million psi, by what stands in the metal's name (Table TM-1, from memory).
MODULI = {"F11": 29.7, "F22": 30.6, "SA-266": 29.4, "SA-105": 29.4, "B7": 29.7}


def modulus(name: str) -> float:
    return next(million for word, million in MODULI.items() if word in name) * 1e6 * PSI


@dataclass
class Clamped:
    """What a flange sees: `pull` of all studs for a stud stress, G, bolt circle, stud size and count, and the pressures."""

    pull: Callable[[float], float]
    target: float
    g: float
    circle: float
    stud: float
    count: int
    design: float
    test: float
    outside: float | None = None
    ribs: bool = False
    outside_hot: float | None = None

    @property
    def arm(self) -> float:
        return (self.circle - self.g) / 2

    def states(self) -> list[tuple[str, float, str]]:
        """(mark, pressure inside, key of the yield); pressure on the outside counts as less than nothing."""
        found = [("a", 0.0, "yield_ambient"), ("o", self.design, "yield_design"), ("t", self.test, "yield_ambient")]
        found += [("x", -self.outside, "yield_ambient")] if self.outside else []
        return [*found, ("d", -self.outside_hot, "yield_design")] if self.outside_hot else found


@dataclass
class Part:
    """One flange worked: its values, its turn for a moment (rad/N·m) and arm, and the moment of the pressure in each state."""

    values: dict[str, float]
    turn: float
    arm: float
    pressed: dict[str, float] = field(default_factory=dict)
    rotation: Callable[[float], float] | None = None


def part(f: dict[str, Any], c: Clamped) -> Part:
    """A flange of the file."""
    return {"flat cover": _flat, "dished cover": _dished, "backing ring": _backing}.get(f["type"], _ring)(f, c)


def _ring(f: dict[str, Any], c: Clamped) -> Part:
    bore, t, outer, e = si(f["bore"]), si(f["thickness"]), si(f["od"]), modulus(f["material"])
    g0 = si(f["hub_small"]) if f["type"] == "integral" else None
    hubbed = (g0, si(f.get("hub_large", f["hub_small"])), si(f.get("hub_length", 0.0))) if g0 else None
    by = flange(outer, bore, t, e, hubbed)
    between, room = pi * c.circle / c.count, 2 * c.stud + t
    apart = sqrt(between / room) if between > room else 1.0
    middle = (bore + hubbed[1]) / 2 if hubbed else bore / 2  # radius at which the end force on the bore pulls

    def pressed(p: float) -> float:
        on_bore, beyond = p * pi / 4 * bore**2, p * pi / 4 * (c.g**2 - bore**2)
        return apart * (on_bore * (c.g / 2 - middle) + beyond * (c.g / 2 - (bore + c.g) / 4))

    def moment(stress: float, p: float) -> float:
        return apart * c.pull(stress) * (c.circle / 2 - c.g / 2) + pressed(p)

    found = {"Z_f": by["turn"], "h_f": c.arm}
    for mark, p, key in c.states():
        now, limit = moment(c.target, p), si(f[key])
        found |= {f"M_{mark}": now, **({f"M_p_{mark}": pressed(p)} if p else {}), f"theta_{mark}": by["turn"] * now}
        found |= {f"{k}_{mark}": v * now for k, v in by.items() if k != "turn"}
        found[f"u_{mark}"] = _share(by, now, limit)
        found[f"U_{mark}"] = halved(lambda s, p=p, limit=limit: _share(by, moment(s, p), limit) - 1, c.target)
    return Part(found, by["turn"], c.arm, {m: pressed(p) for m, p, _ in c.states() if p}, lambda s: by["turn"] * moment(s, 0.0))


def _share(by: dict[str, float], moment: float, limit: float) -> float:
    """The worst of 2-8, yield standing for the allowable stress."""
    hub, out, about = (by.get(k, 0.0) * moment / limit for k in ("S_H", "S_R", "S_T"))
    return max(hub / 1.5, out, about, (hub + out) / 2, (hub + about) / 2) if "S_H" in by else about


def _flat(f: dict[str, Any], c: Clamped) -> Part:
    t, e = si(f["thickness"]), modulus(f["material"])

    def stress(pulled: float, p: float) -> float:
        edge = c.pull(pulled) * c.arm / (pi * c.g)  # to the metre
        return 0.3 * p * (c.g / t) ** 2 + 6 * edge / t**2

    turn = edge_turn(c.g, t, e)
    found, pressed = {"Z_f": turn, "h_f": c.arm}, {}
    for mark, p, key in c.states():
        limit = si(f[key])
        found |= {f"S_{mark}": stress(c.target, p), f"u_{mark}": stress(c.target, p) / limit}
        found[f"U_{mark}"] = halved(lambda s, p=p, limit=limit: stress(s, p) - limit, c.target)
        if p:
            pressed[mark] = edge_turn_of_pressure(c.g, t, e, p) / turn
            found[f"M_p_{mark}"] = pressed[mark]
    if c.ribs:
        found |= {"y": bow(c.g, t, e, c.design, c.pull(c.target) * c.arm), "y_max": c.g / 800 if c.g > 0.6096 else 0.03 * 0.0254}
    return Part(found, turn, c.arm, pressed)


def _dished(f: dict[str, Any], c: Clamped) -> Part:
    bore, outer, t, crown = si(f["bore"]), si(f["od"]), si(f["thickness"]), si(f["crown_radius"])
    lever, e = si(f["head_lever"]), modulus(f["material"])
    sine = bore / 2 / (crown + si(f["head_thickness"]) / 2)

    def moment(pulled: float, p: float) -> float:
        """Forces by their radii; the dish pulls inward at its lever. On the outside the pressure does it all the other way."""
        studs, on_bore, beyond = c.pull(pulled), p * pi / 4 * bore**2, p * pi / 4 * (c.g**2 - bore**2)
        gasket = studs - on_bore - beyond
        return studs * c.circle / 2 - gasket * c.g / 2 - on_bore * bore / 2 - beyond * (c.g + bore) / 4 - on_bore * _flat_of(sine) * lever

    def stress(pulled: float, p: float) -> float:
        """1-6(g) asks for a thickness; the stress at which it asks for this one, by halving."""

        def spare(s: float) -> float:
            pull = abs(p) * bore * sqrt(4 * crown**2 - bore**2) / (8 * s * (outer - bore))
            twist = abs(moment(pulled, p)) / (s * bore) * (outer + bore) / (outer - bore)
            return t - pull - sqrt(pull**2 + twist)

        return halved(spare, 1e8)

    found, pressed = {"Z_f": 12 / (2 * pi * e * t**3 * _natural(outer / bore)), "h_f": c.arm}, {}
    for mark, p, key in c.states():
        limit, now = si(f[key]), stress(c.target, p)
        found |= {f"M_c_{mark}": moment(c.target, p), f"S_{mark}": now, f"u_{mark}": now / limit}
        found[f"U_{mark}"] = halved(lambda s, p=p, limit=limit: stress(s, p) - limit, c.target)
        if p:
            pressed[mark] = moment(c.target, p) - moment(c.target, 0.0)
            found |= {f"M_p_{mark}": pressed[mark], f"H_r_{mark}": abs(p) * pi / 4 * bore**2 * _flat_of(sine)}
            found[f"S_p_{mark}"] = abs(p) * pi / 4 * bore**2 * _flat_of(bore / 2 / crown) / (pi * (outer - bore) * t)
    return Part(found, found["Z_f"], c.arm, pressed)


def _flat_of(sine: float) -> float:
    """Across for one upward, of a pull at that angle."""
    return sqrt(1 - sine**2) / sine


def _natural(x: float, steps: int = 2000) -> float:
    """The natural logarithm as the area under 1/r, by strips."""
    d = (x - 1) / steps
    return sum(d / (1 + (i + 0.5) * d) for i in range(steps))


SPLIT = {"one piece": 1.0, "one split ring": 2.0, "two split rings": 0.75}  # 2-9


def _backing(f: dict[str, Any], c: Clamped) -> Part:
    by = flange(si(f["od"]), si(f["bore"]), si(f["thickness"]), modulus(f["material"]), None)
    arm = (c.circle - si(f["bearing_diameter"])) / 2

    def moment(stress: float) -> float:
        return SPLIT[f["halves"]] * c.pull(stress) * arm

    now = moment(c.target)
    found = {"M_r": now, "S_T_a": by["S_T"] * now, "theta_a": by["turn"] * now, "Z_f": by["turn"], "h_f": arm}
    for mark, key in (("a", "yield_ambient"), ("o", "yield_design")):
        limit = si(f[key])
        found |= {f"u_{mark}": by["S_T"] * now / limit}
        found[f"U_{mark}"] = halved(lambda s, limit=limit: by["S_T"] * moment(s) - limit, c.target)
    return Part(found, by["turn"], arm, {}, lambda s: by["turn"] * moment(s))


def of_joint(x: dict[str, Any], joint: str) -> Iterator[tuple[str, dict[str, Any]]]:
    """(number, table) of its flanges in the order of the file."""
    yield from ((name, f) for name, f in x.get("flange", {}).items() if f["joint"] == joint)


def outside(tag: str, joint: str, test: dict[str, float]) -> float | None:
    """The pressure that presses a floating head on: that of the shell test, or of service with the tube side down."""
    return test["shell"] if (tag, joint) in FLOATING else None
