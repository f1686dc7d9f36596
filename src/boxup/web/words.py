"""Every sentence of the pages, from one catalogue a language; and what the rooms below say, in that language where it is known."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from functools import cache, lru_cache
from html import unescape
from importlib.resources import files
from string import Formatter

from boxup.drawing.svg import safe
from boxup.paper.html.element import Inside, Markup, joined
from boxup.web.dates import day_and_hour, short_day, whole_day
from boxup.web.trade import in_language

LANGUAGES = {"en": "English", "es": "Español"}
Table = dict[str, str]
KEPT = 4096  # sentences of the rooms below kept in a language; the oldest goes for a new one
LONGEST = 2000  # signs; what is longer was typed by somebody, or is a file


@dataclass(frozen=True, slots=True)
class Words:
    """The catalogue of one language. Called with a key and its values it gives the sentence."""

    language: str

    def __call__(self, key: str, /, **values: object) -> str:
        """`section.name` with its values put in, in English where this language has not got it. KeyError for a key in neither."""
        return _spoken(self.language)[key].format(**values)

    def told(self, text: str) -> str:
        """A sentence of a room below in this language; as it is where nobody has put it into this language yet."""
        return text if self.language == "en" or not text or len(text) > LONGEST else _told(self.language, text)

    def at(self, moment: datetime) -> str:
        """`13 Apr 14:02`."""
        return day_and_hour(self.language, moment)

    def day(self, day: date, *, whole: bool = False) -> str:
        """`13 Apr`; whole, `Monday 13 April 2026`."""
        return whole_day(self.language, day) if whole else short_day(self.language, day)

    def markup(self, *inside: Inside) -> Markup:
        """A drawing or a part of a sheet of paper, put together in English below: its words in this language, its tags as they are.

        Not for what people typed: that is shown as they typed it.
        """
        whole = joined(*inside)
        return whole if self.language == "en" else Markup("".join(self._pieces(whole)))

    def _pieces(self, whole: str) -> Iterable[str]:
        for tag, text in _TAGS.findall(whole):
            yield _NAMED.sub(lambda m: f'{m[1]}"{safe(self.told(unescape(m[2])))}"', tag) if tag else self._text(text)

    def _text(self, text: str) -> str:
        inside = text.strip()
        return text.replace(inside, safe(self.told(unescape(inside))), 1) if inside else text


_TAGS = re.compile(r"(<[^>]*>)|([^<]+)")
_NAMED = re.compile(r'((?:aria-label|data-h|title|alt)=)"([^"]*)"')  # attributes that are read by people


@lru_cache(maxsize=KEPT)
def _told(language: str, text: str) -> str:
    return in_language(language, text)


@cache
def _spoken(language: str) -> Table:
    """The catalogue to speak from. A sentence that is not there yet, or asks for other values than the English one, is said in English."""
    english, own = catalogue("en"), catalogue(language)
    return {key: own[key] if key in own and gaps(own[key]) == gaps(text) else text for key, text in english.items()}


@cache
def catalogue(language: str) -> Table:
    """The sentences of one language as its file has them, `section.name` to words."""
    raw = tomllib.loads((files("boxup.web") / "catalogue" / f"{language}.toml").read_text("utf-8"))
    return {f"{section}.{key}": text for section, words in raw.items() for key, text in words.items()}


def gaps(sentence: str) -> frozenset[str]:
    """The names of the values a sentence asks for."""
    return frozenset(name for _, name, _, _ in Formatter().parse(sentence) if name)
