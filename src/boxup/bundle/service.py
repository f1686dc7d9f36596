"""What an exchanger does with its tubes as they are: each pass by its open tubes, then duty, pressure drop, worst velocity."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import exp, log

from boxup.bundle.arrangement import Arrangement
from boxup.bundle.effectiveness import ZONES, counterflow_line, worked
from boxup.bundle.pass_flow import assume_bore, pass_lines
from boxup.bundle.zones import Past
from boxup.core.source import Cite
from boxup.core.working import CannotWork, Working
from boxup.reference.load import source

# What each pass takes from the whole.
_OF_ALL = ("d_o", "d_i", "L_t", "rho", "mu", "c_t", "k_t", "e_r", "K_n")
_RESISTANCES = ("h_o", "r_so", "r_si", "r_w", "C_t")
LEAST_FILM, MOST_FILM = 1e-3, 1e7  # W/m2.K of the shell, to look between


@dataclass(frozen=True, slots=True)
class Standing:
    """The exchanger with so many open tubes in each pass, by the part of the working that holds it."""

    name: str
    open: tuple[int, ...]
    working: Working

    def si(self, symbol: str) -> float:
        """One figure of it in SI: Q, Dp_s, v_x, A_s, U_m, P."""
        return self.working[symbol]


def ready(w: Working) -> None:
    """What all passes share: bore, C of both sides, difference of the inlets, resistance of the wall."""
    w.step("d_i = d_o - 2*t_t", "mm", "tube bore", "geometry")
    assume_bore(w)
    w.step("C_t = W_t*c_t", "kW/K", "flow times heat capacity, tubes", "definition")
    if "W_s" in w.steps:
        w.step("C_s = W_s*c_s", "kW/K", "flow times heat capacity, shell", "definition")
        w.step("R = C_t/C_s", "-", "ratio of the two", "definition")
    else:
        w.assumed("R", "ratio of the two", 0.0, "-", "the shell fluid boils or condenses: it stays at its inlet temperature")
    w.step("dT = abs(T_s - T_t)", "K", "difference of the inlets", "definition")
    w.step("r_w = d_o*log(d_o/d_i)/(2*k_w)", "m2.K/W", "resistance of the tube wall, on the outside", "cylinder")


def stands(w: Working, name: str, open_: Sequence[int], way: Arrangement, past: Past | None = None) -> Standing:
    """A part of the working for this many open tubes by pass, h_o being known; `past`: a share goes past some. Raises CannotWork."""
    if min(open_) < 1:
        raise CannotWork(f"{name}: pass {list(open_).index(min(open_)) + 1} has no open tube, so that nothing flows")
    part = w.part(name, ZONES)
    if past:
        part.kernel("b", "share of the tube side that goes past", past.share, "-", "past the rib", Cite(source("orifice"), "see the rib"))
    kinds = [(n, _is_past(i, past)) for i, n in enumerate(open_, start=1)]
    for n, less in dict.fromkeys(kinds):
        _one_pass(w, part, n, less)
    _all_passes(w, part, kinds, way, past)
    return Standing(name, tuple(open_), part)


def _is_past(number: int, past: Past | None) -> bool:
    return past is not None and past.first <= number <= past.last


def _named(n: int, less: bool) -> str:
    return f"a pass with {n} open tubes{' and less flow' if less else ''}"


def _one_pass(w: Working, part: Working, n: int, less: bool) -> None:
    """A pass with n open tubes: velocity, pressure drop, film, U, and its U A over C; `less`: a share of the flow goes past it."""
    inner = part.part(_named(n, less), ZONES)
    inner.kernel("n_o", "open tubes of the pass", n, "count", "holes less those that are shut", Cite(ZONES, "tube map"))
    for symbol in (*_OF_ALL, *(s for s in _RESISTANCES if s in w.steps)):
        inner.take(symbol, w.steps[symbol])
    if less:
        inner.take("b", part.steps["b"])
        inner.take("W", w.steps["W_t"])
        inner.step("W_t = W*(1 - b)", "kg/s", "flow left for the pass", "mass balance")
    else:
        inner.take("W_t", w.steps["W_t"])
    pass_lines(inner)
    line = "U = 1/(1/h_o + r_so + r_w + (r_si + 1/h_i)*d_o/d_i)"
    inner.step(line, "W/m2.K", "heat transfer, on the outside of the tubes", "resistances in series")
    inner.step("A = n_o*pi*d_o*L_t", "m2", "surface of the pass", "outside of the tubes")
    inner.step("N = U*A/C_t", "-", "U A over C of the tubes", "definition")


def _all_passes(w: Working, part: Working, kinds: list[tuple[int, bool]], way: Arrangement, past: Past | None) -> None:
    by_name = {p.name: p for p in part.parts}
    for i, (n, less) in enumerate(kinds, start=1):
        name = _named(n, less)
        for symbol, what in (("N", "U A over C"), ("Dp", "pressure drop"), ("A", "surface"), ("v", "velocity"), ("Re", "Reynolds number")):
            part.take(f"{symbol}_{i}", by_name[name].steps[symbol], name, f"{what}, pass {i}")
    each = range(1, len(kinds) + 1)
    for symbol in ("C_t", "R", "dT"):
        part.take(symbol, w.steps[symbol])
    part.step("A_s = " + " + ".join(f"A_{i}" for i in each), "m2", "surface of all passes", "sum")
    part.step("Dp_s = " + " + ".join(f"Dp_{i}" for i in each), "kPa", "pressure drop of all passes", "sum")
    part.step(_out_of("v_x", "max", [f"v_{i}" for i in each]), "m/s", "velocity in the fastest pass", "the largest")
    part.step(_out_of("Re_n", "min", [f"Re_{i}" for i in each]), "-", "Reynolds number of the slowest pass", "the smallest")
    part.step("N_t = " + " + ".join(f"N_{i}" for i in each), "-", "U A over C, all passes", "sum")
    counterflow_line(part)
    ntu, flows = [part[f"N_{i}"] for i in each], [1 - past.share if past and less else 1.0 for _, less in kinds]
    p = worked(way, ntu, part["R"], past, flows)
    used = (*(f"N_{i}" for i in each), "R", *(("b",) if past else ()))
    part.kernel("P", "rise of the tube fluid over the difference of the inlets", p, "-", "each zone of the shell solved, then joined",
                Cite(ZONES, said(way)), used)  # fmt: skip
    part.step("Q = P*C_t*dT", "kW", "duty", "definition")


def _out_of(symbol: str, function: str, names: list[str]) -> str:
    return f"{symbol} = {function}({', '.join(names)})" if len(names) > 1 else f"{symbol} = {names[0]}"


def said(way: Arrangement) -> str:
    """The arrangement in words."""
    if way.shell == "E":
        return f"shell E, first pass {'with' if way.first_along else 'against'} the shell fluid"
    return f"shell {way.shell}{', passes ' + ' '.join(way.halves) if way.halves else ''}"


def film_of_the_design(w: Working, holes: Sequence[int], way: Arrangement) -> float:
    """The shell film in W/m2.K at which the exchanger with every tube open gives its design duty `Q_d`. Raises CannotWork."""
    duty = _duty_by_film(w, holes, way)
    low, high = log(LEAST_FILM), log(MOST_FILM)
    below, above = duty(low) - w["Q_d"], duty(high) - w["Q_d"]
    if not below < 0 < above:
        raise CannotWork(
            f"The design duty {w['Q_d'] / 1e3:.4g} kW cannot come of these flows, temperatures and fouling: with a perfect shell side they "
            f"give {(above + w['Q_d']) / 1e3:.4g} kW; read them again from the data sheet"
        )
    for turn in range(200):  # halved while far off, then drawn straight from end to end
        between = (low + high) / 2 if turn < 6 or turn % 3 == 2 else low - below * (high - low) / (above - below)
        off = duty(between) - w["Q_d"]
        if abs(off) < 1e-12 * w["Q_d"] or high - low < 1e-14:
            break
        low, below, high, above = (between, off, high, above) if off < 0 else (low, below, between, off)
    return exp(between)


def _duty_by_film(w: Working, holes: Sequence[int], way: Arrangement) -> Callable[[float], float]:
    """Duty in W by the logarithm of the shell film, everything else worked once."""
    trial = Working("trial", ZONES)
    trial.steps.update(w.steps)
    trial.kernel("h_o", "trial", 1.0, "W/m2.K", "trial", Cite(ZONES))
    tried = stands(trial, "trial", holes, way)
    inner = {int(p["n_o"]): p for p in tried.working.parts}
    rest = {n: (1 / p["U"] - 1.0, p["A"] / w["C_t"]) for n, p in inner.items()}

    def duty(film: float) -> float:
        ntu = [size / (exp(-film) + others) for others, size in (rest[n] for n in holes)]
        return worked(way, ntu, w["R"]) * w["C_t"] * w["dT"]

    return duty
