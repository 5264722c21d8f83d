"""The carry pack in a real browser: flights are noted with no network, kept, corrected, handed over and taken in."""

from __future__ import annotations

import io
import random
import string
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
import segno
import zxingcpp
from PIL import Image
from playwright.sync_api import Browser, Page, expect

from airwrit.base.days import parse_when
from airwrit.intake.typed.phone_flights import handed_over_of, read_handed_over
from airwrit.papers.carry_page import FOLDER, carry_page
from tests.browser.looking import axe, faults_of
from tests.unit.answers.carry.test_pack import pack

SAVED = datetime(2026, 11, 25, 6, 30, tzinfo=UTC)
DEFECT = 'crack in the <b>left</b> arm, 3 mm, "é"'


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """A carry pack on disk."""
    path = tmp_path / "pack.html"
    path.write_bytes(carry_page(pack(None, "H-03"), SAVED))
    return path


@pytest.fixture
def page(browser: Browser, file: Path) -> Iterator[Page]:
    """The pack as a phone in Denver opens it, off the network; nothing in it may complain or ask for anything."""
    context = browser.new_context(
        viewport={"width": 360, "height": 740},
        offline=True,
        timezone_id="America/Denver",
        accept_downloads=True,
    )
    asked: list[str] = []
    said: list[str] = []
    opened = context.new_page()
    opened.set_default_timeout(10_000)
    opened.on("request", lambda request: asked.append(request.url))
    opened.on("console", lambda message: said.append(message.text))
    opened.on("pageerror", lambda fault: said.append(str(fault)))
    opened.goto(file.as_uri())
    yield opened
    context.close()
    assert said == []
    assert [url for url in asked if not url.startswith(("file:", "blob:"))] == []


def note(page: Page, landed: str = "2026-11-25T10:20", **fields: str) -> None:
    """Log a flight."""
    for name, value in {"landed": landed, "minutes": "14", "packs": "P1, P2", **fields}.items():
        page.fill(f"[name={name}]", value)
    page.click("#keep")
    expect(page.locator("#flight")).to_have_attribute("aria-busy", "false")


KEPT = """() => new Promise((ready) => {
  const asked = indexedDB.open("airwrit flights", 1);
  asked.onsuccess = () => {
    const got = asked.result.transaction("flights").objectStore("flights").get("Ivo Brask");
    got.onsuccess = () => { asked.result.close(); ready(got.result || []); };
  };
})"""


def shelf(page: Page) -> list[dict[str, Any]]:
    """What the browser keeps, once nothing is being saved."""
    expect(page.locator("#flight")).to_have_attribute("aria-busy", "false")
    kept: list[dict[str, Any]] = page.evaluate(KEPT)
    return kept


def saved_file(page: Page, to: Path) -> bytes:
    """The file the page hands over."""
    with page.expect_download() as download:
        page.click("#file")
    download.value.save_as(to)
    assert download.value.suggested_filename.endswith(".json")
    return to.read_bytes()


def test_a_flight_is_kept_and_handed_over_as_a_file(page: Page, tmp_path: Path) -> None:
    note(page, defect=DEFECT)
    page.reload()
    expect(page.locator("#list")).to_contain_text("H-03, landed 2026-11-25 10:20")
    expect(page.locator("#list")).to_contain_text(DEFECT)
    (handed,) = handed_over_of(saved_file(page, tmp_path / "f.json"), "f.json").flights
    flown = handed.flown
    assert (flown.aircraft, flown.pilot, flown.defect) == ("H-03", "Ivo Brask", DEFECT)
    assert flown.landed == parse_when("2026-11-25T10:20-07:00")
    assert (str(flown.minutes), str(flown.landings), flown.packs) == ("14", "1", ("P1", "P2"))


def test_two_windows_of_a_pack_keep_each_others_flights(page: Page, file: Path) -> None:
    second = page.context.new_page()
    second.goto(file.as_uri())
    note(page, "2026-11-25T10:20")
    expect(second.locator("#list")).to_contain_text("landed 2026-11-25 10:20")
    second.get_by_role("button", name="Correct").click()
    second.fill("[name=minutes]", "31")
    note(page, "2026-11-25T11:05")
    expect(second.locator("#list")).to_contain_text("landed 2026-11-25 11:05")
    second.click("#keep")
    expect(page.locator("#list")).to_contain_text("31 min")
    assert [one["landed"][:16] for one in shelf(page)] == ["2026-11-25T10:20", "2026-11-25T11:05"]
    assert [one["minutes"] for one in shelf(page)] == [31, 14]


