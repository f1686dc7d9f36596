"""The lifts, held against the story (what the load cell read, what was weighed) and against sums done by hand."""

from __future__ import annotations

import re
from collections.abc import Callable
from html import unescape
from pathlib import Path

import pytest
from tests.web.conftest import HOST, Site, TestClient

from boxup.demo.fleet import FOCUS, files_of_the_demo
from boxup.drawing.pull import Pull, pull
from boxup.store.open import open_store
from boxup.web.app import app
from boxup.web.ask import address
from boxup.web.live import Jobs
from boxup.web.opening import open_job

pytestmark = pytest.mark.demo
G = 9.80665


def words(page: str) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", page)).split())


def asked(page: str) -> str:
    return words(page.partition('id="at-a-place"')[2].partition("<h2>")[0])


@pytest.mark.parametrize(
    ("day", "said"),
    [(1, "It comes out next"), (2, "The bundle is out. It goes in next."), (3, "It goes in next"), (4, "The bundle is in.")],
)
def test_which_way_it_goes_next(told: Callable[..., Site], day: int, said: str) -> None:
    assert said in words(told(day).page("lift"))


def test_the_force_to_stop_at(told: Callable[..., Site]) -> None:
    """Going in: a quarter over dirty bars, never over half the weight: that of 4,293 kg here, rounded down."""
    half = 0.5 * 4292.58 * G / 1000
    assert f"{int(half * 2) / 2:.1f} kN" == "21.0 kN"
    assert "Stop and look at, going in 21.0 kN" in words(told(3).page("lift"))
    assert "no margin is left" in words(told(3).page("lift"))


def test_what_the_load_cell_read(told: Callable[..., Site]) -> None:
    page = words(told(4).page("lift"))
    for metres, force in (("1.00", "7.5"), ("2.00", "8.0"), ("3.00", "9.5"), ("3.80", "14.0"), ("4.80", "10.5"), ("5.60", "9.0")):
        assert re.search(rf"{metres} m \([\d.]+ ft\) {force} kN", page.partition("Readings, going in")[2])
    for metres, force in (("5.80", "18.0"), ("3.80", "13.0"), ("1.00", "8.5")):
        assert re.search(rf"{metres} m \([\d.]+ ft\) {force} kN", page.partition("Readings, coming out")[2])
    assert "as pulled (J. Karlsby, 08 Apr 10:50)" in page
    assert "at or over the stop" not in page


def test_a_reading_over_the_stop_is_said(own: Callable[..., Site]) -> None:
    site = own(3)
    data = {"way": "insert", "position": "2", "position.unit": "m", "force.unit": "kN"}
    for force in ("14", "16"):
        assert site.enter("bundle.force_read", force=force, **data).status_code == 303
    page = words(site.page("lift")).partition("Readings, going in")[2]
    assert re.search(r"14\.0 kN \([^)]*\) (?!at or over)", page)
    assert re.search(r"16\.0 kN \([^)]*\) at or over the stop", page)


def test_the_stop_is_that_of_the_place(own: Callable[..., Site]) -> None:
    """2 m in, half of 24.6 kN and a quarter more is 15.4, rounded down 15.0; the 21.0 of the whole way is only never passed."""
    site = own(3)
    assert "Stop and look at, going in 21.0 kN" in words(site.page("lift"))
    said = words(site.page("lift", **{"in": "2"}))
    assert re.search(r"going in, with 2\.00 m \([^)]*\) in \([^)]*\(?[^)]*\)? out\) 15\.0 kN", said)
    assert re.search(r"Never over 21\.0 kN", said)
    data = {"way": "insert", "position": "2", "position.unit": "m", "force.unit": "kN"}
    assert site.enter("bundle.force_read", force="9", **data).status_code == 303
    page = words(site.page("lift"))
    assert "with 2.00 m" in page.partition("A reading")[0]  # the place last read


