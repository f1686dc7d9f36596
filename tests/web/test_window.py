"""The window on the joint page: a sentence under the torque, drawn, every state in a table; STOP and nothing to pull where it is shut."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from tests.web.conftest import HOST, person

from boxup.demo.fleet import FOCUS, files_of_the_demo
from boxup.exchanger.file import load
from boxup.store.open import open_store
from boxup.web.app import app
from boxup.web.ask import address
from boxup.web.live import Jobs
from boxup.web.opening import open_job

if TYPE_CHECKING:
    from starlette.testclient import TestClient
    from tests.web.conftest import Site

WHO = person(name="M. Trevanick")


def text_of(page: str) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]*>", " ", page)).replace("\u00a0", " ")


@pytest.fixture(scope="module")
def shut(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[TestClient, str]]:
    """A job whose channel cover studs are held by the site below what the gasket asks for."""
    from starlette.testclient import TestClient

    folder: Path = tmp_path_factory.mktemp("shut")
    source = files_of_the_demo()[FOCUS]
    head, block = source.read_text("utf-8").split("[studs.S1]", 1)
    own, rest = block.split("[studs.S2]", 1)
    own = "\n".join(line for line in own.splitlines() if not line.startswith(("most_stress", "least_stress")))
    with open_store(str(folder / "shut.db"), create=True) as store:
        open_job(Jobs(store), f'{head}[studs.S1]\nmost_stress = "240 MPa"{own}\n[studs.S2]{rest}'.encode(), "M. Trevanick")
        yield TestClient(app(store, folder / "photos"), base_url=HOST), load(source).identity.job


def test_the_window_is_said_under_the_torque_and_drawn(told: Callable[..., Site]) -> None:
    site = told(4)
    page = site.client.get(address(site.job, "joint", "J2"), headers=WHO).text
    text = text_of(page)
    said = r"of the stud(?:'|&#39;)s yield Window \d+ to \d+ MPa \([\d.]+ to [\d.]+ ksi\) on tensile area(?: = .*?)? Low end: "
    assert re.search(said, text)
    assert page.count("How far its studs may be pulled</title>") == 2  # wide and narrow
    for state in ("At bolt-up", "In service", "Tube test", "Shell test", "shell side down", "tube side down", "Must be"):
        assert state in text
    assert "Gasket of J2" in text
    assert "Gasket of J3" in text
    assert re.search(r"channel flange \(F3\) \d+ %, 0\.\d\d°", text)
    assert "From memory, to be confirmed by the engineer: the rules of ASME PCC-1" in text


def test_a_shut_window_is_a_stop_and_nothing_is_offered_to_pull(shut: tuple[TestClient, str]) -> None:
    client, job = shut
    page = client.get(address(job, "joint", "J1"), headers=WHO).text
    text = text_of(page)
    assert "No stud load satisfies every limit of this joint, and no torque is right. Nobody pulls it." in text
    assert "No window: at least " in text
    assert "joint.pass_done" not in re.findall(r'name="kind" value="([^"]+)"', page)
    assert "Final torque" not in text
    assert not re.search(r"\d N·m", text.split("How far its studs")[0])


def test_the_other_joint_pages_of_that_job_stand(shut: tuple[TestClient, str]) -> None:
    client, job = shut
    for joint in ("J2", "J4", "J5", "N1"):
        assert client.get(address(job, "joint", joint), headers=WHO).status_code == 200
    assert client.get(address(job, "joints"), headers=WHO).status_code == 200
