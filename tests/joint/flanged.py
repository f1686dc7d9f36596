"""An invented joint with its flanges, for the tests of this folder."""

from __future__ import annotations

from dataclasses import replace

from boxup.core.quantity import quantity
from boxup.exchanger.model import Flange, Gasket, Joint, Studs
from boxup.joint.assembly import JointAnswer, Pressures, assembly

DESIGN = Pressures(shell=quantity("17.2 bar", "MPa"), tube=quantity("24.1 bar", "MPa"))
TEST = Pressures(shell=quantity("22.4 bar", "MPa"), tube=quantity("31.3 bar", "MPa"))
HOT = quantity("300 degC", "degC")
TARGET = "345 MPa"


def q(text: str, unit: str = "mm"):
    return quantity(text, unit)


def flange(id_="F1", joint="J1", part="channel", type_="integral", **more) -> Flange:
    sizes = {"od": "965 mm", "bore": "813 mm", "thickness": "95 mm", "hub_small": "16 mm", "hub_large": "28 mm", "hub_length": "40 mm"}
    sizes = (sizes if type_ == "integral" else {k: sizes[k] for k in ("od", "bore", "thickness")}) | more
    values = {k: q(v) if isinstance(v, str) and v.endswith("mm") else v for k, v in sizes.items()}
    strong = {"yield_ambient": q("248 MPa", "MPa"), "yield_design": q("190 MPa", "MPa"), "modulus_ambient": q("202 GPa", "GPa")}
    return Flange(id=id_, joint=joint, part=part, type=type_, material="SA-105", **(strong | values))


def a_joint(*flanges: Flange, kind="channel cover", sides=("tube",), name="J1", count="32", size="1-8", circle="914 mm", **gasket) -> Joint:
    g = {
        "od": q("861 mm"),
        "id_": q("829 mm"),
        "thickness": q("3.2 mm"),
        "rotation": q("1 deg", "deg"),
        "unloading_modulus": q("2000 MPa", "MPa"),
    } | gasket
    stress = {"seating_stress": q("55 MPa", "MPa"), "operating_stress": q("28 MPa", "MPa"), "crush_stress": q("310 MPa", "MPa")}
    made = Gasket(id="G", joint=name, kind="kammprofile", m=q("4", "-"), y=q("69 MPa", "MPa"), **(stress | g))
    studs = Studs(
        id="S", count=q(count, "count"), size=size, grade="B7", lubricant="nickel anti-seize", nut_factor=q("0.18", "-"),
        bolt_circle=q(circle), target_stress=q(TARGET, "MPa"), stress_area="root", grip=q("180 mm"),
    )  # fmt: skip
    return Joint(id=name, kind=kind, between="", sides=sides, gasket=made, studs=studs, flanges=flanges)


def work(joint: Joint, target: float | None = None, **more) -> JointAnswer:
    if target is not None:
        joint = replace(joint, studs=replace(joint.studs, target_stress=q(f"{target!r} MPa", "MPa")))
    return assembly(joint, **({"design": DESIGN, "test": TEST, "rib_length": q("0 mm"), "temperature": HOT} | more))
