"""Every number of one exchanger's job: asks the rooms in order and passes from one to the next what it needs.

The test pressure goes from `hydro` to `joint`, the volume from `exchanger` to `hydro`, the mass from `exchanger` to `lift`.
Each working has a code; the code stands beside the number wherever it is printed, and `boxup why` takes it.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from dataclasses import dataclass, field

from boxup.bundle.after_plugging import AfterPlugging, after_plugging
from boxup.bundle.walls import judged, plug_findings
from boxup.bundle.way_up import WayUp, way_up
from boxup.bundle.wrong_way import WrongWay, wrong_way
from boxup.core.calculation import Answer
from boxup.core.finding import Finding, Missing
from boxup.core.quantity import Quantity
from boxup.core.working import Working
from boxup.exchanger.joints import FLOATING_HEAD
from boxup.exchanger.lifting import Gear
from boxup.exchanger.masses import LiftedPart, bundle_mass, lifted_parts, rider_length
from boxup.exchanger.model import SIDES, Exchanger, Joint, SideName
from boxup.exchanger.ribs import rib_length
from boxup.exchanger.volumes import side_volumes
from boxup.hydro.plan import plan_of
from boxup.hydro.sheet import TestAnswer, test_sheet
from boxup.isolation.blinds import BlindList, process_blinds, test_blinds
from boxup.isolation.relief import ReliefRow, relief_path
from boxup.isolation.small_bore import SmallBore, small_bore
from boxup.job.lifting import bundle_answer
from boxup.job.on_its_way import pull_answer, ways
from boxup.job.scope import Scope
from boxup.joint.assembly import JointAnswer, Pressures, assembly
from boxup.joint.nozzle import NozzleAnswer, nozzle_studs
from boxup.joint.scatter import Scatter, scatter
from boxup.joint.tool_setting import ToolSetting, tool_setting
from boxup.joint.tools import out_of_date, tools_for
from boxup.lift.answer import LiftAnswer
from boxup.lift.bore import bore_fit
from boxup.lift.heads import head_lift
from boxup.lift.hold import holding
from boxup.lift.looked_over import looked_over
from boxup.lift.reading import Pulls
from boxup.lift.slope import Way
from boxup.lift.way import OnItsWay
from boxup.lift.zone import zone
from boxup.reference.load import source


@dataclass(frozen=True, slots=True)
class Numbers:
    """The answers of every room for one exchanger. What a room could not work is in its `missing`."""

    exchanger: Exchanger
    parts: tuple[LiftedPart, ...]
    bundle: Answer | Missing | None
    volumes: dict[str, Answer | Missing]
    tests: tuple[TestAnswer, ...]
    joints: tuple[JointAnswer, ...]
    nozzles: tuple[NozzleAnswer, ...]
    sling: LiftAnswer | None
    zone: LiftAnswer | None
    insertion: LiftAnswer | None
    pulling: LiftAnswer | None
    holding: LiftAnswer | None
    bore: LiftAnswer | None
    ways: tuple[OnItsWay, ...]
    heads: dict[str, LiftAnswer]
    process_blinds: BlindList
    test_blinds: tuple[BlindList, ...]
    small_bore: SmallBore
    tools: dict[str, list[Finding]]
    settings: dict[str, ToolSetting]
    relief: tuple[ReliefRow, ...]
    way_up: WayUp
    plugging: AfterPlugging
    wrong_way: WrongWay | None
    workings: dict[str, tuple[str, Working]] = field(default_factory=dict)

    @property
    def hung(self) -> Answer | Missing | None:
        """The bundle as it hangs on the hook and goes in: with the channel of a C or D front, or the floating head of a closed shell."""
        return next((p.answer or p.missing for p in self.parts if p.id == "bundle"), None)

    @property
    def hung_code(self) -> str:
        """The code of its working."""
        return "M-hook" if "M-hook" in self.workings else "M"

    def on_its_way(self, way: Way) -> OnItsWay | None:
        """The bundle going in (`insert`) or coming out (`pull`); None where none does."""
        return next((w for w in self.ways if w.way == way), None)

    def pulls(self, way: Way) -> Pulls:
        """That way, place by place, with the stop that is never passed."""
        return Pulls(way, self.on_its_way(way), self.insertion if way == "insert" else self.pulling)

    def working(self, code: str) -> tuple[str, Working] | None:
        """Title and working of a code. The bundle at a place, L-way-in-2.5, is worked when it is asked for."""
        return self.workings.get(code) or _at_a_place(self, code)

    def test(self, code: str) -> TestAnswer:
        """One test by its code: S1, T, S2."""
        return next(t for t in self.tests if t.test.code == code)

    def scatter(self, answer: JointAnswer) -> Scatter | None:
        """How far the studs of a joint may be off the target, by the tool the file names for them; None where no stud load is right."""
        if answer.shut:
            return None
        studs = self.exchanger.joint(answer.joint).studs
        return scatter(answer, next((t.kind for t in self.exchanger.tools if studs and t.id == studs.tool), ""))

    def joint(self, id_: str) -> JointAnswer:
        """The answer for the stud set that clamps this joint."""
        return next(j for j in self.joints if id_ in (j.joint, j.with_joint))

    def missing(self) -> list[Missing]:
        """Everything that is not given, each once, in the order of the job."""
        return list(dict.fromkeys(self._missing()))

    def _missing(self) -> Iterator[Missing]:
        for answer in (self.bundle, *self.volumes.values()):
            if isinstance(answer, Missing):
                yield answer
        yield from (p.missing for p in self.parts if p.missing)
        for lift in (self.sling, self.zone, self.insertion, self.pulling, self.holding, self.bore, *self.heads.values()):
            yield from lift.missing if lift else ()
        for answers in (self.joints, self.nozzles, self.tests):
            yield from (m for answer in answers for m in answer.missing)
        yield from (m for setting in self.settings.values() for m in setting.missing)
        yield from (m for blinds in (self.process_blinds, *self.test_blinds) for m in blinds.missing)
        yield from (*self.small_bore.missing, *self.way_up.missing)

    def all_findings(self, scope: Scope, day: str, done: Collection[str] = ()) -> list[Finding]:
        """Of the order of work, of every room, and of the tools out of date on that day (year-month-day): what is shown and counted.

        What is missing and keeps water out is a stop, until the step of SETTLED_BY is among those done.
        """
        kept = [m for m in self.missing() if m.stops and SETTLED_BY.get(m.number, "") not in done]
        found = [*self.tags(day), *scope.findings, *self.findings()]
        found += [Finding("stop", m.text, "trade practice, no water before") for m in kept]
        found += out_of_date(self.exchanger.tools, day)
        return sorted(dict.fromkeys(found), key=lambda f: ("stop", "warn", "note").index(f.level))

    def tags(self, day: str, gear: tuple[Gear, ...] | None = None) -> tuple[Finding, ...]:
        """Gear last looked over too long before that day (year-month-day), or after it; all gear where none is named."""
        x = self.exchanger
        return tuple(looked_over(x.gear if gear is None else gear, day, made_up=x.identity.made_up == "yes"))

    def findings(self) -> list[Finding]:
        """Every finding of every working, stops first, each once."""
        listed = (*self.process_blinds.findings, *(f for b in self.test_blinds for f in b.findings), *self.small_bore.findings,
                  *self.way_up.findings, *judged(self.exchanger).findings, *plug_findings(self.exchanger))  # fmt: skip
        found = [f for _, w in self.workings.values() for f in w.all_findings()] + list(listed)
        found += [f for of_joint in self.tools.values() for f in of_joint]
        return sorted(dict.fromkeys(found), key=lambda f: ("stop", "warn", "note").index(f.level))


SETTLED_BY = {"engineer's figure for the end push": "THRUST_OK"}  # what is missing for water, and the step that gives it


def numbers(exchanger: Exchanger) -> Numbers:
    """Ask every room. Never raises for what is absent; a number that cannot be given is a `Missing` with what to measure."""
    bundle = bundle_mass(exchanger)
    parts = tuple(lifted_parts(exchanger))
    hung = next((p.answer or p.missing for p in parts if p.id == "bundle"), None)  # with the channel or head that rides along
    volumes = side_volumes(exchanger)
    tests = tuple(test_sheet(exchanger, t, volume=_volume(volumes, t.code), rooms=_rooms(volumes, t.code)) for t in plan_of(exchanger))
    joints = tuple(_joints(exchanger, _test_pressures(tests)))
    plugging = after_plugging(exchanger)
    found = Numbers(
        exchanger=exchanger,
        parts=parts,
        bundle=bundle,
        volumes=volumes,
        tests=tests,
        joints=joints,
        nozzles=tuple(nozzle_studs(n) for n in exchanger.nozzles),
        sling=_sling(exchanger, parts),
        zone=zone(exchanger.tubes.length, exchanger.crane, rider_length(exchanger)) if exchanger.crane.given and hung is not None else None,
        insertion=pull_answer(exchanger, hung, "insert"),
        pulling=pull_answer(exchanger, hung, "pull"),
        holding=holding(exchanger, bundle, hung) if isinstance(hung, Answer) else None,
        bore=bore_fit(exchanger),
        ways=ways(exchanger, bundle, hung),
        heads={
            p.id: head_lift(p.what, p.mass, exchanger.gear, lift_mass=p.lift_mass, crane=exchanger.crane) for p in parts if p.id != "bundle"
        },
        process_blinds=process_blinds(exchanger),
        test_blinds=tuple(test_blinds(exchanger, side, _at_low_end(tests, side)) for side in _tested_sides(tests)),
        small_bore=small_bore(exchanger),
        tools=_tools(exchanger, joints),
        settings=_settings(exchanger, joints),
        relief=relief_path(exchanger),
        way_up=way_up(exchanger),
        plugging=plugging,
        wrong_way=wrong_way(exchanger, plugging),
    )
    found.workings.update(_workings(found))
    return found


def _volume(volumes: dict[str, Answer | Missing], code: str) -> Quantity | None:
    answer = volumes.get(code)
    return answer.quantity("volume") if isinstance(answer, Answer) else None


def _rooms(volumes: dict[str, Answer | Missing], code: str) -> Answer | None:
    answer = volumes.get(code)
    return answer if isinstance(answer, Answer) else None


def _tested_sides(tests: tuple[TestAnswer, ...]) -> list[SideName]:
    return list(dict.fromkeys(t.test.side for t in tests))


def _at_low_end(tests: tuple[TestAnswer, ...], side: SideName) -> Quantity | None:
    """The most a part of that side sees, over all its tests: at the low end; at the top where nobody can say how high the side is."""
    found = [s for t in tests if t.test.side == side and (s := t.values.get("low_end_pressure") or t.values.get("test_pressure"))]
    top = max(found, key=lambda s: s.si, default=None)
    return Quantity(top.si, "MPa", f"{top.value:.5g} MPa", "entered", "test pressure at the low end of the side") if top else None


def _test_pressures(tests: tuple[TestAnswer, ...]) -> Pressures:
    """The highest test pressure of each side: what the joints must stand."""
    return Pressures(shell=_at_low_end(tests, "shell"), tube=_at_low_end(tests, "tube"))


def _joints(exchanger: Exchanger, test: Pressures) -> Iterator[JointAnswer]:
    design = Pressures(shell=exchanger.shell_side.mawp, tube=exchanger.tube_side.mawp)
    done: set[str] = set()
    for joint in exchanger.joints:
        if joint.id in done:
            continue
        shared = _sharing(exchanger, joint)
        done |= {joint.id} | ({shared.id} if shared else set())
        yield assembly(
            joint, design=design, test=test, rib_length=_ribs(exchanger, joint), shared=shared,
            shared_rib_length=_ribs(exchanger, shared) if shared else None, temperature=_hotter(exchanger, joint, shared),
        )  # fmt: skip


def _sharing(exchanger: Exchanger, joint: Joint) -> Joint | None:
    """The other joint on the same studs."""
    studs = joint.studs
    return next((j for j in exchanger.joints if studs and j.studs and j.studs.id == studs.id and j.id != joint.id), None)


def _ribs(exchanger: Exchanger, joint: Joint) -> Quantity | None:
    """All pass ribs of the gasket together; 0 for a plain ring."""
    if joint.ribs_end not in ("front", "rear"):
        return Quantity(0.0, "mm", "0 mm", "entered", "a plain ring")
    got = rib_length(exchanger, "front" if joint.ribs_end == "front" else "rear", joint.gasket.id_ if joint.gasket else None)
    return got.quantity("length") if isinstance(got, Answer) else None


def _hotter(exchanger: Exchanger, joint: Joint, shared: Joint | None) -> Quantity | None:
    """The higher design temperature of the sides the studs see."""
    sides = set(joint.sides) | (set(shared.sides) if shared else set())
    if joint.kind == FLOATING_HEAD:
        sides = set(SIDES)  # its studs stand in the shell fluid and clamp the tube side
    temperatures = [t for s in sides if (t := exchanger.side(s).design_temperature)]
    return max(temperatures, key=lambda t: t.si) if len(temperatures) == len(sides) else None


def _tools(exchanger: Exchanger, joints: tuple[JointAnswer, ...]) -> dict[str, list[Finding]]:
    """By joint: whether the tools of the list reach its torque."""
    named = {a.joint: studs.tool if (studs := exchanger.joint(a.joint).studs) else "" for a in joints}
    return {a.joint: tools_for(a, exchanger.tools, named[a.joint]) for a in joints}


def _settings(exchanger: Exchanger, joints: tuple[JointAnswer, ...]) -> dict[str, ToolSetting]:
    """By joint: what the hydraulic tool named for its studs is set to; none where no stud load is right."""
    found = {a.joint: tool_setting(a, exchanger.joint(a.joint).studs, exchanger.tools) for a in joints if not a.shut}
    return {joint: setting for joint, setting in found.items() if setting}


def _sling(exchanger: Exchanger, parts: tuple[LiftedPart, ...]) -> LiftAnswer | None:
    """The bundle in its slings; a Missing where its mass could not be worked."""
    part = next((p for p in parts if p.id == "bundle"), None)
    if part is None or (part.answer is None and part.missing is None):
        return None
    lost = (part.missing,) if part.missing else ()
    return bundle_answer(exchanger, part) or LiftAnswer("bundle lift", Working("bundle lift", source("statics")), lost)


WAYS: dict[Way, str] = {"insert": "L-way-in", "pull": "L-way-out"}


def _at_a_place(n: Numbers, code: str) -> tuple[str, Working] | None:
    for w in n.ways:
        place = re.fullmatch(re.escape(WAYS[w.way]) + r"-(\d{1,2}(?:\.\d{1,3})?)", code)
        if place and w.known and 0 <= float(place[1]) <= w.home + 0.5:
            stand = w.stand(float(place[1]))
            return stand.working.name, stand.working
    return None


def _workings(n: Numbers) -> Iterator[tuple[str, tuple[str, Working]]]:
    """Code, title and working, in the order of the appendix; empty ones left out."""
    for code, title, w in (*_of_masses(n), *_of_lifts(n), *_of_joints(n), *_of_tests(n), *_of_tubes(n)):
        if w.steps or w.parts:
            yield code, (title, w)


def _of_masses(n: Numbers) -> Iterator[tuple[str, str, Working]]:
    if isinstance(n.bundle, Answer):
        yield "M", "bundle, mass and centre of gravity", n.bundle.working
    for part in n.parts:
        if part.id == "bundle" and part.answer and part.answer.name != "bundle mass":
            yield "M-hook", f"{part.what}, mass and centre of gravity", part.answer.working
        elif part.answer and part.id != "bundle":
            yield f"M-{part.id.replace('_', '-')}", f"{part.what}, mass", part.answer.working


def _of_lifts(n: Numbers) -> Iterator[tuple[str, str, Working]]:
    named = (
        ("L", "slings of the bundle", n.sling),
        ("L-zone", "zone nobody enters, and wind", n.zone),
        ("L-in", "insertion of the bundle", n.insertion),
        ("L-out", "pulling the bundle", n.pulling),
        ("L-hold", "where to hold the bundle", n.holding),
        ("L-bore", "bore of the shell against the bundle", n.bore),
    )
    for code, title, lift in named:
        if lift:
            yield code, title, lift.working
    for w in n.ways:
        yield WAYS[w.way], w.working.name, w.working
    for id_, lift in n.heads.items():
        yield f"L-{id_.replace('_', '-')}", f"lift of the {lift.name}", lift.working


def _of_joints(n: Numbers) -> Iterator[tuple[str, str, Working]]:
    for joint in n.joints:
        yield joint.joint, f"joint {joint.working.name}", joint.working
        if setting := n.settings.get(joint.joint):
            yield f"{joint.joint}-{setting.tool.id}", f"setting of {setting.working.name}", setting.working
    for nozzle in n.nozzles:
        yield nozzle.nozzle, nozzle.working.name, nozzle.working


def _of_tests(n: Numbers) -> Iterator[tuple[str, str, Working]]:
    for test in n.tests:
        volume = n.volumes.get(test.test.code)
        if isinstance(volume, Answer):
            yield f"V-{test.test.code}", f"water for {test.test.name}", volume.working
        yield test.test.code, test.test.name, test.working
    for blinds in n.test_blinds:
        for w in blinds.workings:
            yield w.name.split()[1], w.name, w  # "blind TB1 in N1"


def _of_tubes(n: Numbers) -> Iterator[tuple[str, str, Working]]:
    yield "D", "duty after plugging", n.plugging.working
    if n.wrong_way:
        yield "D-way", "duty with the bundle the wrong way round, or a rib that does not touch", n.wrong_way.working
