"""What Part 107 reaches, and limits held against measured values and against hours of a day."""

from __future__ import annotations

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest

from airwrit.base.days import When
from airwrit.base.measured import exact, with_error
from airwrit.base.verdict import Outcome, Undecided, Verdict, Why
from airwrit.facts.choices import UsedFor
from airwrit.facts.flight_choices import WaiverSection
from airwrit.facts.fold import state_of
from airwrit.facts.key import Raw
from airwrit.facts.keys.flights.flight import HEIGHT_AGL
from airwrit.facts.keys.flights.limits import HEIGHT_ERROR
from airwrit.facts.keys.paper import ENDS_ON
from airwrit.facts.state import Facts
from airwrit.facts.statement import Known, Statement
from airwrit.law.flight.regime import (
    either,
    has_begun,
    has_ended,
    is_over,
    measured,
    part_107_flight,
    unless_waived,
    waived,
)
from airwrit.law.parameters import Law

DAY = date(2026, 11, 24)
NOON = datetime(2026, 11, 24, 12, tzinfo=UTC)


def reach(**facts: str) -> Outcome | None:
    """What keeps Part 107 from a flight of which this is on file."""
    known = [Known(Statement("flight/F", key, value)) for key, value in facts.items()]
    state = state_of(known, DAY, NOON)
    return part_107_flight(Facts(state, "flight/F", UsedFor.WORK), Law(DAY))


def test_a_flight_of_which_nothing_else_is_on_file_is_reached() -> None:
    assert reach() is None


@pytest.mark.parametrize(
    ("under", "reached"),
    [
        ("Part 107", True),
        ("Part 137 agricultural operation", True),
        ("certificate of authorization of a public agency", False),
        ("Part 91 with a 44807 exemption", False),
        ("Part 135 carriage for hire", False),
        ("law of another State", False),
    ],
)
def test_a_flight_under_other_law_is_not_judged_here(under: str, reached: bool) -> None:
    told = reach(flight_under=under)
    assert told == (None if reached else Outcome(Verdict.UNKNOWN, "other_law", Why.OUTSIDE_THIS_TOOL))


@pytest.mark.parametrize(("off", "told"), [(None, "0"), ("10", "10"), ("-10", "10")])
def test_a_value_is_off_by_what_is_told_and_by_nothing_where_nothing_is(off: str | None, told: str) -> None:
    facts: dict[str, Raw] = {"height_agl_ft": "390"}
    known = [Known(Statement("flight/F", key, value)) for key, value in facts.items()]
    if off is not None:
        known.append(Known(Statement("flight/F", HEIGHT_ERROR.name, off)))
    found = measured(Facts(state_of(known, DAY, NOON), "flight/F", UsedFor.WORK), HEIGHT_AGL, HEIGHT_ERROR)
    assert found == (exact(Decimal(390)) if told == "0" else with_error(Decimal(390), Decimal(told)))


@pytest.mark.parametrize(
    ("bound", "on", "begun", "ended"),
    [
        (DAY, date(2026, 11, 23), False, False),
        (DAY, DAY, True, False),
        (DAY, date(2026, 11, 25), True, True),
        (NOON, datetime(2026, 11, 24, 11, 59, tzinfo=UTC), False, False),
        (NOON, NOON, True, False),
        (NOON, datetime(2026, 11, 24, 12, 1, tzinfo=UTC), True, True),
        (NOON, date(2026, 11, 22), False, False),
        (NOON, date(2026, 11, 26), True, True),
    ],
)
def test_a_bound_begins_on_its_day_and_ends_after_it(bound: When, on: When, begun: bool, ended: bool) -> None:
    assert has_begun(ENDS_ON, bound, on) is begun
    assert has_ended(ENDS_ON, bound, on) is ended


@pytest.mark.parametrize("asked", [has_begun, has_ended])
def test_an_hour_that_decides_and_is_missing_leaves_it_open(asked: type) -> None:
    with pytest.raises(Undecided) as gap:
        asked(ENDS_ON, NOON, DAY)
    assert gap.value.why is Why.WITHIN_DOUBT


