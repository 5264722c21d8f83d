"""What must be filed when things change, and by when."""

from __future__ import annotations

from datetime import date

import pytest

from airwrit.facts.key import Raw
from tests.unit.law.case import (
    TODAY,
    Case,
    Given,
    aircraft,
    case,
    certificate,
    check,
    owner,
    person,
    registered,
)

P47 = "Part 47"
CANCEL, UPDATE = "cancel_registration", "update_registration"
SOLD = {"sold_on": "2026-03-05"}
CHANGED = {"details_changed_on": "2026-03-05"}
LATE = owner("late", owner_died_on="2026-03-05")
EMIGRANT = owner("emigrant", citizenship_lost_on="2026-03-05")


def n_number(**facts: Raw) -> Given:
    """A Part 47 certificate."""
    return certificate("N7", kind=P47, **facts)


CHANGES = [
    case(
        CANCEL,
        "unknown",
        "owed",
        "2026-03-05",
        registered(**SOLD),
        certificate(),
        why="missing",
        value=date(2026, 3, 19),
    ),
    case(CANCEL, "unknown", "owed", "2026-03-19", registered(**SOLD), certificate(), why="missing"),
    case(
        CANCEL, "not_met", "overdue", "2026-03-20", registered(**SOLD), certificate(), value=date(2026, 3, 19)
    ),
    case(CANCEL, "not_applicable", "nothing_happened", "2026-03-04", registered(**SOLD), certificate()),
    case(CANCEL, "met", "cancelled", TODAY, registered(**SOLD), certificate(cancelled_on="2026-03-08")),
    case(
        CANCEL,
        "unknown",
        "owed",
        "2026-03-07",
        registered(**SOLD),
        certificate(cancelled_on="2026-03-08"),
        why="missing",
    ),
    case(CANCEL, "not_met", "overdue", TODAY, registered(exported_on="2026-03-05"), certificate()),
    case(
        CANCEL,
        "not_met",
        "overdue",
        TODAY,
        registered(destroyed_on="2026-03-05", lost_on="2026-03-01"),
        certificate(),
    ),
    case(
        CANCEL,
        "unknown",
        "lost",
        TODAY,
        registered(lost_on="2026-03-05"),
        certificate(),
        why="open_reading",
        value=date(2026, 3, 19),
    ),
    case(
        CANCEL,
        "unknown",
        "owed_no_day",
        TODAY,
        registered(service_status="sold"),
        certificate(),
        why="missing",
    ),
    case(CANCEL, "unknown", "owed_no_day", TODAY, registered(service_status="destroyed"), why="missing"),
    case(
        CANCEL,
        "met",
        "cancelled",
        TODAY,
        registered(service_status="sold"),
        certificate(cancelled_on="2026-03-08"),
    ),
    case(CANCEL, "not_applicable", "nothing_happened", TODAY, registered(service_status="retired")),
    case(CANCEL, "not_applicable", "not_registered", TODAY, aircraft(is_registered=False, **SOLD)),
    case(CANCEL, "met", "cancelled", TODAY, registered(**SOLD), certificate(cancelled_on="2026-03-19")),
    case(
        CANCEL,
        "not_met",
        "cancelled_late",
        TODAY,
        registered(**SOLD),
        certificate(cancelled_on="2026-03-20"),
        value=date(2026, 3, 19),
    ),
    # A sale before the certificate on file was issued is no matter of that certificate.
    case(
        CANCEL,
        "not_applicable",
        "nothing_happened",
        TODAY,
        registered(**SOLD),
        certificate(issued_on="2026-03-06"),
    ),
    case(
        CANCEL,
        "unknown",
        "registered_abroad",
        TODAY,
        registered(foreign_registry=True),
        certificate(),
        why="missing",
    ),
    # N-numbers: 21 days for the certificate, 60 after its holder's death.
    *(
        case(
            CANCEL,
            verdict,
            code,
            on,
            registered("A", "N7", **craft),
            n_number(**paper),
            LATE,
            EMIGRANT,
            why=why,
        )
        for craft, paper, on, verdict, code, why in (
            (SOLD, {}, "2026-03-26", "unknown", "owed", "missing"),
            (SOLD, {}, "2026-03-27", "not_met", "overdue", ""),
            (SOLD, {"cancelled_on": "2026-03-26"}, TODAY, "met", "cancelled", ""),
            (SOLD, {"cancelled_on": "2026-03-27"}, TODAY, "not_met", "cancelled_late", ""),
            ({}, {"registered_to": "late"}, "2026-05-04", "unknown", "owed", "missing"),
            ({}, {"registered_to": "late"}, "2026-05-05", "not_met", "overdue", ""),
            ({}, {"registered_to": "emigrant"}, "2026-03-26", "unknown", "owed", "missing"),
            ({}, {"registered_to": "emigrant"}, "2026-03-27", "not_met", "overdue", ""),
        )
    ),
    case(
        CANCEL,
        "not_applicable",
        "nothing_happened",
        TODAY,
        registered(),
        certificate(registered_to="late"),
        LATE,
    ),
    # Without the kind and a number of either form the shorter time is told, and nothing is overdue before the longer ends.
    *(
        case(CANCEL, verdict, code, on, registered(**SOLD), why=why)
        for on, verdict, code, why in (
            ("2026-03-19", "unknown", "owed", "missing"),
            ("2026-03-20", "unknown", "registration_kind", "missing"),
            ("2026-03-27", "not_met", "overdue", ""),
        )
    ),
    case(
        CANCEL, "unknown", "registration", "2026-03-20", aircraft(is_registered=True, **SOLD), why="missing"
    ),
    case(CANCEL, "not_met", "overdue", "2026-03-20", registered("A", "FA00TEST7", **SOLD)),
    case(UPDATE, "not_applicable", "no_longer", TODAY, certificate(**CHANGED, cancelled_on="2026-03-06")),
    case(
        UPDATE,
        "unknown",
        "owed",
        "2026-03-06",
        certificate(**CHANGED, cancelled_on="2026-03-07"),
        why="missing",
    ),
    case(UPDATE, "met", "filed", TODAY, certificate(**CHANGED, change_filed_on="2026-03-19")),
    case(
        UPDATE,
        "not_met",
        "filed_late",
        TODAY,
        certificate(**CHANGED, change_filed_on="2026-03-20"),
        value=date(2026, 3, 19),
    ),
    case(
        UPDATE,
        "unknown",
        "filed_when",
        TODAY,
        certificate(**CHANGED, change_filed_on="2026-03-20", representative="P"),
        person(left_on="2026-03-06"),
        why="missing",
    ),
    # An N-number's address: 30 days; and nobody represents its holder.
    case(UPDATE, "unknown", "owed", "2026-04-04", n_number(**CHANGED), why="missing"),
    case(UPDATE, "not_met", "overdue", "2026-04-05", n_number(**CHANGED)),
    case(UPDATE, "met", "filed", TODAY, n_number(**CHANGED, change_filed_on="2026-04-04")),
    case(UPDATE, "not_met", "filed_late", TODAY, n_number(**CHANGED, change_filed_on="2026-04-05")),
    case(
        UPDATE,
        "not_applicable",
        "nothing_changed",
        TODAY,
        n_number(representative="P"),
        person(left_on="2026-03-05"),
    ),
    case(
        UPDATE,
        "unknown",
        "owed",
        "2026-03-19",
        certificate(**CHANGED),
        why="missing",
        value=date(2026, 3, 19),
    ),
    case(UPDATE, "not_met", "overdue", "2026-03-20", certificate(**CHANGED), value=date(2026, 3, 19)),
    case(UPDATE, "met", "filed", "2026-03-10", certificate(**CHANGED, change_filed_on="2026-03-10")),
    case(
        UPDATE,
        "unknown",
        "owed",
        "2026-03-09",
        certificate(**CHANGED, change_filed_on="2026-03-10"),
        why="missing",
    ),
    case(UPDATE, "not_met", "overdue", TODAY, certificate(**CHANGED, change_filed_on="2026-03-04")),
    case(UPDATE, "not_applicable", "nothing_changed", TODAY, certificate()),
    case(UPDATE, "not_applicable", "nothing_changed", "2026-03-04", certificate(**CHANGED)),
    case(UPDATE, "not_met", "overdue", TODAY, certificate(representative="P"), person(left_on="2026-03-05")),
    case(UPDATE, "not_applicable", "nothing_changed", TODAY, certificate(representative="P"), person()),
]


