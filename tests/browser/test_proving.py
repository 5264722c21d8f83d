"""A proof file made, saved and checked in a real browser, and a photo attached, at the width of a phone."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import expect

from tests.browser.conftest import Open
from tests.browser.looking import axe, faults_of, wide
from tests.browser.serving import Site
from tests.browser.test_acts import size_of, tab_to
from tests.unit.intake.documents import photo


def test_a_proof_of_a_past_day_is_made_by_keyboard_and_checked(
    own_site: Site, opened: Open, tmp_path: Path
) -> None:
    """Chosen, looked at, saved, and checked by the page of another; the ledger grows by nothing."""
    size = size_of(own_site)
    page = opened(own_site)[0].new_page()
    page.goto(f"{own_site.address}/proof")
    page.fill("#on", "2026-11-23")
    page.locator("input[value='aircraft/Alder%202']").focus()
    page.keyboard.press("Space")
    tab_to(page, "Preview")
    page.keyboard.press("Enter")
    expect(page.locator(".pencil")).to_contain_text("Papers OK for work")
    expect(page.locator("input[value='aircraft/Alder%202']").last).to_be_checked()
    axe(page)
    with page.expect_download() as saving:
        tab_to(page, "Save the proof file")
        page.keyboard.press("Enter")
    saving.value.save_as(tmp_path / "proof.pdf")
    assert saving.value.suggested_filename == "proof-2026-11-23.pdf"
    with page.expect_download():
        page.keyboard.press("Enter")  # a file may be saved again
    assert size_of(own_site) == size
    narrow = opened(own_site, width=360, color_scheme="dark")[0].new_page()
    narrow.goto(f"{own_site.address}/check-proof")
    narrow.set_input_files("#f-file", tmp_path / "proof.pdf")
    narrow.get_by_role("button", name="Check it").click()
    expect(narrow.locator(".say")).to_contain_text("Nothing contradicts it")
    assert wide(narrow) <= 0
    axe(narrow)
    assert faults_of(narrow.content()) == []


def test_a_photo_is_attached_on_a_phone_without_script(own_site: Site, opened: Open, tmp_path: Path) -> None:
    (tmp_path / "mark.jpg").write_bytes(photo())
    size = size_of(own_site)
    page = opened(own_site, width=360, java_script_enabled=False)[0].new_page()
    page.goto(f"{own_site.address}/aircraft/Alder%202")
    page.get_by_role("link", name="Attach a photo or document").click()
    page.set_input_files("#f-file", tmp_path / "mark.jpg")
    page.select_option("#f-shows", "mark")
    page.get_by_role("button", name="Preview").click()
    expect(page.locator(".pencil")).to_contain_text("This would save one file")
    expect(page.locator(".pencil img")).to_be_visible()
    assert size_of(own_site) == size
    page.get_by_role("button", name="Save it to Alder 2").click()
    expect(page.locator("main")).to_contain_text(f"Saved as entry {size + 1}")
    expect(page.locator("main")).to_contain_text("mark.jpg")
    assert size_of(own_site) == size + 1
