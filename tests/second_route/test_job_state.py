"""The state of a job by the fold against `job_state`, which works it out again from the tables: the demo story and stories by chance."""

from __future__ import annotations

from datetime import timedelta
from functools import cache
from random import Random

import pytest
from tests.demo.test_days import TOLD
from tests.job.telling import DAY, Story
from tests.second_route.job_state import FOLD_WAYS, sheet_of, state_of

from boxup.demo.fleet import files_of_the_demo
from boxup.job.fold import fold
from boxup.job.live import may_now
from boxup.job.order import order
from boxup.job.scope import scope_of_letters

SEED = 140103
STORIES = 40  # by chance; each is compared at three places. 600 were compared after every entry when this was written: no difference
ENTRIES = 45  # of a story, behind the ticks it begins with
MAY_EVERY = 10  # in one story of so many every step is asked whether it may begin
NAMES = ("A. Vessik", "B. Torrund", "C. Halden", "D. Ulvik")
PASSES = ("four snug", "all snug", "pass 1", "pass 2", "pass 3", "round", "round after the wait", "verify")
TIN = "nickel anti-seize, lot 3"
LETTERS = ("AES", "BEU", "BEM", "AKT", "AEP")
TAGS = ("14-E-103", "14-E-104", "14-E-108")


def differences(events, scope=None, ways=FOLD_WAYS) -> list[str]:
    """What the fold says and this route does not, and the other way round."""
    first, second = fold(events, scope), state_of(events, scope, ways)
    pulled = {joint.id for joint in first.joints.values() if joint.pulled_up}
    return [
        f"{what}: {', '.join(sorted(codes))}"
        for what, codes in (
            ("done by the fold only", first.done - second.all_done), ("done by the second route only", second.all_done - first.done),
            ("pulled up by the fold only", pulled - second.pulled_up), ("pulled up by the second route only", second.pulled_up - pulled),
        )
        if codes
    ]  # fmt: skip


def waits(events, at, scope=None, ways=FOLD_WAYS) -> list[str]:
    """Every step of the job: what it waits for at that moment, where the two do not agree."""
    first, second = fold(events, scope), state_of(events, scope, ways)
    found = []
    for code in first.scope.instances:
        by_fold = {missing.need.step for missing in may_now(first, code, at).missing}
        if by_fold != (other := second.missing(code, at)):
            found.append(f"{code}: by the fold only {sorted(by_fold - other)}, by the second route only {sorted(other - by_fold)}")
    return found


# stories by chance


