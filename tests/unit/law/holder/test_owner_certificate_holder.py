"""Who filed, whose name a certificate bears, and when it is void."""

from __future__ import annotations

import pytest

from airwrit.facts.key import Raw
from airwrit.facts.statement import Unreadable
from tests.unit.law.case import (
    TODAY,
    Case,
    Given,
    aircraft,
    case,
    certificate,
    check,
    company,
    human,
    owner,
    registered,
)

UNREAD = Unreadable("##")
"""A cell with a registration number that nobody can read."""
NAMED, VOID, BY = "registered_to_owner", "registration_not_void", "filed_by_eligible_person"


LIGHT_FUN: dict[str, Raw] = {"used_for": "recreation", "takeoff_weight_g": "240", "scale_error_g": "0"}


MADE: dict[str, Raw] = {
    "registered_to": "child",
    "filed_in_owners_place_by": "parent",
    "issued_on": "2025-07-12",
}


CHILD = human("citizen", "child", owner_born_on="2013-03-02")


PARENT = human("citizen", "parent", owner_born_on="1984-10-19")


FILED = [
    case(BY, "met", "citizen", TODAY, certificate(**MADE), CHILD, PARENT),
    case(
        BY,
        "not_met",
        "too_young",
        TODAY,
        certificate(**MADE),
        human("citizen", "parent", owner_born_on="2012-07-13"),
    ),
    case(
        BY,
        "met",
        "citizen",
        TODAY,
        certificate(**MADE),
        human("citizen", "parent", owner_born_on="2012-07-12"),
    ),
    case(
        BY,
        "not_met",
        "not_citizen",
        TODAY,
        certificate(**MADE),
        human("neither", "parent", owner_born_on="1984-10-19"),
    ),
    case(BY, "met", "citizen", TODAY, certificate(**MADE), Given("owner/parent", company().facts)),
    case(VOID, "met", "not_void", TODAY, certificate(**MADE), CHILD, PARENT),
    # The owner's age on the day it was made counts, not that of the day asked about.
    case(VOID, "met", "not_void", "2030-01-01", certificate(**MADE), CHILD, PARENT),
    case(
        VOID,
        "not_met",
        "filed_by_another",
        TODAY,
        certificate(**MADE),
        human("citizen", "child", owner_born_on="2012-07-12"),
        PARENT,
    ),
    case(VOID, "met", "not_void", TODAY, certificate(registered_to="O"), human()),
    case(VOID, "not_met", "not_citizen", TODAY, certificate(registered_to="O"), human("neither")),
    case(
        VOID,
        "unknown",
        "issued_on",
        TODAY,
        certificate(registered_to="child", filed_in_owners_place_by="parent"),
        CHILD,
        PARENT,
        why="missing",
    ),
]


TO: dict[str, Raw] = {"registered_to": "Pell Survey"}


NAMES = [
    case(NAMED, "met", "same", TODAY, registered(owner="pell  survey"), certificate(**TO)),
    case(NAMED, "not_met", "another_name", TODAY, registered(owner="Dana"), certificate(**TO)),
    # A child's aircraft is registered by somebody older, who may then be the one named.
    *(
        case(
            NAMED,
            verdict,
            code,
            TODAY,
            registered(owner="child"),
            certificate(registered_to="parent", issued_on=issued),
            CHILD,
            holder,
        )
        for issued, holder, verdict, code in (
            ("2026-03-01", PARENT, "met", "for_a_child"),
            ("2026-03-02", PARENT, "not_met", "another_name"),
            ("2026-03-01", human("citizen", "parent", owner_born_on="2013-03-02"), "not_met", "too_young"),
            ("2026-03-01", human("citizen", "parent", owner_born_on="2013-03-01"), "met", "for_a_child"),
        )
    ),
    # Who has it by one of the rights named in the section counts as its owner.
    *(
        case(
            NAMED,
            verdict,
            code,
            TODAY,
            registered(owner="Dana"),
            certificate(registered_to="Co"),
            owner("Co", owner_kind="corporation", holds_as=right),
            why="open_reading" if verdict == "unknown" else "",
        )
        for right, verdict, code in (
            ("bailee", "met", "included"),
            ("buyer in possession", "met", "included"),
            ("lessee", "not_met", "another_name"),
            ("borrower", "unknown", "borrower"),
            ("owner in title", "not_met", "another_name"),
        )
    ),
    case(
        NAMED,
        "unknown",
        "trustee",
        TODAY,
        registered("A", "N7", owner="T"),
        certificate("N7", kind="Part 47", registered_to="Bank"),
        owner("T", owner_kind="trust"),
        why="open_reading",
    ),
    case(
        NAMED,
        "not_met",
        "another_name",
        TODAY,
        registered("A", "N7", owner="Dana"),
        certificate("N7", kind="Part 47", registered_to="Bank"),
        human("citizen", "Dana"),
    ),
    case(NAMED, "unknown", "registered_to", TODAY, registered(owner="Dana"), certificate(), why="missing"),
    case(NAMED, "unknown", "owner", TODAY, registered(), certificate(**TO), why="missing"),
    case(NAMED, "not_applicable", "not_registered", TODAY, aircraft(is_registered=False)),
    case(NAMED, "not_applicable", "no_registration_needed", TODAY, aircraft(**LIGHT_FUN), use="recreation"),
]


