"""The tubesheet page, held against the story (tube 9-14, three old plugs) and against the rows of the exchanger file."""

from __future__ import annotations

import io
import re
import tomllib
from collections.abc import Callable
from dataclasses import replace
from html import unescape
from pathlib import Path
from uuid import uuid4

import pytest
from tests.made_up import made_up, mm
from tests.web.conftest import HOST, Site, TestClient, person

from boxup.bundle.after_plugging import after_plugging
from boxup.core.quantity import quantity
from boxup.demo.fleet import FOCUS, files_of_the_demo
from boxup.drawing.tubesheet import TubesheetView, tubesheet
from boxup.exchanger.file import load
from boxup.exchanger.layout import Layout, layout_of
from boxup.store.open import open_store
from boxup.web.app import app
from boxup.web.ask import address
from boxup.web.live import Jobs
from boxup.web.opening import open_job
from boxup.web.trade import in_language

pytestmark = pytest.mark.demo
OLD = ("2-6", "14-3", "19-9")


def words(page: str) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", page)).split())


def row(page: str, tube: str) -> str:
    """The row of a tube in the last table."""
    return words(page).partition("Tubes spoken of on this job")[2].partition(f" {tube} ")[2][:120]


@pytest.mark.parametrize("tube", OLD)
def test_the_old_plugs_were_plugged_before_this_job(told: Callable[..., Site], tube: str) -> None:
    assert row(told(20).page("tubes"), tube).startswith("plugged before this job")


def test_9_14_before_and_after(told: Callable[..., Site]) -> None:
    assert "9-14" not in words(told(4).page("tubes")).partition("Tubes somebody had something to say about")[2]
    site = told(5)
    assert row(site.page("tubes"), "9-14").startswith("plugged at both ends, pierced")
    page = words(site.page("tubes", tube="9-14"))
    assert "Row 9 · pass 2" in page
    kinds = [e.number for e in site.events if e.payload.get("tube") == "9-14"]
    assert len(kinds) == 4  # leaks, to plug, pierced, plugged
    assert all(f"entry {n}, " in page for n in kinds)


def test_the_counts_are_those_of_the_file_and_the_story(told: Callable[..., Site]) -> None:
    """592 bores less three plugs on day 3; four of 592 after day 5."""
    holes = tomllib.loads(files_of_the_demo()[FOCUS].read_text("utf-8"))["tubes"]
    assert "592" in str(holes["count"])
    assert "all 592 3 0 589" in words(told(3).page("tubes"))
    assert "all 592 4 0 588" in words(told(5).page("tubes"))


@pytest.mark.parametrize("typed", ["9-14", "9.14", " 9 - 14 ", "9/14", "09-14", "9 14"])
def test_a_tube_is_typed_as_people_type_it(told: Callable[..., Site], typed: str) -> None:
    assert "Tube 9-14" in told(5).page("tubes", tube=typed)


@pytest.mark.parametrize("typed", ["99-1", "9-99", "0-0", "nine", "<b>", "9-14-2", "٩-١٤"])
def test_a_tube_that_is_not_there_is_said(told: Callable[..., Site], typed: str) -> None:
    site = told(5)
    answer = site.client.get(site.address("tubes", tube=typed))
    assert answer.status_code == 404
    assert "Not found" in answer.text
    assert "<b>:" not in answer.text


def holes(page: str) -> list[str]:
    part = page.partition('<div class="holes">')[2].partition("</div>")[0]
    return re.findall(r'aria-label="(\d+-\d+)"', part)


def test_a_row_lies_as_it_is_seen_from_each_end(told: Callable[..., Site]) -> None:
    site = told(5)
    front, rear = holes(site.page("tubes", row="9")), holes(site.page("tubes", row="9", end="rear"))
    assert front == [f"9-{n}" for n in range(1, 29)]  # 28 holes, by the map of the file
    assert rear == front[::-1]
    assert "plugged" in site.page("tubes", row="9").partition('aria-label="9-14"')[2][:60]


def test_the_map_from_the_rear_says_so(told: Callable[..., Site]) -> None:
    page = told(5).page("tubes", end="rear")
    assert "Seen from the rear: the mirror image" in page
    assert "seen from the rear" in page.partition("<svg")[2]


