"""What many flights come to in a sentence and by month; a flight whose aircraft was not OK is no flight past a limit."""

from __future__ import annotations

import pytest

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


def flight(
    log: str, landed: str, minutes: float, aircraft: str = "Moss 2", pilot: str = "Nela"
) -> FlightLine:
    """A line of a flight that landed at some time of a day."""
    at = f"2026-06-10T{landed}+00:00" if landed else ""
    return line(log)._replace(landed=at, minutes=minutes, landings=1, aircraft=aircraft, pilot=pilot)


@pytest.mark.parametrize(
    ("other", "flights", "minutes"),
    [
        (flight("b", "12:10:00", 20.0), 1, 20.0),
        (flight("b", "12:20:00", 20.0), 1, 20.0),
        (flight("b", "12:20:00", 19.0), 2, 39.0),
        (flight("b", "12:20:00", 24.0), 1, 24.0),
        (flight("b", "12:31:00", 20.0), 2, 40.0),
        (flight("b", "12:10:00", 20.0, "Fern 1"), 1, 20.0),
        (flight("b", "", 20.0), 2, 40.0),
    ],
)
def test_a_log_of_a_flight_that_another_log_shows_counts_once(
    other: FlightLine, flights: int, minutes: float
) -> None:
    """Two logs of one aircraft that were in the air together for over half of the shorter: the longer one counts."""
    many = many_of([flight("a", "12:10:01", 20.0), other])
    assert (many.totals["aircraft"]["Moss 2"].flights, many.totals["aircraft"]["Moss 2"].minutes) == (
        flights,
        minutes,
    )
    same = [one for one in many.lines if one.same_as]
    assert len(same) == 2 - many.totals["pilot"]["Nela"].flights
    assert all("It counts once in the totals." in line_text(one) for one in same)


def test_an_aircraft_that_was_not_ok_is_said_and_is_no_limit() -> None:
    more = {SOLD: {**firm_aircraft("Moss 2", "FA00TEST02", "2025-03-03")[SOLD], "sold_on": "2026-01-05"}}
    found = line_of(answered(made(bump(60, 500, 50.0, 60)), ASKED._replace(aircraft=SOLD), more=more))
    assert (found.past, len(found.not_ok)) == (0, 1)
    assert found.not_ok[0] in line_text(found)
    many = many_of([found])
    assert "On 1 flight, the aircraft or the pilot wasn't OK to fly." in many_text(many)
    assert list(many.months.values()) == [(1, 0, 1)]
