"""The exchanger file: what it reads, and what it says to each mistake."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import boxup
from boxup.exchanger.file import MOST_BYTES, load, read, read_path
from boxup.exchanger.problem import BadFile, Problem

DEMO = Path(boxup.__file__).parent / "demo" / "data"
AES = (DEMO / "14-E-103.toml").read_text("utf-8")
BEU = (DEMO / "14-E-104.toml").read_text("utf-8")


def with_line(text: str, section: str, key: str, new: str) -> tuple[str, int]:
    """The text with one key's line replaced (or added under the heading), and the number of that line."""
    lines = text.split("\n")
    top = next(n for n, line in enumerate(lines) if line.split("#")[0].strip() == f"[{section}]")
    end = next((n for n in range(top + 1, len(lines)) if lines[n].startswith("[")), len(lines))
    at = next((n for n in range(top + 1, end) if lines[n].split("=")[0].strip() == key), None)
    if at is None:
        lines.insert(top + 1, new)
        return "\n".join(lines), top + 2
    lines[at] = new
    return "\n".join(lines), at + 1


def errors(problems: list[Problem]) -> list[Problem]:
    return [p for p in problems if p.level == "error"]


def test_a_value_keeps_its_unit_its_grade_its_text_and_its_line() -> None:
    text, line = with_line(AES, "shell", "inside_diameter", 'inside_diameter = "812.5 mm, measured"')
    x, problems = read(text, "a.toml")
    assert x is not None, problems
    bore = x.shell.inside_diameter
    assert bore is not None
    assert bore.si == pytest.approx(0.8125)
    assert (bore.typed, bore.grade, bore.where) == ("812.5 mm", "measured", f"a.toml line {line}")
    assert x.lines["shell.inside_diameter"] == line
    wall = x.shell.wall
    assert wall is not None
    assert wall.grade == "drawing", "the grade of [exchanger] holds where none is said"


def test_without_a_grade_in_the_head_a_value_is_just_entered() -> None:
    x, _ = read('[exchanger]\ntag = "A"\ntype = "BEM"\n[shell]\nwall = "13 mm"\n')
    assert x is not None
    assert x.shell.wall is not None
    assert x.shell.wall.grade == "entered"


@pytest.mark.parametrize(("typed", "si"), [("250 psi", 1723689.32), ("17.2 bar", 1.72e6), ("1,72 MPa", 1.72e6)])
def test_any_customary_unit_is_read(typed: str, si: float) -> None:
    """Conversions from the definitions of the units (lbf, kgf, in); tolerance: figures printed."""
    x, problems = read(with_line(AES, "shell_side", "mawp", f'mawp = "{typed}"')[0])
    assert x is not None, problems
    assert x.shell_side.mawp is not None
    assert x.shell_side.mawp.si == pytest.approx(si, rel=1e-7)


def test_a_byte_order_mark_and_windows_line_ends_do_not_matter(tmp_path: Path) -> None:
    path = tmp_path / "a.toml"
    path.write_bytes(b"\xef\xbb\xbf" + AES.replace("\n", "\r\n").encode())
    assert load(path).identity.tag == "14-E-103"


def test_plain_values_a_person_would_write_are_read() -> None:
    text = with_line(AES, "nozzle.N1", "flange_class", "flange_class = 300")[0]
    text = with_line(text, "shell_side", "test_rule", "test_rule = 1.5")[0]
    text = with_line(text, "exchanger", "made_up", "made_up = true")[0]
    text = with_line(text, "tool.W1", "calibrated_until", "calibrated_until = 2027-09-30")[0]
    text = with_line(text, "exchanger", "position", 'position = ""')[0]
    x, problems = read(text)
    assert x is not None, problems
    assert (x.nozzles[0].flange_class, x.shell_side.test_rule, x.identity.made_up) == ("300", "1.5", "yes")
    assert x.tools[0].calibrated_until == "2027-09-30"
    assert x.identity.position == "horizontal", "an empty word says no more than a line left out"


