"""A job is opened with a file that somebody sends: whatever is in it, it is a job or a list of sentences."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

import pytest
from tests.web.conftest import HOST

from boxup.demo.fleet import files_of_the_demo
from boxup.web.live import Jobs
from boxup.web.opening import BadFile, open_job

OTHER = "14-E-104"
FILE = files_of_the_demo()[OTHER].read_text(encoding="utf-8")
JOB = "OM-27-0104"


def send(site, data: bytes, by: str = "T. Wray-Estrada"):
    return site.client.post("/open", files={"file": ("x.toml", data)}, data={"by": by}, headers={"origin": HOST}, follow_redirects=False)


def test_a_file_opens_a_job_and_leads_to_it(own):
    site = own(1)
    answer = send(site, b"\xef\xbb\xbf" + FILE.encode())  # as an editor on Windows keeps it
    assert (answer.status_code, answer.headers["location"]) == (303, f"/job/{JOB}")
    (event,) = site.store.events(JOB)
    assert (event.kind, event.by, event.payload["file"]) == ("job.opened", "T. Wray-Estrada", FILE)
    assert "14-E-104" in site.client.get("/fleet").text
    again = send(site, FILE.encode())
    assert again.status_code == 422
    assert "on record already" in again.text
    assert len(site.store.events(JOB)) == 1


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "exchanger"),
        (b"\xff\xfe\x00", "no text"),
        (b"\x00" * 100, "is this the right file?"),
        (b"not toml", "there is no = sign"),
        (b"x = " + b"[" * 100_000, "too deep"),
        (b"x = " + b"{a=" * 50_000, "too deep"),
        (b"[exchanger]\ntag = 5\n", "tag"),
        (FILE.encode()[:300], "missing"),
        (b"x" * 1_100_000, "longer than 1,000,000 letters"),
        (FILE.replace('job = "OM-27-0104"', f'job = "{"x" * 300}"').encode(), "200 letters"),
        (FILE.replace('job = "OM-27-0104"', 'job = "a\\u0007b"').encode(), "job"),
    ],
    ids=["nothing", "no text", "zeros", "no toml", "arrays", "tables", "a number", "cut off", "large", "long name", "bell"],
)
def test_a_file_that_is_none_is_sentences_and_opens_nothing(own, data, said):
    site = own(1)
    answer = send(site, data)
    assert answer.status_code == 422, answer.text[:300]
    assert said in answer.text
    assert len(site.store.jobs()) == 1


def test_a_file_with_markup_in_it_is_told_as_text(own):
    site = own(1)
    answer = send(site, b'[exchanger]\ntag = "<script>alert(1)</script>"\n"<img src=x>" = 1\n')
    assert answer.status_code == 422
    assert "<script>alert" not in answer.text
    assert "<img" not in answer.text


@pytest.mark.parametrize("by", ["", "  ", "\t\n"])
def test_who_opens_it_must_be_said(own, by):
    site = own(1)
    assert send(site, FILE.encode(), by).status_code == 422
    assert len(site.store.jobs()) == 1


def test_a_name_that_cannot_be_kept_is_told(own):
    site = own(1)
    answer = send(site, FILE.encode(), "x" * 500)
    assert answer.status_code == 422
    assert "200 letters" in answer.text


def test_nothing_sent_is_told(own):
    answer = own(1).client.post("/open", data={"by": "X"}, headers={"origin": HOST})
    assert answer.status_code == 422


def test_of_many_who_open_the_same_job_at_once_one_does(own):
    site = own(1)
    jobs = Jobs(site.store)

    def one(n: int) -> str:
        try:
            return open_job(jobs, FILE.encode(), f"Person {n}")
        except BadFile as bad:
            return str(bad)

    with ThreadPoolExecutor(8) as pool:
        found = list(pool.map(one, range(16)))
    assert found.count(JOB) == 1
    assert all("on record already" in text for text in found if text != JOB)
    assert len(site.store.events(JOB)) == 1
