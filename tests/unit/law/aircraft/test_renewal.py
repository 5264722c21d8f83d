"""How long a registration lasts, and when it can be renewed."""

from __future__ import annotations

from datetime import date

import pytest

from tests.unit.law.case import (
    TODAY,
    Case,
    aircraft,
    case,
    certificate,
    check,
    owner,
    registered,
)

IN_TERM = "registration_in_term"
LIGHT_FUN = {"used_for": "recreation", "takeoff_weight_g": "240", "scale_error_g": "0"}
ISSUED = {"issued_on": "2024-02-10"}
BOTH = {**ISSUED, "expires_on": "2027-02-10"}
FUN = "Part 48 recreational"

TERM = [
    case(IN_TERM, "met", "in_term", "2026-07-31", registered(), certificate(**BOTH), value=date(2027, 2, 10)),
    case(IN_TERM, "met", "in_term_renew", "2026-08-01", registered(), certificate(**ISSUED)),
    case(
        IN_TERM, "met", "in_term_last_month", "2027-02-01", registered(), certificate(expires_on="2027-02-10")
    ),
    case(
        IN_TERM, "unknown", "expiry_day", "2027-02-10", registered(), certificate(**BOTH), why="open_reading"
    ),
    case(
        IN_TERM, "not_met", "ended", "2027-02-11", registered(), certificate(**BOTH), value=date(2027, 2, 10)
    ),
    case(IN_TERM, "not_met", "not_yet_issued", "2024-02-09", registered(), certificate(**BOTH)),
    case(IN_TERM, "met", "in_term", "2024-02-10", registered(), certificate(**BOTH)),
    case(IN_TERM, "unknown", "expires_on", TODAY, registered(), certificate(), why="missing"),
    case(IN_TERM, "unknown", "registration_kind", TODAY, registered(), why="missing"),
    case(IN_TERM, "not_applicable", "not_registered", TODAY, aircraft(is_registered=False)),
    case(
        IN_TERM,
        "not_applicable",
        "no_registration_needed",
        "2027-02-11",
        registered(**LIGHT_FUN),
        certificate(**BOTH),
        use="recreation",
    ),
    case(
        IN_TERM,
        "met",
        "in_term",
        TODAY,
        registered(**LIGHT_FUN),
        certificate(issued_on="2026-01-05"),
        use="recreation",
    ),
    # 29 February falls on 28 February three years on.
    case(
        IN_TERM, "met", "in_term_last_month", "2027-02-27", registered(), certificate(issued_on="2024-02-29")
    ),
    case(
        IN_TERM,
        "unknown",
        "expiry_day",
        "2027-02-28",
        registered(),
        certificate(issued_on="2024-02-29"),
        why="open_reading",
    ),
    # Two expiries that contradict each other: the earlier one holds until it has passed, then it cannot be said.
    case(
        IN_TERM,
        "met",
        "in_term_last_month",
        "2027-02-09",
        registered(),
        certificate(**ISSUED, expires_on="2027-09-01"),
    ),
    case(
        IN_TERM,
        "unknown",
        "expiries_disagree",
        "2027-02-11",
        registered(),
        certificate(**ISSUED, expires_on="2027-09-01"),
        why="conflict",
    ),
    case(
        IN_TERM,
        "not_met",
        "ended",
        "2027-09-02",
        registered(),
        certificate(**ISSUED, expires_on="2027-09-01"),
    ),
    # A renewal adds the term to the old expiry, whatever its day, from its day on.
    case(
        IN_TERM,
        "met",
        "in_term_renew",
        "2026-08-31",
        registered(),
        certificate(**ISSUED, renewed_on="2026-09-01"),
        value=date(2027, 2, 10),
    ),
    case(
        IN_TERM,
        "met",
        "in_term",
        "2026-09-01",
        registered(),
        certificate(**ISSUED, renewed_on="2026-09-01"),
        value=date(2030, 2, 10),
    ),
    # A renewal outside its window lengthens nothing: the term it would have renewed runs out, then it cannot be said.
    *(
        case(
            IN_TERM,
            verdict,
            code,
            on,
            registered(),
            certificate(**ISSUED, renewed_on=renewed, **more),
            why="conflict" if verdict == "unknown" else "",
        )
        for renewed, on, verdict, code, more in (
            # one before the first window, or before the issue, cannot be: see contradictions.toml
            ("2026-07-31", "2027-02-11", "unknown", "registration_kind", {}),
            ("2024-02-09", "2027-02-11", "unknown", "issued_on", {}),
            ("2020-01-15", "2026-06-01", "unknown", "registration_kind", {"expires_on": "2027-02-10"}),
            ("2026-08-01", "2027-02-11", "met", "in_term", {}),
            ("2027-02-10", "2027-02-11", "met", "in_term", {}),
            ("2027-02-11", "2027-02-11", "unknown", "renewed_outside_window", {}),
            ("2027-03-01", "2027-04-01", "unknown", "renewed_outside_window", {}),
            ("2027-03-01", "2027-04-01", "unknown", "renewed_outside_window", {"expires_on": "2030-02-10"}),
            ("2027-03-01", "2030-02-11", "not_met", "ended", {"expires_on": "2030-02-10"}),
            # the window of the second end, which an earlier renewal gave
            ("2029-07-31", "2030-01-05", "unknown", "renewed_outside_window", {}),
            ("2029-08-01", "2030-01-05", "met", "in_term", {}),
            ("2029-08-01", "2033-02-09", "met", "in_term_last_month", {}),
        )
    ),
    case(
        IN_TERM,
        "met",
        "in_term_renew",
        "2026-06-01",
        registered(),
        certificate(kind=FUN, issued_on="2016-02-01", renewed_on="2023-06-12"),
        value=date(2026, 12, 12),
    ),
    case(IN_TERM, "not_met", "sold", TODAY, registered(sold_on="2026-05-05"), certificate(**BOTH)),
    case(IN_TERM, "not_met", "destroyed", TODAY, registered(destroyed_on="2026-05-05"), certificate(**BOTH)),
    case(IN_TERM, "not_met", "exported", TODAY, registered(exported_on="2026-05-05"), certificate(**BOTH)),
    case(
        IN_TERM, "not_met", "cancelled", TODAY, registered(), certificate(cancelled_on="2026-05-05", **BOTH)
    ),
    case(IN_TERM, "not_met", "revoked", TODAY, registered(), certificate(revoked_on="2026-05-05", **BOTH)),
    case(
        IN_TERM,
        "not_met",
        "owner_died",
        TODAY,
        registered(),
        certificate(registered_to="O", **BOTH),
        owner(owner_died_on="2026-05-05"),
    ),
    case(
        IN_TERM,
        "not_met",
        "citizenship_lost",
        TODAY,
        registered(),
        certificate(registered_to="O", **BOTH),
        owner(citizenship_lost_on="2026-05-05"),
    ),
    case(
        IN_TERM,
        "unknown",
        "lost",
        TODAY,
        registered(lost_on="2026-05-05"),
        certificate(**BOTH),
        why="open_reading",
    ),
    case(IN_TERM, "met", "in_term", "2026-05-04", registered(lost_on="2026-05-05"), certificate(**BOTH)),
    # Recreational certificates of before 2017-12-12 run to 2020-12-12 at the earliest (from memory).
    case(
        IN_TERM,
        "met",
        "in_term_last_month",
        "2020-12-11",
        registered(**LIGHT_FUN),
        certificate(kind=FUN, issued_on="2016-02-01"),
    ),
    case(
        IN_TERM,
        "not_met",
        "ended",
        "2020-12-13",
        registered(takeoff_weight_g="900"),
        certificate(kind=FUN, issued_on="2017-12-11"),
    ),
    case(
        IN_TERM,
        "unknown",
        "expiry_day",
        "2020-12-12",
        registered(takeoff_weight_g="900"),
        certificate(kind=FUN, issued_on="2017-12-12"),
        why="open_reading",
    ),
    case(
        IN_TERM,
        "not_met",
        "ended",
        "2019-02-02",
        registered(takeoff_weight_g="900"),
        certificate(issued_on="2016-02-01"),
    ),
]

