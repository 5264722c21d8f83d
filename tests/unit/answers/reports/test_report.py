"""Reports: their sums against sums made anew from the flights, a month of no flight, gaps that are never a zero."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from datetime import UTC, date, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.answers.reports.catalog import (
    OF_STATE,
    READS,
    ReportAsked,
    last_day_of,
    month_asked,
    report_of_state,
)
from airwrit.answers.reports.hours import hours_report
from airwrit.answers.reports.inventory import inventory_report, items_of
from airwrit.answers.reports.job_check import (
    FieldJob,
    client_report,
    contractor_report,
    days_to_check,
    named_on,
)
from airwrit.answers.reports.period import month_report, year_report
from airwrit.answers.reports.report import ProgramReport, report_document
from airwrit.answers.standing.standing import standing
from airwrit.base.errors import UnreadableFile, UsageError
from airwrit.base.verdict import Verdict
from airwrit.facts.fold import state_of
from airwrit.facts.key import Raw
from airwrit.facts.state import State
from airwrit.intake.reader.cells import book_of
from airwrit.ledger.sqlite.store import Ledger
from tests.browser.serving import demo_ledger
from tests.unit.answers.told import firm_aircraft, known_of

NOW = datetime(2026, 12, 31, 20, tzinfo=UTC)
ON = date(2026, 12, 31)
Flight = tuple[int, int, str, str, int | None, int | None]


def program(flights: list[Flight], more: Mapping[str, dict[str, Raw]] | None = None, on: date = ON) -> State:
    """A program of two aircraft and flights: month, day, aircraft, pilot, minutes, landings."""
    facts: dict[str, dict[str, Raw]] = {
        "aircraft/A": {"registration": "FA00TEST01"},
        "aircraft/B": {"maker": "Korrin"},
        **(more or {}),
    }
    for number, (month, day, aircraft, pilot, minutes, landings) in enumerate(flights):
        told = {"flown_on": f"2026-{month:02}-{day:02}", "flight_aircraft": aircraft, "flight_pilot": pilot}
        amounts = {"minutes": minutes, "landings": landings}
        facts[f"flight/{number}"] = {
            **told,
            **{key: str(one) for key, one in amounts.items() if one is not None},
        }
    return state_of(known_of(facts), on, NOW)


FLIGHTS: list[Flight] = [
    (11, 3, "A", "P", 30, 2),
    (11, 3, "A", "Q", 45, 3),
    (11, 30, "B", "P", 6, 1),
    (12, 1, "A", "P", 60, 1),
    (1, 31, "B", "Q", 12, 4),
]


def rows(report: ProgramReport, table: str) -> list[dict[str, Any]]:
    """The rows of a table in the document."""
    found: list[dict[str, Any]] = report_document(report)["tables"][table]["rows"]
    return found


def anew(flights: list[dict[str, Any]], by: str) -> dict[str, tuple[int, Decimal, Decimal]]:
    """The sums of the flights of a document, by naive code of their own."""
    found: dict[str, list[dict[str, Any]]] = defaultdict(list)
    for one in flights:
        found[one[by]].append(one)
    return {
        name: (
            len(mine),
            sum((Decimal(o["minutes"] or 0) for o in mine), Decimal(0)),
            sum((Decimal(o["landings"] or 0) for o in mine), Decimal(0)),
        )
        for name, mine in found.items()
    }


months = st.tuples(
    st.integers(1, 12),
    st.integers(1, 28),
    st.sampled_from("AB"),
    st.sampled_from("PQ"),
    st.one_of(st.none(), st.integers(1, 300)),
    st.one_of(st.none(), st.integers(0, 9)),
)


@given(st.lists(months, max_size=12))
def test_sums_are_those_made_anew_from_the_flights(flights: list[Flight]) -> None:
    state = program(flights)
    all_of = [one for month in range(1, 13) for one in rows(month_report(state, 2026, month), "flights")]
    for table, by in (("aircraft", "aircraft"), ("pilots", "pilot")):
        expected = anew(all_of, by)
        for row in rows(year_report(state, 2026), table):
            flown, minutes, landings = expected.get(row[by], (0, Decimal(0), Decimal(0)))
            assert row["flights"] == flown
            assert row["minutes"] is None or Decimal(row["minutes"]) == minutes
            assert row["landings"] is None or Decimal(row["landings"]) == landings
            assert row["hours"] is None or abs(Decimal(row["hours"]) * 60 - minutes) <= 3
    total = report_document(year_report(state, 2026))["tables"]["months"]["total"]
    assert (
        total["flights"]
        == len(flights)
        == sum(r["flights"] for r in rows(year_report(state, 2026), "months"))
    )


def test_a_month_counts_its_first_and_its_last_day_and_no_other() -> None:
    report = month_report(program(FLIGHTS), 2026, 11)
    assert (
        report.says[0]
        == "3 flights in November 2026: 1.4 hours and 6 landings, with 2 aircraft and 2 pilots."
    )
    assert report.verdict is Verdict.MET
    assert [row["hours"] for row in rows(report, "aircraft")] == ["1.2", "0.1"]


def test_a_month_without_a_flight_is_a_report_of_zero_flights() -> None:
    report = month_report(program(FLIGHTS), 2026, 2)
    assert report.says[0] == "No flights in February 2026. This is a report of zero flights."
    assert [(row["aircraft"], row["flights"], row["hours"]) for row in rows(report, "aircraft")] == [
        ("A", 0, "0.0"),
        ("B", 0, "0.0"),
    ]


def test_minutes_that_nobody_told_are_never_zero_hours() -> None:
    report = month_report(program([(11, 3, "A", "P", None, None)]), 2026, 11)
    assert "hours not on file and landings not on file" in report.says[0]
    assert (rows(report, "aircraft")[0]["hours"], rows(report, "aircraft")[0]["landings"]) == (None, None)
    assert report.verdict is Verdict.UNKNOWN
    some = month_report(program([(11, 3, "A", "P", None, 1), (11, 4, "A", "P", 60, 1)]), 2026, 11)
    assert "at least 1.0 hours and 2 landings" in some.says[0]


def test_rates_are_for_each_hundred_and_not_known_over_nothing() -> None:
    incident: dict[str, Raw] = {"happened_on": "2026-11-03", "incident_aircraft": "A"}
    near: dict[str, Raw] = {"happened_on": "2026-11-04", "near_miss": True}
    flown = program(FLIGHTS, {"incident/1": incident, "incident/2": near})
    assert [
        (r["many"], r["per_100_flights"], r["per_100_hours"]) for r in rows(year_report(flown, 2026), "rates")
    ] == [
        (1, "20.0", "39.2"),
        (1, "20.0", "39.2"),
        (0, "0.0", "0.0"),
    ]
    assert (
        rows(year_report(program([], {"incident/1": incident}), 2026), "rates")[0]["per_100_flights"] is None
    )


# Source: share of the cost that a State pays by flight hours of the aircraft it replaces, as shared notes of the trade quote a
# State agency's page read 2026-11-24; second-hand. Hours from more than the lower to the upper figure.
SHARES = [
    (25, 100),
    (50, 90),
    (100, 80),
    (150, 70),
    (200, 60),
    (250, 50),
    (300, 40),
    (400, 30),
    (500, 20),
    (800, 10),
]


@pytest.mark.parametrize(("upto", "share"), SHARES)
def test_hours_at_a_date_fall_on_the_right_side_of_a_table_of_hours(upto: int, share: int) -> None:
    def share_on(day: date) -> int:
        state = program([(3, 1, "A", "P", upto * 60, 1), (3, 2, "A", "P", 60, 1)], on=day)
        hours = Decimal(rows(hours_report(state, "A", day), "flights")[-1]["hours_so_far"])
        return next((one for most, one in SHARES if hours <= most), 0)

    assert share_on(date(2026, 3, 1)) == share
    assert share_on(date(2026, 3, 2)) < share


def test_an_aircraft_that_nobody_knows_is_refused() -> None:
    with pytest.raises(UsageError, match="no aircraft named"):
        hours_report(program([]), "Z", ON)


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        (ReportAsked(month="2026-13"), "isn't a month"),
        (ReportAsked(month="November"), "isn't a month"),
        (ReportAsked(month="2027-01"), "hasn't begun"),
    ],
)
def test_a_month_that_is_none_is_refused(asked: ReportAsked, says: str) -> None:
    with pytest.raises(UsageError, match=says):
        report_of_state("month", program([]), asked, ON)


def test_the_month_left_out_is_the_last_full_one() -> None:
    assert month_asked("", date(2026, 1, 15)) == (2025, 12)
    assert last_day_of("month", ReportAsked(), date(2026, 1, 15)) == date(2025, 12, 31)
    assert last_day_of("year", ReportAsked(year="2024"), date(2026, 1, 15)) == date(2024, 12, 31)


JOB = FieldJob(date(2026, 11, 25), date(2026, 12, 20), ("a",), ())
POLICY: dict[str, Raw] = {
    "paper_kind": "insurance policy",
    "covers_all": True,
    "granted_on": "2026-01-01",
    "ends_on": "2026-12-31",
}


def job(more: dict[str, Raw], policy: dict[str, Raw] = POLICY) -> ProgramReport:
    """A job of one aircraft that is in order but for `more`."""
    own = firm_aircraft("A", "FA00TEST01", "2025-11-01")
    facts = {**own, "aircraft/A": {**own["aircraft/A"], **more}, "paper/Liability": policy}
    known = known_of(facts)
    asked, only = named_on(state_of(known, JOB.first, NOW), JOB)
    days = [standing(known, day, NOW, only=only) for day in (JOB.first, JOB.last)]
    client, contractor = client_report(asked, days), contractor_report(asked, days)
    assert client.verdict is contractor.verdict
    return contractor


@pytest.mark.parametrize(
    ("more", "policy", "verdict", "why"),
    [
        ({}, POLICY, "met", ""),
        ({"held_under": "loan", "back_on": "2026-12-19"}, POLICY, "not_met", "go back Dec 19, 2026"),
        ({"held_under": "loan", "back_on": "2026-12-20"}, POLICY, "met", ""),
        ({"held_under": "loan"}, POLICY, "unknown", "isn't on file"),
        ({}, {**POLICY, "ends_on": "2026-12-19"}, "not_met", "No policy on file"),
        ({}, {**POLICY, "ends_on": None}, "unknown", "lacks its days"),
        ({}, {**POLICY, "covers_all": False, "covers_aircraft": "B"}, "not_met", "No policy on file"),
        ({"sold_on": "2026-12-01"}, POLICY, "not_met", "2026"),
    ],
)
def test_a_borrowed_aircraft_is_checked_against_the_whole_job(
    more: dict[str, Raw], policy: dict[str, Raw], verdict: str, why: str
) -> None:
    report = job(more, {key: value for key, value in policy.items() if value is not None})
    assert report.verdict.value == verdict
    assert why in rows(report, "aircraft")[0]["why"]


def test_a_job_with_more_deadlines_than_are_checked_is_never_told_as_ok() -> None:
    own = firm_aircraft("A", "FA00TEST01", "2023-12-01")
    known = known_of({**own, "paper/Liability": POLICY})
    asked, only = named_on(state_of(known, JOB.first, NOW), JOB)
    first = standing(known, JOB.first, NOW, only=only)
    between = days_to_check(first, JOB)[:-1]
    assert between, "the registration ends within the job"
    report = client_report(asked, [first])
    assert report.verdict is Verdict.UNKNOWN
    assert report.says == (
        "We can't tell for the whole job. Too many deadlines fall within it to check each. Make a report for fewer days.",
    )


def test_three_lists_are_held_against_each_other() -> None:
    state = program([], {"aircraft/C": {"airframe_serial": "ZZ9Z1C", "sold_on": "2026-01-01"}})
    bought = items_of(
        book_of(
            b"PO,Serial number,Registration\n1,ZZ9Z9X,\n2,,fa00 test01\n3,9999000000000000001,\n", "b.csv"
        )
    )
    count = items_of(book_of(b"Shelf list\nName,Shelf\nA,1\na,2\nGhost,3\nC,4\n", "c.csv"))
    report = inventory_report(state, ON, bought, count)
    told = {
        table.name: [row[0] if len(row) == 1 else row[1] for row in table.rows] for table in report.tables
    }
    assert told["not_counted"] == ["B"]
    assert told["not_bought"] == ["B"]
    assert told["bought_not_registered"] == ["1 ZZ9Z9X", "3 9999000000000000001"]
    assert told["counted_not_registered"] == ["Ghost 3"]
    assert told["counted_but_gone"] == ["C"]
    assert told["twice"] == ["A"]
    assert report.verdict is Verdict.NOT_MET


def test_a_list_that_tells_no_aircraft_apart_is_refused() -> None:
    with pytest.raises(UnreadableFile, match="Serial number"):
        items_of(book_of(b"Color,Price\nred,3\n", "odd.csv"))


@pytest.mark.parametrize("name", OF_STATE)
def test_a_report_needs_only_the_kinds_of_subjects_that_it_reads(name: str, tmp_path: Path) -> None:
    """Out of the invented program's ledger, read whole and read for those kinds alone."""
    path, _ = demo_ledger(tmp_path)
    asked, on = ReportAsked("2026-11", "2026", "Alder 1"), date(2026, 11, 25)
    with Ledger(path) as book:
        at = book.last_moment()
        whole, some = book.state(on, at), book.state(on, at, kinds=READS)
    assert len(some.held) < len(whole.held)
    found = [report_document(report_of_state(name, state, asked, on)) for state in (whole, some)]
    assert found[0] == found[1]
    assert any(table["rows"] for table in found[0]["tables"].values())