# Section, key, the new line, what the sentence must hold. Each on the focus exchanger, which is otherwise right.
VALUES = [
    ("exchanger", "type", 'type = "AEZ"', "Z is not a rear head"),
    ("exchanger", "type", 'type = "NES"', "tubesheet welded to the shell"),
    ("exchanger", "type", 'type = "AE"', "three TEMA letters"),
    ("exchanger", "tag", 'tag = ""', "missing"),
    ("exchanger", "grade", 'grade = "sure"', "drawing, measured"),
    ("exchanger", "colour", 'colour = "red"', "no such key in [exchanger]"),
    ("shell", "insidediameter", 'insidediameter = "813 mm"', "did you mean inside_diameter?"),
    ("options", "plugs", 'plugs = "maybe"', "true or false"),
    ("shell_side", "mawp", 'mawp = "-3 bar"', "more than 0"),
    ("shell_side", "mawp", "mawp = 17.2", "has no unit"),
    ("shell_side", "mawp", 'mawp = "17.2"', "has no unit"),
    ("shell_side", "mawp", 'mawp = "17.2 mm"', "does not measure this"),
    ("shell_side", "mawp", 'mawp = "17.2 bra"', "not known"),
    ("shell_side", "mawp", 'mawp = "high"', "not a number"),
    ("shell_side", "mawp", "mawp = nan", "has no unit"),
    ("shell_side", "mawp", 'mawp = "1e999 bar"', "too large to be a number"),
    ("shell_side", "mawp", 'mawp = ["17.2 bar"]', "a list where a number"),
    ("shell_side", "mawp", 'mawp = {a = "17.2 bar"}', "a section where a number"),
    ("shell_side", "mawp", "mawp = true", "true where a number"),
    ("shell_side", "mawp", f'mawp = "{"9" * 200} bar"', "characters"),
    ("shell_side", "mdmt", 'mdmt = "270 degC"', "not below the design temperature"),
    ("shell_side", "test_rule", 'test_rule = "1.4"', "accepted: 1.3, 1.5"),
    ("tubes", "wall", 'wall = "9.6 mm"', "no bore"),
    ("tubes", "pitch", 'pitch = "18 mm"', "overlap"),
    ("tubes", "count", "count = 591", "592 holes together"),
    ("tubes", "count", "count = 591.5", "not a whole number"),
    ("tubes", "pattern", "pattern = 89", "30, 45, 60, 90"),
    ("tubes", "passes", "passes = 3", "pass 4 in a row"),
    ("tubes", "passes", "passes = 6", "no row belongs to pass 5, 6"),
    ("tubes", "layout", 'layout = "plain"', "1 pass, not 4"),
    ("tubes", "od", 'od = "19.05 mm, guessed"', "not a grade"),
    ("tubes", "outer_limit", 'outer_limit = "700 mm"', "reach out to"),
    ("tubes", "outer_limit", 'outer_limit = "820 mm"', "more than the shell bore"),
    ("baffles", "outside_diameter", 'outside_diameter = "813 mm"', "does not go into the shell bore"),
    ("baffles", "spacing", 'spacing = "7 m"', "longer than the tubes"),
    ("baffles", "spacing", 'spacing = "400 mm"', "reach 6930 mm along tubes of 6096 mm"),
    ("baffles", "cut", "cut = 25", "at most 0.5"),
    ("baffles", "hole", 'hole = "19 mm"', "smaller than the tube"),
    ("baffles", "hole", 'hole = "26 mm"', "run into each other"),
    ("stationary_tubesheet", "hole", 'hole = "25.4 mm"', "run into each other"),
    ("floating_tubesheet", "hole", 'hole = "193 mm"', "run into each other"),
    ("tubes", "length", 'length = "150 mm"', "no longer than the tubesheets are thick"),
    ("tubes", "density", 'density = "785 kg/m3"', "no metal's"),
    ("tubes", "density", 'density = "78500 kg/m3"', "no metal's"),
    ("channel", "outside_diameter", 'outside_diameter = "840 mm"', "less than the bore 813 mm and two walls 16 mm"),
    ("shell_side", "stress_test", 'stress_test = "138 GPa"', "ratio of 1e+03; accepted: up to 10"),
    ("shell_side", "stress_test", 'stress_test = "13 MPa"', "ratio of 0.0942"),
    ("shell_side", "mawp", 'mawp = "1e300 bar"', "at most 100 MPa"),
    ("shell_side", "mdmt", 'mdmt = "-500 degC"', "at least -273"),
    ("floating_tubesheet", "outside_diameter", 'outside_diameter = "813 mm"', "does not pass the shell bore"),
    ("floating_head", "outside_diameter", 'outside_diameter = "930 mm"', "does not go into the shell cover"),
    ("stationary_tubesheet", "hole", 'hole = "19 mm"', "smaller than the tube"),
    ("gasket.G3", "id", 'id = "810 mm"', "smaller than the shell bore 813 mm"),
    ("gasket.G2", "id", 'id = "810 mm"', "smaller than the channel bore 813 mm"),
    ("gasket.G4", "id", 'id = "770 mm"', "smaller than the floating head bore 771 mm"),
    ("gasket.G4", "od", 'od = "799 mm"', "larger than the floating tubesheet 797 mm"),
    ("gasket.G5", "id", 'id = "920 mm"', "smaller than the shell cover bore 927 mm"),
    ("gasket.G5", "od", 'od = "1000 mm"', "reaches into the studs S5"),
    ("gasket.G1", "od", 'od = "829 mm"', "not larger than the inside diameter"),
    ("gasket.G1", "joint", 'joint = "J9"', "no joint J9"),
    ("gasket.G2", "joint", 'joint = "J1"', "J1 already has gasket.G1"),
    ("gasket.G1", "follows", 'follows = "me"', "accepted: exchanger, bundle"),
    ("studs.S1", "joints", 'joints = ["J6"]', "no joint J6"),
    ("studs.S1", "joints", 'joints = ["J1", "J2"]', "not pulled up by the same studs"),
    ("studs.S2", "joints", 'joints = ["J2"]', "one set of studs pulls up both gaskets"),
    ("studs.S1", "size", 'size = "1 inch"', "not a stud size"),
    ("studs.S1", "count", "count = 200", "nuts of 1-8 would touch"),
    ("studs.S1", "tool", 'tool = "W9"', "none of the tools"),
    ("studs.S4", "bolt_circle", 'bolt_circle = "818 mm"', "runs into the floating tubesheet"),
    ("nozzle.N1", "side", 'side = "top"', "accepted: shell, tube"),
    ("nozzle.N1", "clock", "clock = 13", "at most 12"),
    ("nozzle.N1", "stud_size", 'stud_size = "big"', "not a stud size"),
    ("blind.B1", "nozzle", 'nozzle = "N7"', "no nozzle N7"),
    ("blind.B1", "use", 'use = "spare"', "accepted: process, test"),
    ("tool.W1", "kind", 'kind = "spanner"', "hand torque wrench"),
    ("tool.W1", "calibrated_until", 'calibrated_until = "31/12/27"', "year-month-day"),
    ("plugs", "fitted", 'fitted = ["2-60"]', "row 2 has 18 holes"),
    ("plugs", "fitted", 'fitted = ["30-1"]', "there is no row 30"),
    ("plugs", "fitted", 'fitted = ["2-6", "2-6"]', "stands twice"),
    ("plugs", "to_plug", 'to_plug = ["2-6"]', "already among the plugs fitted"),
    ("plugs", "to_plug", 'to_plug = ["six"]', "cannot be read"),
    ("plugs", "done", "done = []", "no such key in [plugs]"),
]