P47 = "Part 47"
PART_47 = [
    # Three years to the end of the month, seven from 2023-01-23; one that ran on that day was stretched.
    case(
        IN_TERM,
        "met",
        "in_term_47",
        "2023-01-22",
        registered(),
        certificate(kind=P47, issued_on="2020-01-10"),
        value=date(2023, 1, 31),
    ),
    case(
        IN_TERM,
        "met",
        "in_term_47",
        "2023-01-23",
        registered(),
        certificate(kind=P47, issued_on="2020-01-10"),
        value=date(2027, 1, 31),
    ),
    case(
        IN_TERM,
        "met",
        "in_term_47",
        "2027-01-31",
        registered(),
        certificate(kind=P47, issued_on="2020-01-10"),
    ),
    case(
        IN_TERM, "not_met", "ended", "2027-02-01", registered(), certificate(kind=P47, issued_on="2020-01-10")
    ),
    case(
        IN_TERM,
        "not_met",
        "ended",
        "2023-01-23",
        registered(),
        certificate(kind=P47, issued_on="2019-12-31"),
        value=date(2022, 12, 31),
    ),
    case(
        IN_TERM,
        "met",
        "in_term_47",
        TODAY,
        registered(),
        certificate(kind=P47, issued_on="2023-01-23"),
        value=date(2030, 1, 31),
    ),
    # A renewal gives a certificate of its own month, stretched like any other in force on 2023-01-23.
    *(
        case(
            rule,
            verdict,
            code,
            on,
            registered("A", "N7"),
            certificate("N7", kind=P47, issued_on="2019-05-10", renewed_on=renewed),
            why="conflict" if verdict == "unknown" else "",
        )
        for rule, renewed, on, verdict, code in (
            (IN_TERM, "2021-12-01", "2022-06-01", "met", "in_term_47"),
            (IN_TERM, "2021-11-30", "2022-05-31", "met", "in_term_47"),
            (IN_TERM, "2021-11-30", "2022-06-01", "unknown", "renewed_outside_window"),
            (IN_TERM, "2022-06-01", "2022-06-01", "unknown", "renewed_outside_window"),
            (IN_TERM, "2022-04-01", "2029-04-30", "met", "in_term_47"),
            (IN_TERM, "2022-04-01", "2029-05-01", "not_met", "ended"),
            (IN_TERM, "2019-05-09", "2023-06-01", "unknown", "issued_on"),
            (IN_TERM, "2028-06-30", "2028-07-01", "unknown", "renewed_outside_window"),
            (IN_TERM, "2028-07-01", "2035-07-31", "met", "in_term_47"),
            (IN_TERM, "2029-05-31", "2035-07-31", "met", "in_term_47"),
            (IN_TERM, "2029-06-01", "2029-06-01", "unknown", "renewed_outside_window"),
        )
    ),
    # The expiry printed on a stretched certificate gives way to the longer term.
    case(
        IN_TERM,
        "met",
        "in_term_47",
        "2024-01-05",
        registered(),
        certificate(kind=P47, issued_on="2020-01-10", expires_on="2023-01-31"),
        value=date(2027, 1, 31),
    ),
    case(
        IN_TERM,
        "not_met",
        "not_yet_issued",
        "2023-02-01",
        registered(),
        certificate(kind=P47, issued_on="2023-02-02"),
    ),
    case(
        IN_TERM,
        "unknown",
        "renewal_pending_47",
        "2026-09-01",
        registered(),
        certificate(kind=P47, expires_on="2026-08-31", renewal_filed_on="2026-08-31"),
        why="open_reading",
    ),
    case(
        IN_TERM,
        "not_met",
        "ended",
        "2026-09-15",
        registered(),
        certificate(kind=P47, expires_on="2026-08-31", renewal_filed_on="2026-09-01"),
    ),
    case(
        IN_TERM,
        "not_met",
        "ended",
        "2024-05-15",
        registered(),
        certificate(kind=P47, expires_on="2024-04-30", renewal_filed_on="2024-04-01"),
    ),
    case(
        IN_TERM,
        "unknown",
        "renewal_pending_47",
        "2024-05-16",
        registered(),
        certificate(kind=P47, expires_on="2024-04-30", renewal_filed_on="2024-04-01"),
        why="open_reading",
    ),
    case(
        IN_TERM,
        "unknown",
        "expiries_disagree",
        "2025-06-01",
        registered(),
        certificate(kind=P47, issued_on="2020-01-10", expires_on="2025-05-31"),
        why="conflict",
    ),
    case(IN_TERM, "unknown", "expires_on", TODAY, registered(), certificate(kind=P47), why="missing"),
]

