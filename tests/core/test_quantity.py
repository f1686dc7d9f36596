"""Customary units are read exactly; what cannot be read is refused with what is accepted."""

import pytest

from boxup.core.quantity import BadValue, WhichTon, quantity
from boxup.core.rounding import both

# Exact by definition: 1 in = 25.4 mm, 1 lb = 0.45359237 kg, g = 9.80665 m/s2, 1 US gal = 231 in3 (NIST SP 811, appendix B.8).
EXACT = [
    ("20 bar", "MPa", 2.0e6),
    ("300 psi", "MPa", 300 * 0.45359237 * 9.80665 / 0.0254**2),
    ("300 psig", "MPa", 300 * 0.45359237 * 9.80665 / 0.0254**2),
    ("1 kgf/cm2", "MPa", 98066.5),
    ("455 lbf.ft", "N.m", 455 * 0.45359237 * 9.80665 * 0.3048),
    ("7/8 in", "mm", 0.022225),
    ("1-1/4 in", "mm", 0.03175),
    ("1 1/4 in", "mm", 0.03175),
    ("-10 degC", "degC", 263.15),
    ("14 °F", "degC", 263.15),
    ("10 gal", "L", 10 * 231 * 0.0254**3),
    ("0,18", "-", 0.18),
    ("36", "count", 36.0),
    ("60 deg", "deg", 1.0471975511965976),
    ("134.8 kN", "N", 134800.0),
    ("1000 lbf", "N", 1000 * 0.45359237 * 9.80665),
]


# 2000 lb and 2240 lb (NIST SP 811, appendix B.8); the tonne, 1000 kg, is `t` in the SI brochure, table 8.
TONS = [
    ("8.5 short ton", 8.5 * 2000 * 0.45359237), ("1 short tons", 907.18474), ("1 ston", 907.18474), ("1 ton (US)", 907.18474),
    ("2 US tons", 2 * 907.18474), ("1 long ton", 1016.0469088), ("1 ton (UK)", 1016.0469088), ("25 t", 25e3), ("25 tonne", 25e3),
    ("25 tonnes", 25e3), ("25 metric tons", 25e3),
]  # fmt: skip


@pytest.mark.parametrize(("text", "kg"), TONS)
def test_a_ton_that_says_which_is_read_exactly(text, kg):
    assert quantity(text, "kg").si == pytest.approx(kg, rel=1e-12)


@pytest.mark.parametrize("text", ["25 ton", "25 tons", "25 Ton", "25 TONS", "25 T", "25 tn", "25 ton."])
@pytest.mark.parametrize("like", ["kg", "N"])
def test_a_ton_that_does_not_say_which_is_asked_for(text, like):
    with pytest.raises(WhichTon) as told:
        quantity(text, like)
    assert repr(text) in str(told.value)
    assert all(word in str(told.value) for word in ("2000 lb", "1000 kg", "2240 lb", "'short ton'", "'t'", "'long ton'"))


def test_a_ton_is_no_pressure():
    with pytest.raises(BadValue, match="accepted: Pa"):
        quantity("25 ton", "MPa")


@pytest.mark.parametrize(("text", "like", "si"), EXACT)
def test_reads_exactly(text, like, si):
    assert quantity(text, like).si == pytest.approx(si, rel=1e-14)


NOT_A_PRESSURE = ["20", "20 bananas", "bar", "", "20 mm", "1/0 bar", "nan bar", "inf bar", "--3 bar", "20 bar bar", "0x10 bar", "1e999 bar"]


@pytest.mark.parametrize("text", NOT_A_PRESSURE)
def test_refuses_what_is_not_a_pressure(text):
    with pytest.raises(BadValue, match=r"accepted|divides"):
        quantity(text, "MPa")


def test_keeps_what_was_typed():
    got = quantity(" 7/8 in ", "mm", "measured", "line 4")
    assert (got.typed, got.grade, got.where, got.to("mm")) == ("7/8 in", "measured", "line 4", pytest.approx(22.225))


def test_a_plain_number_takes_no_unit_and_an_angle_is_no_plain_number():
    with pytest.raises(BadValue):
        quantity("0.18 mm", "-")
    with pytest.raises(BadValue):
        quantity("0.18 deg", "-")
    with pytest.raises(BadValue):
        quantity("60", "deg")


