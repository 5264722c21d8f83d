"""The pages of the law: what they say of readings is counted, and a day long after the last one says so first."""

from __future__ import annotations

from datetime import timedelta

from airwrit.base.sentences import day_words
from airwrit.law.parameters import LATE_AFTER_DAYS, Had, last_read, readings
from tests.unit.web.conftest import Visitor
from tests.unit.web.pages.test_sheets import text_of


def test_the_readings_told_are_counted(visitor: Visitor) -> None:
    text, read = text_of(visitor().get("/rules").text), readings()
    assert (
        f"{read.values} values are behind these rules. "
        f"We read the values between {day_words(read.first_on)} and {day_words(read.last_on)}: "
        f"{read.had[Had.PRIMARY]} in the primary text, {read.had[Had.COPY]} in a copy of the Code, "
        f"{read.had[Had.AGENCY]} on an agency page in a stored copy, {read.had[Had.SECONDARY]} in secondary sources, "
        f"{read.had[Had.MEMORY]} written from memory and not checked against the text."
    ) in text


def test_a_rule_tells_all_three_facts_of_a_value(visitor: Visitor) -> None:
    text = text_of(visitor().get("/rules/certificate_held").text)
    assert "Primary text: text of Jun 28, 2016, read " in text


def test_a_day_long_after_the_last_reading_says_so_above_the_sheet(visitor: Visitor) -> None:
    client, last = visitor(), last_read() + timedelta(days=LATE_AFTER_DAYS)
    late = client.get("/today", params={"on": str(last + timedelta(days=1))}).text
    assert 0 < late.index("days before this day") < late.index('<main id="sheet">')
    assert "days before this day" not in client.get("/today", params={"on": str(last)}).text