WINDOW, NEW, AGREES = "renewal_window", "new_expiry", "stated_expiry_agrees"
RENEWAL = [
    case(
        WINDOW,
        "not_met",
        "too_early",
        "2026-07-31",
        registered(),
        certificate(**BOTH),
        value=date(2026, 8, 1),
    ),
    case(WINDOW, "met", "open", "2026-08-01", registered(), certificate(**BOTH)),
    case(WINDOW, "met", "open", "2027-01-31", registered(), certificate(**BOTH)),
    case(
        WINDOW, "unknown", "expiry_month", "2027-02-01", registered(), certificate(**BOTH), why="open_reading"
    ),
    case(
        WINDOW, "unknown", "expiry_month", "2027-02-10", registered(), certificate(**BOTH), why="open_reading"
    ),
    case(WINDOW, "not_met", "too_late", "2027-02-11", registered(), certificate(**BOTH)),
    case(
        WINDOW,
        "met",
        "before_end_47",
        "2026-08-31",
        registered(),
        certificate(kind=P47, expires_on="2026-08-31"),
    ),
    case(
        WINDOW,
        "not_met",
        "too_late",
        "2026-09-01",
        registered(),
        certificate(kind=P47, expires_on="2026-08-31"),
    ),
    *(
        case(
            WINDOW,
            verdict,
            code,
            on,
            registered("A", "N7"),
            certificate("N7", kind=P47, issued_on="2023-06-15"),
        )
        for on, verdict, code in (
            ("2023-06-14", "not_met", "not_yet_issued"),
            ("2023-06-15", "not_met", "too_early"),
            ("2029-12-31", "not_met", "too_early"),
            ("2030-01-01", "met", "before_end_47"),
            ("2030-06-30", "met", "before_end_47"),
            ("2030-07-01", "not_met", "too_late"),
        )
    ),
    # On the day of the renewal on file the window is that of the term before it.
    case(
        WINDOW,
        "met",
        "before_end_47",
        "2022-04-01",
        registered("A", "N7"),
        certificate("N7", kind=P47, issued_on="2019-05-10", renewed_on="2022-04-01"),
        value=date(2022, 5, 31),
    ),
    case(
        WINDOW,
        "not_met",
        "too_early",
        "2022-04-02",
        registered("A", "N7"),
        certificate("N7", kind=P47, issued_on="2019-05-10", renewed_on="2022-04-01"),
    ),
    # What is canceled is not renewed.
    *(
        case(rule, "not_met", "nothing_to_renew", TODAY, craft, card, value=date(2026, 9, 5))
        for rule in (WINDOW, NEW)
        for craft, card in (
            (registered(), certificate(cancelled_on="2026-09-05", **BOTH)),
            (registered(), certificate(revoked_on="2026-09-05", **BOTH)),
            (registered(sold_on="2026-09-05"), certificate(**BOTH)),
        )
    ),
    *(
        case(
            rule,
            "unknown",
            "renewed_outside_window",
            "2027-03-01",
            registered(),
            certificate(**ISSUED, renewed_on="2027-02-12"),
            why="conflict",
        )
        for rule in (WINDOW, NEW)
    ),
    case(WINDOW, "not_applicable", "not_registered", TODAY, aircraft(is_registered=False)),
    case(WINDOW, "unknown", "registration", TODAY, aircraft(is_registered=True), why="missing"),
    case(NEW, "met", "worked_out", TODAY, registered(), certificate(**BOTH), value=date(2030, 2, 10)),
    case(NEW, "not_applicable", "part_47", TODAY, registered(), certificate(kind=P47)),
    case(AGREES, "met", "agrees", TODAY, registered(), certificate(**BOTH), value=date(2027, 2, 10)),
    case(
        AGREES,
        "not_met",
        "differs",
        TODAY,
        registered(),
        certificate(**ISSUED, expires_on="2027-02-09"),
        value=date(2027, 2, 10),
    ),
    case(AGREES, "not_applicable", "one_source_only", TODAY, registered(), certificate(**ISSUED)),
    case(
        AGREES, "not_applicable", "one_source_only", TODAY, registered(), certificate(expires_on="2027-02-10")
    ),
    case(AGREES, "not_applicable", "not_registered", TODAY, aircraft(is_registered=False)),
    case(
        AGREES,
        "met",
        "agrees",
        TODAY,
        registered(),
        certificate(kind=P47, issued_on="2023-02-10", expires_on="2030-02-28"),
    ),
]

CASES = TERM + PART_47 + RENEWAL


@pytest.mark.parametrize("line", CASES, ids=lambda line: line.name)
def test_case(line: Case) -> None:
    check(line)
