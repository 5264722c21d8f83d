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
    page.locator("details", has_text="More about this flight").evaluate("one => { one.open = true }")
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


def test_a_call_out_takes_three_fields_and_a_click_at_coordinates_and_two_at_a_saved_site(
    own_site: Site, opened: Open
) -> None:
    # takeoff, end, aircraft and pilot are filled in; what isn't confirmed comes before the drawings
    context, _ = opened(own_site)
    page = context.new_page()
    page.goto(f"{own_site.address}/before-flight")
    empty = [
        one.get_attribute("name")
        for one in page.locator("form.flight").locator("input, select, textarea").all()
        if one.is_visible() and one.get_attribute("required") is not None and not one.input_value()
    ]
    assert empty == ["place", "height"], "the fields left to fill in; how far around is the third"
    for name, text in (("place", "36.010, -79.999"), ("radius", "500"), ("height", "200")):
        page.locator(f"#f-{name}").fill(text)
    page.get_by_role("button", name="Check it").click()
    expect(page.locator(".say")).to_contain_text("36.010, -79.999")
    above = [
        page.get_by_role("heading", name=name).bounding_box() for name in ("Confirm before", "Where and how")
    ]
    assert above[0] is not None
    assert above[1] is not None
    assert above[0]["y"] < above[1]["y"]
    page.get_by_text("Save this place for later flights").click()
    page.locator("#f-site_name").fill("Mill Pond")
    page.get_by_role("button", name="Preview").click()
    page.get_by_role("button", name="Save this place").click()
    page.goto(f"{own_site.address}/before-flight")
    page.locator("#f-site").select_option("Mill Pond")
    page.locator("#f-height").fill("200")
    page.get_by_role("button", name="Check it").click()
    expect(page.locator(".say")).to_contain_text("200 ft")
