"""The push on a rear tubesheet that is free to move while the shell is under pressure and the tube ends are bare."""

from __future__ import annotations

from boxup.core.finding import Missing
from boxup.core.quantity import Quantity
from boxup.core.working import Working
from boxup.exchanger.model import Exchanger
from boxup.reference.load import source

_FIGURE = Missing(
    "engineer's figure for the end push",
    "with the rear free, shell pressure pushes the rear tubesheet out and only the tubes hold it. The engineer gives the pressure and the "
    "push the tubes and their joints may carry; no water before that.",
    stops=True,
)


def end_push(w: Working, exchanger: Exchanger, pressure: Quantity, allowed: Quantity | None) -> list[Missing]:
    """F, the push, and S_a, the pull in the tubes. `allowed` is the engineer's figure; above it is a stop."""
    bore, tubes = exchanger.shell.inside_diameter, exchanger.tubes
    if bore is None or tubes.count is None or tubes.od is None:
        do = "give the shell inside diameter, the tube count and the tube outside diameter."
        return [Missing("end push on the rear tubesheet", do), *asked(allowed)]
    w.given("P", "shell pressure", pressure, "MPa")
    w.given("D", "shell inside diameter", bore, "mm")
    w.given("N", "tube holes", tubes.count, "count")
    w.given("d_o", "tube outside diameter", tubes.od, "mm")
    shut = len(exchanger.plugged)
    w.given("n_p", "tubes plugged", Quantity(float(shut), "count", str(shut), "drawing"), "count")
    w.step("F = P * pi/4 * (D**2 - (N - n_p)*d_o**2)", "kN", "end push on the rear tubesheet", "bore area less the open tubes")
    if tubes.wall is not None:
        w.given("t_t", "tube wall", tubes.wall, "mm")
        w.step("A_t = pi/4 * (N - n_p) * (d_o**2 - (d_o - 2*t_t)**2)", "mm2", "metal of the open tubes", "", source=source("geometry"))
        w.step("S_a = F/A_t", "MPa", "pull in each tube, shared evenly", "")
    if allowed is not None:
        w.given("F_a", "engineer's figure for the push", allowed, "kN")
        w.limit("F <= F_a", "The end push is over the engineer's figure: lower the pressure or hold the rear", "engineer's figure", "stop")
    return asked(allowed)


def asked(allowed: Quantity | None) -> list[Missing]:
    """The engineer's figure, where nobody gave it: asked for whether or not the push itself can be worked."""
    return [] if allowed is not None else [_FIGURE]
