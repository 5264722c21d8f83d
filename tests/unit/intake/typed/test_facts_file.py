"""Facts files: tables about the only subject meet, values are checked, wrong ones named by table and key."""

from datetime import date, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.base.days import EARLIEST
from airwrit.base.errors import BadFact
from airwrit.facts.key import Raw, value_of
from airwrit.facts.vocabulary import KEYS, TABLES
from airwrit.intake.typed.facts_file import read_facts

NAME = "facts.toml"


def facts(text: str) -> dict[tuple[str, str], Raw]:
    """The value of every subject and key in a facts file."""
    return {item.statement[:2]: item.statement.value for item in read_facts(text, NAME).known}


def test_tables_about_the_only_subjects_meet() -> None:
    found = facts("""
        [aircraft]
        used_for = "work"
        [mark]
        mark_place = "outside"
        [remote_id]
        remote_id_way = "module"
        [registration]
        number = "FA00TEST01"
        issued_on = 2024-03-05
        [owner]
        name = "Test Co"
        owner_kind = "corporation"
        [pilot]
        has_certificate = true
        [training]
        event_kind = "initial test"
        [part]
        part_name = "lamp"
        [flight]
        paid = false
    """)
    assert found == {
        ("aircraft/A", "used_for"): "work",
        ("aircraft/A", "mark_place"): "outside",
        ("aircraft/A", "remote_id_way"): "module",
        ("aircraft/A", "registration"): "FA00TEST01",
        ("aircraft/A", "is_registered"): True,
        ("aircraft/A", "owner"): "Test Co",
        ("registration/FA00TEST01", "issued_on"): "2024-03-05",
        ("registration/FA00TEST01", "registered_to"): "Test Co",
        ("owner/Test Co", "owner_kind"): "corporation",
        ("person/pilot", "has_certificate"): True,
        ("training/training 1", "event_kind"): "initial test",
        ("training/training 1", "event_of"): "pilot",
        ("part/part 1", "part_name"): "lamp",
        ("part/part 1", "part_of"): "A",
        ("flight/flight", "paid"): False,
        ("flight/flight", "flight_aircraft"): "A",
        ("flight/flight", "flight_pilot"): "pilot",
    }


def test_what_is_stated_is_not_linked_over() -> None:
    found = facts("""
        [aircraft]
        id = "H-01"
        is_registered = false
        owner = "Someone"
        [registration]
        id = "FA00TEST01"
        registered_to = "Someone Else"
        [owner]
        id = "Someone"
        owner_kind = "person"
    """)
    assert found["aircraft/H-01", "is_registered"] is False
    assert ("aircraft/H-01", "registration") not in found
    assert found["registration/FA00TEST01", "registered_to"] == "Someone Else"


def test_a_table_without_id_is_about_what_another_names() -> None:
    found = facts(
        '[aircraft]\nregistration = "FA00TEST01"\nowner = "Test Co"\n'
        '[registration]\nexpires_on = 2027-01-02\n[owner]\nowner_kind = "trust"'
    )
    assert found["registration/FA00TEST01", "expires_on"] == "2027-01-02"
    assert found["owner/Test Co", "owner_kind"] == "trust"


def test_several_aircraft_are_told_apart_by_id() -> None:
    found = facts(
        '[[aircraft]]\nid = "A"\nmaker = "x"\n[[aircraft]]\nid = "B"\nmaker = "y"\n[mark]\naircraft = "B"\nmark_text = "z"'
    )
    assert found == {
        ("aircraft/A", "maker"): "x",
        ("aircraft/B", "maker"): "y",
        ("aircraft/B", "mark_text"): "z",
    }


def test_site_weather_and_crew_speak_of_the_flight() -> None:
    found = facts("""
        [flight]
        height_agl_ft = 90
        airspace_class = "D"
        [site]
        in_alaska = false
        [weather]
        no_clouds = true
        [crew]
        crew_fit = true
        height_error_ft = 3
    """)
    assert {subject for subject, _ in found} == {"flight/flight"}
    assert [key for _, key in found] == [
        *("height_agl_ft", "airspace_class", "in_alaska", "no_clouds", "crew_fit", "height_error_ft")
    ]