def test_from_the_leak_to_the_plug(own: Callable[..., Site]) -> None:
    site = own(3)
    assert site.enter("tube.leaks", tube="5-5", ends="front").status_code in (303, 409)
    site.enter("tube.leaks", tube="5-5", ends="front", happened="yes")
    page = words(site.page("tubes", tube="5-5"))
    assert "leaks, seen at: front" in page
    assert "Leaks, and nothing done about it yet: 5-5" in page
    site.enter("tube.to_plug", tube="5-5", happened="yes")
    assert "On the list and not pierced yet: 5-5" in words(site.page("tubes"))
    assert "All" not in words(site.page("tubes", tube="5-5")).partition("Before PIERCE:5-5")[0][-1:]
    site.enter("tube.pierced", tube="5-5", happened="yes")
    site.enter("tube.plugged", tube="5-5", ends="front", happened="yes")
    page = words(site.page("tubes", tube="5-5"))
    assert "Plugged at one end only: 5-5 at the front. Both ends, or it still leaks." in page
    assert "plugged at the front only" in page
    site.enter("tube.plugged", tube="5-5", ends="rear", happened="yes")
    page = words(site.page("tubes"))
    assert "at one end only" not in page
    assert row(site.page("tubes"), "5-5").startswith("plugged at both ends, pierced")
    site.enter("plug.leaks", tube="5-5", test="S1", happened="yes")
    assert "Leaks, and nothing done about it yet: 5-5" in words(site.page("tubes"))


def opened(tmp_path: Path, text: bytes) -> tuple[TestClient, str]:
    store = open_store(str(tmp_path / "other.db"), create=True)
    job = open_job(Jobs(store), text, "T. Wray-Estrada")
    return TestClient(app(store, tmp_path / "photos"), base_url=HOST), job


def test_u_tubes_have_two_holes_and_one_tubesheet(tmp_path: Path) -> None:
    client, job = opened(tmp_path, files_of_the_demo()["14-E-104"].read_bytes())
    layout = layout_of(load(files_of_the_demo()["14-E-104"]))
    assert isinstance(layout, Layout)
    one = layout.tubes[0]
    other = next(t.id for t in layout.tubes if abs(t.x - one.x) < 1 and abs(t.y + one.y) < 1)  # straight across the centre line
    page = client.get(address(job, "tubes", tube=one.id, end="rear")).text
    assert f"its other hole is {other}" in page
    assert "each tube has two holes" in page
    assert "Look from the rear" not in page
    assert "Seen from the front" in page


def test_one_leg_of_a_u_tube_plugged_says_that_the_other_is_open(tmp_path: Path) -> None:
    """One tubesheet: no rear is offered; a leg shut alone leaves its tube leaking, on the page of either."""
    client, job = opened(tmp_path, files_of_the_demo()["14-E-104"].read_bytes())
    layout = layout_of(load(files_of_the_demo()["14-E-104"]))
    assert isinstance(layout, Layout)
    one = layout.tube("7-1")
    other = next(t.id for t in layout.tubes if abs(t.x - one.x) < 1 and abs(t.y + one.y) < 1)  # straight across the centre line
    form = client.get(address(job, "tubes", tube="7-1")).text
    assert 'value="rear"' not in form
    assert f"both: 7-1 and {other}" in form
    for ends, said in (("front", True), ("both", False)):
        data = {"kind": "tube.plugged", "id": str(uuid4()), "by": "M. Trevanick", "tube": "7-1", "ends": ends, "happened": "yes",
                "back": address(job, "tubes")}  # fmt: skip
        answer = client.post(address(job, "enter"), data=data, headers={"origin": HOST}, follow_redirects=False)
        assert answer.status_code == 303, answer.text
        page = words(client.get(address(job, "tubes", tube="7-1")).text)
        assert (f"plugged here; its other leg {other} is open, so it still leaks" in page) == said
        whole = words(client.get(address(job, "tubes")).text)
        assert (f"Plugged at one end only: 7-1, its other leg {other} is open" in whole) == said


def test_a_report_about_u_tubes_needs_no_end(tmp_path: Path) -> None:
    client, job = opened(tmp_path, files_of_the_demo()["14-E-104"].read_bytes())
    page = client.get(address(job, "tubes")).text
    assert "From which end the report" not in page
    data = {
        "kind": "tube.walls_read",
        "id": str(uuid4()),
        "by": "M. Trevanick",
        "log": "tube;wall loss %\n7-1;38",
        "back": address(job, "tubes"),
    }
    answer = client.post(address(job, "enter"), data=data, headers={"origin": HOST}, follow_redirects=False)
    assert answer.status_code == 303, answer.text