def test_a_flight_removed_elsewhere_while_it_is_corrected_can_be_saved_again(page: Page, file: Path) -> None:
    note(page)
    second = page.context.new_page()
    second.goto(file.as_uri())
    second.get_by_role("button", name="Correct").click()
    page.get_by_role("button", name="Remove").click()
    expect(second.locator("#none")).to_be_visible()
    assert second.inner_text("#keep") == "Save this flight"
    second.click("#keep")
    expect(page.locator("#list")).to_contain_text("landed 2026-11-25 10:20")


def test_a_flight_in_summer_time_has_its_own_zone(page: Page) -> None:
    note(page, "2026-07-04T10:20")
    assert shelf(page)[0]["landed"] == "2026-07-04T10:20-06:00"


def test_a_photo_of_the_code_is_taken_in_like_the_file(page: Page, tmp_path: Path) -> None:
    note(page, defect=DEFECT)
    page.click("#code")
    page.locator("#codes svg").screenshot(path=tmp_path / "photo.png")
    photo = read_handed_over(tmp_path / "photo.png")
    saved = handed_over_of(saved_file(page, tmp_path / "f.json"), "f.json")
    assert [one.flown for one in photo.flights] == [one.flown for one in saved.flights]
    assert photo.packs == saved.packs


def test_many_flights_take_several_codes(page: Page, tmp_path: Path) -> None:
    for minute in range(12):
        note(page, f"2026-11-25T10:{minute:02}", defect="scratch on the leg" if minute % 3 else "")
    page.click("#code")
    codes = page.locator("#codes svg")
    assert codes.count() > 1
    landed = set()
    for at in range(codes.count()):
        codes.nth(at).screenshot(path=tmp_path / f"{at}.png")
        landed |= {one.flown.landed for one in read_handed_over(tmp_path / f"{at}.png").flights}
    assert len(landed) == 12


def test_a_text_too_long_for_a_code_is_told(page: Page) -> None:
    note(page, defect="ß" * 400)
    page.click("#code")
    assert "fit into no code: save them as a file" in page.inner_text("#handing")
    assert page.locator("#codes svg").count() == 0


def test_a_flight_can_be_corrected_and_removed(page: Page) -> None:
    note(page)
    note(page, "2026-11-25T11:00")
    page.get_by_role("button", name="Correct the flight of H-03, landed 2026-11-25 10:20").click()
    page.fill("[name=minutes]", "15")
    page.click("#keep")
    assert [flight["minutes"] for flight in shelf(page)] == [15, 14]
    page.get_by_role("button", name="Remove the flight of H-03, landed 2026-11-25 11:00").click()
    assert [flight["landed"] for flight in shelf(page)] == ["2026-11-25T10:20-07:00"]


def test_the_same_landing_is_not_kept_twice(page: Page) -> None:
    note(page)
    note(page)
    assert "already has a flight with this landing time" in page.inner_text("#said")
    assert len(shelf(page)) == 1


def test_the_list_is_cleared_only_when_confirmed(page: Page) -> None:
    note(page)
    page.click("#clear")
    page.click("#no")
    assert len(shelf(page)) == 1
    page.click("#clear")
    page.click("#yes")
    assert shelf(page) == []


def test_a_browser_that_keeps_nothing_says_so(page: Page, file: Path, tmp_path: Path) -> None:
    page.add_init_script("IDBFactory.prototype.open = () => { throw new Error('refused'); };")
    page.goto(file.as_uri())
    expect(page.locator("#refused")).to_be_visible()
    note(page)
    assert "can't save it. Hand it over now" in page.inner_text("#said")
    assert len(handed_over_of(saved_file(page, tmp_path / "f.json"), "f.json").flights) == 1


def test_a_flight_without_its_landing_is_not_kept(page: Page) -> None:
    page.fill("[name=landed]", "")
    page.click("#keep")
    assert shelf(page) == []


