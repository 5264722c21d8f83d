"""Who is told of an incident and by when: each side of 500 dollars, of the tenth day, and of the days the law changed."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from airwrit.facts.key import Raw
from tests.unit.law.case import (
    Case,
    Given,
    aircraft,
    case,
    check,
    incident,
)

REPORT, NOTICE, WRITTEN, KEEP = (
    "report_107_9",
    "notify_ntsb",
    "ntsb_written_report",
    "preserve_wreckage_and_records",
)
THINGS = "property apart from the aircraft"
DAY, NEXT, DUE = "2026-04-02", "2026-04-03", date(2026, 4, 12)
UNHURT: dict[str, Raw] = {"happened_on": DAY, "serious_injury": False, "unconscious": False}


def damaged(repair: str, **facts: Raw) -> Given:
    """An incident that hurt nobody and damaged property."""
    return incident(**{**UNHURT, "damaged_property": THINGS, "repair_cost_usd": repair, **facts})


HURT = incident(happened_on=DAY, serious_injury=True)
REPORTS = [
    case(REPORT, "not_applicable", "nothing_counts", NEXT, incident(**UNHURT, damaged_property="nothing")),
    case(
        REPORT,
        "not_applicable",
        "not_over",
        NEXT,
        damaged("500", property_value_usd="900"),
        value=Decimal(500),
    ),
    case(
        REPORT,
        "unknown",
        "owed",
        NEXT,
        damaged("500.01", property_value_usd="500.01", total_loss=True),
        why="missing",
        value=DUE,
    ),
    case(
        REPORT, "not_applicable", "not_over", NEXT, damaged("501", property_value_usd="500", total_loss=True)
    ),
    case(
        REPORT,
        "unknown",
        "owed",
        NEXT,
        damaged("501", property_value_usd="500", total_loss=False),
        why="missing",
    ),
    case(REPORT, "unknown", "owed", NEXT, damaged("501", total_loss=False), why="missing"),
    case(REPORT, "unknown", "property_value_usd", NEXT, damaged("501", total_loss=True), why="missing"),
    case(REPORT, "unknown", "total_loss", NEXT, damaged("501", property_value_usd="400"), why="missing"),
    case(
        REPORT,
        "unknown",
        "carried_property",
        NEXT,
        damaged("900", property_value_usd="900", damaged_property="only what the aircraft carried"),
        why="open_reading",
    ),
    case(
        REPORT,
        "not_applicable",
        "not_over",
        NEXT,
        damaged("400", damaged_property="only what the aircraft carried"),
    ),
    case(REPORT, "unknown", "owed", NEXT, incident(happened_on=DAY, unconscious=True), why="missing"),
    case(REPORT, "unknown", "owed", "2026-04-12", HURT, why="missing", value=DUE),
    case(REPORT, "not_met", "overdue", "2026-04-13", HURT, value=DUE),
    case(
        REPORT,
        "met",
        "sent",
        "2026-04-20",
        incident(happened_on=DAY, serious_injury=True, reported_on="2026-04-12"),
    ),
    case(
        REPORT,
        "not_met",
        "sent_late",
        "2026-04-20",
        incident(happened_on=DAY, serious_injury=True, reported_on="2026-04-13"),
    ),
    case(
        REPORT, "unknown", "unconscious", NEXT, incident(happened_on=DAY, serious_injury=False), why="missing"
    ),
    case(REPORT, "not_applicable", "recreation", NEXT, HURT, use="recreation"),
]
CALM: dict[str, Raw] = {
    "happened_on": DAY,
    "death_or_injury": False,
    "airworthiness_certificate": False,
    "damaged_property": "nothing",
}
DEADLY: dict[str, Raw] = {"happened_on": DAY, "death_or_injury": True}
CAUSES = (
    "flight control system failed",
    "flew away out of control",
    "pilot or crew unable by injury or illness",
    "fire in flight",
    "collision with an aircraft in flight",
    "part of a propeller blade came off in the air",
)
NOTICES = [
    case(NOTICE, "unknown", "cause_open", NEXT, incident(**CALM), why="open_reading"),
    *(
        case(NOTICE, "unknown", "listed_small", NEXT, incident(**CALM, cause=cause), why="open_reading")
        for cause in CAUSES
    ),
    case(
        NOTICE,
        "not_applicable",
        "not_listed",
        NEXT,
        incident(**CALM, cause="lost link, and it behaved as expected"),
    ),
    case(NOTICE, "not_applicable", "not_listed", NEXT, incident(**CALM, cause="none of these")),
    case(NOTICE, "unknown", "owed", DAY, incident(**DEADLY), why="missing", value=date(2026, 4, 2)),
    case(NOTICE, "not_met", "not_told", NEXT, incident(**DEADLY)),
    case(NOTICE, "met", "told", NEXT, incident(**DEADLY, ntsb_told_on=DAY)),
    case(
        NOTICE,
        "unknown",
        "told_later",
        "2026-04-04",
        incident(**DEADLY, ntsb_told_on=NEXT),
        why="open_reading",
    ),
    case(
        NOTICE,
        "not_met",
        "not_told",
        NEXT,
        incident(
            happened_on=DAY, death_or_injury=False, airworthiness_certificate=True, substantial_damage=True
        ),
    ),
    case(
        NOTICE,
        "not_met",
        "not_told",
        NEXT,
        incident(
            happened_on=DAY,
            death_or_injury=False,
            airworthiness_certificate=True,
            substantial_damage=False,
            cause=CAUSES[0],
        ),
    ),
    case(NOTICE, "unknown", "death_or_injury", NEXT, incident(happened_on=DAY), why="missing"),
    *(
        case(
            NOTICE,
            verdict,
            code,
            NEXT,
            incident(
                **{
                    **CALM,
                    "damaged_property": THINGS,
                    "repair_cost_usd": repair,
                    "property_value_usd": value,
                    "cause": "none of these",
                }
            ),
            why=why,
        )
        for repair, value, verdict, code, why in (
            ("25000", "90000", "not_applicable", "not_listed", ""),
            ("25001", "90000", "unknown", "listed_small", "open_reading"),
            ("25001", "25000", "not_applicable", "not_listed", ""),
        )
    ),
]


def wrecked(day: str, verdict: str, code: str, grams: str, why: str = "") -> Case:
    """Substantial damage without injury to an aircraft without airworthiness certificate, told to nobody."""
    wreck = incident(
        happened_on=day,
        death_or_injury=False,
        substantial_damage=True,
        airworthiness_certificate=False,
        incident_aircraft="A",
        cause="none of these",
    )
    return case(
        NOTICE, verdict, code, day, wreck, aircraft("A", takeoff_weight_g=grams, scale_error_g="0"), why=why
    )


BY_WEIGHT = [
    wrecked("2022-08-14", "unknown", "owed", "136077.711", "missing"),
    wrecked("2022-08-14", "not_applicable", "not_listed", "136077.710"),
    wrecked("2022-08-15", "not_applicable", "not_listed", "136077.711"),
]
PAPERS = [
    case(WRITTEN, "not_applicable", "only_when_asked", NEXT, incident(**CALM)),
    case(WRITTEN, "unknown", "asked", NEXT, incident(**CALM, ntsb_asked=True), why="missing"),
    case(WRITTEN, "met", "sent", NEXT, incident(**CALM, ntsb_asked=True, ntsb_report_on=NEXT)),
    case(WRITTEN, "unknown", "owed", "2026-04-12", incident(**DEADLY), why="missing", value=DUE),
    case(WRITTEN, "not_met", "overdue", "2026-04-13", incident(**DEADLY), value=DUE),
    case(WRITTEN, "met", "sent", "2026-04-13", incident(**DEADLY, ntsb_report_on="2026-04-12")),
    case(WRITTEN, "not_met", "sent_late", "2026-04-13", incident(**DEADLY, ntsb_report_on="2026-04-13")),
    case(KEEP, "not_applicable", "not_listed", NEXT, incident(**CALM, cause="none of these")),
    case(KEEP, "unknown", "follows_the_notice", NEXT, incident(**CALM), why="open_reading"),
    case(KEEP, "met", "kept", NEXT, incident(**DEADLY, wreckage_kept=True)),
    case(KEEP, "not_met", "not_kept", NEXT, incident(**DEADLY, wreckage_kept=False)),
    case(KEEP, "unknown", "wreckage_kept", NEXT, incident(**DEADLY), why="missing"),
    case(
        KEEP,
        "met",
        "released",
        "2026-05-01",
        incident(**DEADLY, wreckage_kept=False, released_on="2026-04-20"),
    ),
]
CASES = REPORTS + NOTICES + BY_WEIGHT + PAPERS


@pytest.mark.parametrize("line", CASES, ids=lambda line: line.name)
def test_case(line: Case) -> None:
    check(line)