def test_a_bundle_of_five_thousand_tubes_stays_light() -> None:
    """The map is the heavy part: two widths of it, as on the page."""
    x = made_up("AES")
    tubes = replace(
        x.tubes, count=quantity("5464", "count"), pitch=mm("25.4"), pattern=quantity("30", "count"), passes=quantity("2", "count"),
        outer_limit=mm("2000"),
    )  # fmt: skip
    layout = layout_of(replace(x, tubes=tubes))
    assert isinstance(layout, Layout)
    assert len(layout.tubes) > 5000
    drawn = [tubesheet(TubesheetView("X", layout.tubes, 19.05, 1010.0, width=w, light=f"h{w}")) for w in (720, 360)]
    assert sum(map(len, drawn)) < 130_000


def test_every_hole_of_the_light_map_stands_where_it_belongs(told: Callable[..., Site]) -> None:
    """The pen's way added up again, hole by hole, against the holes drawn as circles."""
    layout = layout_of(load(files_of_the_demo()[FOCUS]))
    assert isinstance(layout, Layout)
    plain, light = (tubesheet(TubesheetView("X", layout.tubes, 19.05, 420.0, light=name)) for name in ("", "h"))
    path = light.partition('<path id="h" d="')[2].partition('"')[0]
    x = y = 0.0
    found = []
    for dx, dy in re.findall(r"m(-?[\d.]+),(-?[\d.]+)h0", path):
        x, y = x + float(dx), y + float(dy)
        found.append((x, y))
    discs = re.findall(r"M(-?[\d.]+),(-?[\d.]+)a([\d.]+),", plain)[: len(layout.tubes)]
    assert len(found) == len(layout.tubes) == len(discs)
    for (x, y), (left, middle, r) in zip(found, discs, strict=True):
        assert abs(x - float(left) - float(r)) < 0.16
        assert abs(y - float(middle)) < 0.11


# walls, rolling, which way up


def test_a_report_of_walls_goes_on_record_by_the_numbers_of_the_front(own: Callable[..., Site]) -> None:
    site = own(4)
    sent = site.enter("tube.walls_read", log="tube;wall loss %;method\n9-14;38;RFT\n9-1;60;RFT", end="rear", report="R-17")
    assert sent.status_code == 303
    assert site.events[-1].payload == {"end": "rear", "report": "R-17", "rows": "9-15;0.38;1.308;RFT\n9-28;0.6;0.844;RFT"}
    page = site.page("tubes")
    assert "0.84 mm (0.033 in)" in page
    assert "walls measured: 2 holes" in page
    assert "none is assumed" in page
    assert "wall: 38 % lost" in site.page("tubes", tube="9-15")


def test_a_report_with_wrong_lines_is_not_entered_and_comes_back(own: Callable[..., Site]) -> None:
    site = own(4)
    before = len(site.events)
    answer = site.enter("tube.walls_read", log="tube;wall loss %\n9-14;38\n99-1;3\n9-15;x", end="front")
    assert answer.status_code == 422
    assert "Line 3: there is no hole 99-1" in answer.text
    assert "Line 4: " in answer.text
    assert "9-14;38" in answer.text, "nothing that was pasted is lost"
    assert 'name="end"' in answer.text
    assert len(site.events) == before


def test_a_refused_report_speaks_of_the_report_alone_and_columns_left_out_are_named(own: Callable[..., Site]) -> None:
    """No sentence of the record's own field for the rows; what was not read is said on the page and kept with the entry."""
    site = own(4)
    answer = site.enter("tube.walls_read", log="tube;wall loss %\n9-14;x", end="front")
    assert "Line 2: " in answer.text
    assert "rows: missing" not in answer.text
    sent = site.enter("tube.walls_read", log="tube;wall loss %;Analyst\n9-14;38;X", end="front")
    assert site.events[-1].payload["unread"] == "Analyst"
    assert "columns of the report that were not read: Analyst" in words(site.client.get(sent.headers["location"]).text)


def test_the_end_a_report_counts_from_is_never_guessed(own: Callable[..., Site]) -> None:
    answer = own(4).enter("tube.walls_read", log="tube;wall loss %\n9-14;38")
    assert answer.status_code == 422
    assert "From which end" in answer.text


