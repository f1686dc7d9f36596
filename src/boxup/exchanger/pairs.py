"""Do the parts belong together: gaskets on their faces and inside their studs, studs shared as the trade shares them, blinds on nozzles."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from math import pi

from boxup.core.quantity import BadValue, Quantity
from boxup.exchanger import joints
from boxup.exchanger.fits import bore, problem, said
from boxup.exchanger.model import Blind, Exchanger, Gasket, Joint, Nozzle, Studs
from boxup.exchanger.problem import Problem, line_of
from boxup.exchanger.seat import listed, misfits
from boxup.exchanger.sections import sections_of
from boxup.exchanger.stud_size import nominal_diameter

Named = tuple[str, Quantity | None]


def pairs(x: Exchanger) -> Iterator[Problem]:
    """Every part that does not go with another one."""
    for j in x.joints:
        if j.gasket:
            yield from _gasket(x, j, j.gasket)
            yield from _seat(x, j, j.gasket)
        yield from _ring_studs(x, j)
    for s in {j.studs.id: j.studs for j in x.joints if j.studs}.values():
        yield from _studs(x, s)
    yield from _shared(x)
    yield from _nozzles(x)
    yield from apart(x.lines, [j.gasket for j in x.joints if j.gasket], x.nozzles, x.blinds)
    yield from _sides(x)
    yield from _sections(x)


def apart(lines: Mapping[str, int], gaskets: Iterable[Gasket], nozzles: Iterable[Nozzle], blinds: Iterable[Blind]) -> Iterator[Problem]:
    """What does not go together whatever the letters are: told too where those cannot be read. `lines`: of the file, by key."""
    for g in gaskets:
        if g.od and g.id_ and g.od.si <= g.id_.si:
            at, text = f"gasket.{g.id}.od", f"{said(g.od)} is not larger than the inside diameter {said(g.id_)}."
            yield Problem(line_of(lines, at), at, text)
    yield from _blinds(lines, {n.id: n for n in nozzles}, blinds)


def sealed_bores(x: Exchanger, kind: str) -> list[Named]:
    """The bores a gasket of this joint stands around."""
    channel: Named = ("channel bore", x.channel.inside_diameter)
    rear: Named = ("rear head bore", x.rear_head.inside_diameter or x.rear_cover.inside_diameter)
    shell: Named = ("shell bore", x.shell.inside_diameter)
    around = {
        joints.CHANNEL_COVER: [channel],
        joints.CHANNEL_TUBESHEET: [channel],
        joints.TUBESHEET_SHELL: [bore(x)],
        joints.FLOATING_HEAD: [("floating head bore", x.floating_head.inside_diameter)],
        joints.SHELL_COVER: [("shell cover bore", x.shell_cover.inside_diameter)] + ([] if x.letters.shell == "K" else [shell]),
        joints.REAR_HEAD: [rear],
        joints.REAR_COVER: [rear],
    }
    return around.get(kind, [])


def faces(x: Exchanger, kind: str) -> list[Named]:
    """The parts whose outside diameter the gasket must stay within."""
    around: dict[str, list[Named]] = {
        joints.CHANNEL_COVER: [("channel cover", x.channel_cover.outside_diameter), ("channel flange", x.channel.outside_diameter)],
        joints.CHANNEL_TUBESHEET: [("channel flange", x.channel.outside_diameter), ("tubesheet", x.stationary_tubesheet.outside_diameter)],
        joints.TUBESHEET_SHELL: [("tubesheet", x.stationary_tubesheet.outside_diameter)],
        joints.FLOATING_HEAD: [("floating tubesheet", x.floating_tubesheet.outside_diameter)],
        joints.SHELL_COVER: [("shell cover flange", x.shell_cover.outside_diameter)],
        joints.REAR_HEAD: [("rear head flange", x.rear_head.outside_diameter)],
        joints.REAR_COVER: [("rear cover", x.rear_cover.outside_diameter), ("rear head flange", x.rear_head.outside_diameter)],
    }
    return around.get(kind, [])


def _gasket(x: Exchanger, j: Joint, g: Gasket) -> Iterator[Problem]:
    at = f"gasket.{g.id}"
    for what, q in sealed_bores(x, j.kind):
        if g.id_ and q and g.id_.si < q.si:
            yield problem(x, f"{at}.id", f"{said(g.id_)} is smaller than the {what} {said(q)} that {j.id} ({j.between}) stands around.")
    limit = x.tubes.outer_limit
    over_tubes = j.kind in (joints.CHANNEL_TUBESHEET, joints.TUBESHEET_SHELL, joints.FLOATING_HEAD, joints.REAR_HEAD)
    if over_tubes and limit and g.id_ and g.id_.si < limit.si:
        yield problem(x, f"{at}.id", f"{said(g.id_)} is smaller than the outer tube limit {said(limit)}: the gasket would lie over tubes.")
    for what, q in faces(x, j.kind):
        if g.od and q and g.od.si > q.si:
            yield problem(x, f"{at}.od", f"{said(g.od)} is larger than the {what} {said(q)}.")
    if g.od and j.studs and (room := _inside_studs(j.studs)) and g.od.si > room:
        text = f"{said(g.od)} reaches into the studs {j.studs.id}: bolt circle less a {j.studs.size} stud leaves {room * 1000:.1f} mm."
        yield problem(x, f"{at}.od", text)


def _seat(x: Exchanger, j: Joint, g: Gasket) -> Iterator[Problem]:
    """The gasket as listed against recess, bore and ribs of its flanges."""
    return (problem(x, f"gasket.{g.id}.{m.key}", m.text, m.level) for m in misfits(x, j, listed(g)))


def _ring_studs(x: Exchanger, j: Joint) -> Iterator[Problem]:
    """The studs of a split backing ring run past the floating tubesheet, outside it."""
    sheet = x.floating_tubesheet.outside_diameter
    room = _inside_studs(j.studs) if j.studs else None
    if x.letters.rear == "S" and j.kind == joints.FLOATING_HEAD and j.studs and sheet and room and room < sheet.si:
        text = f"a stud on {said(j.studs.bolt_circle)} runs into the floating tubesheet {said(sheet)}." if j.studs.bolt_circle else ""
        yield problem(x, f"studs.{j.studs.id}.bolt_circle", text)


def _inside_studs(s: Studs) -> float | None:
    """The circle that touches the studs from inside, m."""
    d = _diameter(s.size)
    return s.bolt_circle.si - d if s.bolt_circle and d else None


def _diameter(size: str) -> float | None:
    try:
        return nominal_diameter(size) if size else None
    except BadValue:
        return None


def _studs(x: Exchanger, s: Studs) -> Iterator[Problem]:
    at = f"studs.{s.id}"
    yield from _size(x, f"{at}.size", s.size)
    yield from _count(x, f"{at}.count", s.count)
    d = _diameter(s.size)
    if d and s.count and s.bolt_circle and pi * s.bolt_circle.si / s.count.si < 1.8 * d:
        apart = pi * s.bolt_circle.si / s.count.si * 1000
        text = f"{s.count.typed} studs on {said(s.bolt_circle)} stand {apart:.0f} mm apart: nuts of {s.size} would touch."
        yield problem(x, f"{at}.count", text)
    if s.tool and x.tools and s.tool not in {t.id for t in x.tools}:
        text = f"{s.tool!r} is none of the tools in this file: {', '.join(t.id for t in x.tools)}."
        yield problem(x, f"{at}.tool", text)


def _size(x: Exchanger, key: str, size: str) -> Iterator[Problem]:
    try:
        if size:
            nominal_diameter(size)
    except BadValue as bad:
        yield problem(x, key, f"{bad}.")


def _count(x: Exchanger, key: str, count: Quantity | None) -> Iterator[Problem]:
    if count and count.si % 4:
        text = f"{count.typed} studs: flanges have a multiple of four; count them again. The order of tightening goes by quarters."
        yield problem(x, key, text, "warning")


def _shared(x: Exchanger) -> Iterator[Problem]:
    """A set clamps one joint, or the joints of one group; the joints of a group have one set."""
    groups = {j.id: joints.group_of(j.kind) for j in x.joints}
    for s in {j.studs.id: j.studs for j in x.joints if j.studs}.values():
        of_group = {groups[j] for j in s.joints if j in groups}
        if len(of_group) > 1:
            yield problem(x, f"studs.{s.id}.joints", f"{', '.join(s.joints)} are not pulled up by the same studs; give each its own set.")
    for name in (joints.CHANNEL_SHELL, joints.LANTERN_RING):
        together = [j for j in x.joints if groups[j.id] == name]
        sets = {j.studs.id for j in together if j.studs}
        ids = ", ".join(f'"{j.id}"' for j in together)
        if len(together) == 2 and len(sets) == 1 and not all(j.studs for j in together):
            text = f"one set of studs pulls up both gaskets of the {name}: joints = [{ids}]."
            yield problem(x, f"studs.{sets.pop()}.joints", text)
        elif len(together) == 2 and len(sets) == 2:
            text = f"{' and '.join(sorted(sets))} on the {name}, which usually has one set for both gaskets; look at the drawing again."
            yield problem(x, f"studs.{max(sets)}.joints", text, "warning")


def _nozzles(x: Exchanger) -> Iterator[Problem]:
    for n in x.nozzles:
        yield from _size(x, f"nozzle.{n.id}.stud_size", n.stud_size)
        yield from _count(x, f"nozzle.{n.id}.studs", n.studs)


def _blinds(lines: Mapping[str, int], nozzles: Mapping[str, Nozzle], blinds: Iterable[Blind]) -> Iterator[Problem]:
    for b in blinds:
        at, n = f"blind.{b.id}", nozzles.get(b.nozzle)
        if b.nozzle and not n:
            text = f"no nozzle {b.nozzle}; this file has {', '.join(nozzles) or 'no nozzles'}."
            yield Problem(line_of(lines, f"{at}.nozzle"), f"{at}.nozzle", text)
        if n:
            for key, mine, its in (("size", b.size, n.size), ("flange_class", b.flange_class, n.flange_class)):
                if mine and its and mine != its:
                    text = f"{mine}, where nozzle {n.id} says {its}."
                    yield Problem(line_of(lines, f"{at}.{key}"), f"{at}.{key}", text, "warning")


def _sides(x: Exchanger) -> Iterator[Problem]:
    for section, side in (("shell_side", x.shell_side), ("tube_side", x.tube_side)):
        cold, hot = side.mdmt, side.design_temperature
        if cold and hot and cold.si >= hot.si:
            text = f"{said(cold)} is not below the design temperature {said(hot)}; have the two changed places?"
            yield problem(x, f"{section}.mdmt", text)
        if side.mawp and side.test_limit and side.test_limit.si < side.mawp.si:
            yield problem(x, f"{section}.test_limit", f"{said(side.test_limit)} is below the MAWP {said(side.mawp)}.", "warning")


def _sections(x: Exchanger) -> Iterator[Problem]:
    """Sections of parts these letters do not have."""
    has = sections_of(x.letters, x.options)
    for section in x.lines:
        if "." not in section and section not in has and hasattr(x, section):
            text = f"{x.letters.words}: this type has no {section.replace('_', ' ')}; the section is not used."
            yield problem(x, section, text, "warning")
