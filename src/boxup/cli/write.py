"""Writing a file at the command line: what cannot be written is a sentence, not a traceback."""

from __future__ import annotations

from pathlib import Path

from boxup.cli.refusal import Refusal


def write(to: Path, content: str | bytes) -> None:
    """Write text as UTF-8, or bytes as they are. Refuses, with the reason, where it cannot."""
    try:
        to.write_bytes(content.encode("utf-8") if isinstance(content, str) else content)
    except OSError as bad:
        raise Refusal([f"{to} cannot be written: {bad.strerror}. Give a folder that is there and open to you."]) from bad
