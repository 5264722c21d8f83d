"""Every step leads somewhere: its act and fields exist, its fact is one, and what grounds has a way to put it right."""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from airwrit.answers.acts.catalog import BY_NAME
from airwrit.answers.acts.step import NextStep, step_for, steps_table
from airwrit.answers.standing.standing import standing
from airwrit.facts.statement import Known, Statement
from airwrit.facts.vocabulary import KEYS
from airwrit.house.rules import house_rules
from airwrit.law import wording
from airwrit.law.rule import Bears, Rule
from airwrit.law.rulebook import RULES

HOUSE = """
[[rule]]
name = "yearly_inspection"
about = "aircraft"
kind = "within_days"
key = "inspected_on"
limit = 12
unit = "calendar month"
document = "Manual"
clause = "6"
[[rule]]
name = "makers_the_grant_allows"
about = "aircraft"
kind = "one_of"
key = "maker"
values = ["Korrin"]
document = "Grant agreement"
clause = "7"
scope = { federal_money = true }
"""
ON, NOW = date(2026, 12, 1), datetime(2026, 12, 1, 12, tzinfo=UTC)
NOTHING_TO_ENTER = {
    # texts that were not understood have their question; the others say what another law asks, or who somebody is
    "aircraft_understood",
    "registration_understood",
    "person_understood",
    "use_stated",
    "flies_for_stated",
    "flies_at_all",
    "operating_rules",
}
WORDS = {
    rule: codes
    for path in (Path(wording.__file__).parent / "words").glob("*.toml")
    for rule, codes in tomllib.loads(path.read_text(encoding="utf-8")).items()
}
ROWS = [
    (rule, code, row)
    for rule, table in steps_table().items()
    for code, row in [("", table), *table.get("codes", {}).items()]
]


@pytest.mark.parametrize(("rule", "code", "row"), ROWS)
def test_a_row_names_what_there_is(rule: str, code: str, row: dict[str, object]) -> None:
    assert rule in {one.name for one in RULES}
    if code:
        assert code in WORDS[rule]
    act = BY_NAME.get(str(row.get("act", "")))
    assert ("act" in row) == (act is not None)
    fills = row.get("fills", {})
    assert isinstance(fills, dict)
    assert all(act is not None and act.field(name) for name in fills)
    assert str(row.get("fact", "maker")) in KEYS
    assert len(str(row["says"]).split()) <= 6


def test_every_rule_that_grounds_has_a_step() -> None:
    grounding = {
        rule.name
        for rule in RULES
        if rule.bears in (Bears.FLIGHT, Bears.NIGHT) and rule.about in ("aircraft", "registration", "person")
    }
    assert grounding - set(steps_table()) == NOTHING_TO_ENTER


def steps(*facts: tuple[str, str, str | bool], house: Sequence[Rule] = ()) -> dict[str, NextStep]:
    """The step of each finding, by its rule."""
    known = [Known(Statement(subject, key, value)) for subject, key, value in facts]
    report = standing(known, ON, NOW, house=house).report
    found = {f.rule.name: step_for(f, report.state) for f in report.counted}
    return {name: step for name, step in found.items() if step is not None}


A1 = (
    ("aircraft/A1", "used_for", "work"),
    ("aircraft/A1", "owner", "Tarn & Fell"),
    ("aircraft/A1", "takeoff_weight_g", "1400"),
)


def test_what_is_not_registered_leads_to_registering_it() -> None:
    step = steps(*A1, ("aircraft/A1", "is_registered", False))["must_be_registered"]
    assert (step.page, step.subject, step.says) == ("new-aircraft", "aircraft/A1", "Register it")


def test_a_missing_fact_leads_to_its_field() -> None:
    step = steps(*A1[1:], ("aircraft/A1", "is_registered", False))["use_stated"]
    assert (step.fact, step.subject) == ("used_for", "aircraft/A1")


def test_a_serial_listed_wrongly_is_filled_in() -> None:
    found = steps(
        *A1,
        ("aircraft/A1", "is_registered", True),
        ("aircraft/A1", "registration", "FA00TEST01"),
        ("registration/FA00TEST01", "registration_kind", "Part 48 per aircraft"),
        ("aircraft/A1", "remote_id_way", "standard"),
        ("aircraft/A1", "remote_id_serial", "ZZ9Z5MDL07"),
        ("aircraft/A1", "listed_serial", "ZZ9Z5MDL08"),
    )
    step = found["serial_on_right_certificate"]
    assert (step.act, step.subject) == ("file_change", "registration/FA00TEST01")
    assert step.fills == {"aircraft": "A1", "listed_serial": "ZZ9Z5MDL07"}


def test_who_is_not_current_leads_to_training() -> None:
    found = steps(
        ("person/Pax", "role", "remote pilot"),
        ("person/Pax", "flies_for", "work"),
        ("person/Pax", "has_certificate", True),
        ("training/t1", "event_of", "Pax"),
        ("training/t1", "event_kind", "recurrent training"),
        ("training/t1", "completed_on", "2023-03-01"),
    )
    assert (found["recency"].act, found["recency"].fills) == ("train", {"kind": "recurrent training"})


def test_a_house_rule_leads_to_its_own_day_and_to_no_other() -> None:
    """A maker that isn't allowed is put right by no day, least of all by that of a sale, which is looked at too."""
    facts = (*A1, ("aircraft/A1", "maker", "Talvane"), ("aircraft/A1", "inspected_on", "2025-01-01"))
    found = steps(*facts, ("aircraft/A1", "federal_money", True), house=house_rules(HOUSE, "rules.toml", ()))
    assert "makers_the_grant_allows" not in found
    assert found["yearly_inspection"].fact == "inspected_on"