def test_a_site_names_its_flight_where_there_are_several() -> None:
    text = '[[flight]]\nid = "a"\npaid = true\n[[flight]]\nid = "b"\npaid = true\n[site]\nflight = "b"\nin_alaska = true'
    assert facts(text)["flight/b", "in_alaska"] is True


@pytest.mark.parametrize(
    ("word", "kind"),
    [
        ("LLC", "corporation"),
        ("nonprofit", "corporation"),
        ("Club", "corporation"),
        ("private school", "corporation"),
        ("public school", "government"),
        ("county", "government"),
        ("corporation", "corporation"),
    ],
)
def test_words_of_the_trade_for_an_owner(word: str, kind: str) -> None:
    assert facts(f'[owner]\nowner_kind = "{word}"')["owner/owner", "owner_kind"] == kind


def test_several_pilots_are_not_linked() -> None:
    found = facts(
        '[[pilot]]\nid = "a"\nrole = "x"\n[[pilot]]\nid = "b"\nrole = "x"\n[training]\nevent_kind = "initial test"'
    )
    assert ("training/training 1", "event_of") not in found


def test_from_and_until_are_the_span_of_a_table() -> None:
    text = (
        '[[part]]\nid = "s"\nfrom = 2025-06-03\nuntil = "2025-06-04T10:00-05:00"\npart_name = "lamp"\n'
        '[aircraft]\nmaker = "x"'
    )
    known = read_facts(text, NAME).known
    assert known[0].statement[3:] == (date(2025, 6, 3), datetime.fromisoformat("2025-06-04T10:00-05:00"))
    assert known[1].statement[3:] == (EARLIEST, None)
    assert known[0].origin == "facts.toml [part] part_name"


@pytest.mark.parametrize(
    ("line", "raw"),
    [
        ('takeoff_weight = "0.5 lb"', "226.796185"),
        ('takeoff_weight = "0,249 kg"', "249"),
        ("takeoff_weight_g = 249", 249),
        ("takeoff_weight_g = 249.50", "249.50"),
        ('takeoff_weight_g = "249.5"', "249.5"),
        ('scale_error = "0 g"', "0"),
        ("scale_error_g = 0", 0),
        ("sold_on = 2026-01-02", "2026-01-02"),
        ('sold_on = "2026-01-02"', "2026-01-02"),
    ],
)
def test_values(line: str, raw: Raw) -> None:
    assert list(facts(f"[aircraft]\n{line}").values()) == [raw]


