"""The real server as a process: it says where it is, answers, refuses what is too much, and stops cleanly."""

from __future__ import annotations

import http.client
import os
import re
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import closing, suppress
from dataclasses import dataclass, field
from pathlib import Path
from threading import Thread

import pytest
from tests.web.conftest import story

from boxup.store.open import open_store, verify_store
from boxup.web.guard import HEADERS, MOST_BODY
from boxup.web.serve import address_of

PATIENCE = 60  # s; a loaded machine is slow to start, and no test is about how quick it is
ON_WINDOWS = os.name == "nt"


@dataclass
class Running:
    """A server somebody started. `said`: what it has printed so far."""

    process: subprocess.Popen[str]
    db: Path
    port: int = 0
    said: list[str] = field(default_factory=list)

    def line(self) -> str:
        before = len(self.said)
        reader = Thread(target=self._read, daemon=True)  # lines that came together are in the buffer, where no `select` sees them
        reader.start()
        reader.join(PATIENCE)
        assert len(self.said) > before, f"it said nothing more: {self.said}"
        return self.said[-1]

    def _read(self) -> None:
        assert self.process.stdout is not None
        self.said.append(self.process.stdout.readline())

    def get(self, path: str, **headers: str) -> tuple[int, bytes, http.client.HTTPMessage]:
        with closing(http.client.HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE)) as talk:
            talk.request("GET", path, headers=headers)
            answer = talk.getresponse()
            return answer.status, answer.read(), answer.headers

    def raw(self, text: bytes, *, leave: bool = False) -> bytes:
        """What comes back for these very bytes until the server hangs up; nothing where we leave at once."""
        found = b""
        with socket.create_connection(("127.0.0.1", self.port), timeout=PATIENCE) as talk, suppress(OSError):
            sender = Thread(target=self._sent, args=(talk, text))  # it may answer and hang up while we are still sending
            sender.start()
            while not leave and (more := talk.recv(65536)):
                found += more
        sender.join()
        return found

    @staticmethod
    def _sent(talk: socket.socket, text: bytes) -> None:
        with suppress(OSError):
            talk.sendall(text)

    def stop(self, how: int) -> tuple[int, str]:
        self.process.send_signal(how)
        out, _ = self.process.communicate(timeout=PATIENCE)
        return self.process.returncode, "".join(self.said) + out


Start = Callable[..., Running]


@pytest.fixture
def start(tmp_path: Path) -> Iterator[Start]:
    """`start("--port", "0")`: `boxup serve` on a record of two days."""
    running: list[Running] = []

    def begin(*words: str) -> Running:
        db = tmp_path / "site.db"
        if not db.exists():
            with open_store(str(db), create=True) as store:
                store.append(story(1)[1])
        process = subprocess.Popen(
            [sys.executable, "-m", "boxup", "serve", "--db", str(db), *words],
            stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, env={**os.environ, "PYTHONUNBUFFERED": "1"},
        )  # fmt: skip
        running.append(Running(process, db))
        return running[-1]

    yield begin
    for one in running:
        one.process.kill()
        one.process.communicate()


def up(one: Running) -> Running:
    """The server once it has said where it is."""
    found = re.search(r"http://(\S+?):(\d+)/", one.line())
    assert found, one.said
    one.port = int(found[2])
    return one


pytestmark = pytest.mark.skipif(ON_WINDOWS, reason="signals and select of this test are those of a Unix")


@pytest.mark.parametrize("how", [signal.SIGINT, signal.SIGTERM])
def test_it_says_where_it_is_answers_and_stops_with_the_record_sound(start: Start, how: int) -> None:
    one = up(start("--port", "0"))
    status, page, _ = one.get("/job/OM-27-0103/log")
    assert status == 200
    assert b"14-E-103" in page
    body = "kind=note.written&id=12345678&by=X&text=rain"
    at = f"localhost:{one.port}"
    head = f"POST /job/OM-27-0103/enter HTTP/1.1\r\nHost: {at}\r\nOrigin: http://{at}\r\nConnection: close\r\n"
    sent = f"{head}Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {len(body)}\r\n\r\n{body}"
    assert one.raw(sent.encode()).startswith(b"HTTP/1.1 303")
    with socket.create_connection(("127.0.0.1", one.port)):  # somebody who has asked for nothing yet holds nobody up
        code, said = one.stop(how)
    assert (code, said.splitlines()[-1]) == (0, "Stopped.")
    assert "Traceback" not in said
    assert verify_store(str(one.db)).ok
    with open_store(str(one.db), read_only=True) as store:
        assert store.events("OM-27-0103")[-1].payload["text"] == "rain"


