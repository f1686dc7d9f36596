"""The command line. Each command is a thin door: it reads what was typed, asks a room, and prints sentences, tables or JSON."""

from __future__ import annotations

from boxup.cli.main import main

__all__ = ["main"]
