"""Every sentence of the pages, from one catalogue a language; and what the rooms below say, in that language where it is known."""

from __future__ import annotations

import csv
import re
import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

LANGUAGES = {"en": "English", "es": "Español"}
Table = dict[str, str]


@dataclass(frozen=True, slots=True)
class Words:
    """The catalogue of one language. Called with a key and its values it gives the sentence."""

    language: str

    def __call__(self, key: str, /, **values: object) -> str:
        """`section.name` with its values put in. KeyError for a key that is not in the catalogue."""
        return _catalogue(self.language)[key].format(**values)

    def told(self, text: str) -> str:
        """A sentence of a room below in this language; as it is where nobody has put it into this language yet."""
        return text if self.language == "en" or not text else _in_language(self.language, text)


@cache
def _catalogue(language: str) -> Table:
    raw = tomllib.loads((files("boxup.web") / "catalogue" / f"{language}.toml").read_text("utf-8"))
    return {f"{section}.{key}": text for section, words in raw.items() for key, text in words.items()}


@cache
def keys(language: str) -> frozenset[str]:
    """Every key of a catalogue."""
    return frozenset(_catalogue(language))


@cache
def _rows(language: str) -> tuple[Table, tuple[tuple[re.Pattern[str], str], ...]]:
    """Whole sentences, and sentences with gaps: `{1}` in the English one stands for whatever is there, put where `{1}` stands in the other."""
    text = (files("boxup.web") / "catalogue" / f"trade_{language}.csv").read_text("utf-8")
    rows = [(row["en"], row["said"]) for row in csv.DictReader(text.splitlines())]
    whole = {en: said for en, said in rows if "{1}" not in en}
    return whole, tuple((_pattern(en), said) for en, said in rows if "{1}" in en)


def _pattern(sentence: str) -> re.Pattern[str]:
    parts = re.split(r"\{(\d)\}", sentence)
    return re.compile("".join(f"(?P<g{part}>.+?)" if n % 2 else re.escape(part) for n, part in enumerate(parts)), re.S)


@cache
def _in_language(language: str, text: str) -> str:
    whole, gaps = _rows(language)
    if text in whole:
        return whole[text]
    for pattern, said in gaps:
        if match := pattern.fullmatch(text):
            return re.sub(r"\{(\d)\}", lambda g: _in_language(language, match[f"g{g[1]}"]), said)
    return text
