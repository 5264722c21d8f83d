"""People who fly: certificate, recency, night, flight review, address, age, safety test."""

from __future__ import annotations

from datetime import date
from typing import NamedTuple

import pytest

from airwrit.facts.choices import UsedFor
from airwrit.facts.fold import state_of
from airwrit.facts.key import Raw
from airwrit.facts.state import Facts
from airwrit.facts.statement import Known, Statement
from airwrit.law.holder.pilot import Counted, events_counted
from airwrit.law.parameters import Law
from airwrit.law.wording import cites
from tests.unit.law.case import KNOWN_AT, TODAY, Case, Given, case, check, event, judged, person

RECENCY, NIGHT, REVIEW = "recency", "night_eligible", "flight_review"
PILOT = person(has_certificate=True)
DUE = person(has_certificate=True, recurrent_due_on="2026-11-30")
PART_61 = person(part_61_pilot=True)
INITIAL, TEST, TRAINING = "initial test", "recurrent test", "recurrent training"
EITHER, SHORT = "recurrent test or training", "Part 61 pilot training"

RECENT = [
    case(
        RECENCY, "met", "recent", "2023-03-31", PILOT, event(INITIAL, "2021-03-01"), value=date(2023, 3, 31)
    ),
    case(
        RECENCY,
        "not_met",
        "lapsed",
        "2023-04-01",
        PILOT,
        event(INITIAL, "2021-03-01"),
        value=date(2023, 3, 31),
    ),
    case(RECENCY, "met", "recent", "2024-02-29", PILOT, event(INITIAL, "2022-02-28")),
    case(RECENCY, "met", "recent", TODAY, PILOT, event(EITHER, "2025-01-01")),
    case(RECENCY, "unknown", "no_event", TODAY, PILOT, why="missing"),
    case(RECENCY, "unknown", "no_event", TODAY, PILOT, event(TRAINING, "2026-11-25"), why="missing"),
    # 14 CFR 107.65 names no clock: December 1 in UTC was November 30 in the United States, whose month ends a day before
    case(
        RECENCY,
        "unknown",
        "month_by_utc",
        "2026-12-05",
        PILOT,
        event(TRAINING, "2024-12-01T00:30:00Z"),
        why="open_reading",
    ),
    case(RECENCY, "met", "recent", "2026-11-30", PILOT, event(TRAINING, "2024-12-01T00:30:00Z")),
    case(RECENCY, "met", "recent", "2026-12-05", PILOT, event(TRAINING, "2024-12-01T11:00:00Z")),
    case(RECENCY, "not_met", "lapsed", "2027-01-01", PILOT, event(TRAINING, "2024-12-01T00:30:00Z")),
    case(RECENCY, "unknown", "completed_that_day", TODAY, PILOT, event(TRAINING, TODAY), why="within_doubt"),
    case(RECENCY, "not_applicable", "recreation", TODAY, PILOT, use="recreation"),
    case(RECENCY, "unknown", "before_part_107", "2016-08-28", PILOT, why="outside_this_tool"),
    case(RECENCY, "unknown", "no_event", "2016-08-29", PILOT, why="missing"),
    # Recurrent training counts from 2021-04-06 on, a recurrent test until then; a Part 61 pilot's training counted before.
    case(RECENCY, "unknown", "no_event", "2021-06-01", PILOT, event(TRAINING, "2021-04-05"), why="missing"),
    case(RECENCY, "met", "recent", "2021-06-01", PILOT, event(TRAINING, "2021-04-06")),
    case(RECENCY, "met", "recent", "2021-06-01", PILOT, event(TEST, "2021-04-05")),
    case(RECENCY, "unknown", "no_event", "2021-06-01", PILOT, event(TEST, "2021-04-06"), why="missing"),
    case(RECENCY, "met", "recent", "2021-06-01", PART_61, event(TRAINING, "2021-04-05")),
    case(RECENCY, "met", "recent", TODAY, PART_61, event(SHORT, "2025-01-01")),
    case(RECENCY, "unknown", "no_event", TODAY, PILOT, event(SHORT, "2025-01-01"), why="missing"),
    # The due date written down counts where no training does, and only within the months a training counts.
    case(RECENCY, "met", "recent_as_written", "2026-11-30", DUE, value=date(2026, 11, 30)),
    case(RECENCY, "not_met", "due_passed", "2026-12-01", DUE),
    case(RECENCY, "met", "recent_as_written", "2024-11-01", DUE),
    case(RECENCY, "unknown", "no_event", "2024-10-31", DUE, why="missing"),
    case(RECENCY, "met", "recent_as_written", TODAY, DUE, event(INITIAL, "2022-01-05")),
    case(RECENCY, "met", "recent", "2026-12-01", DUE, event(TRAINING, "2024-12-05")),
    case(
        RECENCY, "unknown", "completed_on", TODAY, DUE, Given("training/1", {"event_of": "P"}), why="missing"
    ),
    # The relief of 2020: an open reading, for lapses between its first and last day, while it ran.
    case(RECENCY, "not_met", "lapsed", "2020-05-03", PILOT, event(INITIAL, "2018-03-15")),
    case(
        RECENCY,
        "unknown",
        "relief_of_2020",
        "2020-05-04",
        PILOT,
        event(INITIAL, "2018-03-15"),
        why="open_reading",
    ),
    case(RECENCY, "not_met", "lapsed", "2020-05-04", PILOT, event(INITIAL, "2018-02-15")),
    case(
        RECENCY,
        "unknown",
        "relief_of_2020",
        "2021-04-30",
        PILOT,
        event(INITIAL, "2019-01-15"),
        why="open_reading",
    ),
    case(RECENCY, "not_met", "lapsed", "2021-04-30", PILOT, event(INITIAL, "2019-02-15")),
    case(RECENCY, "not_met", "lapsed", "2021-05-01", PILOT, event(INITIAL, "2019-01-15")),
    # What is damaged hides nothing that is known: another event may still count, but no lapse is told.
    case(
        RECENCY,
        "unknown",
        "completed_on",
        TODAY,
        PILOT,
        Given("training/1", {"event_of": "P"}),
        event(INITIAL, "2020-01-01", "2"),
        why="missing",
    ),
    case(
        RECENCY,
        "met",
        "recent",
        TODAY,
        PILOT,
        Given("training/1", {"event_of": "P"}),
        event(INITIAL, "2025-01-01", "2"),
    ),
]

