"""What the joint pages know of one set of studs: how it stands, its numbers, its card, its tool and tin, and the steps on it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from boxup.core.quantity import Quantity
from boxup.exchanger.model import Joint, Nozzle, Studs, Tool
from boxup.job.bolting import BOLTING_STEPS
from boxup.job.scope import Instance
from boxup.job.state import JointState
from boxup.job.turn import Turn, next_turn
from boxup.joint.assembly import JointAnswer
from boxup.joint.joint_window import JointWindow
from boxup.joint.nozzle import NozzleAnswer
from boxup.joint.passes import Schedule, schedule
from boxup.joint.tool_setting import ToolSetting
from boxup.paper.joints import REAR_KINDS, joint_sheet
from boxup.paper.sheet import Sheet
from boxup.web.ask import Ask
from boxup.web.live import NotThere

FEWEST = 4  # studs; with fewer there is no bolt circle to draw and no cross to pull
PULLS = ("hand torque wrench", "hydraulic wrench", "tensioner")


@dataclass(frozen=True)
class StudSet:
    """One set of studs of the job."""

    ask: Ask
    joint: JointState

    @property
    def id(self) -> str:
        return self.joint.id

    @property
    def name(self) -> str:
        """`J2 + J3` where one set clamps both."""
        return " + ".join(self.joint.joints)

    @property
    def title(self) -> str:
        """The name and what it is."""
        if self.nozzle:
            return f"{self.name} {self.ask.w.told(f'{self.nozzle.side} side, {self.nozzle.duty}')}"
        return self.ask.w.told(str(self.card["title"])) if self.card else f"{self.name} {self.ask.w.told(self.joint.kind)}"

    @property
    def count(self) -> int:
        return self.joint.studs or 0

    @cached_property
    def listed(self) -> tuple[Joint, ...]:
        """The joints of the file on these studs."""
        return tuple(j for j in self.ask.live.exchanger.joints if j.id in self.joint.joints)

    @cached_property
    def nozzle(self) -> Nozzle | None:
        return next((n for n in self.ask.live.exchanger.nozzles if n.id in self.joint.joints), None)

    @property
    def studs(self) -> Studs | None:
        return next((j.studs for j in self.listed if j.studs), None)

    @cached_property
    def answer(self) -> JointAnswer | NozzleAnswer | None:
        n = self.ask.live.material.numbers
        joints = next((a for a in n.joints if {a.joint, a.with_joint} & set(self.joint.joints)), None)
        return joints or next((a for a in n.nozzles if a.nozzle in self.joint.joints), None)

    @cached_property
    def card(self) -> Sheet | None:
        """As on paper; None for a nozzle."""
        a = self.answer
        return joint_sheet(self.ask.live.material, a) if isinstance(a, JointAnswer) else None

    @property
    def by_maker(self) -> bool:
        """A packing or a closure, made up to its maker's figure."""
        return isinstance(self.answer, JointAnswer) and self.answer.by_maker

    @property
    def window(self) -> JointWindow | None:
        """How far its studs may be pulled; None where no limit is known."""
        found = self.answer.window if isinstance(self.answer, JointAnswer) else None
        return found if found and found.limits else None

    @property
    def shut(self) -> bool:
        """No stud load satisfies the limits of this very joint: no torque can be right."""
        return isinstance(self.answer, JointAnswer) and self.answer.shut

    @property
    def code(self) -> str:
        """The working of its numbers."""
        a = self.answer
        return "" if a is None else a.joint if isinstance(a, JointAnswer) else a.nozzle

    @property
    def torque(self) -> float | None:
        """The final one, N.m."""
        return float(self.answer.torque.si) if self.answer and self.answer.torque else None

    @cached_property
    def schedule(self) -> Schedule | None:
        if self.count < FEWEST or self.by_maker:
            return None
        return schedule(self.count, Quantity(self.torque, "N.m") if self.torque else None)

    @cached_property
    def turn(self) -> Turn | None:
        return next_turn(self.joint)

    @property
    def lubricant(self) -> str:
        """As listed, or as the record has it."""
        return self.studs.lubricant if self.studs else self.nozzle.lubricant if self.nozzle else ""

    @cached_property
    def tools(self) -> tuple[Tool, ...]:
        """What can pull a stud, the one the file names first."""
        named = self.studs.tool if self.studs else ""
        found = [t for t in self.ask.live.exchanger.tools if t.kind in PULLS or t.id == named]
        return tuple(sorted(found, key=lambda t: t.id != named))

    @property
    def tool(self) -> Tool | None:
        """The one the file names for it."""
        return next((t for t in self.tools if self.studs and t.id == self.studs.tool), None)

    @property
    def setting(self) -> ToolSetting | None:
        """Of the hydraulic tool the file names for it."""
        return self.ask.live.material.numbers.settings.get(self.code)

    def why_not(self, tool: Tool) -> str:
        """Why a tool is not to be used today; empty where nothing on record says so."""
        known = self.ask.live.state.tools.get(tool.id)
        until = known.good_until if known else tool.calibrated_until
        if known and known.bad:
            return self.ask.w("joint.tool_bad", tool=tool.id, why=known.bad)
        late = bool(until) and until < self.ask.at.date().isoformat()
        return self.ask.w("joint.tool_late", tool=tool.id, until=until) if late else ""

    @property
    def from_rear(self) -> bool:
        return self.joint.kind in REAR_KINDS

    @cached_property
    def steps(self) -> tuple[Instance, ...]:
        """Every step of the order that is of this joint."""
        return tuple(i for i in self.ask.live.state.scope.instances.values() if _is_of(i, self.joint))

    @property
    def bolting(self) -> Instance | None:
        """The step that is done when it is pulled up."""
        return next((i for code in BOLTING_STEPS for i in self.steps if i.step.code == code), None)

    @property
    def first_step(self) -> Instance | None:
        """The step that its first pass begins: snug, where that is one of its own, else the bolting."""
        snug = next((i for i in self.steps if i.step.code == "GIRTH_SNUG" and i.code not in self.ask.live.state.done), None)
        return snug or self.bolting

    @property
    def pressed(self) -> bool:
        """A side of the exchanger is under pressure: no tool on any joint."""
        return any(t.pressure_mpa > 0 for t in self.ask.live.state.tests.values())

    @property
    def findings(self) -> tuple[str, ...]:
        """The numbers of the entries that raised what is to be put right here."""
        rows = self.ask.live.state.to_put_right.values()
        return tuple(str(one.entry) for one in rows if not one.closed and one.about in self.joint.joints)


def _is_of(one: Instance, joint: JointState) -> bool:
    if one.item is None:
        return one.step.code in BOLTING_STEPS and one.step.kind == joint.kind
    return one.item.id in joint.joints and one.item.list in ("joints", "nozzles")


def stud_set(ask: Ask, name: str) -> StudSet:
    """The studs that clamp the joint of that name. NotThere."""
    joint = ask.live.state.joint(name)
    if joint is None:
        there = ", ".join(id_ for j in ask.live.state.joints.values() for id_ in j.joints)
        raise NotThere(ask.w("joint.no_joint", joint=name, there=there))
    return StudSet(ask, joint)


def stud_sets(ask: Ask) -> Iterator[StudSet]:
    """All of them, front to rear, then the nozzles."""
    yield from (StudSet(ask, joint) for joint in ask.live.state.joints.values())
