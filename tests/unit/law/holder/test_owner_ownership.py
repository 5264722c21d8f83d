"""Who counts as an owner, several owners, the age to file, hours in the United States."""

from __future__ import annotations

import pytest

from tests.unit.law.case import TODAY, Case, based_company, case, check, owner

COUNTS, SEVERAL, AGE, HERE = "counts_as_owner", "several_owners", "old_enough_to_file", "used_enough_here"


OWNERS = [
    case(COUNTS, "met", "in_title", TODAY, owner(holds_as="owner in title")),
    case(COUNTS, "met", "included", TODAY, owner(holds_as="bailee")),
    case(COUNTS, "met", "included", TODAY, owner(holds_as="lessee under a contract of conditional sale")),
    case(COUNTS, "not_met", "lessee", TODAY, owner(holds_as="lessee")),
    case(COUNTS, "unknown", "borrower", TODAY, owner(holds_as="borrower"), why="open_reading"),
    case(COUNTS, "not_applicable", "nothing_said", TODAY, owner(owner_kind="person")),
    case(SEVERAL, "not_applicable", "one_owner", TODAY, owner(owner_kind="person")),
    case(
        SEVERAL,
        "not_met",
        "one_not_eligible",
        TODAY,
        owner(owned_by_several=True, other_owners_eligible=False),
    ),
    case(
        SEVERAL,
        "unknown",
        "several",
        TODAY,
        owner(owned_by_several=True, other_owners_eligible=True),
        why="open_reading",
    ),
    case(AGE, "met", "old_enough", "2026-03-11", owner(owner_kind="person", owner_born_on="2013-03-11")),
    case(AGE, "met", "old_enough", TODAY, owner(owner_kind="person", filer_old_enough=True)),
    case(
        AGE,
        "met",
        "older_person",
        "2026-03-10",
        owner(owner_kind="person", owner_born_on="2013-03-11", filer_old_enough=True),
    ),
    case(AGE, "not_met", "too_young", TODAY, owner(owner_kind="person", filer_old_enough=False)),
    case(AGE, "unknown", "filer_old_enough", TODAY, owner(owner_kind="person"), why="missing"),
    case(AGE, "not_applicable", "no_person", TODAY, owner(owner_kind="trust")),
    case(HERE, "met", "share_reached", TODAY, based_company(us_flight_hours_share="0.6")),
    case(HERE, "not_met", "share_not_reached", TODAY, based_company(us_flight_hours_share="0.5999")),
    case(
        HERE,
        "unknown",
        "citizen_votes_share",
        TODAY,
        owner(owner_kind="corporation", us_flight_hours_share="0"),
        why="missing",
    ),
    case(
        HERE,
        "not_applicable",
        "citizen",
        TODAY,
        based_company(
            president_citizen=True, citizens_control=True, citizen_votes_share="1", citizen_officers_share="1"
        ),
    ),
    case(HERE, "not_applicable", "no_corporation", TODAY, owner(owner_kind="person")),
]

CASES = OWNERS


@pytest.mark.parametrize("line", CASES, ids=lambda line: line.name)
def test_case(line: Case) -> None:
    check(line)
