"""A page is light enough for a tablet at the far end of the plant: every page of every invented exchanger, with all it needs."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.web.conftest import HOST

import boxup.web
from boxup.demo.fleet import files_of_the_demo
from boxup.demo.half_way import write
from boxup.exchanger.file import load
from boxup.store.open import open_store
from boxup.web.app import PAGES, app
from boxup.web.ask import address
from boxup.web.live import Jobs

MOST = 200_000  # bytes: page, style and scripts, as they are sent
STATIC = Path(boxup.web.__file__).parent / "static"


@pytest.fixture(scope="module")
def demo(tmp_path_factory):
    from starlette.testclient import TestClient

    folder = tmp_path_factory.mktemp("demo")
    with open_store(str(folder / "demo.db"), create=True) as store:
        write(store)
        yield TestClient(app(store, folder / "photos"), base_url=HOST), Jobs(store)


def pages_of(live) -> list[str]:
    """Every page of a job: each joint, each test, and the steps of bolting, which have most to say."""
    state = live.state
    names = {
        "{step}": [code for code in state.scope.instances if "TORQ" in code] or list(state.scope.instances)[:3],
        "{joint}": [one.joints[0] for one in state.joints.values()],
        "{test}": list(state.tests),
        "{kind}": ["joint.pass_done", "job.file_revised"],
        "{code}": ["J1"],
    }
    found = []
    for path in PAGES:
        parts = path.split("/")[2:]
        if not path.startswith("/job/"):
            continue
        name = next((one for one in names if one in parts), "")
        for value in names.get(name, [""]):
            found.append(address(*[live.job if p == "{job}" else value if p == name else p for p in parts]))
    return found


def test_style_and_scripts_leave_room_for_the_page():
    assert sum(f.stat().st_size for f in STATIC.iterdir()) < MOST / 2


@pytest.mark.parametrize("tag", files_of_the_demo())
def test_every_page_of_the_fleet_comes_and_is_light(demo, tag):
    client, jobs = demo
    identity = load(files_of_the_demo()[tag]).identity
    beside = sum(f.stat().st_size for f in STATIC.iterdir() if f.suffix in (".css", ".js"))
    found = {url: client.get(url) for url in [*pages_of(jobs[identity.job or identity.tag]), "/", "/fleet", "/me"]}
    bad = {url: answer.status_code for url, answer in found.items() if answer.status_code != 200 and "/why/" not in url}
    assert bad == {}
    heavy = {url: len(answer.content) + beside for url, answer in found.items() if len(answer.content) + beside >= MOST}
    assert heavy == {}
