"""The beam of a bundle against a general structural library: the same beam and supports as a frame, by stiffness instead of three moments.

The library is not told which supports push: the test starts with all, leaves out what would pull, puts in what the frame goes through.
"""

from __future__ import annotations

import itertools
import warnings
from functools import cache
from pathlib import Path

import pytest

from boxup.exchanger.file import load
from boxup.job.numbers import numbers
from boxup.lift.beam import Load, Support, Tips, bent
from boxup.lift.rests import mouth_rests, rests

DEMO = Path(__file__).parents[2] / "src" / "boxup" / "demo" / "data"
KINDS = ("14-E-103", "14-E-104", "22-E-201A")  # floating head; U-tubes; U-tubes with the channel riding along
POSITIONS = 20
AREA, TORSION = 0.01, 1e-4  # of the frame: they carry nothing here


@cache
def way(tag):
    return numbers(load(DEMO / f"{tag}.toml")).on_its_way("insert")


def framed(stiffness, loads, supports):
    """Reactions in the order of `supports`, and the frame's deflections at them, all of them holding both ways."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from Pynite import FEModel3D
    at = sorted({0.0, *(s.at for s in supports), *(f.at for f in loads), *(f.to for f in loads if f.to is not None)})
    model = FEModel3D()
    modulus = 200e9
    model.add_material("steel", modulus, 77e9, 0.3, 0.0)
    model.add_section("bundle", AREA, stiffness / modulus, stiffness / modulus, TORSION)
    names = {x: f"n{i}" for i, x in enumerate(at)}
    for x, name in names.items():
        model.add_node(name, x, 0, 0)
    for i, (a, b) in enumerate(itertools.pairwise(at)):
        model.add_member(f"m{i}", names[a], names[b], "steel", "bundle")
        for f in loads:
            if f.to is not None and f.at <= a and b <= f.to:
                q = -f.force / (f.to - f.at)
                model.add_member_dist_load(f"m{i}", "Fy", q, q)
    for f in loads:
        if f.to is None:
            model.add_node_load(names[f.at], "FY", -f.force)
    return model, names


def solved(stiffness, loads, supports, on):
    """The frame on these of its supports: reactions by support, how far it lies below each of the others."""
    model, names = framed(stiffness, loads, supports)
    for i, s in enumerate(on):
        model.def_support(names[s.at], i == 0, True, True, i == 0, False, False)
        if s.gap:
            model.def_node_disp(names[s.at], "DY", -s.gap)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        model.analyze_linear()
    combo = "Combo 1"
    return {s: model.nodes[names[s.at]].RxnFY[combo] for s in on}, {
        s: -model.nodes[names[s.at]].DY[combo] - s.gap for s in supports if s not in on
    }


def pushing(stiffness, loads, supports):
    """Active set by hand: what pulls goes, what is gone through comes back."""
    on = list(supports)
    for _ in range(100):
        reactions, through = solved(stiffness, loads, supports, on)
        pulling = [s for s, r in reactions.items() if r < -1e-6]
        if pulling:
            on = [s for s in on if s not in pulling[: max(1, len(pulling) - 1)]]
            continue
        deep = max(through, key=through.get, default=None)
        if deep is None or through[deep] <= 1e-9:
            return reactions
        on.append(deep)
    raise AssertionError("no rest is found")


def supports_at(one, metres):
    b, beam = one.exchanger.bundle, one.beam
    hooks = {"both": (b.sling_points_m.si, b.sling_points_far_m.si), "front": (b.sling_points_m.si,), "held": (beam.front / 2,)}
    held = [Support("hook", x) for x in hooks[one.stage(metres)]]
    return [*held, *mouth_rests(one.exchanger, beam, metres), *rests(one.exchanger, beam, metres)]


@pytest.mark.computed
@pytest.mark.parametrize("tag", KINDS)
def test_hook_mouth_and_shell_agree_with_a_general_frame_library(tag):
    """The same model by another method: to a millionth of the weight at 20 places."""
    one = way(tag)
    beam, compared = one.beam, 0
    for i in range(1, POSITIONS + 1):
        metres = one.home * i / POSITIONS
        supports = supports_at(one, metres)
        by_frame = pushing(beam.stiffness, beam.loads, supports)
        ours = bent(beam.stiffness, beam.loads, supports)
        for name in ("hook", "mouth", "shell"):
            there = sum(r for s, r in by_frame.items() if s.name == name)
            assert ours.reaction(name) == pytest.approx(there, abs=1e-6 * beam.weight), (metres, name)
        stand = one.stand(metres).working
        if "R_n" in stand.steps:
            compared += 1
            for symbol, name in (("R_e", "hook"), ("R_n", "mouth"), ("R_i", "shell")):
                assert stand[symbol] == pytest.approx(sum(r for s, r in by_frame.items() if s.name == name), abs=1e-6 * beam.weight)
    assert compared >= 15


@pytest.mark.computed
@pytest.mark.parametrize("tag", KINDS)
def test_a_stiff_bundle_on_hook_and_mouth_agrees_with_the_frame_on_two_supports(tag):
    """Held at two places the stiffness does not matter: the frame's two reactions are those of a stiff bundle."""
    one, compared = way(tag), 0
    for i in range(1, POSITIONS + 1):
        metres = one.home * i / POSITIONS
        w = one.stand(metres).working
        if one.stage(metres) == "both" or w["R_h"] == 0:
            continue
        hook, mouth = Support("hook", w["x_h"]), Support("mouth", w["x_m"])
        reactions, _ = solved(one.beam.stiffness, one.beam.loads, [hook, mouth], [hook, mouth])
        assert w["R_h"] == pytest.approx(reactions[hook], abs=1e-6 * one.beam.weight)
        assert w["R_m"] == pytest.approx(reactions[mouth], abs=1e-6 * one.beam.weight)
        compared += 1
    assert compared >= 4


@pytest.mark.computed
def test_droop_and_bending_agree_with_the_frame():
    """Ends of a beam on two slings: deflection by the frame, at both ends and in the middle."""
    beam = way("14-E-103").beam
    hooks = [Support("hook", 1.34), Support("hook", 4.75)]
    watch = [Support("watched", x) for x in (0.0, 3.0, beam.length)]
    _, through = solved(beam.stiffness, beam.loads, [*hooks, *watch], hooks)
    ours = bent(beam.stiffness, beam.loads, hooks)
    for s in watch:
        assert ours.droop(s.at) == pytest.approx(through[s], abs=1e-8)


@pytest.mark.computed
def test_printed_beams():
    """Two known beams: three equal spans under an even load carry 0.4, 1.1, 1.1, 0.4 of q l; a cantilever droops q l4/(8 EI)."""
    q, span, ei = 700.0, 2.0, 9.0e4
    got = bent(ei, [Load(0.0, q * 3 * span, 3 * span)], [Support(str(i), i * span) for i in range(4)])
    assert [r / (q * span) for _, r in got.bearing] == pytest.approx([0.4, 1.1, 1.1, 0.4])
    even = bent(ei, [Load(0.0, q * 4.0, 4.0)], [Support("one", 2.0)])
    assert even.droop(0.0) == pytest.approx(q * 2.0**4 / (8 * ei))
    assert even.worst() == (2.0, pytest.approx(-q * 2.0**2 / 2))


def test_a_load_beyond_the_supports_tips():
    with pytest.raises(Tips):
        bent(1e5, [Load(5.0, 100.0)], [Support("a", 1.0), Support("b", 4.0)])
    with pytest.raises(Tips):
        bent(1e5, [Load(5.0, 100.0)], [])