@pytest.mark.parametrize(("section", "key", "new", "says"), VALUES, ids=[f"{s}.{new[:32]}" for s, _, new, _ in VALUES])
def test_a_wrong_value_is_named_with_its_line(section: str, key: str, new: str, says: str) -> None:
    text, line = with_line(AES, section, key, new)
    x, problems = read(text)
    assert x is None
    found = [p for p in errors(problems) if says in p.text]
    assert found, [str(p) for p in problems]
    about_rows = found[0].key.startswith("tubes.rows")  # a count, a limit or a number of passes may be reported at the rows it belies
    assert found[0].line == line or about_rows
    assert found[0].line > 0


# What the whole line becomes, and what is said. TOML itself refuses these.
SYNTAX = [
    ("shell", "wall", "wall = 13 mm", 'stands in quotes: wall = "13 mm"'),
    ("shell", "wall", 'wall = "13 mm', "closing quote is missing"),
    ("shell", "wall", "wall = 13,2", "decimal comma"),
    ("shell", "wall", "wall =", "nothing stands after the = sign"),
    ("shell", "wall", "wall 13 mm", "no = sign"),
    ("shell", "wall", 'wall: "13 mm"', "a colon"),
    ("shell", "wall", 'wall = "13 mm" measured', "measured stands after the value"),
    ("shell", "wall", 'wall = "13 mm"\nwall = "14 mm"', "stands twice, first on line"),
    ("shell", "wall", "[shell", "not closed"),
    ("shell", "wall", "[exchanger]", "this section stands twice, first on line"),
    ("plugs", "fitted", 'fitted = ["2-6" "14-3"]', "missing comma"),
    ("plugs", "fitted", 'fitted = ["2-6"', "missing comma"),
]


