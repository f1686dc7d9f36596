"""Pages that are asked for, and forms that are sent, by somebody who should not: another site, another name, too much at once."""

from __future__ import annotations

import pytest
from httpx import Response
from starlette.testclient import TestClient
from tests.web.conftest import HOST

from boxup.web import app as application
from boxup.web.app import app
from boxup.web.guard import HEADERS, MOST_BODY

DAY = 2
MB = 1_000_000


@pytest.fixture
def site(told):
    return told(DAY)


def post(site, headers: dict[str, str], url: str | None = None) -> Response:
    """A form on which nothing but the headers can be wrong; `kind` is none, so that the page itself answers 422 and nothing is written."""
    return site.client.post(url or site.address("enter"), data={"kind": "no such kind"}, headers=headers, follow_redirects=False)


# forms from elsewhere


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "http://localhost"},
        {"origin": "http://localhost:80"},
        {"origin": "http://LOCALHOST"},
        {"sec-fetch-site": "same-origin"},
        {"sec-fetch-site": "none"},
        {"origin": "http://localhost", "sec-fetch-site": "same-origin"},
    ],
)
def test_a_form_of_this_server_is_read(site, headers):
    assert post(site, headers).status_code == 422


@pytest.mark.parametrize(
    "headers",
    [
        {},  # nothing said: not believed
        {"origin": ""},
        {"origin": "null"},  # a file, a sandbox
        {"origin": "null", "sec-fetch-site": "same-origin"},
        {"origin": "https://localhost"},  # another scheme is another site
        {"origin": "http://localhost:8080"},  # another server on this machine
        {"origin": "http://localhost:443"},
        {"origin": "http://localhost.evil.example"},
        {"origin": "http://evil.example"},
        {"origin": "http://evil.example#localhost"},
        {"origin": "http://localhost@evil.example"},
        {"origin": "http://localhost/"},
        {"origin": "http://127.0.0.1"},  # asked as localhost: a browser would have said localhost
        {"origin": "file://localhost"},
        {"origin": "http://localhost", "sec-fetch-site": "cross-site"},
        {"origin": "http://localhost", "sec-fetch-site": "same-site"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
        {"sec-fetch-site": "anything"},
        {"referer": "http://localhost/"},
        {"x-forwarded-host": "evil.example", "origin": "http://evil.example"},
        {"x-forwarded-proto": "https", "origin": "https://localhost"},
    ],
)
@pytest.mark.parametrize("url", ["/job/OM-27-0103/enter", "/me", "/open"])
def test_a_form_from_elsewhere_is_not(site, headers, url):
    answer = post(site, headers, url)
    assert answer.status_code == 403
    assert "nothing was entered" in answer.text


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "PROPFIND"])
def test_another_method_is_refused(site, method):
    answer = site.client.request(method, "/", headers={"origin": HOST})
    assert (answer.status_code, "access-control-allow-origin" in answer.headers) == (405, False)


# names this server does not go by: a name that somebody else makes lead to this machine


@pytest.mark.parametrize(
    "host",
    ["localhost", "localhost:8070", "LocalHost:1", "127.0.0.1", "127.0.0.1:8070", "[::1]", "[::1]:8070", "boxup.lan", "Boxup.LAN:80"],
)
def test_a_name_it_goes_by(site, host):
    client = TestClient(app(site.store, site.photos, ["Boxup.lan"]), base_url=HOST)
    assert client.get("/fleet", headers={"host": host}).status_code == 200


@pytest.mark.parametrize(
    "host",
    [
        "", "evil.example", "evil.example:8070", "localhost.", "localhost.:80", "localhost.evil.example", "evil@localhost",
        "localhost@evil",
        "localhost/evil", "localhost:evil", "localhost:123456", "localhost:", "127.0.0.1.evil.example", "2130706433", "[::2]", "::1",
        "[::1",
        "localhost#", "localhost?", "localhost\\evil", "boxup.lan, localhost", "\xe9", "0.0.0.0", "127.1",
    ],
)  # fmt: skip
def test_a_name_it_does_not_go_by(site, host):
    answer = site.client.get("/", headers={"host": host.encode("latin-1")})
    assert answer.status_code == 421
    assert "OM-27-0103" not in answer.text