def test_it_listens_on_this_machine_alone(start: Start) -> None:
    one = up(start("--port", "0"))
    assert one.said == [f"The pages: http://localhost:{one.port}/    (stop with Ctrl-C)\n"]
    for host in {found[4][0] for found in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)} - {"127.0.0.1"}:
        if not host.startswith("127."):
            with pytest.raises(OSError, match=r"refused|timed out|unreachable"):
                socket.create_connection((host, one.port), timeout=2)


def test_everybody_is_told_when_others_can_reach_it(start: Start) -> None:
    one = up(start("--port", "0", "--host", "0.0.0.0", "--name", "Boxup.lan"))
    assert "no sign-in" in one.line()
    assert one.get("/fleet", Host="boxup.lan")[0] == 200
    assert one.get("/fleet", Host="evil.example")[0] == 421


def test_a_port_that_is_taken_is_a_sentence(start: Start) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        one = start("--port", str(port))
        out, _ = one.process.communicate(timeout=PATIENCE)
    assert one.process.returncode == 2
    assert f"port {port}, cannot be listened on" in out
    assert "--port 0" in out
    assert "Traceback" not in out


@pytest.mark.parametrize("host", ["999.1.1.1", "no such host", "a..b", "203.0.113.7"])
def test_a_host_that_is_not_this_machine_is_a_sentence(start: Start, host: str) -> None:
    one = start("--port", "0", "--host", host)
    out, _ = one.process.communicate(timeout=PATIENCE)
    assert one.process.returncode == 2
    assert f"{host}, port 0, cannot be listened on" in out
    assert "Traceback" not in out


def test_a_record_that_is_none_is_a_sentence(start: Start, tmp_path: Path) -> None:
    (tmp_path / "site.db").write_bytes(b"no record at all" * 500)
    one = start("--port", "0")
    out, _ = one.process.communicate(timeout=PATIENCE)
    assert one.process.returncode == 2
    assert "Traceback" not in out


# what reaches it over the wire


def post(one: Running, *lines: str, body: bytes = b"", leave: bool = False) -> bytes:
    at = f"localhost:{one.port}"
    head = ["POST /job/OM-27-0103/enter HTTP/1.1", f"Host: {at}", f"Origin: http://{at}", "Connection: close", *lines]
    return one.raw("\r\n".join([*head, "", ""]).encode("latin-1") + body, leave=leave)


