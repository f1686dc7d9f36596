"""Who holds the tablet, and how they like to read: name, role, language, light, glove. Kept by the browser, never a proof of who it was."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass, fields
from urllib.parse import quote, unquote

from boxup.web.words import LANGUAGES

COOKIE = "boxup-person"
LIGHTS = ("auto", "day", "night")
MOST = 120  # letters of a name
MOST_COOKIE = 4000  # what a browser keeps; more was not written by us


@dataclass(frozen=True, slots=True)
class Person:
    """light: auto (as the machine has it), day, night. glove: yes or empty."""

    name: str = ""
    role: str = ""
    language: str = "en"
    light: str = "auto"
    glove: str = ""


def read_person(cookie: str) -> Person:
    """From the cookie; what cannot be read is left at its beginning."""
    try:
        raw = json.loads(unquote(cookie[:MOST_COOKIE]))
    except (ValueError, RecursionError):
        return Person()
    if not isinstance(raw, dict):
        return Person()
    return cleaned({f.name: str(raw[f.name]) for f in fields(Person) if f.name in raw})


def cleaned(said: dict[str, str]) -> Person:
    """A person with only what is accepted; letters that are no letters, and words nobody offers, are dropped."""
    text = {key: " ".join("".join(c for c in said.get(key, "") if c.isprintable()).split())[:MOST] for key in ("name", "role")}
    language = said.get("language", "en")
    light = said.get("light", "auto")
    return Person(
        **text,
        language=language if language in LANGUAGES else "en",
        light=light if light in LIGHTS else "auto",
        glove="yes" if said.get("glove") == "yes" else "",
    )


def as_cookie(person: Person) -> str:
    """What the browser keeps."""
    return quote(json.dumps(asdict(person), ensure_ascii=False, separators=(",", ":")), safe="")
