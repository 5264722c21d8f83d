"""Planned flights on record: kept with the answer, found again, and confirmations that end with their plan."""

from __future__ import annotations

import json
from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from pathlib import Path

import pytest

from airwrit.answers.before_flight.answer import flight_answer
from airwrit.answers.before_flight.day import release_text
from airwrit.answers.before_flight.plan import FlightPlan, StructureBeside
from airwrit.answers.before_flight.saved import (
    FlightRelease,
    SavedFlight,
    flights_on,
    in_two_places,
    saved_flight,
    without_plans,
)
from airwrit.answers.before_flight.saving import saving
from airwrit.answers.proof.conclusions import ProofQuestion
from airwrit.answers.proof.proof import proof_of
from airwrit.answers.sheets.difference import before
from airwrit.base.errors import UsageError
from airwrit.facts.statement import Known, Statement
from airwrit.ledger.ports import Draft
from airwrit.ledger.sqlite.store import Ledger
from tests.unit.answers.before_flight.planning import PLACE, plan, program

AT = datetime(2026, 6, 10, 12, tzinfo=UTC)
DAY = date(2026, 6, 10)


@pytest.fixture
def book(tmp_path: Path) -> Ledger:
    """An empty ledger."""
    return Ledger.at(tmp_path / "plans.airwrit")


def kept(
    book: Ledger,
    name: str,
    planned: FlightPlan,
    minute: int = 0,
    release: FlightRelease | None = None,
) -> Sequence[Known]:
    """All that is on record once a plan was kept."""
    given, at = program(), AT + timedelta(minutes=minute)
    answer = flight_answer(planned, given, None, None, 1)
    made = saving(before(book), name, answer, given.told, "Ansel Wray", at, release)
    book.append(made.taking.drafts, lambda: at, after=made.taking.after, files=made.files)
    return book.known(at + timedelta(seconds=1))


def test_a_plan_is_kept_with_its_answer_and_found_again(book: Ledger) -> None:
    known = kept(book, "Quarry", plan())
    found = saved_flight(known, "Quarry")
    assert found.plan == plan()
    assert (found.answer, found.answered_on, found.outdated) == ("nothing_against", AT, ())
    assert {item.statement.key for item in found.told} == {item.statement.key for item in program().told}
    assert [one.subject for one in flights_on(known, DAY)] == ["flight/Quarry"]
    assert flights_on(known, DAY + timedelta(days=1)) == ()


def test_a_structure_and_what_it_carries_are_kept_and_end_with_another_plan(book: Ledger) -> None:
    beside = StructureBeside(Decimal(390), Decimal(300), PLACE)
    planned = plan(structure=beside, packs=("P1",), configuration="With lamp")
    assert saved_flight(kept(book, "Mast", planned), "Mast").plan == planned
    by_distance = plan(structure=beside._replace(place=None))
    assert saved_flight(kept(book, "Mast", by_distance, 1), "Mast").plan == by_distance
    assert saved_flight(kept(book, "Mast", plan(), 2), "Mast").plan == plan()


def test_the_file_kept_with_it_holds_the_answer_and_nothing_private(book: Ledger) -> None:
    kept(book, "Quarry", plan())
    lines = [line.text for line in book.lines() if line.text and "plan-flight" in line.text]
    digest = json.loads(lines[0])["source"].rpartition("sha256:")[2]
    file = book.file(digest)
    assert file is not None
    assert file.data is not None
    told = json.loads(file.data)
    assert told["whole"] == "nothing_against"
    crew = next(one for one in told["clauses"] if one["rule"] == "crew_fit")
    assert (crew["verdict"], crew["says"], crew["used"]) == ("met", None, {})
    assert "hours_since_drink" not in lines[0]


@pytest.mark.parametrize(
    "change",
    [
        {"height_ft": Decimal(210)},
        {"ends": plan().ends + timedelta(minutes=1)},
        {"area": "38.5, -98.5 within 600 ft"},
        {"aircraft": "aircraft/Fern 2"},
        {"pilot": "person/Dot Wray"},
    ],
)
def test_a_plan_changed_elsewhere_ends_its_confirmations(book: Ledger, change: dict[str, object]) -> None:
    known = list(kept(book, "Quarry", plan()))
    other = plan(**change)
    for key, held in other.facts().items():
        mine = next(item for item in known if item.statement.key == key.name)
        if str(mine.statement.value) != str(held.value):
            known.append(
                Known(Statement("flight/Quarry", key.name, _raw(held.value)), "", AT, "9.0", (mine.number,))
            )
    found = saved_flight(known, "Quarry")
    assert found.told == ()
    assert "notice_covers" in found.outdated


def _raw(value: object) -> str:
    return value.isoformat() if isinstance(value, datetime) else str(value)


