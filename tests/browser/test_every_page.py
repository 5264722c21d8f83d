"""Every page in a real browser: wide and narrow, light and dark, with and without JavaScript, printed; and its source."""

from __future__ import annotations

import io

import pytest
from playwright.sync_api import expect
from pypdf import PdfReader

from tests.browser.conftest import Open
from tests.browser.looking import axe, faults_of, wide
from tests.browser.pages import PAGES, Shown
from tests.browser.serving import Site

MOST_BYTES = 150_000

every_page = pytest.mark.parametrize("shown", PAGES, ids=lambda shown: shown.name)


@every_page
def test_wide_and_light(site: Site, opened: Open, shown: Shown) -> None:
    """At 1280 pixels: the heading is there, axe finds nothing, it weighs little, and its source is valid."""
    context, _ = opened(site, color_scheme="light")
    page = context.new_page()
    weights: list[int] = []
    page.on("requestfinished", lambda request: weights.append(request.sizes()["responseBodySize"]))
    answer = page.goto(site.address + shown.path)
    assert answer is not None
    expect(page.locator("h1")).to_contain_text(shown.heading)
    page.wait_for_load_state("networkidle")
    assert wide(page) <= 0
    axe(page)
    assert sum(weights) < MOST_BYTES
    assert faults_of(answer.text()) == []


@every_page
def test_narrow_and_dark(site: Site, opened: Open, shown: Shown) -> None:
    """At 360 pixels in the dark: no sideways scroll, and axe finds nothing."""
    context, _ = opened(site, width=360, color_scheme="dark", has_touch=True, is_mobile=True)
    page = context.new_page()
    page.goto(site.address + shown.path)
    expect(page.locator("h1")).to_contain_text(shown.heading)
    assert wide(page) <= 0
    axe(page)


@every_page
def test_without_script(site: Site, opened: Open, shown: Shown) -> None:
    """Without JavaScript the same words are there."""
    with_script = opened(site)[0].new_page()
    with_script.goto(site.address + shown.path)
    without = opened(site, java_script_enabled=False)[0].new_page()
    without.goto(site.address + shown.path)
    assert without.locator("main").inner_text() == with_script.locator("main").inner_text()


@every_page
def test_on_paper(site: Site, opened: Open, shown: Shown) -> None:
    """Printed it is a PDF with its heading on the first page, and no navigation."""
    page = opened(site)[0].new_page()
    page.goto(site.address + shown.path)
    paper = PdfReader(io.BytesIO(page.pdf(format="Letter")))
    first = paper.pages[0].extract_text()
    assert shown.heading in first
    assert "Contents" not in first
