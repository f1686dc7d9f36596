"""What is signed or counted stands on the page of what it closes."""

from __future__ import annotations

import re
from datetime import date
from functools import cache

import pypdfium2
import pytest

from boxup.demo.fleet import files_of_the_demo
from boxup.paper.pack import pack
from boxup.paper.words import words

TAGS = ("14-E-101", "14-E-103", "14-E-104", "14-E-112", "22-E-201A", "31-E-301", "31-E-303", "31-E-305")
ROLES = sorted(words("en")["roles"].values(), key=len, reverse=True)
LEAST = 60  # characters: less is a line or a heading that stands alone


@cache
def gone_on(tag: str) -> tuple[str, ...]:
    """What stands on each page that goes on with a sheet, less the title block and the boxes to sign in."""
    found = []
    for page in pypdfium2.PdfDocument(pack(files_of_the_demo()[tag], issued=date(2027, 4, 12))):
        text = page.get_textpage().get_text_range()
        if "goes on" in text[:200]:
            body = text.split("goes on", 1)[1].split("\r\nplant\r\n")[0]
            for role in (*ROLES, words("en")["sign_line"]):
                body = body.replace(role, "")
            found.append(re.sub(r"\s+", " ", body).replace(words("en")["way_sheet"]["decides"], "").strip())
    return tuple(found)


@pytest.mark.parametrize("tag", TAGS)
def test_no_page_goes_on_with_nothing_but_signatures_a_count_or_one_line(tag: str) -> None:
    assert [body for body in gone_on(tag) if len(body) < LEAST] == []


@pytest.mark.parametrize("tag", TAGS)
def test_a_count_stands_under_rows_of_its_list(tag: str) -> None:
    for body in gone_on(tag):
        if "must be:" in body:
            before = body.split("counted")[0]
            assert re.search(r"\b[A-Z]{1,3}\d", before), (tag, body)


@pytest.mark.practice
@pytest.mark.parametrize("sheets", ["joints", "certificates"])
def test_a_card_and_a_certificate_are_one_page_with_their_names(sheets: str) -> None:
    """What is filled in at the exchanger is one sheet of paper: its heading and the boxes to sign on the same side."""
    opens, roles = {"joints": ("Final torque", ("fitter", "crew lead")), "certificates": ("DRAFT.", ("test lead", "inspector"))}[sheets]
    pages = [page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(
        pack(files_of_the_demo()["14-E-103"], sheets=[sheets], issued=date(2027, 4, 12)))]  # fmt: skip
    cards = [text for text in pages if opens in text]
    assert len(cards) == {"joints": 4, "certificates": 3}[sheets]
    assert all(role in text for text in cards for role in roles)