@pytest.mark.parametrize("metres", ["0.6", "0.7", "2", "3.8", "5"])
def test_the_stop_of_a_place_is_one_figure_wherever_it_stands(own: Callable[..., Site], metres: str) -> None:
    """The number of the moment and the answer at a place round one value once: pounds are not rounded down a second time."""
    page = own(3).page("lift", **{"in": metres})
    moment = re.search(r"out\) ([\d.]+ kN \([\d ]+ lbf\)) L-way", words(page))
    place = re.search(r"pull read here ([\d.]+ kN \([\d ]+ lbf\))", asked(page))
    assert moment
    assert place
    assert moment[1] == place[1]


def test_a_reading_over_the_stop_is_the_first_thing_on_the_page(own: Callable[..., Site]) -> None:
    """The sign and the sentence stand before what is on record, and stay at the top until another reading is there."""
    site = own(3)
    data = {"way": "insert", "position": "2", "position.unit": "m", "force.unit": "kN"}
    answer = site.enter("bundle.force_read", force="40", **data)
    after = words(site.client.get(answer.headers["location"]).text)
    assert after.index("the stop at that place is 15.0 kN") < after.index("Take it back")
    assert after.count("the stop at that place is") == 1
    later = words(site.page("lift"))
    assert "Pull read 40.0 kN" in later.partition("Stop and look")[0].partition("STOP and look")[0]
    assert site.enter("bundle.force_read", force="9", **data).status_code == 303
    assert "the stop at that place" not in words(site.page("lift"))


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"position": "7.0", "force": "9"}, "is not on its way"),
        ({"position": "-1", "force": "9"}, "is not on its way"),
        ({"position": "2", "force": "15", "force.unit": "N"}, "no reading of this bundle"),
        ({"position": "2", "force": "14000"}, "no reading of this bundle"),
    ],
)
def test_a_reading_that_no_bundle_has_is_refused(own: Callable[..., Site], typed: dict[str, str], said: str) -> None:
    site = own(3)
    data = {"way": "insert", "position.unit": "m", "force.unit": "kN"} | typed
    answer = site.enter("bundle.force_read", **data)
    assert answer.status_code != 303
    assert said in words(answer.text)
    assert "ccepted:" in words(answer.text)


@pytest.mark.parametrize("read", ["2.2 t", "2200 kg", "4.85 klb", "21.6 kN", "4850 lbf", "2200 kgf"])
def test_the_hook_is_read_in_what_the_cell_shows(own: Callable[..., Site], read: str) -> None:
    """2 200 kg weigh 2200 x 9.80665 N = 21.6 kN; 4 850 lb are 2 200 kg."""
    site, (typed, unit) = own(3), read.split()
    data = {"way": "insert", "position": "2", "position.unit": "m", "force": "9", "force.unit": "kN"}
    assert site.enter("bundle.force_read", hook=typed, **{"hook.unit": unit}, **data).status_code == 303
    assert re.search(r"9\.0 kN \([^)]*\) 21\.5 kN", words(site.page("lift")).partition("Readings, going in")[2])


@pytest.mark.parametrize("query", [{"in": "3.8"}, {"in": "3,8"}, {"in": "3.8 m"}, {"out": "2.296"}, {"in": "12.467", "unit": "ft"}])
def test_a_place_on_its_way(told: Callable[..., Site], query: dict[str, str]) -> None:
    """6.096 m of tube. Front sling at 1.34 m: 6.096 - 3.8 - 1.34 = 0.956 m of it still out; rear sling at 4.75 m: in at 1.346 m already;
    off half its width, 0.15 m, and 0.1 m earlier: at 1.096 m, rounded down."""
    said = asked(told(4).page("lift", **query))
    assert "3.80 m (12.5 ft) in, 2.30 m" in said
    assert "0.95 m (3.1 ft) short of the flange" in said
    assert "inside by now: off or moved before 1.09 m" in said
    assert "Going in: 14.0 kN" in said
    assert "Coming out: 13.0 kN" in said


