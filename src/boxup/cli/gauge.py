"""Where the test gauges hang, said on the command line."""

from __future__ import annotations

from dataclasses import replace

from boxup.cli.refusal import Refusal
from boxup.core.quantity import BadValue, quantity
from boxup.exchanger.model import HIGHEST_GAUGE, Exchanger


def hung(exchanger: Exchanger, gauges: tuple[str, ...]) -> Exchanger:
    """The exchanger with its test gauges hanging where the words say, whatever its file says."""
    for text in gauges:
        side, _, height = text.rpartition("=")
        try:
            below = quantity(height.strip(), "m")
        except BadValue as bad:
            raise Refusal([f"--gauge-below-top {text!r}: {bad}"]) from bad
        if side.strip() not in ("", "shell", "tube") or not 0 <= below.si <= HIGHEST_GAUGE:
            accepted = f'a height of 0 to {HIGHEST_GAUGE:g} m, or with its side: "tube=3.5 m", "shell=0.4 m"'
            raise Refusal([f"--gauge-below-top {text!r} is not understood; accepted: {accepted}."])
        if side.strip() != "tube":
            exchanger = replace(exchanger, shell_side=replace(exchanger.shell_side, test_gauge_below_top=below))
        if side.strip() != "shell":
            exchanger = replace(exchanger, tube_side=replace(exchanger.tube_side, test_gauge_below_top=below))
    return exchanger