OLD_CHILD: dict[str, Raw] = {"registered_to": "child", "issued_on": "2025-07-12"}


MADE_BY_O: dict[str, Raw] = {"registered_to": "O", "issued_on": "2025-07-12"}


P47 = "Part 47"


VOIDED = [
    # A child whose aircraft nobody older is on file as filing.
    case(VOID, "not_met", "child_filed", TODAY, certificate(**OLD_CHILD), CHILD),
    case(VOID, "not_met", "child_filed", "2030-01-01", certificate(**OLD_CHILD), CHILD),
    case(
        VOID,
        "not_met",
        "child_filed",
        TODAY,
        certificate(filed_in_owners_place_by="Child", **OLD_CHILD),
        CHILD,
    ),
    case(
        VOID,
        "not_met",
        "child_filed",
        "2026-03-01",
        certificate(registered_to="child"),
        CHILD,
    ),
    case(
        VOID, "unknown", "issued_on", "2026-03-02", certificate(registered_to="child"), CHILD, why="missing"
    ),
    case(
        VOID,
        "met",
        "not_void",
        "2026-03-02",
        certificate(registered_to="child", issued_on="2026-03-02"),
        CHILD,
    ),
    case(
        VOID,
        "not_met",
        "too_young",
        TODAY,
        certificate(**MADE),
        CHILD,
        human("citizen", "parent", owner_born_on="2012-07-13"),
    ),
    case(
        VOID,
        "unknown",
        "filed_in_owners_place_by",
        TODAY,
        certificate(**OLD_CHILD),
        human("citizen", "child", owner_born_on="2013-03-02", filer_old_enough=True),
        why="missing",
    ),
    case(
        VOID,
        "unknown",
        "filed_in_owners_place_by",
        TODAY,
        certificate(representative="Mum", **OLD_CHILD),
        CHILD,
        why="missing",
    ),
    # An adult's birthday is not asked.
    case(VOID, "met", "not_void", TODAY, certificate(**MADE_BY_O), human()),
    case(
        VOID,
        "unknown",
        "citizenship",
        TODAY,
        certificate(**MADE_BY_O),
        owner(owner_kind="person"),
        why="missing",
    ),
    case(VOID, "unknown", "registered_to", TODAY, certificate(), why="missing"),
    # How Part 47 treats a child was not read; the other grounds are those of Part 48.
    case(VOID, "unknown", "filing_47", TODAY, certificate(kind=P47, **OLD_CHILD), CHILD, why="open_reading"),
    case(
        VOID,
        "unknown",
        "filing_47",
        TODAY,
        certificate(kind=P47, filed_in_owners_place_by="agent", **MADE_BY_O),
        human(),
        why="open_reading",
    ),
    case(VOID, "not_met", "not_citizen", TODAY, certificate(kind=P47, **MADE_BY_O), human("neither")),
    case(VOID, "met", "not_void", TODAY, certificate(kind=P47, **MADE_BY_O), human()),
    case(
        VOID, "unknown", "registration_kind", TODAY, certificate("N7", **MADE_BY_O), human(), why="conflict"
    ),
    # The aircraft under it: another owner, another registry.
    case(VOID, "met", "not_void", TODAY, certificate(**MADE_BY_O), human(), registered(owner="O")),
    case(
        VOID,
        "not_met",
        "another_name",
        TODAY,
        certificate(**MADE_BY_O),
        human(),
        registered(owner="Co"),
        owner("Co", owner_kind="corporation"),
    ),
    case(VOID, "unknown", "owner", TODAY, certificate(**MADE_BY_O), human(), registered(), why="missing"),
    case(
        VOID,
        "not_met",
        "foreign_registry",
        TODAY,
        certificate(**MADE_BY_O),
        human(),
        registered(owner="O", foreign_registry=True),
    ),
    # It holds for the holder's own aircraft whatever else is wrongly under it.
    case(
        VOID,
        "met",
        "not_void",
        TODAY,
        certificate(kind="Part 48 recreational", **MADE_BY_O),
        human(),
        registered("B", owner="Co"),
        registered("A", owner="O"),
    ),
    case(
        VOID,
        "unknown",
        "owner",
        TODAY,
        certificate(kind="Part 48 recreational", **MADE_BY_O),
        human(),
        registered("B", owner="Co"),
        registered("A"),
        why="missing",
    ),
    # A sale after it was made, or citizenship lost after it, did not make it void.
    *(
        case(
            VOID,
            verdict,
            code,
            TODAY,
            certificate(got_in_good_faith=faith, **MADE_BY_O)
            if faith is not None
            else certificate(**MADE_BY_O),
            human(),
            registered(owner=holder, sold_on=sold),
            why="missing" if verdict == "unknown" else "",
        )
        for holder, sold, faith, verdict, code in (
            ("Buyer", "2025-07-13", None, "met", "not_void"),
            ("Buyer", "2025-07-11", None, "not_met", "another_name"),
            # Whether a transfer before it was in good faith is asked, and assumed neither way.
            ("O", "2025-07-11", None, "unknown", "got_in_good_faith"),
            ("O", "2025-07-12", None, "unknown", "got_in_good_faith"),
            ("O", "2025-07-11", True, "met", "not_void"),
            ("O", "2025-07-11", False, "not_met", "not_in_good_faith"),
        )
    ),
    case(
        VOID,
        "not_met",
        "not_in_good_faith",
        TODAY,
        certificate(got_in_good_faith=False, **MADE_BY_O),
        human(),
    ),
    case(
        VOID,
        "met",
        "not_void",
        TODAY,
        certificate(**MADE_BY_O),
        human("neither", citizenship_lost_on="2025-07-13"),
    ),
    case(
        VOID,
        "not_met",
        "not_citizen",
        TODAY,
        certificate(**MADE_BY_O),
        human("neither", citizenship_lost_on="2025-07-12"),
    ),
    # Void for every aircraft under it: the first one's reason is told.
    case(
        VOID,
        "not_met",
        "another_name",
        TODAY,
        certificate(**MADE_BY_O),
        human(),
        registered("A", owner="Other"),
        registered("B", owner="O", foreign_registry=True),
    ),
    case(
        VOID,
        "not_applicable",
        "no_longer",
        TODAY,
        certificate(cancelled_on=TODAY, **MADE_BY_O),
        human("neither"),
    ),
    case(
        VOID,
        "not_applicable",
        "no_longer",
        TODAY,
        certificate(revoked_on=TODAY, **MADE_BY_O),
        human("neither"),
    ),
]

MAYBE_UNDER_IT = [
    case(
        VOID,
        "not_met",
        "not_citizen",
        TODAY,
        certificate(**MADE_BY_O),
        human("neither"),
        registered("A", UNREAD, owner="O"),
    ),
    case(
        VOID,
        "unknown",
        "registration",
        TODAY,
        certificate(**MADE_BY_O),
        human(),
        registered("A", UNREAD, owner="O"),
        why="damaged",
    ),
]
"""No aircraft is surely under it: what hangs on the certificate alone is told, or it stays open. No line of CASES: without the
number that nobody can read, nothing on file says that an aircraft may be under the certificate.
"""
CASES = FILED + NAMES + VOIDED


@pytest.mark.parametrize("line", [*CASES, *MAYBE_UNDER_IT], ids=lambda line: line.name)
def test_case(line: Case) -> None:
    check(line)
