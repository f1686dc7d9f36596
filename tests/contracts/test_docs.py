"""What the documents say is what is there: commands and their output, JSON keys, calculations, decisions, step codes, symbols."""

from __future__ import annotations

import csv
import json
import re
from collections.abc import Iterator
from dataclasses import fields
from pathlib import Path
from typing import Any

import pytest

import glossary
from boxup.cli.main import COMMANDS, cli
from boxup.core.quantity import GRADES
from boxup.core.source import LABELS
from boxup.job.calculations import HOMES, find
from boxup.joint.passes import schedule
from examples import all_examples, anew, first_not_shown, furnish, typed

ROOT = Path(__file__).parents[2]
DECISIONS = ROOT / "docs" / "decisions"
PAGE = (ROOT / "docs" / "commands.md").read_text("utf-8")
GLOSSARY = (ROOT / "docs" / "glossary.md").read_text("utf-8")


def sections(text: str, level: str) -> dict[str, str]:
    """Heading: what stands under it, up to the next heading of that level."""
    pieces = re.split(rf"^{level} (.+)$", text, flags=re.MULTILINE)
    return dict(zip(pieces[1::2], pieces[2::2], strict=True))


def shapes() -> Iterator[tuple[list[str], set[str]]]:
    """Each JSON table: the commands it is the shape of, and the keys it lists."""
    for said, table in re.findall(r"^JSON of (.*)\n\n((?:\|.*\n)+)", PAGE, flags=re.MULTILINE):
        commands = [c for c in re.findall(r"`([^`]+)`", said) if c.startswith("boxup ")]
        yield commands, set(re.findall(r"^\| `([^`]+)` \|", table, flags=re.MULTILINE))


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the demo's files and a fresh one, as on the page."""
    here = tmp_path_factory.mktemp("crew")
    furnish(here)
    return here


def test_every_command_is_documented_and_every_documented_one_exists() -> None:
    documented = [h.removeprefix("boxup ") for h in sections(PAGE, "##") if h.startswith("boxup ")]
    assert documented == list(COMMANDS), "as `boxup --help` lists them"
    used = {command.split()[1] for command, _ in all_examples(PAGE)}
    assert used == set(COMMANDS), "every command has an example"


