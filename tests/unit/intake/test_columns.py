"""Headings are matched exactly, or nearly where only one is near; no heading of a table means two things."""

from operator import attrgetter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.facts.key import Key
from airwrit.intake.columns import (
    ID,
    TABLES,
    UNKNOWN,
    WEIGHT,
    heading_of,
    id_headings,
    known_headings,
    match_of,
    meanings_of,
)


@pytest.mark.parametrize(
    ("text", "heading"),
    [
        ("  Serial No. ", ("serial number", "", None)),
        ("Weight (lb)", ("weight", "lb", None)),
        ("mass [kg]", ("mass", "kg", None)),
        ("takeoff_weight_g", ("takeoff weight", "g", None)),
        ("Weight, oz", ("weight", "oz", None)),
        ("Weight in grams", ("weight", "grams", None)),
        ("Expires (MM/DD/YYYY)", ("expires", "", "month-first")),
        ("Expires (dd.mm.yy)", ("expires", "", "day-first")),
        ("Expires (YYYY-MM-DD)", ("expires", "", None)),
        ("RID S/N", ("remote id serial number", "", None)),
        ("Registered?", ("registered", "", None)),
        ("N–number", ("n-number", "", None)),
        ("g", ("g", "g", None)),
    ],
)
def test_a_heading_s_form_unit_and_order(text: str, heading: tuple[str, str, str | None]) -> None:
    assert heading_of(text) == heading


@pytest.mark.parametrize(
    ("text", "table", "meaning", "how"),
    [
        ("Expires", "aircraft", "expires_on", "exact"),
        ("FAA Reg #", "aircraft", "registration", "exact"),
        ("Weight (g)", "aircraft", WEIGHT, "exact"),
        ("Takeoff weight", "aircraft", "takeoff_weight_g", "exact"),
        ("Weight", "part", "part_weight_g", "exact"),
        ("Call sign", "aircraft", ID, "exact"),
        ("Registraton number", "aircraft", "registration", "near"),
        ("Manufacturrer", "aircraft", "maker", "near"),
        ("Use", "aircraft", "used_for", "exact"),
        ("Use", "person", "flies_for", "exact"),
        ("Last recurrent training", "person", "event: recurrent training", "exact"),
        ("Part 107 renewal", "person", "event: recurrent test or training", "exact"),
        ("DOB", "person", "born_on", "exact"),
        ("Certificate #", "person", "certificate_number", "exact"),
        ("Type", "remote_id", "remote_id_way", "exact"),
        ("Serial", "registration", "listed_serial", "exact"),
    ],
)
def test_a_heading_s_meaning(text: str, table: str, meaning: str, how: str) -> None:
    found = match_of(text, table)
    assert (found.meaning, found.how) == (meaning, how)


@pytest.mark.parametrize("text", ["Favorite color", "Notes", "xyz", "", "0", "Expired"])
def test_an_unknown_heading_is_not_guessed(text: str) -> None:
    assert match_of(text, "aircraft") is UNKNOWN


def test_a_tie_of_two_meanings_is_unknown(monkeypatch: pytest.MonkeyPatch) -> None:
    known = {"battery count a": "maker", "battery count b": "model"}
    monkeypatch.setattr("airwrit.intake.columns.known_headings", lambda table: known)
    assert match_of("battery count c", "tie") is UNKNOWN
    assert match_of("battery countt a", "tie").meaning == "maker"


@pytest.mark.parametrize(
    "key", sorted({key for keys in TABLES.values() for key in keys}, key=attrgetter("name"))
)
def test_every_key_has_a_heading_of_its_own_and_goes_by_its_name(key: Key[object]) -> None:
    for table in (table for table, keys in TABLES.items() if key in keys):
        assert known_headings(table)[heading_of(key.name).text] == key.name


@pytest.mark.parametrize("table", TABLES)
def test_no_heading_of_a_table_is_that_of_two_keys(table: str) -> None:
    by_heading: dict[str, set[str]] = {}
    for key in TABLES[table]:
        for heading in key.headings:
            by_heading.setdefault(heading_of(heading).text, set()).add(key.name)
    shared = {heading: names for heading, names in by_heading.items() if len(names) > 1}
    assert shared == {}


@pytest.mark.parametrize("table", TABLES)
def test_ids_come_first(table: str) -> None:
    assert all(known_headings(table)[heading] == ID for heading in id_headings(table))


@pytest.mark.parametrize(
    ("text", "table", "is_one"),
    [
        ("maker", "aircraft", True),
        ("id", "person", True),
        ("ignore", "part", True),
        ("weight", "aircraft", True),
        ("event: initial test", "person", True),
        ("event: initial test", "aircraft", False),
        ("event: x", "person", False),
        ("valid_from", "remote_id", True),
        ("makr", "aircraft", False),
    ],
)
def test_what_a_mapping_may_say(text: str, table: str, is_one: bool) -> None:
    assert (text in meanings_of(table)) is is_one


@given(st.text(max_size=40), st.sampled_from(list(TABLES)))
def test_no_heading_makes_the_matcher_raise(text: str, table: str) -> None:
    assert match_of(text, table).how in ("exact", "near", "unknown")
