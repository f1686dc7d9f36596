"""The exchanger file: one exchanger in one TOML text. Reads it whole and says everything that is wrong with it at once."""

from __future__ import annotations

from pathlib import Path

from boxup.exchanger.assumed import assume
from boxup.exchanger.fits import fits
from boxup.exchanger.flange_sizes import flange_sizes
from boxup.exchanger.lines import line_index, statements
from boxup.exchanger.model import Exchanger
from boxup.exchanger.pairs import apart, pairs
from boxup.exchanger.problem import BadFile, Problem, sorted_problems
from boxup.exchanger.read import Reader
from boxup.exchanger.syntax import control_characters, tables_of

MOST_BYTES = 1_000_000


def load(path: Path | str) -> Exchanger:
    """The exchanger of a file, with what may be assumed filled in and listed. Raises BadFile with every error; warnings do not stop it."""
    name = Path(path).name
    x, problems = read_path(path)
    if x is None:
        raise BadFile(problems, name)
    return x


def read_path(path: Path | str) -> tuple[Exchanger | None, list[Problem]]:
    """As `read`, from a file; a file that cannot be opened or is no text is a problem like any other."""
    text, problems = text_of(Path(path))
    return (None, problems) if text is None else read(text, Path(path).name)


def read(text: str, name: str = "") -> tuple[Exchanger | None, list[Problem]]:
    """The exchanger of a text, or None when there are errors, and every error and warning in line order."""
    x, problems = read_anyway(text, name)
    wrong = x is None or any(p.level == "error" for p in problems)
    return None if wrong or x is None else assume(x), problems


def read_anyway(text: str, name: str = "") -> tuple[Exchanger | None, list[Problem]]:
    """As `read`, with nothing assumed and the exchanger as far as it could be read although there are errors: for who looks for more."""
    if odd := next(control_characters(text), None):
        return None, [Problem(odd[0], "", f"the character {odd[1]}, which no text file has; is this the right file?")]
    found = statements(text)
    tables, problems = tables_of(text, found)
    if tables is None:
        return None, sorted_problems(problems)
    reader = Reader(name, line_index(found))
    x = reader.exchanger(tables)
    problems += reader.problems
    if x is not None:
        problems += [*fits(x), *pairs(x), *flange_sizes(x)]
    else:
        problems += apart(reader.lines, *(reader.items.get(name, ()) for name in ("gaskets", "nozzles", "blinds")))
    return x, sorted_problems(problems)


def text_of(path: Path) -> tuple[str | None, list[Problem]]:
    """The text of a file, or why there is none."""
    try:
        with path.open("rb") as file:
            raw = file.read(MOST_BYTES + 1)
    except FileNotFoundError:
        return _refused(f"there is no file {path}; `boxup new TAG --type AES` writes one to fill in")
    except IsADirectoryError:
        return _refused(f"{path} is a folder; give the .toml file of one exchanger")
    except OSError as bad:
        return _refused(f"{path} cannot be opened: {bad.strerror or bad}")
    if len(raw) > MOST_BYTES:
        return _refused(f"{path.name} is larger than 1 MB; an exchanger file is some ten thousand characters. Is this the right file?")
    if b"\x00" in raw:
        return _refused(f"{path.name} is not a text file; an exchanger file is plain text (TOML), saved as UTF-8")
    try:
        return raw.decode("utf-8-sig"), []
    except UnicodeDecodeError as bad:
        line = raw.count(b"\n", 0, bad.start) + 1
        return None, [Problem(line, "", f"a character that is not UTF-8 (byte {raw[bad.start]:#04x}); save the file as UTF-8 text")]


def _refused(text: str) -> tuple[None, list[Problem]]:
    return None, [Problem(0, "", f"{text}.")]
