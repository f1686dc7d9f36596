"""The pack as one HTML file: every sheet, well formed, nothing fetched, nothing that text could turn into markup."""

from __future__ import annotations

import base64
import hashlib
import re
import subprocess
import sys
from datetime import date
from functools import cache
from html.parser import HTMLParser
from importlib.resources import files
from itertools import pairwise
from pathlib import Path

import pytest
from tests.demo.conftest import told

from boxup.demo.fleet import FOCUS, files_of_the_demo
from boxup.drawing.svg import Sheet as Drawn
from boxup.exchanger.template import new_file
from boxup.job.fold import fold
from boxup.paper.html import element
from boxup.paper.html.element import VOID, el
from boxup.paper.html.page import KINDS
from boxup.paper.pack import _data, html_pack, material
from boxup.paper.sheet import Drawing

FILES = files_of_the_demo()
TAGS = ("14-E-103", "14-E-104", "14-E-108")
HEAVIEST = 2_000_000  # bytes; what a phone on a weak link still takes from a colleague's, the workings of every flange in it


@cache
def page(tag: str) -> str:
    return html_pack(FILES[tag]).decode()


@cache
def with_record() -> str:
    return html_pack(material(FILES[FOCUS], state=fold(told()))).decode()


class Tree(HTMLParser):
    """Reads a page and keeps what was opened, what is in it, and what was never closed."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.headings: list[tuple[int, str]] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        names = [name for name, _ in attrs]
        assert len(names) == len(set(names)), f"{tag}: an attribute twice"
        self.tags.append((tag, dict(attrs)))
        if re.fullmatch(r"h[1-6]", tag):
            self.headings.append((int(tag[1]), ""))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open, f"{tag} closes nothing"
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if self.headings and self.open and re.fullmatch(r"h[1-6]", self.open[-1]):
            level, said = self.headings[-1]
            self.headings[-1] = (level, said + data)

    def all(self, tag: str) -> list[dict[str, str | None]]:
        return [attributes for name, attributes in self.tags if name == tag]


def sections(text: str) -> dict[str, str]:
    """Each sheet by its title."""
    found = re.findall(r"<section id=\"s\d+\".*?</section>", text, flags=re.DOTALL)
    return {Tree(one).headings[0][1]: one for one in found}


def test_every_kind_of_paper_sheet_has_a_writer() -> None:
    template = (Path(str(files("boxup.paper"))) / "typst" / "pack.typ").read_text("utf-8")
    placed = re.search(r"#let kinds = \((.*?)\)", template, flags=re.DOTALL)
    assert placed
    assert set(re.findall(r'"?([a-z-]+)"?:', placed[1])) == set(KINDS)


@pytest.mark.parametrize("tag", TAGS)
def test_every_sheet_of_the_pack_is_on_the_page_in_its_order(tag: str) -> None:
    sheets = _data(material(FILES[tag]), (), "")["sheets"]
    assert list(sections(page(tag))) == [s["title"] for s in sheets]
    assert [title for level, title in Tree(page(tag)).headings if level == 2][1:] == [s["title"] for s in sheets]


def test_where_it_stands_is_on_the_page_when_a_record_is_kept() -> None:
    stand = sections(with_record())["Where it stands"]
    assert "entries" in stand
    assert stand.count("<svg") >= 2
    assert {s["kind"] for s in _data(material(FILES[FOCUS], state=fold(told())), (), "")["sheets"]} == set(KINDS)


@pytest.mark.parametrize("text", [*(pytest.param(page, id=t) for t in TAGS), pytest.param(with_record, id="record")])
def test_well_formed_and_every_jump_lands(text: object, request: pytest.FixtureRequest) -> None:
    name = request.node.callspec.id
    tree = Tree(with_record() if name == "record" else page(name))
    assert tree.open == []
    ids = [a["id"] for _, a in tree.tags if "id" in a]
    assert len(ids) == len(set(ids)), "an id twice"
    jumps = [a["href"] for a in tree.all("a")]
    assert len(jumps) > 40
    assert {j[1:] for j in jumps if j} <= set(ids)
    assert all(j and j.startswith("#") for j in jumps)
    assert {a["aria-labelledby"] for _, a in tree.tags if "aria-labelledby" in a} <= set(ids)


@pytest.mark.parametrize("tag", TAGS)
def test_headings_go_down_one_at_a_time(tag: str) -> None:
    levels = [level for level, _ in Tree(page(tag)).headings]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(b <= a + 1 for a, b in pairwise(levels))


@pytest.mark.parametrize("tag", TAGS)
def test_nothing_is_fetched_run_or_sent(tag: str) -> None:
    text = page(tag)
    tree = Tree(text)
    said = re.sub(r"sha256-[\w+/=]+", "", text)  # the mark of the style sheet may hold any letters, // among them
    assert re.findall(r"(?i)https?:|//[a-z]|url\(|@import|javascript:", said) == []
    assert {name for name, _ in tree.tags} & {
        "script",
        "img",
        "link",
        "iframe",
        "form",
        "input",
        "textarea",
        "select",
        "button",
        "object",
    } == set()
    assert [a for _, attributes in tree.tags for a in attributes if a.startswith("on") or a in ("src", "style", "action")] == []


@pytest.mark.parametrize("tag", TAGS)
def test_the_policy_allows_this_very_style_sheet_and_nothing_else(tag: str) -> None:
    policy = next(a["content"] for a in Tree(page(tag)).all("meta") if a.get("http-equiv") == "Content-Security-Policy")
    styles = re.findall(r"<style>(.*?)</style>", page(tag), flags=re.DOTALL)
    assert len(styles) == 1
    mark = base64.b64encode(hashlib.sha256(styles[0].encode()).digest()).decode()
    assert policy == f"default-src 'none'; style-src 'sha256-{mark}'; base-uri 'none'; form-action 'none'"


@pytest.mark.parametrize("tag", TAGS)
def test_every_drawing_has_a_name_and_takes_the_colours_of_the_page(tag: str) -> None:
    drawings = re.findall(r"<svg(?! class=\"store\").*?</svg>", page(tag), flags=re.DOTALL)
    assert len(drawings) > 30
    assert [d[:80] for d in drawings if "<title>" not in d] == []
    assert "#000" not in "".join(d for d in drawings)


def test_the_same_file_and_day_give_the_same_bytes_and_the_language_is_said() -> None:
    assert html_pack(FILES["14-E-108"]) == html_pack(FILES["14-E-108"])
    assert Tree(page("14-E-108")).all("html") == [{"lang": "en"}]


@pytest.mark.parametrize("tag", TAGS)
def test_each_sheet_has_its_title_block(tag: str) -> None:
    found = sections(page(tag))
    for n, one in enumerate(found.values(), 1):
        block = re.sub(r"<[^>]+>", " ", one[one.rindex("<footer") :])
        assert f"{n} of {len(found)}" in block
        assert tag in block
        assert re.search(r"\d{4}-\d\d-\d\d [0-9a-f]{10} ", block)


HOSTILE = "<b>\"'&</style><script>x</script>\\75 rl(x);}"


def hostile_file(folder: Path) -> Path:
    """A file in which every free text carries markup: tag, plant, fluid, hazards, names, kinds."""
    text = FILES[FOCUS].read_text("utf-8")
    put = HOSTILE.replace("\\", "\\\\").replace('"', '\\"')
    for key in (
        "tag",
        "plant",
        "job",
        "job_scope",
        "crew_lead",
        "inspector",
        "fluid",
        "hazards",
        "match_mark",
        "lifting_points",
        "lubricant",
        "line",
    ):
        text = re.sub(rf'^(\s*{key} = )"[^"]*"', lambda m: f'{m[1]}"{put}"', text, flags=re.MULTILINE)
    path = folder / "x.toml"
    path.write_text(text, "utf-8")
    return path


def test_markup_in_the_file_comes_out_as_text(tmp_path: Path) -> None:
    text = html_pack(hostile_file(tmp_path)).decode()
    tree = Tree(text)
    assert tree.open == []
    assert "script" not in {name for name, _ in tree.tags}
    body = text[text.index("</head>") :]
    assert body.count("&lt;b&gt;&quot;&#39;&amp;&lt;/style&gt;&lt;script&gt;") > 60
    assert "<b>\"'&" not in text
    assert text.count("<style>") == text.count("</style>") == 1
    style = re.search(r"<style>(.*?)</style>", text, flags=re.DOTALL)
    assert style
    assert "\"'&" not in style[1]
    assert "\\00003c" in style[1], "in the style sheet the tag stands by the numbers of its letters"


def test_an_element_escapes_all_but_elements() -> None:
    assert el("p", "<a> & ", el("b", "<c>"), title='"<') == '<p title="&quot;&lt;">&lt;a&gt; &amp; <b>&lt;c&gt;</b></p>'
    assert el("p", ["a", ["<"]], cls="") == "<p>a&lt;</p>"
    drawn = Drawn(10, 10, "<t>", "&")
    assert element.svg(Drawing(drawn.text())).startswith('<svg role="img"')


def test_nothing_pretends_to_keep_what_is_typed() -> None:
    found = sections(page(FOCUS))
    for title in ("Gasket list", "J4 floating head", "Handover"):
        assert "boxup log" in found[title]
        assert "this page keeps nothing" in found[title]


def test_stop_is_said_with_its_word_and_octagon_where_the_data_says_stop() -> None:
    for tag in TAGS:
        for s, one in zip(_data(material(FILES[tag]), (), "")["sheets"], sections(page(tag)).values(), strict=True):
            stops = sum(f["level"] == "stop" for f in s.get("findings", ())) + len(s.get("gates", ()))
            stops += sum(f["level"] == "stop" for w in s.get("workings", ()) for f in w["findings"])
            assert one.count('class="octagon"') == one.count('class="stop"') == stops, (tag, s["title"])


def test_letters_that_are_not_drawn_and_a_fresh_file_give_a_page_too(tmp_path: Path) -> None:
    for letters in ("BEW", "AKT", "AEU"):
        path = tmp_path / f"{letters}.toml"
        path.write_text(new_file("X-1", letters), "utf-8")
        tree = Tree(html_pack(path).decode())
        assert tree.open == []
        assert len(tree.all("section")) > 10


def test_sheets_by_name_and_unknown_ones_refused() -> None:
    only = html_pack(FILES[FOCUS], sheets=["tests"]).decode()
    assert list(sections(only))[:3] == ["Job pack", "Read first", "Ring test: shell full, tube ends bare"]
    assert 'class="mark" href' not in only, "no way to workings that are not there"
    with pytest.raises(ValueError, match="accepted: stand, gaskets"):
        html_pack(FILES[FOCUS], sheets=["gasket"])


@pytest.mark.parametrize("tag", sorted(FILES))
def test_every_page_of_the_fleet_is_well_formed_and_light_enough_to_be_handed_on(tag: str) -> None:
    assert Tree(page(tag)).open == []
    assert 100_000 < len(page(tag).encode()) < HEAVIEST


def test_the_command_writes_the_same_page(tmp_path: Path) -> None:
    out = tmp_path / "x.html"
    command = [sys.executable, "-m", "boxup", "pack", str(FILES[FOCUS]), "-o", str(out), "--date", "2027-04-12"]
    subprocess.run(command, check=True, capture_output=True)
    assert out.read_bytes() == html_pack(FILES[FOCUS], issued=date(2027, 4, 12))
