"""Every kind of drawing for one exchanger file, in the states a job goes through: for those who look the drawings over."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from boxup.bundle import way_up
from boxup.core.calculation import Answer
from boxup.core.finding import Missing
from boxup.drawing import balloon
from boxup.drawing.bolt_circle import BoltCircle, bolt_circle
from boxup.drawing.gasket import gasket
from boxup.drawing.lift import BundleLift, HeadLift, bundle_lift, head_lift
from boxup.drawing.section import pair, section
from boxup.drawing.tubesheet import TubesheetView, tubesheet
from boxup.drawing.view import JointLook, SectionView
from boxup.drawing.way_up import view_of
from boxup.drawing.way_up import way_up as drawn_way_up
from boxup.drawing.window import chart_of, window_chart
from boxup.exchanger.file import load
from boxup.exchanger.joints import SHELL_COVER, TUBESHEET_SHELL, has_shell_cover
from boxup.exchanger.layout import layout_of
from boxup.exchanger.masses import bundle_mass
from boxup.exchanger.model import Exchanger, Head
from boxup.exchanger.passes import End
from boxup.exchanger.ribs import rib_lines
from boxup.job.numbers import numbers
from boxup.joint.crossover import working_groups

Named = tuple[str, str]
PACK = 860  # px: a section over the whole sheet of a pack; two beside one another have half of it each
# What comes off at either end.
FRONT = {"A": ("channel", "channel cover"), "B": ("bonnet",), "C": ("channel cover",), "N": ("channel cover",), "D": ("closure",)}
REAR = {
    "L": ("rear channel", "rear cover"), "M": ("rear bonnet",), "N": ("rear cover",), "S": ("floating head", "split ring"),
    "T": ("floating head",), "P": ("rear cover", "shear ring", "backing flange", "gland"), "W": ("rear bonnet", "lantern ring"),
}  # fmt: skip
BOXES = ("Snug, gaps equal all round", "Pass 1: 30 %", "Pass 2: 70 %", "Pass 3: 100 %", "Round: 100 %, until no nut turns")


def drawings(path: Path | str) -> list[Named]:
    """Names and SVGs of every drawing for the exchanger of that file.

    Raises BadFile for a file that cannot be read. The states shown are made up; nothing here says how the job stands.
    """
    e = load(path)
    keys = [("key of states", balloon.key()), ("key of states 360", balloon.key(360))]
    return [*_sections(e), *_joints(e), *_windows(e), *_tubesheets(e), *_way_up(e), *_lifts(e), *keys]


def states(e: Exchanger) -> dict[str, SectionView]:
    """Views of the section through a job, by name."""
    letters, blinds = e.letters, frozenset(b.id for b in e.blinds)
    process = frozenset(b.id for b in e.blinds if b.use == "process")
    front, rear = set(FRONT[letters.front]), _rear(e)
    ids = [j.id for j in e.joints]
    low, undone = JointLook("pulled up", low=(15, 16, 17)), JointLook("undone", findings=("1",))
    mixed = [JointLook("snug"), JointLook("tested dry"), low, undone, JointLook("off")]
    bare_end = [j.id for j in e.joints if j.kind == SHELL_COVER]
    pulled = {j: JointLook("pulled up") for j in ids}
    found = {
        "boxed up": SectionView(joints={j: JointLook("tested dry") for j in ids}),
        "half way": SectionView(joints={j: mixed[i % 5] for i, j in enumerate(ids)}, off=frozenset(rear & {"shell cover"})),
        "tube test": SectionView(
            joints=pulled | {j: JointLook("off") for j in bare_end}, pressed="tube", pressure="31.3 bar (454 psi)", blinds=blinds,
            open=frozenset(o.id for o in e.openings if o.side == "shell"), off=frozenset(rear & {"shell cover"}),
        ),
        "shell test": SectionView(
            joints=pulled, pressed="shell", pressure="22.4 bar (325 psi)", blinds=blinds,
            stop="Nobody in front of a cover or a blind while the pressure is on.",
        ),
    }  # fmt: skip
    found["names only"] = SectionView(names_only=True, blinds=process, width=PACK)
    off = {j: JointLook("off") for j in ids}
    if not letters.fixed:
        bare = frozenset(front | rear | {"bundle"})
        found["before the bundle"] = SectionView(joints=off, off=bare, gaskets=_before(e), blinds=process)
    if letters.rear == "S" or (letters.rear == "T" and "shell cover" in rear) or letters.rear == "W":
        bare = frozenset(front | rear - {"lantern ring"})
        rings = frozenset({"front ring", "rear ring"} if letters.front in "AB" else {"rear ring"})
        found["ring test"] = SectionView(joints=off, off=bare, rings=rings, pressed="shell", pressure="22.4 bar (325 psi)")
    return found


def _rear(e: Exchanger) -> set[str]:
    cover = {"shell cover"} if has_shell_cover(e.letters, e.options) else set()
    return cover | set(REAR.get(e.letters.rear, ()))


def _before(e: Exchanger) -> frozenset[str]:
    return frozenset(j.id for j in e.joints if j.kind == TUBESHEET_SHELL)


def _sections(e: Exchanger) -> Iterator[Named]:
    for name, view in states(e).items():
        yield f"section, {name}", section(e, view)
        yield f"section, {name} 360", section(e, replace(view, width=360, narrow=True))
    for name, (before, after) in steps(e).items():
        for width in (PACK, PACK // 2):
            first, second = pair(e, replace(before, width=width), replace(after, width=width))
            yield f"step {name}, before {width}", first
            yield f"step {name}, after {width}", second


def steps(e: Exchanger) -> dict[str, tuple[SectionView, SectionView]]:
    """Views before and after some steps, by what is done."""
    front = FRONT[e.letters.front][0]
    process, test = (frozenset(b.id for b in e.blinds if b.use == use) for use in ("process", "test"))
    shell = frozenset(b.id for b in e.blinds if b.use == "test" and any(n.id == b.nozzle and n.side == "shell" for n in e.nozzles))
    rear = _rear(e)
    first = {"front ring"} if e.letters.front in "AB" and e.letters.rear == "U" else set()
    ring = frozenset({"rear ring"} if e.letters.rear == "S" else first)
    bare = SectionView(balloons=False)
    away = frozenset({front} | rear)
    drains = {side: frozenset(o.id for o in e.openings if o.side == side) for side in ("shell", "tube")}
    tested = replace(bare, blinds=process | test, rings=ring, off=frozenset(rear))
    found = {
        "blinds in": (bare, replace(bare, blinds=process)),
        "channel off": (replace(bare, blinds=process, mover=front, moving="off"), replace(bare, blinds=process, off=frozenset({front}))),
        "test blinds in": (
            replace(bare, blinds=process, off=away, rings=ring),
            replace(bare, blinds=process | shell, off=away, rings=ring),
        ),
        "shell under pressure": (
            tested, replace(tested, pressed="shell", pressure="22.4 bar", open=drains["tube"]),
        ),
        "tube side under pressure": (
            replace(bare, blinds=process | test),
            replace(bare, blinds=process | test, pressed="tube", pressure="31.3 bar", open=drains["shell"]),
        ),
    }  # fmt: skip
    if not e.letters.fixed:
        found["bundle in"] = (
            replace(bare, blinds=process, off=away | {"bundle"}, mover="bundle"), replace(bare, blinds=process, off=away),
        )  # fmt: skip
    return found


def _joints(e: Exchanger) -> Iterator[Named]:
    for j in e.joints:
        if j.gasket:
            yield f"gasket {j.id}", gasket(e, j)
            yield f"gasket {j.id} 360", gasket(e, j, 360)
        if j.studs and j.studs.count:
            n = round(j.studs.count.si)
            for tools, width in ((1, 720), (2, 360), (4, 720)):
                order = tuple(s for group in working_groups(n, tools) for s in group)
                title = f"{e.identity.tag} {j.id}: order of tightening"
                given = BoltCircle(
                    j.id, n, order, tools, BOXES, title=title, low=(3, 4) if tools == 2 else (), width=width,
                    torque=("615 N·m", "(455 lbf·ft)") if tools < 4 else (),
                    seen_from="from the rear" if j.ribs_end == "rear" else "from the channel side",
                )  # fmt: skip
                yield f"bolt circle {j.id}, {tools} at a time", bolt_circle(given)


def _windows(e: Exchanger) -> Iterator[Named]:
    """The limits of every joint, on paper and on a phone; of the first one also as if no load satisfied them."""
    charts = [chart_of(a, f"{e.identity.tag} {a.joint}: chart of limits") for a in numbers(e).joints if a.window and a.window.limits]
    for chart in charts:
        yield f"limits, {chart.title}", window_chart(replace(chart, width=PACK))
        yield f"limits, {chart.title} 360", window_chart(replace(chart, width=360))
    for chart in charts[:1]:
        if chart.lower and chart.upper:
            shut = replace(chart, lower=chart.upper * 1.1, stop=True)
            yield "limits, no load satisfies them 560", window_chart(shut)


def _tubesheets(e: Exchanger) -> Iterator[Named]:
    layout = layout_of(e)
    if isinstance(layout, Missing) or not layout.tubes or e.tubes.od is None:
        return
    bent = e.letters.rear == "U"
    below = {(round(t.x, 1), round(-t.y, 1)): t.id for t in layout.tubes}
    legs = [(t.id, below[round(t.x, 1), round(t.y, 1)]) for t in layout.tubes if t.y > 0 and (round(t.x, 1), round(t.y, 1)) in below]
    pairs = tuple(legs) if bent else ()  # the leg below: made up here, for the words only
    shown = pairs[0] if pairs else (layout.tubes[len(layout.tubes) // 3].id,)  # where the file names none
    ends: tuple[End, ...] = ("front",) if bent else ("front", "rear")
    for end in ends:
        lines = rib_lines(e, end)
        radius = _seen_radius(e, end, max((t.x**2 + t.y**2) ** 0.5 for t in layout.tubes) + e.tubes.od.to("mm"))
        view = TubesheetView(
            e.identity.tag, layout.tubes, e.tubes.od.to("mm"), radius, () if isinstance(lines, Missing) else lines, end,
            e.plugged, e.to_plug or shown, " ".join(f.text for f in layout.findings),
            pairs=pairs,
        )  # fmt: skip
        yield f"tubesheet, {end}", tubesheet(view)
        yield f"tubesheet, {end} 360", tubesheet(replace(view, width=360))


def _way_up(e: Exchanger) -> Iterator[Named]:
    found = way_up.way_up(e)
    if not found.fixed:
        view = view_of(e, found, PACK)
        yield "way up", drawn_way_up(view)
        yield "way up 360", drawn_way_up(replace(view, width=360))


def _seen_radius(e: Exchanger, end: End, least: float) -> float:
    """The inside of the gasket, which is the face that is seen of a tubesheet."""
    ids = [j.gasket.id_.to("mm") / 2 for j in e.joints if j.ribs_end == end and j.gasket and j.gasket.id_]
    return max([least, *ids])


def _lifts(e: Exchanger) -> Iterator[Named]:
    mass = bundle_mass(e)
    b = e.bundle
    if isinstance(mass, Answer) and b.sling_points_m and b.sling_points_far_m and b.hook_height and e.tubes.length:
        kg, length = mass.si("lift_mass"), e.tubes.length.to("m") * (1.05 if e.letters.rear == "U" else 1.0)
        given = BundleLift(
            e.identity.tag, length, b.sling_points_m.to("m"), b.sling_points_far_m.to("m"),
            mass.si("fouled_cg"), b.hook_height.to("m"), f"{kg * 9.80665 / 1000:.1f} kN ({kg:.0f} kg)", rear_bend=e.letters.rear == "U",
            zone="Nobody under the load or between bundle and shell flange.", stop="Stop if the load cell reads more than planned.",
        )  # fmt: skip
        yield "lift, bundle", bundle_lift(given)
        yield "lift, bundle 360", bundle_lift(replace(given, width=360))
    shapes = {"channel": "open", "channel cover": "flat"}
    heads: dict[str, Head] = {
        "channel" if e.letters.front == "A" else "bonnet": e.channel, "channel cover": e.channel_cover, "shell cover": e.shell_cover,
        "floating head": e.floating_head, "rear bonnet": e.rear_head,
    }  # fmt: skip
    for what, head in heads.items():
        if head.mass is not None:
            shape, legs = shapes.get(what, "dished"), 2 if what == "channel" else 1
            words = f"{head.mass.to('kg') * 9.80665 / 1000:.1f} kN ({head.mass.to('kg'):.0f} kg)"
            given_head = HeadLift(e.identity.tag, what, shape, legs, words, points=head.lifting_points, zone="Nobody under it.")
            yield f"lift, {what}", head_lift(given_head)
