"""Papers of the program: their term, who answers for them, when to ask for a renewal; and the login to the registry."""

from __future__ import annotations

from datetime import date

import pytest

from airwrit.facts.choices import PaperKind
from airwrit.facts.key import Raw
from airwrit.law.wording import cites
from tests.unit.law.case import (
    TODAY,
    Case,
    Given,
    case,
    check,
    judged,
    outcome_of,
    owner,
    person,
)

TERM, PRESENT, LOGIN = "paper_in_term", "paper_responsible_present", "login_holder_present"
ASKED, FEE = "renewal_asked_in_time", "federal_fee"


def paper(kind: str = "waiver", /, **facts: Raw) -> Given:
    """A paper of a kind."""
    return Given("paper/W", {"paper_kind": kind, **facts})


def area(**facts: Raw) -> Given:
    """A recognized area of 2024-01-10: its 48 calendar months end on 2028-01-31, 120 days after 2027-10-03."""
    return paper("FRIA recognition", granted_on="2024-01-10", **facts)


TERMS = [
    case(TERM, "met", "in_term", TODAY, paper(ends_on=TODAY), value=date(2026, 11, 24)),
    case(TERM, "not_met", "ended", TODAY, paper(ends_on="2026-11-23"), value=date(2026, 11, 23)),
    case(TERM, "not_met", "not_yet", TODAY, paper(granted_on="2026-11-25", ends_on="2027-11-25")),
    case(TERM, "met", "in_term", TODAY, paper(granted_on=TODAY, ends_on="2027-11-25")),
    case(TERM, "met", "in_term_ask", "2026-09-01", paper(ends_on="2026-11-30", ask_days_before="90")),
    case(TERM, "met", "ask_late", "2026-09-02", paper(ends_on="2026-11-30", ask_days_before="90")),
    case(
        TERM,
        "met",
        "renewal_asked",
        "2026-09-02",
        paper(ends_on="2026-11-30", ask_days_before="90", renewal_asked_on="2026-08-30"),
    ),
    case(
        TERM,
        "met",
        "ask_late",
        "2026-09-02",
        paper(ends_on="2026-11-30", ask_days_before="90", renewal_asked_on="2026-09-03"),
    ),
    case(
        TERM,
        "met",
        "ask_late",
        "2026-09-02",
        paper(
            granted_on="2024-11-30",
            ends_on="2026-11-30",
            ask_days_before="90",
            renewal_asked_on="2024-08-01",
        ),
    ),
    case(TERM, "met", "in_term_ask", "2026-08-02", paper("FRIA recognition", granted_on="2022-11-10")),
    case(TERM, "met", "ask_late", "2026-08-03", paper("FRIA recognition", granted_on="2022-11-10")),
    case(TERM, "met", "ask_late", "2026-11-30", paper("FRIA recognition", granted_on="2022-11-10")),
    case(
        TERM,
        "not_met",
        "ended",
        "2026-12-01",
        paper("FRIA recognition", granted_on="2022-11-10"),
        value=date(2026, 11, 30),
    ),
    case(TERM, "unknown", "ends_on", TODAY, paper(granted_on="2025-01-01"), why="missing"),
    case(TERM, "unknown", "granted_on", TODAY, paper("FRIA recognition"), why="missing"),
    case(
        TERM,
        "unknown",
        "paper_binds_on_its_own_terms",
        "2016-08-28",
        paper(ends_on="2016-12-01"),
        why="law_not_read",
    ),
    case(TERM, "unknown", "paper_kind", TODAY, Given("paper/W", {"ends_on": "2027-01-01"}), why="missing"),
    case(TERM, "met", "in_term", "2016-08-28", paper("insurance policy", ends_on="2016-12-01")),
    # A request grants nothing, so it has no term yet.
    *(
        case(TERM, "not_applicable", code, TODAY, paper(ends_on="2027-11-25", paper_state=state))
        for state, code in (("requested", "pending"), ("denied", "denied"), ("withdrawn", "withdrawn"))
    ),
    case(TERM, "met", "in_term", TODAY, paper(ends_on="2027-11-25", paper_state="granted")),
    # A note on a land or local rule has no term, and nobody answers for it.
    case(TERM, "not_applicable", "a_note", TODAY, paper("land or local rule")),
    case(PRESENT, "not_applicable", "a_note", TODAY, paper("land or local rule")),
]
GONE = person("Q", left_on=TODAY)
STAYS = person("Q", left_on="2026-11-25")
PEOPLE = [
    case(PRESENT, "met", "present", TODAY, paper(paper_responsible="Q"), person("Q")),
    case(PRESENT, "met", "present", TODAY, paper(paper_responsible="Q"), STAYS),
    case(PRESENT, "not_met", "left", TODAY, paper(paper_responsible="Q"), GONE),
    case(PRESENT, "unknown", "paper_responsible", TODAY, paper(), why="missing"),
    case(PRESENT, "not_met", "left", TODAY, Given("paper/W", {"paper_responsible": "Q"}), GONE),
    case(LOGIN, "met", "present", TODAY, owner(registry_login_holder="Q"), STAYS),
    case(LOGIN, "not_met", "left", TODAY, owner(registry_login_holder="Q"), GONE),
    case(LOGIN, "not_applicable", "nobody_named", TODAY, owner()),
]
IN_TIME = [
    case(ASKED, "not_applicable", "no_day_set", TODAY, paper(ends_on="2026-11-30")),
    case(ASKED, "met", "asked", "2027-11-01", area(renewal_asked_on="2027-10-03")),
    case(ASKED, "not_met", "asked_late", "2027-11-01", area(renewal_asked_on="2027-10-04")),
    case(ASKED, "unknown", "owed", "2027-10-03", area(), why="missing", value=date(2027, 10, 3)),
    case(ASKED, "not_met", "not_asked_yet", "2027-10-04", area(), value=date(2027, 10, 3)),
]
CASES = TERMS + PEOPLE + IN_TIME


