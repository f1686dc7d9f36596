"""What no page may do, whatever is sent: be framed, run a stranger's script, take a form from another site, swallow a whole disk."""

from __future__ import annotations

from collections.abc import Iterable
from urllib.parse import urlsplit

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


class Guard:
    """Around the whole application. `hosts`: the names this server goes by."""

    def __init__(self, app: ASGIApp, hosts: Iterable[str]) -> None:
        self.app, self.hosts = app, frozenset(hosts)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        if refusal := self._refused(scope["method"], headers):
            await refusal(scope, receive, _guarded(send))
            return
        await self.app(scope, _Limited(receive), _guarded(send))

    def _refused(self, method: str, headers: Headers) -> PlainTextResponse | None:
        host = _name_of(headers.get("host", ""))
        if host not in self.hosts:
            return _no(421, f"this server is not {host or 'without a name'}; it goes by {', '.join(sorted(self.hosts))}")
        if method in ASKING:
            return None
        if method != "POST":
            return _no(405, f"{method} is not accepted; accepted: GET, HEAD, POST")
        if not _from_here(headers):
            return _no(403, "this form was sent from another site; nothing was entered. Open the page here and send it again")
        if int(headers.get("content-length") or 0) > MOST_BODY:
            return _no(413, f"the form is larger than {MOST_BODY // 1_000_000} MB; nothing was entered. Send fewer or smaller photos")
        return None


def _name_of(host: str) -> str:
    try:
        return urlsplit(f"//{host}").hostname or ""
    except ValueError:
        return ""


def _from_here(headers: Headers) -> bool:
    """A form must come from a page of this very server. A browser says so itself; one that says nothing is not believed."""
    site, origin = headers.get("sec-fetch-site"), headers.get("origin")
    if site is not None and site not in ("same-origin", "none"):
        return False
    if origin is not None:
        return urlsplit(origin).netloc == headers.get("host")
    return site in ("same-origin", "none")


def _no(status: int, text: str) -> PlainTextResponse:
    return PlainTextResponse(f"Refused: {text}.\n", status)


class TooMuch(Exception):
    """A body that is larger than it said, or than is accepted."""


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
