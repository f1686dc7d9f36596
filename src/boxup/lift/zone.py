"""Where nobody stands while the bundle hangs, and the wind at which it does not: judgement where nobody gave a figure, and said so."""

from __future__ import annotations

from boxup.core.finding import Missing
from boxup.core.quantity import Quantity
from boxup.core.working import Working
from boxup.exchanger.lifting import Crane
from boxup.lift.answer import LiftAnswer
from boxup.reference.load import source

JUDGEMENT = source("lift-judgement")
MOST_WIND = 10.0  # m/s where neither the crane's maker nor the site says
NAME = "zone nobody enters"


def zone(length: Quantity | None, crane: Crane, rider: Quantity | None = None) -> LiftAnswer:
    """z, from the middle of the load all round, and v, the wind at which nothing is lifted.

    `length` of the bundle; `rider`: of the channel or head that hangs with it. Without the hook's greatest height there is no z, and it is
    missing.
    """
    w = Working(NAME, JUDGEMENT)
    if crane.wind_limit is None:
        w.assumed("v", "no lift in more wind than", MOST_WIND, "m/s", "not given: judgement; the crane's maker has a figure")
    else:
        w.given("v", "no lift in more wind than", crane.wind_limit, "m/s")
    if length is None or crane.highest is None:
        return LiftAnswer(NAME, w, (Missing(NAME, "say how high the hook goes over the ground: highest in [crane]."),))
    w.given("L", "length of the bundle", length, "m")
    w.given("h_g", "hook over the ground, at most", crane.highest, "m")
    if rider is None:
        w.step("z = L/2 + h_g/2 + 2*metre", "m", "from the middle of the load, all round", "half its length, half the height, 2 m")
        return LiftAnswer(NAME, w, ())
    w.given("L_r", "what rides along on its end", rider, "m")
    w.step("z = (L + L_r)/2 + h_g/2 + 2*metre", "m", "from the middle of the load, all round", "half its length, half the height, 2 m")
    return LiftAnswer(NAME, w, ())
