"""What a drawing is asked to show: parts off, pressure on, joints as they stand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

State = Literal["off", "in", "snug", "pass", "pulled up", "tested dry", "undone"]
STATES: tuple[State, ...] = ("off", "in", "snug", "pass", "pulled up", "tested dry", "undone")

PARTS = (
    "bundle", "channel", "channel cover", "bonnet", "closure", "floating head", "split ring", "shell cover", "rear bonnet", "rear channel",
    "rear cover", "shear ring", "backing flange", "gland", "lantern ring", "front ring", "rear ring",
)  # fmt: skip
RINGS = ("front ring", "rear ring")


@dataclass(frozen=True, slots=True)
class JointLook:
    """How one joint stands.

    state: one of STATES. passes: for each stud, by its number, how many of the `of` passes it has had (shown for "pass" and "undone"; empty
    with "undone" means all). stud: the stud the last pass stopped at; None, the pass is complete. low: studs found low. findings: the
    numbers of open findings and holds. said: the word beside it, where a crew has a better one than the state's.
    """

    state: State
    passes: tuple[int, ...] = ()
    of: int = 4
    stud: int | None = None
    low: tuple[int, ...] = ()
    findings: tuple[str, ...] = ()
    said: str = ""

    def __post_init__(self) -> None:
        if self.state not in STATES:
            raise ValueError(f"joint state {self.state!r} is not known; accepted: {', '.join(STATES)}")
        if self.state == "pass" and not self.passes:
            raise ValueError("a joint in the middle of its passes needs the passes of each stud")

    @property
    def word(self) -> str:
        """What stands beside the balloon."""
        if self.said:
            return self.said
        if self.state != "pass":
            return self.state
        return f"pass {max(self.passes)} at stud {self.stud}" if self.stud is not None else f"pass {max(self.passes)} done"

    @property
    def low_words(self) -> str:
        """`low 15-17, 20`; empty when no stud is low."""
        return f"low {runs(self.low)}" if self.low else ""


def runs(numbers: tuple[int, ...]) -> str:
    """`15-17, 20` for 15, 16, 17, 20."""
    groups: list[list[int]] = []
    for n in sorted(set(numbers)):
        if groups and n == groups[-1][-1] + 1:
            groups[-1].append(n)
        else:
            groups.append([n])
    return ", ".join(str(g[0]) if len(g) == 1 else f"{g[0]}, {g[1]}" if len(g) == 2 else f"{g[0]}-{g[-1]}" for g in groups)


@dataclass(frozen=True, slots=True)
class SectionView:
    """What the section of an exchanger shows. The default: everything in, nothing pressed, no balloon.

    off: names from PARTS that are off: phantom lines, set apart. Names this exchanger has not are ignored.
    rings: test rings that are on ("front ring", "rear ring").
    gaskets: joints whose gasket is already on although the joint is open (J3 before the bundle goes in).
    pressed: "shell", "tube" or "": the side that is hatched; pressure: what is written in the gap of the hatch.
    open: ids of nozzles, vents and drains that stand open. blinds: ids of blinds that are in.
    joints: how each joint stands, by its number; only those named here get a balloon.
    links: targets for what can be touched, by joint, nozzle, opening or blind id, or part name.
    mover, moving: one part and "in" or "off": an arrow shows which way it goes.
    width: px; narrow: two half views one above the other (for under 700 px).
    balloons: False, for pictures of steps and tests: no balloon, no number of a nozzle that has nothing to say. Named are the blinds that
    are in, the test rings, and what stands open, where there is room; what has none is named in the description.
    names_only: each balloon is a plain circle with the joint's number; nothing is said of how any joint stands. With no joint told,
    every joint has one.
    stop: words beside a STOP sign over the drawing; empty, no sign.
    """

    off: frozenset[str] = frozenset()
    rings: frozenset[str] = frozenset()
    gaskets: frozenset[str] = frozenset()
    pressed: Literal["", "shell", "tube"] = ""
    pressure: str = ""
    open: frozenset[str] = frozenset()
    blinds: frozenset[str] = frozenset()
    joints: Mapping[str, JointLook] = field(default_factory=dict)
    links: Mapping[str, str] = field(default_factory=dict)
    mover: str = ""
    moving: Literal["in", "off"] = "in"
    width: int = 1160
    narrow: bool = False
    balloons: bool = True
    names_only: bool = False
    stop: str = ""

    def __post_init__(self) -> None:
        for what, names, accepted in (("off", self.off, PARTS), ("rings", self.rings, RINGS)):
            if unknown := sorted(names - set(accepted)):
                raise ValueError(f"{what}: {', '.join(unknown)} is not a part that can be drawn; accepted: {', '.join(accepted)}")
        if self.pressed not in ("", "shell", "tube"):
            raise ValueError(f"pressed: {self.pressed!r} is not a side; accepted: shell, tube, or nothing")
