"""The finished pack: each sheet stands alone, nothing is assumed that may not be, the same file gives the same bytes."""

import re
from datetime import date

import pypdfium2
import pytest
from tests.demo.conftest import told

from boxup.demo.fleet import files_of_the_demo
from boxup.exchanger.joints import joints_of
from boxup.exchanger.letters import letters as letters_of
from boxup.exchanger.template import new_file
from boxup.job.fold import fold
from boxup.paper.cover import cover_sheet
from boxup.paper.joints import REAR_KINDS
from boxup.paper.lists import blind_sheet
from boxup.paper.pack import SHEETS, chosen, material, pack

WHEN = date(2027, 4, 12)
TAGS = ("14-E-103", "14-E-104", "14-E-108")


def texts(pdf: bytes) -> list[str]:
    return [page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(pdf)]


@pytest.fixture(scope="module")
def packs():
    return {tag: pack(files_of_the_demo()[tag], issued=WHEN) for tag in TAGS}


@pytest.mark.parametrize("tag", TAGS)
def test_every_page_says_whose_it_is_which_sheet_and_when(packs, tag):
    pages = texts(packs[tag])
    marks = set()
    for number, text in enumerate(pages, start=1):
        assert tag in text
        assert f"{number} of {len(pages)}" in text
        assert "2027-04-12" in text
        assert "INVENTED EXCHANGER FOR THE DEMO" in text
        marks.add(re.search(r"2027-04-12\s+([0-9a-f]{10})\b", text)[1])
    assert len(marks) == 1


@pytest.mark.parametrize("tag", TAGS)
def test_the_pack_says_who_decides_and_what_is_from_memory(packs, tag):
    whole = " ".join(" ".join(texts(packs[tag])).split())
    assert "the authorised persons decide" in whole
    assert "From memory: confirm before use" in whole
    assert "ASME BPVC VIII-1, Mandatory Appendix 2" in whole
    assert "is safe" not in whole.replace("says that something is safe", "")


def test_same_file_same_day_same_bytes():
    path = files_of_the_demo()["14-E-108"]
    assert pack(path, issued=WHEN) == pack(path, issued=WHEN)


@pytest.mark.parametrize(("paper", "points"), [("A4", (595, 842)), ("Letter", (612, 792))])
def test_paper_sizes(paper, points):
    pdf = pypdfium2.PdfDocument(pack(files_of_the_demo()["14-E-108"], paper=paper, sheets=["joints"], issued=WHEN))
    assert {tuple(round(x) for x in page.get_size()) for page in pdf} == {points}


def test_sheets_by_name_and_unknown_ones_refused():
    only = " ".join(texts(pack(files_of_the_demo()["14-E-103"], sheets=["tests"], issued=WHEN)))
    assert "Ring test" in only
    assert "Gasket list" not in only
    with pytest.raises(ValueError, match="accepted: " + ", ".join(SHEETS)):
        pack(files_of_the_demo()["14-E-103"], sheets=["gasket"])
    with pytest.raises(ValueError, match="A4, Letter"):
        pack(files_of_the_demo()["14-E-103"], paper="A3")


BLANKED = {
    "lubricant": (r"^lubricant = .*$", r"^nut_factor = .*$"),
    "grade": (r'^grade = "B7".*$',),
    "count": (r"^count = 36.*$", r"^count = 32.*$"),
    "mawp": (r"^mawp = .*$",),
    "gasket": (r'^od = "8.*$', r'^id = "8.*$'),
}


@pytest.mark.parametrize("what", BLANKED)
def test_what_must_not_be_assumed_gives_no_number_but_says_what_to_do(tmp_path, what):
    text = files_of_the_demo()["14-E-103"].read_text("utf-8")
    for pattern in BLANKED[what]:
        text, taken_out = re.subn(pattern, "", text, flags=re.MULTILINE)
        assert taken_out
    path = tmp_path / "x.toml"
    path.write_text(text, "utf-8")
    whole = " ".join(" ".join(texts(pack(path, issued=WHEN))).split())
    assert "Not given, and not to be assumed: find out first" in whole
    if what == "lubricant":
        assert "615 N·m" not in whole
        assert "No torque" in whole
    if what == "grade":
        assert "of the stud's yield" not in whole
    if what == "count":  # the torque of one stud stands without it; order, passes and gasket stress do not
        assert "count the studs on the flange" in whole
        assert "Two tools, opposite" not in whole
        assert "86 MPa" not in whole
    if what == "mawp":
        assert "31.4 bar" not in whole
        assert "code test pressure" in whole
    if what == "gasket":
        assert "measure" in whole


def test_a_hostile_tag_does_not_break_the_paper(tmp_path):
    text = files_of_the_demo()["14-E-108"].read_text("utf-8")
    path = tmp_path / "x.toml"
    path.write_text(text.replace('tag = "14-E-108"', 'tag = "#eval <b>&\\\\ $x$ *y* _z_ @a"'), "utf-8")
    assert "#eval <b>&\\ $x$ *y* _z_ @a" in texts(pack(path, issued=WHEN))[0]