def test_what_a_server_in_between_says_of_the_name_is_not_believed(site):
    answer = site.client.get("/", headers={"host": "evil.example", "x-forwarded-host": "localhost", "forwarded": "host=localhost"})
    assert answer.status_code == 421


def test_a_strange_name_does_not_come_back_into_an_address(site):
    answer = site.client.get("/fleet/", headers={"host": "localhost:99", "x-forwarded-host": "evil.example"}, follow_redirects=False)
    assert "evil" not in answer.headers.get("location", "")


# too much


def test_a_form_that_says_it_is_too_large_is_not_read(site):
    answer = post(site, {"origin": HOST, "content-length": str(MOST_BODY + 1)})
    assert answer.status_code == 413


@pytest.mark.parametrize("length", ["-1", "abc", "1e3", "1.5", "", "+5", "0x10", "5, 5", "\xb2", "1_0"])
def test_a_length_that_is_no_count_is_a_sentence(site, length):
    answer = post(site, {"origin": HOST, "content-length": length.encode("latin-1")})
    assert (answer.status_code, "is no count of bytes" in answer.text) == (400, True)


def test_an_absurd_length_is_too_large(site):
    assert post(site, {"origin": HOST, "content-length": "9" * 5000}).status_code == 413


def test_a_body_without_an_end_is_cut_off_while_it_comes_in(site):
    """No length is said; multipart and plain alike."""
    sent = 0

    def endless():
        nonlocal sent
        yield b'--x\r\ncontent-disposition: form-data; name="photo"; filename="a"\r\n\r\n'
        for _ in range(1000):
            sent += MB
            yield b"a" * MB

    headers = {"origin": HOST, "content-type": "multipart/form-data; boundary=x"}
    answer = site.client.post(site.address("enter"), content=endless(), headers=headers)
    assert (answer.status_code, answer.headers["content-security-policy"]) == (413, HEADERS["content-security-policy"])
    assert "nothing was entered" in answer.text


@pytest.mark.parametrize(
    ("data", "files"),
    [
        ({f"f{n}": "x" for n in range(500)}, None),
        ({"a": "x" * (2 * MB)}, None),
        ({"kind": "note.written"}, [("photo", ("a.jpg", b"x", "image/jpeg"))] * 3),
        ({f"f{n}": "x" for n in range(500)}, [("photo", ("a.jpg", b"x", "image/jpeg"))]),
        ({"a": "x" * (2 * MB)}, [("photo", ("a.jpg", b"x", "image/jpeg"))]),
    ],
    ids=["fields", "a long field", "files", "fields beside a file", "a long field beside a file"],
)
def test_too_many_parts_are_a_sentence(site, data, files):
    answer = site.client.post(site.address("enter"), data=data, files=files, headers={"origin": HOST})
    assert answer.status_code == 400
    assert "nothing was entered" in answer.text


@pytest.mark.parametrize(
    ("kind", "body"),
    [
        ("multipart/form-data", b"--x\r\n\r\n"),
        ("multipart/form-data; boundary=x", b"no boundary at all"),
        ("multipart/form-data; boundary=x", b"--x\r\ncontent-disposition: form-data\r\n\r\nvalue\r\n--x--"),
        ("multipart/form-data; boundary=x; charset=nonsense", b'--x\r\ncontent-disposition: form-data; name="a"\r\n\r\n\xff\xfe\r\n--x--'),
        ("multipart/form-data; boundary=" + "x" * 5000, b"--x"),
        ("application/x-www-form-urlencoded", b"%ff%fe=%&&&===;%00"),
        ("application/x-www-form-urlencoded", b"kind=\xff\xfe"),
        ("application/json", b"{}"),
        ("", b""),
        ("text/plain; charset=\x01", b"kind=x"),
    ],
)
@pytest.mark.parametrize("url", ["/job/OM-27-0103/enter", "/open"])
def test_a_form_that_cannot_be_read_is_a_sentence(site, kind, body, url):
    answer = site.client.post(url, content=body, headers={"origin": HOST, "content-type": kind})
    assert answer.status_code in (400, 422)
    assert "Traceback" not in answer.text
    assert "othing" in answer.text, "nothing was entered"


# what every answer carries