def test_the_pack_fits_a_phone_and_is_open_to_all(page: Page, file: Path) -> None:
    note(page, defect=DEFECT)
    page.click("#code")
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    axe(page)
    faults = faults_of(file.read_text(encoding="utf-8"))
    assert [
        fault for fault in faults if '"inputmode"' not in fault
    ] == []  # in HTML since 5.1, tidy has not heard of it


def test_without_script_the_pack_is_read_and_the_form_is_not_shown(browser: Browser, file: Path) -> None:
    context = browser.new_context(java_script_enabled=False)
    opened = context.new_page()
    opened.goto(file.as_uri())
    assert opened.is_visible("text=For an officer who asks")
    assert not opened.is_visible("#flight")
    assert opened.is_visible("text=Write the flight down")
    context.close()


class Codes:
    """Our codes out of the browser."""

    def __init__(self, browser: Browser) -> None:
        self.page = browser.new_page()
        self.page.add_script_tag(content=(FOLDER / "qr.js").read_text(encoding="utf-8") + "window.qr = qr;")

    def room(self, version: int, level: str) -> int:
        """How many bytes a version holds."""
        room: int = self.page.evaluate("([v, l]) => qr.room(v, l)", [version, level])
        return room

    def rows(self, text: str, level: str) -> list[str] | None:
        """The rows of a code, in figures 0 and 1."""
        asked = "([t, l]) => { const rows = qr.make(t, l); return rows && rows.map((row) => row.join('')); }"
        rows: list[str] | None = self.page.evaluate(asked, [text, level])
        return rows

    def masked(self, text: str, level: str, version: int) -> list[list[str]]:
        """The rows of a version's code under each mask."""
        asked = (
            "([t, l, v]) => [...Array(8).keys()].map("
            "(mask) => qr.make(t, l, { version: v, mask }).map((row) => row.join('')))"
        )
        every: list[list[str]] = self.page.evaluate(asked, [text, level, version])
        return every


@pytest.fixture
def codes(browser: Browser) -> Iterator[Codes]:
    """Our codes."""
    made = Codes(browser)
    yield made
    made.page.close()


@pytest.mark.parametrize("level", ["L", "M"])
def test_our_codes_are_those_of_segno(codes: Codes, level: str) -> None:
    """Filled to the last byte: segno 1.6.6 puts one more zero byte before the filling than ISO/IEC 18004 7.4.9 asks for."""
    signs = random.Random(7)
    for version in range(1, 21):
        text = "".join(signs.choices(string.ascii_letters, k=codes.room(version, level)))
        every = codes.masked(text, level, version)
        for mask in range(8):
            theirs = segno.make(
                text.encode(),
                version=version,
                error=level,
                mask=mask,
                mode="byte",
                boost_error=False,
                micro=False,
            )
            assert every[mask] == ["".join("01"[bool(dot)] for dot in row) for row in theirs.matrix], (
                version,
                mask,
            )


def test_our_codes_are_read_by_zxing(codes: Codes) -> None:
    signs = random.Random(11)
    alphabet = string.printable[:95] + "éß漢"
    texts = ["".join(signs.choices(alphabet, k=signs.randint(1, 280))) for _ in range(60)]
    for text, level in [*((text, signs.choice("LM")) for text in texts), ("x" * 858, "L"), ("y" * 666, "M")]:
        rows = codes.rows(text, level)
        assert rows is not None
        (read,) = zxingcpp.read_barcodes(_picture(rows), text_mode=zxingcpp.TextMode.Plain)
        assert read.text == text


@pytest.mark.parametrize(("count", "level", "fits"), [(858, "L", True), (859, "L", False), (667, "M", False)])
def test_a_text_too_long_gives_no_code(codes: Codes, count: int, level: str, fits: bool) -> None:
    assert (codes.rows("x" * count, level) is not None) is fits


def _picture(rows: list[str]) -> Image.Image:
    """The code as a picture, four pixels a dot, with its margin."""
    side = len(rows) + 8
    picture = Image.new("L", (side, side), 255)
    for y, row in enumerate(rows):
        for x, is_dark in enumerate(row):
            if is_dark == "1":
                picture.putpixel((x + 4, y + 4), 0)
    made = io.BytesIO()
    picture.resize((side * 4, side * 4), Image.Resampling.NEAREST).save(made, "PNG")
    return Image.open(made)
