"""Coming in by the printed address, and what a stranger gets."""

from __future__ import annotations

from playwright.sync_api import expect

from tests.browser.conftest import Open
from tests.browser.looking import axe
from tests.browser.serving import Site


def test_the_address_opens_the_page_once(own_site: Site, opened: Open) -> None:
    """The first browser comes in and stays in; another one with the same address does not."""
    first = opened(own_site, come_in=False)[0].new_page()
    first.goto(own_site.entrance)
    expect(first).to_have_url(own_site.address + "/today")
    first.goto(own_site.entrance)
    expect(first.locator("h1")).to_contain_text("Today")
    second = opened(own_site, come_in=False)[0].new_page()
    answer = second.goto(own_site.entrance)
    assert answer is not None
    assert answer.status == 403
    expect(second.locator("h1")).to_have_text("You can't open this page")
    axe(second)


def test_first_run_fills_an_empty_ledger(empty_site: Site, opened: Open) -> None:
    """With no ledger there are three ways in; the first makes one, and going back makes no second."""
    page = opened(empty_site)[0].new_page()
    page.goto(empty_site.address + "/")
    expect(page.locator("h1")).to_have_text("An empty ledger")
    assert page.locator("ol.ways > li").count() == 3
    axe(page)
    page.get_by_role("button", name="Load the made-up drone program").click()
    expect(page.locator("h1")).to_contain_text("Today")
    with empty_site.desk.opened() as book:
        size = book.head().size
    page.go_back()
    expect(page.locator("h1")).to_contain_text("Today")
    with empty_site.desk.opened() as book:
        assert book.head().size == size