@pytest.mark.parametrize(
    ("value", "raw"),
    [
        ("2026-11-25", "2026-11-25"),
        ('"2026-11-25"', "2026-11-25"),
        ("2026-11-25T10:00:00Z", "2026-11-25T10:00:00+00:00"),
    ],
)
def test_the_day_asked_about(value: str, raw: str) -> None:
    assert read_facts(f"on = {value}", NAME).on == raw
    assert read_facts("", NAME).on is None


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("x", "as TOML"),
        ("[aircrft]", r"Did you mean \[aircraft\]\?"),
        ("[wether]\nwind = 3", r"No table is named 'wether'. Did you mean \[weather\]\?"),
        ("[weather]\nwind = 3", "No fact is named 'wind'."),
        ("[weather]\nmaker = 'x'", r"Move it to \[aircraft\]."),
        ("[aircraft]\nno_clouds = true", r"Move it to \[weather\]."),
        ("[[flight]]\nid = 'A'\n[[flight]]\nid = 'B'\n[site]\nin_alaska = true", "which flight"),
        ("[flight]\npaid = true\n[[crew]]\ncrew_fit = true\n[[crew]]\ncrew_fit = false", "each table"),
        ("[owner]\nowner_kind = 'school'", "a public school is a government body"),
        ("[mark]\nmark_place = 'battery bay'", "one of: outside;"),
        ("[aircraft]\nownr = 'x'", r"\[aircraft\] ownr: No fact is named 'ownr'. Did you mean owner\?"),
        ("[mark]\nmaker = 'x'", r"Move it to \[aircraft\]."),
        ("[aircraft]\ntakeoff_weight = 3", "with its unit,"),
        ("[aircraft]\ntakeoff_weight = '3'", "has no unit"),
        ("[aircraft]\ntakeoff_weight = '1,388 g'", "two numbers"),
        ("[aircraft]\ntakeoff_weight = '?'", "a weight"),
        ("[aircraft]\ntakeoff_weight = '3 g'\ntakeoff_weight_g = 3", "the same fact"),
        ("[aircraft]\ntakeoff_weight_g = -1", "can't use -1 as a weight."),
        ("[aircraft]\ntakeoff_weight_g = 0", "can't use 0 as a weight."),
        ("[aircraft]\ntakeoff_weight_g = inf", "plain number in g"),
        ("[aircraft]\ntakeoff_weight_g = true", "plain number in g"),
        ("[aircraft]\nmaker = 3", "Write it as text."),
        ("[aircraft]\nmaker = ''", "Write it as text."),
        ("[aircraft]\nmaker = 2026-01-02", "Write it as text."),
        ("[aircraft]\nmaker = ['x']", "a list or table"),
        ("[aircraft]\nis_registered = 'yes'", "Answer true or false."),
        ("[aircraft]\nused_for = 'play'", "one of: work;"),
        ("[aircraft]\nsold_on = 2026-01-02T10:00:00", "no time zone."),
        ("[aircraft]\nsold_on = 2026-01-02T10:00:00Z", "Write a date"),
        ("[aircraft]\nsold_on = 10:00:00", "can't use"),
        ("[training]\ncompleted_on = '2026-01-02T10:00'", "time with its zone"),
        (
            "[aircraft]\nfrom = 2026-01-02\nuntil = 2026-01-02\nmaker = 'x'",
            "last day has to be after the first day",
        ),
        ("[aircraft]\nfrom = 2026-01-02T10:00:00\nmaker = 'x'", "no time zone."),
        ("[aircraft]\nid = 3", "a name."),
        ("[mark]\nid = 'A'\naircraft = 'B'", "names, 'A' and 'B'."),
        ("aircraft = 3", "isn't a table."),
        ("[[aircraft]]\nmaker = 'x'\n[[aircraft]]\nmaker = 'y'", "each table"),
        ("[[aircraft]]\nid = 'A'\n[[aircraft]]\nid = 'B'\n[mark]\nmark_text = 'x'", "which aircraft"),
        ("[registration]\nexpires_on = 2026-01-02", "number"),
        ("[aircraft]\nowner = ['x']\n[owner]\nowner_kind = 'trust'", "a list or table"),
        ("on = 3", "Write a date"),
        ("on = 2026-01-02T10:00:00", "no time zone."),
    ],
)
def test_what_is_wrong_is_named(text: str, says: str) -> None:
    with pytest.raises(BadFact, match=says) as caught:
        read_facts(text, NAME)
    assert caught.value.where.startswith(NAME)
    assert caught.value.do


@given(st.text(max_size=60))
def test_no_text_gives_anything_but_facts_or_bad_fact(text: str) -> None:
    try:
        known = read_facts(text, NAME).known
    except BadFact:
        return
    assert all(item.statement.key in KEYS for item in known)


@given(
    st.sampled_from([*TABLES, "on", "site"]),
    st.sampled_from([*KEYS, "id", "from", "until", "number", "aircraft", "takeoff_weight", "scale_error"]),
    st.sampled_from(
        [
            "1",
            "-1",
            "nan",
            "true",
            "'x'",
            "'3 g'",
            "2026-01-02",
            "2026-01-02T03:04:05Z",
            "03:04:05",
            "[1]",
            "{a = 1}",
            "1.5",
        ]
    ),
)
def test_every_key_with_every_kind_of_value_gives_facts_or_bad_fact(table: str, key: str, value: str) -> None:
    try:
        known = read_facts(f"[{table}]\n{key} = {value}", NAME).known
    except BadFact:
        return
    assert all(value_of(KEYS[item.statement.key], item.statement.value) is not None for item in known)
