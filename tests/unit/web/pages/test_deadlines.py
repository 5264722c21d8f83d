"""The due page tells what `airwrit deadlines` tells, and its calendar is the same one."""

from __future__ import annotations

import html
import re
from datetime import date
from pathlib import Path

import html5lib

from airwrit.base.days import add_days
from airwrit.facts.key import Raw
from airwrit.facts.statement import Statement
from airwrit.ledger.ports import Draft
from airwrit.ledger.sqlite.store import Ledger
from airwrit.web.parts.timeline import years_ahead
from tests.browser.serving import clock
from tests.unit.web.conftest import Visitor


def rows(source: str) -> list[str]:
    """The days in the first column of the list."""
    tree = html5lib.parse(source, namespaceHTMLElements=False)
    table = next(one for one in tree.iter("table") if one.get("class") == "roll")
    return [found.get("datetime", "") for found in table.findall("./tbody/tr/th/time")]


def test_page_twin_and_calendar_tell_the_same_days(visitor: Visitor) -> None:
    client = visitor()
    twin = client.get("/deadlines.json").json()
    days = {one["day"] for one in twin["due"]}
    assert set(rows(client.get("/deadlines").text)) == days
    saved = client.get("/deadlines.ics")
    assert saved.headers["content-disposition"].startswith("attachment")
    assert saved.headers["content-type"].startswith("text/calendar")
    told = set(re.findall(r"^DTSTART;VALUE=DATE:(\d{8})", saved.text, re.MULTILINE))
    assert {one["day"].replace("-", "") for one in twin["due"] if not one["overdue"]} <= told


def test_the_fees_are_those_of_the_twin(visitor: Visitor) -> None:
    client = visitor()
    fees = client.get("/deadlines.json").json()["fees"]
    assert f"${fees['total_usd']} for" in client.get("/deadlines").text


def test_what_is_late_stands_first_and_is_told_in_days(visitor: Visitor) -> None:
    page = visitor().get("/deadlines").text
    found = rows(page)
    late = [day for day in found if day < "2026-11-25"]
    assert found[: len(late)] == late == sorted(late)
    assert "1 day ago" in page


def test_a_past_day_has_a_list_of_its_own(visitor: Visitor) -> None:
    page = visitor().get("/deadlines?on=2024-03-01").text
    assert "You can save only on today's page" in page
    assert "/deadlines.ics?on=2024-03-01" in page


def test_weeks_hold_every_day_of_the_span_once(visitor: Visitor) -> None:
    client = visitor()
    twin = client.get("/deadlines.json").json()
    told = [line for week in twin["weeks"] for line in week["lines"]]
    assert twin["weeks"][0]["monday"] is None
    days = {one["day"] for one in twin["due"] if one["overdue"] or one["day"] <= "2027-02-23"}
    assert {line["day"] for line in told} == days
    subjects = [(line["day"], subject) for line in told for subject in line["subjects"]]
    assert len(subjects) == len(set(subjects))
    for days_asked, last in (("30", "2026-12-25"), ("90", "2027-02-23")):
        page = client.get("/deadlines", params={"days": days_asked}).text
        shown = page[: page.index('id="years"')]
        assert f"Next {days_asked} days" in shown
        assert max(re.findall(r'<th scope="row"><time datetime="([0-9-]+)"', shown)) <= last


def test_a_calendar_file_of_a_span_holds_no_later_day(visitor: Visitor) -> None:
    client = visitor()
    saved = client.get("/deadlines.ics", params={"days": "30"})
    assert "deadlines-30-days.ics" in saved.headers["content-disposition"]
    days = re.findall(r"^DTSTART;VALUE=DATE:(\d{8})", saved.text, re.MULTILINE)
    assert days
    assert max(days) <= "20261225"
    assert client.get("/deadlines", params={"days": "31"}).status_code == 400


def test_what_many_have_in_common_has_one_button(visitor: Visitor) -> None:
    page = visitor().get("/deadlines").text
    button = re.search(r'href="(/filed-with-faa[^"]*)">File 6 changes', page)
    assert button is not None
    assert button[1].count("which=") == 6


def test_a_duty_without_a_person_is_assigned_from_its_line(visitor: Visitor, tmp_path: Path) -> None:
    path = tmp_path / "own.airwrit"
    certificate: dict[str, Raw] = {"registration_kind": "Part 48 per aircraft", "issued_on": "2024-01-15"}
    said: dict[str, dict[str, Raw]] = {
        "aircraft/Plum": {"registration": "FA00TEST01"},
        "registration/FA00TEST01": certificate,
    }
    with Ledger.begin(path) as book:
        statements = [
            Statement(one, key, value) for one, facts in said.items() for key, value in facts.items()
        ]
        book.append([Draft("ada", "record", tuple(statements))], clock)
    client = visitor(path)
    page = client.get("/deadlines").text
    assign = re.search(r'Nobody yet</span> <a href="([^"]*)">Assign', page)
    assert assign is not None
    form = client.get(html.unescape(assign[1]))
    assert form.status_code == 200
    assert "duty/registration" in form.text
    weeks = client.get("/deadlines.json").json()["weeks"]
    assert {line["duty"] for week in weeks for line in week["lines"]} == {"registration"}
    with Ledger(path) as book:
        duty = Statement("duty/registration", "duty_done_by", "Nela Quist")
        book.append([Draft("ada", "record", (duty,))], clock)
    after = client.get("/deadlines").text
    assert "Nobody yet" not in after
    assert "Nela Quist" in after


def test_nothing_yet_shows_the_ways_in(visitor: Visitor, tmp_path: Path) -> None:
    assert "You can start in three ways" in visitor(tmp_path / "none.airwrit").get("/deadlines").text


def test_three_years_lie_ahead_on_the_axis() -> None:
    for on in (date(2026, 1, 1), date(2026, 11, 25), date(2024, 2, 29)):
        axis = years_ahead(on)
        assert axis.holds(add_days(on, 3 * 365))
        assert axis.start <= on < add_days(axis.start, 92)
