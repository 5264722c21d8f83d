"""The registration questions by keyboard alone, from an empty ledger to a decision on record."""

from __future__ import annotations

from playwright.sync_api import Page, expect

from tests.browser.conftest import Open
from tests.browser.looking import axe
from tests.browser.serving import Site
from tests.browser.test_acts import size_of, tab_to

TOLD = {
    "Does anyone pay": "yes",
    "Do any of these apply": "none",
    "hat kind of owner": "corporation",
    "What does it weigh": "900 g",
    "set up under US": "yes",
    "based and mainly used": "yes",
    "already registered": "no",
    "How does it meet Remote ID": "standard",
    "declaration of compliance": "yes",
}


def answer(page: Page, said: str) -> None:
    """Answer the question shown by keyboard: tab to the field or choice, and press enter."""
    page.locator("h1").evaluate("element => { element.tabIndex = -1; element.focus(); }")
    for _ in range(40):
        page.keyboard.press("Tab")
        kind, value = page.evaluate("[document.activeElement.type, document.activeElement.value]")
        if kind == "text" and page.evaluate("document.activeElement.id") == "say":
            page.keyboard.type(said)
            break
        if kind == "radio":
            while value != said:
                page.keyboard.press("ArrowDown")
                value = page.evaluate("document.activeElement.value")
            page.keyboard.press("Space")
            break
        if kind == "checkbox" and value == said:
            page.keyboard.press("Space")
            break
    else:
        raise AssertionError(f"{said} cannot be reached")
    page.keyboard.press("Enter")


def test_from_no_ledger_to_a_decision_on_record(empty_site: Site, opened: Open) -> None:
    """The third way in; every answer by keyboard; the decision is written once."""
    page = opened(empty_site)[0].new_page()
    page.goto(empty_site.address + "/")
    tab_to(page, "Start with the first question")
    page.keyboard.press("Enter")
    for number in range(1, 20):
        if page.get_by_role("heading", name="Steps, in order").count():
            break
        legend = page.locator("legend")
        expect(legend).to_contain_text(f"{number}.")
        words = legend.inner_text()
        answer(page, next(said for part, said in TOLD.items() if part in words))
        expect(page.locator("main")).not_to_contain_text(words)
    expect(page.locator(".say")).to_contain_text("Part 48 registration for this aircraft only")
    axe(page)
    page.locator("#f-name").focus()
    page.keyboard.type("K-7")
    page.keyboard.press("Tab")
    page.keyboard.type("Quorrin Lane School")
    page.keyboard.press("Enter")
    expect(page.locator(".pencil")).to_contain_text("This would save")
    axe(page)
    assert not empty_site.desk.ledger.exists()
    tab_to(page, "Save")
    page.keyboard.press("Enter")
    expect(page.locator("[role=status]")).to_contain_text("Saved as entry 1")
    assert size_of(empty_site) == 1
    axe(page)


def test_a_flight_from_nothing_to_what_stands_in_its_way(empty_site: Site, opened: Open) -> None:
    """From the questions about registering to a flight; a field answered becomes a fact, and nothing is written."""
    page = opened(empty_site)[0].new_page()
    page.goto(empty_site.address + "/which-registration")
    page.get_by_role("link", name="a flight", exact=True).click()
    expect(page.locator(".event .say").first).to_contain_text("Can't tell yet.")
    page.get_by_label("What is the greatest height above ground?").fill("401 ft")
    page.locator("input[name=use][value=work]").check()
    page.get_by_role("button", name="Answer").click()
    expect(page.locator(".event .say")).to_contain_text("Not allowed as described.")
    expect(page.locator("#f-facts")).to_have_value('[[flight]]\nid = "flight"\nheight_agl_ft = "401"\n')
    axe(page)
    page.locator("#f-facts").fill('[[flight]]\nid = "flight"\nheight_agl_ft = 400\n')
    page.get_by_role("button", name="Check", exact=True).click()
    expect(page.locator(".event .say").first).to_contain_text("Can't tell yet.")
    assert not empty_site.desk.ledger.exists()
