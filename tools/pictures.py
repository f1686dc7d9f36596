"""Contact sheets of what a person will look at, so that a person looks at it.

    python3 run.py pictures [WORD ...]     WORD: only exchangers whose file name holds it; only `drawings`, `packs` or `pages`

Into build/pictures: every drawing of every demo exchanger in a wide window, at 360 px, dark, and photocopied; every page of every pack on
A4 and on Letter, and photocopied; every page the server has, wide, at 360 px, at night, for a glove and printed. The sheets stand in that
folder; the single pictures, full size, in its folder `single`.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from importlib import import_module
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING

import pypdfium2
from click.testing import CliRunner
from PIL import Image, ImageDraw, ImageFilter, ImageFont

import browser
import page_pictures
from boxup.cli.main import cli
from boxup.demo.fleet import FOCUS
from boxup.exchanger.file import load

if TYPE_CHECKING:
    from playwright.sync_api import Browser

Row = list[tuple[str, Image.Image]]  # pictures side by side, each with its name

ROOT = Path(__file__).resolve().parents[1]
OUT = ROOT / "build" / "pictures"
PAPERS = ("A4", "Letter")
KINDS = ("drawings", "packs", "pages")
DPI = 120
TALLEST = 2000  # px; a taller contact sheet would be shrunk on the screen until nothing on it can be read
GAP, LABEL = 16, 32  # px round a picture on its contact sheet; height of the line that names it

# The page that will hold the drawing, less everything else: its typeface, its ground, its width.
PAGE = """<!doctype html><meta charset="utf-8"><meta name="color-scheme" content="light dark"><style>
{faces}
body {{ margin: 0; background: Canvas; color: CanvasText; font-family: "Source Sans Pro", sans-serif }}
svg {{ display: block; width: 100%; height: auto }}
</style>{svg}"""


@dataclass(frozen=True)
class Look:
    """One way of looking at a drawing, and how many such pictures stand side by side on a contact sheet."""

    name: str
    width: int
    columns: int
    dark: bool = False
    copied: bool = False


LOOKS = (
    Look("wide", 1200, 2),
    Look("360px", 360, 4),
    Look("dark", 1200, 2, dark=True),
    Look("photocopied", 1200, 2, copied=True),
)


def main(words: list[str]) -> None:
    """Make the sheets and print where each one is."""
    kinds = [word for word in words if word in KINDS] or list(KINDS)
    wanted = [word for word in words if word not in KINDS]
    exchangers = [file for file in exchanger_files() if not wanted or any(word in file.stem for word in wanted)]
    if not exchangers:
        sought = f"named like {' or '.join(wanted)} " if wanted else ""
        sys.exit(f"No exchanger file {sought}stands in the package's folder demo; there is nothing to picture.")
    if not words:
        shutil.rmtree(OUT, ignore_errors=True)  # no picture of an earlier state among the new ones
    (OUT / "single").mkdir(parents=True, exist_ok=True)
    if "drawings" in kinds:
        with browser.chromium() as running:
            for file in exchangers:
                say(picture_drawings(running, file))
    if "packs" in kinds:
        picture_packs(exchangers)
    if "pages" in kinds and (focus := [file for file in exchangers if file.stem == FOCUS]):
        with browser.chromium() as running:
            say(picture_pages(running, focus[0]))


def picture_packs(exchangers: list[Path]) -> None:
    """Every pack on every paper, and that of the main job after six days."""
    for file in exchangers:
        for paper in PAPERS:
            say(picture_pack(file, paper))
    for file in exchangers:
        if file.stem == FOCUS:
            say(picture_pack(file, PAPERS[0], six_days(file)))


def picture_pages(running: Browser, file: Path) -> Iterator[Path]:
    """Contact sheets of the pages of the main job of the demo, for each look."""
    for look, tiles in page_pictures.pictures(running, load(file).identity.job, OUT / "single"):
        yield from contact_sheets(OUT / f"pages-{look.name}.png", tiles, look.columns, min(look.width, 1600 // look.columns))


def exchanger_files() -> list[Path]:
    """The demo exchangers inside the package."""
    return sorted(Path(str(files("boxup"))).joinpath("demo").rglob("*.toml"))


def say(sheets: Iterator[Path]) -> None:
    """Print each sheet's place as soon as it is made."""
    for sheet in sheets:
        print(sheet.relative_to(ROOT), flush=True)