class Chance(Story):
    """A story told by a die. What it says is mostly sense, sometimes not."""

    def __init__(self, seed: int) -> None:
        self.die = die = Random(seed)
        self.bare = die.random() < 0.35
        tag = die.choice(TAGS)
        super().__init__(scope_of_letters(die.choice(LETTERS)) if self.bare else None, tag)
        self.text = "" if self.bare else files_of_the_demo()[tag].read_text(encoding="utf-8")
        self.line = line_of(self.scope.letters if self.bare else tag)
        state = self.state
        self.here = state.scope
        self.inspector = state.exchanger.identity.inspector if state.exchanger else NAMES[0]
        self.studs = {joint.id: joint.studs or 0 for joint in state.joints.values()}
        self.fitted, self.looked = 0, -10
        self.begins()

    def begins(self) -> None:
        """The first part of the job, ticked in a legal order, some of it forgotten."""
        for code in self.line[: int(self.die.random() ** 0.7 * len(self.line))]:
            if self.die.random() > 0.02:
                self.tick(code)
        self.start = len(self.events)

    def goes_on(self) -> None:
        happenings = [getattr(self, name) for name in dir(self) if name.startswith("h_")]
        weights = [WEIGHTS.get(one.__name__, 2) for one in happenings]
        while len(self.events) < self.start + ENTRIES:
            self.now += timedelta(minutes=self.die.choice((1, 5, 20, 45, 90, 240)) if self.die.random() < 0.9 else 720)
            self.die.choices(happenings, weights)[0]()

    # choices

    @property
    def seen(self):
        """Where the job stood a while ago."""
        if len(self.events) - self.looked > 9:
            self.looked, self.last = len(self.events), self.state
        return self.last

    def one(self, *words):
        return self.die.choice(words)

    def often(self, share: float) -> bool:
        return self.die.random() < share

    def item(self, list_: str, *kinds: str) -> str:
        """An item of a list; with bare letters its kind."""
        found = [i for i in self.here.items if i.list == list_ and (not kinds or i.kind in kinds)]
        return self.die.choice([i.id for i in found]) if found else ""

    def joint(self) -> str:
        if not self.bare:
            return self.item("joints") if self.often(0.8) else self.item("nozzles")
        kinds = {one.step.kind for group in self.here.by_step.values() for one in group if one.step.per in ("joint", "stud set")} - {""}
        return self.die.choice(sorted(kinds))

    def report(self, what_happened: str, **payload):
        """An entry, now and then typed later than it happened."""
        now = self.now
        at = now - timedelta(minutes=self.one(3, 50, 400)) if self.often(0.06) else now + timedelta(seconds=1)
        self.say(what_happened, at, by=payload.pop("by", "") or self.die.choice(NAMES), **payload)
        self.now = max(now, self.now)

    # steps

    def h_ticks(self) -> None:
        """Legal and illegal."""
        if self.often(0.7):
            done = self.seen.done
            code = next((c for c in self.line if c not in done and self.often(0.8)), self.line[-1])
        else:
            code = self.die.choice(self.line)
        more = {"second": self.die.choice(NAMES)} if self.often(0.7) else {}
        if code.startswith("THRUST_OK"):
            more |= self.die.choice(({"role": "engineer"}, {"role": "engineer", "reading": "790 kN"}, {"role": "crew lead"}, {}))
        self.report("step.done", step=code, **more, **({"paper": "sheet"} if self.often(0.6) else {}))

    def h_seconds(self) -> None:
        lone = [c for c, tick in self.seen.steps.items() if tick.stand == "one name"]
        self.report("step.seconded", step=self.die.choice(lone or self.line))

    def h_starts(self) -> None:
        spoken = {e.payload.get("step") for e in self.events}
        self.report("step.started", step=self.die.choice([c for c in self.line if c not in spoken] or ["PACK"]))

    def h_reopens(self) -> None:
        self.report("step.reopened", step=self.die.choice(self.line), why="looked at again")

    # joints

    def h_opens(self) -> None:
        self.report("joint.opened", joint=self.joint() if self.often(0.85) or self.bare else self.item("openings"), why="seen on the way")

    def h_weeps(self) -> None:
        self.report("joint.weeped", joint=self.joint(), test=self.one("S1", "T", "S2", "B", "not said"))

    def h_changes_a_joint(self) -> None:
        kind = self.one("joint.studs_changed", "joint.lubricant_changed", "joint.marks_wrong", "joint.squared", "gasket.wrong",
                        "gasket.lost_load")  # fmt: skip
        more = {"lubricant": self.one("copper paste", TIN)} if kind == "joint.lubricant_changed" else {}
        self.report(kind, joint=self.joint(), why="found so", **more)

    def h_studs(self) -> None:
        stamps, more = self.one(["B7"], ["B7"], ["B16"], ["B7", "B16"]), {"rejected": [1]} if self.often(0.2) else {}
        self.report("joint.studs_checked", joint=self.joint(), condition="reused", count=12, stamps=stamps, **more)

    def h_flatness(self) -> None:
        face, off = self.one("front face", "rear face"), self.one(0.05, 0.05, 0.3)
        self.report(
            "face.flatness_read",
            joint=self.joint(),
            face=face,
            readings_mm=[0, off, 0, 0],
            rib_mm=0.1,
            rib_stands=self.one("below", "proud"),
        )

    def h_face(self) -> None:
        joint, face = self.joint(), self.one("front face", "rear face")
        what = self.one("measured", "to repair", "accepted", "skimmed")
        if what == "measured":
            span = self.one(1.0, 9.0)
            self.report(
                "face.measured", joint=joint, face=face, mark="scratch", depth_mm=0.3 if span > 5 else 0.01, span_mm=span, land_mm=12.0
            )
        elif what == "skimmed":
            self.report("face.skimmed", joint=joint, face=face, part="flange", off_mm=0.2)
        else:
            self.report("face.judged", joint=joint, face=face, verdict=what)

    def h_pulls_a_joint(self) -> None:
        """All passes of one joint, with some mistake in half of them."""
        if self.bare:
            return
        joint = self.joint()
        men, slip = self.die.sample(NAMES, 2), self.die.random() < 0.5
        self.report("joint.gap_read", joint=joint, gaps_mm=[3.2, 3.2, 3.2, 4.9 if slip and self.often(0.2) else 3.2])
        for name in PASSES:
            if slip and self.often(0.1):
                continue
            wait = 245 if name == "round after the wait" and not (slip and self.often(0.3)) else 6
            self.now += timedelta(minutes=wait)
            man = men[1] if name == "verify" and not (slip and self.often(0.2)) else men[0]
            self.pass_of(joint, name, man, slip)
            if self.often(0.1):
                self.report("joint.gap_read", joint=joint, gaps_mm=[3.2, 3.2, 3.4, 4.9 if slip and self.often(0.4) else 3.2])

    def pass_of(self, joint: str, name: str, man: str, slip: bool) -> None:
        die, began = self.die, self.now
        count = self.studs.get(joint) or self.studs.get("J2" if joint == "J3" else "J1", 0)
        more = {"started_at": began.isoformat(), "tool": self.tool(0.12 if slip else 0), "lubricant": TIN}
        if slip and self.often(0.1):
            more |= die.choice(({"lubricant": "copper paste"}, {"dry": [3, 4]}, {"moved": 2}, {"studs": list(range(1, count))}))
        self.now += timedelta(minutes=25)
        if slip and self.often(0.05):
            self.say("shift.changed", began + timedelta(minutes=10))
            self.now = began + timedelta(minutes=25)
        self.report("joint.pass_done", by=man, joint=joint, **{"pass": name}, **more)

    def h_single_pass(self) -> None:
        if not self.bare:
            name = self.one(*PASSES, "corrective", "corrective", "corrective")
            self.pass_of(self.joint(), name, self.die.choice(NAMES), self.often(0.4))

    def h_single_stud(self) -> None:
        if not self.bare:
            self.report("joint.stud_done", joint=self.joint(), stud=self.one(1, 2, 3, 4, 5), tool=self.tool(0.1),
                        **{"pass": self.one(*PASSES, "corrective")})  # fmt: skip

    def tool(self, worse: float) -> str:
        tools = [i.id for i in self.here.items if i.list == "tools" and i.kind == "bolting"]
        return self.die.choice(tools) if self.often(worse) else tools[0]

    # gaskets, blinds, tools

    def h_gasket(self) -> None:
        if self.bare:
            return
        fit = [e.payload for e in self.events if e.kind == "gasket.fitted"]
        if fit and self.often(0.4):
            item = self.die.choice(fit)["item"]
            self.report("gasket.removed", item=item)
            return
        joint = self.item("joints")
        self.fitted += 1
        item = self.die.choice(fit)["item"] if fit and self.often(0.2) else f"G-{self.fitted}"
        if self.often(0.5):
            listed = [i.id for i in self.here.items if i.list == "gaskets" and (i.of == joint or self.often(0.1))]
            self.report("gasket.received", item=item, gasket=listed[0])
        self.report("gasket.fitted", item=item, joint=joint)

    def h_blind(self) -> None:
        if self.bare:
            return
        kind = self.one("blind.in", "blind.in", "blind.out", "blind.out", "blind.left_in", "blind.changed")
        blind = self.item("blinds", *(("process",) if kind == "blind.left_in" else ()))
        more = {"blind.changed": {"why": "moved"}, "blind.left_in": {"owner": "O. Perant", "until": "2027-10-01"}}.get(kind, {})
        self.report(
            kind,
            blind=blind,
            **more,
            **({"second": self.die.choice(NAMES)} if kind in ("blind.in", "blind.out") and self.often(0.7) else {}),
        )

    def h_tool(self) -> None:
        tool = self.one("bolting", "gauge") if self.bare else self.item("tools")
        kind = "tool.bad" if self.bare else self.one("tool.bad", "tool.checked", "tool.checked", "tool.returned", "tool.issued")
        since = (self.now - timedelta(hours=self.one(1, 20, 90))).isoformat()
        more = {"tool.bad": {"why": "reads low", **({"last_good_at": since} if self.often(0.5) else {})}, "tool.issued": {"to": NAMES[0]},
                "tool.checked": {"good_until": self.one("2027-09-30", "2027-09-30", "2027-04-05")}}.get(kind, {})  # fmt: skip
        self.report(kind, tool=tool, **more)

    # tests, water

    def h_test(self) -> None:
        """Filled, raised, held, a result."""
        if self.bare:
            return
        test = self.die.choice([i.id for i in self.here.items if i.list == "tests"])
        gauge = sheet_of(self.text)[test][0]
        slip = self.often(0.4)
        for share, minutes in ((0.0, 2), (0.5, 5), (1.0, 5), (1.0, 5 if slip else 65)):
            self.now += timedelta(minutes=minutes)
            if not (slip and self.often(0.2)):
                self.report("test.reading", test=test, pressure_mpa=round(gauge * share, 4), metal_degc=40.0)
        if self.often(0.85):
            by = self.inspector if not (slip and self.often(0.3)) else "Q. Nobody"
            more = {} if slip and self.often(0.3) else {"second": NAMES[1]}
            self.report("test.result", by=by, test=test, verdict=self.one("passed", "passed", "failed"), **more)
        if self.often(0.85):
            self.report("test.reading", test=test, pressure_mpa=0.0)

    def h_water(self) -> None:
        kind = self.one("water.froze", "water.froze", "water.changed", "water.chloride_read", "test.over_pressure")
        if kind == "water.chloride_read" and self.bare:
            return
        more = {"water.changed": {"source": "tank 3"}, "test.over_pressure": {"side": self.one("shell", "tube"), "pressure_mpa": 9.0},
                "water.chloride_read": {"test": self.item("tests"), "chloride_mg_l": self.one(20.0, 9000.0)}}.get(kind, {})  # fmt: skip
        self.report(kind, **more)

    # tubes, bundle, work

    def h_tube(self) -> None:
        kind = self.one("tube.to_plug", "tube.pierced", "tube.plugged", "tube.plugged", "tube.repaired", "plug.leaks")
        if self.bare and kind in ("tube.to_plug", "tube.pierced", "plug.leaks", "tube.plugged"):
            kind = "tube.repaired"
        more = {"tube.plugged": {"ends": self.one("front", "rear", "both", "both")}, "tube.repaired": {"how": "rolled"},
                "plug.leaks": {"test": self.one("S1", "T", "S2")}}.get(kind, {})  # fmt: skip
        self.report(kind, tube="tube" if self.bare else self.one("3-5", "4-6", "5-7"), **more)

    def h_bundle(self) -> None:
        kind = self.one("bundle.pulled", "bundle.forced", "count.short", "count.short")
        more = {"bundle.forced": {"what": "dropped"}, "count.short": {
            "space": self.one("shell", "channel", "rear head", "shell-cover space"), "missing": "lamp"}}.get(kind, {})  # fmt: skip
        self.report(kind, **more)

    def h_work(self) -> None:
        kind = self.one("shift.changed", "shift.changed", "shift.changed", "alarm.raised", "lock.removed", "relief.changed")
        self.report(
            kind, **{"alarm.raised": {"why": "gas"}, "lock.removed": {"what": "lock 3"}, "relief.changed": {"what": "valve"}}.get(kind, {})
        )

    # corrections

    def h_corrects(self) -> None:
        """An entry is taken back, the taking back too; or its words are put right."""
        aims = [e for e in self.events[1:] if e.number > self.start - 20]
        if not aims:
            return
        aim = self.die.choice(aims)
        if aim.corrects and aim.kind != "record.withdrawn":
            return  # the words of a correction put right once more: told by themselves below
        if aim.kind == "record.withdrawn" or self.often(0.6):
            self.say("record.withdrawn", self.now, corrects=aim.id, why="typed wrong")
        else:
            self.say(
                aim.kind, aim.happened_at + timedelta(minutes=self.one(0, 0, 7)), by=self.die.choice(NAMES), corrects=aim.id, **aim.payload
            )
            self.now = max(self.now, self.events[-2].happened_at)