@pytest.mark.parametrize(
    ("feet", "off", "over"), [(400, 0, False), (401, 0, True), (390, 10, False), (411, 10, True)]
)
def test_a_value_is_over_when_all_it_may_be_is(feet: int, off: int, over: bool) -> None:
    assert is_over(with_error(Decimal(feet), Decimal(off)), Decimal(400), HEIGHT_AGL) is over


@pytest.mark.parametrize("feet", [391, 400, 410])
def test_a_limit_within_what_it_may_be_off_leaves_it_open(feet: int) -> None:
    with pytest.raises(Undecided):
        is_over(with_error(Decimal(feet), Decimal(10)), Decimal(400), HEIGHT_AGL)


def _gap() -> bool:
    raise Undecided(Why.MISSING, "one")


def test_one_check_that_holds_is_enough_whatever_is_missing() -> None:
    assert either(_gap, lambda: True)
    assert not either(lambda: False, lambda: False)
    with pytest.raises(Undecided):
        either(_gap, lambda: False)


def relying(terms: bool | None, section: str = "107.29 daylight operation", relied: bool = True) -> Facts:
    """A flight that relies on a waiver of a section, in force all of 2026, and keeps to its terms or not."""
    told: dict[str, dict[str, Raw]] = {
        "flight/F": {"flight_waiver": "W"} if relied else {"flown_on": "2026-11-24"}
    }
    told["paper/W"] = {
        "waives": section,
        "granted_on": "2026-01-01",
        "ends_on": "2026-12-31",
        "covers_all": True,
    }
    if terms is not None:
        told["flight/F"]["waiver_terms_kept"] = terms
    known = [Known(Statement(one, key, value)) for one, mine in told.items() for key, value in mine.items()]
    return Facts(state_of(known, DAY, NOON), "flight/F", UsedFor.WORK)


@pytest.mark.parametrize(
    ("section", "relied"), [("107.29 daylight operation", False), ("107.31 line of sight", True)]
)
def test_another_waiver_or_none_opens_nothing(section: str, relied: bool) -> None:
    assert waived(WaiverSection.DAYLIGHT, relying(True, section, relied), Law(DAY)) is None


@pytest.mark.parametrize("verdict", [Verdict.MET, Verdict.NOT_MET, Verdict.UNKNOWN])
def test_a_limit_that_is_kept_needs_no_waiver(verdict: Verdict) -> None:
    before = Outcome(verdict, "code")
    facts = relying(None, relied=False)
    assert unless_waived(before, WaiverSection.DAYLIGHT, facts, Law(DAY)) is before


SIGHT = "107.31 line of sight"


@pytest.mark.parametrize(
    ("terms", "verdict", "code"),
    [
        (True, Verdict.MET, "by_waiver"),
        (False, Verdict.NOT_MET, "term_broken"),
        (None, Verdict.UNKNOWN, "waiver_terms_kept"),
    ],
)
def test_a_waiver_of_the_section_is_as_good_as_its_terms(
    terms: bool | None, verdict: Verdict, code: str
) -> None:
    told = waived(WaiverSection.SIGHT, relying(terms, SIGHT), Law(DAY))
    assert told is not None
    assert (told.verdict, told.code) == (verdict, code)


@pytest.mark.parametrize(
    ("before", "terms", "after"),
    [
        (Verdict.MET, False, "code"),
        (Verdict.NOT_MET, True, "by_waiver"),
        (Verdict.NOT_MET, False, "term_broken"),
        (Verdict.NOT_MET, None, "waiver_terms_kept"),
        (Verdict.UNKNOWN, True, "by_waiver"),
        (Verdict.UNKNOWN, False, "code"),
        (Verdict.UNKNOWN, None, "code"),
    ],
)
def test_a_waiver_opens_a_limit_and_one_that_does_not_hold_leaves_doubt(
    before: Verdict, terms: bool | None, after: str
) -> None:
    told = unless_waived(Outcome(before, "code"), WaiverSection.SIGHT, relying(terms, SIGHT), Law(DAY))
    assert told.code == after