NIGHTS = [
    case(NIGHT, "met", "trained", TODAY, PILOT, event(TRAINING, "2021-04-07")),
    case(
        NIGHT, "unknown", "on_the_day_itself", TODAY, PILOT, event(TRAINING, "2021-04-06"), why="open_reading"
    ),
    case(
        NIGHT, "not_met", "trained_before", TODAY, PILOT, event(INITIAL, "2021-04-05"), value=date(2021, 4, 5)
    ),
    case(NIGHT, "not_met", "waiver_only", "2021-04-20", PILOT, event(TRAINING, "2021-04-07")),
    case(NIGHT, "met", "trained", "2021-04-21", PILOT, event(TRAINING, "2021-04-07")),
    case(NIGHT, "unknown", "completed_that_day", TODAY, PILOT, event(TRAINING, TODAY), why="within_doubt"),
    case(NIGHT, "unknown", "no_event", TODAY, PILOT, why="missing"),
    case(NIGHT, "unknown", "no_event", TODAY, PILOT, event(TRAINING, "2026-11-25"), why="missing"),
    case(NIGHT, "unknown", "no_event", TODAY, PILOT, event(SHORT, "2025-01-01"), why="missing"),
    case(NIGHT, "met", "trained", TODAY, PART_61, event(SHORT, "2025-01-01")),
    case(
        NIGHT, "unknown", "completed_on", TODAY, PILOT, Given("training/1", {"event_of": "P"}), why="missing"
    ),
    case(NIGHT, "not_applicable", "not_at_night", TODAY, person(flies_at_night=False)),
    case(NIGHT, "not_applicable", "recreation", TODAY, PILOT, use="recreation"),
]