def picture_drawings(running: Browser, file: Path) -> Iterator[Path]:
    """Contact sheets for each look at the drawings of one exchanger."""
    try:
        drawings = import_module("boxup.drawing.gallery").drawings
    except ModuleNotFoundError as missing:
        sys.exit(f"The drawings cannot be pictured: {missing}. boxup.drawing.gallery.drawings(file) must give pairs of a name and an SVG.")
    made: list[tuple[str, str]] = list(drawings(file))
    for look in LOOKS:
        tiles = [(f"{file.stem}: {name}", shot(running, f"{file.stem}-{name}", svg, look)) for name, svg in made]
        yield from contact_sheets(OUT / f"{file.stem}-drawings-{look.name}.png", tiles, look.columns, max(look.width // look.columns, 360))


def shot(running: Browser, name: str, svg: str, look: Look) -> Image.Image:
    """A drawing as this look shows it; kept full size as well."""
    page = OUT / "single" / f"{name}.html"
    page.write_text(PAGE.format(faces=font_faces(), svg=svg), "utf-8")
    picture_path = page.with_name(f"{name}-{look.name}.png")
    browser.shoot(running, page, picture_path, look.width, 100, dark=look.dark, whole=True)
    page.unlink()
    picture = Image.open(picture_path).convert("RGB")
    if look.copied:
        picture = photocopy(picture)
        picture.save(picture_path)
    return picture


def six_days(file: Path) -> tuple[str, ...]:
    """The words that make the pack of the invented job after six days, with the sheet of where it stands alone."""
    record = OUT / f"{file.stem}-six-days.db"
    CliRunner().invoke(cli, ["replay", "--day", "6", "--db", str(record)], catch_exceptions=False)
    return "--sheets", "stand", "--db", str(record)


def picture_pack(file: Path, paper: str, more: tuple[str, ...] = ()) -> Iterator[Path]:
    """Contact sheets of one exchanger's pack on one paper: as printed, and as copied."""
    pdf = OUT / f"{file.stem}-{paper}{'-stands' if more else ''}.pdf"
    boxup = shutil.which("boxup", path=str(Path(sys.executable).parent))
    if boxup is None:
        sys.exit("The command boxup is not in this environment; start this through run.py.")
    done = subprocess.run([boxup, "pack", str(file), "-o", str(pdf), "--paper", paper, *more], capture_output=True, text=True, check=False)
    if done.returncode or not pdf.exists():
        sys.exit(f"boxup pack {file.name} --paper {paper} made no PDF (exit {done.returncode}):\n{done.stdout}{done.stderr}")
    pages = pdf_pages(pdf)
    for kind, pictures in (("printed", pages), ("photocopied", [photocopy(page) for page in pages])):
        for number, picture in enumerate(pictures, 1):
            picture.save(OUT / "single" / f"{pdf.stem}-{number}-{kind}.png")
        tiles = [(f"{pdf.stem}, page {number} of {len(pages)}", picture) for number, picture in enumerate(pictures, 1)]
        yield from contact_sheets(OUT / f"{pdf.stem}-pages-{kind}.png", tiles, 3, 640)


def pdf_pages(pdf: Path) -> list[Image.Image]:
    """Every page as a picture at `DPI`."""
    with pypdfium2.PdfDocument(pdf) as document:
        return [document[index].render(scale=DPI / 72).to_pil().convert("RGB") for index in range(len(document))]


def photocopy(picture: Image.Image) -> Image.Image:
    """What a tired office copier makes of it: no colour, edges run, then every grey is forced towards black or white."""
    grey = picture.convert("L").filter(ImageFilter.GaussianBlur(1.1))
    steep = [max(0, min(255, round((value - 150) * 4 + 128))) for value in range(256)]
    return grey.point(steep).convert("RGB")


def contact_sheets(path: Path, tiles: Row, columns: int, width: int) -> Iterator[Path]:
    """Pictures in rows, each scaled to `width` px, with its name above it; a second sheet is begun where one would be too tall."""
    small = [(label, picture.resize((width, max(1, picture.height * width // picture.width)))) for label, picture in tiles]
    sheets: list[list[tuple[int, Row]]] = []
    for start in range(0, len(small), columns):
        row = small[start : start + columns]
        height = max(picture.height for _, picture in row) + LABEL + GAP
        if not sheets or sum(tall for tall, _ in sheets[-1]) + height > TALLEST:
            sheets.append([])
        sheets[-1].append((height, row))
    for number, rows in enumerate(sheets, 1):
        sheet_path = path if len(sheets) == 1 else path.with_stem(f"{path.stem}-{number}")
        lay_out(rows, columns, width).save(sheet_path)
        yield sheet_path


def lay_out(rows: list[tuple[int, Row]], columns: int, width: int) -> Image.Image:
    """One sheet of rows, each given with its height."""
    font = ImageFont.truetype(str(font_file("Regular")), 22)
    sheet = Image.new("RGB", (columns * (width + GAP) + GAP, sum(height for height, _ in rows) + GAP), (200, 200, 200))
    pen = ImageDraw.Draw(sheet)
    y = GAP
    for height, row in rows:
        for column, (label, picture) in enumerate(row):
            x = GAP + column * (width + GAP)
            pen.text((x, y), label, fill=(0, 0, 0), font=font)
            sheet.paste(picture, (x, y + LABEL))
        y += height
    return sheet


def font_file(cut: str) -> Path:
    """One cut of the project's typeface, as installed."""
    return Path(str(files("font_source_sans_pro"))) / "files" / f"SourceSansPro-{cut}.ttf"


def font_faces() -> str:
    """The typeface under each of the names a drawing may call it by."""
    return "\n".join(
        f'@font-face {{ font-family: "{family}"; font-weight: {weight}; src: url("{font_file(cut).as_uri()}") }}'
        for family in ("Source Sans", "Source Sans Pro", "Source Sans 3")
        for cut, weight in (("Regular", 400), ("Semibold", 600), ("Bold", 700))
    )


if __name__ == "__main__":
    main(sys.argv[1:])
