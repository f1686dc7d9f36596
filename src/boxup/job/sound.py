"""Whether what is done still stands: a done step whose ground was taken away is no ground for the next one."""

from __future__ import annotations

from collections.abc import Mapping

from boxup.core.finding import Finding
from boxup.job.freshness import freshness
from boxup.job.lifting import against_lift
from boxup.job.plugs import one_end_only
from boxup.job.rules import Need
from boxup.job.state import JobState


def met(state: JobState, need: Need) -> bool:
    """Done; or a check of the moment (permit, zero, gas, zone) that was done when it was wanted and has only run out since."""
    if need.step in state.done:
        return True
    tick = state.step(need.step)
    once = tick.first_at is not None and tick.stand not in ("not accepted", "one name") and not tick.refusals
    return once and need.step.partition(":")[0] in freshness()


def let_down(state: JobState, need: Need, code: str) -> bool:
    """A test that failed is over too: its side is let down and drained, so that the leak can be cured."""
    test = next((t for t in state.tests.values() if t.step == need.step.partition(":")[0]), None)
    drains = code.partition(":")[0] in ("BENCH_DRAIN", "STEST1_DRAIN", "TTEST_DRAIN", "DRAINDRY")
    return bool(drains and test and test.attempts and test.attempts[-1].verdict == "failed")


def unsound(state: JobState) -> Mapping[str, str]:
    """Done steps that stand on nothing, or on a step that does, and why. Matters of quality alone are told elsewhere."""
    found: dict[str, str] = {}
    grave = {code: [need for need in state.needs[code] if need.rule.hold or need.rule.kind != "quality"] for code in state.done}
    grave = {code: wanted for code, wanted in grave.items() if wanted}
    for code, wanted in grave.items():
        if open_ := next((need for need in wanted if not met(state, need) and not let_down(state, need, code)), None):
            found[code] = f"{open_.step} is not done"
    spread = True
    while spread:
        spread = False
        for code, wanted in grave.items():
            if code not in found and (under := next((need.step for need in wanted if need.step in found), "")):
                found[code] = f"{under} does not stand: {found[under]}"
                spread = True
    return found


def standing(state: JobState) -> tuple[Finding, ...]:
    """A finding for each undone step that done ones stand on, with all of them: a stop where it is a hold point or a matter of safety; and
    one for each tube that is plugged at one end only."""
    on: dict[str, list[tuple[str, Need]]] = {}
    for code in state.scope.instances:
        if code in state.done:
            for need in state.needs[code]:
                if not met(state, need) and not let_down(state, need, code):
                    on.setdefault(need.step, []).append((code, need))
    plugs = (
        Finding("warn", f"{text[0].upper()}{text[1:]}: both ends, or it still leaks.", "common practice") for text in one_end_only(state)
    )
    return (*(_told(state, step, standing_on) for step, standing_on in on.items()), *plugs)


def _told(state: JobState, step: str, on: list[tuple[str, Need]]) -> Finding:
    grave = next((need for _, need in on if need.rule.hold or need.rule.kind == "safety"), None)
    need = grave or on[0][1]
    said = f" ({state.step(step).why})" if state.step(step).why else ""
    text = (
        f"{step} is not done{said}, and {', '.join(code for code, _ in on)} stand{'s' if len(on) == 1 else ''} on it: {need.rule.because}."
    )
    return Finding("stop" if grave else "warn", text, need.rule.source)


def against(state: JobState, code: str) -> tuple[str, ...]:
    """What stands against beginning a step beside the order of work: pressure on, something to put right, a crane, half a plug."""
    return (*_pressure(state, code), *_to_put_right(state, code), *_plugs(state, code), *against_lift(state.exchanger, code))


def _plugs(state: JobState, code: str) -> tuple[str, ...]:
    """A tube with a plug at one end only, before pressure on the tube side and before the exchanger is given back."""
    return one_end_only(state) if code.partition(":")[0] in PLUGGED_BY else ()


def _pressure(state: JobState, code: str) -> tuple[str, ...]:
    """With pressure on, only the test goes on: raised, read, let down, drained."""
    on = [test for test in state.tests.values() if test.pressure_mpa > 0]
    step = state.scope.instances[code].step
    if not on or step.code in LETS_DOWN or (step.phase[0] in WITH_PRESSURE and step.code not in HANDS_ON):
        return ()
    return tuple(
        f"{test.pressure_mpa * 10:.1f} bar on the {test.side} side by the last reading: gauge to 0, vent open, first" for test in on
    )


def _to_put_right(state: JobState, code: str) -> tuple[str, ...]:
    """A items before pressure comes on for any test and before the walkdown is signed, B items before start-up."""
    letter = BEFORE.get(code.partition(":")[0], "")
    return tuple(one.stands for one in state.to_put_right.values() if one.letter == letter and not one.closed)


WITH_PRESSURE = ("0", "1", "6")  # phases that may go on beside a test
HANDS_ON = (
    "WET",
    "BLIND_IN",
    "FRONT_RING",
    "TRING",
    "TRING_OFF",
    "FRING_OFF",
    "XJ_STOPS",
    "TBLIND_S",
    "TBLIND_T",
    "SB_S",
    "SB_T",
    "SB_S2",
)  # work in the test zone
LETS_DOWN = ("DRAINDRY", "BENCH", "BENCH_DRAIN", "MDT_B", "TESTZONE_B", "RV_B", "LEAKTEST")
PRESSED = ("BENCH", "STEST1", "TTEST", "STEST2", "LEAKTEST")  # steps that put pressure on
PLUGGED_BY = ("TTEST", "STEST2", "LEAKTEST", "PUNCH", "STARTUP")
BEFORE = {**dict.fromkeys((*PRESSED, "PUNCH"), "A"), "STARTUP": "B"}