UNREAD = Given("training/1", {"event_of": "P"})
REVIEWED = person(part_61_pilot=True, flight_review_on="2024-11-05")
REVIEWS = [
    case(
        REVIEW,
        "met",
        "reviewed",
        "2026-11-30",
        REVIEWED,
        event(SHORT, "2025-06-01"),
        value=date(2026, 11, 30),
    ),
    case(REVIEW, "not_met", "review_lapsed", "2026-12-01", REVIEWED, event(SHORT, "2025-06-01")),
    case(REVIEW, "not_met", "review_to_come", "2024-11-04", REVIEWED, event(SHORT, "2024-06-01")),
    case(REVIEW, "unknown", "flight_review_on", TODAY, PART_61, event(SHORT, "2025-06-01"), why="missing"),
    case(
        REVIEW,
        "not_applicable",
        "not_resting_on_part_61",
        TODAY,
        REVIEWED,
        event(SHORT, "2025-06-01"),
        event(TRAINING, "2025-07-01", "2"),
    ),
    case(REVIEW, "not_applicable", "not_resting_on_part_61", TODAY, PILOT, event(INITIAL, "2025-07-01")),
    case(REVIEW, "not_applicable", "not_resting_on_part_61", TODAY, PILOT),
    case(REVIEW, "not_applicable", "recreation", TODAY, REVIEWED, use="recreation"),
    case(
        REVIEW,
        "unknown",
        "flight_review_months",
        "2021-04-05",
        REVIEWED,
        event(SHORT, "2020-06-01"),
        why="law_not_read",
    ),
    # A review on the day itself is done; the training behind it counts to the last day of its 24th month.
    case(REVIEW, "met", "reviewed", "2024-11-05", REVIEWED, event(SHORT, "2024-06-01")),
    case(REVIEW, "met", "reviewed", "2026-06-30", REVIEWED, event(SHORT, "2024-06-01")),
    case(
        REVIEW, "not_applicable", "not_resting_on_part_61", "2026-07-01", REVIEWED, event(SHORT, "2024-06-01")
    ),
    case(
        REVIEW, "not_applicable", "not_resting_on_part_61", "2024-05-31", REVIEWED, event(SHORT, "2024-06-01")
    ),
    # What cannot be read may be Part 61 training, unless something else carries the recency.
    case(REVIEW, "unknown", "completed_on", TODAY, REVIEWED, UNREAD, why="missing"),
    case(
        REVIEW,
        "not_applicable",
        "not_resting_on_part_61",
        TODAY,
        REVIEWED,
        UNREAD,
        event(INITIAL, "2025-01-01", "2"),
    ),
    case(REVIEW, "met", "reviewed", TODAY, REVIEWED, UNREAD, event(SHORT, "2025-01-01", "2")),
    case(
        REVIEW,
        "unknown",
        "completed_on",
        TODAY,
        REVIEWED,
        UNREAD,
        event(INITIAL, "2020-01-01", "2"),
        why="missing",
    ),
]

TEMPORARY, ADDRESS = "temporary_certificate", "address_told"
ISSUED = person(temporary_issued_on="2016-11-14")
MOVED = person(address_changed_on="2026-03-05")
PAPERS = [
    case("certificate_held", "met", "held", TODAY, PILOT),
    case("certificate_held", "not_met", "not_held", TODAY, person(has_certificate=False)),
    case("certificate_held", "unknown", "has_certificate", TODAY, person(), why="missing"),
    case("certificate_held", "not_applicable", "recreation", TODAY, person(), use="recreation"),
    case("flies_for_stated", "not_applicable", "stated", TODAY, person(flies_for="work")),
    case("flies_for_stated", "unknown", "flies_for", TODAY, person(), why="missing"),
    case(TEMPORARY, "met", "running", "2017-03-14", ISSUED, value=date(2017, 3, 14)),
    case(TEMPORARY, "not_met", "run_out", "2017-03-15", ISSUED, value=date(2017, 3, 14)),
    case(TEMPORARY, "not_met", "not_yet", "2016-11-13", ISSUED),
    case(TEMPORARY, "met", "running", "2016-11-14", ISSUED),
    case(TEMPORARY, "not_applicable", "none_on_file", TODAY, PILOT),
    case(ADDRESS, "met", "within_30_days", "2026-04-04", MOVED, value=date(2026, 4, 4)),
    case(ADDRESS, "not_met", "privileges_stopped", "2026-04-05", MOVED, value=date(2026, 4, 4)),
    case(
        ADDRESS, "met", "told", TODAY, person(address_changed_on="2026-03-05", address_told_on="2026-09-01")
    ),
    case(
        ADDRESS,
        "not_met",
        "privileges_stopped",
        TODAY,
        person(address_changed_on="2026-03-05", address_told_on="2026-03-04"),
    ),
    case(
        ADDRESS,
        "not_met",
        "privileges_stopped",
        "2026-08-31",
        person(address_changed_on="2026-03-05", address_told_on="2026-09-01"),
    ),
    case(ADDRESS, "not_applicable", "nothing_changed", "2026-03-04", MOVED),
    case(ADDRESS, "not_applicable", "nothing_changed", TODAY, PILOT),
    # Telling on the day of the move tells that move.
    case(
        ADDRESS, "met", "told", TODAY, person(address_changed_on="2026-03-05", address_told_on="2026-03-05")
    ),
    case("certificate_age", "not_met", "too_young", "2026-03-10", person(born_on="2010-03-11")),
    case("certificate_age", "met", "old_enough", "2026-03-11", person(born_on="2010-03-11")),
    # The law of the day of the move counts; a move before Part 107 is no change of a certificate's address.
    case(
        ADDRESS,
        "unknown",
        "pilot_address_days",
        TODAY,
        person(address_changed_on="2016-08-28"),
        why="law_not_read",
    ),
    case(ADDRESS, "not_met", "privileges_stopped", TODAY, person(address_changed_on="2016-08-29")),
]


