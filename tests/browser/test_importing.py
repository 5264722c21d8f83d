"""A sheet brought in by keyboard, and again with a cell changed."""

from __future__ import annotations

import re
from pathlib import Path

import openpyxl
from playwright.sync_api import Route, expect

from airwrit.demo.workbook import write_demo
from tests.browser.conftest import Open
from tests.browser.looking import axe, faults_of, wide
from tests.browser.serving import NOW, Site
from tests.browser.test_acts import size_of, tab_to


def test_a_sheet_from_an_empty_ledger_to_its_standing(empty_site: Site, opened: Open, tmp_path: Path) -> None:
    """From the three ways in to the fleet's standing; the file chosen, all else by keyboard."""
    sheet = tmp_path / "fleet.xlsx"
    write_demo(sheet, NOW.date())
    page = opened(empty_site)[0].new_page()
    page.goto(empty_site.address + "/")
    tab_to(page, "Choose the file")
    page.keyboard.press("Enter")
    expect(page.locator("h1")).to_have_text("Import")
    page.set_input_files("#f-files", sheet)
    tab_to(page, "Preview")
    page.keyboard.press("Enter")
    expect(page.locator(".pencil h2")).to_contain_text("This would save")
    axe(page)
    assert faults_of(page.content()) == []
    words = page.locator(".pencil button").inner_text()
    tab_to(page, words)
    page.keyboard.press("Enter")
    expect(page.locator(".say")).to_contain_text("entries were saved")
    tab_to(page, "See the status")
    page.keyboard.press("Enter")
    expect(page.locator("h1")).to_contain_text("Today")
    expect(page.locator("main")).to_contain_text("Alder 2")


def test_a_changed_cell_on_a_phone_without_script(own_site: Site, opened: Open, tmp_path: Path) -> None:
    """The same file with one cell changed: the change alone is shown, and written once."""
    sheet = tmp_path / "tarn-and-fell.xlsx"
    write_demo(sheet, NOW.date())
    book = openpyxl.load_workbook(sheet)
    cell = next(c for row in book["Weights"].iter_rows() for c in row if c.value == "Alder 1")
    book["Weights"].cell(cell.row, 2).value = 1401
    book.save(sheet)
    size = size_of(own_site)
    page = opened(own_site, width=360, java_script_enabled=False)[0].new_page()
    page.goto(own_site.address + "/import")
    page.set_input_files("#f-files", sheet)
    page.get_by_role("button", name="Preview").click()
    expect(page.locator("#differences + h3 ~ table").first).to_contain_text(
        "Before that, the old value stays"
    )
    assert size_of(own_site) == size
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.locator(".say")).to_contain_text("saved. See the status")
    after = size_of(own_site)
    assert after > size
    page.go_back()
    expect(page.locator(".pencil")).to_contain_text("Nothing would be saved")
    assert size_of(own_site) == after


def test_the_columns_fit_a_phone(own_site: Site, opened: Open, tmp_path: Path) -> None:
    """All columns of a workbook at 360 pixels: no sideways scroll, axe finds nothing."""
    sheet = tmp_path / "other.xlsx"
    write_demo(sheet, NOW.date())
    page = opened(own_site, width=360, color_scheme="dark")[0].new_page()
    page.goto(own_site.address + "/import")
    page.set_input_files("#f-files", sheet)
    page.get_by_role("button", name="Preview").click()
    expect(page.locator("#columns")).to_be_visible()
    assert wide(page) <= 0
    axe(page)


NOTE_THE_WAITING = """new MutationObserver(() => {
  const told = document.querySelector("#waiting")?.textContent;
  if (told) sessionStorage.setItem("told", told);
}).observe(document, { childList: true, subtree: true });"""


def test_what_takes_long_says_so(own_site: Site, opened: Open, tmp_path: Path) -> None:
    """The answer is held back; meanwhile the page tells for how long it is being worked on."""
    sheet = tmp_path / "fleet.xlsx"
    write_demo(sheet, NOW.date())
    page = opened(own_site)[0].new_page()
    page.add_init_script(NOTE_THE_WAITING)
    page.goto(own_site.address + "/import")
    held: list[Route] = []
    page.set_input_files("#f-files", sheet)
    page.route("**/import", lambda route: held.append(route))  # noqa: PLW0108 - it marks what it is given
    page.get_by_role("button", name="Preview").click(no_wait_after=True)
    page.wait_for_timeout(2_400)
    held[0].continue_()
    expect(page.locator(".pencil h2")).to_have_text("Nothing would be saved")
    told = page.evaluate("sessionStorage.getItem('told')")
    assert re.fullmatch(r"Being worked on, \d seconds so far\.", told)
    assert page.locator("#waiting").count() == 0
