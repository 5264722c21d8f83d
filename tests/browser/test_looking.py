"""What `axe` finds on a page, though it looks at one text of each kind only: a pale one among those that stand out."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser

from tests.browser.looking import axe

PAGE = '<!doctype html><html lang="en"><head><title>t</title></head><body><main><h1>One</h1>{}</main></body></html>'
FINE = "<p>some words</p>"
PALE = (
    FINE + '<p style="color: #bbb">some words</p>',
    FINE + '<div style="background: #333"><p>some words</p></div>',
    FINE + '<div style="opacity: 0.3"><p>some words</p></div>',
    '<p style="font-size: 30px; color: #888">large words</p><p style="color: #888">small words</p>',
    FINE + '<div style="position: absolute; top: 5px; background: #333"><p>some words</p></div>',
    '<p>words <input value="some words" aria-label="a field" style="color: #ccc"></p>',
    FINE + '<p style="color: #bbb">some words</p>',
    '<img src="picture.png">',
)


def test_what_does_not_stand_out_is_found_among_what_does(browser: Browser) -> None:
    with browser.new_context() as context, context.new_page() as page:
        for wrong in PALE:
            page.set_content(PAGE.format(FINE * 3))
            axe(page)
            page.set_content(PAGE.format(wrong))
            with pytest.raises(AssertionError):
                axe(page)