def test_test_blinds_stand_under_their_own_side(tmp_path):
    """With no blind of the tube side listed, those of the shell side stay where they belong."""
    text = files_of_the_demo()["14-E-103"].read_text("utf-8")
    cut = re.sub(r"\[blind\.TB[34]\][^\[]*", "", text)
    assert cut != text
    file = tmp_path / "one.toml"
    file.write_text(cut, "utf-8")
    groups = blind_sheet(material(file))["groups"]
    assert [(len(g["rows"]), "tube" in g["title"]) for g in groups[1:]] == [(2, False), (0, True)]


def test_a_nozzle_whose_spool_was_dropped_is_not_closed_by_the_blind_at_its_far_end(tmp_path):
    text = files_of_the_demo()["14-E-103"].read_text("utf-8")
    file = tmp_path / "one.toml"
    file.write_text(re.sub(r"\[blind\.TB1\][^\[]*", "", text), "utf-8")
    m = material(file, WHEN)
    assert [f for f in m.findings if f.level == "stop" and "Nozzle N1 is on the shell side and has no blind" in f.text]


def test_a_tool_out_of_date_is_a_stop_everywhere(tmp_path):
    text = files_of_the_demo()["14-E-103"].read_text("utf-8")
    file = tmp_path / "late.toml"
    file.write_text(re.sub(r'calibrated_until = "[^"]+"', 'calibrated_until = "2020-01-01"', text), "utf-8")
    stops = [f for f in material(file, WHEN).findings if "calibration ended 2020-01-01" in f.text]
    assert stops
    assert all(f.level == "stop" for f in stops)
    pages = texts(pack(file, issued=WHEN))
    assert sum("calibration ended 2020-01-01" in re.sub(r"\s+", " ", p) for p in pages) >= 3  # cover or Read first, tools, a joint card


def test_many_missing_numbers_do_not_print_over_each_other(tmp_path):
    """A fresh file: every line of Read first on its own place, none below the edge of the sheet's own frame."""
    file = tmp_path / "fresh.toml"
    file.write_text(new_file("X-1", "AEU"), "utf-8")
    document = pypdfium2.PdfDocument(pack(file, issued=WHEN, sheets=("tools",)))
    for page in document:
        said = page.get_textpage()
        places = [said.get_rect(i) for i in range(said.count_rects())]
        for n, (left, low, right, high) in enumerate(places):
            for left_2, low_2, right_2, high_2 in places[n + 1 :]:
                across, up = min(right, right_2) - max(left, left_2), min(high, high_2) - max(low, low_2)
                assert across < 3 or up < 0.5 * min(high - low, high_2 - low_2), said.get_text_bounded(left, low, right, high)


def test_the_blind_list_says_at_which_end_of_the_spool(packs):
    blinds = next(p for p in texts(packs["14-E-103"]) if "B1" in p and "TB1" in p and "Process blinds" in p)
    said = re.sub(r"\s+", " ", blinds)
    assert "N1, far end of its spool" in said
    assert "N1, at the nozzle" in said


@pytest.mark.practice
@pytest.mark.parametrize(
    ("letters", "rear"),
    [
        ("AEL", {"J3", "J4"}), ("BEM", {"J2"}), ("NEN", {"J2"}), ("AES", {"J4", "J5"}), ("AEP", {"J4", "J5"}), ("AEW", {"J4", "J5"}),
    ],
)  # fmt: skip
def test_studs_at_the_rear_are_numbered_as_they_are_seen_from_the_rear(letters, rear):
    """Clockwise from the wrong end is the wrong stud: J3 and J4 of AEL are the rear channel and its cover."""
    assert {j.id for j in joints_of(letters_of(letters)) if j.kind in REAR_KINDS} == rear


@pytest.mark.practice
def test_what_keeps_water_out_counts_as_a_stop_until_it_is_signed() -> None:
    """The engineer's figure for the push is missing: no water before it, so no cover says 0 stops. THRUST_OK on record settles it."""
    file = files_of_the_demo()["14-E-103"]
    said = [f for f in material(file, WHEN).findings if f.level == "stop" and "no water before that" in f.text]
    assert len(said) == 1
    assert any("no water before that" in f["text"] for f in cover_sheet(material(file, WHEN))["findings"])
    signed = material(file, WHEN, fold([e for e in told() if e.happened_at.month == 4 and e.happened_at.day <= 13]))
    assert "THRUST_OK" in signed.state.done
    assert not any("no water before that" in f.text for f in signed.findings)


def test_sheets_are_left_out_by_name() -> None:
    """The crew's pack without the office's; a name that is none is refused, and so is leaving out everything."""
    left = chosen([], ["workings", "certificates"])
    assert left == [name for name in SHEETS if name not in ("workings", "certificates")]
    assert chosen(["tests", "joints"], ["tests"]) == ["joints"]
    with pytest.raises(ValueError, match="no sheet is called workins; accepted: stand, gaskets"):
        chosen([], ["workins"])
    with pytest.raises(ValueError, match="no sheet is left"):
        chosen(["tests"], ["tests"])
