"""Words that try to be markup, in every place where a person can put words: on every page they are words."""

from __future__ import annotations

import json
import re
from html.parser import HTMLParser
from typing import ClassVar
from urllib.parse import quote, urlsplit

import pytest
from tests.web.conftest import HOST, opened

from boxup.web.app import PAGES
from boxup.web.ask import address

EVIL = "\"'><script>alert(1)</script><img src=x onerror=alert(2)>&lt;b&gt;]]></style></title></svg>{0}%s\u202e"
SHORT = "\"'><svg onload=alert(3)>&amp;"
JOB = "OM<script>alert('4')</script>\"7"


class Reading(HTMLParser):
    """Collects whatever a browser would act on."""

    VOID: ClassVar = {"meta", "link", "input", "br", "hr", "img"}

    def __init__(self) -> None:
        super().__init__()
        self.bad: list[str] = []
        self.open: list[str] = []
        self.scripts = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        if tag == "script":
            self.scripts += 1
            if given != {"type": "module", "src": "/static/boxup.js"}:
                self.bad.append(f"script {given}")
        if tag in ("iframe", "object", "embed", "base", "style", "applet"):
            self.bad.append(tag)
        if tag == "img" and not str(given.get("src", "")).startswith("/photo/"):
            self.bad.append(f"img {given}")
        for name, value in attrs:
            if name.startswith("on") or name in ("style", "srcdoc", "formaction") or not re.fullmatch(r"[a-zA-Z][a-zA-Z0-9:-]*", name):
                self.bad.append(f"{tag} {name}={value}")
            if name in ("href", "src", "action", "xlink:href") and (urlsplit(value or "").scheme or (value or "").startswith("//")):
                self.bad.append(f"{tag} {name}={value}")
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        if tag not in self.VOID:
            self.open.pop()

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open.pop() != tag:
            self.bad.append(f"</{tag}> closes something else")


def looked_over(text: str) -> None:
    reading = Reading()
    reading.feed(text)
    reading.close()
    assert reading.bad == []
    assert reading.scripts == 1
    assert reading.open == [], "every element is closed"
    assert not re.search("[\x00-\x08\x0b\x0c\x0e-\x1f]", text), "a control character"


def hostile(file: str) -> str:
    """The file with such words in everything that is said in words."""
    quoted = json.dumps(EVIL, ensure_ascii=False)
    for key in ("plant", "unit", "drawing", "revision", "crew_lead", "inspector", "planner", "fluid", "hazards", "location", "note"):
        file = re.sub(rf"^{key} = .*$", lambda _, key=key: f"{key} = {quoted}", file, flags=re.M)
    return file.replace('job = "OM-27-0103"', f"job = {json.dumps(JOB)}")


ENTRIES = [
    ("note.written", {"text": EVIL}),
    ("note.written", {"text": "bell \x07 zero \x00 escape \x1b"}),
    ("step.done", {"step": "PACK", "second": EVIL, "paper": EVIL, "reading": EVIL, "note": EVIL}),
    ("step.done", {"step": "ZERO:shell", "second": SHORT, "reading": EVIL}),
    ("hold.signed", {"step": "PACK", "role": "inspector", "verdict": "refused", "words": EVIL}),
    ("step.reopened", {"step": "ZERO:shell", "why": EVIL}),
    ("finding.raised", {"text": EVIL, "letter": "A", "about": EVIL}),
    ("gasket.received", {"item": SHORT, "gasket": "G4", "its.kind": EVIL}),
    ("gasket.fitted", {"item": SHORT, "joint": "J4"}),
    ("joint.pass_done", {"joint": "J4", "pass": "four snug", "lubricant": EVIL, "note": EVIL}),
    ("joint.gap_read", {"joint": "J4", "gaps": "3.1 3.2 3.3 3.2 mm"}),
    ("joint.opened", {"joint": "J4", "why": EVIL}),
    ("joint.marks_wrong", {"joint": "J2", "why": EVIL}),
    ("face.judged", {"joint": "J4", "face": EVIL, "verdict": "to repair", "words": EVIL}),
    ("face.measured", {"joint": "J4", "face": EVIL, "mark": "pit", "depth": "0.3 mm", "span": "9 mm", "land": "12 mm", "clock": EVIL}),
    ("test.reading", {"test": "S1", "pressure": "11 bar", "note": EVIL}),
    ("joint.weeped", {"joint": "J2", "test": "S1", "clock": EVIL}),
    ("test.result", {"test": "S1", "verdict": "failed", "words": EVIL, "second": EVIL}),
    ("tube.leaks", {"tube": SHORT, "ends": "both", "test": "S1"}),
    ("tube.to_plug", {"tube": "9-14", "why": EVIL}),
    ("tube.plugged", {"tube": "9-14", "ends": "both", "plug": EVIL}),
    ("blind.in", {"blind": "B1", "second": EVIL}),
    ("blind.left_in", {"blind": "B2", "owner": EVIL, "until": EVIL}),
    ("blind.changed", {"blind": "B3", "why": EVIL}),
    ("tool.bad", {"tool": "W1", "why": EVIL}),
    ("tool.issued", {"tool": "W2", "to": EVIL}),
    ("piece.in", {"space": "shell", "what": EVIL}),
    ("alarm.raised", {"why": EVIL}),
    ("lock.removed", {"what": EVIL}),
    ("shift.changed", {"to": EVIL, "note": EVIL}),
]
PEOPLE = {"name": EVIL[:100], "role": EVIL, "language": "en", "light": "day", "glove": "yes"}