@pytest.mark.parametrize(("section", "key", "new", "says"), SYNTAX, ids=[new[:32] for _, _, new, _ in SYNTAX])
def test_a_line_that_is_no_toml_is_explained(section: str, key: str, new: str, says: str) -> None:
    text, line = with_line(AES, section, key, new)
    x, problems = read(text)
    assert x is None
    found = [p for p in problems if says in p.text]
    assert found, [str(p) for p in problems]
    assert found[0].line in (line, line + new.count("\n"))


SECTIONS = [
    ("[shel]\n", "shel", "did you mean shell?"),
    ("[gaskets.G9]\n", "gaskets", "did you mean gasket?"),
    ('[nozzle]\nside = "shell"\n', "nozzle.side", "needs a name in its heading: [nozzle.N1]"),
    ('[[gear]]\nkind = "sling"\n', "gear", "double brackets"),
    ('[gasket.G9]\nkind = "kammprofile"\n', "gasket.G9", "joint: missing"),
    ('[blind.B9]\nnozzle = "N1"\n', "blind.B9", "use: missing"),
    ("[studs.S9]\ncount = 4\n", "studs.S9", "joints: missing"),
    ('[tool."a tool with a very long name"]\nkind = "pump"\n', "tool.a tool with a very long name", "a name is up to 20"),
]


@pytest.mark.parametrize(("added", "key", "says"), SECTIONS, ids=[key for _, key, _ in SECTIONS])
def test_a_wrong_section_is_named(added: str, key: str, says: str) -> None:
    base = AES if "gear" not in added else AES.split("[gear.SL1]")[0]
    base = base if added != '[nozzle]\nside = "shell"\n' else base.split("[nozzle.N1]")[0]
    x, problems = read(base + "\n" + added)
    assert x is None
    found = [p for p in problems if p.key == key and says in p.text]
    assert found, [str(p) for p in problems]
    assert found[0].line == (base + "\n" + added).split("\n").index(added.split("\n")[0]) + 1 + (key == "nozzle.side")


def test_a_key_before_any_section_is_named() -> None:
    x, problems = read('tag = "A"\n' + AES)
    assert x is None
    assert (problems[0].line, problems[0].key) == (1, "tag")
    assert "key outside a section" in problems[0].text


