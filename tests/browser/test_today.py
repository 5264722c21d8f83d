"""The day's page in a browser: its height at 15 and at 300 aircraft, jobs without a click, find from everywhere."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from playwright.sync_api import Browser, Page, expect

from airwrit.answers.sheets.difference import before
from airwrit.answers.sheets.importing import ImportOptions, keep, preview_of, read_files
from airwrit.ledger.sqlite.store import Ledger
from tests.browser.looking import axe
from tests.browser.serving import NOW, Site, clock, served

DESK, PHONE = (1440, 900), (390, 844)
MOST = {DESK: 3.1, PHONE: 7}
"""The most screens of the whole page, its footer included."""

FLEET = (
    "Aircraft,used_for,owner,registration,registration_kind,issued_on,registered_to,mark_place,remote_id_way,"
    "remote_id_serial,listed_serial,declaration_accepted,takeoff_weight_g,owner_kind,organized_in_us,based_and_used_in_us\n"
)


def fleet_csv(many: int) -> str:
    """Aircraft of which some have the usual troubles: expired, inside, another serial, for recreation only, facts missing."""
    rows = [FLEET]
    for number in range(many):
        serial = f"ZZ9Z7TEST{number:03d}"
        listed = f"ZZ9Z9TEST{number:03d}" if number % 33 == 7 else serial
        issued = (
            "2023-10-05"
            if number % 16 == 3
            else "2024-01-15"
            if number % 9 == 4
            else f"2025-0{1 + number % 9}-01"
        )
        mark = "inside" if number % 50 == 9 else "" if number % 27 == 8 else "outside"
        kind = "Part 48 recreational" if number % 100 == 38 else "Part 48 per aircraft"
        use = "" if number % 50 == 17 else "work"
        rows.append(
            f"Unit {number:03d},{use},County,FA{number // 100:02d}TEST{number % 100:02d},{kind},{issued},County,"
            f"{mark},standard,{serial},{listed},yes,1400,corporation,yes,yes\n"
        )
    return "".join(rows)


def crew_csv(many: int) -> str:
    """People of whom a quarter are not current."""
    rows = ["Name,flies_for,has_certificate,recurrent_due_on\n"]
    days = ("2026-08-31", "2027-01-31", "2027-10-31", "2028-02-29")
    rows += [f"Pilot {number:03d},work,yes,{days[number % 4]}\n" for number in range(many)]
    return "".join(rows)


@pytest.fixture(scope="module")
def large(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Site]:
    """The page over 300 aircraft and 100 people."""
    path = tmp_path_factory.mktemp("large") / "large.airwrit"
    with Ledger.begin(path) as book:
        for name, text in (("fleet.csv", fleet_csv(300)), ("crew.csv", crew_csv(100))):
            read = read_files([(name, text.encode())])
            keep(book, preview_of(read, before(book), ImportOptions("tests", NOW.date())), clock)
    with served(path) as running:
        yield running


def opened(browser: Browser, site: Site, size: tuple[int, int], path: str = "/today") -> Page:
    """A page of a site in a window of a size."""
    context = browser.new_context(viewport={"width": size[0], "height": size[1]})
    context.add_cookies([{"name": site.cookie["name"], "value": site.cookie["value"], "url": site.address}])
    page = context.new_page()
    page.goto(site.address + path)
    return page


@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "phone"])
@pytest.mark.parametrize("name", ["site", "large"])
def test_the_whole_page_is_a_few_screens(
    browser: Browser,
    name: str,
    size: tuple[int, int],
    request: pytest.FixtureRequest,
    record_property: Callable[[str, object], None],
) -> None:
    page = opened(browser, request.getfixturevalue(name), size)
    screens = page.evaluate("document.documentElement.scrollHeight") / size[1]
    record_property("screens", round(screens, 2))
    assert screens <= MOST[size], f"{screens:.2f} screens"
    assert page.evaluate("document.documentElement.scrollWidth") <= size[0]
    page.context.close()


@pytest.mark.parametrize("name", ["site", "large"])
def test_the_answer_the_posts_and_the_first_fix_stand_on_the_first_screen(
    browser: Browser, name: str, request: pytest.FixtureRequest
) -> None:
    page = opened(browser, request.getfixturevalue(name), DESK)
    expect(page.locator(".say")).to_contain_text("aircraft are grounded")
    ends = page.locator("#fix1").bounding_box()
    assert ends is not None
    assert ends["y"] + ends["height"] <= DESK[1]
    axe(page)
    page.context.close()


def test_why_it_is_grounded_takes_no_click_and_its_fix_one(browser: Browser, site: Site) -> None:
    page = opened(browser, site, DESK)
    line = page.locator("#fix li, .fix > li").filter(has_text="Larch").first
    expect(line).to_contain_text("can't be a Remote ID serial number: O isn't allowed")
    line.locator("a.step").click()
    expect(page.locator("main form").first).to_be_visible()
    page.context.close()


def test_a_number_is_found_from_every_page(browser: Browser, large: Site) -> None:
    page = opened(browser, large, PHONE, "/rules")
    page.get_by_role("searchbox").fill("zz9z7test042")
    page.keyboard.press("Enter")
    expect(page.locator("h1")).to_contain_text("Unit 042")
    page.get_by_role("searchbox").fill("unit 04")
    page.keyboard.press("Enter")
    expect(page.locator("main tbody tr")).to_have_count(10)
    axe(page)
    page.context.close()


def test_the_next_sixty_days_take_one_click_and_their_calendar_two(browser: Browser, site: Site) -> None:
    page = opened(browser, site, DESK)
    page.get_by_role("navigation", name="Pages", exact=True).get_by_role("link", name="Deadlines").click()
    expect(page.locator("#ahead")).to_have_text("Next 60 days")
    with page.expect_download() as saved:
        page.get_by_role("link", name="Get a calendar file, 60 days").click()
    assert saved.value.suggested_filename == "deadlines-60-days.ics"
    axe(page)
    page.context.close()