def test_an_aircraft_and_a_pilot_are_in_one_place_at_a_time(book: Ledger) -> None:
    kept(book, "One", plan())
    later = plan(starts=plan().ends, ends=plan().ends + timedelta(minutes=20))
    assert in_two_places(flights_on(kept(book, "Two", later, 1), DAY)) == ()
    earlier = plan(starts=later.starts - timedelta(seconds=1), ends=later.ends)
    found = in_two_places(flights_on(kept(book, "Two", earlier, 2), DAY))
    assert [one.what for one in found] == ["aircraft/Fern 1", "person/Ansel Wray"]


def test_a_battery_is_in_one_aircraft_at_a_time(book: Ledger) -> None:
    kept(book, "One", plan(packs=("P1", "P2")))
    other = plan(aircraft="aircraft/Fern 2", pilot="person/Dot Wray", packs=("P2",))
    found = in_two_places([*flights_on(book.known(AT + timedelta(seconds=1)), DAY), _as_saved(other)])
    assert [one.what for one in found] == ["battery/P2"]


def _as_saved(planned: FlightPlan) -> SavedFlight:
    return SavedFlight("flight/Two", planned, (), (), "", None)


def test_what_a_plan_no_longer_says_is_taken_back(book: Ledger) -> None:
    kept(book, "One", plan(packs=("P1",), takeoff=PLACE))
    found = saved_flight(kept(book, "One", plan(), 1), "One")
    assert (found.plan.packs, found.plan.takeoff) == ((), None)


def test_what_is_no_plan_is_refused_by_name(book: Ledger) -> None:
    known = kept(book, "Quarry", plan())
    with pytest.raises(UsageError, match="There is no planned flight"):
        saved_flight(known, "Other")
    answer = flight_answer(plan(), program(), None, None, 1)
    with pytest.raises(UsageError, match="no name"):
        saving(before(book), " ", answer, (), "Ansel Wray", AT)


def test_a_planned_flight_that_was_flown_counts_as_any_flight(book: Ledger) -> None:
    known = list(kept(book, "Quarry", plan()))
    assert without_plans(known) == []
    defect = Known(Statement("flight/Quarry", "defect_seen", "cracked arm"), "", AT, "9.0")
    assert without_plans([*known, defect]) == [*known, defect]


def test_a_flight_is_released_by_name_until_it_is_saved_again(book: Ledger) -> None:
    known = kept(book, "Quarry", plan(), release=FlightRelease("Dot Wray"))
    found = saved_flight(known, "Quarry")
    assert found.release == FlightRelease("Dot Wray", "", AT)
    assert release_text(found) == "Released by Dot Wray, Jun 10, 7:00 AM CDT."
    again = saved_flight(kept(book, "Quarry", plan(height_ft=Decimal(210)), 1), "Quarry")
    assert again.is_outdated
    assert "Release it again." in release_text(again)


def test_a_reason_turns_no_answer_into_a_yes(book: Ledger) -> None:
    high = plan(height_ft=Decimal(450))
    with pytest.raises(UsageError, match="isn't OK"):
        kept(book, "High", high, release=FlightRelease("Dot Wray"))
    found = saved_flight(
        kept(book, "High", high, release=FlightRelease("Dot Wray", "a child was lost")), "High"
    )
    assert found.answer == "not_allowed"
    assert "Released although the answer wasn't OK. Reason: a child was lost." in release_text(found)
    with pytest.raises(UsageError, match="Nothing keeps this flight"):
        kept(book, "Low", plan(), release=FlightRelease("Dot Wray", "in a hurry"))


def test_a_proof_of_that_day_shows_the_answer_and_who_released_the_flight(book: Ledger) -> None:
    given = program()
    facts = [item.statement for item in given.known]
    book.append([Draft("Dot Wray", "record", tuple(facts), ())], lambda: AT)
    high = plan(height_ft=Decimal(450))
    kept(book, "High", high, 1, FlightRelease("Dot Wray", "a child was lost"))
    later = AT + timedelta(hours=1)
    told = proof_of(book, ProofQuestion(DAY, later, ("aircraft/Fern 1",))).answers["planned_flights"]
    assert [one["flight"] for one in told] == ["flight/High"]
    assert told[0]["answer_given"] == "not_allowed"
    assert (told[0]["accepted_by"], told[0]["flown_against"]) == ("Dot Wray", "a child was lost")
    file = book.file(told[0]["sha256"])
    assert file is not None
    assert file.data is not None
    snapshot = json.loads(file.data)
    assert (snapshot["verdict"], snapshot["released_by"]) == ("not_met", "Dot Wray")
    other = proof_of(book, ProofQuestion(DAY + timedelta(days=1), later, ("aircraft/Fern 1",))).answers
    assert "planned_flights" not in other
