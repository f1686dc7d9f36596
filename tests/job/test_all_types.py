"""Every set of TEMA letters with the options that may be set: order of work, test plan and joints say the same thing.

The order knows what is done before what, the plan what stands under pressure. They come from two tables that were argued apart; here each
is held against the other, for every type, with its items.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache, cached_property
from graphlib import TopologicalSorter

import pytest
from tests.made_up import made_up

from boxup.exchanger import joints as joint
from boxup.exchanger.joints import joints_of
from boxup.exchanger.letters import BadLetters, Letters, letters
from boxup.exchanger.model import Joint
from boxup.hydro.plan import STEPS, PlannedTest, plan_of
from boxup.job.flags import FlagError, Flags, option_names, read_letters, settle
from boxup.job.lists import scope_of
from boxup.job.order import order
from boxup.job.rules import needs, rules
from boxup.job.scope import Scope

ALL = tuple(a + b + c for a, b, c in itertools.product("ABCND", "EFGHJKX", "LMNPSTUW"))
SHAPING = ("pulled", "chan_off", "rear_chan_off", "sc", "st1", "st2")
BESIDE = ("vertical", "stacked", "pair_test", "xj", "ss", "alloy", "plugs", "entry", "pyro", "hot", "weld", "gas_leak")
# Eight settings in which every two options meet in all four ways (columns of a Hadamard matrix, and five turned round).
PATTERNS = tuple(
    dict(zip(BESIDE, (a, b, a ^ b, c, a ^ c, b ^ c, a ^ b ^ c, not a, not b, not c, a == b, a == c), strict=True))
    for a, b, c in itertools.product((True, False), repeat=3)
)
FILL = {"B": "FILL_B", "S1": "FILL_S1", "T": "FILL_T", "S2": "FILL_S2"}
# What holds a joint that was opened, when that test presses its side: every one of these steps that exists, of that joint where it has it.
HOLDS = {
    ("B", joint.FLOATING_HEAD): ("FH_ON_T",),
    ("S1", joint.TUBESHEET_SHELL): ("GIRTH_TORQ", "FRONT_RING"),
    ("S1", joint.SHELL_COVER): ("SC_ON", "TRING"),
    ("S1", joint.STUFFING_BOX): ("P_GLAND", "P_PACKTIGHT"),
    ("S1", joint.SHELL_PACKING): ("W_SLOCK", "W_LANTERN", "TRING"),
    ("T", joint.CHANNEL_COVER): ("CC_ON",),
    ("T", joint.CHANNEL_TUBESHEET): ("GIRTH_TORQ",),
    ("T", joint.CLOSURE): ("MAKER_D",),
    ("T", joint.FLOATING_HEAD): ("FH_TORQ", "FH_ON_T"),
    ("T", joint.REAR_HEAD): ("REAR_LMN", "P_COVER", "P_SHEAR"),
    ("T", joint.REAR_COVER): ("REAR_LMN",),
    ("T", joint.CHANNEL_PACKING): ("W_TPACK", "W_REAR"),
    ("S2", joint.TUBESHEET_SHELL): ("GIRTH_TORQ",),
    ("S2", joint.SHELL_COVER): ("SC_ON",),
    ("S2", joint.STUFFING_BOX): ("P_GLAND", "P_PACKTIGHT"),
    ("S2", joint.SHELL_PACKING): ("W_SLOCK", "W_REAR"),
}
# In the first shell test one of these stands in for the joint itself: either is enough, and exactly one is there.
EITHER = {("S1", joint.TUBESHEET_SHELL), ("S1", joint.SHELL_COVER), ("T", joint.FLOATING_HEAD)}
# The steps that make a joint, last gasket and last pull: when a test is final for it, they are all done.
MAKES = {
    joint.CHANNEL_COVER: ("GKT_CC", "CC_ON"),
    joint.CHANNEL_TUBESHEET: ("GKT_CHTS", "CHAN_ON", "GIRTH_SNUG", "GIRTH_TORQ"),
    joint.TUBESHEET_SHELL: ("GKT_SHELLTS", "INSERT", "GIRTH_SNUG", "GIRTH_TORQ"),
    joint.CLOSURE: ("MAKER_D",),
    joint.FLOATING_HEAD: ("SPLIT", "GKT_FH", "FH_ON", "FH_TORQ", "FH_ON_T"),
    joint.SHELL_COVER: ("GKT_SC", "SC_ON"),
    joint.REAR_HEAD: ("REAR_LMN", "P_SHEAR", "P_COVER"),
    joint.REAR_COVER: ("REAR_LMN",),
    joint.STUFFING_BOX: ("P_GLAND", "P_PACKTIGHT"),
    joint.SHELL_PACKING: ("W_SLOCK", "W_LANTERN", "W_REAR"),
    joint.CHANNEL_PACKING: ("W_TPACK", "W_REAR"),
}


@dataclass(frozen=True)
class Case:
    """One exchanger: letters, options, its scope with items and its plan."""

    type: Letters
    flags: Flags
    scope: Scope
    plan: tuple[PlannedTest, ...]
    joints: tuple[Joint, ...]

    @property
    def name(self) -> str:
        return f"{self.type} {', '.join(name for name in option_names() if self.flags[name])}"

    @cached_property
    def waits(self) -> dict[str, set[str]]:
        """What each step waits for directly."""
        return {code: {need.step for need in list_} for code, list_ in needs(self.scope).items()}

    def direct(self, step: str) -> set[str]:
        """What an item of this step waits for directly."""
        return set().union(*(self.waits[one.code] for one in self.scope.by_step[step]))

    def before(self, step: str) -> frozenset[str]:
        """Everything that is done before the last item of this step begins, near or far."""
        if step not in self._before:
            self._before[step] = self._walked(step)
        return self._before[step]

    @cached_property
    def _before(self) -> dict[str, frozenset[str]]:
        return {}

    def _walked(self, step: str) -> frozenset[str]:
        found: set[str] = set()
        look = [one.code for one in self.scope.by_step[step]]
        while look:
            fresh = self.waits[look.pop()] - found
            found |= fresh
            look.extend(fresh)
        return frozenset(found)

    def here(self, step: str, id_: str) -> str:
        """The code of a step for that joint, or for the joint whose studs it shares; "" where it has none."""
        owner = next((item.of or item.id for item in self.scope.items if item.id == id_), id_)
        ones = self.scope.by_step.get(step, ())
        if ones and (step == "MAKER_D" or ones[0].item is None or ones[0].item.list != "joints"):
            return ones[0].code  # done once, or once a test: it is for every joint; a maker's closure is the whole front
        return next((one.code for one in ones if one.code in (f"{step}:{id_}", f"{step}:{owner}")), "")

    def pressed(self, t: PlannedTest) -> list[Joint]:
        """The joints that were opened and that the test presses from inside; on the ground the floating head alone."""
        here = [j for j in self.joints if t.side in j.sides and self.opened(j.id)]
        return [j for j in here if t.code != "B" or j.kind == joint.FLOATING_HEAD]

    def opened(self, id_: str) -> bool:
        return next(item.place for item in self.scope.items if item.id == id_) == "opened"


def legal(type_: str) -> Iterator[tuple[dict[str, bool], Flags]]:
    """The settings that may be set: every one of the shaping options, and beside each a pattern of the others."""
    shapes = list(_shapes(type_))
    for n, pattern in enumerate(itertools.islice(itertools.cycle(PATTERNS), max(len(shapes), len(PATTERNS)))):
        shape = shapes[n % len(shapes)]
        pattern = pattern | {"pair_test": pattern["pair_test"] and pattern["stacked"]}
        wanted = {name: yes for name, yes in pattern.items() if name != "xj" or letters(type_).fixed}
        yield shape | wanted, settle(type_, shape | wanted)


def _shapes(type_: str) -> Iterator[dict[str, bool]]:
    for values in itertools.product((True, False), repeat=len(SHAPING)):
        shape = dict(zip(SHAPING, values, strict=True))
        try:
            settle(type_, shape)
        except FlagError:
            continue
        yield shape


def possible() -> Iterator[Letters]:
    for text in ALL:
        try:
            yield letters(text)
        except BadLetters:
            continue


@cache
def cases() -> tuple[Case, ...]:
    """One case for each thing the flags can say; shell letters that say the same are not walked twice."""
    found: dict[tuple[object, ...], Case] = {}
    for kind in possible():
        for options, flags in legal(str(kind)):
            key = tuple(value for name, value in flags.items() if name != "shell")
            if key not in found:
                listed = tuple(
                    Joint(id=j.id, kind=j.kind, between=j.between, sides=j.sides, ribs_end=j.ribs_end) for j in joints_of(kind, options)
                )
                x = made_up(str(kind), options=options, joints=listed)
                found[key] = Case(kind, flags, scope_of(x), plan_of(x), listed)
    return tuple(found.values())


def test_all_letters_are_walked_and_every_option_both_ways():
    kinds = list(possible())
    assert len(kinds) == 245
    for kind in kinds:
        flags = [settled for _, settled in legal(str(kind))]
        for name in BESIDE:
            said = {settled[name] for settled in flags}
            assert said == ({True, False} if name != "xj" or kind.fixed else {False}), (kind, name)
    assert len(cases()) > 700


def test_impossible_letters_are_refused_with_a_reason():
    refused = [text for text in ALL if text not in {str(kind) for kind in possible()}]
    assert len(refused) == 35
    for text in refused:
        with pytest.raises(BadLetters, match=r"an N front has its tubesheet welded to the shell, so the rear must be L, M or N"):
            letters(text)
        with pytest.raises(FlagError, match=r"an N front is welded to the shell, so its rear must be a fixed tubesheet"):
            read_letters(text)


def test_impossible_options_are_refused_with_what_they_mean():
    seen = 0
    for kind in possible():
        for values in itertools.product((True, False), repeat=len(SHAPING)):
            try:
                settle(str(kind), dict(zip(SHAPING, values, strict=True)))
            except FlagError as wrong:
                seen += 1
                for sentence in wrong.problems:
                    assert " means: " in sentence, sentence
                    assert "only when" in sentence or "must be yes when" in sentence, sentence
    assert seen > 4000


def test_no_rules_go_round_and_nothing_floats_past_the_file():
    for case in cases():
        line = list(TopologicalSorter(case.waits).static_order())  # CycleError where they go round
        assert set(line) == set(case.scope.instances), case.name
        assert case.before("FILE") == set(case.scope.instances) - {"FILE"}, case.name


def test_the_order_that_is_printed_is_legal():
    """Once for each pair of heads and each kind of shell."""
    first = {(case.type.front, case.type.rear, case.flags["longbaf"], case.flags["kettle"]): case for case in reversed(cases())}
    assert len(first) == 35 * 3
    for case in first.values():
        seen: set[str] = set()
        for placed in order(case.scope):
            assert case.waits[placed.instance.code] <= seen, case.name
            seen.add(placed.instance.code)
        assert seen == set(case.scope.instances), case.name


def test_each_test_of_the_order_has_its_plan_and_each_of_the_plan_its_step():
    for case in cases():
        assert {t.step for t in case.plan} == {step for step in STEPS.values() if step in case.scope.by_step}, case.name
        assert all(t.step == STEPS[t.code] for t in case.plan)
        for earlier, later in itertools.pairwise(case.plan):
            assert any(code.partition(":")[0] == earlier.step for code in case.before(FILL[later.code])), f"{case.name}: {later.code}"


def test_rings_and_the_push_on_a_free_rear_are_the_same_in_both():
    for case in cases():
        gear = " ".join(g for t in case.plan for g in t.gear)
        assert ("rear test ring" in gear) == ("TRING" in case.scope.by_step), case.name
        assert ("front test ring" in gear) == ("FRONT_RING" in case.scope.by_step), case.name
        assert any(t.end_push for t in case.plan) == ("THRUST_OK" in case.scope.by_step), case.name
        for t in case.plan:
            assert not t.end_push or "THRUST_OK" in case.direct(t.step), f"{case.name}: {t.code} may begin without the engineer's figure"


def test_nobody_presses_a_side_with_an_open_joint_of_that_side():
    for case in cases():
        for t in case.plan:
            done = case.before(FILL[t.code])
            for j in case.pressed(t):
                held = [code for step in HOLDS[t.code, j.kind] if (code := case.here(step, j.id))]
                there = [code for code in held if code in done]
                assert there, f"{case.name}: {t.code} with {j.id} ({j.kind}) open"
                assert (t.code, j.kind) in EITHER or there == held, f"{case.name}: {t.code}, {j.id} ({j.kind}): {set(held) - set(there)}"


def test_every_joint_that_is_opened_is_proved_with_its_last_gasket_in():
    for case in cases():
        for j in case.joints:
            if not case.opened(j.id):
                continue
            tests = [t for t in case.plan if j.id in t.proves and j.id in t.final]
            assert tests, f"{case.name}: nothing proves {j.id} ({j.kind})"
            for t in tests:
                made = {code for step in MAKES[j.kind] if (code := case.here(step, j.id))}
                after = made - case.before(t.step)
                assert not after, f"{case.name}: {t.code} is said to be final for {j.id} ({j.kind}), and {after} come after it"


def test_what_is_under_pressure_was_filled_and_can_be_vented():
    for case in cases():
        for t in case.plan:
            done = {code.partition(":")[0] for code in case.before(FILL[t.code])}
            words = " ".join(t.vent)
            assert "solid water" in words
            upright = case.flags["vertical"] and t.code != "B"
            assert ("upper" in words) == bool(case.flags["vertical"]), (case.name, t.code, words)
            if upright and t.side == "shell":
                assert "under the upper tubesheet" in words
            small_bore = {"S1": "SB_S", "S2": "SB_S", "T": "SB_T"}.get(t.code)
            assert small_bore is None or small_bore in done, (case.name, t.code)
            assert t.code == "B" or ("BLIND_IN" in done and {"S1": "TBLIND_S", "S2": "TBLIND_S", "T": "TBLIND_T"}[t.code] in done)
            what = {one.what(case.flags) for one in case.scope.by_step[FILL[t.code]]}
            if upright:
                assert all("from the bottom" in text and "upper" in text for text in what), what


def test_the_other_side_is_open_and_dry_when_a_side_is_pressed():
    for case in cases():
        steps = {t.code for t in case.plan}
        if {"S1", "T"} <= steps:
            assert any(code.startswith("STEST1_DRAIN") for code in case.before("FILL_T")), case.name
        if {"T", "S2"} <= steps:
            assert any(code.startswith("TTEST_DRAIN") for code in case.before("FILL_S2")), case.name
        assert all("empty" in t.open or "in sight" in t.open for t in case.plan)
        assert all(any("outside" in words for words in t.other_side) for t in case.plan if t.side == "shell")


def test_shear_ring_packing_and_weep_holes():
    for case in cases():
        tests = [t.step for t in case.plan]
        if case.type.rear == "P":
            assert "P_SHEAR" in case.direct("TTEST")
            assert "STEST1" not in tests or not {"P_SHEAR", "P_COVER"} & {c.partition(":")[0] for c in case.before("STEST1")}
        if case.type.rear == "W":
            for step in tests:
                assert "WEEP" in case.direct(step), (case.name, step)
            assert all(any("weep holes" in words for words in t.on) for t in case.plan)
        else:
            assert "WEEP" not in case.scope.by_step


def test_a_special_closure_is_one_hold_of_its_maker_and_nothing_is_improvised():
    """The closure is his; the joint between channel and shell is bolted by the crew, before it and before any water."""
    ours = {"CC_ON", "GKT_CC", "CHAN_ON", "GKT_CHTS", "FRONT_RING", "FRING_OFF", "STEST1", "TSGKT_KEEP"}
    holds = {rule.after for rule in rules() if rule.before == "MAKER_D" and rule.hold}
    for case in cases():
        assert (case.type.front == "D") == ("MAKER_D" in case.scope.by_step)
        if case.type.front != "D":
            continue
        assert len(case.scope.by_step["MAKER_D"]) == 1, case.name
        assert not ours & set(case.scope.by_step), case.name
        assert "FILL_T" in holds
        assert ("GIRTH_TORQ" in case.scope.by_step) == bool(case.flags["pulled"]), case.name
        if case.flags["pulled"]:
            assert all("GIRTH_TORQ" in {c.partition(":")[0] for c in case.direct(s)} for s in ("MAKER_D", "FILL_T", "FILL_S2")), case.name
        told = [leak for t in case.plan for leak in t.leaks]
        closure = [leak for leak in told if "special closure" in leak.seen]
        assert closure
        front = [leak for leak in told if leak.seen == "front tubesheet edge"]
        assert all("the maker's man" in leak.do and "tighten" not in leak.do for leak in closure)
        assert all("tighten once by the procedure" in leak.do for leak in front)
        assert not any("channel cover off" in leak.tell_apart or "bonnet off" in leak.tell_apart for leak in told)


def test_kettles_with_and_without_a_way_to_the_rear():
    for case in cases():
        bench = case.type.rear == "T" and case.flags["pulled"] and not case.flags["sc"]
        assert ("BENCH" in case.scope.by_step) == bench == any(t.code == "B" for t in case.plan), case.name
        if bench:
            assert any(code.startswith("BENCH") for code in case.before("INSERT"))
        if case.type.rear == "T" and not case.flags["sc"]:
            seen = " ".join(words for t in case.plan for words in (*t.shows, *t.cannot_prove))
            assert "a whole pass dribbles is the floating head" in seen or "floating head" in seen


def test_stops_of_an_expansion_joint_are_in_before_water_and_out_before_heat():
    for case in cases():
        if not case.flags["xj"]:
            assert "XJ_STOPS" not in case.scope.by_step
            continue
        for t in case.plan:
            assert "XJ_STOPS" in case.before(FILL[t.code]), case.name
            assert any("expansion joint" in words for words in (*t.on, *t.other_side))
        assert "XJ_FREE" in case.before("STARTUP") & case.before("PCLOSE")
        assert {t.step for t in case.plan} <= {code.partition(":")[0] for code in case.before("XJ_FREE")}


def test_a_stack_is_dead_as_a_whole_and_tested_as_it_was_decided():
    for case in cases():
        if not case.flags["stacked"]:
            continue
        for step in ("BREAK", "SB_OUT", "BLIND_IN"):
            assert "STACK_ISO" in case.before(step), (case.name, step)
        for t in (t for t in case.plan if t.code != "B"):
            shared = "STACK_S" if t.side == "shell" else "STACK_T"
            assert (shared in case.before(FILL[t.code])) == bool(case.flags["pair_test"]), (case.name, t.code)
            assert any("the neighbour" in words for words in t.on), (case.name, t.code)


def _words_that_want_a_part(case: Case) -> dict[str, bool]:
    """Words of the sheets, and whether this exchanger has what they speak of."""
    front, rear, flags = case.type.front, case.type.rear, case.flags
    return {
        "channel cover": front in "ACN", "bonnet": front == "B" or rear in "MW", "special closure": front == "D",
        "split ring": rear == "S", "ring halves": rear == "S", "floating head": rear in "ST", "floating-head": rear in "ST",
        "shear ring": rear == "P", "gland": rear == "P", "lantern": rear == "W", "weep hole": rear == "W",
        "U-tube": rear == "U", "two holes": rear == "U", "the bends": rear == "U", "expansion joint": bool(flags["xj"]),
        "shell cover": bool(flags["sc"]), "front ring": "FRONT_RING" in case.scope.by_step or front == "B",
        "rear ring": "TRING" in case.scope.by_step, "channel-side tubesheet gasket": front in "AB" and not case.type.fixed,
        "shell-side": not case.type.fixed, "share the studs": front in "AB" and not case.type.fixed,
        "the neighbour": bool(flags["stacked"]), "upper tubesheet": bool(flags["vertical"]),
    }  # fmt: skip


def test_a_sheet_names_no_part_the_exchanger_has_not():
    """A BEM crew that reads of a shell-side gasket, or a U-tube crew of ring halves, stops reading."""
    for case in cases():
        has = _words_that_want_a_part(case)
        for t in case.plan:
            texts = [*t.on, *t.off, t.open, *t.vent, *t.gear, *t.also, *t.cannot_prove, *t.shows, *t.other_side]
            texts += [text for leak in t.leaks for text in (leak.seen, leak.means, leak.why, leak.tell_apart, leak.do)]
            strange = [(word, text) for text in texts for word, there in has.items() if not there and word in text]
            assert not strange, f"{case.name}, {t.code}: {strange[0]}"


def test_where_water_shows_every_line_is_whole():
    for case in cases():
        for t in case.plan:
            assert t.leaks
            for leak in t.leaks:
                assert all((leak.seen, leak.means, leak.why, leak.tell_apart, leak.do)), f"{case.name}, {t.code}: {leak.id}"
