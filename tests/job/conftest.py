"""Invented exchangers with their lists, from `listed.toml`; no real site."""

import tomllib
from pathlib import Path

import pytest

from boxup.job.scope import scope_of_lists

HERE = Path(__file__).parent
LISTED = tomllib.loads((HERE / "listed.toml").read_text(encoding="utf-8"))


@pytest.fixture(scope="session")
def listed():
    """A scope with items, by the name it has in `listed.toml`."""

    def of(name, options=""):
        lists = dict(LISTED[name])
        return scope_of_lists(lists.pop("letters"), options, lists)

    return of


@pytest.fixture(scope="session")
def aes(listed):
    """A floating head with every list filled in."""
    return listed("floating_head")
