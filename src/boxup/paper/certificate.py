"""A draft of the certificate of each test: filled from the record where there is one, lines to fill by pencil where there is none."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import Any

from boxup.core.rounding import both
from boxup.core.unit import UNITS
from boxup.hydro.at_gauge import AtGauge, at_gauge
from boxup.hydro.circuit import full_scale
from boxup.hydro.hold import LOOK
from boxup.hydro.sheet import TestAnswer
from boxup.job.held import Held, held
from boxup.job.proof import proofs
from boxup.job.pumped import Pumped, pumped
from boxup.job.reading import Reading
from boxup.job.state import Attempt, TestState
from boxup.paper.sheet import Material, Sheet

MOST_ROWS = 24  # readings on paper; of more the first, the highest, the last and others at even steps
Row = tuple[str, str]


def certificate_sheets(m: Material) -> Iterator[Sheet]:
    """One a test, in order."""
    for answer in m.numbers.tests:
        yield _sheet(m, answer)


def _sheet(m: Material, a: TestAnswer) -> Sheet:
    w = m.words["certificate_sheet"]
    test = m.state.tests.get(a.test.code) if m.state else None
    attempt = test.attempts[-1] if test and test.attempts else None
    log = sorted(attempt.log, key=lambda r: r.at) if attempt else []
    shows = held(m.exchanger, a.test.code, log) if len(log) > 1 else None
    litres = pumped(m.exchanger, a.test.code, log) if log else None
    most = at_gauge(m.exchanger, a)
    came_out = _came_out(attempt, w) if attempt else ""
    groups = (
        ("what", _what(m, a)),
        ("pressure_title", _pressure(m, a, attempt, most)),
        ("gear_title", _gear(m, a)),
        ("water_title", _water(m, a, test, log, litres)),
        ("times_title", _times(attempt, log, shows, came_out, w)),
    )
    return {
        "kind": "certificate",
        "title": w["title"].format(test=a.test.code),
        "sub": a.test.name,
        "draft": w["draft"] + (" " + w["from_record"].format(number=attempt.number) if attempt else ""),
        "groups": [{"title": w[title], "rows": [{"label": label, "value": value} for label, value in rows]} for title, rows in groups],
        "state": [{"title": w[key], "text": text} for key, text in _assembly(a) if text],
        "readings_title": w["readings_title"],
        "heads": w["heads"],
        "readings": _readings(log, most, w),
        "log_fixed": "" if log else w["log_fixed"],  # nobody copies a log by hand: it is fixed to the certificate
        "hold_title": w["hold_title"],
        "hold": _hold(shows, w),
        "look": LOOK,
        "leaks_title": w["leaks_title"],
        "leaks": _leaks(test, w),
        "joints_title": w["joints_title"],
        "joint_heads": w["joint_heads"],
        "joints": _joints(m, a),
        "after": w["after"],
        "roles": m.roles("test_lead", "inspector", "operator"),
    }


def _what(m: Material, a: TestAnswer) -> Iterator[Row]:
    x, w = m.exchanger, m.words["certificate_sheet"]
    i, side = x.identity, x.side(a.test.side)
    yield w["owner"], ", ".join(t for t in (i.plant, i.unit) if t)
    yield w["equipment"], ", ".join(t for t in (i.tag, x.letters.short, i.drawing) if t)
    yield w["serial"], ", ".join(t for t in (i.bundle_serial, i.year) if t)
    yield w["work_order"], i.job
    yield w["reason"], i.job_scope
    yield w["side"], a.test.side
    rating = (both("pressure", side.mawp.si) if side.mawp else "–", both("temperature", side.mdmt.si) if side.mdmt else "–")
    yield w["rating"], " / ".join(rating)


def _pressure(m: Material, a: TestAnswer, attempt: Attempt | None, most: AtGauge | None) -> Iterator[Row]:
    w, side, v = m.words["certificate_sheet"], m.exchanger.side(a.test.side), a.values
    yield w["basis"], w["basis_rule"].format(rule=side.test_rule, part=side.governing_part or "–")
    for key, way in (("test_pressure", "up"), ("gauge_pressure", "up"), ("examination_gauge_pressure", "up")):
        yield w[key], both("pressure", v[key].si, way) if key in v else ""  # type: ignore[arg-type]
    yield w["limits"], _limits(m, a)
    yield w["actual"], _highest(attempt, most, w) if attempt and attempt.highest_mpa > 0 else ""
    yield w["approved"], ""


def _highest(attempt: Attempt, most: AtGauge | None, w: Any) -> str:
    """The highest reading, of either gauge, and that it was over the limit where it was."""
    highest = UNITS["MPa"].to_si(max(attempt.highest_mpa, attempt.over_mpa))
    over = w["over_most"].format(most=both("pressure", most.most, "down"), what=most.limit.what) if most and most.over(highest) else ""
    return both("pressure", highest) + over


def _limits(m: Material, a: TestAnswer) -> str:
    """What the side that is not pressed may see, as somebody gave it; a demand is no answer, so without a figure it says so."""
    w, tubes = m.words["certificate_sheet"], m.exchanger.tubes
    outside = tubes.outside_limit if a.test.side == "shell" else None
    given = (("limit_outside", outside), ("limit_difference", tubes.differential_limit))
    said = [w[key].format(most=both("pressure", q.si, "down")) for key, q in given if q is not None]
    return "; ".join(said) or str(w["limit_not_given" if a.test.side == "shell" else "limit_open"])


def _gear(m: Material, a: TestAnswer) -> Iterator[Row]:
    w = m.words["certificate_sheet"]
    gauges = [t for t in m.exchanger.tools if t.kind == "test gauge" and _in_range(a, t.range)]
    for n in range(max(2, len(gauges))):
        t = gauges[n] if n < len(gauges) else None
        yield w["gauge"], ", ".join(s for s in (t.id, t.serial, t.range, f"{w['until']} {t.calibrated_until}") if s) if t else ""
    relief = next((t for t in m.exchanger.tools if t.kind == "relief valve"), None)
    most = both("pressure", a.si("pump_relief"), "down") if "pump_relief" in a.values else "–"
    named = ", ".join(s for s in (relief.id, relief.serial) if s) if relief else ""
    yield w["relief"].format(most=most), f"{named}; {w['set_at']}" if named else ""


def _in_range(a: TestAnswer, text: str) -> bool:
    """Whether a gauge may be read in this test; one whose range cannot be read is left to whoever fits it."""
    top = full_scale(text)
    if top is None or "gauge_low" not in a.values or "gauge_high" not in a.values:
        return True
    return a.si("gauge_low") <= top <= a.si("gauge_high")


def _water(m: Material, a: TestAnswer, test: TestState | None, log: list[Reading], litres: Pumped | None) -> Iterator[Row]:
    w, limit = m.words["certificate_sheet"], m.exchanger.side(a.test.side).chloride_limit_mg_per_l
    yield w["medium"], w["water"]
    read = f"{test.chloride_mg_l:g} mg/L" if test and test.chloride_mg_l is not None else ""
    yield w["chloride"].format(limit=f"{limit.si:g} mg/L" if limit else "–"), read
    yield w["additive"], ""
    for key in ("water", "metal"):
        found = [t for r in log if r.pressure > 0 and (t := getattr(r, key)) is not None]
        yield w[f"{key}_temperature"], w["from_to"].format(start=_degrees(found[0]), end=_degrees(found[-1])) if found else ""
    free = both("volume", a.si("pump_in")) if "pump_in" in a.values else "–"
    got = [r.pumped for r in (litres.readings if litres else ()) if r.pumped is not None and r.pressure > 0]
    yield w["pumped"].format(free=free), f"{got[-1] - (litres.zero if litres else 0.0):.2f} L" if got else ""
    yield w["air"], _air(litres, w)


def _air(litres: Pumped | None, w: Any) -> str:
    if litres is None or litres.lacks:
        return ""
    share = max(litres.value("x_a", "-"), 0.0) * 100
    return str(w["air_is"]).format(air=f"{litres.value('V_a', 'L'):.2f}", off=f"{litres.value('U_a', 'L'):.2f}", share=f"{share:.2f}")


def _degrees(degc: float) -> str:
    return f"{degc:g} °C"


def _times(attempt: Attempt | None, log: list[Reading], shows: Held | None, came_out: str, w: Any) -> Iterator[Row]:
    on = [r for r in log if r.pressure > 0]
    hold = shows.readings if shows and len(shows.readings) > 1 else ()
    down = next((r.at for r in log if r.pressure <= 0 and on and r.at > on[-1].at), None)
    yield w["began"], _at(on[0].at if on else None)
    yield w["held"], f"{_at(hold[0].at)} – {_at(hold[-1].at)}" if hold else ""
    yield w["examined"], ""
    yield w["let_down"], _at(down)
    yield w["came_out"], came_out


def _came_out(a: Attempt, w: Any) -> str:
    """As it was signed; a pass that the record refuses, or that counts no more, says so first, with every reason."""
    if a.verdict == "passed" and (a.lacks or a.fell):
        return str(w["not_accepted" if a.lacks else "fell"]).format(why="; ".join(a.lacks) or a.fell)
    return str(w["verdicts"].get(a.verdict, a.verdict))


def _at(moment: datetime | None) -> str:
    return f"{moment:%Y-%m-%d %H:%M}" if moment else ""


def _assembly(a: TestAnswer) -> Iterator[tuple[str, str]]:
    t = a.test
    yield "on", "; ".join(t.on)
    yield "off", "; ".join(t.off)
    yield "open", "; ".join([*([t.open] if t.open else []), *t.vent])


def _readings(log: list[Reading], most: AtGauge | None, w: Any) -> list[list[str]]:
    """Gauge B has its own column: as far as it is on record; the rest is read into it by hand. Of a long log the highest is always kept."""
    if not log:
        return []
    step, last = max(1, -(-len(log) // (MOST_ROWS - 2))), len(log) - 1
    highest = max(range(len(log)), key=lambda n: max(log[n].pressure, log[n].second or 0.0))
    kept = [log[n] for n in sorted({*range(0, last, step), highest, last})]
    return [_row(r, most, w) for r in kept]


def _row(r: Reading, most: AtGauge | None, w: Any) -> list[str]:
    second = "" if r.second is None else _bar(r.second, most, w)
    rest = ("–" if v is None else f"{v:g}" for v in (r.water, r.metal, r.pumped))
    return [f"{r.at:%d %b %H:%M}", _bar(r.pressure, most, w), second, *rest]


def _bar(mpa: float, most: AtGauge | None, w: Any) -> str:
    """A reading, marked where it is over what the gauge may show."""
    return f"{mpa * 10:.2f}" + (f" {w['over']}" if most and most.over(UNITS["MPa"].to_si(mpa)) else "")


def _hold(shows: Held | None, w: Any) -> list[str]:
    """Verdict, drops both together, leak and its largest part; nothing where there is no record: lines to fill."""
    if shows is None or len(shows.readings) < 2:
        return []
    found = [f"{w['verdict']}: {shows.verdict}" + (f" ({shows.why})" if shows.why else "")]
    raw, corrected = (shows.value(symbol, "bar") for symbol in ("dp_r", "dp_c"))
    if raw is not None and corrected is not None:
        found.append(w["drops"].format(raw=f"{raw:.2f}", corrected=f"{corrected:.2f}").replace("-", "−"))
    leak, off, most = (shows.value(symbol) for symbol in ("Q", "U", "Q_2"))
    if leak is not None and off is not None and most is not None:
        bound = w["leak_most"].format(most=f"{most:.2f}") if shows.verdict != "cannot judge" else ""  # nothing was ruled out
        found.append((w["leak"].format(leak=f"{leak:.2f}", off=f"{off:.2f}") + bound).replace("-", "−"))
    found.append(w["thermometer_metal" if shows.skin else "thermometer_water"])
    return found


def _leaks(test: TestState | None, w: Any) -> list[str]:
    """What was seen to leak, attempt by attempt; none said is not none seen."""
    found = []
    for a in test.attempts if test else ():
        seen = "; ".join(a.leaks) or w["none_seen" if a.verdict == "passed" and a.lacks else "none_on_record"]
        seen += f"; {a.over}" if a.over and not (a.verdict == "passed" and a.lacks) else ""
        found.append(w["attempt"].format(number=a.number, verdict=_came_out(a, w), seen=seen) + (
            f" “{a.words}”" if a.words else ""))  # fmt: skip
    return found


def _joints(m: Material, a: TestAnswer) -> list[list[str]]:
    """Every joint the test proves: what the record says of it; whether its gasket is the final one."""
    w, by = m.words["certificate_sheet"], {}
    if m.state:
        by = {p.id: p for p in proofs(m.state) if p.what == "gasket"}
    rows = []
    for joint in a.test.proves:
        proof = by.get(joint)
        mine = bool(proof and any(text.split()[0].rstrip(",:") == a.test.code for text in proof.by))
        rows.append([joint, proof.item if proof else "", _final(m, a, joint), w["dry"] if mine else "", ""])
    return rows


def _final(m: Material, a: TestAnswer, joint: str) -> str:
    """Whether the gasket of a joint stays; where an earlier test proves it for good, this one presses it from the other side only."""
    w = m.words["certificate_sheet"]
    if joint in a.test.final:
        return str(w["yes"])
    before = m.numbers.tests[: m.numbers.tests.index(a)]
    proves = next((one.test.code for one in before if joint in one.test.final), "")
    return str(w["proved_by"]).format(test=proves) if proves else str(w["no"])