def test_the_load_on_the_hook_part_of_the_way_in(told: Callable[..., Site]) -> None:
    """By hand: 2 m in, the mouth is at 4.096 m; 42.10 kN at 2.952 m, one sling at 1.34 m: 42.10 x 1.144/2.756 = 17.48 kN on the hook."""
    said = asked(told(4).page("lift", **{"in": "2"}))
    assert re.search(r"Hook read expected here 17\.0 – \d", said)
    assert "The hook keeps its load until 3.76 m" in said  # 6.096 - 2.952 + 0.610, rounded up
    # 0.075 + 0.53 + 12 and 13 x 0.305 = 4.265 and 4.570 m: 0.17 and 0.47 m behind the mouth, either side of the 10 in nozzle at 0.30
    assert "baffles 13, 14 at nozzle N1" in said
    assert "not worked out yet" not in said


def test_what_nobody_has_worked_out_is_not_made_up(tmp_path: Path) -> None:
    """Without the places of the slings nobody knows what hangs where."""
    text = files_of_the_demo()[FOCUS].read_text("utf-8")
    without = re.sub(r"^sling_points.*\n", "", text, flags=re.M)
    store = open_store(str(tmp_path / "r.db"), create=True)
    job = open_job(Jobs(store), without.encode(), "T. Wray-Estrada")
    page = TestClient(app(store, tmp_path / "p"), base_url=HOST).get(address(job, "lift", **{"in": "2"})).text
    assert asked(page).count("not worked out yet") == 2


def test_a_pull_that_rises_by_a_quarter_is_said(told: Callable[..., Site]) -> None:
    """Going in: 7.5, 8, 9.5 and then 14 kN at 3.8 m: 14 is over 1.25 x 8.33. The story stopped there. The last one, 9 kN, is not."""
    page = words(told(4).page("lift")).partition("Readings, going in")[2].partition("Readings, coming out")[0]
    assert page.count("risen by a quarter") == 1
    assert re.search(r"14\.0 kN \([^)]*\) risen by a quarter", page)
    assert "The last reading is more than a quarter" not in page


def test_where_to_hold_it_and_the_bore_on_record(told: Callable[..., Site]) -> None:
    """The story measured 813.4 mm, 812.9 at the least, at 3.8 m: 4.9 mm are clear of baffles of 808 mm."""
    page = words(told(4).page("lift"))
    assert "two slings as planned" in page
    assert "1.34 m" in page.partition("Where to hold it")[2]
    assert re.search(r"Clear: 4\.9 mm \([\d.]+ in\) at the least, measured at 3\.80 m", page)
    assert "by the mean bore on record" in page  # the mean of one place is no drawing
    assert re.search(r"3\.80 m \([\d.]+ ft\) 812\.9 mm 813\.9 mm 4\.9 mm", page)


@pytest.mark.parametrize("typed", ["7", "-1", "nan", "1e999", "1,350", "abc", "3.8 kg", "<script>", "9" * 400])
def test_a_place_that_is_none_is_a_sentence(told: Callable[..., Site], typed: str) -> None:
    page = told(4).page("lift", **{"in": typed})
    assert 'role="alert"' in page
    assert "<script>alert" not in page
    assert "short of the flange" not in page


def test_metres_in_and_out_are_the_two_ends_of_one_length(told: Callable[..., Site]) -> None:
    site = told(4)
    assert asked(site.page("lift", **{"in": "0"})) != asked(site.page("lift", out="0"))
    assert "6.10 m (20.0 ft) in, 0.00 m" in asked(site.page("lift", out="0"))


def test_may_it_go_in_says_what_is_missing(told: Callable[..., Site]) -> None:
    page = words(told(2).page("lift"))
    assert "May it go in?" in page
    assert "nobody in line" in page.lower()
    assert re.search(r"Not yet. Missing: \d+", page)


def test_every_head_has_its_mass_gear_and_lift_plan(told: Callable[..., Site]) -> None:
    """By the file: 430, 640, 295 and 410 kg by drawing, a tenth on top."""
    page = words(told(1).page("lift"))
    for mass, plan in ((430, 473), (640, 704), (295, 325), (410, 451)):
        assert f"{mass} kg" in page
        assert f"{plan} kg" in page
    assert page.count("CH1 chain hoist: 1 000 kg") == 4
    assert page.count("LIFTPLAN:") >= 4


