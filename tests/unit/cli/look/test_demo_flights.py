"""The demo's week of planned flights: each trap is found on its day, and the notice says that it is invented."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta

import pytest

from airwrit.answers.before_flight.day import FlightDay, flight_day, release_text
from airwrit.answers.before_flight.program import Program
from airwrit.answers.before_flight.saved import without_plans
from airwrit.answers.sheets.difference import before
from airwrit.answers.sheets.importing import ImportOptions, keep, preview_of, read_files
from airwrit.base.verdict import Verdict
from airwrit.cli.look.demo_flights import keep_demo_flights
from airwrit.demo.workbook import write_demo
from airwrit.ledger.sqlite.store import Ledger

DAY = date(2026, 11, 25)
AT = datetime(2026, 11, 25, 18, tzinfo=UTC)


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Ledger]:
    """The demo's ledger with its flights."""
    folder = tmp_path_factory.mktemp("demo")
    write_demo(folder / "demo.xlsx", DAY)
    with Ledger.begin(folder / "demo.airwrit") as made:
        read = read_files([("demo.xlsx", (folder / "demo.xlsx").read_bytes())])
        keep(made, preview_of(read, before(made), ImportOptions("demo", DAY)), lambda: AT)
        keep_demo_flights(made, DAY, AT, ())
        yield made


def day_of_week(book: Ledger, number: int) -> FlightDay:
    at = AT + timedelta(minutes=1)
    known = book.known(at)
    program = Program(without_plans(known), at)
    return flight_day(DAY + timedelta(days=number), known, program, book.path.parent / "airspace")


def broken(book: Ledger, number: int) -> set[str]:
    """The rules, aircraft and pilot that stand in the way of the only flight of a day."""
    check = day_of_week(book, number).flights[0].check
    assert check is not None
    rows = {"aircraft": check.aircraft, "pilot": check.pilot}
    found = {one.finding.rule.name for one in check.clauses if one.verdict is Verdict.NOT_MET}
    return found | {name for name, row in rows.items() if check.verdict_of(row) is Verdict.NOT_MET}


def test_the_first_day_wants_an_aircraft_and_a_battery_twice(book: Ledger) -> None:
    found = day_of_week(book, 0)
    assert {one.what for one in found.clashes} == {"aircraft/Alder 1", "battery/P2"}
    first = found.flights[0].check
    assert first is not None
    assert [one.checklist.name for one in first.checklists] == ["Sarvo 4 preflight"]
    assert first.risks is not None


@pytest.mark.parametrize(
    ("number", "what"),
    [(1, "night_lights"), (2, "height_limit"), (3, "aircraft"), (4, "pilot")],
)
def test_each_trap_is_found_on_its_day(book: Ledger, number: int, what: str) -> None:
    assert what in broken(book, number)


def test_the_notice_says_that_it_is_invented(book: Ledger) -> None:
    check = day_of_week(book, 5).flights[0].check
    assert check is not None
    assert check.around.here is not None
    assert [one.area.name for one in check.around.here.touched] == ["INVENTED NOTICE FOR THE DEMO"]
    assert "tfr" in {one.finding.rule.name for one in check.clauses if one.verdict is not Verdict.MET}


def test_the_last_flight_is_released_against_the_answer_and_stays_a_no(book: Ledger) -> None:
    flight = day_of_week(book, 6).flights[0]
    assert "Released although the answer wasn't OK" in release_text(flight.saved)
    assert flight.verdict is Verdict.NOT_MET
