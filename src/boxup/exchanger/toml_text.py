"""From the tables of an exchanger file back to its text, section by section in the order the file has."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from boxup.exchanger.sections import ALL, NAMED

_BARE = re.compile(r"[A-Za-z0-9_-]+")
_ESCAPES = {"\\": "\\\\", '"': '\\"', "\b": "\\b", "\t": "\\t", "\n": "\\n", "\f": "\\f", "\r": "\\r"}
_INVISIBLE = re.compile(r"[\x00-\x1f\x7f]")


def toml_text(tables: Mapping[str, Any], heading: str = "") -> str:
    """A TOML text that reads back to the same tables; `heading` goes in front as a remark."""
    return "\n".join([*_remark(heading), *_sections(tables)]) + "\n"


def _remark(heading: str) -> Iterator[str]:
    yield from (f"# {_INVISIBLE.sub(' ', line)}".rstrip() for line in heading.splitlines())


def _sections(tables: Mapping[str, Any]) -> Iterator[str]:
    for section in (*ALL, *(name for name in tables if name not in ALL)):
        table = tables.get(section)
        if not table:
            continue
        entries = [(f"{section}.{_key(name)}", inner) for name, inner in table.items()] if section in NAMED else [(section, table)]
        for path, inner in entries:
            yield ""
            yield f"[{path}]"
            yield from (f"{_key(key)} = {_value(value)}" for key, value in inner.items())


def _key(name: str) -> str:
    return name if _BARE.fullmatch(name) else _text(name)


def _value(value: object) -> str:
    match value:
        case bool():
            return str(value).lower()
        case int() | float():
            return str(value)
        case list():
            return f"[{', '.join(_value(v) for v in value)}]"
        case _:
            return _text(str(value))


def _text(text: str) -> str:
    escaped = "".join(_ESCAPES.get(c, c) for c in text)
    return '"' + _INVISIBLE.sub(lambda m: f"\\u{ord(m[0]):04x}", escaped) + '"'
