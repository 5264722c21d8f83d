"""House rules: no text crashes the reader, bad rows name their place, and less knowledge never gives a better verdict."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.answers.standing.standing import standing
from airwrit.base.errors import BadHouseFile
from airwrit.base.verdict import Verdict
from airwrit.facts.fold import state_of
from airwrit.facts.statement import Known
from airwrit.facts.vocabulary import ALL_KEYS
from airwrit.house.rows import FIELDS
from airwrit.house.rules import example, house_rules
from airwrit.law.parameters import FIRST_DAY
from airwrit.law.rule import USES, Rule, judge
from airwrit.law.wording import worded
from tests.properties.statements import KNOWN_AT, days, facts, without

RULES = house_rules(example(), "rules.toml")
KEY_NAMES = [key.name for key in ALL_KEYS] + ["nothing", "", "mäker"]
FIELD_NAMES = sorted(
    {name for must, may in FIELDS.values() for name in (*must, *may)}
    | {
        "name",
        "about",
        "kind",
        "document",
        "clause",
        "says",
        "do",
        "from",
        "until",
        "bears",
        "use",
        "scope",
        "x",
    }
)
scalars = st.one_of(
    st.booleans(),
    st.integers(-(10**12), 10**12),
    st.floats(),
    st.dates(),
    st.datetimes(),
    st.text(max_size=12),
    st.sampled_from(
        [*FIELDS, "aircraft", "person", "day", "calendar month", "kg", "landings", "training", "work"]
    ),
    st.sampled_from(KEY_NAMES),
)
values = st.one_of(
    scalars, st.lists(scalars, max_size=3), st.dictionaries(st.sampled_from(KEY_NAMES), scalars, max_size=2)
)
tables = st.dictionaries(st.sampled_from(FIELD_NAMES), values, max_size=12)


def toml(value: Any) -> str:
    """A value as TOML writes it."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return '"' + "".join(f"\\U{ord(sign):08x}" for sign in value) + '"'
    if isinstance(value, dict):
        return "{" + ", ".join(f"{toml(name)} = {toml(each)}" for name, each in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(toml, value)) + "]"
    return value.isoformat() if isinstance(value, date) else str(value)


def file_of(rows: list[dict[str, Any]]) -> str:
    """A file of these rows."""
    return 'document = "M"\n' + "".join(
        "[[rule]]\n" + "".join(f"{toml(name)} = {toml(each)}\n" for name, each in row.items()) for row in rows
    )


def read(text: str) -> tuple[tuple[Rule, ...], str]:
    """The rules; or none, and the line that refused the file."""
    try:
        return house_rules(text, "rules.toml"), ""
    except BadHouseFile as refused:
        return (), str(refused)


@given(st.text(max_size=200))
def test_no_text_crashes_the_reader(text: str) -> None:
    rules, refused = read(text)
    assert rules or refused.startswith("rules.toml")


@given(st.lists(tables, min_size=1, max_size=3))
def test_no_table_crashes_the_reader(rows: list[dict[str, Any]]) -> None:
    rules, refused = read(file_of(rows))
    assert rules or refused.startswith("rules.toml rule ")


GOOD: tuple[dict[str, Any], ...] = (
    {"kind": "one_of", "key": "maker", "values": ["a"]},
    {"kind": "at_most", "key": "takeoff_weight_g", "limit": 25, "unit": "kg"},
    {"kind": "within_days", "key": "inspected_on", "limit": 12, "unit": "calendar month"},
    {"kind": "before_days", "key": "expires_on", "limit": 30, "done": "renewal_filed_on"},
    {"kind": "required", "key": "airframe_serial"},
    {"kind": "covered_by", "values": ["waiver"]},
)


@given(st.sampled_from(GOOD), st.integers(0, 3), st.sampled_from(FIELD_NAMES), values)
def test_a_row_spoiled_in_one_field_is_taken_or_named(
    good: dict[str, Any], before: int, field: str, value: Any
) -> None:
    sound = {"about": "aircraft", "clause": "1", **good}
    rows = [{**sound, "name": f"sound {number}"} for number in range(before)] + [
        {**sound, "name": "spoiled", field: value}
    ]
    rules, refused = read(file_of(rows))
    assert bool(rules) is (not refused)
    if refused and field != "name":
        assert refused.startswith(f"rules.toml rule {before + 1} 'spoiled'")
    state = state_of([], date(2026, 11, 25), KNOWN_AT)
    for rule in rules:
        finding = judge(rule, state, "aircraft/1", USES[0], date(2026, 11, 25))
        assert finding.verdict is not Verdict.MET
        assert "{" not in worded(finding, state).says or "{" in str(value)


@given(facts(most=90), days)
def test_less_knowledge_never_gives_a_better_verdict(known: list[Known], on: date) -> None:
    for rule in RULES:
        for use in USES:
            finding = judge(rule, state_of(known, on, KNOWN_AT), f"{rule.about}/1", use, on)
            if finding.verdict is Verdict.MET:
                continue
            for used in dict.fromkeys(finding.used):
                state = state_of(without(known, used.subject, used.key), on, KNOWN_AT)
                after = judge(rule, state, finding.subject, use, on)
                told = any(look == used and look.closed for look in after.used)
                assert after.verdict is not Verdict.MET or told, (rule.name, used)


@given(facts(most=90), days)
def test_every_house_finding_has_words_and_names_its_document(known: list[Known], on: date) -> None:
    state = state_of(known, on, KNOWN_AT)
    for rule in RULES:
        finding = judge(rule, state, f"{rule.about}/1", USES[0], on)
        assert worded(finding, state).says.endswith(f"({rule.document}).")


@given(facts(most=90), days)
def test_house_rules_never_free_anything(known: list[Known], on: date) -> None:
    """With house rules every row stands as it does by the law alone, or worse."""
    alone, house = (standing(known, max(on, FIRST_DAY), KNOWN_AT, house=rules) for rules in ((), RULES))
    order = {Verdict.MET: 0, Verdict.UNKNOWN: 1, Verdict.NOT_MET: 2}
    for before, after in zip(alone.rows, house.rows, strict=True):
        assert before.subject == after.subject
        assert order[after.work] >= order[before.work]
        assert order[after.recreation] >= order[before.recreation]
    assert order[house.report.verdict] >= order[alone.report.verdict]


OF_WHAT_THERE_IS = {"observer_under_the_waiver", "who_returns_to_service"}
"""Rules of a paper that a flight names, or of a return to service: where there is none, they don't apply."""


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.name)
def test_a_rule_of_nothing_known_is_unknown(rule: Rule) -> None:
    state = state_of([], date(2026, 11, 25), KNOWN_AT)
    found = judge(rule, state, f"{rule.about}/1", USES[0], date(2026, 11, 25)).verdict
    assert found is (Verdict.NOT_APPLICABLE if rule.name in OF_WHAT_THERE_IS else Verdict.UNKNOWN)