WEIGHTS = {
    "h_ticks": 22,
    "h_pulls_a_joint": 2,
    "h_single_pass": 5,
    "h_weeps": 4,
    "h_opens": 3,
    "h_corrects": 5,
    "h_work": 4,
    "h_seconds": 4,
}


@cache
def line_of(name: str) -> tuple[str, ...]:
    """The codes of a legal order."""
    scope = scope_of_letters(name) if name in LETTERS else Story(tag=name).state.scope
    return tuple(placed.instance.code for placed in order(scope))


# the smallest story of each way in which the fold leaves its specification


def pulled(story: Story, joint: str, tool: str = "W1", **of_pass: dict) -> None:
    """All passes of a joint, one an hour but for the wait; `of_pass`: what one of them says beside."""
    story.say("joint.gap_read", joint=joint, gaps_mm=[3.2] * 4)
    for name in PASSES:
        at = story.now + timedelta(hours=5 if name == "round after the wait" else 1)
        more = {"tool": tool, "by": "B. Torrund" if name == "verify" else "A. Vessik"} | of_pass.get(name.replace(" ", "_"), {})
        story.say("joint.pass_done", at, joint=joint, **{"pass": name}, **more)


def a_gasket_entered_twice() -> Story:
    story = Story()
    story.say("gasket.fitted", item="G1-1", joint="J1")
    story.say("gasket.fitted", item="G1-1", joint="J1", by="B. Torrund")
    return story