def test_a_sling_without_a_tag_is_said(tmp_path: Path) -> None:
    text = files_of_the_demo()[FOCUS].read_text("utf-8")
    at = text.index("[gear.SL1]")
    block = text[at:]
    without = text[:at] + re.sub(r"^capacity *=.*\n", "", block, count=1, flags=re.M)
    assert without != text
    store = open_store(str(tmp_path / "r.db"), create=True)
    job = open_job(Jobs(store), without.encode(), "T. Wray-Estrada")
    page = words(TestClient(app(store, tmp_path / "p"), base_url=HOST).get(address(job, "lift")).text)
    assert "No capacity of SL1" in page
    assert "No tag, no lift" in page
    assert "no tag read: no lift" in page


def test_a_fixed_tubesheet_has_no_bundle_to_pull(tmp_path: Path) -> None:
    store = open_store(str(tmp_path / "r.db"), create=True)
    job = open_job(Jobs(store), files_of_the_demo()["14-E-108"].read_bytes(), "T. Wray-Estrada")
    answer = TestClient(app(store, tmp_path / "p"), base_url=HOST).get(address(job, "lift"))
    assert answer.status_code == 200
    assert "This bundle is not pulled." in answer.text


def test_the_chart_puts_a_reading_where_it_belongs() -> None:
    """Half way along and half way up: the middle of its field, by the ticks it draws."""
    svg = pull(Pull("X", "in", 4.0, ((2.0, 10.0),), stop=20.0, said="STOP 20.0 kN"))
    x, y = (float(v) for v in re.search(r'<circle cx="([\d.]+)" cy="([\d.]+)"', svg).groups())  # type: ignore[union-attr]
    left, top, foot, right = (
        float(v) for v in re.search(r'd="M([\d.]+),([\d.]+)L[\d.]+,([\d.]+)L([\d.]+),', svg).groups()  # type: ignore[union-attr]
    )  # fmt: skip
    assert abs(x - (left + right) / 2) < 0.2
    assert abs(y - (top + foot) / 2) < 0.2
    with pytest.raises(ValueError, match="at least one reading"):
        pull(Pull("X", "in", 4.0, ()))


@pytest.mark.parametrize("along", [(), ((0.5, -1.0, -0.1, 0.0), (4.0, -14.0, -2.0, 0.0))])
def test_a_chart_of_a_bundle_that_runs_stays_on_its_ground(along) -> None:
    """What holds it back is under nothing; the picture has no room there."""
    svg = pull(Pull("14-E-106", "going in", 4.9, ((1.0, 0.0), (2.0, 3.0)), -14.0, -2.0, 0.0, along=along))
    tall = float(re.search(r'viewBox="0 0 [\d.]+ ([\d.]+)"', svg)[1])
    assert all(0 <= float(y) <= tall for y in re.findall(r' c?y="(-?[\d.]+)"', svg))


def test_an_old_tag_is_said_on_the_page_of_lifts_and_on_the_step_of_the_pull(tmp_path: Path) -> None:
    text = files_of_the_demo()[FOCUS].read_text("utf-8")
    old = re.sub(r'^inspected = "[^"]*"', 'inspected = "2024-01-10"', text, count=1, flags=re.M)
    store = open_store(str(tmp_path / "r.db"), create=True)
    job = open_job(Jobs(store), old.encode(), "T. Wray-Estrada")
    client = TestClient(app(store, tmp_path / "p"), base_url=HOST)
    for path in (("lift",), ("step", "PULL"), ("step", "LIFTPLAN:bundle")):
        page = words(client.get(address(job, *path)).text)
        assert "last looked over 2024-01-10, over a year ago" in page, path
    assert "over a year ago" not in words(client.get(address(job, "step", "PERMIT")).text)