def test_a_workbook_is_read_too(own: Callable[..., Site]) -> None:
    xlsxwriter = pytest.importorskip("xlsxwriter")
    site, made = own(4), io.BytesIO()
    with xlsxwriter.Workbook(made) as book:
        sheet = book.add_worksheet()
        for n, row in enumerate([["Row", "Hole", "Remaining wall mm"], [9, 14, 1.5]]):
            sheet.write_row(n, 0, row)
    data = {"kind": "tube.walls_read", "id": str(uuid4()), "by": "M. Trevanick", "back": site.address(), "end": "front"}
    files = {"log_file": ("walls.xlsx", made.getvalue(), "application/octet-stream")}
    answer = site.client.post(site.address("enter"), data=data, files=files, headers={"origin": HOST}, follow_redirects=False)
    assert answer.status_code == 303, answer.text
    assert site.events[-1].payload["rows"] == "9-14;0.2891;1.5"


def test_the_bore_a_tube_end_is_rolled_to(told: Callable[..., Site]) -> None:
    """19.05 tube of 14.83 bore in a 19.30 hole: 15.08 at contact; 15.50 measured is 9.95 % of 4.22, over the 8 % of carbon steel."""
    site = told(4)
    page = site.page("tubes", tube="9-14", hole_mm="19.3", bore_mm="14,83", od_mm="19.05", after_mm="15.5")
    assert "15.08 mm (0.5937 in)" in page
    assert "10.0 %" in page
    assert "Rolled further than this metal takes" in page
    ask = site.page("tubes", tube="9-14", hole_mm="19.3", bore_mm="14.83", od_mm="19.05")
    assert "the procedure says how far" in ask
    assert "15.08 mm (0.5937 in)" in ask
    assert "Not worked" in site.page("tubes", tube="9-14", hole_mm="x", bore_mm="14.83", od_mm="19.05", after_mm="15.5")


def test_a_plug_is_held_beside_its_bore_and_piercing_comes_first(told: Callable[..., Site]) -> None:
    """A taper from 14.0 to 15.6: a bore of 14.8 lies half way; 13.9 it does not enter."""
    site = told(4)
    asked = words(site.page("tubes", tube="9-14"))
    assert asked.index("Pierce the tube first") < asked.index("Bore, measured clean, mm")
    sizes = {"plug_kind": "tapered", "small_mm": "14", "large_mm": "15,6"}
    assert "The bore lies 50 % of the way" in site.page("tubes", tube="9-14", clean_mm="14.8", **sizes)
    small = site.page("tubes", tube="9-14", clean_mm="13.9", **sizes)
    assert "does not enter the bore" in small
    assert "The bore lies" not in small
    assert "Not worked" in site.page("tubes", tube="9-14", clean_mm="x", **sizes)
    assert "Not worked" in site.page("tubes", tube="9-14", clean_mm="14.8", small_mm="14", large_mm="15.6")


def test_the_page_of_the_way_up(told: Callable[..., Site]) -> None:
    site = told(4)
    page = site.page("way-up")
    assert "plate at 12, facing N1; bars at 5 and 7" in page
    assert "WRONG: half a turn" in page
    assert "the pass plates let 2 on" in page
    step = site.page("step", "ORIENT")
    assert "RIGHT" in step
    assert site.address("way-up") in step
    assert site.address("way-up") in site.page("lift")


# after plugging


def test_after_plugging_shows_what_plugs_cost_and_who_decides(told: Callable[..., Site]) -> None:
    page = words(told(3).page("tubes")).partition("After plugging")[2]
    assert "3 of 592 holes plugged or to plug (0.5 %); worst pass 3: 0.7 %" in page
    assert "Duty about −0.1 %: 3 807 kW" in page.replace("\u202f", " ")
    assert "The process engineer decides" in page
    assert "What no pressure test tells" in page


def test_what_if_these_too_is_worked_and_nothing_is_kept(told: Callable[..., Site]) -> None:
    site = told(3)
    before = len(site.events)
    page = words(site.page("tubes", also="1-1, 1-2;1-3 99-1 <b>")).partition("After plugging")[2]
    assert "With 1-1, 1-2, 1-3, 99-1 as well" in page
    assert "6 of 592 holes plugged or to plug (1.0 %); worst pass 1: 2.6 %" in page  # 2-6 and three more of its 152
    assert "Not on the tube map, and not counted: 99-1" in page
    assert "Not read as a tube: <b>" in page
    assert len(site.events) == before
    assert "3 of 592 holes" in words(site.page("tubes"))


