"""The house has storeys, and an import only goes downstairs."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

SRC = Path(__file__).parents[2] / "src" / "boxup"

# Bottom first. A room may import from every row below its own, and nothing from its own row: the six trade rooms do not know each other.
LADDER: list[set[str]] = [
    {"core"},
    {"record", "reference"},
    {"exchanger"},
    {"joint", "hydro", "bundle", "lift", "repair", "isolation"},
    {"job"},
    {"turnaround"},
    {"drawing"},
    {"paper"},
    {"web"},
    {"demo"},
    {"cli"},
    {"__main__"},
]
# Stands beside the ladder: the record on disk. It sees these, and only those see it; what the rooms need of it is passed in.
STORE_SEES = {"core", "record"}
STORE_SEEN_BY = {"web", "demo", "cli"}

# Rooms whose sums are plain sums: a person's question is answered before a large library has been read from disk.
STANDARD_LIBRARY_ONLY = {"core", "record", "reference", "exchanger", "joint", "hydro", "bundle", "lift", "repair", "isolation", "job"}
# Where a sum may reach further, and why.
BESIDE_THE_STANDARD_LIBRARY = {
    "core/formula.py: numpy",  # the same printed line is run over an array when it is handed one; a plain sum never reads numpy
    "hydro/hold.py: numpy",  # a log of thousands of readings is judged over arrays; read when one is
    "hydro/hold_estimate.py: numpy",
    "hydro/hold_log.py: numpy",
    "hydro/hold_steady.py: numpy",
    "hydro/trapped_air.py: numpy",
}
# What the command line may not have read from disk before it is asked for something that needs it.
HEAVY = {
    "numpy", "scipy", "typst", "segno", "CoolProp", "PIL", "sqlalchemy", "starlette", "uvicorn",
    "python_multipart", "jinja2", "ortools", "xlsxwriter", "python_calamine",
}  # fmt: skip

# The walk must see at least this many imports between rooms: a guard that sees nothing passes everything. Raise it as the house grows.
FEWEST_EDGES = 400

Edge = tuple[str, str, str]  # file, the room it is in, the room it imports


def allowed(room: str) -> set[str]:
    """The rooms that `room` may import from."""
    if room == "store":
        return STORE_SEES
    if room == "boxup":
        return set()
    row = next(number for number, rooms in enumerate(LADDER) if room in rooms)
    return set().union(*LADDER[:row]) | ({"store"} if room in STORE_SEEN_BY else set())


def room_of(path: Path) -> str:
    """The first name under boxup: a folder, or a module that stands alone; the package's own __init__ is called boxup."""
    first = path.relative_to(SRC).parts[0].removesuffix(".py")
    return "boxup" if first == "__init__" else first


def imported(tree: ast.AST, package: list[str]) -> Iterator[str]:
    """Every module named by an import anywhere in `tree`, dotted and whole; `package` is where the file stands."""
    for node in ast.walk(tree):
        match node:
            case ast.Import():
                yield from (alias.name for alias in node.names)
            case ast.ImportFrom():
                above = package[: len(package) - node.level + 1] if node.level else []
                base = ".".join(above + ([node.module] if node.module else []))
                yield from (f"{base}.{alias.name}" for alias in node.names)
            case ast.Call(func=ast.Attribute(attr="import_module"), args=[ast.Constant(value=str(name)), *_]):
                yield name


def files() -> list[Path]:
    return sorted(SRC.rglob("*.py"))


def names_in(path: Path) -> list[str]:
    package = ["boxup", *path.relative_to(SRC).parent.parts]
    return list(imported(ast.parse(path.read_text("utf-8")), package))


def edges() -> list[Edge]:
    found: list[Edge] = []
    for path in files():
        room = room_of(path)
        rooms = {name.split(".")[1] for name in names_in(path) if name.startswith("boxup.")}
        found += [(path.relative_to(SRC).as_posix(), room, other) for other in sorted(rooms) if other != room and is_room(other)]
    return found


def is_room(name: str) -> bool:
    """`from boxup import thing` may name a room or a value of the package itself."""
    return (SRC / name).is_dir() or (SRC / f"{name}.py").exists()


def forbidden(found: list[Edge]) -> list[str]:
    return [f"{file}: {room} must not import {other}" for file, room, other in found if other not in allowed(room)]


def test_imports_run_downward() -> None:
    assert forbidden(edges()) == []


def test_every_folder_has_its_place() -> None:
    known = set().union(*LADDER) | {"store", "boxup"}
    assert {room_of(path) for path in files()} <= known, "a new room needs a row in LADDER"


def test_the_walk_sees_enough() -> None:
    assert len(edges()) >= FEWEST_EDGES


@pytest.mark.parametrize(
    "edge", ["joint hydro", "core reference", "record reference", "exchanger job", "drawing paper", "job store", "store job", "boxup core"]
)
def test_the_guard_refuses(edge: str) -> None:
    room, other = edge.split()
    assert forbidden([("made_up.py", room, other)]) == [f"made_up.py: {room} must not import {other}"]


@pytest.mark.parametrize(
    "line",
    [
        "import boxup.hydro.plan",
        "from boxup.hydro import plan",
        "from boxup import hydro",
        "from ..hydro import plan",
        "from .. import hydro",
        "def late():\n    from boxup.hydro.plan import test_plan",
        "import importlib\nimportlib.import_module('boxup.hydro.plan')",
    ],
)
def test_the_walk_sees_every_form_of_import(line: str) -> None:
    rooms = [name.split(".")[1] for name in imported(ast.parse(line), ["boxup", "joint"]) if name.startswith("boxup.")]
    assert rooms == ["hydro"]


def test_sums_need_the_standard_library_only() -> None:
    outside = {
        f"{path.relative_to(SRC).as_posix()}: {name}"
        for path in files()
        if room_of(path) in STANDARD_LIBRARY_ONLY
        for name in names_in(path)
        if name.split(".")[0] not in sys.stdlib_module_names | {"boxup"}
    }
    assert outside <= BESIDE_THE_STANDARD_LIBRARY


def test_the_command_line_starts_light() -> None:
    """Whole process: what is in memory once the command line has been imported, before it was asked anything."""
    code = "import sys, boxup.cli; print(*sorted({name.split('.')[0] for name in sys.modules}))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert set(done.stdout.split()) & HEAVY == set()
