"""The words on paper, from one file a language."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files
from typing import Any

LANGUAGES = ("en",)


@cache
def words(language: str = "en") -> dict[str, Any]:
    """The whole catalogue of a language. Raises ValueError naming the languages there are."""
    if language not in LANGUAGES:
        raise ValueError(f"language {language!r} is not there; accepted: {', '.join(LANGUAGES)}")
    return tomllib.loads((files("boxup.paper") / f"words_{language}.toml").read_text("utf-8"))
