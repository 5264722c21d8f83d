"""Every item of the NTSB's list asked by itself, what was said in plain words of the place, and an aircraft that is missing."""

from __future__ import annotations

from datetime import date

import pytest

from airwrit.facts.key import Raw
from tests.unit.law.case import Case, aircraft, case, check, incident
from tests.unit.law.flight.test_incident import (
    CALM,
    DAY,
    DUE,
    NEXT,
    NOTICE,
    OWN_LINES,
    REPORT,
    THINGS,
    UNHURT,
    WRITTEN,
)

ITEMS = (
    "control_failed",
    "flew_away",
    "crew_unable",
    "fire_in_flight",
    "collided_in_flight",
    "blade_released",
    "rotor_damaged",
    "aircraft_missing",
    "rest_of_list",
)
NONE_OF_THEM: dict[str, Raw] = dict.fromkeys(ITEMS, False)
HARM: dict[str, Raw] = {"happened_on": DAY, "serious_injury": True}
CASES = [
    # Recreation is outside Part 107 only where every rule of 49 USC 44809(a) was kept; that is asked where harm counts.
    case(REPORT, "unknown", "recreation_rules_kept", NEXT, incident(**HARM), use="recreation", why="missing"),
    *(
        case(REPORT, verdict, code, NEXT, incident(**told, incident_under="recreation", **kept), why=why)
        for told, kept, verdict, code, why in (
            (HARM, {"recreation_rules_kept": True}, "not_applicable", "recreation", ""),
            (HARM, {"recreation_rules_kept": False}, "unknown", "owed", "missing"),
            (HARM, {}, "unknown", "recreation_rules_kept", "missing"),
            ({**UNHURT, "damaged_property": "nothing"}, {}, "not_applicable", "nothing_counts", ""),
        )
    ),
    # What is on the list has to be told, or calls for a call, before anyone knows how badly somebody was hurt.
    *(
        case(NOTICE, verdict, code, NEXT, incident(happened_on=DAY, flew_away=True, **paper), why=why)
        for paper, verdict, code, why in (
            ({"airworthiness_certificate": False}, "unknown", "listed_flyaway", "open_reading"),
            ({}, "unknown", "listed_flyaway", "open_reading"),
            ({"airworthiness_certificate": True}, "not_met", "not_told", ""),
        )
    ),
    # Every item of 49 CFR 830.5 is asked: one that is not leaves the answer open, whatever the others say.
    case(NOTICE, "not_applicable", "not_listed", NEXT, incident(**CALM, **NONE_OF_THEM)),
    *(
        case(NOTICE, "unknown", item, NEXT, incident(**CALM, **{**NONE_OF_THEM, item: None}), why="missing")
        for item in ITEMS
    ),
    *(
        case(
            NOTICE,
            "unknown",
            OWN_LINES.get(item, "listed_small"),
            NEXT,
            incident(**CALM, **{item: True}),
            why="open_reading",
        )
        for item in ITEMS
    ),
    *(
        case(
            NOTICE,
            "not_met",
            "not_told",
            NEXT,
            incident(**{**CALM, "airworthiness_certificate": True, "substantial_damage": False, item: True}),
        )
        for item in ITEMS
    ),
    case(
        NOTICE,
        "unknown",
        "damaged_property",
        NEXT,
        incident(**{**CALM, **NONE_OF_THEM, "damaged_property": None}),
        why="missing",
    ),
    # Damage to other property puts it on the list by itself, whatever else was not asked.
    case(
        NOTICE,
        "unknown",
        "listed_small",
        NEXT,
        incident(**{**CALM, "damaged_property": THINGS, "repair_cost_usd": "25000.01", "total_loss": False}),
        why="open_reading",
    ),
    case(
        NOTICE,
        "unknown",
        "cause_open",
        NEXT,
        incident(**{**CALM, "damaged_property": THINGS, "repair_cost_usd": "25000", "total_loss": False}),
        why="open_reading",
    ),
    # What was said in plain words of the place settles what the rules ask in their own.
    *(
        case(
            NOTICE,
            "not_applicable",
            "not_listed",
            NEXT,
            incident(**{**CALM, **NONE_OF_THEM, "death_or_injury": None, "anyone_hurt": hurt}),
        )
        for hurt in ("nobody", "first aid only, and nobody passed out")
    ),
    case(NOTICE, "not_met", "not_told", NEXT, incident(happened_on=DAY, anyone_hurt="somebody died")),
    case(
        NOTICE,
        "unknown",
        "death_or_injury",
        NEXT,
        incident(happened_on=DAY, anyone_hurt="more than first aid, or somebody passed out"),
        why="missing",
    ),
    case(REPORT, "not_met", "overdue", "2026-04-13", incident(happened_on=DAY, anyone_hurt="somebody died")),
    case(
        REPORT,
        "unknown",
        "serious_injury",
        NEXT,
        incident(
            happened_on=DAY, anyone_hurt="more than first aid, or somebody passed out", unconscious=False
        ),
        why="missing",
    ),
    # The rules the flight was made under, said of the incident itself.
    case(
        REPORT,
        "not_applicable",
        "recreation",
        NEXT,
        incident(**UNHURT, incident_under="recreation", recreation_rules_kept=True),
    ),
    case(
        REPORT,
        "unknown",
        "other_law",
        NEXT,
        incident(happened_on=DAY, serious_injury=True, incident_under="COA of a public agency"),
        why="outside_this_tool",
    ),
    case(
        REPORT,
        "not_met",
        "overdue",
        "2026-04-13",
        incident(happened_on=DAY, serious_injury=True, incident_under="Part 107", incident_aircraft="A"),
        aircraft(operated_under="certificate of authorization of a public agency"),
    ),
    # The day at the place counts, not that of UTC.
    case(
        REPORT,
        "unknown",
        "owed",
        "2026-04-12T23:59-06:00",
        incident(happened_on="2026-04-02T23:30-06:00", serious_injury=True),
        why="missing",
        value=DUE,
    ),
    case(
        REPORT,
        "not_met",
        "overdue",
        "2026-04-13T00:00-06:00",
        incident(happened_on="2026-04-02T23:30-06:00", serious_injury=True),
    ),
    # An aircraft still missing: seven days, 49 CFR 830.15(a).
    *(
        case(
            WRITTEN,
            verdict,
            code,
            on,
            incident(
                **{
                    **CALM,
                    "airworthiness_certificate": True,
                    "substantial_damage": False,
                    "aircraft_missing": True,
                }
            ),
            why=why,
            value=date(2026, 4, 9),
        )
        for on, verdict, code, why in (
            ("2026-04-09", "unknown", "owed", "missing"),
            ("2026-04-10", "not_met", "overdue", ""),
        )
    ),
    case(
        WRITTEN,
        "unknown",
        "missing_small",
        NEXT,
        incident(**CALM, aircraft_missing=True),
        why="open_reading",
        value=date(2026, 4, 9),
    ),
]


@pytest.mark.parametrize("line", CASES, ids=lambda line: line.name)
def test_case(line: Case) -> None:
    check(line)
