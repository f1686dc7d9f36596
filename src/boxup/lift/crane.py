"""What the crane carries against its chart: gross load, the worse printed radius, the share of it, and what makes a lift a critical one."""

from __future__ import annotations

import re
from dataclasses import dataclass

from boxup.core.calculation import calculation, number, word
from boxup.core.finding import Missing
from boxup.core.quantity import BadValue, Quantity
from boxup.core.working import Step, Working
from boxup.exchanger.crane_chart import as_chart
from boxup.exchanger.lifting import ChartRow, Crane
from boxup.lift.gear import gear_for_part
from boxup.reference.load import source

PRACTICE = source("lifting-practice")
MOST_SHARE = 0.75  # of the chart; above it nearly every site calls a lift critical
_TIE = 1e-9
HUNG = (("m_hb", "hook block", "hook_block"), ("m_sl", "slings and shackles", "slings"), ("m_sp", "spreader or cradle", "spreader"),
        ("m_rp", "rope below the boom tip", "rope"))  # fmt: skip
CLOSE_FIT = "a bundle goes in and out with millimetres to spare: a close fit is critical by itself"


def lifts(crane: Crane, what: str) -> bool:
    """Whether this crane lifts that: `what` is "bundle" or a part in the trade's words. The bundle where nothing is said."""
    if not crane.given:
        return False
    if what == "bundle":
        return "bundle" in (crane.use.lower() or "bundle")
    return bool(gear_for_part((crane,), what))  # type: ignore[arg-type]


def crane_load(w: Working, crane: Crane, load: Step, what: str, *, critical: str = "") -> list[Missing]:
    """A part of `w`: gross load from the mass of `load`, capacity at the worse printed radius, and the share of it.

    `what` hangs there, in the trade's words. `critical`: why this lift is critical whatever the share. A mass nobody gave, no radius or
    no chart are missing, never nothing.
    Symbols of the part: m_l, m_hb, m_sl, m_sp, m_rp, m_g (gross), r, r_c (printed radius), C_r, u (share), u_max.
    """
    part = w.part(f"crane {crane.name}" if crane.name else "crane", PRACTICE)
    part.take("m_l", load, w.name, "what hangs in the slings, allowance included")
    lost = [label for _, label, key in HUNG if getattr(crane, key) is None]
    if lost:
        return [
            Missing("load on the crane", f"weigh or read off: {', '.join(lost)}; 0 kg for what is not there. The crane carries them too.")
        ]
    for symbol, label, key in HUNG:
        part.given(symbol, label, getattr(crane, key), "kg")
    missing = _share(part, crane, what)
    _critical(part, critical)
    return missing


def _share(w: Working, crane: Crane, what: str) -> list[Missing]:
    """m_g, and against the chart where there is one."""
    w.step("m_g = m_l + m_hb + m_sl + m_sp + m_rp", "kg", "what the crane carries, hook block and gear included", "gross load")
    if not crane.chart:
        do = "type the rows of its maker's chart for the way it stands: radius and capacity."
        return [Missing("capacity of the crane", do)]
    if crane.radius is None:
        return [Missing("radius of the crane", "measure the largest radius of the whole move, from the middle of the slewing ring.")]
    w.given("r", "largest radius of the move", crane.radius, "m")
    _printed(w, crane.chart)
    if "C_r" in w.steps:
        _against(w, crane, what)
    if crane.configuration:
        w.words["chart for"] = crane.configuration
    else:
        say = "What the rows of the chart are for is not said: boom, counterweight, outriggers, over which side. Read it on the chart."
        w.say("warn", say, "chart")
    return []


def _printed(w: Working, chart: tuple[ChartRow, ...]) -> None:
    """r_c and C_r: the row at the radius or the next one out. Beyond the last there is none, and nothing is lifted."""
    row = next((row for row in chart if row.radius.si >= w["r"] * (1 - _TIE)), None)
    if row is None:
        last = chart[-1].radius.typed
        say = f"The radius of the move lies beyond the last row typed in, {last}: no capacity there. Nearer, or another crane."
        w.say("stop", say, "chart")
        return
    w.given("r_c", "printed radius, the next one out", row.radius, "m")
    w.given("C_r", "printed capacity there", row.capacity, "kg")


def _against(w: Working, crane: Crane, what: str) -> None:
    w.step("u = m_g/C_r", "-", "share of the chart", "gross load over the chart")
    if crane.most_share is None:
        w.assumed("u_max", "most of the chart", MOST_SHARE, "-", "three quarters, common practice; the site's figure is not given")
    else:
        w.given("u_max", "most of the chart, by the site", crane.most_share, "-")
    over = f"With the {what} on its hook the crane would carry more than its chart allows at this radius: do not lift"
    over += ". Nearer, or a larger crane"
    if w.limit("m_g <= C_r", over, "load on the crane against its chart", few=True):
        say = "More of the chart than the site lifts without more: a critical lift, with its own plan and the engineer's signature"
        w.limit("u <= u_max", say, "share of the chart", "warn")


def _critical(w: Working, critical: str) -> None:
    """What makes it a critical lift, in one sentence."""
    why = [critical] if critical else []
    if "u" in w.steps and w["u"] > w["u_max"]:
        why.append("the share of the chart is over the site's")
    if why:
        w.say(
            "note",
            f"A critical lift: {'; '.join(why)}. Two cranes, a load out of the driver's sight or one over live plant would be reasons too.",
            "critical lift",
        )


def rows_of(text: str) -> tuple[ChartRow, ...]:
    """`6 m: 12 t, 9 m: 6 t`. Raises BadValue."""
    rows = as_chart([one.strip() for one in re.split(r"[;,]", text) if one.strip()], "entered", "")
    if not rows:
        raise BadValue('no row; accepted: radius, colon, capacity, for example "6 m: 12 t, 9 m: 6 t"')
    return rows


@dataclass(frozen=True, slots=True, kw_only=True)
class CraneShare:
    """What hangs in the slings, what hangs above it, and the chart."""

    load: Quantity = number("m_l", "what hangs in the slings, allowance included", "kg", above=0, most=5e6)
    hook_block: Quantity = number("m_hb", "hook block", "kg", least=0, most=1e5)
    slings: Quantity = number("m_sl", "slings and shackles", "kg", least=0, most=1e5)
    spreader: Quantity = number("m_sp", "spreader or cradle", "kg", least=0, most=1e5)
    rope: Quantity = number("m_rp", "rope below the boom tip", "kg", least=0, most=1e5)
    radius: Quantity = number("r", "largest radius of the move", "m", above=0, most=200)
    chart: str = word('rows of the chart, for example "6 m: 12 t, 9 m: 6 t"', check=rows_of)
    most_share: Quantity | None = number("u_max", "most of the chart, by the site", "-", optional=True, above=0, most=1)


@calculation("crane-share", PRACTICE, CraneShare, "gross=m_g capacity=C_r share=u printed_radius=r_c")
def crane_share(w: Working, given: CraneShare) -> None:
    """Gross load against the chart at the worse printed radius; no capacity beyond its last row."""
    crane = Crane(radius=given.radius, chart=rows_of(given.chart), most_share=given.most_share, configuration="as typed")
    w.given("m_l", "what hangs in the slings, allowance included", given.load, "kg")
    for symbol, label, key in HUNG:
        w.given(symbol, label, getattr(given, key), "kg")
    _share(w, crane, "load")
    del w.words["chart for"]
