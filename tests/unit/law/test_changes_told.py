"""Changes that somebody has to be told of, each kept by itself: none hides another, one filing tells all up to its day."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from airwrit.base.verdict import Outcome, Verdict, Why
from airwrit.facts.choices import UsedFor
from airwrit.facts.fold import state_of
from airwrit.facts.key import Raw
from airwrit.facts.statement import Known, Statement
from airwrit.law.rule import judge
from airwrit.law.rulebook import BY_NAME

FIRST, SECOND = date(2026, 10, 1), date(2026, 11, 20)
RULES = {"update_registration": ("registration/R", "change_of"), "address_told": ("person/R", "move_of")}
DAYS = {"update_registration": 14, "address_told": 30}
TELLS = {"update_registration": "change_filed_on", "address_told": "address_told_on"}
BOTH = pytest.mark.parametrize("rule", list(RULES))


def found(
    rule: str, on: date, *changes: date | None, told: date | None = None, filed: date | None = None
) -> Outcome:
    """What the rule says on a day, after these changes and perhaps a telling; `filed` is the first one's own."""
    subject, link = RULES[rule]
    facts: list[tuple[str, str, Raw]] = [
        ("person/R", "flies_for", "work"),
        ("registration/R", "registration_kind", "Part 48 per aircraft"),
    ]
    for number, day in enumerate(changes):
        facts.append((f"change/{number}", link, "R"))
        if day is not None:
            facts.append((f"change/{number}", "changed_on", day.isoformat()))
    if filed is not None:
        facts.append(("change/0", "filed_on", filed.isoformat()))
    if told is not None:
        facts.append((subject, TELLS[rule], told.isoformat()))
    known = [Known(Statement(*fact)) for fact in facts]
    state = state_of(known, on, datetime(2027, 1, 1, tzinfo=UTC))
    return judge(BY_NAME[rule], state, subject, UsedFor.WORK, on).outcome


@BOTH
def test_the_last_day_and_the_day_after(rule: str) -> None:
    last = FIRST + timedelta(days=DAYS[rule])
    assert found(rule, last, FIRST).due_on == last
    assert found(rule, last, FIRST).verdict is not Verdict.NOT_MET
    assert found(rule, last + timedelta(days=1), FIRST).verdict is Verdict.NOT_MET


@BOTH
def test_a_later_change_does_not_hide_an_earlier_one(rule: str) -> None:
    both = found(rule, SECOND, FIRST, SECOND)
    assert both.verdict is Verdict.NOT_MET
    assert both.value == FIRST + timedelta(days=DAYS[rule])


@BOTH
def test_a_telling_between_them_leaves_the_later_one_owed(rule: str) -> None:
    last = SECOND + timedelta(days=DAYS[rule])
    assert found(rule, last, FIRST, SECOND, told=FIRST).due_on == last
    assert found(rule, last + timedelta(days=1), FIRST, SECOND, told=FIRST).verdict is Verdict.NOT_MET


@BOTH
def test_one_telling_tells_all_up_to_its_day(rule: str) -> None:
    last = FIRST + timedelta(days=DAYS[rule])
    assert found(rule, SECOND, FIRST, last, told=last).verdict is Verdict.MET
    assert found(rule, FIRST, SECOND).code == "nothing_changed"


def test_told_late_stays_late() -> None:
    late = found("update_registration", SECOND, FIRST, told=FIRST + timedelta(days=15))
    assert (late.verdict, late.code, late.value) == (
        Verdict.NOT_MET,
        "filed_late",
        FIRST + timedelta(days=14),
    )


def test_a_filing_in_time_for_the_last_change_leaves_an_earlier_one_open() -> None:
    """It may have been told by a filing of its own, of which only the day is asked; its own day settles it."""
    both = found("update_registration", SECOND, FIRST, SECOND, told=SECOND)
    assert (both.verdict, both.why, both.code) == (Verdict.UNKNOWN, Why.MISSING, "filed_when")
    for day, verdict in ((14, Verdict.MET), (15, Verdict.NOT_MET)):
        filed = FIRST + timedelta(days=day)
        assert (
            found("update_registration", SECOND, FIRST, SECOND, told=SECOND, filed=filed).verdict is verdict
        )


@BOTH
def test_a_change_without_a_day_is_a_gap_and_hides_no_lapse(rule: str) -> None:
    gap = found(rule, SECOND, None)
    assert (gap.verdict, gap.why, gap.code) == (Verdict.UNKNOWN, Why.MISSING, "changed_on")
    assert found(rule, SECOND, None, FIRST).verdict is Verdict.NOT_MET
    assert found(rule, SECOND, None, FIRST, told=SECOND).verdict is Verdict.UNKNOWN
