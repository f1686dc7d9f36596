"""The application: which address is which page, and what is answered when something is not there."""

from __future__ import annotations

from collections.abc import AsyncIterator, Awaitable, Callable, Iterable, Mapping
from contextlib import asynccontextmanager
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile
from starlette.exceptions import HTTPException
from starlette.formparsers import MultiPartException
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import HTMLResponse, PlainTextResponse, RedirectResponse, Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from boxup.record.event import BadEvent
from boxup.store.base import Store, StoreError
from boxup.turnaround.book import BadBook
from boxup.web import frame
from boxup.web.ask import Ask, View, address, inside, unslug
from boxup.web.enter import BadForm, Entered, Form, enter
from boxup.web.form import PHOTO
from boxup.web.guard import Guard, TooMuch, broken, too_much
from boxup.web.live import Damaged, Jobs, NotThere
from boxup.web.log_in import FILE, LOG, text_of
from boxup.web.pages import (
    blinds,
    exchanger,
    findings,
    fleet,
    gaskets,
    hold_working,
    joint,
    lift,
    log,
    me,
    order,
    record,
    refused,
    step,
    test,
    today,
    tubes,
    way_up,
    why,
)  # fmt: skip
from boxup.web.person import COOKIE, as_cookie, cleaned, read_person
from boxup.web.photos import BadPhoto, Photos
from boxup.web.words import Words

LOCAL = ("localhost", "127.0.0.1", "::1")
A_YEAR = 365 * 24 * 3600
MOST_FILES, MOST_FIELDS, MOST_PART = 2, 400, 1_000_000

Writer = Callable[[Ask], View]
PAGES: dict[str, Writer] = {
    "/": today.page,
    "/fleet": fleet.page,
    "/me": me.page,
    "/job/{job}": exchanger.page,
    "/job/{job}/order": order.page,
    "/job/{job}/step/{step}": step.page,
    "/job/{job}/joints": joint.page_of_all,
    "/job/{job}/joint/{joint}": joint.page,
    "/job/{job}/gaskets": gaskets.page,
    "/job/{job}/tests": test.page_of_all,
    "/job/{job}/test/{test}": test.page,
    "/job/{job}/hold/{test}": hold_working.page,
    "/job/{job}/lift": lift.page,
    "/job/{job}/tubes": tubes.page,
    "/job/{job}/way-up": way_up.page,
    "/job/{job}/blinds": blinds.page,
    "/job/{job}/findings": findings.page,
    "/job/{job}/record": record.page,
    "/job/{job}/log": log.page_of_all,
    "/job/{job}/log/{kind}": log.page,
    "/job/{job}/why/{code}": why.page,
}


def app(store: Store, photos: Path, hosts: Iterable[str] = ()) -> Starlette:
    """The pages on a record. `photos`: the folder beside it; `hosts`: names it goes by beside localhost."""
    jobs, kept = Jobs(store), Photos(photos)

    @asynccontextmanager
    async def life(_: Starlette) -> AsyncIterator[None]:
        yield
        store.close()

    routes = [Route(path, _shown(jobs, writer), methods=["GET"]) for path, writer in PAGES.items()]
    routes += [
        Route("/me", _me, methods=["POST"]),
        Route("/open", _opened(jobs), methods=["POST"]),
        Route("/job/{job}/enter", _entered(jobs, kept), methods=["POST"]),
        Route("/photo/{name}", _photo(kept), methods=["GET"]),
    ]
    static = _Still(directory=Path(__file__).parent / "static")
    return Starlette(
        routes=[*routes, Mount("/static", static)],
        middleware=[Middleware(Guard, hosts=frozenset({*LOCAL, *hosts}))],
        exception_handlers={404: _nothing_here(jobs), 405: _not_so, TooMuch: too_much, Exception: broken},
        lifespan=life,
    )


