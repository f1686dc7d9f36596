"""What the tool named for a joint is set to: pump pressure of a hydraulic wrench at each pass, hydraulic pressure of a tensioner."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from boxup.core.finding import Finding, Missing
from boxup.core.rounding import both, metric
from boxup.core.working import Step, Working
from boxup.exchanger.model import Studs, Tool
from boxup.joint.assembly import JointAnswer
from boxup.joint.passes import ACROSS
from boxup.joint.pump_pressure import WRENCHES, pressure_line
from boxup.joint.studs import StudSet
from boxup.joint.tensioner import TENSIONERS, oil_line, pull_lines
from boxup.joint.tools import Span, span

HYDRAULIC, TENSIONER = "hydraulic wrench", "tensioner"
APART = 0.05  # of the top of the range: more is another factor, or another wrench


@dataclass(frozen=True, slots=True)
class ToolSetting:
    """The setting of one tool for one stud set. `pressure`: at the full torque or load, None where it is not to be given.

    `range`: what a wrench can be set to, None where it cannot be read or where the tool is a tensioner.
    """

    tool: Tool
    working: Working
    missing: tuple[Missing, ...]
    range: Span | None = None

    @property
    def pressure(self) -> Step | None:
        if any(f.level == "stop" for f in self.working.findings):
            return None
        return self.working.steps.get("p_w") or self.working.steps.get("p_t")

    @property
    def findings(self) -> list[Finding]:
        return self.working.all_findings()

    def pascals_at(self, fraction: float) -> float | None:
        """The pressure for a share of the torque, Pa; None where the wrench cannot be set to it, and for a share of a tensioner's load."""
        if self.pressure is None:
            return None
        if self.tool.kind == TENSIONER:
            return float(self.pressure.si) if fraction == 1.0 else None
        torque = self.working["T"] * fraction
        return float(self.pressure.si) * fraction if self.range is None or self.range.reaches(torque) else None

    def out_of_reach(self, fraction: float | None) -> bool:
        """Whether it is a wrench that has a pressure for the full torque, and none for this share of it."""
        return bool(fraction and self.tool.kind == HYDRAULIC and self.pressure and self.pascals_at(fraction) is None)

    def at(self, fraction: float) -> str:
        """The same as a gauge is read, in both systems, or nothing."""
        pressure = self.pascals_at(fraction)
        return both("pump pressure", pressure) if pressure is not None else ""

    def by_pass(self) -> Iterator[tuple[float, float | None]]:
        """Share and pressure, Pa, of each pass across."""
        yield from ((share, self.pascals_at(share)) for share in ACROSS)

    @property
    def who(self) -> str:
        """`W1, HW-108, calibrated until 2027-09-30`."""
        return named(self.tool)


def named(tool: Tool) -> str:
    """A tool with its serial number and the end of its calibration, as far as they are given."""
    until = f"calibrated until {tool.calibrated_until}" if tool.calibrated_until else ""
    return ", ".join(t for t in (tool.id, tool.serial, until) if t)


def tool_setting(answer: JointAnswer, studs: Studs | None, tools: tuple[Tool, ...]) -> ToolSetting | None:
    """Of the tool the file names for these studs; None where that is no hydraulic tool, or where there is nothing to set it to."""
    tool = next((t for t in tools if studs and t.id == studs.tool), None)
    if tool is None or studs is None:
        return None
    if tool.kind == HYDRAULIC and answer.torque:
        return _wrench(answer, tool)
    known = answer.load is not None and not StudSet.of(studs).strength_refused
    return _tensioner(answer, studs, tool) if tool.kind == TENSIONER and known else None


def _wrench(answer: JointAnswer, tool: Tool) -> ToolSetting:
    w = Working(f"{tool.id} for {answer.working.name}", WRENCHES)
    torque = answer.torque
    if tool.factor is None or torque is None:
        return ToolSetting(tool, w, (_ask_factor(tool),))
    w.take("T", torque, answer.working.name)
    w.given("k_w", "torque for each unit of pump pressure", tool.factor, "N.m/bar")
    if tool.most_pressure is not None:
        w.given("P_w", "most pump pressure it may see", tool.most_pressure, "bar")
    pressure_line(w)
    reach = span(tool.range)
    if reach is not None:
        _fits_range(w, tool, reach)
    return ToolSetting(tool, w, (), reach)


def _ask_factor(tool: Tool) -> Missing:
    do = (
        f"ask the tool room for the calibration certificate of {named(tool)}: the torque it gives at each pump pressure. "
        'Write it as factor, such as factor = "2.86 N.m/bar", with most_pressure from its plate. '
        "Until then the maker's table goes with the wrench."
    )
    return Missing(f"pump pressure of {tool.id} (factor not given)", do)


def _fits_range(w: Working, tool: Tool, reach: Span) -> None:
    """The top of the range and factor times most pressure are one figure; where they are two, one of the three is of another wrench."""
    if "P_w" not in w.steps:
        return
    top = w["k_w"] * w["P_w"]
    if abs(top / reach.high - 1) > APART:
        text = f"{tool.id}: factor and most pressure give {both('torque', top)} at the top, its range says {both('torque', reach.high)}"
        w.say("warn", f"{text}. One of them is not of this wrench: look at the certificate before it is set.", "range of the wrench")


def _tensioner(answer: JointAnswer, studs: Studs, tool: Tool) -> ToolSetting:
    w = Working(f"{tool.id} for {answer.working.name}", TENSIONERS)
    asked = tuple(_ask_tensioner(studs, tool))
    if asked:
        return ToolSetting(tool, w, asked)
    stud = answer.working.parts[0]
    for symbol in ("D", "A", "F"):
        w.take(symbol, stud.steps[symbol], answer.working.name)
    for symbol, label, value, unit in (("A_p", "hydraulic area of the tensioner", tool.piston_area, "mm2"),
                                       ("k_l", "load applied over load left", tool.load_loss, "-"),
                                       ("l_g", "grip, nut face to nut face", studs.grip if tool.load_loss is None else None, "mm"),
                                       ("P_w", "most pressure it may see", tool.most_pressure, "bar")):  # fmt: skip
        if value is not None:
            w.given(symbol, label, value, unit)
    if pull_lines(w, studs.grade, studs.size):
        oil_line(w)
    say = "its pressure is for studs all pulled at once. With fewer tensioners the first ones lose load: by their maker's procedure"
    w.say("note", f"{tool.id}: {say}.", "tensioners on part of the studs")
    return ToolSetting(tool, w, ())


def _ask_tensioner(studs: Studs, tool: Tool) -> Iterator[Missing]:
    what = f"hydraulic pressure of {tool.id}"
    if tool.piston_area is None:
        yield Missing(
            f"{what} (piston_area not given)", f"ask the tool room for the hydraulic area of {named(tool)}: it stands on its plate."
        )
    if tool.load_loss is None and studs.grip is None:
        do = "ask its maker for the load lost when it is let down (load_loss), or measure the grip of the studs, nut to nut."
        yield Missing(f"{what} (load_loss not given)", do)


def settings_text(setting: ToolSetting) -> str:
    """One line for the terminal and the card: `65 / 130 / 215 bar at 30 / 60 / 100 %`."""
    if setting.pressure is None:
        return ""
    if setting.tool.kind == TENSIONER:
        return setting.at(1.0)
    shares = " / ".join(f"{share * 100:.0f}" for share, _ in setting.by_pass())
    bars = " / ".join("–" if p is None else metric("pump pressure", p).text for _, p in setting.by_pass())
    return f"{bars} bar at {shares} %"
