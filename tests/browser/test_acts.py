"""An act from beginning to end in a real browser: by keyboard, with and without JavaScript, and in two tabs."""

from __future__ import annotations

from playwright.sync_api import Page, expect

from tests.browser.conftest import Open
from tests.browser.looking import axe
from tests.browser.serving import Site


def size_of(site: Site) -> int:
    """How many entries the ledger has."""
    with site.desk.opened() as book:
        return book.head().size


def tab_to(page: Page, words: str, most: int = 120) -> None:
    """Press the tab key until what has the focus says so."""
    for _ in range(most):
        page.keyboard.press("Tab")
        said = page.evaluate("document.activeElement.innerText || document.activeElement.id")
        if said.strip() == words:
            return
    raise AssertionError(f"{words} cannot be reached by the tab key")


def focus_of(page: Page) -> tuple[float, bool]:
    """How far down the page the focus stands, and whether it can be seen: ringed, and inside the window."""
    top, inside, ring = page.evaluate(
        """() => {
            const box = document.activeElement.getBoundingClientRect();
            const style = getComputedStyle(document.activeElement);
            const ring = style.outlineStyle === "none" ? 0 : parseFloat(style.outlineWidth);
            return [box.top + scrollY, box.bottom > 0 && box.top < innerHeight, ring];
        }"""
    )
    return top, inside and ring >= 2


def test_an_act_by_keyboard_alone(own_site: Site, opened: Open) -> None:
    """From the sheet to the form, a field filled in, the effects read, written; going back and again writes nothing."""
    size = size_of(own_site)
    page = opened(own_site)[0].new_page()
    page.goto(f"{own_site.address}/aircraft/Elm%201")
    for words, most in (("Skip to main content", 1), ("Record what happened", 30), ("Mark", 1)):
        tab_to(page, words, most)
        assert focus_of(page)[1]
        page.keyboard.press("Enter")
    page.wait_for_url("**/record-change/mark/**")
    tab_to(page, "Skip to main content", 1)
    page.keyboard.press("Enter")
    tops = []
    while page.evaluate("document.activeElement.id") != "f-place":
        page.keyboard.press("Tab")
        tops.append(focus_of(page)[0])
        assert len(tops) < 12
    page.keyboard.press("o")
    expect(page.locator("#f-place")).to_have_value("outside")
    page.keyboard.press("Tab")
    expect(page.locator("#causes")).to_contain_text("This would save one entry")
    expect(page.locator("#causes")).to_contain_text("(was grounded)")
    axe(page)
    while page.evaluate("document.activeElement.value") != "show":
        top, seen = focus_of(page)
        tops.append(top)
        assert seen
        assert len(tops) < 12
        page.keyboard.press("Tab")
    assert tops == sorted(tops)
    assert size_of(own_site) == size
    tab_to(page, "Save", 2)  # past what is no longer to do, which is folded
    assert focus_of(page)[1]
    page.keyboard.press("Enter")
    expect(page.locator("[role=status]")).to_contain_text(f"Saved as entry {size + 1}")
    page.go_back()
    page.get_by_role("button", name="Preview").click()
    expect(page.locator("#causes")).to_contain_text("All of this is already on record")
    assert size_of(own_site) == size + 1


def test_a_button_pressed_twice_writes_once(own_site: Site, opened: Open) -> None:
    size = size_of(own_site)
    page = opened(own_site)[0].new_page()
    page.goto(f"{own_site.address}/record-change/lose/aircraft/Alder%203")
    page.get_by_role("button", name="Save").dblclick()
    expect(page.locator("[role=status]")).to_contain_text(f"Saved as entry {size + 1}")
    assert size_of(own_site) == size + 1


def test_the_same_without_javascript(own_site: Site, opened: Open) -> None:
    size = size_of(own_site)
    page = opened(own_site, java_script_enabled=False)[0].new_page()
    page.goto(f"{own_site.address}/record-change/mark/aircraft/Elm%201")
    page.select_option("#f-place", "outside")
    page.get_by_role("button", name="Preview").click()
    expect(page.locator("#causes")).to_contain_text("This would save one entry")
    expect(page.locator("#f-place")).to_have_value("outside")
    assert size_of(own_site) == size
    page.get_by_role("button", name="Save").click()
    expect(page.locator("[role=status]")).to_contain_text(f"Saved as entry {size + 1}")


