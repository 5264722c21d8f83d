"""Batteries of a planned flight: what is on record of each is part of the answer, of the hours, and of a way out."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime

import pytest

from airwrit.answers.before_flight.answer import flight_answer
from airwrit.answers.before_flight.changes import ChangeCode
from airwrit.answers.before_flight.check import FlightAnswerCode, flight_check
from airwrit.answers.before_flight.view import who_texts
from airwrit.answers.before_flight.windows import stretches_of
from airwrit.base.verdict import Verdict
from airwrit.facts.key import Raw
from airwrit.house.rules import house_rules
from tests.unit.answers.before_flight.planning import NOTHING_AROUND, plan, program

KEPT: dict[str, Raw] = {"paired_aircraft": "Fern 1", "capacity_new_mah": "5000"}
ROW = """document = "Operations manual"
[[rule]]
name = "battery_cycles"
about = "battery"
kind = "at_most"
key = "cycles_read"
limit = 200
clause = "7.1"
"""


@pytest.mark.parametrize(
    ("facts", "verdict", "why"),
    [
        ({}, Verdict.NOT_APPLICABLE, ""),
        # 14 CFR 107.15(a): no flight unless the aircraft is in a condition for safe operation
        ({"swelling": True}, Verdict.NOT_MET, "swollen"),
        ({"battery_damaged_on": "2026-06-01"}, Verdict.NOT_MET, "found damaged"),
        (
            {"battery_damaged_on": "2026-06-01", "battery_cleared_on": "2026-06-02"},
            Verdict.NOT_APPLICABLE,
            "",
        ),
        ({"battery_retired_on": "2026-06-10"}, Verdict.NOT_MET, "was retired"),
        ({"battery_retired_on": "2026-06-11"}, Verdict.NOT_APPLICABLE, ""),
        ({"battery_shipped_on": "2026-06-01"}, Verdict.NOT_MET, "was shipped"),
    ],
)
def test_what_is_on_record_of_a_battery_counts(facts: dict[str, Raw], verdict: Verdict, why: str) -> None:
    given = program(battery_P1={**KEPT, **facts})
    found = flight_check(plan(packs=("P1",)), given, NOTHING_AROUND)
    assert [one.verdict for one in found.batteries] == [verdict]
    assert why in who_texts(found)[2].why
    assert (found.whole is FlightAnswerCode.NOT_ALLOWED) is (verdict is Verdict.NOT_MET)


def test_a_battery_without_a_record_is_open_where_others_of_the_aircraft_have_one() -> None:
    alone = flight_check(plan(packs=("P9",)), program(), NOTHING_AROUND)
    assert alone.whole is FlightAnswerCode.NOTHING_AGAINST
    assert "no record" in who_texts(alone)[2].status
    beside = flight_check(plan(packs=("P9",)), program(battery_P1=KEPT), NOTHING_AROUND)
    assert beside.whole is FlightAnswerCode.CANT_TELL


def test_a_house_rule_about_cycles_counts_before_a_flight() -> None:
    given = program(battery_P1={**KEPT, "cycles_read": "201", "cycles_read_on": "2026-06-01"})
    rules = house_rules(ROW, "rules.toml")
    found = flight_check(plan(packs=("P1",)), replace(given, house=rules), NOTHING_AROUND)
    assert found.whole is FlightAnswerCode.NOT_ALLOWED
    assert "The maximum is 200" in who_texts(found)[2].why


def test_a_battery_to_be_retired_closes_the_day_and_another_one_opens_it() -> None:
    given = program(battery_P1={**KEPT, "battery_retired_on": "2026-06-11"}, battery_P2=KEPT)
    days = stretches_of(
        plan(packs=("P1",)), given, lambda _: NOTHING_AROUND, date(2026, 6, 10), date(2026, 6, 11)
    )
    midnight = datetime(2026, 6, 11, 5, tzinfo=UTC)
    assert {one.verdict for one in days if one.end <= midnight} == {Verdict.MET}
    assert {one.verdict for one in days if one.start >= midnight} == {Verdict.NOT_MET}
    gone = program(battery_P1={**KEPT, "battery_retired_on": "2026-06-01"}, battery_P2=KEPT)
    answer = flight_answer(plan(packs=("P1",)), gone, None, None, 1)
    other = next(one for one in answer.changes if one.code is ChangeCode.BATTERY)
    assert (other.names, other.plan and other.plan.packs) == (("P2",), ("P2",))
    alone = flight_answer(
        plan(packs=("P2", "P1")),
        program(battery_P1={**KEPT, "swelling": True}, battery_P2=KEPT),
        None,
        None,
        1,
    )
    assert [one.names for one in alone.changes if one.code is ChangeCode.LEAVE] == [("battery/P1",)]
