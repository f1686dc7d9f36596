"""How long a page takes at the server with twenty thousand entries on the job, once read and as the first after one more entry.

python tools/pages.py [RUNS]     prints medians, ms

Each stands beside the same bytes, answered as a constant by the same server library through the same guard, taken in turn.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
import time
import warnings
from collections.abc import Callable, Iterator
from pathlib import Path
from uuid import uuid4

from starlette.applications import Starlette
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response
from starlette.routing import Route

import entries
from boxup.record.event import Draft
from boxup.store.base import Store
from boxup.store.open import open_store
from boxup.web.app import PAGES, app
from boxup.web.ask import address
from boxup.web.guard import Guard

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from starlette.testclient import TestClient

GOAL = 150.0  # ms
HOST = "http://localhost"
# What stands for each name in an address: a joint with much on record, a test in the middle of the job.
NAMES = {"{step}": "FH_TORQ:J4", "{joint}": "J4", "{test}": "T", "{kind}": "joint.pass_done", "{code}": "J4"}


def addresses(job: str) -> list[tuple[str, str]]:
    """Every page of the application with a name for the table and its address on that job."""
    found = []
    for path in PAGES:
        parts = [NAMES.get(part, part) for part in path.split("/")[1:]]
        found.append((path.replace("/job/{job}", "job"), address(job, *parts[2:]) if parts[0] == "job" else path))
    return found


def rows(runs: int, count: int = entries.COUNT) -> Iterator[str]:
    """The table of the bench."""
    with tempfile.TemporaryDirectory() as folder, open_store(str(Path(folder) / "long.db"), create=True) as store:
        job = _fill(store, count)
        client = TestClient(app(store, Path(folder) / "photos"), base_url=HOST)
        first = _ms(lambda: client.get(address(job)))
        yield f"Pages with {count} entries on the job; medians of {runs} runs, ms. The first page of all, the record read: {first:.0f} ms."
        yield f"{'page':36}{'bytes':>8}{'again':>8}{'most':>7}{'one more':>10}{'most':>7}{'goal':>6}  {'':10}{'constant':>9}{'ratio':>7}"
        for name, where in addresses(job):
            yield _row(name, where, client, lambda: _one_more(store, job), runs)
    yield "again: nothing new since. one more: the first time it is asked for after an entry. constant: the same bytes, ready made."


def _fill(store: Store, count: int) -> str:
    drafts = [Draft(**{name: getattr(e, name) for name in Draft.__slots__}) for e in entries.many(count)]
    store.append(drafts)
    return drafts[0].job


def _one_more(store: Store, job: str) -> None:
    last = store.events(job, after=store.heads()[0].entries - 1)[-1]
    said = {name: getattr(last, name) for name in Draft.__slots__}
    store.append(
        [Draft(**(said | {"id": str(uuid4()), "kind": "note.written", "version": 1, "payload": {"text": "rain"}, "corrects": ""}))]
    )


def _row(name: str, where: str, client: TestClient, one_more: Callable[[], None], runs: int) -> str:
    answer = client.get(where)
    if answer.status_code != 200:
        return f"{name:36}did not come: {answer.status_code}"
    plain = _constant(answer.text)
    again, constant, after = [], [], []
    for _ in range(runs):
        again.append(_ms(lambda: client.get(where)))
        constant.append(_ms(lambda: plain.get("/")))
    for _ in range(runs):
        one_more()
        after.append(_ms(lambda: client.get(where)))
    verdict = "in goal" if max(statistics.median(again), statistics.median(after)) <= GOAL else "over goal"
    ratio = statistics.median(one / other for one, other in zip(again, constant, strict=True))
    figures = f"{statistics.median(again):8.1f}{max(again):7.0f}{statistics.median(after):10.1f}{max(after):7.0f}{GOAL:6.0f}"
    return f"{name:36}{len(answer.content):8}{figures}  {verdict:10}{statistics.median(constant):9.1f}{ratio:7.1f}"


def _constant(text: str) -> TestClient:
    async def answer(_: Request) -> Response:
        return HTMLResponse(text)

    plain = Starlette(routes=[Route("/", answer)], middleware=[Middleware(Guard, hosts=frozenset({"localhost"}))])
    return TestClient(plain, base_url=HOST)


def _ms(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return (time.perf_counter() - start) * 1e3


if __name__ == "__main__":
    for line in rows(int(sys.argv[1]) if len(sys.argv) > 1 else 7):
        print(line, flush=True)
