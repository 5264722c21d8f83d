"""Flights entered by hand: named so that the same flight is one, corrected only where told, released after a defect."""

from __future__ import annotations

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest

from airwrit.answers.flights.entering import (
    FlightEntry,
    entering,
    flight_subject,
    handed,
    open_defects,
    placed,
    releasing,
    remarks_on,
    statements_of,
)
from airwrit.answers.sheets.difference import ChangeKind, OnRecord
from airwrit.base.days import parse_when
from airwrit.base.errors import BadFact
from airwrit.facts.statement import Known, Statement
from airwrit.intake.typed.flight import Flown

NOW = datetime(2026, 11, 25, 16, tzinfo=UTC)
LANDED = parse_when("2026-11-25T10:20-05:00")
FLOWN = Flown("H-03", "Ivo Brask", LANDED, Decimal(14), Decimal(1), ("P1", "P2"), "crack in left arm")


def before(*statements: Statement) -> OnRecord:
    """A ledger that holds an aircraft, two people and these statements."""
    fleet = (
        Statement("aircraft/H-03", "maker", "Korrin"),
        Statement("person/Ivo Brask", "role", "pilot"),
        Statement("person/Nela Quist", "role", "pilot"),
    )
    groups: dict[tuple[str, str], list[Known]] = {}
    for at, statement in enumerate((*fleet, *statements), 1):
        said = Known(statement, f"entry {at}", NOW, f"{at}.0")
        groups.setdefault((statement.subject, statement.key), []).append(said)
    return OnRecord(len(fleet) + len(statements), groups, {})


def test_a_flight_is_one_entry_of_what_is_known_of_it() -> None:
    taking = entering(before(), [FLOWN], "ada")
    (draft,) = taking.drafts
    assert (draft.by, draft.act) == ("ada", "enter")
    assert {one.key: one.value for one in draft.statements} == {
        "flight_aircraft": "H-03",
        "flight_pilot": "Ivo Brask",
        "flown_on": "2026-11-25T10:20-05:00",
        "minutes": "14",
        "landings": "1",
        "packs": "P1, P2",
        "defect_seen": "crack in left arm",
    }
    assert {one.subject for one in draft.statements} == {"flight/H-03 2026-11-25T15:20Z"}


@pytest.mark.parametrize(
    ("landed", "nth", "name"),
    [
        ("2026-11-25T10:20-05:00", 1, "flight/H-03 2026-11-25T15:20Z"),
        ("2026-11-25T09:20-06:00", 1, "flight/H-03 2026-11-25T15:20Z"),
        ("2026-11-25T10:20:59-05:00", 1, "flight/H-03 2026-11-25T15:20Z"),
        ("2026-11-25T10:21-05:00", 1, "flight/H-03 2026-11-25T15:21Z"),
        ("2026-11-25", 1, "flight/H-03 2026-11-25"),
        ("2026-11-25", 2, "flight/H-03 2026-11-25 no. 2"),
    ],
)
def test_a_flight_is_named_by_aircraft_and_landing(landed: str, nth: int, name: str) -> None:
    assert flight_subject(FLOWN._replace(landed=parse_when(landed), nth=nth)) == name


@pytest.mark.parametrize("again", ["2026-11-25T10:20-05:00", "2026-11-25T09:20-06:00", "2026-11-25T15:20Z"])
def test_the_same_flight_again_adds_nothing(again: str) -> None:
    held = before(*statements_of(FLOWN))
    taking = entering(held, [FLOWN._replace(landed=parse_when(again))], "ada")
    assert taking.is_empty
    assert taking.same == 7


def test_another_word_on_the_same_flight_is_a_contradiction_until_corrected() -> None:
    held = before(*statements_of(FLOWN))
    other = FLOWN._replace(minutes=Decimal(15))
    assert [one.key for one in entering(held, [other], "ada").contradictions] == ["minutes"]
    corrected = entering(held, [other], "ada", corrects=True)
    assert [(c.kind, c.statement.key) for c in corrected.changes] == [(ChangeKind.CORRECTED, "minutes")]
    assert not corrected.contradictions