def test_the_units_of_an_angle_that_are_named_are_the_ones_that_are_read():
    for text in ("60", "60 mm", "60 count", "sixty"):
        with pytest.raises(BadValue) as told:
            quantity(text, "deg")
        named = str(told.value).split("accepted: ")[1].removeprefix("a number and ").split("; ")[0].split(", for example")[0]
        assert [quantity(f"60 {unit}", "deg").to("deg") for unit in named.split(", ")] == [pytest.approx(60)] * 2


@pytest.mark.parametrize(
    ("text", "like", "write"),
    [("26,000.5 lb", "kg", "'26000.5 lb'"), ("12,345,678 N", "N", "'12345678 N'"), ("1,000,000.5 N", "N", "'1000000.5 N'")],
)
def test_what_is_told_to_be_written_is_read(text, like, write):
    with pytest.raises(BadValue) as told:
        quantity(text, like)
    assert str(told.value).endswith(f"write {write}")
    quantity(write.strip("'"), like)


@pytest.mark.parametrize("text", ["1,350 kg", "44,550 lbf", "1,200 psi", " -1,000 mm"])
def test_a_comma_before_three_digits_is_refused_with_both_readings(text):
    like = {"kg": "kg", "lbf": "N", "psi": "MPa", "N": "N", "mm": "mm"}[text.split()[-1]]
    with pytest.raises(BadValue, match="decimal sign or part thousands"):
        quantity(text, like)


@pytest.mark.parametrize(
    ("text", "like", "write"),
    [
        ("5.000 kg", "kg", ("5000 kg", "5.0 kg")),
        ("1.350 N.m", "N.m", ("1350 N.m", "1.35 N.m")),
        ("44.557 lbf", "N", ("44557 lbf", "44.5570 lbf")),
        ("5,000 kg", "kg", ("5000 kg", "5.0 kg")),
        ("1.200", "count", ("1200", "1.2")),
    ],
)
def test_a_point_before_three_digits_is_asked_about_as_a_comma_is(text, like, write):
    """Five thousand where points part thousands, five where they are decimals. What is told to be written is read."""
    with pytest.raises(BadValue, match="may be a decimal sign or part thousands") as told:
        quantity(text, like)
    assert all(f"'{one}'" in str(told.value) for one in write)
    for one in write:
        quantity(one, like)


def test_points_that_part_thousands_are_told():
    with pytest.raises(BadValue, match="write '1350000 kg'"):
        quantity("1.350.000 kg", "kg")


@pytest.mark.parametrize(
    ("text", "like", "si"),
    [
        ("1.125 in", "mm", 0.028575), ("6.096 m", "m", 6.096), ("1.350 t", "kg", 1350), ("2.857 N.m/bar", "N.m/bar", 2.857e-5),
        ("0.250 kg", "kg", 0.25), ("1350.125 kg", "kg", 1350.125), ("5 000 kg", "kg", 5000), ("5\u202f000 kg", "kg", 5000),
        ("1\u00a0350\u00a0000.5 N", "N", 1350000.5), ("12 500,5 kg", "kg", 12500.5), ("1 1/4 in", "mm", 0.03175), ("5 000", "count", 5000),
        ("1.875e3 kg", "kg", 1875),
    ],
)  # fmt: skip
def test_what_can_be_one_number_only_is_read(text, like, si):
    """Lengths, tonnes and factors have thousandths; blanks part thousands as they do where the program prints them."""
    got = quantity(text, like)
    assert got.si == pytest.approx(si)
    assert got.typed == text


def test_what_is_printed_is_read():
    for kg in (5.0, 1234.0, 13100.0):
        printed = both("mass", kg).partition(" (")[0]
        assert quantity(printed, "kg").si == pytest.approx(kg, rel=0.01)


@pytest.mark.parametrize(("text", "si"), [("0,18", 0.18), ("1,5", 1.5), ("2,25", 2.25), ("0,1234", 0.1234)])
def test_a_decimal_comma_is_read(text, si):
    assert quantity(text, "-").si == pytest.approx(si)
