"""The table of checks that run out: its rows, its pairs against the rules, and the mistakes it refuses."""

import pytest

from boxup.job import freshness as module
from boxup.job.freshness import Fresh, freshness
from boxup.job.rules import needs, rules
from boxup.job.scope import scope_of_letters
from boxup.job.steps import steps
from boxup.job.table import TableError

ROWS = freshness()
PAIRS = sorted((row.step, guarded) for row in ROWS.values() for guarded in row.guards)
EXCHANGERS = (
    ("AES", "ss,stacked,pyro,entry"),
    ("AES", "no-pulled,entry"),
    ("AES", "no-hot"),
    ("BEU", "ss,stacked,pyro,entry"),
    ("BEU", "no-pulled,ss"),
    ("AKT", "ss,stacked,pyro,entry"),
    ("AET", "ss,stacked,pyro,entry"),
    ("BEW", "ss,stacked,pyro,entry"),
    ("AEP", "ss,stacked,pyro,entry"),
    ("AEP", "ss,st2"),
    ("NEN", "ss,stacked,pyro"),
    ("DEU", "ss,stacked,pyro,entry"),
    ("CFU", "ss,stacked,pyro,entry"),
    ("AEL", "ss,stacked,pyro"),
    ("NEN", "weld"),
    ("BEM", "gas_leak"),
)
# Both steps are there, and the one does not wait for the other, for a reason.
APART = {
    ("FME_CHAN", "CHAN_ON"): "an A channel is open at both ends when it goes on: the look comes after it, before its cover",
    ("ENTRY_GAS", "FME_REAR"): "the head of a closed kettle is looked into on the slab, in the open",
    ("PERMIT", "INSUL"): "where it runs hot, lagging is on the second permit",
    ("PERMIT", "SCAFF"): "where it runs hot, scaffold comes down on the second permit",
    ("THRUST_OK", "FILL_S2"): "a floating head bolted up inside its cover pushes on nothing in the final test; the figure was for the ring",
}


@pytest.mark.parametrize("row", ROWS.values(), ids=ROWS)
def test_every_row_is_sound(row):
    assert row.step in steps()
    assert row.guards <= set(steps()) - {row.step}
    assert row.guards
    assert row.minutes is None or 0 < row.minutes <= 24 * 60
    assert row.because[0].islower() or row.because[0].isdigit(), "half a sentence, put after a colon"
    assert not row.because.endswith(".")
    assert (row.source, row.label) in (("from memory", "memory"), ("common practice", "practice"))
    assert row.label == "memory" or row.minutes is None, "a figure is from memory"


@pytest.mark.parametrize(("letters", "options"), EXCHANGERS)
def test_what_is_guarded_waits_for_the_check(letters, options):
    """A check that nothing waits for could run out unseen."""
    scope = scope_of_letters(letters, options)
    waits = {code: {need.step for need in list_} for code, list_ in needs(scope).items()}
    loose = {(step, guarded) for step, guarded in PAIRS if {step, guarded} <= set(waits) and step not in waits[guarded]}
    assert loose <= set(APART)


def test_every_pair_counts_somewhere():
    here = {
        (need.step, code)
        for letters, options in EXCHANGERS
        for code, list_ in needs(scope_of_letters(letters, options)).items()
        for need in list_
    }
    assert sorted(set(PAIRS) - here) == []
    assert set(APART) <= set(PAIRS)
    assert set(PAIRS) <= {(rule.before, rule.after) for rule in rules()}


@pytest.mark.parametrize("last", ["B", "S1", "T", "S2"])
def test_the_four_tests_are_guarded_alike(last):
    """Chloride for the fill; relief for fill and test; metal and zone for the test: the same figures for each."""
    pumped = {"B": "BENCH", "S1": "STEST1", "T": "TTEST", "S2": "STEST2"}[last]
    for check, minutes, guards in (
        ("CHLOR", 24 * 60, {f"FILL_{last}"}),
        ("RV", None, {f"FILL_{last}", pumped}),
        ("MDT", 30, {pumped}),
        ("TESTZONE", 30, {pumped}),
    ):
        row = ROWS[f"{check}_{last}"]
        assert (row.minutes, row.guards) == (minutes, guards)


def test_every_bolting_step_wants_a_tool_in_date_and_its_figure():
    bolting = {rule.after for rule in rules() if rule.before == "TOOLTAB"}
    assert ROWS["TOOLTAB"].guards == bolting
    assert ROWS["TOOLCAL"].guards == bolting | {"RV_B", "RV_S1", "RV_T", "RV_S2"}


GOOD = {
    "step": "ZERO",
    "expires": "60",
    "guards": "BREAK SB_OUT",
    "because": "valves pass",
    "source": "from memory",
    "label": "memory",
}


def read_with(monkeypatch, *lines):
    monkeypatch.setattr(module, "read_table", lambda *_: lines)
    return freshness.__wrapped__()


def test_a_line_is_read(monkeypatch):
    found = read_with(monkeypatch, GOOD, GOOD | {"step": "PERMIT", "expires": "shift"})
    assert found == {
        "ZERO": Fresh("ZERO", 60, frozenset({"BREAK", "SB_OUT"}), "valves pass", "from memory", "memory"),
        "PERMIT": Fresh("PERMIT", None, frozenset({"BREAK", "SB_OUT"}), "valves pass", "from memory", "memory"),
    }
    with pytest.raises(TypeError):
        found["ZERO"] = found["PERMIT"]


@pytest.mark.parametrize(
    ("spoilt", "words"),
    [
        ({"step": "NOUGHT"}, "freshness.csv, NOUGHT: names NOUGHT, not in steps.csv."),
        ({"guards": "BREAK SMASH ANY"}, "freshness.csv, ZERO: names ANY, SMASH, not in steps.csv."),
        ({"guards": "BREAK ZERO"}, "freshness.csv, ZERO: guards itself."),
        ({"guards": "BREAK BREAK"}, "freshness.csv, ZERO: guards a step twice."),
        ({"guards": ""}, "freshness.csv, ZERO: guards nothing."),
        ({"because": ""}, "freshness.csv, ZERO: has no because."),
        ({"because": "", "guards": ""}, "freshness.csv, ZERO: guards nothing; has no because."),
        *(
            ({"expires": text}, f"freshness.csv, ZERO: expires {text!r}; accepted are whole minutes above 0, or shift.")
            for text in ("", "0", "-30", "1.5", "1 h", "Shift", "shifts", "\u00b2", "\u0663\u0660", "soon")
        ),
    ],
)
def test_a_line_with_a_mistake_is_refused(spoilt, words, monkeypatch):
    with pytest.raises(TableError) as told:
        read_with(monkeypatch, GOOD | spoilt)
    assert str(told.value) == words


def test_a_step_stands_once(monkeypatch):
    with pytest.raises(TableError, match=r"^freshness\.csv, ZERO: stands twice\.$"):
        read_with(monkeypatch, GOOD, GOOD)
