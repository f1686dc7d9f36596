"""The bore as measured: from the file, and from the record."""

from __future__ import annotations

import pytest

from boxup.demo.fleet import FOCUS, files_of_the_demo
from boxup.exchanger.file import BadFile, load
from boxup.exchanger.template import new_file

TEXT = files_of_the_demo()[FOCUS].read_text("utf-8")


def with_bore(tmp_path, line):
    path = tmp_path / "14-E-103.toml"
    path.write_text(TEXT.replace("[channel]\n", f"{line}\n\n[channel]\n", 1), "utf-8")
    return path


def test_readings_are_read_with_their_grade(tmp_path):
    x = load(with_bore(tmp_path, 'measured_bore = [["0.5 m", "811.6 mm, measured", "813.4 mm"], ["12.5 ft", "31.98 in", "32.03 in"]]'))
    one, other = x.shell.measured_bore
    assert (one.at.si, one.least.si, one.most.si) == (pytest.approx(0.5), pytest.approx(0.8116), pytest.approx(0.8134))
    assert one.least.grade == "measured"
    assert other.least.si == pytest.approx(31.98 * 0.0254)


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ('measured_bore = "811 mm"', "a list of readings is needed"),
        ('measured_bore = [["0.5 m", "811 mm"]]', "is not a reading"),
        ('measured_bore = [["0.5 m", "814 mm", "811 mm"]]', "least and"),
        ('measured_bore = [["0.5", "811 mm", "812 mm"]]', "measured_bore"),
        ('measured_bore = [["-1 m", "811 mm", "812 mm"]]', "out of range"),
        ('measured_bore = [["100 m", "811 mm", "812 mm"]]', "a reading at 100 m, and the shell is 5790 mm long"),
        ('measured_bore = [["2 m", "811 mm", "812 mm"], ["5.8 m", "811 mm", "812 mm"]]', "a reading at 5.8 m"),
    ],
)
def test_what_is_no_reading_is_said_with_its_line(tmp_path, line, said):
    path = with_bore(tmp_path, line)
    with pytest.raises(BadFile) as caught:
        load(path)
    assert said in str(caught.value)


def test_a_reading_beyond_the_shell_is_said_at_its_own_line_and_one_at_its_end_is_read(tmp_path):
    path = with_bore(tmp_path, 'measured_bore = [\n["5.79 m", "811 mm", "812 mm"],\n["19 ft", "811 mm", "812 mm"],\n]')
    line = path.read_text("utf-8").splitlines().index('["19 ft", "811 mm", "812 mm"],') + 1
    with pytest.raises(BadFile) as caught:
        load(path)
    assert [p.line for p in caught.value.problems] == [line]
    assert len(load(with_bore(tmp_path, 'measured_bore = [["5.79 m", "811 mm", "812 mm"]]')).shell.measured_bore) == 1


def test_the_template_asks_for_it():
    text = new_file("14-E-110", "AES")
    assert "# measured_bore = []" in text
    assert "# slope =" in text
    assert "# sling_width =" in text