def change(name: str, day: str, filed: str = "") -> Given:
    """A change of what the application said, kept by itself, and the day it was filed."""
    told: dict[str, Raw] = {"change_of": "N", "changed_on": day}
    return Given(f"change/{name}", {**told, "filed_on": filed} if filed else told)


FILED = [
    # A change filed by itself: on its fourteenth day, the day after, and one that is owed yet.
    case(
        UPDATE,
        "met",
        "filed",
        TODAY,
        certificate(),
        change("1", "2026-03-05", "2026-03-19"),
        value=date(2026, 3, 19),
    ),
    case(
        UPDATE,
        "not_met",
        "filed_late",
        TODAY,
        certificate(),
        change("1", "2026-03-05", "2026-03-20"),
        value=date(2026, 3, 19),
    ),
    case(
        UPDATE,
        "unknown",
        "owed",
        "2026-03-19",
        certificate(),
        change("1", "2026-03-05"),
        why="missing",
        value=date(2026, 3, 19),
    ),
    case(UPDATE, "not_met", "overdue", "2026-03-20", certificate(), change("1", "2026-03-05")),
    case(UPDATE, "not_applicable", "nothing_changed", "2026-03-04", certificate(), change("1", "2026-03-05")),
    case(
        UPDATE,
        "unknown",
        "changed_on",
        TODAY,
        certificate(),
        Given("change/1", {"change_of": "N"}),
        why="missing",
    ),
    # What is filed by itself says nothing of what the last filing told.
    case(
        UPDATE,
        "met",
        "filed",
        TODAY,
        certificate(details_changed_on="2026-03-25", change_filed_on="2026-04-01"),
        change("1", "2026-03-01", "2026-03-05"),
        value=date(2026, 4, 1),
    ),
    # The last filing tells the change of its own day; whether an earlier one had been told before it is not on file.
    case(
        UPDATE,
        "unknown",
        "filed_when",
        TODAY,
        certificate(details_changed_on="2026-03-20", change_filed_on="2026-03-20"),
        change("1", "2026-03-01"),
        why="missing",
        value=date(2026, 3, 15),
    ),
    case(
        UPDATE,
        "met",
        "filed",
        TODAY,
        certificate(details_changed_on="2026-03-05", change_filed_on="2026-03-05"),
    ),
    # A change after the last filing is owed, whatever was filed before.
    case(
        UPDATE,
        "unknown",
        "owed",
        "2026-04-10",
        certificate(details_changed_on="2026-03-05", change_filed_on="2026-03-06"),
        change("1", "2026-04-01"),
        why="missing",
        value=date(2026, 4, 15),
    ),
    # Two kinds that cannot both be so are not taken for a missing one.
    case(
        UPDATE,
        "unknown",
        "registration_kind",
        TODAY,
        certificate(**CHANGED),
        certificate(kind=P47),
        why="conflict",
    ),
    case(
        CANCEL,
        "unknown",
        "registration_kind",
        "2026-03-10",
        registered(**SOLD),
        certificate(),
        certificate(kind=P47),
        why="conflict",
    ),
    # Lost and sold: the sale calls for cancelling, the loss leaves nothing open.
    case(
        CANCEL,
        "unknown",
        "owed",
        "2026-03-10",
        registered(lost_on="2026-03-01", **SOLD),
        certificate(),
        why="missing",
        value=date(2026, 3, 19),
    ),
    case(
        CANCEL,
        "met",
        "cancelled",
        TODAY,
        registered(lost_on="2026-03-01"),
        certificate(cancelled_on="2026-03-08"),
    ),
    # Two events: the first one's last day counts.
    case(
        CANCEL,
        "unknown",
        "owed",
        "2026-03-10",
        registered(destroyed_on="2026-03-08", **SOLD),
        certificate(),
        why="missing",
        value=date(2026, 3, 19),
    ),
]

