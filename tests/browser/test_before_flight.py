"""Before a flight in a browser: an answer with its drawings, and an area drawn on the map with mouse and keys."""

from __future__ import annotations

from playwright.sync_api import Page, expect

from tests.browser.conftest import Open
from tests.browser.looking import axe
from tests.browser.serving import Site

FIELDS = {
    "place": "36.010, -79.999",
    "radius": "1500",
    "height": "250",
    "day": "2026-12-02",
    "start": "10:00",
    "end": "10:40",
    "hazards": "Wires along the road | possible, fatal | observer at the pole | unlikely, fatal",
}


def answered(site: Site, page: Page) -> None:
    """Fill in the form and ask for the answer."""
    page.goto(f"{site.address}/before-flight")
    for name, text in FIELDS.items():
        page.locator(f"#f-{name}").fill(text)
    page.locator("#f-aircraft").select_option("aircraft/Alder 1")
    page.locator("#f-pilot").select_option("person/Maris Tolland")
    page.get_by_role("button", name="Check it").click()


def test_the_answer_is_drawn_and_an_area_is_drawn_on_it(own_site: Site, opened: Open) -> None:
    context, _ = opened(own_site)
    page = context.new_page()
    answered(own_site, page)
    expect(page.get_by_role("heading", name="What would have to change")).to_be_visible()
    expect(page.get_by_role("img", name="The flight from the side")).to_be_visible()
    expect(page.get_by_role("img", name="Where in North Carolina")).to_be_visible()
    axe(page)
    page.get_by_role("button", name="Draw another area").click()
    box = page.locator("figure.site svg").bounding_box()
    assert box is not None
    for across in (0.35, 0.5):
        page.mouse.click(box["x"] + box["width"] * across, box["y"] + box["height"] * 0.4)
    for key in (*["ArrowDown"] * 10, "Enter"):
        page.keyboard.press(key)
    expect(page.locator("#draw-said")).to_contain_text("3 corners")
    page.get_by_role("button", name="Use this area").click()
    corners = page.locator("#f-place").input_value().split("; ")
    assert len(corners) == 3
    # each corner lies within 3,000 ft of the middle, north first: the map is some 12,000 ft wide
    assert all(abs(float(one.split(", ")[0]) - 36.01) < 0.01 for one in corners)
    page.get_by_role("button", name="Check again").click()
    expect(page.locator(".say")).to_contain_text(corners[0])
