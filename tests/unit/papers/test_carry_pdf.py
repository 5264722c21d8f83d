"""The carry pack on paper: the same content as the page, whatever stands in the names."""

from __future__ import annotations

import io
from datetime import UTC, datetime

import pypdf
import pytest

from airwrit.answers.before_flight.answer import flight_answer
from airwrit.answers.before_flight.day import MOST_SHEETS, FlightSheet
from airwrit.answers.drawings.side_view import side_view
from airwrit.answers.drawings.site_map import site_map
from airwrit.facts.key import Raw
from airwrit.papers.carry_page import carry_page
from airwrit.papers.carry_pdf import carry_pdf
from tests.unit.answers.before_flight.planning import plan
from tests.unit.answers.before_flight.planning import program as program_of_a_flight
from tests.unit.answers.carry.test_pack import BARE, PILOT, Told, pack, program

SAVED = datetime(2026, 11, 25, 6, 30, tzinfo=UTC)


def text_of(told: Told | None = None, whom: str | None = None, paper: str = "letter") -> str:
    """The words on all pages."""
    read = pypdf.PdfReader(io.BytesIO(carry_pdf(pack(told, whom=whom), SAVED, paper=paper)))
    return " ".join(" ".join(page.extract_text().split()) for page in read.pages)


def test_the_paper_says_what_the_page_says() -> None:
    waiver: dict[str, Raw] = {
        "paper_kind": "waiver",
        "ends_on": "2027-01-01",
        "covers_all": True,
        "carried": "a copy",
    }
    text = text_of(program(W=waiver), whom="Dara Venn, 555-0100")
    for words in (
        "Carry pack Nov 25, 2026",
        "This is a copy.",
        "FA00TEST01",
        "ZZ9Z6TEST01",
        "0000001",
        "For an officer who asks",
        "Dara Venn, 555-0100",
        "Based on papers on file.",
        "not OK (registration expired)",
        "Help anyone hurt. Call 911.",
        "Land as soon as practicable.",
        "that means by Dec 5, 2026",
        "a copy",
    ):
        assert words in text
    assert "1983" not in text


def test_gaps_are_on_the_paper_too() -> None:
    text = text_of(BARE, paper="A4")
    assert "not on file" in text
    assert "No waiver or other document on file covers this pilot or these aircraft." in text


@pytest.mark.parametrize("name", ["#panic()", "$ * _ `", "A" * 300, "\u202eabc", "x<y>&"])
def test_a_name_is_never_source(name: str) -> None:
    assert text_of({f"aircraft/{name}": {"maker": name}, "person/Ivo Brask": PILOT})


def test_the_same_pack_gives_the_same_bytes() -> None:
    assert carry_pdf(pack(), SAVED) == carry_pdf(pack(), SAVED)


def test_the_flight_sheets_are_the_last_pages_and_a_full_pack_stays_small() -> None:
    answer = flight_answer(plan(), program_of_a_flight({"notice_covers": None}), None, None, 1)
    site = site_map(plan(), None)
    sheet = FlightSheet("flight/Quarry 1", answer, site, side_view(answer.check, site, None))
    none = FlightSheet("flight/Quarry 2", None, None, None, "no tile is on file; add one")
    made = carry_pdf(pack(), SAVED, [sheet, none])
    text = " ".join(pypdf.PdfReader(io.BytesIO(made)).pages[number].extract_text() for number in range(-4, 0))
    for words in (
        "Flight Quarry 1",
        "Confirm before you fly",
        "Brief the crew",
        "Flight Quarry 2",
        "No tile is on file",
    ):
        assert words in " ".join(text.split())
    full = [sheet._replace(flight=f"flight/Quarry {number}") for number in range(MOST_SHEETS)]
    assert len(carry_pdf(pack(), SAVED, full)) < 1_000_000
    assert len(carry_page(pack(), SAVED, full)) < 500_000
