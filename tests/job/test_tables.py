import re
from importlib import resources

import pytest

from boxup.job import table
from boxup.job.flags import flag_rows
from boxup.job.steps import steps
from boxup.job.table import TableError, read_table

FOLDER = resources.files("boxup.job") / "data"
NAMES = sorted(file.name for file in FOLDER.iterdir() if file.name.endswith(".csv"))


@pytest.mark.parametrize("name", NAMES)
def test_every_table_says_where_its_rows_come_from(name):
    rows = read_table(name, ())
    assert rows
    for row in rows:
        assert row["label"] in ("published", "practice", "memory"), name
        assert (row["label"] == "memory") == ("memory" in row["source"] or "copy" in row["source"]) or name == "steps.csv"


def test_there_are_tables():
    assert {"flags.csv", "steps.csv", "rules.csv", "kinds.csv", "incidents.csv"} <= set(NAMES)


def test_steps_read_like_the_trade():
    for step in steps().values():
        assert step.what[0].isupper(), step.code
        assert not step.what.endswith("."), step.code
        assert re.fullmatch(r"[A-Z][A-Z0-9_]*", step.code)
        assert step.who


def test_codes_and_flags_that_people_script_against_are_there():
    """Spot check of the public names: they may be added to, not renamed."""
    assert {"PACK", "BLIND_OUT", "GKT_FH", "TTEST", "STEST1", "STEST2", "FH_ON_T", "MAKER_D", "REAR_LMN", "W_LANTERN", "P_SHEAR"} <= set(
        steps()
    )
    assert {"pulled", "st1", "st2", "plugs", "hot", "stacked", "pair_test", "xj", "ss", "alloy"} <= {row.name for row in flag_rows()}


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("a,source,label\n1,common practice,practice,extra\n", "line 2: more or fewer fields"),
        ("a,source,label\n1,common practice\n", "line 2: more or fewer fields"),
        ("a,source,label\n1,,practice\n", "line 2: no source"),
        ("a,source,label\n1,common practice,hearsay\n", "label 'hearsay' is not one of published"),
        ("b,source,label\n", "no column a"),
    ],
)
def test_a_spoilt_table_is_told(text, words, tmp_path, monkeypatch):
    (tmp_path / "data").mkdir()
    (tmp_path / "data" / "spoilt.csv").write_text(text, encoding="utf-8")
    monkeypatch.setattr(table.resources, "files", lambda _: tmp_path)
    read_table.cache_clear()
    with pytest.raises(TableError, match=words):
        read_table("spoilt.csv", ("a",))
    read_table.cache_clear()
