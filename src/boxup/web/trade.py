"""What the rooms below say, put into another language by a table: whole sentences, sentences with gaps, and sentences joined together.

In the table `{1}` stands for whatever is there and is put, translated in its turn, where `{1}` stands in the other language.
What is not in the table stays as it is: a code, a number, a name, a note that somebody typed.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from boxup.web.dates import told_day

_GAP = re.compile(r"\{(\d)\}")
# STEP, STEP:item, J4, a number, a tag, a name with its initials, a number with its unit: the same in every language
_CODE = re.compile(
    r"[A-Z0-9][A-Z0-9_]*(?::\S+)?|[\d.,:/%+\u202f-]+|[A-Z0-9]+(?:-[A-Z0-9]+)+|[A-Z]+\d*-\S+|\w+(?: \+ \w+)+"
    r"|[A-Z]\. [A-Z]\S*(?: [A-Z]\S*)*|[\d.]+ (?:bar|MPa|kN|N·m|N\.m|mm|m|kg|h|min|°C)(?: \([\d. ]+ [a-z·]+\))?"
)
_WORD = re.compile(r"[^\W\d_]{3,}")
_JOINED = (". ", "; ", ", ")  # how the rooms put sentences together
FEW = 3  # words: a sentence with fewer counts only where its gaps are known themselves, lest two languages get mixed in one
MOST = 4  # parts of one sentence of the table that has such a sign in itself
DEEPEST = 8  # sentences within sentences
MOST_TRIED = 1500  # pieces of one text that are looked up; what somebody typed may fit everything


@dataclass(frozen=True, slots=True)
class Gapped:
    """A sentence with gaps. `parts`: what stands before, between and behind them; `gaps`: their numbers in that order."""

    parts: tuple[str, ...]
    gaps: tuple[str, ...]
    said: str

    @property
    def anchor(self) -> str:
        """Its longest fixed piece: where that is not in a text, the rest need not be looked at."""
        return max(self.parts, key=len)

    @property
    def loose(self) -> bool:
        """Hardly a word in it, such as `{1}: {2}` or `in {1}`. One that says first what it is about, `undone: {1}`, stands by itself."""
        words = sum(len(_WORD.findall(part)) for part in self.parts)
        return words < FEW and not (words and any(": " in part or part.startswith(":") for part in self.parts))

    def match(self, text: str) -> dict[str, str] | None:
        """What stands in each gap, each as short as can be; None where the sentence is another."""
        first, *rest = self.parts
        if not text.startswith(first) or not text.endswith(rest[-1]):
            return None
        found, at = {}, len(first)
        for gap, part in zip(self.gaps, rest, strict=True):
            last = gap == self.gaps[-1]
            end = len(text) - len(part) if last else text.find(part, at + 1)
            if end <= at:
                return None
            found[gap], at = text[at:end], end + len(part)
        return found


@dataclass(frozen=True, slots=True)
class Trade:
    """The table of one language. `opens`: sentences with gaps, by first word; `loose`: those that begin with a gap. The fullest first."""

    whole: dict[str, str]
    opens: dict[str, tuple[Gapped, ...]]
    loose: tuple[tuple[str, Gapped], ...]

    def fitting(self, text: str) -> Iterator[Gapped]:
        """Sentences with gaps that this text may be."""
        yield from self.opens.get(_first_word(text), ())
        yield from (one for anchor, one in self.loose if anchor in text)


def in_language(language: str, text: str) -> str:
    """A sentence in that language, as far as it is known: whole, else piece by piece; unknown pieces stay as they are."""
    saying = _Saying(language)
    said = saying.known(text)
    return saying.pieces(text) if said is None else said


@cache
def trade_of(language: str) -> Trade:
    """The table `trade_<language>.csv`, read once."""
    rows = table_of(language)
    gapped = sorted((_gapped(en, said) for en, said in rows if _GAP.search(en)), key=lambda g: -sum(map(len, g.parts)))
    opens: dict[str, tuple[Gapped, ...]] = {}
    for one in gapped:
        if " " in one.parts[0]:
            word = _first_word(one.parts[0])
            opens[word] = (*opens.get(word, ()), one)
    loose = tuple((one.anchor, one) for one in gapped if " " not in one.parts[0])
    return Trade({en: said for en, said in rows if not _GAP.search(en)}, opens, loose)


def table_of(language: str) -> list[tuple[str, str]]:
    """Its rows: English, and what is said."""
    text = (files("boxup.web") / "catalogue" / f"trade_{language}.csv").read_text("utf-8")
    return [(row["en"], row["said"]) for row in csv.DictReader(text.splitlines())]


def _gapped(sentence: str, said: str) -> Gapped:
    pieces = _GAP.split(sentence)
    return Gapped(tuple(pieces[::2]), tuple(pieces[1::2]), said)


def _first_word(text: str) -> str:
    return text.partition(" ")[0]


class _Saying:
    """One text on its way into the other language; what was tried once is not tried again."""

    def __init__(self, language: str) -> None:
        self.language, self.trade = language, trade_of(language)
        self.tried: dict[tuple[str, tuple[str, ...]], str | None] = {}
        self.depth = 0

    def known(self, text: str, signs: tuple[str, ...] = _JOINED) -> str | None:
        """The text, where all of it that is fixed is in the table; a code as it is; None where it is neither."""
        key = text, signs
        if key not in self.tried:
            if self.depth == DEEPEST or len(self.tried) >= MOST_TRIED:
                return None
            self.tried[key] = None  # a sentence is no part of itself
            self.depth += 1
            self.tried[key] = self._found(text, signs)
            self.depth -= 1
        return self.tried[key]

    def _found(self, text: str, signs: tuple[str, ...]) -> str | None:
        if (said := self._whole(text)) is not None:
            return said
        if _CODE.fullmatch(text):
            return text
        if (said := told_day(self.language, text)) is not None:
            return said
        if signs and (said := self._joined(text, *signs)) is not None:
            return said
        fitting = ((one, one.match(text)) for one in self.trade.fitting(text))
        filled = (self._filled(one, inside) for one, inside in fitting if inside is not None)
        return next((said for said in filled if said is not None), None)

    def _whole(self, text: str) -> str | None:
        """As it stands, or with a capital the table has not, or with a full stop or a colon."""
        whole = self.trade.whole
        if text in whole:
            return whole[text]
        if (said := whole.get(text[:1].lower() + text[1:])) is not None:
            return said[:1].upper() + said[1:]
        inside, end = text[:-1], text[-1:]
        said = self._whole(inside) if end and end in ".:" else None
        return None if said is None else f"{said}{end}"

    def _filled(self, one: Gapped, inside: dict[str, str]) -> str | None:
        """The gaps translated in their turn. A loose one must have known gaps; in another one a name or a note may stand."""
        said = {gap: self.known(text) for gap, text in inside.items()}
        if one.loose and None in said.values():
            return None
        return _GAP.sub(lambda g: said[g[1]] or self.pieces(inside[g[1]]), one.said)

    def _joined(self, text: str, sign: str, *signs: str) -> str | None:
        """Several sentences or words joined, every one of them known."""
        parts = text.split(sign)
        if len(parts) > 1:
            said = [one for one, _ in self._runs(parts, sign, signs)]
            if None not in said:
                return sign.join(one for one in said if one is not None)
        return self._joined(text, *signs) if signs else None

    def pieces(self, text: str, signs: tuple[str, ...] = _JOINED[:2]) -> str:
        """Joined sentences of which only some are known; the others stay as they are."""
        if not signs:
            return text
        sign, *rest = signs
        runs = self._runs(text.split(sign), sign, _JOINED[_JOINED.index(sign) + 1 :])
        return sign.join(said if said is not None else self.pieces(part, tuple(rest)) for said, part in runs)

    def _runs(self, parts: list[str], sign: str, signs: tuple[str, ...]) -> Iterator[tuple[str | None, str]]:
        """Each known sentence with its English; one that has the sign in itself is several parts, the fewest that make it."""
        at = 0
        while at < len(parts):
            ends = [n for n in range(at + 1, min(len(parts), at + MOST) + 1) if n - at < len(parts)]
            runs = ((end, sign.join(parts[at:end])) for end in ends)
            end, said = next(((end, said) for end, run in runs if (said := self.known(run, signs)) is not None), (at + 1, None))
            yield said, sign.join(parts[at:end])
            at = end