def controls(verdict: str, code: str, on: str, *given: Given, why: str = "", use: str = "work") -> Case:
    """Somebody at the controls."""
    return case("may_manipulate_supervised", verdict, code, on, *given, why=why, use=use)


def held(supervised: Raw, **facts: Raw) -> Given:
    """Somebody with a certificate, and whether another stands by."""
    return person(has_certificate=True, supervised=supervised, **facts)


LAST = event("recurrent training", "2024-05-31")
BY_PART_61 = event("Part 61 pilot training", "2026-05-31")
SUPERVISION = [
    controls("met", "supervised", TODAY, person(supervised=True)),
    controls("not_met", "alone", TODAY, person(supervised=False)),
    controls("unknown", "supervised", TODAY, person(), why="missing"),
    # A certificate without recency is none to fly on alone: the last day of the 24th month, and the next.
    controls("not_applicable", "certificated", "2026-05-31", LAST, held(False)),
    controls("not_met", "lapsed", "2026-06-01", LAST, held(False)),
    controls("met", "supervised", "2026-06-01", LAST, held(True)),
    controls("unknown", "supervised", "2026-06-01", LAST, held(None), why="missing"),
    controls("unknown", "no_event", TODAY, held(False), why="missing"),
    controls("met", "supervised", TODAY, held(True)),
    # Recency that rests on Part 61 lapses with the flight review, a temporary certificate with its 120 days.
    controls(
        "not_applicable",
        "certificated",
        TODAY,
        BY_PART_61,
        held(False, part_61_pilot=True, flight_review_on="2024-11-30"),
    ),
    controls(
        "not_met", "lapsed", TODAY, BY_PART_61, held(False, part_61_pilot=True, flight_review_on="2024-10-31")
    ),
    controls(
        "not_applicable",
        "certificated",
        "2026-05-01",
        event("initial test", "2025-12-20"),
        held(False, temporary_issued_on="2026-01-01"),
    ),
    controls(
        "not_met",
        "lapsed",
        "2026-05-02",
        event("initial test", "2025-12-20"),
        held(False, temporary_issued_on="2026-01-01"),
    ),
    # It asks nothing of recreation, and nothing before Part 107.
    controls("not_applicable", "recreation", TODAY, person(supervised=False), use="recreation"),
    controls("not_met", "alone", "2016-08-29", person(supervised=False)),
    controls("unknown", "before_part_107", "2016-08-28", person(supervised=False), why="outside_this_tool"),
]