def test_silence_takes_no_defect_back() -> None:
    held = before(*statements_of(FLOWN))
    assert entering(held, [FLOWN._replace(defect="")], "ada", corrects=True).is_empty


def test_names_are_led_to_those_on_record() -> None:
    assert placed(before(), FLOWN._replace(aircraft="h-03", pilot="ivo  brask")) == FLOWN
    with pytest.raises(BadFact, match=r"No aircraft on record is named 'H-04'. Did you mean H-03\?"):
        placed(before(), FLOWN._replace(aircraft="H-04"))
    with pytest.raises(BadFact, match=r"Nobody on record is named 'Zed'. Import or record the person first."):
        placed(before(), FLOWN._replace(pilot="Zed"))


@pytest.mark.parametrize(
    ("landed", "is_remarked"),
    [
        ("2026-11-25T16:10+00:00", False),
        ("2026-11-25T16:11+00:00", True),
        ("2026-11-26", False),
        ("2026-11-27", True),
    ],
)
def test_a_landing_ahead_of_the_clock_is_remarked(landed: str, is_remarked: bool) -> None:
    assert bool(remarks_on(parse_when(landed), NOW)) is is_remarked


def test_what_cannot_be_entered_is_told_by_place_and_the_rest_goes_on() -> None:
    said = [
        FlightEntry(FLOWN, "flight 1"),
        FlightEntry(FLOWN._replace(aircraft="H-09"), "flight 2"),
        FlightEntry(FLOWN, "flight 3"),
        FlightEntry(FLOWN._replace(minutes=Decimal(3)), "flight 4"),
    ]
    good, problems = handed(before(), said, NOW)
    assert good == (FLOWN,)
    assert [problem.where for problem in problems] == ["flight 2", "flight 4"]
    assert all(problem.unread for problem in problems)


def test_a_sign_off_by_somebody_who_had_left_stays_open_and_is_replaced() -> None:
    flight = flight_subject(FLOWN)
    signed = [
        *statements_of(FLOWN),
        Statement(flight, "defect_released_on", "2026-11-25"),
        Statement(flight, "defect_released_by", "Ivo Brask"),
    ]
    on = date(2026, 11, 30)
    assert open_defects(before(*signed), on) == ()
    after = before(*signed, Statement("person/Ivo Brask", "left_on", "2026-11-26"))
    assert open_defects(after, on) == ()
    gone = before(*signed, Statement("person/Ivo Brask", "left_on", "2026-11-25"))
    assert [(one.flight, one.gone) for one in open_defects(gone, on)] == [(flight, "Ivo Brask")]
    undated = before(*signed, Statement("person/Ivo Brask", "has_left", True))
    assert [one.gone for one in open_defects(undated, on)] == ["Ivo Brask"]
    taking = releasing(gone, "H-03", on, "Nela Quist", "ada")
    assert {(c.statement.key, c.statement.value, len(c.was)) for c in taking.changes} == {
        ("defect_released_on", "2026-11-30", 1),
        ("defect_released_by", "Nela Quist", 1),
    }


def test_a_release_closes_the_defects_seen_before_it() -> None:
    later = FLOWN._replace(landed=parse_when("2026-11-25T12:00-05:00"), defect="motor 2 is loud")
    fine = FLOWN._replace(landed=parse_when("2026-11-24T12:00-05:00"), defect="None.")
    held = before(*statements_of(FLOWN), *statements_of(later), *statements_of(fine))
    taking = releasing(held, "h-03", parse_when("2026-11-25T11:00-05:00"), "Nela Quist", "ada")
    assert {(c.statement.subject, c.statement.key, c.statement.value) for c in taking.changes} == {
        (flight_subject(FLOWN), "defect_released_on", "2026-11-25T11:00-05:00"),
        (flight_subject(FLOWN), "defect_released_by", "Nela Quist"),
    }
    with pytest.raises(BadFact, match="No open defect"):
        releasing(held, "H-03", date(2026, 11, 24), "Nela Quist", "ada")
