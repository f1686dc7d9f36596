"""What plugs cost, on the terminal: the mechanic's line, each pass, and what no pressure test tells."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from boxup.cli.answers import missing_json, said, si_value

if TYPE_CHECKING:
    from boxup.job.numbers import Numbers


def as_text(n: Numbers) -> Iterator[str]:
    """Nothing where there is no tube map."""
    from boxup.bundle.after_plugging import NOT_A_VERDICT
    from boxup.bundle.plugging_figures import line, pass_rows, wrong_lines

    a = n.plugging
    yield ""
    yield f"after plugging (boxup why {n.exchanger.identity.tag}/D)"
    if text := line(a, "holes of U-tubes" if n.exchanger.letters.rear == "U" else "tubes"):
        yield f"  {text}"
    for r in pass_rows(a):
        worked = f"  {r.velocity:<22}{r.drop}" if a.after else ""
        yield f"  {f'pass {r.number}: {r.open} of {r.holes} open':<30}{worked}".rstrip()
    yield from said(a.missing, a.findings)
    if a.after:
        yield f"  {NOT_A_VERDICT}"
    if n.wrong_way:
        yield "what no pressure test tells; looked for when it goes together"
        yield from (f"  {text}" for text in wrong_lines(n.wrong_way))


def as_json(n: Numbers) -> dict[str, Any]:
    """For machines: counts always, the rest where the data sheet is given."""
    a, t = n.plugging, n.plugging.tubes
    steps = a.working.steps
    kinds = {"duty_before": ("Q_1", "kW"), "duty": ("Q_2", "kW"), "pressure_drop_before": ("Dp_1", "kPa"), "pressure_drop": ("Dp_2", "kPa"),
             "velocity_before": ("v_1", "m/s"), "velocity": ("v_2", "m/s")}  # fmt: skip
    return {
        "holes": list(t.holes) if t else None,
        "open": list(t.open) if t else None,
        "plugged_share": t.share if t else None,
        "worst_pass": t.worst_pass if t else None,
        "worst_pass_share": t.worst_share if t else None,
        "area_ratio": a.ratio("y_A"),
        "velocity_ratio": a.ratio("y_v"),
        "duty_ratio": a.ratio("y_Q"),
        "pressure_drop_ratio": a.ratio("y_p"),
        **{key: si_value(steps[symbol].si if symbol in steps else None, unit) for key, (symbol, unit) in kinds.items()},
        "wrong_way": _wrong_json(n),
        "missing": missing_json(a.missing),
        "findings": [f.as_json() for f in a.findings],
    }


def _wrong_json(n: Numbers) -> dict[str, Any] | None:
    found = n.wrong_way
    if found is None:
        return None
    ribs = [{"end": r.end, "between": list(r.between), "past": [r.first, r.last], "share": r.share, "duty_ratio": r.duty_ratio}
            for r in found.ribs]  # fmt: skip
    return {"reversed_duty_ratio": found.reversed, "end_space_duty_ratio": found.end_space, "loose_ribs": ribs}
