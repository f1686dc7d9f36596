"""What every test may use, and two rules that hold for all of them."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

import pytest
from hypothesis import settings
from tests.made_up import made_up

import browser
from boxup.exchanger.model import Exchanger

if TYPE_CHECKING:
    from playwright.sync_api import Browser

IN_CI = os.environ.get("CI", "").lower() in ("true", "1")
LONGEST = ("test_journey.py", "test_axe.py", "test_any_typeface.py")
EVIDENCE = ("published", "practice", "memory", "computed", "demo")

# In CI the same examples every time: a red run must be red again on the desk. At the desk, new ones each time.
settings.register_profile("desk", deadline=None)
settings.register_profile("ci", deadline=None, derandomize=True, database=None)
settings.load_profile("ci" if IN_CI else "desk")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """A lock on our own past output is not evidence: no test may be called both."""
    for item in items:
        labels = [label for label in EVIDENCE if item.get_closest_marker(label)]
        if labels and item.get_closest_marker("frozen"):
            raise pytest.UsageError(f"{item.nodeid} is marked frozen and {labels[0]}: our own output proves only that it stayed the same")
    items.sort(key=lambda item: item.path.name not in LONGEST)  # first, so that the others run beside them and not after


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    """A running Chromium. At the desk a test without one is skipped; in CI it fails, so that green means it ran."""
    if browser.find() is None:
        if IN_CI:
            pytest.fail(browser.HOW_TO)
        pytest.skip(browser.HOW_TO)
    with browser.chromium() as running:
        yield running


@pytest.fixture
def make() -> Callable[..., Exchanger]:
    """`make("AES", options={...})`: an invented exchanger of those letters, with fields replaced."""
    return made_up
