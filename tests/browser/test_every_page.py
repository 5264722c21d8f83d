"""Every page in a real browser: wide and narrow, light and dark, with and without JavaScript, printed; and its source."""

from __future__ import annotations

import io
from collections.abc import Mapping

import pytest
from playwright.sync_api import Request, expect
from pypdf import PdfReader

from tests.browser.conftest import Window
from tests.browser.looking import axe, faults_of, wide
from tests.browser.pages import PAGES, Shown
from tests.browser.serving import Site

MOST_BYTES = 150_000

NARROW = tuple(one for one in PAGES if not one.again)

every_page = pytest.mark.parametrize("shown", PAGES, ids=lambda shown: shown.name)


@every_page
def test_wide_light_and_on_paper(site: Site, windows: Mapping[str, Window], shown: Shown) -> None:
    """At 1280 pixels: axe finds nothing, nothing runs over, both also of text twice as large; light, valid, on paper."""
    page, tape = windows["wide"]
    weights: list[int] = []

    def weigh(request: Request) -> None:
        weights.append(request.sizes()["responseBodySize"])

    page.on("requestfinished", weigh)
    answer = page.goto(site.address + shown.path)
    assert answer is not None
    expect(page.locator("h1")).to_contain_text(shown.heading)
    assert wide(page) <= 0
    axe(page)
    page.evaluate("document.documentElement.style.fontSize = '200%'")
    assert wide(page) <= 0
    axe(page)  # of text twice as large
    page.evaluate("document.documentElement.style.fontSize = ''")
    assert faults_of(answer.text()) == []
    first = PdfReader(io.BytesIO(page.pdf(format="Letter"))).pages[0].extract_text()
    page.remove_listener("requestfinished", weigh)
    assert shown.heading in first
    assert "Contents" not in first
    assert sum(max(0, size) for size in weights) < MOST_BYTES  # of what is kept, it says less than nothing
    tape.check()


@pytest.mark.parametrize("shown", NARROW, ids=lambda shown: shown.name)
def test_narrow_dark_and_without_script(site: Site, windows: Mapping[str, Window], shown: Shown) -> None:
    """At 360 pixels in the dark: no sideways scroll, axe finds nothing; without JavaScript the same words, none folded."""
    page, tape = windows["narrow"]
    page.goto(site.address + shown.path)
    expect(page.locator("h1")).to_contain_text(shown.heading)
    assert wide(page) <= 0
    axe(page)
    page.evaluate("for (const one of document.querySelectorAll('.folded')) one.classList.remove('folded')")
    words = page.locator("main").inner_text()
    tape.check()
    plain, plain_tape = windows["no_script"]
    plain.goto(site.address + shown.path)
    assert plain.locator("main").inner_text() == words
    plain_tape.check()


def test_a_page_with_its_fonts_is_light(site: Site, windows: Mapping[str, Window]) -> None:
    """Opened for the first time, with style, script and fonts."""
    browser = windows["wide"].page.context.browser
    assert browser is not None
    weights: dict[str, int] = {}
    with browser.new_context() as context:
        context.add_cookies([site.cookie])  # type: ignore[list-item]
        page = context.new_page()
        page.on("requestfinished", lambda done: weights.update({done.url: done.sizes()["responseBodySize"]}))
        page.goto(site.address + "/today")
        page.evaluate("document.fonts.ready.then(() => true)")
        page.wait_for_load_state("networkidle")
    assert sum(".ttf" in url for url in weights) == 3
    assert sum(weights.values()) < MOST_BYTES
