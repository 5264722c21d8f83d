"""The check of a flown flight on paper: the same bytes each time, with the answer, intervals and what the log can't show."""

from __future__ import annotations

from airwrit.papers.flown_pdf import flown_pdf
from tests.unit.answers.after_flight.asking import answered
from tests.unit.papers.pictures import text_of
from tests.unit.tracks.made import bump, made


def test_the_paper_says_what_the_page_says() -> None:
    answer = answered(made(bump(60, 500, 130.0, 60)))
    made_paper = flown_pdf(answer)
    assert made_paper == flown_pdf(answer)
    text = " ".join(text_of(made_paper).split())
    for said in (
        "The flight went past 1 limit",
        "Past a limit, or too close to tell",
        "14 CFR 107.51(b)",
        "SHA-256",
    ):
        assert said in text
