"""What a page is asked for: by whom, about which job, at what moment; and the links between pages."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from urllib.parse import quote, unquote, urlencode

from boxup.paper.html.element import Markup, el
from boxup.paper.html.parts import Page
from boxup.web.live import Jobs, Live
from boxup.web.person import Person
from boxup.web.words import Words

_INSIDE = re.compile(r"/(?![/\\])[^\x00-\x20\\]*")


@dataclass(frozen=True)
class Ask:
    """path: the names in the address; query: what stands behind its question mark. live: the job, where the page is of one."""

    person: Person
    w: Words
    jobs: Jobs
    at: datetime
    url: str
    path: Mapping[str, str] = field(default_factory=dict)
    query: Mapping[str, str] = field(default_factory=dict)
    job: Live | None = None

    @property
    def live(self) -> Live:
        """The job of the page."""
        if self.job is None:
            raise RuntimeError("this page is of no job")
        return self.job

    def link(self, *parts: str, **query: str) -> str:
        """The address of a page of this job."""
        return address(self.live.job, *parts, **query)

    @property
    def sheet(self) -> Page:
        """The means with which sheets of paper are written as HTML, marks leading to their workings here."""
        m = self.live.material
        words = {k: self.w.told(v) for k, v in m.words.items() if isinstance(v, str)}
        return _Linked(words, {"tag": m.exchanger.identity.tag}, {c: c for c in m.numbers.workings}, (), self)


@dataclass(frozen=True)
class _Linked(Page):
    """Marks lead to the page of their working."""

    ask: Ask

    def mark(self, text: str) -> Markup:
        code, sign, _ = text.partition(f", {self.ask.live.material.words['confirm']}")
        said = f"{code}, {self.words['confirm']}" if sign else text
        if not text or code not in self.workings:
            return super().mark(said)
        return el("a", said, cls="mark", href=self.ask.link("why", code))

    def findings(self, found: Iterable[dict[str, str]]) -> Markup:
        w = self.ask.w
        return super().findings({**f, "text": w.told(f["text"]), "source": w.told(f["source"])} for f in found)

    def missing(self, found: Iterable[dict[str, str]]) -> Markup:
        w = self.ask.w
        return super().missing({**m, "number": w.told(m["number"]), "do": w.told(m["do"])} for m in found)


@dataclass(frozen=True, slots=True)
class View:
    """A page as its writer made it. status: of HTTP. drawn: the drawing above everything, where there is one."""

    title: str
    body: Markup
    status: int = 200


def inside(path: str, otherwise: str) -> str:
    """An address on this server, or the other one: a form may not send anybody elsewhere."""
    return path if _INSIDE.fullmatch(path) else otherwise


def slug(text: str) -> str:
    """A name as one part of an address, whatever letters it has."""
    plain = quote(text, safe=":").replace("~", "%7E")
    return (plain if plain.strip(".") else plain.replace(".", "%2E")).replace("%", "~")  # `..` alone is a step up to a browser


def unslug(text: str) -> str:
    """The name again."""
    return unquote(text.replace("~", "%"))


def address(job: str, *parts: str, **query: str) -> str:
    """The address of a page of a job."""
    path = "/job/" + "/".join(slug(part) for part in (job, *parts))
    return f"{path}?{urlencode(query)}" if query else path
