"""Where the sentences of the program stand: string constants of its modules, its tables, its word files; and the visible text of a page."""

from __future__ import annotations

import ast
import csv
import re
import tomllib
from collections.abc import Iterator
from functools import cache
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import boxup
from boxup.record.kinds import kinds

SOURCE = Path(boxup.__file__).parent
WEB = SOURCE / "web"
HOLE = "\x00"
SILENT = {"cli", "demo", "store", "turnaround"}  # rooms that say nothing on a page of a job
SHARE = 0.4  # of the letters of a row: what a sentence with holes must give of itself to be that row


def trees(folder: Path) -> Iterator[tuple[Path, ast.Module]]:
    """The modules of the rooms the pages speak for."""
    for path in sorted(folder.rglob("*.py")):
        if not SILENT & set(path.relative_to(SOURCE).parts):
            yield path, ast.parse(path.read_text(encoding="utf-8"))


def template(node: ast.expr) -> str | None:
    """A string constant, or an f-string with holes."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return node.value
    if isinstance(node, ast.JoinedStr):
        return "".join(str(part.value) if isinstance(part, ast.Constant) else HOLE for part in node.values)
    return None


@cache
def templates() -> frozenset[str]:
    """Every string of the rooms, their tables and word files, but for this translation; holes where something is put in."""
    found = {text for _, tree in trees(SOURCE) for node in ast.walk(tree) if isinstance(node, ast.expr) and (text := template(node))}
    for path in SOURCE.rglob("*.csv"):
        if path.parent != WEB / "catalogue":
            rows = csv.DictReader(path.read_text("utf-8").splitlines())
            found |= {cell for row in rows for cell in row.values() if isinstance(cell, str)}
    for text in _strings(tomllib.loads((SOURCE / "paper" / "words_en.toml").read_text("utf-8"))):
        found.add(re.sub(r"\{\w+\}", HOLE, text))
    fields = {f.typed_name.replace("_", " ") for kind in kinds().values() for f in kind.fields.values()}
    return frozenset(found | fields | {word for cell in found for word in re.split(r"\||; ", cell)})


def _strings(value: Any) -> Iterator[str]:
    match value:
        case str():
            yield value
        case dict():
            for one in value.values():
                yield from _strings(one)
        case list():
            for one in value:
                yield from _strings(one)


@cache
def whole() -> frozenset[str]:
    """Sentences without a hole, in small letters."""
    return frozenset(_plain(text) for text in templates() if HOLE not in text)


@cache
def runs() -> frozenset[tuple[str, ...]]:
    """Every word, every two and every three that stand together in some sentence, no sign and no hole between them."""
    return frozenset(run for text in templates() for n in (1, 2, 3) for run in _runs(text, n))


def _plain(text: str) -> str:
    return text.strip().rstrip(".:").casefold()


def _runs(text: str, most: int) -> Iterator[tuple[str, ...]]:
    """The words between signs and holes, as many together as that, fewer where a piece has no more."""
    for piece in re.split(rf"[{HOLE}.;:,()=\d/+%]", text.casefold()):
        words = re.findall(r"[^\W\d_]+", piece)
        n = min(most, len(words))
        yield from (tuple(words[at : at + n]) for at in range(len(words) - n + 1) if n)


@cache
def holed() -> tuple[tuple[re.Pattern[str], int], ...]:
    """Sentences with holes, and how many letters they have of their own."""
    found = [text for text in templates() if HOLE in text and re.search(r"[^\W\d_]{3,}", text)]
    return tuple((re.compile(".*".join(map(re.escape, _plain(text).split(HOLE))), re.S), _letters(text)) for text in found)


def _letters(text: str) -> int:
    return sum(sign.isalpha() for sign in text)


def sayable(en: str) -> bool:
    """Whether some room, table or word file can say this row of the trade table: whole, piece by piece, or with its holes filled."""
    text = re.sub(r"\{\w+\}", HOLE, en)
    pieces = list(_runs(text, 3))
    if _plain(text) in whole():
        return True
    if (HOLE in text or len(text.split()) > 1) and all(piece in runs() for piece in pieces):
        return True
    return any(letters >= SHARE * _letters(text) and pattern.fullmatch(_plain(text)) for pattern, letters in holed())


class Visible(HTMLParser):
    """The text pieces of a page that somebody reads or hears; a sentence wrapped in a drawing is one."""

    def __init__(self) -> None:
        super().__init__()
        self.pieces: list[str] = []
        self.dark = 0
        self.wrapped: list[str] | None = None

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.dark += tag in ("style", "script")
        if tag == "g" and ("data-sentence", "yes") in attrs:
            self.wrapped = []
        self.pieces += [value for name, value in attrs if name in ("aria-label", "title", "placeholder", "alt") and value]

    def handle_endtag(self, tag: str) -> None:
        self.dark -= tag in ("style", "script")
        if tag == "g" and self.wrapped is not None:
            self.pieces.append(" ".join(self.wrapped))
            self.wrapped = None

    def handle_data(self, data: str) -> None:
        if (text := " ".join(data.split())) and not self.dark:
            (self.pieces if self.wrapped is None else self.wrapped).append(text)


def pieces(page: str) -> list[str]:
    read = Visible()
    read.feed(page)
    return read.pieces