def test_every_example_comes_out_as_shown(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(folder)
    wrong = []
    for command, shown in all_examples(PAGE):
        if line := first_not_shown(shown, typed(command).output.splitlines()):
            wrong.append(f"{command}\n    {line}")
    assert wrong == [], "python tools/examples.py puts them anew"


@pytest.mark.parametrize(
    ("shown", "printed", "found"),
    [
        (["a", "c"], ["a", "b", "c"], "c"),  # a line left out without saying so
        (["a", "...", "c"], ["a", "b", "c"], ""),
        (["a", "...", "b"], ["a", "b"], ""),
        (["c", "...", "a"], ["a", "b", "c"], "c"),
        (["a", "b"], ["a"], "b"),
        (["a"], ["a", "b"], "not shown, and no ... for it: b"),
        (["long ...", "..."], ["long line", "more"], ""),
        (["other ...", "..."], ["long line", "more"], "other ..."),
    ],
)
def test_an_example_is_not_shortened_in_silence(shown: list[str], printed: list[str], found: str) -> None:
    assert first_not_shown(shown, printed) == found


@pytest.mark.parametrize(
    ("shown", "printed"),
    [
        (["load 10 kN", "..."], ["load 12 kN", "stress 3 MPa"]),
        (["a", "b"], ["a", "new and long", "b"]),
        (["...", "load 10 kN"], ["x", "load 12 kN", "y"]),
    ],
)
def test_an_example_put_anew_comes_out(shown: list[str], printed: list[str]) -> None:
    assert first_not_shown(shown, printed)
    assert first_not_shown(anew(shown, printed), printed) == ""


def keys(value: Any, path: str, open_: set[str]) -> Iterator[str]:
    """The paths of a JSON value; an object whose names are data, not keys, is `*`."""
    if isinstance(value, dict) and value:
        starred = f"{path}.*" if path else "*"
        for name, inner in value.items():
            here = starred if starred in open_ else f"{path}.{name}" if path else name
            yield from keys(inner, here, open_)
    elif isinstance(value, list) and value:
        for inner in value:
            yield from keys(inner, f"{path}[]", open_)
    else:
        yield path


def settled(found: set[str], documented: set[str]) -> set[str]:
    """Without what is empty here and filled elsewhere, and with a value that the page does not take apart cut to its own key."""
    cut = {next((d for d in documented if p != d and re.match(re.escape(d) + r"(\[\]|\.)", p)), p) for p in found}
    return {p for p in cut if not any(other != p and other.startswith((p + ".", p + "[]")) for other in documented)}


@pytest.mark.parametrize(("commands", "documented"), [pytest.param(c, d, id=c[0][6:]) for c, d in shapes()])
def test_the_json_keys_documented_are_those_printed(
    commands: list[str], documented: set[str], folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(folder)
    if not Path("14-E-110.toml").exists():
        typed("boxup new 14-E-110 --type AES -o 14-E-110.toml")
    open_ = {d[: m.end()] for d in documented for m in re.finditer(r"\*", d)}
    printed = {p for c in commands for p in keys(json.loads(typed(c).output), "", open_)}
    assert settled(printed, documented) == documented


def test_the_shape_of_every_command_that_speaks_json_is_documented() -> None:
    speak = {name for name in COMMANDS if any("--json" in p.opts for p in cli.get_command(None, name).params)}  # type: ignore[arg-type, union-attr]
    assert {c.split()[1] for commands, _ in shapes() for c in commands} == speak


def test_every_calculation_is_documented_with_its_keys() -> None:
    tables = {h.strip("`"): text for h, text in sections(PAGE, "###").items()}
    assert set(tables) == set(HOMES)
    for name, text in tables.items():
        c = find(name)
        assert re.findall(r"^\| `\[?(\w+)\]?` \|", text, flags=re.MULTILINE) == [f.name for f in fields(c.given)], name
        given = re.search(r"^Gives (.+)\.$", text, flags=re.MULTILINE)
        assert given, name
        assert set(c.answers) <= set(re.findall(r"`(\w+)`", given[1])), name


def test_what_the_code_knows_better_is_written_anew() -> None:
    for path, lines in glossary.documents():
        text = path.read_text("utf-8")
        assert glossary.between(text, lines) == text, f"{path.name} is out of date: run python tools/glossary.py"


def test_every_symbol_that_is_worked_stands_in_the_glossary() -> None:
    listed = set(re.findall(r"^\| `([^`]+)` \| [^|]* \|", GLOSSARY, flags=re.MULTILINE))
    steps = glossary.worked()
    assert {s.symbol for s in steps if s.symbol not in listed and glossary.shown(s) not in listed} == set()
    assert len({s.symbol for s in steps}) > 100, "the walk sees too little to be trusted"


def test_symbols_of_a_torque_card_stand_there_with_their_units() -> None:
    """By hand: symbols people look up first."""
    rows = dict(re.findall(r"^\| `([^`]+)` \| ([^|]*) \|", GLOSSARY, flags=re.MULTILINE))
    assert {k: rows[k].strip() for k in ("A_g", "S_b", "W_m1", "d_2", "V_pa")} == {
        "A_g": "mm²", "S_b": "MPa", "W_m1": "kN", "d_2": "mm", "V_pa": "L",
    }  # fmt: skip
    assert schedule(4, None).time.steps["t"].unit == "min"


def test_every_step_code_stands_in_the_glossary() -> None:
    with (ROOT / "src" / "boxup" / "job" / "data" / "steps.csv").open(encoding="utf-8") as lines:
        known = [row["step"] for row in csv.DictReader(lines)]
    table = sections(GLOSSARY, "##")["Step codes"].split("|---|")[-1]
    families = [re.findall(r"`([A-Z][A-Z0-9_]+)`", row.split("|")[2]) for row in table.splitlines() if row.count("|") > 3]
    assert sorted(code for family in families for code in family) == sorted(known)


def test_grades_and_labels_are_the_ones_there_are() -> None:
    parts = sections(GLOSSARY, "##")
    first = re.compile(r"^\| (\w+) \|", flags=re.MULTILINE)
    assert set(first.findall(parts["How well a value is known: grades"])) - {"grade"} == {*GRADES, "entered"}
    assert set(first.findall(parts["How good the evidence is: labels"])) - {"label"} == set(LABELS)


def test_every_decision_is_listed() -> None:
    written = {p.name for p in DECISIONS.glob("[0-9]*.md")}
    listed = re.findall(r"\]\((\d{4}-[^)]+\.md)\)", (DECISIONS / "README.md").read_text("utf-8"))
    assert sorted(listed) == sorted(written)
    assert [name[:4] for name in listed] == sorted({name[:4] for name in written}), "one number a decision, in order"


@pytest.mark.parametrize("path", sorted(DECISIONS.glob("[0-9]*.md")), ids=lambda p: p.name[:4])
def test_a_decision_has_its_number_and_its_parts(path: Path) -> None:
    text = path.read_text("utf-8")
    assert text.startswith(f"# {path.name[:4]} ")
    headings = list(sections(text, "##"))
    assert headings[0] == "Context"
    assert "Cost" in headings


def test_links_between_the_documents_lead_somewhere() -> None:
    pages = [*ROOT.glob("*.md"), *(ROOT / "docs").rglob("*.md")]
    lost = [f"{p.name}: {to}" for p in pages for to in re.findall(r"\]\(([^)#\s]+)", p.read_text("utf-8"))
            if "://" not in to and not (p.parent / to).exists()]  # fmt: skip
    assert lost == []


def test_paths_named_in_contributing_exist() -> None:
    named = re.findall(r"`((?:src|tests|tools|docs)/[\w/.-]+)`", (ROOT / "CONTRIBUTING.md").read_text("utf-8"))
    assert len(named) > 5
    assert [n for n in named if not (ROOT / n).exists()] == []
