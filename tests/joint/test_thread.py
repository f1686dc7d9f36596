"""A size is read or refused with what is accepted; areas follow the thread standards' own relations."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from boxup.core.calculation import BadInput
from boxup.core.quantity import BadValue
from boxup.joint.thread import bolt_area, common_size, thread
from boxup.reference.load import table

IN = 0.0254


def area(size, key):
    return bolt_area.run(bolt_area.parse({"size": size})).si(key)


@pytest.mark.parametrize(
    ("typed", "inches", "per_inch"),
    [
        ("3/4-10", 0.75, 10),
        ("1-8", 1, 8),
        ("2-1/2-8", 2.5, 8),
        ("7/8-9", 0.875, 9),
        ("1-1/8-8UN", 1.125, 8),
        ("1 1/8-8", 1.125, 8),
        ("1-8 UNC-2A", 1, 8),
        (" 1-8 ", 1, 8),
        ("1.125-8", 1.125, 8),
        ("7-8", 7, 8),
        ("1/4-20", 0.25, 20),
    ],
)
def test_inch_sizes(typed, inches, per_inch):
    t = thread(typed)
    assert math.isclose(t.diameter, inches * IN)
    assert (t.per_inch, t.metric) == (per_inch, False)
    assert math.isclose(t.pitch, IN / per_inch)


@pytest.mark.parametrize(
    ("typed", "mm", "pitch"), [("M24x3", 24, 3), ("m24×3", 24, 3), ("M14x1,5", 14, 1.5), ("M14X1.5", 14, 1.5), ("M24x3-6g", 24, 3)]
)
def test_metric_sizes(typed, mm, pitch):
    t = thread(typed)
    assert t.metric
    assert math.isclose(t.diameter, mm * 1e-3)
    assert math.isclose(t.pitch, pitch * 1e-3)


@pytest.mark.parametrize("typed", ["1", "1 in", '1"', "1-1/2", "2 1/2", "3/4", "M24", "24 mm", "0.75"])
def test_a_diameter_alone_is_asked_for_its_thread(typed):
    with pytest.raises(BadValue, match="which thread"):
        thread(typed)


def test_the_question_names_the_usual_thread():
    with pytest.raises(BadValue, match="such as 1-1/2-8"):
        thread("1-1/2")


@pytest.mark.parametrize(
    "typed",
    [
        "",
        " ",
        "abc",
        "-1-8",
        "1--8",
        "0-8",
        "1-0",
        "1/0-8",
        "1-1/0-8",
        "99-8",
        "1e3-8",
        "M0x1",
        "M24x25",
        "M24x0",
        "M3x0.5",
        "M300x3",
        "1-99",
        "1/16-64",
        "１-8",
        "1-8;",
        "1-8\n1-8",
        "M24x3x3",
        "nan-8",
        "inf-8",
        "8UN",
        "1-8 UNC 2B x",
        "1-2",
        "x" * 500,
        "3/4-10 " + " " * 40 + "x",
    ],
)
def test_everything_else_is_refused_with_what_is_accepted(typed):
    with pytest.raises(BadValue, match="accepted"):
        thread(typed)


@given(st.text(max_size=30))
def test_any_text_is_read_or_refused(typed):
    try:
        t = thread(typed)
    except BadValue:
        return
    assert 0.006 <= t.diameter <= 0.18
    assert 0 < t.pitch <= t.diameter / 4


def test_the_refusal_names_the_key():
    with pytest.raises(BadInput, match=r"^size: "):
        bolt_area.parse({"size": "1"})


@pytest.mark.parametrize("size", [*table("stud_threads"), "M12x1.75", "M24x3", "M64x6"])
def test_root_inside_tensile_inside_the_full_circle(size):
    d = thread(size).diameter
    root, tensile, pitch_d = (area(size, k) for k in ("root_area", "tensile_area", "pitch_diameter"))
    assert 0 < root < tensile < math.pi / 4 * pitch_d**2 < math.pi / 4 * d**2


@pytest.mark.computed
@pytest.mark.parametrize("size", ["M24x3", "M64x6"])
def test_metric_tensile_diameter_is_the_mean_of_pitch_and_root(size):
    """ISO 898-1 defines it so; its constant 0.9382 is that mean to four figures."""
    t = thread(size)
    d_2, d_3 = t.diameter - 0.649519 * t.pitch, t.diameter - 1.226869 * t.pitch
    assert area(size, "tensile_area") == pytest.approx(math.pi / 4 * ((d_2 + d_3) / 2) ** 2, rel=1e-4)


def test_finer_thread_of_a_diameter_has_more_core():
    assert area("1-8", "root_area") < area("1-12", "root_area") < area("1-14", "root_area")


@pytest.mark.parametrize(("size", "said"), [("1-1/8-7", True), ("1-12", True), ("1-8", False), ("0.75-10", False), ("M24x3", False)])
def test_an_unusual_thread_is_remarked_on(size, said):
    answer = bolt_area.run(bolt_area.parse({"size": size}))
    assert any("thread gauge" in f.text for f in answer.findings) == said


def test_the_common_thread_of_a_diameter():
    assert common_size(0.875 * IN) == "7/8-9"
    assert common_size(1.125 * IN) == "1-1/8-8"
    assert common_size(0.03) is None


@pytest.mark.memory
@pytest.mark.parametrize(
    ("size", "root", "tensile", "pitch_diameter"),
    [("M24x3", 324.3, 352.5, 22.051), ("1-8", 355.5, 390.8, 0.91881 * 25.4), ("3/4-10", 194.8, 215.8, 0.68505 * 25.4)],
)
def test_areas_as_the_thread_tables_print_them(size, root, tensile, pitch_diameter):
    """Tolerance: the last figure printed."""
    assert area(size, "root_area") * 1e6 == pytest.approx(root, abs=0.06)
    assert area(size, "tensile_area") * 1e6 == pytest.approx(tensile, abs=0.06)
    assert area(size, "pitch_diameter") * 1e3 == pytest.approx(pitch_diameter, abs=6e-4)
