"""Words mean what `words.toml` says; unclear ones are never taken for an answer."""

from enum import StrEnum

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.facts.choices import (
    Citizenship,
    EventKind,
    MarkPlace,
    RegistrationKind,
    RemoteIdWay,
    UsedFor,
    words_of,
)
from airwrit.intake.cell.value import (
    _LONGEST,
    NOTHING,
    Got,
    choice_of,
    is_missing,
    is_none,
    normal,
    one_of,
    set_of,
    shown,
    tables,
    yes_or_no,
    yes_or_number,
)
from airwrit.intake.columns import TABLES

KINDS = {key.kind for keys in TABLES.values() for key in keys if issubclass(key.kind, StrEnum)}
CLOSED = sorted(KINDS, key=lambda kind: kind.__name__)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("yes", True),
        ("Y", True),
        ("TRUE", True),
        ("x", True),
        ("1", True),
        ("no", False),
        ("N", False),
        ("0", False),
    ],
)
def test_yes_and_no(text: str, value: bool) -> None:
    assert yes_or_no(text).raw is value


@pytest.mark.parametrize("text", ["", "-", "?", "n/a", "N/A", "tbd", "unknown", "—"])
def test_blank_is_never_no(text: str) -> None:
    assert yes_or_no(text) == NOTHING
    assert is_missing(text)


@pytest.mark.parametrize("text", ["ja", "maybe", "2", "2024-01-01"])
def test_other_words_are_neither(text: str) -> None:
    assert yes_or_no(text).fault


@pytest.mark.parametrize(
    ("kind", "text", "value"),
    [
        (UsedFor, "Commercial", "work"),
        (UsedFor, "hobby", "recreation"),
        (UsedFor, "both", "work and recreation"),
        (RegistrationKind, "107", "Part 48 per aircraft"),
        (RegistrationKind, "rec", "Part 48 recreational"),
        (RegistrationKind, "N-Number", "Part 47"),
        (MarkPlace, "outside", "outside"),
        (MarkPlace, "Yes – outside", "outside"),
        (MarkPlace, "no", "not marked"),
        (RemoteIdWay, "built in", "standard"),
        (RemoteIdWay, "beacon", "module"),
        (RemoteIdWay, "fria", "FRIA"),
        (RemoteIdWay, "None", "none"),
        (EventKind, "Initial", "initial test"),
        (Citizenship, "green card", "permanent resident"),
    ],
)
def test_synonyms(kind: type[StrEnum], text: str, value: str) -> None:
    assert one_of(kind, text) == Got(value)


@pytest.mark.parametrize(
    ("kind", "text"),
    [
        (MarkPlace, "yes"),
        (RemoteIdWay, "Yes"),
        (RemoteIdWay, "compliant"),
        (RegistrationKind, "48"),
        (UsedFor, "practice"),
    ],
)
def test_unclear_words_are_faults_that_list_the_words(kind: type[StrEnum], text: str) -> None:
    got = one_of(kind, text)
    assert got.raw is None
    assert "unclear" in got.fault
    assert words_of(next(iter(kind))) in got.do


def test_a_battery_bay_is_inside_and_said_so() -> None:
    got = one_of(MarkPlace, "battery bay")
    assert got.raw == "inside, opened without a tool"
    assert "without a tool" in got.note


@pytest.mark.parametrize("kind", CLOSED)
def test_every_value_of_a_list_stands_for_itself(kind: type[StrEnum]) -> None:
    for member in kind:
        assert one_of(kind, member.value.upper()).raw == member.value


@pytest.mark.parametrize("kind", CLOSED)
def test_no_word_stands_for_two_values(kind: type[StrEnum]) -> None:
    table = tables()[kind.__name__]
    assert set(table) - {"unclear", "note"} <= {member.value for member in kind}
    words = [normal(word) for member in kind for word in (member.value, *table.get(member.value, ()))]
    assert len(words) == len(set(words))
    assert set(choice_of(kind).notes) <= set(words)


def test_the_longest_word_for_nothing_is_as_long_as_said() -> None:
    assert max(map(len, set_of("missing") | set_of("none"))) <= _LONGEST
    assert is_none("Never.")


def test_a_long_text_is_cut_where_it_is_shown() -> None:
    assert len(shown("x" * 100)) < 70


@given(st.text(max_size=30))
def test_no_text_makes_the_readers_raise(text: str) -> None:
    yes_or_no(text)
    for kind in CLOSED:
        got = one_of(kind, text)
        assert got.raw is None or got.raw in set(kind)


@pytest.mark.parametrize(
    ("text", "raw"), [("0000003", True), ("#0000001", True), ("yes", True), ("no", False)]
)
def test_a_certificate_number_says_yes_where_yes_or_no_is_asked(text: str, raw: bool) -> None:
    assert yes_or_number(text).raw is raw


@pytest.mark.parametrize("text", ["12", "0000003 expired", "maybe"])
def test_what_is_no_certificate_number_is_still_a_fault(text: str) -> None:
    assert yes_or_number(text).fault
