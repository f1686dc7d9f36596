"""What the section must show of this exchanger, and of no other."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

import boxup
from boxup.drawing.assembly import Assembly
from boxup.drawing.frame import frame_of
from boxup.drawing.nozzle import AWAY, NEAR, Placed, placed
from boxup.drawing.part import Part
from boxup.drawing.section import pair, section
from boxup.drawing.view import JointLook, SectionView
from boxup.exchanger.file import load
from boxup.exchanger.letters import letters
from boxup.exchanger.model import Exchanger

DEMO = Path(boxup.__file__).parent / "demo" / "data"


def demo(tag: str) -> Exchanger:
    return load(DEMO / f"{tag}.toml")


@pytest.fixture(scope="module")
def aes() -> Exchanger:
    return demo("14-E-103")


@pytest.fixture(scope="module")
def beu() -> Exchanger:
    return demo("14-E-104")


@pytest.fixture(scope="module")
def bem() -> Exchanger:
    return demo("14-E-108")


def part(a: Assembly, name: str, end: int = 1) -> Part:
    return next(p for p in a.ends[end].parts if p.name == name)


def extent(p: Part) -> tuple[float, float, float]:
    """Least x, greatest x, greatest |y|."""
    steps = [s for shape in p.shapes for s in shape.steps]
    return min(s[1] for s in steps), max(s[1] for s in steps), max(abs(s[2]) for s in steps)


def test_the_floating_tubesheet_passes_through_the_shell(aes: Exchanger) -> None:
    a = Assembly(aes, SectionView())
    assert extent(part(a, "bundle"))[2] == 797 / 2 < a.f.bore == 813 / 2


def test_the_split_ring_bears_behind_the_floating_tubesheet_and_is_too_large_for_the_shell(aes: Exchanger) -> None:
    a = Assembly(aes, SectionView())
    sheet, ring, head = part(a, "bundle"), part(a, "split ring"), part(a, "floating head")
    assert extent(ring)[0] < extent(sheet)[0], "the ring starts on the baffle side of the tubesheet"
    assert extent(head)[0] > extent(sheet)[1], "the head is on its outer side"
    assert extent(ring)[2] == 890 / 2 > a.f.bore
    inner = min(abs(s[2]) for shape in ring.shapes for s in shape.steps)
    assert inner < 797 / 2, "the ring grips the tubesheet"
    assert extent(ring)[0] > a.f.shell_end, "with the shell cover off, the ring can be reached"


def test_tubes_are_as_long_between_the_outer_faces_as_the_file_says(aes: Exchanger, bem: Exchanger) -> None:
    for e in (aes, bem):
        f = frame_of(e)
        assert e.tubes.length is not None
        assert f.far + f.far_sheet + f.sheet == pytest.approx(e.tubes.length.to("mm"))


def test_pass_plates_stand_at_the_heights_of_the_lanes(aes: Exchanger) -> None:
    f = frame_of(aes)
    # demo rows: the lane between 163.6 and 122.2 mm, and its mirror; the rear plate in the middle lane
    assert f.front_plates == pytest.approx((-142.9, 142.9), abs=0.1)
    assert f.rear_plates == pytest.approx((0.0,), abs=0.1)


def test_u_bends_fit_inside_the_closed_shell(beu: Exchanger) -> None:
    f = frame_of(beu)
    assert f.far + f.limit < f.shell_end + f.bore / 2


def test_the_inside_of_the_shell_cover_clears_the_floating_head(aes: Exchanger) -> None:
    a = Assembly(aes, SectionView())
    shell = next(r for r in a.ends[1].rooms if r.part == "shell cover")
    head = next(r for r in a.ends[1].rooms if r.part == "floating head")
    assert max(p[0] for p in head.outline) + 16 < max(p[0] for p in shell.outline)


@pytest.mark.parametrize("name", ["channel", "channel cover", "floating head", "split ring", "shell cover", "bundle"])
def test_a_part_that_is_off_is_set_apart_in_phantom_line(aes: Exchanger, name: str) -> None:
    a = Assembly(aes, SectionView(off=frozenset({name})))
    gone = [p for end in a.ends for p in end.parts if p.name == name]
    assert all(a.shift(p) != (0.0, 0.0) for p in gone)
    before, after = (section(aes, SectionView(off=off)) for off in (frozenset(), frozenset({name})))
    assert "stroke-dasharray" not in before
    assert "stroke-dasharray" in after


def test_parts_that_are_off_keep_their_order_and_do_not_change_the_scale(aes: Exchanger) -> None:
    off = frozenset({"channel", "channel cover"})
    a, whole = Assembly(aes, SectionView(off=off)), Assembly(aes, SectionView())
    channel, cover = part(a, "channel", 0), part(a, "channel cover", 0)
    assert a.shift(cover)[0] < a.shift(channel)[0] < 0
    assert [(s.start, s.stop) for s in a.stretches] == [(s.start, s.stop) for s in whole.stretches]


def test_what_hangs_on_a_part_that_is_off_is_off_too(aes: Exchanger, bem: Exchanger) -> None:
    assert Assembly(aes, SectionView(off=frozenset({"bundle"}))).off >= {"channel", "channel cover", "floating head"}
    assert Assembly(bem, SectionView(off=frozenset({"bundle"}))).off == frozenset(), "a fixed bundle does not come off"
    assert Assembly(bem, SectionView(off=frozenset({"channel"}))).off == {"bonnet"}


def test_test_rings_stand_only_where_asked(aes: Exchanger) -> None:
    none, both = (section(aes, SectionView(rings=frozenset(r))) for r in ((), ("front ring", "rear ring")))
    assert 'data-part="rear ring"' not in none
    assert 'data-part="front ring"' in both
    assert 'data-part="rear ring"' in both


def test_the_rear_ring_takes_its_packing_on_the_edge_of_the_tubesheet(aes: Exchanger) -> None:
    a = Assembly(aes, SectionView(rings=frozenset({"rear ring"})))
    packing = next(s for s in part(a, "rear ring").shapes if s.kind == "ink")
    xs = [s[1] for s in packing.steps]
    assert a.f.far < min(xs) < max(xs) < a.f.far + a.f.far_sheet


def test_every_letter_has_its_own_picture(aes: Exchanger, bem: Exchanger) -> None:
    drawn = {t: section(replace(aes, letters=letters(t)), SectionView()) for t in ("AES", "BES", "AEU", "AEM", "BEM")}
    assert len(set(drawn.values())) == 5
    names = {t: {p.name for end in Assembly(replace(aes, letters=letters(t)), SectionView()).ends for p in end.parts} for t in drawn}
    assert "channel cover" in names["AES"]
    assert "channel cover" not in names["BES"]
    assert "split ring" not in names["AEU"] | names["AEM"]
    assert "rear bonnet" in names["BEM"]


def test_without_a_shell_diameter_all_is_proportion_and_the_drawing_says_so(aes: Exchanger) -> None:
    drawn = section(replace(aes, shell=replace(aes.shell, inside_diameter=None)), SectionView())
    assert ">Not to scale: the shell inside diameter is not given.<" in drawn
    assert "Not to scale" not in section(aes, SectionView())


def test_a_side_under_pressure_is_hatched_and_carries_its_pressure(aes: Exchanger) -> None:
    view = SectionView(pressed="tube", pressure="31.3 bar")
    assert 'stroke-width="1.6"' in section(aes, view)
    assert 'stroke-width="1.6"' not in section(aes, SectionView())
    assert "31.3\u00a0bar" in section(aes, view)
    assert section(aes, view) != section(aes, replace(view, pressed="shell"))


def test_only_the_joints_that_were_told_have_a_balloon(aes: Exchanger) -> None:
    drawn = section(aes, SectionView(joints={"J4": JointLook("pulled up")}))
    assert 'data-joint="J4"' in drawn
    assert 'data-joint="J1"' not in drawn


def test_parts_only_has_no_words(aes: Exchanger) -> None:
    drawn = section(aes, SectionView(joints={"J4": JointLook("pulled up")}, balloons=False, width=480))
    assert "<text" not in drawn


def test_a_gasket_can_lie_on_before_the_bundle(aes: Exchanger) -> None:
    off = SectionView(off=frozenset({"bundle", "split ring", "shell cover"}))
    assert section(aes, replace(off, gaskets=frozenset({"J3"}))).count("<rect") == section(aes, off).count("<rect") + 2


def test_blinds_and_open_drains_are_drawn(aes: Exchanger) -> None:
    blind = next(b.id for b in aes.blinds if b.use == "test")
    assert f'data-blind="{blind}"' in section(aes, SectionView(blinds=frozenset({blind})))
    assert "D1 open" in section(aes, SectionView(open=frozenset({"D1"})))


def without_place(e: Exchanger) -> Exchanger:
    """The same with every process blind on the nozzle itself."""
    return replace(e, blinds=tuple(replace(b, at="nozzle") if b.use == "process" else b for b in e.blinds))


def group(svg: str, name: str, value: str) -> str:
    """What is drawn in one group, with the groups in it; empty when there is none."""
    _, _, rest = svg.partition(f'<g data-{name}="{value}">')
    depth = 1
    for tag in re.finditer(r"<g\b|</g>", rest):
        depth += 1 if tag[0] == "<g" else -1
        if not depth:
            return rest[: tag.start()]
    return ""


@pytest.fixture(scope="module")
def in_() -> frozenset[str]:
    return frozenset({"B1", "B2", "B3", "B4"})


def test_a_spade_at_the_far_end_of_its_spool_stays_when_the_channel_is_off(aes: Exchanger, in_: frozenset[str]) -> None:
    on, off = SectionView(blinds=in_), SectionView(blinds=in_, off=frozenset({"channel"}))
    for view in (on, off):
        drawn = section(aes, view)
        assert group(drawn, "spool", "N3")
        assert "stroke-dasharray" not in group(drawn, "spool", "N3") + group(drawn, "blind", "B3"), "it is in: solid"
        assert ">B3</text>" in drawn
    assert "stroke-dasharray" in group(section(aes, off), "nozzle", "N3")
    assert Assembly(aes, off).closing(item(aes, "N3")).lift > 0 == Assembly(aes, on).closing(item(aes, "N3")).lift


def item(e: Exchanger, name: str) -> Placed:
    return next(p for p in placed(frame_of(e)) if p.id == name)


def test_a_blind_on_the_nozzle_itself_has_no_spool(aes: Exchanger, in_: frozenset[str]) -> None:
    near = without_place(aes)
    assert Assembly(near, SectionView(blinds=in_)).closing(item(near, "N1")).spool is False
    assert Assembly(aes, SectionView(blinds=in_)).closing(item(aes, "N1")).spool is True
    assert section(near, SectionView(blinds=in_)) != section(aes, SectionView(blinds=in_))


def test_a_test_blank_is_no_spade(aes: Exchanger) -> None:
    spade, disc = (section(aes, SectionView(blinds=frozenset({b}))) for b in ("B1", "TB1"))
    handle = re.findall(r'fill="var\(--ground,Canvas\)"', group(spade, "blind", "B1"))
    assert handle, "the handle of a spade is outlined"
    assert not re.findall(r'fill="var\(--ground,Canvas\)"', group(disc, "blind", "TB1")), "a blank is black all over"


def test_a_test_blank_goes_with_the_part_it_sits_on(aes: Exchanger) -> None:
    off = SectionView(blinds=frozenset({"TB3", "TB1"}), off=frozenset({"channel"}))
    assert "stroke-dasharray" in group(section(aes, off), "blind", "TB3")
    assert "stroke-dasharray" not in group(section(aes, off), "blind", "TB1")


@pytest.mark.parametrize("width", [430, 860, 1160])
def test_pictures_of_steps_name_blinds_rings_and_what_stands_open(aes: Exchanger, width: int) -> None:
    view = SectionView(
        balloons=False, width=width, blinds=frozenset({"B1", "TB2"}), rings=frozenset({"rear ring"}), open=frozenset({"D3", "V1"})
    )
    said = set(re.findall(r"<text[^>]*>([^<]+)</text>", section(aes, view)))
    assert {"B1", "TB2"} <= said
    assert said & {"rear test ring", "rear ring"}
    assert said & {"D3", "D3 open"}
    assert said & {"V1", "V1 open"}


def test_what_comes_or_goes_in_a_step_is_named_at_430_px(beu: Exchanger) -> None:
    before = SectionView(balloons=False, width=430)
    after = replace(before, blinds=frozenset(b.id for b in beu.blinds if b.use == "process"))
    _, drawn = pair(beu, before, after)
    assert all(f">{b}</text>" in drawn for b in after.blinds)


def test_open_and_shut_are_told_apart_in_black_and_white(aes: Exchanger) -> None:
    for name in ("D3", "V3"):  # one in the section, one seen on its end
        shut, opened = (section(aes, SectionView(open=frozenset(o), balloons=False)) for o in ((), (name,)))
        assert 'fill="currentColor"' in group(shut, "nozzle", name), "a black cap"
        assert 'fill="currentColor"' not in group(opened, "nozzle", name), "no cap"
        assert group(opened, "nozzle", name).count("L") > group(shut, "nozzle", name).count('L"'), "two lines run out"


def test_of_two_nozzles_at_the_same_place_the_far_one_shows_behind_the_near_one(beu: Exchanger) -> None:
    near, far = item(beu, "N4"), item(beu, "N3")
    assert (near.way, far.way) == (NEAR, AWAY)
    assert 0.3 * near.rim < ((near.x - far.x) ** 2 + (near.y - far.y) ** 2) ** 0.5 < near.rim
    drawn = section(beu, SectionView())
    assert drawn.index('data-nozzle="N3"') < drawn.index('data-nozzle="N4"'), "the near one is painted over it"
    assert 'stroke-dasharray="9 5"' in group(drawn, "nozzle", "N3")
    assert "stroke-dasharray" not in group(drawn, "nozzle", "N4")
    assert ">N3</text>" in drawn
    assert ">N4</text>" in drawn


def test_names_only_says_nothing_of_how_a_joint_stands(aes: Exchanger) -> None:
    drawn = section(aes, SectionView(names_only=True, joints={"J1": JointLook("off")}, width=860))
    assert "off" not in re.sub(r"<[^>]+>", " ", drawn).split()
    assert ">J1</text>" in drawn
    assert ">J2</text>" not in drawn
    every = section(aes, SectionView(names_only=True))
    assert all(f">{j.id}</text>" in every for j in aes.joints)
    assert "stroke-dasharray" not in every


def test_words_that_are_no_part_are_refused() -> None:
    with pytest.raises(ValueError, match="accepted"):
        SectionView(off=frozenset({"cover"}))
    with pytest.raises(ValueError, match="accepted"):
        SectionView(rings=frozenset({"channel"}))
    with pytest.raises(ValueError, match="accepted"):
        SectionView(pressed="both")  # type: ignore[arg-type]


def test_what_the_break_leaves_out_is_said(aes: Exchanger) -> None:
    assert aes.nozzles[0].position is not None
    far = replace(aes.nozzles[0], id="N9", position=replace(aes.nozzles[0].position, si=3.0))
    assert "N9" in section(replace(aes, nozzles=(*aes.nozzles, far)), SectionView()).split("</desc>")[0]


def test_what_can_be_touched_is_a_link(aes: Exchanger) -> None:
    drawn = section(aes, SectionView(joints={"J4": JointLook("in")}, links={"J4": "/joint/J4?a=1&b=2", "bundle": "/bundle"}))
    assert '<a href="/joint/J4?a=1&amp;b=2">' in drawn
    assert '<a href="/bundle" aria-label="bundle">' in drawn, "where no word stands within it, it is named"
    assert 'role="group"' in drawn, "links inside a picture could not be reached"