def a_wrong_gasket_behind_the_channel() -> Story:
    story = Story()
    story.tick("BOLTREC:J2", "BOLTREC:J3")
    story.say("gasket.wrong", joint="J3", why="ribs")
    return story


def a_face_of_the_channel_cut() -> Story:
    story = Story()
    story.tick("INSP_FACE:J2", "INSP_FACE:J3")
    story.say("face.skimmed", joint="J2", face="channel flange", part="flange", off_mm=0.2)
    return story


def one_stud_after_a_tick_on_paper() -> Story:
    story = Story()
    story.tick("CC_ON:J1")
    story.say("joint.stud_done", joint="J1", stud=1, tool="W1", **{"pass": "pass 1"})
    return story


def a_weep_of_a_joint_kept_on_paper() -> Story:
    story = Story()
    story.tick("CC_ON:J1")
    story.say("joint.weeped", joint="J1", test="T")
    story.tick("CC_ON:J1")
    return story


def marks_wrong_while_it_weeps() -> Story:
    story = Story()
    pulled(story, "J1")
    story.say("joint.weeped", joint="J1", test="T")
    story.say("joint.marks_wrong", joint="J1", why="groove not on the plate")
    story.say("joint.pass_done", joint="J1", tool="W1", **{"pass": "corrective"})
    return story