@pytest.mark.parametrize(("count", "level"), [(30, "warning"), (32, None)])
def test_a_stud_count_that_is_no_multiple_of_four_is_a_warning(count: int, level: str | None) -> None:
    text, line = with_line(AES, "studs.S1", "count", f"count = {count}")
    x, problems = read(text)
    assert x is not None
    assert [(p.line, p.level) for p in problems] == ([(line, level)] if level else [])


@pytest.mark.parametrize(
    ("section", "key", "new", "says"),
    [
        ("tubes", "pitch", 'pitch = "23 mm"', "1.25 tube diameters"),
        ("tubes", "density", 'density = "4510 kg/m3"', "more than a tenth off that of carbon steel"),
        ("blind.B1", "flange_class", 'flange_class = "150"', "nozzle N1 says 300"),
        ("stationary_tubesheet", "thickness", 'thickness = "73 mm"', "thinner than the least allowed"),
        ("shell_side", "test_limit", 'test_limit = "10 bar"', "below the MAWP"),
    ],
)
def test_what_only_looks_wrong_is_a_warning(section: str, key: str, new: str, says: str) -> None:
    text, line = with_line(AES, section, key, new)
    x, problems = read(text)
    assert x is not None, problems
    assert [p.line for p in problems if says in p.text and p.level == "warning"] == [line]


def test_two_sets_of_studs_on_the_channel_shell_joint_are_a_warning() -> None:
    text = with_line(AES, "studs.S2", "joints", 'joints = ["J2"]')[0] + '\n[studs.S3]\njoints = ["J3"]\n'
    x, problems = read(text)
    assert x is not None
    assert "usually has one set" in problems[0].text


def test_a_section_of_a_part_this_type_has_not_is_a_warning() -> None:
    x, problems = read(BEU + '\n[floating_head]\nmass = "300 kg"\n')
    assert x is not None
    assert [p.key for p in problems] == ["floating_head"]
    assert "has no floating head" in problems[0].text


def test_u_tubes_need_even_numbers() -> None:
    x, problems = read(with_line(BEU, "tubes", "count", "count = 311")[0])
    assert x is None
    assert any("the number is even" in p.text for p in problems)


def test_a_pull_through_head_must_pass_the_shell() -> None:
    text = AES.replace('type = "AES"', 'type = "AET"')
    x, problems = read(text)
    assert x is None
    assert any("floating head goes through with the bundle" in p.text for p in errors(problems))


def test_a_joint_without_gasket_or_studs_is_no_error() -> None:
    text = AES.split("[gasket.G1]")[0] + "[tool.W1]" + AES.split("[tool.W1]")[1]
    x, problems = read(text)
    assert x is not None, problems
    assert len(x.joints) == 5
    assert all(j.gasket is None and j.studs is None for j in x.joints)


TWENTY = [
    ("shell", "wall", "wall = 13 mm"),
    ("shell_side", "mawp", 'mawp = "-3 bar"'),
    ("shell_side", "mdmt", 'mdmt = "270 degC"'),
    ("tube_side", "mawp", "mawp = 24.1"),
    ("tube_side", "test_rule", 'test_rule = "1.4"'),
    ("options", "hot", 'hot = "perhaps"'),
    ("channel", "weight", 'weight = "640 kg"'),
    ("tubes", "wall", 'wall = "9.6 mm"'),
    ("tubes", "pattern", "pattern = 44"),
    ("tubes", "count", "count = 600"),
    ("baffles", "outside_diameter", 'outside_diameter = "820 mm"'),
    ("floating_tubesheet", "outside_diameter", 'outside_diameter = "815 mm"'),
    ("gasket.G1", "joint", 'joint = "J8"'),
    ("gasket.G3", "id", 'id = "800 mm"'),
    ("gasket.G2", "od", 'od = "900 mm"'),
    ("studs.S1", "size", 'size = "one"'),
    ("studs.S5", "joints", 'joints = "J1"'),
    ("nozzle.N2", "clock", "clock = 0"),
    ("blind.B4", "nozzle", 'nozzle = "N44"'),
    ("tool.P1", "kind", 'kind = "bucket"'),
    ("plugs", "fitted", 'fitted = ["99-1"]'),
]