class _Still(StaticFiles):
    """Style and scripts: the browser keeps them and asks whether they are still the same."""

    def file_response(self, *args: Any, **words: Any) -> Response:
        answer = super().file_response(*args, **words)
        answer.headers["cache-control"] = "no-cache"
        return answer


def _ask(request: Request, jobs: Jobs, *, of_job: bool = True) -> Ask:
    path = {key: unslug(value) for key, value in request.path_params.items()}
    person = read_person(request.cookies.get(COOKIE, ""))
    live = jobs[path["job"]] if of_job and "job" in path else None
    if live:
        live.exchanger  # noqa: B018  a job without one has no page: told here, once for all of them
    at = live.now() if live else datetime.now(UTC).astimezone()
    url = request.url.path + (f"?{request.url.query}" if request.url.query else "")
    return Ask(person, Words(person.language), jobs, at, url, path, dict(request.query_params), live)


def _shown(jobs: Jobs, writer: Writer) -> Callable[[Request], Awaitable[Response]]:
    def made(request: Request) -> Response:
        try:
            ask = _ask(request, jobs)
            view = writer(ask)
        except (NotThere, Damaged, StoreError) as bad:
            return _stranded(request, jobs, bad)
        return HTMLResponse(frame.page(view, ask), view.status)

    async def shown(request: Request) -> Response:
        return await run_in_threadpool(made, request)

    return shown


def _nothing_here(jobs: Jobs) -> Callable[[Request, Exception], Awaitable[Response]]:
    async def answer(request: Request, error: Exception) -> Response:
        ask = _ask(request, jobs, of_job=False)
        view = refused.not_there(ask, ask.w("refused.no_page", page=request.url.path), 404)
        return HTMLResponse(frame.page(view, ask), 404)

    return answer


async def _not_so(request: Request, error: Exception) -> Response:
    return PlainTextResponse(f"Refused: {request.method} is not accepted at {request.url.path}; nothing was entered.\n", 405)


def _stranded(request: Request, jobs: Jobs, bad: Exception) -> Response:
    """No job to show a page of."""
    ask = _ask(request, jobs, of_job=False)
    view = refused.not_there(ask, str(bad), 404 if isinstance(bad, NotThere) else 503)
    return HTMLResponse(frame.page(view, ask), view.status)


def _entered(jobs: Jobs, photos: Photos) -> Callable[[Request], Awaitable[Response]]:
    async def entered(request: Request) -> Response:
        try:
            async with request.form(max_files=MOST_FILES, max_fields=MOST_FIELDS, max_part_size=MOST_PART) as sent:
                plain = [(key, value) for key, value in sent.multi_items() if isinstance(value, str) and key not in (PHOTO, FILE)]
                photo = sent.get(PHOTO)
                data = await photo.read() if isinstance(photo, UploadFile) else b""
                log = await _log(sent.get(FILE))
        except (MultiPartException, HTTPException) as bad:
            said = bad.message if isinstance(bad, MultiPartException) else bad.detail
            return PlainTextResponse(f"Refused: the form cannot be read ({said}); nothing was entered.\n", 400)
        if log.strip():
            pasted = any(key == LOG and value.strip() for key, value in plain)
            plain = [*plain, (FILE, "yes")] if pasted else [(LOG, log), *plain]
        return await run_in_threadpool(_put, request, jobs, photos, plain, data)

    return entered


async def _log(file: object) -> str:
    """The text of a log that was sent as a file. HTTPException where it is larger than any log."""
    data = await file.read(MOST_PART + 1) if isinstance(file, UploadFile) else b""
    if len(data) > MOST_PART:
        raise HTTPException(413, f"the log is larger than {MOST_PART // 1_000_000} MB")
    try:
        return text_of(data)
    except BadBook as bad:
        raise HTTPException(422, str(bad)) from bad