def the_first_half_with_the_good_tool_early() -> Story:
    story = Story()
    pulled(story, "J1", tool="W2", pass_1={"tool": "W1", "studs": list(range(1, 17))})
    ended = next(e.happened_at for e in story.events if e.payload.get("pass") == "pass 1")
    last = story.now
    story.say("joint.pass_done", ended + timedelta(minutes=30), joint="J1", tool="W2", studs=list(range(17, 33)), **{"pass": "pass 1"})
    story.say("tool.bad", last, tool="W1", why="dropped", last_good_at=(ended + timedelta(minutes=5)).isoformat())
    return story


def half_of_the_round_too_early() -> Story:
    story = Story()
    late = DAY + timedelta(hours=11)  # the round was through at noon
    early = late - timedelta(hours=4)
    pulled(story, "J1", round_after_the_wait={"studs": list(range(17, 33)), "started_at": (late - timedelta(minutes=30)).isoformat()})
    last = story.now
    half = {"studs": list(range(1, 17)), "started_at": (early - timedelta(minutes=30)).isoformat()}
    story.say("joint.pass_done", early, joint="J1", **half, **{"pass": "round after the wait"})
    story.now = last
    return story


def a_tool_out_of_date_ticked() -> Story:
    story = Story()
    story.say("tool.checked", tool="W1", good_until="2027-04-01")
    story.tick("TOOLCAL:W1")
    return story


def filled_after_it_was_dried() -> Story:
    story = Story()
    story.tick("DRAINDRY:tube", "FILL_T:T")
    return story


def the_girth_opened_as_found() -> Story:
    story = Story()
    story.say("joint.opened", joint="J2", why="in the plan")
    return story


def frost_on_a_dried_side() -> Story:
    story = Story()
    story.tick("FILL_T:T", "TTEST:T", "DRAINDRY:tube")
    story.say("water.froze")
    return story


