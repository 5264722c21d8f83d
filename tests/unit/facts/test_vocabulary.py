"""Every fact has one name, a table, words for people, and headings that mean one thing inside a table."""

from __future__ import annotations

from collections import Counter
from datetime import date
from decimal import Decimal
from enum import StrEnum

import pytest

from airwrit.base.errors import BadFact
from airwrit.facts.key import Raw, value_of
from airwrit.facts.keys.program import OWN_KEYS, ROWS_UNREAD
from airwrit.facts.vocabulary import (
    ALL_KEYS,
    KEYS,
    TABLES,
    TELLABLE,
    TOLD_KEYS,
    id_of,
    key_named,
    kind_of,
    subject_named,
)

KINDS = set(TABLES.values())


def test_names_are_unique() -> None:
    assert len(KEYS) == len(ALL_KEYS) + len(OWN_KEYS)


def test_a_key_can_be_told_and_asked_for() -> None:
    for key in ALL_KEYS:
        assert key.name.isidentifier(), key.name
        assert key.name == key.name.lower()
        assert key.table in TABLES, key.name
        assert key.meaning, key.name
        assert key.question.count("?") == 1, key.name
        assert key.headings, key.name


def test_a_key_is_of_a_known_kind() -> None:
    for key in ALL_KEYS:
        assert key.kind in (bool, str, date, Decimal, tuple) or issubclass(key.kind, StrEnum), key.name
        ending = key.unit.lower().replace("°", "deg")
        assert not key.unit or (key.kind is Decimal and key.name.endswith(f"_{ending}")), key.name
        assert not key.instants or key.kind is date, key.name
        assert not key.digits or key.kind is str, key.name
        assert not key.links_to or (key.kind is str and key.links_to in KINDS), key.name


def test_days_are_named_on_and_only_days() -> None:
    assert [key.name for key in ALL_KEYS if key.name.endswith("_on") != (key.kind is date)] == []


@pytest.mark.parametrize("table", TABLES)
def test_a_heading_means_one_thing_inside_a_table(table: str) -> None:
    headings = Counter(heading for key in ALL_KEYS if key.table == table for heading in key.headings)
    assert [heading for heading, count in headings.items() if count > 1] == []


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_a_heading_means_one_thing_of_a_kind_of_subject(kind: str) -> None:
    headings = Counter(heading for key in ALL_KEYS if TABLES[key.table] == kind for heading in key.headings)
    assert [heading for heading, count in headings.items() if count > 1] == []


def test_headings_are_written_plainly() -> None:
    for key in ALL_KEYS:
        assert list(key.headings) == [" ".join(heading.lower().split()) for heading in key.headings], key.name


def test_every_table_has_keys() -> None:
    assert {key.table for key in (*ALL_KEYS, *OWN_KEYS)} == set(TABLES)
    assert {key.table for key in ALL_KEYS} == set(TELLABLE)


def test_what_the_program_alone_says_cannot_be_told() -> None:
    assert not {key.table for key in OWN_KEYS} & set(TELLABLE)
    assert not {key.name for key in OWN_KEYS} & set(TOLD_KEYS)


@pytest.mark.parametrize("raw", [True, "3", -1, None, "many"])
def test_a_count_is_a_whole_number(raw: Raw) -> None:
    assert value_of(ROWS_UNREAD, 3) == 3
    with pytest.raises(BadFact, match=r"Write a whole number."):
        value_of(ROWS_UNREAD, raw)


@pytest.mark.parametrize(
    ("subject", "kind", "name"), [("aircraft/H-03", "aircraft", "H-03"), ("owner/a/b", "owner", "a/b")]
)
def test_subjects_are_kind_and_id(subject: str, kind: str, name: str) -> None:
    assert subject_named(kind, name) == subject
    assert (kind_of(subject), id_of(subject)) == (kind, name)


def test_an_unknown_name_meets_the_nearest() -> None:
    assert key_named("expires_on") is KEYS["expires_on"]
    with pytest.raises(BadFact) as near:
        key_named("expires_no")
    assert str(near.value) == "No fact is named 'expires_no'. Did you mean expires_on?"
    with pytest.raises(BadFact) as far:
        key_named("xyzzy")
    assert str(far.value) == "No fact is named 'xyzzy'. `airwrit check-scenario --keys` lists every fact."
