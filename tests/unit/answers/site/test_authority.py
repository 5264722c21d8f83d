"""Papers against a planned flight, field by field: both sides of each, and that no request, word or gap grants anything."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime

import pytest

from airwrit.answers.site.authority import AuthorityAnswer, Need, PaperField, authority_of
from airwrit.answers.site.authority_view import (
    authority_json,
    beside_sentences,
    field_sentence,
    headline,
    request_lines,
)
from airwrit.base.days import parse_when
from airwrit.base.verdict import Verdict
from airwrit.facts.fold import state_of
from airwrit.facts.key import Raw
from airwrit.facts.statement import Known, Statement

AT = "2026-12-05T10:00-05:00"
MET, NOT_MET, UNKNOWN = Verdict.MET, Verdict.NOT_MET, Verdict.UNKNOWN
Told = Mapping[str, Raw]
FLIGHT: Told = {
    "flight_aircraft": "A",
    "flight_pilot": "P",
    "flight_under": "Part 107",
    "airspace_class": "D",
    "notice_covers": False,
    "height_agl_ft": "50",
    "flight_starts_on": "2026-12-05T10:00:00-05:00",
    "flight_ends_on": "2026-12-05T16:00:00-05:00",
    "flight_area": "36.05, -79.98 within 300 m",
}
PAPER: Told = {
    "paper_kind": "authorization",
    "paper_state": "granted",
    "given_by": "FAA automated service",
    "authorizes_from_on": "2026-12-05T09:00:00-05:00",
    "authorizes_until_on": "2026-12-05T17:00:00-05:00",
    "authorized_height_ft": "50",
    "authorized_area": "36.05, -79.98 within 1 km",
}
COA: Told = {
    "paper_kind": "COA",
    "paper_state": "granted",
    "granted_on": "2026-01-01",
    "ends_on": "2026-12-05",
    "authorized_height_ft": "400",
    "authorized_area": "36.05, -79.98 within 5 km",
    "paper_conditions": "observer at all times",
    "paper_currency": "three takeoffs and landings in 90 days",
}
SGI: Told = {
    **PAPER,
    "paper_kind": "Special Governmental Interest approval",
    "paper_number": "SGI-0000001",
    "granted_by": "the FAA's operations center",
}


def asked(flight: Told, *papers: Told, aircraft: Told | None = None, on: str = AT) -> AuthorityAnswer:
    subjects = {"flight/F": flight, "aircraft/A": aircraft or {}}
    subjects |= {f"paper/{number}": paper for number, paper in enumerate(papers, 1)}
    known = [Known(Statement(name, key, raw)) for name, told in subjects.items() for key, raw in told.items()]
    return authority_of(state_of(known, parse_when(on), datetime(2026, 12, 31, tzinfo=UTC)), "flight/F")


def field(answer: AuthorityAnswer, which: PaperField, paper: int = 0) -> tuple[str, Verdict]:
    (found,) = [one for one in answer.papers[paper].fields if one.field is which]
    assert field_sentence(found, answer.papers[paper], answer)
    return found.outcome.code, found.verdict


def test_a_paper_that_covers_every_field() -> None:
    answer = asked(FLIGHT, PAPER)
    assert answer.verdict is MET
    assert headline(answer) == "Covered. Every point of Authorization 1 fits this flight."
    assert answer.papers[0].uncovered == ()


@pytest.mark.parametrize(
    ("flight", "paper", "which", "code", "verdict"),
    [
        ({}, {"paper_state": "requested"}, PaperField.STATE, "pending", NOT_MET),
        ({}, {"paper_state": "denied"}, PaperField.STATE, "denied", NOT_MET),
        ({}, {"paper_state": "withdrawn"}, PaperField.STATE, "withdrawn", NOT_MET),
        ({}, {"paper_state": None}, PaperField.STATE, "paper_state", UNKNOWN),
        ({}, {"given_by": "spoken word"}, PaperField.WRITTEN, "spoken", NOT_MET),
        ({}, {"given_by": None}, PaperField.WRITTEN, "given_by", UNKNOWN),
        ({"flight_starts_on": "2026-12-05T09:00:00-05:00"}, {}, PaperField.START, "authorized", MET),
        (
            {"flight_starts_on": "2026-12-05T08:59:00-05:00"},
            {},
            PaperField.START,
            "authorization_not_yet",
            NOT_MET,
        ),
        ({"flight_ends_on": "2026-12-05T17:00:00-05:00"}, {}, PaperField.END, "authorized", MET),
        ({"flight_ends_on": "2026-12-05T17:04:00-05:00"}, {}, PaperField.END, "authorization_over", NOT_MET),
        ({"flight_ends_on": "2026-12-05"}, {}, PaperField.END, "authorizes_until_on", UNKNOWN),
        ({"height_agl_ft": "50.1"}, {}, PaperField.HEIGHT, "too_high", NOT_MET),
        ({"height_agl_ft": "49", "height_error_ft": "2"}, {}, PaperField.HEIGHT, "height_in_doubt", UNKNOWN),
        ({"height_agl_ft": None}, {}, PaperField.HEIGHT, "height_agl_ft", UNKNOWN),
        ({}, {"authorized_altitude_ft": "850"}, PaperField.HEIGHT, "highest_ground_ft", UNKNOWN),
        (
            {"highest_ground_ft": "800"},
            {"authorized_altitude_ft": "850"},
            PaperField.HEIGHT,
            "authorized",
            MET,
        ),
        (
            {"highest_ground_ft": "801"},
            {"authorized_altitude_ft": "850"},
            PaperField.HEIGHT,
            "above_altitude",
            NOT_MET,
        ),
        ({"flight_area": "36.05, -79.98 within 1001 m"}, {}, PaperField.PLACE, "partly_outside", NOT_MET),
        ({"flight_area": None}, {}, PaperField.PLACE, "flight_area", UNKNOWN),
        ({}, {"authorized_area": None}, PaperField.PLACE, "authorized_area", UNKNOWN),
        (
            {"flight_area": None, "flight_place": "Cedar Field"},
            {"authorized_area": None, "authorized_place": "cedar field; Oak Field"},
            PaperField.PLACE,
            "authorized",
            MET,
        ),
        ({}, {"covers_aircraft": "B"}, PaperField.AIRCRAFT, "for_other_aircraft", NOT_MET),
        ({}, {"covers_person": "Q"}, PaperField.PILOT, "for_other_pilot", NOT_MET),
        ({"flight_pilot": None}, {"covers_person": "Q"}, PaperField.PILOT, "flight_pilot", UNKNOWN),
        (
            {},
            {"paper_conditions": "observer"},
            PaperField.CONDITIONS,
            "authorization_conditions_kept",
            UNKNOWN,
        ),
        (
            {"authorization_conditions_kept": False},
            {"paper_conditions": "observer"},
            PaperField.CONDITIONS,
            "condition_broken",
            NOT_MET,
        ),
        (
            {"authorization_conditions_kept": True},
            {"paper_conditions": "observer"},
            PaperField.CONDITIONS,
            "conditions_kept",
            MET,
        ),
    ],
)
def test_each_field_alone(flight: Told, paper: Told, which: PaperField, code: str, verdict: Verdict) -> None:
    answer = asked(_with(FLIGHT, flight), _with(PAPER, paper))
    assert field(answer, which) == (code, verdict)
    assert answer.verdict is verdict


def _with(told: Told, changed: Told) -> Told:
    return {key: raw for key, raw in {**told, **changed}.items() if raw is not None}


@pytest.mark.parametrize(
    ("set_ft", "lowest_ft", "code", "verdict"),
    # 20 m are 65.6 ft, 16 m are 52.5 ft, 15 m are 49.2 ft: only the last keeps to 50 ft.
    [
        ("65.6", None, "set_too_high", NOT_MET),
        ("52.5", None, "set_too_high", NOT_MET),
        ("50", None, "set_low_enough", MET),
        ("49.2", "32.8", "set_low_enough", MET),
        (None, "65.6", "cant_be_set", NOT_MET),
        (None, "32.8", "height_set_ft", UNKNOWN),
    ],
)
def test_what_the_controller_holds(
    set_ft: str | None, lowest_ft: str | None, code: str, verdict: Verdict
) -> None:
    flight = FLIGHT if set_ft is None else {**FLIGHT, "height_set_ft": set_ft}
    aircraft = None if lowest_ft is None else {"lowest_height_setting_ft": lowest_ft}
    answer = asked(flight, PAPER, aircraft=aircraft)
    assert field(answer, PaperField.SETTING) == (code, verdict)
    assert answer.verdict is verdict
    if code == "set_too_high":
        (found,) = [one for one in answer.papers[0].fields if one.field is PaperField.SETTING]
        assert "Set it to 15 m (50 ft) or lower" in field_sentence(found, answer.papers[0], answer)


def test_several_failures_are_listed_apart() -> None:
    flight = {
        **FLIGHT,
        "height_agl_ft": "65",
        "flight_ends_on": "2026-12-05T17:04:00-05:00",
        "height_set_ft": "65.6",
        "flight_area": "36.06, -79.98 within 300 m",
    }
    document = authority_json(asked(flight, PAPER))
    assert document["papers"][0]["uncovered"] == ["end", "height", "controller", "area"]
    assert document["verdict"] == "not_met"


def test_papers_do_not_add_up() -> None:
    low = {**PAPER, "authorized_height_ft": "40"}
    short = {**PAPER, "authorizes_until_on": "2026-12-05T12:00:00-05:00"}
    assert asked(FLIGHT, low, short).verdict is NOT_MET
    assert asked(FLIGHT, low, short, PAPER).verdict is MET


@pytest.mark.parametrize(
    ("changed", "need", "verdict"),
    [
        ({}, Need.NEEDED, NOT_MET),
        ({"airspace_class": "G"}, Need.NOT_NEEDED, MET),
        ({"airspace_class": "G", "notice_covers": None}, Need.UNKNOWN, UNKNOWN),
        ({"airspace_class": "G", "notice_covers": True}, Need.NEEDED, NOT_MET),
        ({"airspace_class": None}, Need.UNKNOWN, UNKNOWN),
        ({"airspace_class": "E extension of a surface area"}, Need.UNKNOWN, UNKNOWN),
    ],
)
def test_without_a_paper(changed: Told, need: Need, verdict: Verdict) -> None:
    answer = asked(_with(FLIGHT, changed))
    assert (answer.need, answer.verdict) == (need, verdict)
    assert headline(answer)


def test_under_a_coa_its_own_terms_count() -> None:
    flight = {**FLIGHT, "flight_under": "certificate of authorization of a public agency"}
    assert asked(flight, PAPER).verdict is UNKNOWN
    assert headline(asked(flight)) == (
        "Can't tell yet. This flight is under a COA, and we need the COA's terms. Read your COA and enter its terms."
    )
    kept = {**flight, "authorization_conditions_kept": True, "coa_currency_kept": True}
    assert asked(kept, COA).verdict is MET
    assert field(asked(flight, _with(COA, {"paper_conditions": None})), PaperField.CONDITIONS) == (
        "read_your_coa",
        UNKNOWN,
    )
    assert asked(kept, _with(COA, {"paper_currency": None})).verdict is UNKNOWN
    for told, currency, code, verdict in (
        ({}, "three takeoffs", "coa_currency_kept", UNKNOWN),
        ({"coa_currency_kept": False}, "three takeoffs", "not_current", NOT_MET),
        ({"coa_currency_kept": True}, "three takeoffs", "currency_kept", MET),
        ({}, "None", "no_currency", MET),
        ({"coa_currency_kept": True}, None, "read_its_currency", UNKNOWN),
    ):
        found = asked({**flight, **told}, _with(COA, {"paper_currency": currency}))
        assert field(found, PaperField.CURRENCY) == (code, verdict)
    ended = asked({**kept, "flight_ends_on": "2026-12-06T01:00:00-05:00"}, COA)
    assert field(ended, PaperField.END) == ("authorization_over", NOT_MET)
    assert asked(FLIGHT, COA).verdict is NOT_MET


def test_special_governmental_interest() -> None:
    calm = {**FLIGHT, "emergency_restriction": False}
    assert asked(calm, SGI).verdict is MET
    assert asked(calm, {**SGI, "paper_state": "requested"}).verdict is NOT_MET
    phone = asked(calm, {**SGI, "given_by": "spoken word"})
    assert (field(phone, PaperField.WRITTEN), phone.verdict) == (("by_phone", UNKNOWN), UNKNOWN)
    assert asked(calm, _with(SGI, {"paper_number": None})).verdict is UNKNOWN
    nobody = asked(calm, _with(SGI, {"granted_by": None}))
    assert (field(nobody, PaperField.WRITTEN), nobody.verdict) == (("granted_by", UNKNOWN), UNKNOWN)
    (granted, *_) = asked(calm, SGI).papers[0].fields
    assert field_sentence(granted, asked(calm, SGI).papers[0], asked(calm, SGI)).startswith(
        "Granted by the FAA's"
    )
    assert field(asked(_with(calm, {"flight_under": None}), SGI), PaperField.BASIS)[1] is UNKNOWN
    fire = {**FLIGHT, "emergency_restriction": True}
    assert field(asked(fire, SGI), PaperField.COMMANDER) == ("incident_commander_supports", UNKNOWN)
    assert asked({**fire, "incident_commander_supports": False}, SGI).verdict is NOT_MET
    assert asked({**fire, "incident_commander_supports": True}, SGI).verdict is MET
    agency = {**calm, "flight_under": "certificate of authorization of a public agency"}
    assert field(asked(agency, SGI), PaperField.BASIS) == ("read_your_coa", UNKNOWN)
    assert field(asked(agency, SGI, COA), PaperField.BASIS) == ("coa_active", MET)


def test_a_waiver_is_of_its_section_and_grants_no_airspace() -> None:
    waiver: Told = {
        "paper_kind": "waiver",
        "paper_state": "granted",
        "waives": "107.39 over people",
        "granted_on": "2026-01-01",
        "ends_on": "2026-12-31",
        "covers_all": True,
    }
    answer = asked({**FLIGHT, "waiver_terms_kept": True}, waiver)
    assert answer.papers[0].verdict is MET
    assert answer.verdict is NOT_MET
    over = asked({**FLIGHT, "waiver_terms_kept": True}, {**waiver, "ends_on": "2026-12-04"})
    assert field(over, PaperField.TERMS)[1] is NOT_MET


def test_land_and_local_rules_are_notes_and_never_a_yes() -> None:
    note = {
        "paper_kind": "land or local rule",
        "rule_text": "the city asks for a permit in its parks",
        "rule_source": "city clerk, by phone",
        "rule_read_on": "2026-11-20",
    }
    bare = asked(FLIGHT)
    assert "No notes on landowner or local rules are on file." in beside_sentences(bare)[0]
    noted = asked(FLIGHT, note)
    assert beside_sentences(noted)[:2] == [
        "the city asks for a permit in its parks (Source: city clerk, by phone. Read Nov 20, 2026.)",
        "These are your own notes. We don't check them, and a note never counts as permission.",
    ]
    assert (noted.verdict, noted.papers) == (bare.verdict, ())
    for area, is_shown in (
        ("36.05, -79.98 within 1 km", True),
        ("36.06, -79.98 within 1 km", True),
        ("37.05, -79.98 within 1 km", False),
        ("somewhere", True),
    ):
        told = beside_sentences(asked(FLIGHT, {**note, "authorized_area": area}))
        assert told[0].startswith("the city asks") is is_shown
    assert "Part 108 was not in force when we last checked" in " ".join(
        beside_sentences(asked(FLIGHT, on="2026-09-05T10:00Z"))
    )
    assert "We haven't read the rules for this day" in " ".join(beside_sentences(bare))


def test_a_request_lists_what_is_on_file_and_asks_for_the_rest() -> None:
    lines = {line.label: line for line in request_lines(asked(_with(FLIGHT, {"flight_pilot": None})))}
    assert lines["Maximum height above ground"].told == "50 ft (15.2 m)"
    assert lines["First takeoff"].told == "Dec 5, 2026, 10:00 (Dec 5, 2026, 15:00 UTC)"
    assert lines["Remote pilot"].told == ""
    assert lines["Remote pilot"].question.endswith("?")


def test_a_request_that_is_tracked_tells_its_day_and_what_keeps_the_flight_safe() -> None:
    pending = asked(FLIGHT, {**PAPER, "paper_state": "requested", "requested_on": "2026-11-20"})
    (state,) = pending.papers[0].fields
    said = field_sentence(state, pending.papers[0], pending)
    assert said == "Requested Nov 20, 2026, not granted. A request isn't an approval."
    assert authority_json(pending)["papers"][0]["requested_on"] == "2026-11-20"
    lines = {line.label: line for line in request_lines(asked({**FLIGHT, "mitigations": "one observer"}))}
    assert lines["How you keep the flight safe"].told == "one observer"
    asks = {line.label: line for line in request_lines(asked(FLIGHT))}
    assert asks["How you keep the flight safe"].question.startswith("How do you keep it safe?")