def test_a_pass_without_a_tube_left_is_said(told: Callable[..., Site]) -> None:
    top = " ".join(f"{row}-{hole}" for row, holes in enumerate((16, 18, 20, 22, 24, 26, 26), start=1) for hole in range(1, holes + 1))
    assert "Pass 1 would have no open tube left" in words(told(3).page("tubes", also=top))


def test_the_legend_and_the_findings_after_plugging_are_said_in_spanish_too(own: Callable[..., Site]) -> None:
    site = own(4)
    text = words(site.client.get(site.address("tubes"), headers=person(language="es")).text)
    assert "agujeros, visto desde el frente; filas desde arriba" in text
    assert "taponados, 3: 2-6, 14-3, 19-9" in text
    assert "seen from the front" not in text
    x = load(files_of_the_demo()["14-E-103"])
    service = replace(x.service, most_velocity=quantity("0.5 m/s", "m/s"), shell_film=quantity("2000 W/m2.K", "W/m2.K"),
                      design_duty=quantity("9000 kW", "kW"))  # fmt: skip
    told = [in_language("es", f.text) for f in after_plugging(replace(x, service=service)).findings if f.level != "note"]
    assert any(text.startswith("El paso más rápido supera lo máximo que la planta permite") for text in told)
    assert any("no concuerdan dentro de un veinteavo" in text and "debe ser como máximo" in text for text in told)


def test_a_map_of_another_tubesheet_is_not_offered(tmp_path: Path) -> None:
    """No rows and a count of 400: the page says so, offers no row to pick and no hole, and takes a tube by its number on the drawing."""
    text = re.sub(r"^rows = \[.*?^\]\n", "", files_of_the_demo()[FOCUS].read_text("utf-8"), flags=re.S | re.M)
    store = open_store(str(tmp_path / "r.db"), create=True)
    job = open_job(Jobs(store), text.replace("count = 592", "count = 400").encode(), "T. Wray-Estrada")
    site = Site(TestClient(app(store, tmp_path / "p"), base_url=HOST), store, job, tmp_path)
    page = site.page("tubes")
    assert "the file counts 400" in page
    assert "Pick a row" not in page
    assert "holes-720" not in page
    assert site.enter("tube.to_plug", tube="40-3", why="the report").status_code == 303
    assert "40-3" in site.page("tubes", tube="40-3")
    spanish = site.client.get(site.address("tubes"), headers=person(language="es")).text
    assert "es otro espejo" in spanish


# a finger on the map


def test_a_tap_opens_the_hole_under_the_finger(told: Callable[..., Site]) -> None:
    """9-14 lies at -12.7, 96.8 mm, one pitch of 25.4 mm from 9-15 and 10-14: a finger of 5 mm is on it alone, one of 27 mm on five."""
    site = told(20)
    page = site.page("tubes", at="-14.0,98.0,5")
    assert "Tube 9-14" in page
    assert "Tapped nearest" not in page
    near = site.page("tubes", at="-13.5,97.5,27")
    assert "Tube 9-14" in near
    assert "Tapped nearest to 9-14" in near
    first = near.partition("Tapped nearest")[2].partition("</nav>")[0]
    assert re.findall(r"<b>([\d-]+)</b>", first) == ["8-14", "9-13", "9-14", "9-15", "10-14"]
    assert "Tube 9-14" in site.page("tubes", at="-14.0,98.0,0.5"), "a finger narrower than the tube finds the tube it lies on"


def test_where_the_holes_lie_too_close_for_a_finger_a_tap_opens_the_row(told: Callable[..., Site]) -> None:
    page = told(20).page("tubes", at="-13.5,97.5,80")
    assert "Row 9, seen from the front" in page
    assert re.search(r'class="[^"]*here"[^>]*aria-label="9-14"', page)
    assert "Tube 9-14" not in page


@pytest.mark.parametrize(("at", "status"), [("900,900,5", 200), ("x", 404), ("1,2", 404), ("1,2,9999", 404), ("1e9,2,3", 404)])
def test_a_tap_beside_every_hole_is_said(told: Callable[..., Site], at: str, status: int) -> None:
    answer = told(20).get("tubes", at=at)
    assert answer.status_code == status
    assert "No hole where you tapped" in answer.text