def test_twenty_mistakes_are_all_said_at_once() -> None:
    text, expected = AES, []
    for section, key, new in TWENTY:
        text, _ = with_line(text, section, key, new)
    lines = text.split("\n")
    expected = [lines.index(new) + 1 for _, _, new in TWENTY]
    x, problems = read(text)
    assert x is None
    said = {p.line for p in errors(problems)}
    at_rows = {lines.index("rows = [                    # height over the centre line, holes, pass; from the top, seen from the front") + 1}
    count_line = lines.index("count = 600") + 1
    assert {n for n in expected if n != count_line} <= said
    assert at_rows <= said, "a count that does not agree is said at the rows"
    assert [p.line for p in problems] == sorted(p.line for p in problems)


def test_load_raises_with_every_error_and_only_errors() -> None:
    bad = with_line(with_line(AES, "shell", "wall", "wall = 13 mm")[0], "studs.S1", "count", "count = 30")[0]
    x, problems = read(bad)
    error = BadFile(problems, "a.toml")
    assert x is None
    assert {p.level for p in error.problems} == {"error"}
    assert "a.toml" in str(error)


@pytest.mark.parametrize(
    ("raw", "says"),
    [
        (b"\x00\x01\x02PK\x03\x04" * 50, "not a text file"),
        (b"%PDF-1.7\n\x07\x08", "which no text file has"),
        ('tag = "caf\u00e9"'.encode("latin-1"), "not UTF-8"),
        (AES.encode("utf-16"), "not a text file"),
        (b"# x\n" * (MOST_BYTES // 4 + 10), "larger than 1 MB"),
        (b"a = " + b"[" * 50_000, "nested too deep"),
        (b"a = " + b"[" * 5000 + b"]" * 5000, "nested too deep"),
        (b"[exchanger]\nyear = " + b"9" * 6000, "too many digits"),
        (b"", "exchanger"),
    ],
    ids=["zip", "pdf", "latin-1", "utf-16", "5 MB", "open brackets", "deep brackets", "digits", "empty"],
)
def test_what_is_no_exchanger_file_is_refused_in_a_sentence(tmp_path: Path, raw: bytes, says: str) -> None:
    path = tmp_path / "x.toml"
    path.write_bytes(raw)
    x, problems = read_path(path)
    assert x is None
    assert any(says in p.text or says in p.key for p in problems), [str(p) for p in problems]
    with pytest.raises(BadFile):
        load(path)


def test_a_file_that_is_not_there_and_a_folder_are_refused(tmp_path: Path) -> None:
    for path, says in ((tmp_path / "none.toml", "there is no file"), (tmp_path, "is a folder")):
        x, problems = read_path(path)
        assert x is None
        assert says in problems[0].text
        with pytest.raises(BadFile):
            load(path)


DAMAGE = ["", "[", "]", '"', "=", "\n", "[x]\n", "nan", "1e400", "{", "'''", "é", "#", ",", '"""', "-1", "0", "999999999"]


@settings(max_examples=150, suppress_health_check=[HealthCheck.too_slow])
@given(cuts=st.lists(st.tuples(st.integers(0, len(AES)), st.integers(0, 40), st.sampled_from(DAMAGE)), min_size=1, max_size=4))
def test_no_damage_to_a_file_makes_it_crash(cuts: list[tuple[int, int, str]]) -> None:
    text = AES
    for at, length, put in cuts:
        text = text[:at] + put + text[at + length :]
    x, problems = read(text)
    assert (x is None) == any(p.level == "error" for p in problems)
    assert all(p.text and p.line >= 0 for p in problems)