def test_what_is_wrong_is_named_and_can_be_gone_to(own_site: Site, opened: Open) -> None:
    size = size_of(own_site)
    page = opened(own_site)[0].new_page()
    page.goto(f"{own_site.address}/record-change/buy")
    page.evaluate("document.querySelector('form.act').noValidate = true")
    page.get_by_role("button", name="Preview").click()
    expect(page.locator("#wrongs")).to_contain_text("keep this from being saved")
    axe(page)
    page.locator("#wrongs a").first.click()
    expect(page.locator(":target")).to_have_count(1)
    assert size_of(own_site) == size


def test_the_second_tab_is_told_what_the_first_wrote(own_site: Site, opened: Open) -> None:
    context = opened(own_site)[0]
    first, second = context.new_page(), context.new_page()
    for page in (first, second):
        page.goto(f"{own_site.address}/record-change/lose/aircraft/Alder%203")
    first.get_by_role("button", name="Save").click()
    expect(first.locator("[role=status]")).to_contain_text("aved")
    size = size_of(own_site)
    second.get_by_role("button", name="Save").click()
    expect(second.locator("h1")).to_contain_text("Someone else saved a change first")
    expect(second.locator("main")).to_contain_text("Alder 3")
    axe(second)
    assert size_of(own_site) == size


def test_phone_width(own_site: Site, opened: Open) -> None:
    """At 360 pixels the form comes first and what it causes below it; nothing scrolls sideways."""
    page = opened(own_site, width=360, has_touch=True, is_mobile=True)[0].new_page()
    page.goto(f"{own_site.address}/record-change/leave/person/Maris%20Tolland")
    form, box = page.locator("#f-day").bounding_box(), page.locator("#causes").bounding_box()
    assert form is not None
    assert box is not None
    assert form["y"] < box["y"]
    assert page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth") <= 0


def test_what_is_in_order_is_folded_on_a_phone(site: Site, opened: Open) -> None:
    """Items with nothing against them open by a press or by their address; without script all stand open."""
    phone = opened(site, width=360)[0].new_page()
    phone.goto(site.address + "/aircraft/Alder%201")
    mark, history = phone.locator("#s5 button"), phone.locator("#s11 button")
    expect(mark).to_have_attribute("aria-expanded", "false")
    expect(phone.locator("section.item", has=phone.locator("#s10")).locator("a").first).to_be_visible()
    axe(phone)
    mark.focus()
    phone.keyboard.press("Enter")
    expect(phone.locator("section.item", has=phone.locator("#s5")).locator("dl").first).to_be_visible()
    phone.goto(site.address + "/aircraft/Alder%201#s11")
    expect(history).to_have_attribute("aria-expanded", "true")
    phone.goto(site.address + "/aircraft/Alder%201")
    heights = """() => {
        const folded = document.documentElement.scrollHeight;
        for (const one of document.querySelectorAll(".folded")) one.classList.remove("folded");
        return [folded, document.documentElement.scrollHeight];
    }"""
    folded, whole = phone.evaluate(heights)
    assert folded < 0.65 * whole
    plain = opened(site, width=360, java_script_enabled=False)[0].new_page()
    plain.goto(site.address + "/aircraft/Alder%201")
    expect(plain.locator("section.item", has=plain.locator("#s5")).locator("dl").first).to_be_visible()
    grounded = opened(site, width=360)[0].new_page()
    grounded.goto(site.address + "/aircraft/Larch")
    expect(grounded.locator("#s1 button")).to_have_attribute("aria-expanded", "true")
    desk = opened(site)[0].new_page()
    desk.goto(site.address + "/aircraft/Alder%201")
    assert desk.locator("section.item h2 button").count() == 0
