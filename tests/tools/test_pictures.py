"""The photocopier and the contact sheet."""

from __future__ import annotations

from pathlib import Path

import pytest
from PIL import Image, ImageDraw

import pictures


def line(width: int, ink: tuple[int, int, int]) -> Image.Image:
    picture = Image.new("RGB", (60, 60), "white")
    ImageDraw.Draw(picture).rectangle((30, 0, 29 + width, 59), fill=ink)
    return picture


def darkest(picture: Image.Image) -> int:
    return min(picture.convert("L").crop((10, 10, 50, 50)).tobytes())


def test_the_copier_keeps_a_thick_black_line_and_loses_a_pale_thin_one() -> None:
    assert darkest(pictures.photocopy(line(5, (0, 0, 0)))) == 0
    assert darkest(pictures.photocopy(line(1, (170, 170, 170)))) == 255


def test_the_copier_knows_no_colour() -> None:
    copied = pictures.photocopy(line(5, (139, 0, 0)))
    assert all(channel.tobytes() == copied.getchannel(0).tobytes() for channel in copied.split())


@pytest.mark.parametrize(("count", "rows"), [(1, 1), (3, 1), (4, 2)])
def test_a_sheet_holds_every_picture_in_rows(count: int, rows: int, tmp_path: Path) -> None:
    red = Image.new("RGB", (200, 100), (255, 0, 0))
    [path] = pictures.contact_sheets(tmp_path / "sheet.png", [(f"picture {n}", red) for n in range(count)], 3, 100)
    sheet = Image.open(path)
    cell = 50 + pictures.LABEL + pictures.GAP
    assert sheet.size == (3 * (100 + pictures.GAP) + pictures.GAP, rows * cell + pictures.GAP)
    pixels = sheet.tobytes()
    assert sum(pixels[at : at + 3] == b"\xff\x00\x00" for at in range(0, len(pixels), 3)) == count * 100 * 50


def test_a_tall_sheet_is_broken_in_two(tmp_path: Path) -> None:
    page = Image.new("RGB", (100, pictures.TALLEST * 2 // 3), "white")
    paths = list(pictures.contact_sheets(tmp_path / "sheet.png", [("1", page), ("2", page), ("3", page)], 2, 100))
    assert [path.name for path in paths] == ["sheet-1.png", "sheet-2.png"]


def test_the_typeface_is_where_the_page_says() -> None:
    assert pictures.font_file("Regular").exists()
    assert pictures.font_faces().count("@font-face") == 9
