"""An invented exchanger: every number here is made up and is evidence of nothing."""

from __future__ import annotations

from dataclasses import replace

from boxup.core.quantity import Quantity, quantity
from boxup.exchanger.joints import joints_of
from boxup.exchanger.letters import letters
from boxup.exchanger.model import Blind, Exchanger, Head, Identity, Joint, Nozzle, Opening, Shell, Side, SideName, Tool, Tubes

NOZZLES: tuple[tuple[str, SideName], ...] = (("N1", "shell"), ("N2", "shell"), ("N3", "tube"), ("N4", "tube"))
OPENINGS = (("V1", "shell", "vent", "12"), ("D1", "shell", "drain", "6"), ("V2", "tube", "vent", "12"), ("D2", "tube", "drain", "6"))


def mm(text: str) -> Quantity:
    return quantity(f"{text} mm", "mm")


def mpa(text: str) -> Quantity:
    return quantity(text, "MPa")


def side(name: SideName, mawp: str, limit: str) -> Side:
    cold, stress = quantity("-10 degC", "degC"), mpa("138 MPa")
    return Side(
        name=name, mawp=mpa(mawp), mdmt=cold, stress_test=stress, stress_design=stress, governing_part="flange",
        test_limit=mpa(limit), limit_reason=f"{name} flange",
    )  # fmt: skip


def blind(use: str, nozzle: str) -> Blind:
    id_ = f"{use[0].upper()}{nozzle[1]}"
    return Blind(id=id_, use=use, nozzle=nozzle, size="8 in", flange_class="300", thickness=mm("25"), rated=mpa("50 bar"), kind="spade")


def made_up(type_: str = "AES", **changes: object) -> Exchanger:
    kind = letters(type_)
    joints = tuple(Joint(id=j.id, kind=j.kind, between=j.between, sides=j.sides, ribs_end=j.ribs_end) for j in joints_of(kind))
    made = Exchanger(
        identity=Identity(tag="99-E-901", type=type_, made_up="yes"), letters=kind, options={}, joints=joints,
        shell_side=side("shell", "20 bar", "30 bar"), tube_side=side("tube", "25 bar", "36 bar"),
        shell=Shell(inside_diameter=mm("800"), wall=mm("14"), length=mm("6000")),
        channel=Head(inside_diameter=mm("800"), wall=mm("14")),
        tubes=Tubes(od=mm("19.05"), wall=mm("2.11"), length=mm("6000"), count=quantity("500", "count")),
        nozzles=tuple(Nozzle(id=i, side=s, size="8 in", flange_class="300") for i, s in NOZZLES),
        openings=tuple(Opening(id=i, side=s, kind=k, clock=quantity(c, "count")) for i, s, k, c in OPENINGS),
        blinds=tuple(blind(use, nozzle) for use in ("process", "test") for nozzle, _ in NOZZLES),
        tools=(Tool(id="G1", kind="test gauge", range="0 to 60 bar"),),
    )  # fmt: skip
    return replace(made, **changes)  # type: ignore[arg-type]
