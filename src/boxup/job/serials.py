"""The number read off a tool beside the one the list has for it: another number is another tool."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from boxup.exchanger.model import Exchanger


def other_serial(payload: Mapping[str, Any], x: Exchanger) -> str:
    """A sentence where a `tool.checked` has another serial number than the file; "" where they agree or one is not given."""
    read, id_ = payload.get("serial", ""), payload.get("tool", "")
    listed = next((t.serial for t in x.tools if t.id == id_), "")
    if not read or not listed or _bare(read) == _bare(listed):
        return ""
    whose = next((t.id for t in x.tools if t.serial and _bare(t.serial) == _bare(read)), "")
    is_ = f", the number of {whose}" if whose else ""
    return (
        f"{id_}: the number read off it is {read}{is_}, and the list has {listed}. "
        "Read it again; another tool is another line of the list, by job.file_revised"
    )


def _bare(text: str) -> str:
    """As people copy a number: capitals, and no blanks or dashes."""
    return "".join(c for c in text.upper() if c.isalnum())
