"""Worksheets on paper: what stands on them, whatever users wrote, and the same bytes each time."""

from __future__ import annotations

import io
from datetime import date

import pytest
from pypdf import PdfReader

from airwrit.answers.registration.filing import worksheets_of
from airwrit.papers.filing_pdf import _serial, worksheet_pdf
from tests.unit.answers.told import DAY, firm_aircraft, fleet
from tests.unit.papers.pictures import sizes_mm, text_of
from tests.unit.papers.test_labels_pdf import HOSTILE

TOLD = {
    **firm_aircraft("Alder 1", "FA00TEST01", "2023-11-15", mark_place="not marked"),
    **firm_aircraft("Alder 2", "FA00TEST02", "2025-11-15"),
}


def test_what_stands_on_it() -> None:
    text = text_of(worksheet_pdf(worksheets_of(fleet(TOLD)), DAY))
    assert "Registration fees over 3 years" in text
    assert "$10" in text
    assert "14 CFR 48.30, text of Jan 1, 2024, read Dec 1, 2026" in text
    assert "Nothing to do today Alder 2." in text
    assert "Register it again before you fly" in text
    assert "the new number on it." in text
    assert "physical address" in text


def test_a_page_for_the_fleet_and_one_for_each_aircraft() -> None:
    made = worksheet_pdf(worksheets_of(fleet(TOLD), every=True), DAY, paper="A4")
    assert len(PdfReader(io.BytesIO(made)).pages) == 3
    assert sizes_mm(made) == {(210.0, 297.0)}


def test_the_same_worksheets_and_day_give_the_same_bytes() -> None:
    assert worksheet_pdf(worksheets_of(fleet(TOLD)), DAY) == worksheet_pdf(worksheets_of(fleet(TOLD)), DAY)


def test_an_empty_fleet_has_a_page_too() -> None:
    assert "Nothing to fix." in text_of(worksheet_pdf(worksheets_of(fleet({})), DAY))


@pytest.mark.parametrize("name", [name for name in HOSTILE if name])
def test_what_users_write_is_text(name: str) -> None:
    held = name.replace("/", "|")
    told = firm_aircraft(held, "FA00TEST01", "2023-11-15", maker=name, owner=held)
    answer = worksheets_of(fleet(told, date(2026, 11, 25)), every=True)
    text = text_of(worksheet_pdf(answer, DAY))
    assert "FA00TEST01" in text
    if name.startswith("#panic"):
        assert "#panic() $x$ *b* `code` [x] <label> @ref" in text


def test_a_serial_stands_in_groups() -> None:
    told = _serial("zz9z8SURV4A01")
    assert told is not None
    assert [group["signs"] for group in told["groups"]] == ["ZZ9Z", "8", "SURV", "4A01"]
    assert told["wrong"] is None
    wrong = _serial("ZZ9Z8SURV4AO1")
    assert wrong is not None
    assert [group["signs"] for group in wrong["groups"]] == ["ZZ9Z8SURV4AO1"]
    assert "O isn't allowed" in wrong["wrong"]
    assert _serial(None) is None
