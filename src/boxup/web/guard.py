"""What no page may do, whatever is sent: be framed, run a stranger's script, take a form from another site, swallow a whole disk."""

from __future__ import annotations

import re
from collections.abc import Iterable

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

MOST_BODY = 12_000_000  # bytes of one form with its photos
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; font-src 'self'; connect-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "geolocation=(), microphone=(), camera=(self)",
    "cache-control": "no-store",
}
ASKING = ("GET", "HEAD")
# A name or an address and a port, and nothing else: no user, no path, no dot at the end.
_HOST = re.compile(r"(?P<name>[a-z0-9_-]+(?:\.[a-z0-9_-]+)*|\[[0-9a-f:.]+\])(?::(?P<port>[0-9]{1,5}))?")
_ORIGIN = re.compile(r"(?P<scheme>https?)://(?P<host>.+)")
_USUAL = {"http": "80", "https": "443"}
OWN = ("same-origin", "none")  # what a browser says of a form of this server, and of one that nobody's page sent


class Guard:
    """Around the whole application. `hosts`: the names this server goes by."""

    def __init__(self, app: ASGIApp, hosts: Iterable[str]) -> None:
        self.app, self.hosts = app, frozenset(host.lower() for host in hosts)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        if refusal := self._refused(scope["method"], scope.get("scheme", "http"), Headers(scope=scope)):
            await refusal(scope, receive, _guarded(send))
            return
        await self.app(scope, _Limited(receive), _guarded(send))

    def _refused(self, method: str, scheme: str, headers: Headers) -> PlainTextResponse | None:
        asked = headers.get("host", "")
        if _name_of(asked) not in self.hosts:
            return _no(421, f"this server is not {asked[:80] or 'without a name'}; it goes by {', '.join(sorted(self.hosts))}")
        if method in ASKING:
            return None
        if method != "POST":
            return _no(405, f"{method} is not accepted; accepted: GET, HEAD, POST")
        if not _from_here(scheme, headers):
            return _no(403, "this form was sent from another site; nothing was entered. Open the page here and send it again")
        length = headers.get("content-length", "0").strip()
        if not (length.isascii() and length.isdigit()):
            return _no(400, f"content-length {length[:20]!r} is no count of bytes; nothing was entered")
        if len(length) > len(str(MOST_BODY)) or int(length) > MOST_BODY:
            return _no(413, _TOO_LARGE)
        return None


_TOO_LARGE = f"the form is larger than {MOST_BODY // 1_000_000} MB; nothing was entered. Send fewer or smaller photos"


def _name_of(host: str) -> str:
    """The name without its port, as the hosts are written; empty for what is no name."""
    found = _HOST.fullmatch(host.lower())
    return found["name"].strip("[]") if found else ""


def _at(scheme: str, host: str) -> tuple[str, str, str] | None:
    """Scheme, name and port, the usual port written out; None for what is no place."""
    found = _HOST.fullmatch(host.lower())
    return (scheme, found["name"], found["port"] or _USUAL.get(scheme, "")) if found else None


def _from_here(scheme: str, headers: Headers) -> bool:
    """A form must come from a page of this very server. A browser says so itself; one that says nothing is not believed.

    Scheme, name and port must all be ours: another server on the same machine is another site. What a server in between forwards is not
    believed either, so that nobody can say it from outside.
    """
    site, origin = headers.get("sec-fetch-site"), headers.get("origin")
    if site is not None and site not in OWN:
        return False
    if origin is None:
        return site in OWN
    said = _ORIGIN.fullmatch(origin.lower())
    return said is not None and _at(said["scheme"], said["host"]) == _at(scheme, headers.get("host", ""))


def _no(status: int, text: str) -> PlainTextResponse:
    return PlainTextResponse(f"Refused: {text}.\n", status)


class TooMuch(Exception):
    """A body that is larger than it said, or than is accepted."""


async def too_much(_: object, __: Exception) -> PlainTextResponse:
    """The answer to a body that grew too large while it came in. The connection is closed: the rest of it is not read."""
    answer = _no(413, _TOO_LARGE)
    answer.headers["connection"] = "close"
    return answer


async def broken(_: object, __: Exception) -> PlainTextResponse:
    """The answer where the program has a fault. What it was stands in the server's own log, not on the page."""
    text = "The program has a fault and could not answer. Nothing was entered by this page unless the log of the job shows it. What went "
    return PlainTextResponse(f"{text}wrong stands where the server was started; go back and try again.\n", 500, HEADERS)


class _Limited:
    """Counts what comes in; stops a body that does not end."""

    def __init__(self, receive: Receive) -> None:
        self.receive, self.taken = receive, 0

    async def __call__(self) -> Message:
        message = await self.receive()
        self.taken += len(message.get("body", b""))
        if self.taken > MOST_BODY:
            raise TooMuch
        return message


def _guarded(send: Send) -> Send:
    async def sent(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
        await send(message)

    return sent
