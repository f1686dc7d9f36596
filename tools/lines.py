"""The formula lines as they stand in the source, to see which of them nothing outside ever works."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterable, Iterator
from pathlib import Path

from boxup.core.formula import formula

SOURCE = Path(__file__).resolve().parent.parent / "src" / "boxup"
_LINE = re.compile(r"[A-Za-z]\w*(\{\})?\w* = [^=].*")


def in_source(folder: Path = SOURCE) -> dict[str, str]:
    """Each line and the module it stands in; what is filled in stands as `{}`. The core holds none: its examples are skipped."""
    found: dict[str, str] = {}
    for path in sorted(folder.rglob("*.py")):
        module = ".".join(path.relative_to(folder).with_suffix("").parts)
        if not module.startswith("core."):
            for line in _lines(ast.parse(path.read_text("utf-8"))):
                found.setdefault(line, module)
    return found


def _lines(tree: ast.Module) -> Iterator[str]:
    inside = {id(v) for n in ast.walk(tree) if isinstance(n, ast.JoinedStr) for v in ast.walk(n) if v is not n}
    for node in ast.walk(tree):
        if id(node) not in inside and (text := _text(node)) and _LINE.fullmatch(text) and _is_formula(text):
            yield text


def _text(node: ast.AST) -> str:
    if isinstance(node, ast.JoinedStr):
        return "".join(str(v.value) if isinstance(v, ast.Constant) else "{}" for v in node.values)
    return node.value if isinstance(node, ast.Constant) and isinstance(node.value, str) else ""


def _is_formula(text: str) -> bool:
    try:
        formula(text.replace("{}", "x"))
    except (SyntaxError, ValueError):
        return False
    return True


def unreached(worked: Iterable[str]) -> dict[str, str]:
    """The lines of the source that are none of the lines worked, and their modules."""
    done = set(worked)
    return {line: module for line, module in in_source().items() if not _is_done(line, done)}


def _is_done(line: str, done: set[str]) -> bool:
    if "{}" not in line:
        return line in done
    pattern = re.compile(re.escape(line).replace(r"\{\}", ".+"))
    return any(pattern.fullmatch(d) for d in done)