def test_what_is_too_much_or_no_length_at_the_wire(start: Start) -> None:
    """One server for all of it: after each of these it still answers."""
    one = up(start("--port", "0"))
    form = "Content-Type: multipart/form-data; boundary=x"
    part = b'--x\r\ncontent-disposition: form-data; name="photo"; filename="a"\r\n\r\n'
    chunk = b"%x\r\n%s\r\n" % (1_000_000, b"a" * 1_000_000)
    endless = b"%x\r\n%s\r\n" % (len(part), part) + chunk * (MOST_BODY // 1_000_000 + 2)
    wanted = {
        "chunks without an end": (post(one, form, "Transfer-Encoding: chunked", body=endless), b"413"),
        "a length that is too large": (post(one, form, "Content-Length: 99999999999"), b"413"),
        "a length below nothing": (post(one, form, "Content-Length: -5", body=b"x"), b"400"),
        "a length that is none": (post(one, form, "Content-Length: abc", body=b"x"), b"400"),
        "two lengths": (post(one, form, "Content-Length: 5", "Content-Length: 6", body=b"xxxxxx"), b"400"),
        "both": (post(one, form, "Content-Length: 5", "Transfer-Encoding: chunked", body=b"0\r\n\r\n"), b"422"),
        "no name": (one.raw(b"GET / HTTP/1.1\r\nConnection: close\r\n\r\n"), b"400"),
        "two names": (one.raw(b"GET / HTTP/1.1\r\nHost: localhost\r\nHost: evil\r\nConnection: close\r\n\r\n"), b"400"),
        "an old browser without a name": (one.raw(b"GET / HTTP/1.0\r\n\r\n"), b"421"),
        "another name": (one.raw(b"GET / HTTP/1.1\r\nHost: evil.example\r\nConnection: close\r\n\r\n"), b"421"),
        "noise": (one.raw(b"\x16\x03\x01\x02\x00\x01\x00"), b"400"),
        "a heading without an end": (one.raw(b"GET / HTTP/1.1\r\nHost: localhost\r\nX: " + b"a" * 200_000), b"4"),
    }
    for name, (answer, status) in wanted.items():
        assert answer.startswith(b"HTTP/1.1 " + status), f"{name}: {answer[:200]!r}"
        assert b"Traceback" not in answer, name
    for name in ("chunks without an end", "a length that is too large"):
        head, _, text = wanted[name][0].partition(b"\r\n\r\n")
        assert HEADERS["content-security-policy"].encode() in head, name
        assert b"nothing was entered" in text, name
    assert one.get("/fleet")[0] == 200
    with open_store(str(one.db), read_only=True) as store:
        assert len(store.events("OM-27-0103")) == len(story(1)[1])


def test_a_form_that_is_shorter_than_it_said_enters_nothing(start: Start) -> None:
    one = up(start("--port", "0"))
    form = "Content-Type: application/x-www-form-urlencoded"
    post(one, form, "Content-Length: 500", body=b"kind=note.written&id=12345678&by=X&text=half", leave=True)
    assert one.get("/fleet")[0] == 200
    with open_store(str(one.db), read_only=True) as store:
        assert len(store.events("OM-27-0103")) == len(story(1)[1])


def test_what_a_server_in_between_says_is_not_believed(start: Start) -> None:
    """From this very machine too: a form of https://localhost:N is of another site, whatever is forwarded."""
    one = up(start("--port", "0"))
    at = f"localhost:{one.port}"
    lines = ["POST /me HTTP/1.1", f"Host: {at}", f"Origin: https://{at}", "X-Forwarded-Proto: https", "Content-Length: 0"]
    text = "\r\n".join([*lines, "Connection: close", "", ""])
    assert one.raw(text.encode()).startswith(b"HTTP/1.1 403")


def test_it_does_not_say_what_it_is_made_of(start: Start) -> None:
    one = up(start("--port", "0"))
    assert one.get("/fleet")[2]["server"] is None


def test_a_form_that_never_comes_does_not_keep_it_from_stopping(start: Start) -> None:
    one = up(start("--port", "0"))
    at = f"localhost:{one.port}"
    with socket.create_connection(("127.0.0.1", one.port)) as talk:
        talk.sendall(f"POST /me HTTP/1.1\r\nHost: {at}\r\nOrigin: http://{at}\r\nContent-Length: 1000\r\n\r\nname=".encode())
        time.sleep(0.2)
        code, said = one.stop(signal.SIGTERM)
    assert code == 0
    assert "Stopped." in said


@pytest.mark.parametrize(
    ("host", "names", "said"),
    [
        ("127.0.0.1", (), "http://localhost:80/"),
        ("::1", (), "http://[::1]:80/"),
        ("0.0.0.0", ("boxup.lan",), "http://boxup.lan:80/"),
        ("0.0.0.0", (), "http://localhost:80/"),
        ("192.0.2.5", (), "http://192.0.2.5:80/"),
    ],
)
def test_the_address_is_one_a_browser_takes(host: str, names: tuple[str, ...], said: str) -> None:
    assert address_of(host, 80, names) == said
