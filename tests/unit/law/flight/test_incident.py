"""Who is told of an incident and by when: each side of 500 dollars, of the tenth day, and of the days the law changed."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from airwrit.facts.key import Raw
from airwrit.law.flight.incident import dear_damage
from tests.unit.law.case import Case, Given, aircraft, case, check, incident, judged

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
HURT_WITH_A = incident(happened_on=DAY, serious_injury=True, incident_aircraft="A")


def lost(verdict: str, code: str, value: Raw, on: str = NEXT, why: str = "", **facts: Raw) -> Case:
    """An incident that hurt nobody and left other property a total loss, with no estimate of a repair."""
    told: dict[str, Raw] = {"damaged_property": THINGS, "total_loss": True, "property_value_usd": value}
    return case(REPORT, verdict, code, on, incident(**{**UNHURT, **told, **facts}), why=why)


# A battery that burns while it charges, or in a parked truck: nothing was being operated. 49 CFR 830.2 counts from when the
# system is activated for a flight until it is deactivated; 14 CFR 107.9 asks about an operation.
PARKED = damaged("4200", in_operation=False, death_or_injury=True)
OUTSIDE_A_FLIGHT = [
    *(
        case(rule, "not_applicable", "not_in_operation", NEXT, PARKED)
        for rule in (REPORT, NOTICE, WRITTEN, KEEP)
    ),
    case(
        REPORT,
        "unknown",
        "owed",
        NEXT,
        damaged("4200", in_operation=True, total_loss=False),
        value=DUE,
        why="missing",
    ),
    case(REPORT, "unknown", "owed", NEXT, damaged("4200", total_loss=False), value=DUE, why="missing"),
]

ABROAD = [
    case(REPORT, "unknown", "abroad", NEXT, damaged("4200", abroad=True), why="outside_this_tool"),
    case(REPORT, "unknown", "owed", NEXT, damaged("4200", abroad=False, total_loss=False), why="missing"),
]

REPORTS = [
    *ABROAD,
    *OUTSIDE_A_FLIGHT,
    # Asked about on its own day it is owed; the day before, it is still to come.
    case(REPORT, "unknown", "owed", DAY, HURT, value=DUE, why="missing"),
    *(
        case(rule, "not_applicable", "still_to_come", "2026-04-01", HURT)
        for rule in (REPORT, NOTICE, WRITTEN, KEEP)
    ),
    *(case(rule, "unknown", "death_or_injury", DAY, HURT, why="missing") for rule in (NOTICE, WRITTEN, KEEP)),
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
        REPORT,
        "not_applicable",
        "value_not_over",
        NEXT,
        damaged("501", property_value_usd="500", total_loss=True),
        value=Decimal(500),
    ),
    # A total loss counts by its value where nobody estimated a repair; what is no total loss needs the estimate.
    lost("unknown", "owed", "500.01", why="missing"),
    lost("not_met", "overdue", "500.01", "2026-04-13"),
    lost("not_applicable", "value_not_over", "500"),
    lost("unknown", "property_value_usd", None, why="missing"),
    lost("unknown", "repair_cost_usd", "900", why="missing", total_loss=False),
    lost("unknown", "total_loss", "900", why="missing", total_loss=None),
    lost("not_applicable", "not_over", "900", repair_cost_usd="500"),
    lost(
        "unknown",
        "carried_property",
        "900",
        why="open_reading",
        damaged_property="only what the aircraft carried",
    ),
    # 107.9 is of Part 107: not of 55 lb or more, nor of a COA; and the law of the day of the flight counts.
    case(REPORT, "not_met", "overdue", "2026-04-13", HURT_WITH_A, aircraft(takeoff_weight_g="900")),
    case(
        REPORT,
        "unknown",
        "heavy_flight",
        "2026-04-13",
        HURT_WITH_A,
        aircraft(takeoff_weight_g="30000", scale_error_g="0"),
        why="outside_this_tool",
    ),
    case(
        REPORT,
        "unknown",
        "other_law",
        "2026-04-13",
        HURT_WITH_A,
        aircraft(operated_under="certificate of authorization of a public agency"),
        why="outside_this_tool",
    ),
    case(
        REPORT,
        "unknown",
        "before_part_107",
        NEXT,
        incident(happened_on="2016-08-28", serious_injury=True),
        why="outside_this_tool",
    ),
    case(REPORT, "not_met", "overdue", NEXT, incident(happened_on="2016-08-29", serious_injury=True)),
    # Each figure excuses by itself, also where it is no total loss. AC 107-2, example as pages that teach it quote it: worth
    # $200, repair $600, not reported; worth $600, repair $200, not reported.
    *(
        case(REPORT, "not_applicable", code, NEXT, damaged(repair, property_value_usd=value, **loss))
        for repair, value, code in (
            ("600", "200", "value_not_over"),
            ("200", "600", "not_over"),
            ("501", "500", "value_not_over"),
        )
        for loss in ({}, {"total_loss": False}, {"total_loss": True})
    ),
    case(
        REPORT,
        "unknown",
        "owed",
        NEXT,
        damaged("501", property_value_usd="501", total_loss=False),
        why="missing",
    ),
    case(REPORT, "unknown", "owed", NEXT, damaged("501", total_loss=False), why="missing"),
    case(REPORT, "unknown", "property_value_usd", NEXT, damaged("501", total_loss=True), why="missing"),
    case(REPORT, "unknown", "total_loss", NEXT, damaged("501"), why="missing"),
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
    "rotor blades of a helicopter damaged",
    "overdue and believed to have crashed",
    "another incident of 49 CFR 830.5(a)",
)
OWN_LINES = {
    "fire_in_flight": "listed_fire",
    "flew_away": "listed_flyaway",
    "aircraft_missing": "listed_missing",
    "fire in flight": "listed_fire",
    "flew away out of control": "listed_flyaway",
    "overdue and believed to have crashed": "listed_missing",
}
NOTICES = [
    case(NOTICE, "unknown", "cause_open", NEXT, incident(**CALM), why="open_reading"),
    # What the damage comes to is not known: the list is as open as it was.
    case(
        NOTICE,
        "unknown",
        "cause_open",
        NEXT,
        incident(**{**CALM, "damaged_property": THINGS}),
        why="open_reading",
    ),
    *(
        case(
            NOTICE,
            "unknown",
            OWN_LINES.get(cause, "listed_small"),
            NEXT,
            incident(**CALM, cause=cause),
            why="open_reading",
        )
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
                    "total_loss": True,
                    "cause": "none of these",
                }
            ),
            why=why,
        )
        for repair, value, verdict, code, why in (
            ("25000", "90000", "not_applicable", "not_listed", ""),
            ("25001", "90000", "unknown", "listed_small", "open_reading"),
            ("25001", "25000", "not_applicable", "not_listed", ""),
            # A total loss counts by its value where nobody estimated a repair.
            (None, "25001", "unknown", "listed_small", "open_reading"),
            (None, "25000", "not_applicable", "not_listed", ""),
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
        damaged_property="nothing",
        cause="none of these",
    )
    return case(
        NOTICE, verdict, code, day, wreck, aircraft("A", takeoff_weight_g=grams, scale_error_g="0"), why=why
    )


def later(rule: str, day: str, verdict: str, code: str, why: str = "") -> Case:
    """The same wreck of 300 lb and more, with its wreckage kept by nobody, asked about on 2022-08-20."""
    wreck = incident(
        happened_on=day,
        death_or_injury=False,
        substantial_damage=True,
        airworthiness_certificate=False,
        incident_aircraft="A",
        damaged_property="nothing",
        cause="none of these",
        wreckage_kept=False,
    )
    craft = aircraft("A", takeoff_weight_g="136077.711", scale_error_g="0")
    return case(rule, verdict, code, "2022-08-20", wreck, craft, why=why)


BY_WEIGHT = [
    # What follows an accident follows it by the law of its own day, whenever somebody asks.
    later(NOTICE, "2022-08-14", "not_met", "not_told"),
    later(NOTICE, "2022-08-15", "not_applicable", "not_listed"),
    later(WRITTEN, "2022-08-14", "unknown", "owed", "missing"),
    later(WRITTEN, "2022-08-15", "not_applicable", "only_when_asked"),
    later(KEEP, "2022-08-14", "not_met", "not_kept"),
    later(KEEP, "2022-08-15", "not_applicable", "not_listed"),
    case(
        NOTICE,
        "unknown",
        "ntsb_serious_injury",
        NEXT,
        incident(**{**DEADLY, "happened_on": "2015-12-31"}),
        why="law_not_read",
    ),
    case(
        NOTICE,
        "unknown",
        "takeoff_weight_g",
        "2022-08-20",
        incident(
            happened_on="2022-08-14",
            death_or_injury=False,
            substantial_damage=True,
            airworthiness_certificate=False,
            incident_aircraft="A",
            damaged_property="nothing",
            cause="none of these",
        ),
        aircraft("A", takeoff_weight_g="136077.7", scale_error_g="0.1"),
        why="within_doubt",
    ),
    *(
        case(
            NOTICE,
            verdict,
            code,
            "2022-08-20",
            incident(
                happened_on="2022-08-14",
                death_or_injury=False,
                substantial_damage=True,
                airworthiness_certificate=False,
                incident_aircraft="A",
                damaged_property="nothing",
                cause="none of these",
            ),
            aircraft("A", takeoff_weight_g=grams, scale_error_g="0.1"),
            why=why,
        )
        for grams, verdict, code, why in (
            ("136077.610", "not_applicable", "not_listed", ""),
            ("136077.611", "unknown", "takeoff_weight_g", "within_doubt"),
            ("136077.811", "not_met", "not_told", ""),
        )
    ),
    wrecked("2022-08-14", "unknown", "owed", "136077.711", "missing"),
    wrecked("2022-08-14", "not_applicable", "not_listed", "136077.710"),
    wrecked("2022-08-15", "not_applicable", "not_listed", "136077.711"),
]
PAPERS = [
    *(
        case(rule, "not_applicable", "still_to_come", "2026-04-01", incident(**DEADLY))
        for rule in (NOTICE, WRITTEN, KEEP)
    ),
    case(REPORT, "not_applicable", "still_to_come", "2026-04-01", HURT),
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
EDGES = [
    # A report, and a release, of the day itself.
    case(WRITTEN, "met", "sent", NEXT, incident(happened_on=DAY, death_or_injury=True, ntsb_report_on=DAY)),
    case(KEEP, "met", "released", NEXT, incident(happened_on=DAY, death_or_injury=True, released_on=DAY)),
    case(
        KEEP,
        "met",
        "kept",
        NEXT,
        incident(happened_on=DAY, death_or_injury=True, released_on="2026-04-04", wreckage_kept=True),
    ),
    # Where the list of incidents binds no small aircraft, what stands on it alone is not told.
    case(
        NOTICE,
        "not_applicable",
        "not_listed",
        NEXT,
        incident(**CALM, cause=CAUSES[0]),
        moved=("ntsb_list_binds_small", ""),
    ),
    case(
        KEEP,
        "not_applicable",
        "not_listed",
        NEXT,
        incident(**CALM, cause=CAUSES[0]),
        moved=("ntsb_list_binds_small", ""),
    ),
]
CASES = EDGES + REPORTS + NOTICES + BY_WEIGHT + PAPERS


@pytest.mark.parametrize("line", CASES, ids=lambda line: line.name)
def test_case(line: Case) -> None:
    check(line)


@pytest.mark.parametrize(
    ("told", "over"),
    [
        ({"damaged_property": THINGS, "repair_cost_usd": "25000"}, False),
        ({"damaged_property": THINGS, "repair_cost_usd": "25000.01"}, True),
        ({"damaged_property": THINGS, "repair_cost_usd": "25000.01", "property_value_usd": "25000"}, False),
        ({"damaged_property": "nothing"}, False),
        ({"damaged_property": THINGS}, None),
    ],
)
@pytest.mark.parametrize("day", [{"happened_on": DAY}, {}], ids=["its day", "no day on file"])
def test_whether_damage_is_over_the_ntsbs_limit(
    told: dict[str, Raw], over: bool | None, day: dict[str, Raw]
) -> None:
    """49 CFR 830.5(a)(6): damage to other property estimated to exceed $25,000."""
    _, state = judged(case(NOTICE, "", "", NEXT, incident(**told, **day)))
    assert dear_damage(state, "incident/I") == (25000, over)
