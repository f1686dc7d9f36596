"""A finger on the map in a real browser: on a tablet the hole opens, on a phone its row, from either end."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

import pytest
from tests.web.conftest import Site
from tests.web.serving import served

from boxup.demo.fleet import FOCUS, files_of_the_demo
from boxup.exchanger.file import load
from boxup.exchanger.layout import Layout, layout_of

if TYPE_CHECKING:
    from playwright.sync_api import Browser

pytestmark = pytest.mark.demo
# Where the map's own pen sets a hole down, on the screen: the nth move of its path.
PLACE = """([name, nth]) => {
  const path = document.getElementById(name), svg = path.ownerSVGElement;
  let x = 0, y = 0;
  const moves = [...path.getAttribute("d").matchAll(/m(-?[\\d.]+),(-?[\\d.]+)h0/g)];
  for (const [, dx, dy] of moves.slice(0, nth + 1)) { x += Number(dx); y += Number(dy); }
  svg.scrollIntoView({ block: "center" });
  const at = new DOMPoint(x, y).matrixTransform(svg.getScreenCTM());
  return [at.x, at.y];
}"""


@pytest.fixture(scope="module")
def host(told: Callable[..., Site]) -> Iterator[tuple[str, Site]]:
    site = told(4)  # nothing is plugged yet but the three old ones
    with served(site) as address:
        yield address, site


def nth_of(id_: str) -> int:
    """Which of the holes nobody has marked it is."""
    x = load(files_of_the_demo()[FOCUS])
    layout = layout_of(x)
    assert isinstance(layout, Layout)
    return [t.id for t in layout.tubes if t.id not in x.plugged].index(id_)


@pytest.mark.parametrize(
    ("width", "end", "says"),
    [
        (1024, "front", "Tube 12-20"),
        (1024, "rear", "Tube 12-20"),
        (360, "front", "Row 12, seen from the front"),
        (360, "rear", "Row 12, seen"),
    ],
)
def test_a_tap_on_a_hole(chromium: Browser, host: tuple[str, Site], width: int, end: str, says: str) -> None:
    address, site = host
    context = chromium.new_context(viewport={"width": width, "height": 800}, has_touch=True)
    page = context.new_page()
    page.goto(address + site.address("tubes", end=end))
    at = page.evaluate(PLACE, ["holes-360" if width < 500 else "holes-720", nth_of("12-20")])
    page.touchscreen.tap(*at)
    page.wait_for_url("**at=**")
    assert says in page.inner_text("main")
    if width < 500:
        assert page.locator(".holes a.here").get_attribute("aria-label") == "12-20"
    context.close()


def test_a_tap_outside_the_tubesheet_does_nothing(chromium: Browser, host: tuple[str, Site]) -> None:
    address, site = host
    page = chromium.new_page(viewport={"width": 1024, "height": 800})
    page.goto(address + site.address("tubes"))
    assert page.get_by_text("Tap a hole, or pick its row.").is_visible()
    box = page.locator("svg:has([data-map])").first.bounding_box()
    assert box
    page.mouse.click(box["x"] + 4, box["y"] + 4)
    assert "at=" not in page.url
    page.close()