@pytest.mark.parametrize("line", CASES, ids=lambda line: line.name)
def test_the_rule_gives(line: Case) -> None:
    check(line)


@pytest.mark.parametrize(
    ("line", "due"),
    [
        (TERMS[0], date(2026, 11, 24)),
        (TERMS[4], date(2026, 9, 1)),
        (TERMS[5], date(2026, 9, 1)),
        (TERMS[6], date(2026, 11, 30)),
        (TERMS[9], date(2026, 8, 2)),
    ],
)
def test_a_renewal_is_due_by(line: Case, due: date) -> None:
    assert outcome_of(line).due_on == due


@pytest.mark.parametrize(
    ("days", "due"),
    [
        ("0", date(2026, 12, 30)),
        ("1", date(2026, 12, 29)),
        ("-5", date(2026, 12, 30)),
        ("90.5", date(2026, 10, 1)),
        ("1000000000", date(2016, 12, 22)),
    ],
)
def test_any_number_of_days_is_borne(days: str, due: date) -> None:
    line = case(TERM, "met", "in_term", TODAY, paper(ends_on="2026-12-30", ask_days_before=days))
    assert (outcome_of(line).verdict, outcome_of(line).due_on) == ("met", due)


@pytest.mark.parametrize(
    ("days", "due"),
    [
        ({}, date(2027, 10, 3)),
        ({"ask_days_before": "119"}, date(2027, 10, 3)),
        ({"ask_days_before": "121"}, date(2027, 10, 2)),
    ],
)
def test_a_recognized_area_is_asked_for_at_least_as_early_as_the_law_wants(
    days: dict[str, Raw], due: date
) -> None:
    """14 CFR 89.225: 120 days before it ends."""
    assert outcome_of(case(TERM, "met", "in_term", TODAY, area(**days))).due_on == due


@pytest.mark.parametrize("kind", PaperKind)
@pytest.mark.parametrize("rule", [TERM, PRESENT])
def test_only_a_waiver_cites_the_section_on_waivers(kind: PaperKind, rule: str) -> None:
    """Source: 14 CFR 107.200(d) speaks of whoever receives a certificate of waiver, and of no policy or other paper."""
    facts = paper(kind, granted_on="2026-01-01", ends_on="2026-12-30", paper_responsible="Q")
    finding, _ = judged(case(rule, "met", "", TODAY, facts, STAYS))
    assert ("14 CFR 107.200" in cites(finding)) is (kind is PaperKind.WAIVER)
    assert not any("own terms" in one for one in cites(finding))
