"""Files at the edge of what is accepted: no traceback, no number that is none, no load under nothing. Seeded; all of it invented."""

from __future__ import annotations

import json
import random
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from boxup.cli.main import cli
from boxup.demo.fleet import files_of_the_demo
from boxup.exchanger.file import read
from boxup.paper.pack import material
from boxup.paper.way import way_sheets

FILES = files_of_the_demo()
TAGS = ("14-E-101", "14-E-104", "14-E-106")  # pulled with a floating head, with bends, out of a kettle
EACH = 8  # variants of a file
NONE = re.compile(r"\bnan\b|\binf\b|NaN|Infinity", re.I)


def _metres(r: random.Random) -> str:
    return f'"{r.choice([0.001, r.uniform(0.01, 3), r.uniform(3, 8)]):.3f} m"'


def _friction(r: random.Random) -> str | None:
    return r.choice([None, "0.0001", "2", f"{r.uniform(0.01, 1):.3f}"])


def _mm(least: float, most: float) -> Callable[[random.Random], str]:
    return lambda r: f'"{r.uniform(least, most):.3f} mm"'


KEYS: tuple[tuple[str, str, Callable[[random.Random], str | None]], ...] = (
    ("bundle", "sling_points_m", _metres),
    ("bundle", "sling_points_far_m", _metres),
    ("bundle", "sling_width", lambda r: r.choice(['"1 mm"', '"3000 mm"'])),
    ("bundle", "friction_low", _friction),
    ("bundle", "friction_high", _friction),
    ("bundle", "hook_height", lambda r: r.choice([None, '"0.01 m"', '"30 m"'])),
    ("bundle", "sliding_bars", lambda r: r.choice([None, '"none"'])),
    ("bundle", "rods_bars_mass", lambda r: f'"{r.choice([0.1, 9000])} kg"'),
    ("shell", "slope", lambda r: f'"{r.choice([-45, -0.0001, 0, 45, r.uniform(-45, 45)]):g} deg"'),
    ("shell", "length", _mm(300, 12000)),
    ("baffles", "count", lambda r: r.choice([None, "1", "2", "40"])),
    ("baffles", "spacing", _mm(5, 900)),
    ("baffles", "first_position", _mm(1, 6000)),
    ("baffles", "first_cut", lambda r: r.choice(['"up"', '"down"'])),
    ("tubes", "length", _mm(100, 12000)),
    ("stationary_tubesheet", "thickness", _mm(1, 400)),
    ("floating_tubesheet", "outside_diameter", _mm(100, 800)),
    ("floating_head", "mass", lambda r: f'"{r.uniform(1, 9000):.1f} kg"'),
    ("channel", "mass", lambda r: f'"{r.uniform(1, 20000):.1f} kg"'),
)


def put(text: str, section: str, key: str, value: str | None) -> str:
    """The file with that key set, or without it."""
    found = re.search(rf"^\[{section}\]\n(.*?)(?=^\[|\Z)", text, re.M | re.S)
    if found is None:
        return text
    rest = re.sub(rf"^{key} = .*\n", "", found[1], flags=re.M)
    return text[: found.start(1)] + (f"{key} = {value}\n" if value else "") + rest + text[found.end(1) :]


def variant(tag: str, seed: int) -> str:
    """One to four keys of the file taken to the edge."""
    r = random.Random(f"{tag} {seed}")
    text = FILES[tag].read_text("utf-8")
    for section, key, value in r.sample(KEYS, r.randint(1, 4)):
        text = put(text, section, key, value(r))
    return text


def accepted(tag: str) -> list[int]:
    """Seeds of variants the file's own checks let through: the first so many."""
    return [n for n in range(3 * EACH) if read(variant(tag, n), tag)[0] is not None][:EACH]


def said(*words: str) -> str:
    got = CliRunner().invoke(cli, list(words))
    assert got.exception is None, (words, got.exc_info)
    assert not NONE.search(got.output), words
    return got.output


def carried(place: dict[str, Any]) -> None:
    """Hook and shell carry nothing under nothing and no more than all of it."""
    value = {k: v["value"] for k, v in place["values"].items()}
    for symbol in ("R_h", "R_m", "R_e", "R_w", "N_1", "N_2"):
        if symbol in value:
            assert -1e-6 * value["W"] <= value[symbol] <= value["W"] * (1 + 1e-6), (place["metres_in"], symbol)
    assert value.get("F_stop", 0.0) >= 0


@pytest.mark.parametrize("tag", TAGS)
def test_a_file_at_the_edge_is_worked_without_a_traceback(tag: str, tmp_path: Path) -> None:
    seeds = accepted(tag)
    assert len(seeds) == EACH
    for seed in seeds:
        path = tmp_path / f"{tag}.toml"
        path.write_text(variant(tag, seed), "utf-8")
        said("lift", str(path))
        said("bundle", str(path))
        given = json.loads(said("lift", str(path), "--json"))
        for way in ("going_in", "coming_out"):
            for place in given.get(way, {"places": []})["places"]:
                carried(place)
        assert all(s["title"] for s in way_sheets(material(path)))
