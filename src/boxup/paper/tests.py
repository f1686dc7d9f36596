"""A sheet for each pressure test: what is on, off, open; the pressure as large as it goes; litres, limits, readings, leaks."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from math import ceil, floor

from boxup.core.rounding import Way, both, metric
from boxup.core.working import Step, digits
from boxup.drawing.bench import bench
from boxup.hydro.at_gauge import at_gauge
from boxup.hydro.reached import reached_from
from boxup.hydro.rise import rise_at_of
from boxup.hydro.sheet import TestAnswer
from boxup.job.picture import Picture
from boxup.paper.sheet import PHONE, WIDE, Drawing, Material, Sheet
from boxup.paper.value import Shown, lacking, of_step, plainly, told

ON_THE_GROUND = "B"  # the test whose bundle is out of its shell


def test_sheets(m: Material) -> Iterator[Sheet]:
    """One a test, in order."""
    for answer in m.numbers.tests:
        yield _sheet(m, answer)


def sheet_of_test(m: Material, code: str, drawn: Drawing | None = None) -> Sheet | None:
    """The sheet of one test by its code; None where the plan has no such test. `drawn`: its drawing, where somebody has it already."""
    answer = next((a for a in m.numbers.tests if a.test.code == code), None)
    return _sheet(m, answer, drawn) if answer else None


test_sheets.__test__ = False  # type: ignore[attr-defined]  # sheets, not tests of pytest


def _sheet(m: Material, a: TestAnswer, drawn: Drawing | None = None) -> Sheet:
    w, t = m.words["test_sheet"], a.test
    left = [
        {"title": w["on"], "lines": list(t.on)},
        {"title": w["off"], "lines": list(t.off)},
        {"title": w["open"], "lines": [t.open, *t.vent] if t.open else list(t.vent)},
    ]
    left += [{"title": w["gear"], "lines": list(t.gear)}] if t.gear else []
    proves = [joints_said(t.proves)] if t.proves else []
    right = [
        {"title": w["proves"], "lines": [*proves, *t.also]},
        {"title": w["cannot"], "lines": list(t.cannot_prove)},
        {"title": w["limits"], "lines": [*_own(m, a), *t.other_side, *_outside(w, a.values)]},
    ]
    return {
        "kind": "test",
        "title": t.name[0].upper() + t.name[1:],
        "sub": w["no_numbers"] + _ready(w, a.values),
        "drawing": _drawing(m, a) if drawn is None else drawn,
        "numbers": _figures(m, a),
        "missing": lacking(a.missing),
        "findings": told(a.findings),
        "left": [p for p in left if p["lines"]],
        "right": [p for p in right if p["lines"]],
        "cautions": [c.sentence for c in a.cautions],
        "before": w["before"],
        "stages": _stages(m, a),
        "gates": _gates(m, a),
        "boxes": [b for b in w["boxes"] if a.test.needs_ring or "ring" not in b],
        "leaks": [{"seen": x.seen, "means": f"{_sentence(x.means)} {_sentence(x.do)}"} for x in t.leaks],
        "dry": m.words[("dry_ends" if t.code == "S1" else "dry_out") + ("" if t.proves else "_only")].format(joints=joints_said(t.proves)),
        "roles": m.roles("test_lead", "inspector", "operator"),
    }


def joints_said(names: Sequence[str]) -> str:
    """`joint J3`, `joints J1, J2`."""
    return f"joint{'' if len(names) == 1 else 's'} {', '.join(names)}"


def _stages(m: Material, a: TestAnswer) -> list[str]:
    """The stages of the log, each share of the test pressure in bar at the gauge."""
    gauge, examine = a.values.get("gauge_pressure"), a.values.get("examination_gauge_pressure")
    if gauge is None:
        return list(m.words["test_sheet"]["stages"])
    top = float(metric("pressure", gauge.si, "up").text)
    found = []
    for stage in m.words["test_sheet"]["stages"]:
        share = re.match(r"(\d+) %", stage)
        if share:
            stage = f"{stage.rstrip()} = {top * int(share[1]) / 100:.1f} bar"
        elif stage.startswith(m.words["test_sheet"]["stages"][8].split(":")[0]):
            counts = metric("pressure", reached_from(gauge.si), "up").text
            stage = f"{top:.1f} bar, {stage.partition(': ')[2]}{m.words['test_sheet']['counts_from'].format(bar=counts)}"
        elif "examine" in stage and examine is not None:
            stage = f"{stage}, {both('pressure', examine.si, 'up').split(' (')[0]}"
        found.append(stage)
    return found


def _gates(m: Material, a: TestAnswer) -> list[str]:
    """What must be written by a named person before any water."""
    push = a.values.get("end_push")
    if push is None or not any("end push" in x.number for x in a.missing):
        return []
    return [m.words["test_sheet"]["gate_push"].format(push=both("load", push.si, "up"))]


def _sentence(text: str) -> str:
    """With a capital and a stop."""
    return f"{text[0].upper()}{text[1:]}".rstrip(".") + "." if text else ""


def _drawing(m: Material, a: TestAnswer) -> Drawing:
    gauge = a.values.get("gauge_pressure")
    pressure = both("pressure", gauge.si, "up") if gauge else ""
    if a.test.code == ON_THE_GROUND:
        return Drawing(
            bench(m.exchanger, pressure=pressure, width=WIDE), lambda: bench(m.exchanger, pressure=pressure, width=PHONE, narrow=True)
        )
    change = next((c for c in m.changes.values() if c.step == a.test.step), None)
    picture = change.after if change else Picture(pressed=a.test.side)
    return m.section(m.view(picture, width=WIDE, pressure=pressure))


def _span(low: float, high: float) -> str:
    """Full scale of the gauge in bar, from Pa: the least rounds up and the most down, so that both ends are allowed."""
    step = 1e5 if high - low >= 5e5 else 1e4  # whole bars where they leave a choice, else tenths
    least, most = ceil(low / step - 1e-9) * step / 1e5, floor(high / step + 1e-9) * step / 1e5
    return f"{least:g} – {most:g}"


def _gauge_label(w: Mapping[str, str], v: Mapping[str, Step]) -> str:
    """Whose pressure it is: where the gauge hangs, and what one at the low end would read."""
    below = v.get("gauge_below_top")
    if below is None:
        return w["at_gauge"]
    where = w["gauge_at_top"] if below.si == 0 else w["gauge_below"].format(below=f"{below.si:.2f}")
    return w["at_gauge"] + where + _low_end(w["gauge_low"], v.get("low_end_pressure"), "up")


def _never(m: Material, a: TestAnswer) -> str:
    """What the gauge never shows, by the lowest limit the sheet knows."""
    most = at_gauge(m.exchanger, a)
    return str(m.words["test_sheet"]["gauge_never"]).format(most=metric("pressure", most.most, "down").text) if most else ""


def _own(m: Material, a: TestAnswer) -> list[str]:
    """The same with the part that sets it."""
    most = at_gauge(m.exchanger, a)
    words = str(m.words["test_sheet"]["never_over"])
    return [words.format(most=both("pressure", most.most, "down"), what=most.limit.what)] if most else []


def _low_end(words: str, step: Step | None, way: Way) -> str:
    """The same figure at the low end of the side, where its height is known."""
    return words.format(low=metric("pressure", step.si, way).text) if step else ""


def _also(words: str, step: Step | None, places: int = 0) -> str:
    """A second figure in a label; nothing where it could not be worked."""
    return words.format(value=f"{step.value:.{places}f}") if step else ""


def _ready(w: Mapping[str, str], v: Mapping[str, Step]) -> str:
    """What the water holds ready, and what air in its place would, in a sentence with its space; nothing where it could not be worked."""
    water, gas, far = (v.get(key) for key in ("stored_energy", "air_energy", "air_stand_off"))
    if not (water and gas and far):
        return ""
    return " " + w["ready"].format(water=digits(water.value, 2), gas=digits(gas.value, 2), far=ceil(far.value - 1e-9))


def _outside(w: Mapping[str, str], v: Mapping[str, Step]) -> list[str]:
    """What the tubes bear from outside, on a shell test where it can be worked."""
    most = v.get("tube_outside_allowable")
    return [w["tubes_outside"].format(most=both("pressure", most.si, "down"))] if most else []


def _litres_label(w: Mapping[str, str], v: Mapping[str, Step]) -> str:
    """What not to pump beyond, and beside it what goes in without air."""
    free = v.get("pump_in")
    return w["pump_air"] + (w["pump_free"].format(litres=metric("volume", free.si).text) if free else "")


def _rise_label(w: Mapping[str, str], v: Mapping[str, Step]) -> str:
    """At which water and pressure a degree does that: half of it, or double, some degrees away."""
    at = rise_at_of(v["water_temperature"], v["test_pressure"]) if "rise_per_degree" in v else "–"
    return w["rise"].format(at=at) + _also(w["rise_turns"], v.get("zero_rise_temperature"), 1)


def _figures(m: Material, a: TestAnswer) -> list[dict[str, object]]:
    w, v, code = m.words["test_sheet"], a.values, m.mark(a.test.code)
    low, high = v.get("gauge_low"), v.get("gauge_high")
    gauges: Shown | None = None
    if low and high:
        gauges = plainly(_span(low.si, high.si), "bar")
    relief = w["relief"] + _low_end(w["relief_low"], v.get("low_end_pump_relief"), "down")
    rows: list[tuple[str, Shown | None, int]] = [
        (_gauge_label(w, v) + _never(m, a), of_step("pressure", v.get("gauge_pressure"), "up"), 27),
        (w["examine"], of_step("pressure", v.get("examination_gauge_pressure"), "up"), 19),
        (relief, of_step("pressure", v.get("pump_relief"), "down"), 19),
        (w["metal"] + _also(w["metal_most"], v.get("highest_temperature")), of_step("temperature", v.get("least_temperature"), "up"), 19),
        (w["fill"] + _also(w["fill_time"], v.get("fill_time")), of_step("volume", v.get("fill")), 19),
        (_litres_label(w, v), of_step("volume", v.get("pump_in_with_air")), 19),
        (w["gauge"], gauges, 19),
        (_rise_label(w, v), of_step("rise", v.get("rise_per_degree")), 19),
    ]
    return [{"label": label, "mark": code, "value": value, "size": size} for label, value, size in rows]
