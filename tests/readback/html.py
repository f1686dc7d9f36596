"""From the text of a finished HTML page to the lines a reader sees: what a browser sets on a line of its own is a line here."""

from __future__ import annotations

import re
from html.parser import HTMLParser

BLOCKS = frozenset(("p", "div", "li", "ul", "ol", "h1", "h2", "h3", "h4", "td", "th", "tr", "dt", "dd", "dl", "summary", "details",
                    "section", "footer", "header", "nav", "table", "figure", "br"))  # fmt: skip
UNREAD = frozenset(("svg", "style", "title"))


class _Lines(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.lines = [""]
        self.skipped = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.skipped += tag in UNREAD
        if tag in BLOCKS:
            self.lines.append("")

    def handle_endtag(self, tag: str) -> None:
        self.skipped -= tag in UNREAD
        if tag in BLOCKS:
            self.lines.append("")

    def handle_data(self, data: str) -> None:
        if not self.skipped:
            self.lines[-1] += data


def lines(text: str) -> list[str]:
    """The lines of a page or a part of one, without drawings."""
    reader = _Lines()
    reader.feed(text)
    reader.close()
    return [line for one in reader.lines if (line := re.sub(r"[ \n]+", " ", one).strip())]


def sheet(page: str, title: str) -> str:
    """The part of a page that is the sheet of that title. Raises ValueError when there is not exactly one."""
    found = [s for s in re.findall(r'<section id="s\d+".*?</section>', page, flags=re.DOTALL) if lines(s)[1] == title]
    if len(found) != 1:
        raise ValueError(f"{len(found)} sheets are called {title}")
    return found[0]