def a_shift_change_before_the_second_name() -> Story:
    story = Story()
    story.tick("RV_T:T", "FILL_T:T")
    story.say("step.done", step="TTEST:T")
    story.say("shift.changed")
    return story


def a_shift_change_in_the_corrective_pass() -> Story:
    story = Story()
    story.tick("FME_CHAN", "CHAN_ON")
    pulled(story, "J1")
    story.say("joint.weeped", joint="J1", test="T")
    story.say("joint.pass_done", joint="J1", tool="W1", studs=list(range(1, 17)), **{"pass": "corrective"})
    story.say("shift.changed")
    return story


def a_start_typed_after_the_tick() -> Story:
    story = Story()
    story.say("step.done", step="FME_CHAN")
    story.say("step.started", step="FME_CHAN")
    story.say("step.seconded", step="FME_CHAN", by="B. Torrund")
    return story


def a_lock_found_off_with_all_open() -> Story:
    story = Story()
    story.tick("ZERO", "BLIND_IN", "SB_OUT", "BREAK")
    story.say("lock.removed", what="lock 3")
    return story


def paper_from_before_the_tool_was_bad() -> Story:
    story = Story()
    story.tick("CC_ON:J1")
    story.say("tool.bad", "12:00", tool="W1", why="dropped", last_good_at="2027-04-07T10:00:00+02:00")
    return story


def a_relief_set_on_a_bad_gauge() -> Story:
    story = Story()
    story.now += timedelta(hours=5)
    story.tick("RV_T:T")
    story.say("tool.bad", "12:00", tool="GA", why="dropped", last_good_at="2027-04-07T10:00:00+02:00")
    return story


def a_test_blind_with_bare_letters() -> Story:
    story = Story(scope_of_letters("AES"))
    story.tick("BLIND_IN", "BLIND_OUT", "TBLIND_S")
    return story


SMALLEST = {
    one_stud_after_a_tick_on_paper: "asked late",
    a_weep_of_a_joint_kept_on_paper: "paper weep",
    marks_wrong_while_it_weeps: "weep keeps",
    the_first_half_with_the_good_tool_early: "end of the pass",
    half_of_the_round_too_early: "last half",
    the_girth_opened_as_found: "broken once",
    a_shift_change_before_the_second_name: "to begin",
    a_shift_change_in_the_corrective_pass: "begun late",
    a_start_typed_after_the_tick: "lost tick",
    a_lock_found_off_with_all_open: "row by row",
    paper_from_before_the_tool_was_bad: "since",
    a_test_blind_with_bare_letters: "bare blind",
}  # not told: "returned" (its check runs out hours later) and "zone" (entries typed in two zones)


@pytest.mark.parametrize("smallest", SMALLEST, ids=lambda told: told.__name__)
def test_where_the_fold_leaves_its_specification_it_does_so_only_in_the_named_way(smallest):
    way, story = SMALLEST[smallest], smallest()
    assert differences(story.events, story.scope) == []
    without = FOLD_WAYS.keys() - {way}
    assert differences(story.events, story.scope, without) or waits(story.events, story.now, story.scope, without)


MENDED = (
    a_gasket_entered_twice, a_wrong_gasket_behind_the_channel, a_face_of_the_channel_cut, a_tool_out_of_date_ticked,
    filled_after_it_was_dried, frost_on_a_dried_side, a_relief_set_on_a_bad_gauge,
)  # fmt: skip


@pytest.mark.parametrize("smallest", MENDED, ids=lambda told: told.__name__)
def test_where_the_two_once_went_apart_they_agree_without_any_named_way(smallest):
    story = smallest()
    assert differences(story.events, story.scope, ()) == []


def test_the_demo_story_stands_the_same_by_both_routes():
    events = list(TOLD)
    for count in (*range(1, len(events), 7), len(events)):
        assert differences(events[:count]) == [], count


@pytest.mark.parametrize("seed", range(SEED, SEED + STORIES))
def test_a_story_by_chance_stands_the_same_by_both_routes(seed):
    story = Chance(seed)
    story.goes_on()
    for count in (story.start + ENTRIES // 3, story.start + 2 * ENTRIES // 3, len(story.events)):
        assert differences(story.events[:count], story.scope) == [], (count, story.events[count - 1].kind)
    if seed % MAY_EVERY == 0:
        assert waits(story.events, story.now, story.scope) == []
