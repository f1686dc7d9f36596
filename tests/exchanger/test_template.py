"""A new file: what `boxup new` writes for each type."""

from __future__ import annotations

import re
import tomllib

import pytest

from boxup.exchanger.check import check_text
from boxup.exchanger.file import read
from boxup.exchanger.joints import joints_of
from boxup.exchanger.letters import FRONTS, REARS, SHELLS, BadLetters, letters
from boxup.exchanger.read import _keys
from boxup.exchanger.sections import NAMED, PLAIN
from boxup.exchanger.template import keys, new_file

ASKED = [f + "E" + r for f in "AB" for r in "SUMT"]


@pytest.mark.parametrize("type_", [*ASKED, "AKT", "NEN", "AEP", "BEW", "CFU", "DEU", "AEL"])
def test_a_new_file_reads_back_with_nothing_but_what_is_missing(type_: str) -> None:
    report = check_text(new_file("14-E-900", type_), "new")
    assert report.ok, report.text
    assert report.warnings == ()
    assert report.missing
    assert report.exchanger is not None
    assert str(report.exchanger.letters) == type_
    assert report.exchanger.identity.tag == "14-E-900"


def test_every_letter_combination_reads_back() -> None:
    for type_ in (f + s + r for f in FRONTS for s in SHELLS for r in REARS):
        try:
            letters(type_)
        except BadLetters:
            continue
        x, problems = read(new_file("X", type_))
        assert x is not None, (type_, problems)
        assert problems == [], (type_, problems)


def test_without_a_tag_only_the_tag_is_wrong() -> None:
    report = check_text(new_file("", "AES"), "new")
    assert [(p.key, p.line > 0) for p in report.errors] == [("exchanger.tag", True)]


@pytest.mark.parametrize("tag", ['a "quoted" tag', "back\\slash", "new\nline", "Größe 7"])
def test_any_tag_can_be_written(tag: str) -> None:
    x, problems = read(new_file(tag, "BEM"))
    assert x is not None, problems
    assert x.identity.tag == tag.replace("\n", "")


@pytest.mark.parametrize("type_", ASKED)
def test_it_has_the_sections_of_its_type_and_no_others(type_: str) -> None:
    text = new_file("X", type_)
    has = set(re.findall(r"^\[(\w+)\]", text, re.M))
    assert ("channel_cover" in has) == (type_[0] == "A")
    assert ("floating_head" in has) == (type_[2] in "ST")
    assert ("rear_head" in has) == (type_[2] == "M")
    assert ("shell_cover" in has) == (type_[2] in "ST")
    assert ("floating_tubesheet" in has) == (type_[2] != "U")
    called = joints_of(letters(type_))
    gaskets = "".join(re.findall(r"^\[gasket[^\[]*", text, re.M))
    assert re.findall(r"^joint = \"(J\d)\"", gaskets, re.M) == [j.id for j in called]
    assert text.count("rib_width") == sum(bool(j.ribs_end) for j in called)


def test_every_number_is_left_to_the_person() -> None:
    """A line whose # is taken away and left as it is must not become a number of the job."""
    text = new_file("X", "AES")
    opened = re.sub(r"^# (\w+ = \".*?\")", r"\1", text, flags=re.M)
    x, problems = read(opened)
    assert x is None
    assert len([p for p in problems if "is not a number with a unit" in p.text]) > 60
    for line in text.split("\n"):
        assert line.startswith("#") or not re.search(r"= \"?-?\d", line), line


def test_every_key_of_the_reader_is_in_the_template_and_the_other_way_round() -> None:
    written = {(k.section, k.key) for k in keys() if k.key}
    read_ = {(section, key) for section, (_, cls) in PLAIN.items() for key in _keys(cls, frozenset({"name"} if "side" in section else ()))}
    read_ |= {(section, key) for section, (_, cls) in NAMED.items() for key in _keys(cls, frozenset({"id"}))}
    written = {w for w in written if w[0] not in ("options", "plugs")}
    assert written <= read_
    heads = {"channel", "channel_cover", "rear_head", "rear_cover", "floating_head", "shell_cover"}
    left_out = read_ - written
    assert {section for section, _ in left_out} <= heads, "a flat cover has no wall, a bonnet no cover thickness; nothing else is left out"
    assert {key for section, key in read_ if section in heads} == {key for section, key in written if section in heads}


def test_every_example_of_the_template_is_accepted() -> None:
    """Fill each key with its own example: the sizes need not fit each other, but each must be readable."""
    text = new_file("X", "AES")
    example = {(k.section, k.key): k.example for k in keys() if k.key}
    filled, section, tried = [], "", 0
    for line in text.split("\n"):
        if line.startswith("["):
            section = line.strip("[]").split(".")[0]
        key = re.match(r"# (\w+) =", line)
        if key and (section, key.group(1)) in example:
            line = f"{key.group(1)} = {example[section, key.group(1)]}"
            tried += 1
        filled.append(line)
    _, problems = read("\n".join(filled))
    assert tried > 150
    unread = [p for p in problems if "accepted:" in p.text or "not a number" in p.text or "missing" in p.text]
    assert unread == []


@pytest.mark.parametrize(("type_", "uses"), [
    ("AES", ["bundle, front pick", "bundle, rear pick", "bundle, tubesheet end", "pull and insert", "covers"]), ("BEM", ["covers"]),
])  # fmt: skip
def test_a_new_file_has_a_place_for_every_blind_and_for_each_piece_of_gear(type_, uses):
    raw = tomllib.loads(new_file("10-E-7", type_))
    assert [g["use"] for g in raw["gear"].values()] == uses
    for use in ("process", "test"):
        assert [b["nozzle"] for b in raw["blind"].values() if b["use"] == use] == list(raw["nozzle"])
