"""A server on the invented job, told until the end of a day or until a moment: one of each to read, a new one to write to."""

from __future__ import annotations

import json
import warnings
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from pathlib import Path
from typing import Any
from urllib.parse import quote
from uuid import uuid4

import pytest

from boxup.demo.fleet import FOCUS, files_of_the_demo
from boxup.demo.story import drafts, story_text
from boxup.exchanger.file import load
from boxup.record.event import Draft, Event
from boxup.store.base import Store
from boxup.store.open import open_store
from boxup.web.app import app
from boxup.web.ask import address

with warnings.catch_warnings():  # which client of HTTP stands behind it is no matter of ours
    warnings.simplefilter("ignore")
    from starlette.testclient import TestClient

HOST = "http://localhost"
LAST = 20
Until = int | datetime  # the end of a day, or a moment


@dataclass(frozen=True)
class Site:
    """A server with the invented job. `page` and `enter` speak of that job; `client` speaks of anything."""

    client: TestClient
    store: Store
    job: str
    photos: Path

    def address(self, *parts: str, **query: str) -> str:
        return address(self.job, *parts, **query)

    def get(self, path: str = "", **query: str) -> Any:
        """The answer to an address of this job, as `joint/J4`; or of the server, as `/fleet`."""
        return self.client.get(path if path.startswith("/") else self.address(*filter(None, path.split("/"))), params=query)

    def page(self, *parts: str, **query: str) -> str:
        """The text of a page that is there."""
        answer = self.client.get(self.address(*parts, **query))
        assert answer.status_code == 200, answer.text
        return answer.text

    def enter(self, kind: str, *, by: str = "M. Trevanick", photo: bytes = b"", **words: str | list[str]) -> Any:
        """Send a form as a browser would; the answer as it came, not followed. A list: a name that is sent several times."""
        data = {"kind": kind, "id": str(uuid4()), "by": by, "back": self.address(), **words}
        files = {"photo": ("photo.jpg", photo, "image/jpeg")} if photo else None
        headers = {"origin": HOST}
        return self.client.post(self.address("enter"), data=data, files=files, headers=headers, follow_redirects=False)

    @property
    def events(self) -> tuple[Event, ...]:
        return self.store.events(self.job)


@cache
def story(until: Until) -> tuple[str, tuple[Draft, ...]]:
    """The job's name and the drafts of its story until then."""
    file = files_of_the_demo()[FOCUS]
    job = load(file).identity.job
    then = {"until_day": until} if isinstance(until, int) else {"until": until}
    return job, drafts(story_text(), file.read_text(encoding="utf-8"), job, **then)  # type: ignore[arg-type]


def opened(folder: Path, until: Until) -> Site:
    job, told = story(until)
    store = open_store(str(folder / "record.db"), create=True)
    store.append(told)
    photos = folder / "photos"
    return Site(TestClient(app(store, photos), base_url=HOST), store, job, photos)


@pytest.fixture(scope="session")
def told(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Callable[..., Site]]:
    """`told(6)`: the job at the end of day 6, or at a moment, to be read. Several tests share it: nobody writes to it."""
    made: dict[Until, Site] = {}

    def of(day: Until = LAST) -> Site:
        if day not in made:
            made[day] = opened(tmp_path_factory.mktemp("told"), day)
        return made[day]

    yield of
    for one in made.values():
        one.store.close()


@pytest.fixture
def own(tmp_path: Path) -> Iterator[Callable[..., Site]]:
    """`own(6)`: the same job of one's own, to write to."""
    made: list[Site] = []

    def of(day: Until = LAST) -> Site:
        folder = tmp_path / str(len(made))
        folder.mkdir()
        made.append(opened(folder, day))
        return made[-1]

    yield of
    for one in made:
        one.store.close()


def person(**said: str) -> Mapping[str, str]:
    """Headers of somebody who holds the tablet: `person(name="M. Trevanick", language="es")`."""
    return {"cookie": f"boxup-person={quote(json.dumps(said), safe='')}"}