def answers(site) -> dict[str, Response]:
    get, away = site.client.get, {"origin": "http://evil.example"}
    return {
        "page": get(site.address()),
        "no such page": get("/nowhere"),
        "no such job": get("/job/none"),
        "style": get("/static/boxup.css"),
        "no such style": get("/static/none.css"),
        "another method": site.client.post("/fleet", headers={"origin": HOST}),
        "no photo": get("/photo/none"),
        "another site": post(site, away),
        "another name": get("/", headers={"host": "evil.example"}),
        "asked first": site.enter("step.started", step="TTEST:T"),
        "a bad form": site.enter("step.done", step="nonsense"),
        "too large": post(site, {"origin": HOST, "content-length": "99999999"}),
        "a slash too many": get("/fleet/", follow_redirects=False),
        "a bad file": site.client.post("/open", files={"file": ("a", b"\xff")}, data={"by": "X"}, headers={"origin": HOST}),
    }


STATUS = {
    "page": 200, "no such page": 404, "no such job": 404, "style": 200, "no such style": 404, "another method": 405, "no photo": 404,
    "another site": 403, "another name": 421, "asked first": 409, "a bad form": 422, "too large": 413, "a slash too many": 307,
    "a bad file": 422,
}  # fmt: skip


def test_every_answer_carries_the_policy(site):
    found = answers(site)
    assert {name: answer.status_code for name, answer in found.items()} == STATUS
    for name, answer in found.items():
        for header, value in HEADERS.items():
            wanted = "no-cache" if (name, header) == ("style", "cache-control") else value
            assert answer.headers[header] == wanted, f"{name}: {header}"


def test_the_policy_lets_no_stranger_in():
    """Each part by what it is there for; the words are those of the standard (W3C Content Security Policy Level 3)."""
    parts = dict(part.strip().split(" ", 1) for part in HEADERS["content-security-policy"].split(";"))
    assert parts["default-src"] == "'none'"
    assert (parts["script-src"], parts["style-src"], parts["form-action"]) == ("'self'",) * 3
    assert (parts["base-uri"], parts["frame-ancestors"]) == ("'none'",) * 2
    assert "unsafe" not in HEADERS["content-security-policy"]


def test_a_fault_of_the_program_is_a_sentence_and_is_logged(site, monkeypatch):
    def broken(_):
        raise ZeroDivisionError("a secret of the house")

    monkeypatch.setitem(application.PAGES, "/fleet", broken)
    faulty = app(site.store, site.photos)
    with pytest.raises(ZeroDivisionError):  # handed on: the server that runs it writes it into its log
        TestClient(faulty, base_url=HOST).get("/fleet")
    answer = TestClient(faulty, base_url=HOST, raise_server_exceptions=False).get("/fleet")
    assert answer.status_code == 500
    assert answer.text.startswith("The program has a fault")
    assert "secret" not in answer.text
    assert "ZeroDivision" not in answer.text
    for header, value in HEADERS.items():
        assert answer.headers[header] == value


def test_head_answers_as_get_without_a_body(site):
    for url in ("/", "/fleet", site.address(), site.address("step", "ZERO:shell"), "/static/boxup.css"):
        asked, head = site.client.get(url), site.client.head(url)
        assert (head.status_code, head.content) == (asked.status_code, b"")
        assert head.headers["content-type"] == asked.headers["content-type"]


def test_a_page_takes_no_form_and_a_form_is_no_page(site):
    assert site.client.post(site.address(), headers={"origin": HOST}).status_code == 405
    assert site.client.get(site.address("enter")).status_code in (404, 405)


# files of the server


@pytest.mark.parametrize(
    "path",
    [
        "../app.py", "..%2fapp.py", "%2e%2e/app.py", "..%5capp.py", "....//app.py", "/etc/passwd", "%2fetc/passwd", "..%252fapp.py",
        "%00boxup.css", "boxup.css%00.js", ".", "", "./", "x/../../guard.py",
    ],
)  # fmt: skip
def test_no_path_leads_out_of_the_folder_of_styles(site, path):
    answer = site.client.get(f"/static/{path}")
    assert answer.status_code in (404, 405), answer.text[:200]
    assert "import" not in answer.text


@pytest.mark.parametrize(
    "path", ["..%2fsite.db", "record.db", "%2e%2e", "a" * 64 + ".jpg", "A" * 64 + ".jpg", "%00", "a" * 9000, "x.jpg%00"]
)
def test_no_path_leads_out_of_the_folder_of_photos(site, path):
    answer = site.client.get(f"/photo/{path}")
    assert answer.status_code == 404
