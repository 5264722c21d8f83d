"""Who may own, register and file."""

from __future__ import annotations

import pytest

from tests.unit.law.case import TODAY, Case, aircraft, case, check, company, human, owner

ELIGIBLE, CITIZEN, FILE = "owner_eligible", "us_citizen", "owner_may_file"


CITIZENS = [
    case(CITIZEN, "met", "citizen", TODAY, human()),
    case(CITIZEN, "not_met", "not_citizen", TODAY, human("permanent resident")),
    case(CITIZEN, "not_met", "not_citizen", TODAY, human("neither")),
    case(CITIZEN, "unknown", "citizenship", TODAY, owner(owner_kind="person"), why="missing"),
    case(CITIZEN, "met", "citizen", TODAY, owner(owner_kind="partnership", partners_all_citizens=True)),
    case(CITIZEN, "not_met", "partners", TODAY, owner(owner_kind="partnership", partners_all_citizens=False)),
    case(CITIZEN, "met", "citizen", TODAY, company()),
    case(CITIZEN, "not_met", "votes", TODAY, company(citizen_votes_share="0.7499")),
    case(CITIZEN, "not_met", "officers", TODAY, company(citizen_officers_share="0.6666")),
    case(CITIZEN, "met", "citizen", TODAY, company(citizen_officers_share="0.6667")),
    case(CITIZEN, "not_met", "president", TODAY, company(president_citizen=False)),
    case(CITIZEN, "not_met", "control", TODAY, company(citizens_control=False)),
    case(CITIZEN, "not_met", "not_organized_here", TODAY, company(organized_in_us=False)),
    case(CITIZEN, "not_applicable", "no_test", TODAY, owner(owner_kind="government")),
    # A known failure outweighs a gap; a gap is never passed over.
    case(CITIZEN, "not_met", "president", TODAY, owner(owner_kind="corporation", president_citizen=False)),
    case(CITIZEN, "unknown", "citizen_votes_share", TODAY, owner(owner_kind="corporation"), why="missing"),
]

MAY = [
    case(ELIGIBLE, "met", "citizen", TODAY, human()),
    case(ELIGIBLE, "met", "resident", TODAY, human("permanent resident")),
    case(ELIGIBLE, "not_met", "not_citizen", TODAY, human("neither")),
    case(ELIGIBLE, "met", "government", TODAY, owner(owner_kind="government")),
    case(ELIGIBLE, "unknown", "trust", TODAY, owner(owner_kind="trust"), why="outside_this_tool"),
    case(ELIGIBLE, "met", "citizen", TODAY, owner(owner_kind="partnership", partners_all_citizens=True)),
    case(ELIGIBLE, "met", "based_here", TODAY, company(based_and_used_in_us=True, president_citizen=False)),
    case(ELIGIBLE, "met", "citizen", TODAY, company(based_and_used_in_us=False)),
    case(ELIGIBLE, "not_met", "votes", TODAY, company(based_and_used_in_us=False, citizen_votes_share="0")),
    # Of any ownership it has to be organized here as well as based and used here, and nothing else will do.
    case(ELIGIBLE, "not_met", "not_organized_here", TODAY, company(organized_in_us=False)),
    case(ELIGIBLE, "not_met", "votes", TODAY, company(organized_in_us=False, citizen_votes_share="0")),
    case(ELIGIBLE, "unknown", "based_and_used_in_us", TODAY, company(citizen_votes_share="0"), why="missing"),
    case(FILE, "not_met", "too_young", "2026-03-10", owner(owner_kind="person", owner_born_on="2013-03-11")),
    case(FILE, "met", "old_enough", "2026-03-11", owner(owner_kind="person", owner_born_on="2013-03-11")),
    case(FILE, "not_met", "too_young", "2025-02-28", owner(owner_kind="person", owner_born_on="2012-02-29")),
    case(FILE, "met", "old_enough", "2025-03-01", owner(owner_kind="person", owner_born_on="2012-02-29")),
    case(FILE, "not_applicable", "no_person", TODAY, owner(owner_kind="corporation")),
    case(FILE, "unknown", "owner_born_on", TODAY, owner(owner_kind="person"), why="missing"),
]


OWNED, NOTICE = "recognition_of_ownership", "notice_of_identification"
FOREIGN = [
    case(OWNED, "met", "held", TODAY, aircraft(foreign_registry=True, recognition_held=True)),
    case(OWNED, "not_met", "not_held", TODAY, aircraft(foreign_registry=True, recognition_held=False)),
    case(OWNED, "unknown", "bought_here", TODAY, aircraft(owner="O"), human("neither"), why="open_reading"),
    case(OWNED, "not_applicable", "not_foreign", TODAY, aircraft(owner="O"), human("permanent resident")),
    case(OWNED, "not_applicable", "not_foreign", TODAY, aircraft()),
    case(NOTICE, "met", "filed", TODAY, aircraft(foreign_registry=True, notice_of_identification_filed=True)),
    case(
        NOTICE,
        "not_met",
        "not_filed",
        TODAY,
        aircraft(foreign_registry=True, notice_of_identification_filed=False),
    ),
    case(NOTICE, "not_applicable", "not_foreign", TODAY, aircraft()),
]

CASES = CITIZENS + MAY + FOREIGN


@pytest.mark.parametrize("line", CASES, ids=lambda line: line.name)
def test_case(line: Case) -> None:
    check(line)