OLD = "cancel_old_registration"
BUYERS = registered("A", "B", sold_under="N", **SOLD)
"""Sold under number N; it points at the buyer's number B."""
SHARED = "Part 48 recreational"

OLD_NUMBERS = [
    case(OLD, "not_applicable", "no_old_number", "2026-03-06", registered(**SOLD), certificate()),
    case(
        OLD,
        "not_applicable",
        "no_old_number",
        "2026-03-06",
        registered("A", "N", sold_under="n", **SOLD),
        certificate(),
    ),
    case(OLD, "not_applicable", "no_old_number", "2026-03-04", BUYERS, certificate()),
    case(OLD, "not_applicable", "no_old_number", "2026-04-01", BUYERS, certificate(issued_on="2026-03-06")),
    # A certificate issued on the day of the sale is the seller's.
    case(OLD, "not_met", "overdue", "2026-04-01", BUYERS, certificate(issued_on="2026-03-05")),
    case(OLD, "met", "cancelled", TODAY, BUYERS, certificate(kind=SHARED, change_filed_on="2026-03-05")),
    case(OLD, "unknown", "owed", "2026-03-05", BUYERS, certificate(), why="missing"),
    case(OLD, "unknown", "owed", "2026-03-19", BUYERS, certificate(), why="missing", value=date(2026, 3, 19)),
    case(OLD, "not_met", "overdue", "2026-03-20", BUYERS, certificate(), value=date(2026, 3, 19)),
    case(OLD, "met", "cancelled", TODAY, BUYERS, certificate(cancelled_on="2026-03-19")),
    case(OLD, "not_met", "cancelled_late", TODAY, BUYERS, certificate(cancelled_on="2026-03-20")),
    case(OLD, "unknown", "owed", "2026-03-08", BUYERS, certificate(cancelled_on="2026-03-09"), why="missing"),
    case(
        OLD, "not_met", "overdue", TODAY, BUYERS, certificate(), certificate("B", cancelled_on="2026-03-06")
    ),
    case(
        OLD,
        "unknown",
        "owed",
        "2026-03-26",
        registered("A", "B", sold_under="N7", **SOLD),
        n_number(),
        why="missing",
        value=date(2026, 3, 26),
    ),
    case(OLD, "not_met", "overdue", "2026-03-27", registered("A", "B", sold_under="N7", **SOLD), n_number()),
    case(OLD, "unknown", "registration_kind", "2026-03-21", BUYERS, certificate(kind=None), why="missing"),
    case(OLD, "met", "cancelled", TODAY, BUYERS, certificate(kind=SHARED, change_filed_on="2026-03-19")),
    case(
        OLD,
        "not_met",
        "cancelled_late",
        TODAY,
        BUYERS,
        certificate(kind=SHARED, change_filed_on="2026-03-20"),
    ),
    case(OLD, "not_met", "overdue", TODAY, BUYERS, certificate(kind=SHARED, change_filed_on="2026-03-04")),
    case(OLD, "not_met", "overdue", TODAY, BUYERS, certificate(change_filed_on="2026-03-19")),
    case(
        OLD,
        "not_met",
        "overdue",
        TODAY,
        aircraft(is_registered=False, sold_under="N", sold_under_on="2026-03-05"),
        certificate(),
    ),
    case(
        OLD, "unknown", "sold_on", TODAY, registered("A", "B", sold_under="N"), certificate(), why="missing"
    ),
    case(CANCEL, "not_applicable", "nothing_happened", TODAY, BUYERS, certificate()),
    case(
        CANCEL,
        "not_applicable",
        "nothing_happened",
        TODAY,
        registered("A", "B", sold_under="N", service_status="sold", **SOLD),
        certificate(),
    ),
    case(
        CANCEL,
        "not_met",
        "overdue",
        TODAY,
        registered("A", "B", sold_under="N", sold_under_on="2026-03-04", **SOLD),
        certificate("B"),
    ),
]

CASES = CHANGES + FILED + OLD_NUMBERS


@pytest.mark.parametrize("line", CASES, ids=lambda line: line.name)
def test_case(line: Case) -> None:
    check(line)
