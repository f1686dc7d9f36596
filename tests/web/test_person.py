"""What a browser keeps of a person is only how they like to read: whatever stands in it, a page comes."""

from __future__ import annotations

import json
from urllib.parse import quote
from uuid import uuid4

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.web.conftest import HOST, opened, person

from boxup.web.ask import inside, slug, unslug
from boxup.web.person import MOST, Person, as_cookie, cleaned, read_person

DAY = 2


@pytest.mark.parametrize(
    "cookie",
    [
        "", "x", "%", "%ff%fe", "null", "[]", "1", '"text"', "{}", quote("{"), quote('{"name":'), quote("[" * 60_000), "[" * 60_000,
        quote('{"name":{"a":[1]},"light":[],"language":null,"glove":1}'), quote('{"name":"\\ud800"}'),
        quote(json.dumps({"name": "x" * 9000})),
        "9" * 5000, quote('{"__class__":"x","language":"../../en"}'), quote('{"language":"en\\u0000","light":"day\\"onload=\\"x"}'),
    ],
)  # fmt: skip
def test_a_cookie_that_was_tampered_with_is_a_person_or_nobody(told, cookie):
    site = told(DAY)
    answer = site.client.get("/fleet", headers={"cookie": f"boxup-person={cookie}".encode("latin-1")})
    assert answer.status_code == 200
    found = read_person(cookie)
    assert (found.language, found.light, found.glove) == ("en", "auto", "")


@given(st.builds(Person, name=st.text(max_size=200), role=st.text(max_size=200)))
def test_what_is_kept_comes_back_as_it_was_cleaned(said):
    clean = cleaned({"name": said.name, "role": said.role})
    assert len(clean.name) <= MOST
    assert clean.name.isprintable()
    assert read_person(as_cookie(clean)) == clean
    assert len(as_cookie(clean)) < 4000, "a browser keeps no more"


@given(st.text())
def test_no_cookie_makes_a_fault(text):
    assert read_person(text) == read_person(text)


def test_who_they_are_is_kept_out_of_reach_of_scripts(told):
    said = {"name": "M. Trevanick", "role": "crew lead", "language": "en", "light": "night", "glove": "yes", "back": "/fleet"}
    answer = told(DAY).client.post("/me", data=said, headers={"origin": HOST}, follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (303, "/fleet")
    cookie = answer.headers["set-cookie"].lower()
    assert "httponly" in cookie
    assert "samesite=lax" in cookie


ELSEWHERE = [
        "//evil.example", "///evil.example", "/\\evil.example", "\\\\evil.example", "http://evil.example", "https:evil.example",
    "evil.example",
        "/\tevil", "/\n/evil.example", "\t//evil.example", " //evil.example", "/x\r\nset-cookie: a=b", "javascript:alert(1)", "data:,x", "",
        "/ /evil.example", "/\x00", "/a\\..\\..\\evil",
]  # fmt: skip


@pytest.mark.parametrize("back", ELSEWHERE)
def test_back_leads_nowhere_else(told, back):
    """Where a person is sent after a form is an address of this server, whatever the form says."""
    answer = told(DAY).client.post("/me", data={"name": "X", "back": back}, headers={"origin": HOST}, follow_redirects=False)
    assert answer.headers["location"] == "/"


def test_back_of_an_entry_leads_nowhere_else(own):
    site = own(1)
    for back in ELSEWHERE:
        entered = site.enter("note.written", text="x", back=back)
        assert entered.status_code == 303
        assert entered.headers["location"].startswith(f"/job/{site.job}?said="), back


def test_back_keeps_its_question_and_drops_what_was_said_before(own):
    site = own(DAY)
    last = len(site.events)
    answer = site.enter("note.written", text="x", back="/fleet?a=1&said=3-3&b=%2F%2Fx#place")
    assert answer.headers["location"] == f"/fleet?a=1&b=%2F%2Fx&said={last + 1}-{last + 1}"


@given(st.text())
def test_an_address_is_of_this_server_or_the_other_one(text):
    found = inside(text, "/other")
    assert found == "/other" or (found[0] == "/" and found[1:2] not in ("/", "\\") and not any(c <= " " or c == "\\" for c in found))


@pytest.mark.parametrize(
    "said", ["²-²", "1-²", "9" * 5000 + "-1", "1-" + "9" * 5000, "1", "-", "--", "1-1-1", "0-0", "5-1", "٣-٣", "<b>-1"]
)
def test_what_an_address_says_was_entered_makes_no_fault(told, said):
    answer = told(DAY).get(said=said)
    assert answer.status_code == 200
    assert 'class="entered"' not in answer.text


# names in addresses


@pytest.fixture(scope="module")
def many_jobs(tmp_path_factory):
    site = opened(tmp_path_factory.mktemp("names"), 1)
    yield site
    site.store.close()


NAMES = st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=40)


@given(NAMES)
def test_a_name_comes_back_from_its_address(name):
    part = slug(name)
    assert unslug(part) == name
    assert part.strip("."), "a step up to a browser"
    assert part.isascii()
    assert not set(part) & set("/\\%?#<>\"' &+;")


@pytest.mark.parametrize(
    "name", ["..", ".", "...", "a/b", "a~b", "~2F", "%2F", "a%b", "Ä-Ö 7", "1/2\\3", "x?y#z", "+", "é\u0301", "\u202eabc", "a b"]
)
def test_a_job_of_any_name_has_its_pages(many_jobs, name):
    site = many_jobs
    text = site.events[0].payload["file"].replace('job = "OM-27-0103"', f"job = {json.dumps(name, ensure_ascii=False)}")
    assert text != site.events[0].payload["file"]
    sent = site.client.post(
        "/open", files={"file": ("x.toml", text.encode())}, data={"by": "X"}, headers={"origin": HOST}, follow_redirects=False
    )
    assert sent.status_code == 303, sent.text
    assert name in site.store.jobs()
    assert site.client.get(sent.headers["location"]).status_code == 200
    assert site.client.get(f"/job/{slug(name)}/step/PACK").status_code == 200
    said = {"kind": "note.written", "id": str(uuid4()), "by": "X", "text": "y"}
    entered = site.client.post(f"/job/{slug(name)}/enter", data=said, headers={"origin": HOST}, follow_redirects=False)
    assert (entered.status_code, len(site.store.events(name))) == (303, 2)
    assert site.client.get(entered.headers["location"]).status_code == 200


def test_a_person_is_shown_as_they_wrote_themselves(told):
    page = told(DAY).client.get("/fleet", headers=person(name="<b>Ö & 'X'"))
    assert "&lt;b&gt;Ö &amp; " in page.text
    assert "<b>Ö" not in page.text
