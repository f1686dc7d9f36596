"""Pump pressure of a hydraulic wrench: the torque over the factor its calibration certificate gives."""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.calculation import calculation, number
from boxup.core.quantity import Quantity
from boxup.core.working import Step, Working
from boxup.reference.load import source

WRENCHES = source("wrench-certificates")


@dataclass(frozen=True, slots=True, kw_only=True)
class PumpGiven:
    """Torque, factor of the wrench, and the most pressure it may see."""

    torque: Quantity = number("T", "torque", "N.m", above=0, most=1e6)
    factor: Quantity = number("k_w", "torque for each unit of pump pressure", "N.m/bar", above=0, most=1e4)
    most_pressure: Quantity | None = number("P_w", "most pump pressure the wrench may see", "bar", optional=True, above=0, most=3000)


@calculation("pump-pressure", WRENCHES, PumpGiven, "pressure=p_w@MPa")
def pump_pressure(w: Working, given: PumpGiven) -> None:
    """What the pump of a hydraulic wrench is set to for a torque."""
    w.take_in(given)
    pressure_line(w)


def pressure_line(w: Working) -> Step:
    """`p_w` from T and k_w; a stop where P_w is there and passed, a note where it is not there."""
    step = w.step("p_w = T/k_w", "bar", "pump pressure", "torque over the factor of the certificate")
    if "P_w" in w.steps:
        say = "The pump pressure is more than this wrench may see: do not set it. Take a larger wrench, or ask the tool room"
        w.limit("p_w <= P_w", say, "most pressure of the wrench")
    else:
        say = "The most pressure this wrench may see is not given, so the pump pressure was not held against it: read its plate."
        w.say("note", say, "most pressure of the wrench")
    return step