def _put(request: Request, jobs: Jobs, photos: Photos, sent: list[tuple[str, str]], data: bytes) -> Response:
    said = dict(reversed(sent))  # of a name that came twice, the first
    said.setdefault("entered_by", read_person(request.cookies.get(COOKIE, "")).name)
    many: dict[str, list[str]] = {}
    for key, value in sent:
        many.setdefault(key, []).append(value)
    try:
        ask = _ask(request, jobs)
    except (NotThere, Damaged, StoreError) as bad:
        return _stranded(request, jobs, bad)
    try:
        photo = photos.keep(data) if data else _still(photos, said.get("photo_kept", ""))
        many["photo_kept"] = [photo]
        came = enter(jobs, ask.live.job, Form(said, many, photo))
    except (BadForm, BadPhoto, BadEvent, Damaged, StoreError) as bad:
        problems = bad.problems if isinstance(bad, BadForm | BadEvent) else (str(bad),)
        view = refused.bad_form(ask, many, problems)
        status = 503 if isinstance(bad, Damaged | StoreError) else view.status
        return HTMLResponse(frame.page(replace(view, status=status), ask), status)
    return _answer(ask, said, many, photo, came)


def _still(photos: Photos, name: str) -> str:
    """The photo that was kept when the form was sent before; an entry does not name one that is not there."""
    if name and not photos.has(name):
        raise BadPhoto("the photo that was sent before is not kept here; take it again")
    return name


def _answer(ask: Ask, said: Mapping[str, str], many: Mapping[str, list[str]], photo: str, came: Entered) -> Response:
    if came.asked is not None:
        view = refused.ask_first(ask, many, photo, came.asked)
        return HTMLResponse(frame.page(view, ask), view.status)
    back = inside(said.get("back", ""), ask.link())
    plain, _, query = back.partition("#")[0].partition("?")
    kept = "&".join(part for part in query.split("&") if part and not part.startswith("said="))
    numbers = f"{came.events[0].number}-{came.events[-1].number}"
    return RedirectResponse(f"{plain}?{kept}{'&' if kept else ''}said={numbers}", 303)


async def _me(request: Request) -> Response:
    form = await request.form(max_files=0, max_fields=20)
    person = cleaned({key: str(value) for key, value in form.items()})
    answer = RedirectResponse(inside(str(form.get("back", "")), "/"), 303)
    answer.set_cookie(COOKIE, as_cookie(person), max_age=A_YEAR, httponly=True, samesite="lax")
    return answer


def _opened(jobs: Jobs) -> Callable[[Request], Awaitable[Response]]:
    async def opened(request: Request) -> Response:
        try:
            async with request.form(max_files=1, max_fields=20, max_part_size=MOST_PART) as sent:
                file = sent.get("file")
                data = await file.read(MOST_PART + 1) if isinstance(file, UploadFile) else b""
                by = str(sent.get("by", ""))
        except (MultiPartException, HTTPException) as bad:
            return PlainTextResponse(f"Refused: the form cannot be read ({bad}); nothing was entered.\n", 400)
        return await run_in_threadpool(_open, request, jobs, data, by)

    return opened


def _open(request: Request, jobs: Jobs, data: bytes, by: str) -> Response:
    from boxup.web.opening import BadFile, open_job

    ask = _ask(request, jobs, of_job=False)
    try:
        job = open_job(jobs, data, by)
    except BadFile as bad:
        view = refused.bad_file(ask, bad.problems)
        return HTMLResponse(frame.page(view, ask), view.status)
    except StoreError as bad:
        return _stranded(request, jobs, bad)
    return RedirectResponse(address(job), 303)


def _photo(photos: Photos) -> Callable[[Request], Awaitable[Response]]:
    async def photo(request: Request) -> Response:
        try:
            data, form = await run_in_threadpool(photos.read, request.path_params["name"])
        except (FileNotFoundError, BadPhoto) as bad:
            return PlainTextResponse(f"{bad if isinstance(bad, BadPhoto) else 'there is no such photo'}\n", 404)
        return Response(data, media_type=form, headers={"cache-control": "private, max-age=86400"})

    return photo
