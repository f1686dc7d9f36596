import pytest
from hypothesis import given
from hypothesis import strategies as some

from boxup.job.condition import ConditionError, check_names, parse

FLAGS = {"rear": "S", "front": "A", "pulled": True, "hot": False, "always": True, "inside": True}


@pytest.mark.parametrize(
    ("text", "holds"),
    [
        ("always", True),
        ("not always", False),
        ("true", True),
        ("false", False),
        ('rear == "S"', True),
        ('rear != "S"', False),
        ('rear in "LMN"', False),
        ('rear in "ST"', True),
        ('not rear in "LMN"', True),
        ('hot or pulled and rear == "T"', False),  # and binds tighter than or
        ("(hot or pulled) and always", True),
        ("not hot and pulled", True),  # not binds tighter than and
        ("not (hot and pulled)", True),
        ("not not pulled", True),
        ("inside", True),  # a name that begins with a word of the grammar
        ('front == "B" or front == "A" and pulled', True),
        ("  pulled\tand(always)", True),
    ],
)
def test_conditions_hold_as_they_read(text, holds):
    assert parse(text).holds(FLAGS) is holds


@pytest.mark.parametrize(
    ("text", "position", "said"),
    [
        ("", 1, "the end"),
        ("pulled and", 11, "flag name"),
        ("pulled pulled", 8, "and, or, or the end"),
        ("(pulled", 8, "closing bracket"),
        ("pulled)", 7, "and, or, or the end"),
        ('rear = "S"', 6, "'='"),
        ('rear == "S', 9, "quote is not closed"),
        ("rear == S", 9, "letters in double quotes"),
        ('rear in ""', 9, "letters in double quotes"),
        ('rear in ("S")', 9, "letters in double quotes"),
        ("pulled & hot", 8, "'&'"),
        ("__import__('os')", 12, "is not part of the grammar"),
        ("pulled.real", 7, "'.'"),
        ("and pulled", 1, "flag name"),
        ("not", 4, "flag name"),
        ("in", 1, "flag name"),
    ],
)
def test_outside_the_grammar_is_refused_with_its_position(text, position, said):
    with pytest.raises(ConditionError) as wrong:
        parse(text)
    assert f"position {position}:" in str(wrong.value)
    assert said in str(wrong.value)
    assert 'in "LETTERS"' in str(wrong.value)


def test_deep_nesting_is_refused_not_crashed_on():
    with pytest.raises(ConditionError, match="no deeper"):
        parse("(" * 5000 + "pulled" + ")" * 5000)
    with pytest.raises(ConditionError, match="no deeper"):
        parse("not " * 5000 + "pulled")


def test_unknown_flag_and_wrong_use_are_refused():
    with pytest.raises(ConditionError, match=r"no flag raer; the flags are always, front, hot"):
        parse('raer == "S"').holds(FLAGS)
    with pytest.raises(ConditionError, match=r'rear is a letter; compare it, as in rear == "S"'):
        parse("pulled and rear").holds(FLAGS)
    with pytest.raises(ConditionError, match="pulled is yes or no, not a letter"):
        parse('pulled == "S"').holds(FLAGS)
    with pytest.raises(ConditionError, match="no flag raer"):
        check_names(parse('pulled or raer == "S"'), FLAGS)


def test_names_are_those_looked_at():
    assert parse('not (a or b == "X") and c in "YZ" or true').names == {"a", "b", "c"}


@given(some.text(max_size=40))
def test_any_text_is_a_condition_or_a_condition_error(text):
    try:
        parse(text)
    except ConditionError as wrong:
        assert "position" in str(wrong)  # noqa: PT017 - other errors must fail the test


@some.composite
def written_conditions(draw, depth=3):
    """A condition as text together with what it comes to, worked out while it is written: the second route."""
    kind = draw(some.sampled_from(["flag", "letter"] if depth == 0 else ["flag", "letter", "not", "and", "or"]))
    if kind == "flag":
        name = draw(some.sampled_from(["pulled", "hot", "always"]))
        return name, FLAGS[name]
    if kind == "letter":
        letters = draw(some.text("LMNPSTUW", min_size=1, max_size=4))
        return f'rear in "{letters}"', "S" in letters
    one, first = draw(written_conditions(depth=depth - 1))
    if kind == "not":
        return f"not ({one})", not first
    two, second = draw(written_conditions(depth=depth - 1))
    return f"({one}) {kind} ({two})", (first and second) if kind == "and" else (first or second)


@pytest.mark.computed
@given(written_conditions())
def test_a_condition_comes_to_what_it_was_written_to_come_to(written):
    text, holds = written
    assert parse(text).holds(FLAGS) is holds