SAFETY = "recreational_safety_test"
PROOF = person(safety_test_proof=True)
SAFE = [
    case(SAFETY, "met", "proof", TODAY, PROOF, use="recreation"),
    case(SAFETY, "met", "proof", "2021-06-22", PROOF, use="recreation"),
    case(SAFETY, "unknown", "not_obtainable", "2021-06-21", PROOF, use="recreation", why="open_reading"),
    case(SAFETY, "unknown", "not_obtainable", "2018-10-05", PROOF, use="recreation", why="open_reading"),
    case(SAFETY, "not_applicable", "no_test_then", "2018-10-04", PROOF, use="recreation"),
    case(SAFETY, "not_applicable", "work", TODAY, PROOF),
    case(SAFETY, "not_met", "no_proof", TODAY, person(safety_test_proof=False), use="recreation"),
    case(
        SAFETY,
        "unknown",
        "safety_test_proof",
        TODAY,
        person(safety_test_on="2022-01-01"),
        use="recreation",
        why="missing",
    ),
    case(
        SAFETY,
        "not_met",
        "test_to_come",
        TODAY,
        person(safety_test_proof=True, safety_test_on="2026-11-25"),
        use="recreation",
    ),
    case(
        SAFETY, "met", "proof", TODAY, person(safety_test_proof=True, safety_test_on=TODAY), use="recreation"
    ),
]

CASES = RECENT + NIGHTS + REVIEWS + PAPERS + SAFE + SUPERVISION


@pytest.mark.parametrize("line", CASES, ids=lambda line: line.name)
def test_case(line: Case) -> None:
    check(line)


class Good(NamedTuple):
    """What one test or training is good for on a day: recency until when ("": not at all), and whether night."""

    on: str
    pilot: Given
    event: Given
    until: str
    for_night: bool


GOOD = [
    Good(TODAY, PILOT, event(TRAINING, "2025-11-24"), "2027-11-30", True),
    Good(TODAY, PILOT, event(TRAINING, "2020-11-24"), "", False),
    Good(TODAY, PART_61, event(TRAINING, "2020-11-24"), "2022-11-30", False),
    Good(TODAY, PILOT, event(INITIAL, "2020-11-24"), "2022-11-30", False),
    # One of the day itself counts, one to come does not.
    Good(TODAY, PILOT, event(TRAINING, TODAY), "2028-11-30", True),
    Good(TODAY, PILOT, event(TRAINING, "2026-11-25"), "", False),
    # 14 CFR 107.29(a)(1) asks for a test or training completed after April 6, 2021, and did so from April 21, 2021 on.
    Good(TODAY, PILOT, event(TRAINING, "2021-04-06"), "2023-04-30", False),
    Good(TODAY, PILOT, event(TRAINING, "2021-04-07"), "2023-04-30", True),
    Good("2021-04-20", PILOT, event(TRAINING, "2021-04-07"), "2023-04-30", False),
    Good("2021-04-21", PILOT, event(TRAINING, "2021-04-07"), "2023-04-30", True),
    # A recurrent test counts where it was taken before, Part 61 training for a Part 61 pilot alone.
    Good(TODAY, PILOT, event(TEST, "2021-04-05"), "2023-04-30", False),
    Good(TODAY, PILOT, event(TEST, "2021-04-06"), "", False),
    Good(TODAY, PART_61, event(SHORT, "2025-01-01"), "2027-01-31", True),
    Good(TODAY, PILOT, event(SHORT, "2025-01-01"), "", False),
]


def counted_of(on: str, *given: Given) -> tuple[Counted, ...]:
    """What the tests and trainings on file are good for on a day."""
    known = [Known(Statement(one.subject, name, value)) for one in given for name, value in one.facts.items()]
    day = date.fromisoformat(on)
    return events_counted(Facts(state_of(known, day, KNOWN_AT), "person/P", UsedFor.WORK), Law(day))


@pytest.mark.parametrize("line", GOOD, ids=lambda line: f"{line.event.facts['event_kind']}-{line.until}")
def test_what_a_test_or_training_is_good_for(line: Good) -> None:
    (counted,) = counted_of(line.on, line.pilot, line.event)
    until = date.fromisoformat(line.until) if line.until else None
    assert (counted.counts, counted.until, counted.for_night) == (until is not None, until, line.for_night)
    assert counted.event is not None
    assert counted.event.kind == line.event.facts["event_kind"]


def test_a_training_that_cannot_be_read_is_good_for_nothing_and_hides_no_other() -> None:
    unread, other = counted_of(TODAY, PILOT, UNREAD, event(TRAINING, "2025-11-24", "2"))
    assert unread == Counted("training/1", None, False, None, False)
    assert other.counts


def test_a_pilot_who_has_not_moved_is_told_the_section_all_the_same() -> None:
    finding, _ = judged(case(ADDRESS, "not_applicable", "nothing_changed", TODAY, PILOT))
    assert "14 CFR 107.77" in cites(finding)
