"""What many flights come to in a sentence and by month; a flight whose aircraft was not OK is no flight past a limit."""

from __future__ import annotations

from airwrit.answers.after_flight.many import FlightLine, line_of, line_text, many_of, many_text
from airwrit.base.verdict import Verdict
from tests.unit.answers.after_flight.asking import ASKED, answered
from tests.unit.answers.told import firm_aircraft
from tests.unit.tracks.made import bump, made

SOLD = "aircraft/Moss 2"


def line(log: str, *, past: int = 0, left_open: int = 0, refused: str = "", copy_of: str = "") -> FlightLine:
    """A line of a day in June."""
    whole = "past_limits" if past else "cant_tell" if left_open else "nothing_shown"
    return FlightLine(
        log,
        log,
        0,
        "" if refused else "2026-06-10",
        Verdict.UNKNOWN.value,
        "" if refused else whole,
        past,
        0,
        left_open,
        0.0,
        None,
        None,
        0,
        "",
        refused,
        copy_of=copy_of,
    )


def test_the_whole_in_plain_words() -> None:
    lines = [line("a", past=2), line("b", left_open=1), line("c", refused="Broken."), line("d", copy_of="a")]
    many = many_of(lines)
    assert many_text(many) == "2 flights checked. 1 flight went past a limit. 1 log couldn't be checked."
    assert [one.log for one in many.lines] == ["a", "c", "b", "d"]
    assert many.months == {"": (1, 0, 1), "2026-06": (2, 1, 1)}
    assert many_text(many_of([line("c", refused="Broken.")])) == (
        "No flight could be checked. 1 log couldn't be checked."
    )
    assert many_text(many_of([line("b")])) == "1 flight checked. No log shows an aircraft going past a limit."


def test_an_aircraft_that_was_not_ok_is_said_and_is_no_limit() -> None:
    more = {SOLD: {**firm_aircraft("Moss 2", "FA00TEST02", "2025-03-03")[SOLD], "sold_on": "2026-01-05"}}
    found = line_of(answered(made(bump(60, 500, 50.0, 60)), ASKED._replace(aircraft=SOLD), more=more))
    assert (found.past, len(found.not_ok)) == (0, 1)
    assert found.not_ok[0] in line_text(found)
    many = many_of([found])
    assert "On 1 flight, the aircraft or the pilot wasn't OK to fly." in many_text(many)
    assert list(many.months.values()) == [(1, 0, 1)]
