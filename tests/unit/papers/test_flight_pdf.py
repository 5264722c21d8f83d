"""The flight sheet: one PDF the same each time, with the answer, the map's words, and what is left to confirm."""

from __future__ import annotations

from airwrit.answers.before_flight.answer import flight_answer
from airwrit.answers.drawings.side_view import side_view
from airwrit.answers.drawings.site_map import site_map
from airwrit.papers.flight_pdf import flight_pdf
from tests.unit.answers.before_flight.planning import plan, program
from tests.unit.papers.pictures import text_of


def test_the_sheet_says_what_the_page_says() -> None:
    answer = flight_answer(plan(), program({"notice_covers": None}), None, None, 1)
    site = site_map(plan(), None)
    side = side_view(answer.check, site, None)
    made = flight_pdf(answer, site, side, "Quarry")
    assert made == flight_pdf(answer, site, side, "Quarry")
    text = text_of(made)
    for said in (
        "Flight Quarry",
        "Fern 1 with Ansel Wray",
        "Confirm before you fly",
        "Brief the crew",
        "no rule this flight would break",
        "From the side, west to east",
        "No terrain data is on file here",
    ):
        assert said in text
    assert "Not checked: current NOTAMs" in text