@pytest.fixture(scope="module")
def site(tmp_path_factory):
    made = opened(tmp_path_factory.mktemp("hostile"), 1)
    file = hostile(made.events[0].payload["file"])
    assert file.count("alert(1)") > 5
    sent = made.client.post(
        "/open", files={"file": ("x", file.encode())}, data={"by": EVIL}, headers={"origin": HOST}, follow_redirects=False
    )
    assert sent.status_code == 303, sent.text
    made.client.cookies.set("boxup-person", quote(json.dumps(PEOPLE), safe=""))
    for n, (kind, said) in enumerate(ENTRIES):
        form = {"kind": kind, "id": f"hostile-{n}", "by": f"{SHORT} {n}", "entered_by": EVIL, "happened": "yes", **said}
        answer = made.client.post(address(JOB, "enter"), data=form, headers={"origin": HOST}, follow_redirects=False)
        assert answer.status_code == 303, (kind, answer.text)
    assert len(made.store.events(JOB)) == len(ENTRIES) + 1
    yield made
    made.store.close()


VALUES = {"{job}": [JOB], "{step}": ["PACK", "ZERO:shell", "FH_TORQ:J4"], "{joint}": ["J4", "J2"], "{test}": ["S1"], "{code}": ["J4"],
          "{kind}": ["note.written", "face.judged", "gasket.fitted"]}  # fmt: skip


def urls() -> list[str]:
    found = []
    for path in PAGES:
        name = next((n for n in VALUES if n != "{job}" and n in path), "")
        for value in VALUES.get(name, [""]):
            parts = [JOB if part == "{job}" else value if part == name else part for part in path.split("/")[1:]]
            found.append(address(*parts[1:]) if parts[0] == "job" else path)
    return found


@pytest.mark.parametrize("url", urls())
def test_no_word_becomes_markup_on_a_page(site, url):
    answer = site.client.get(url)
    assert answer.status_code == 200
    looked_over(answer.text)


def test_the_words_are_there_as_words(site):
    """They are shown as they were typed: nothing is swallowed either."""
    page = site.client.get(address(JOB, "findings")).text
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in page


@pytest.mark.parametrize("language", ["en", "es"])
def test_nor_on_a_page_that_says_no(site, language):
    site.client.cookies.set("boxup-person", quote(json.dumps(PEOPLE | {"language": language}), safe=""))
    part = quote(EVIL, safe="")
    inside = [address(JOB, page, EVIL) for page in ("step", "joint", "why", "log", "test")]
    for url in (f"/{part}", f"/job/{part}", *inside):
        answer = site.client.get(url)
        assert answer.status_code == 404
        looked_over(answer.text)


def test_nor_in_what_stands_behind_an_address(site):
    for query in (f"said={quote(EVIL)}", f"corrects={quote(EVIL)}&text={quote(EVIL)}&back={quote(EVIL)}", f"{quote(EVIL)}={quote(EVIL)}"):
        for where in (address(JOB), address(JOB, "log", "note.written"), address(JOB, "joint", "J4"), "/me", "/fleet"):
            answer = site.client.get(f"{where}?{query}")
            assert answer.status_code == 200
            looked_over(answer.text)


@pytest.mark.parametrize(
    "form",
    [
        {"kind": "step.started", "step": "TTEST:T", "note": EVIL, "extra": EVIL, "back": EVIL},
        {
            "kind": "joint.pass_done",
            "joint": EVIL,
            "pass": EVIL,
            "torque": EVIL,
            "torque.unit": EVIL,
            "studs": EVIL,
            "by": EVIL,
            "at": EVIL,
        },
        {"kind": EVIL, EVIL: EVIL},
        {"kind": "step.done", "step": EVIL, "corrects": EVIL, "photo_kept": EVIL, "id": EVIL[:60], "by": EVIL},
        {"kind": "job.file_revised", "file": EVIL, "why": ""},
    ],
)
def test_nor_in_a_form_that_comes_back(site, form):
    said = {"id": "comes-back", "by": EVIL, **form}
    answer = site.client.post(address(JOB, "enter"), data=said, headers={"origin": HOST}, follow_redirects=False)
    assert answer.status_code in (409, 422)
    looked_over(answer.text)
