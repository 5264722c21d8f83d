"""An invented program of one aircraft and one pilot, a plan that breaks nothing, and all that its pilot confirms."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

from airwrit.answers.before_flight.check import FlightCheck, flight_check
from airwrit.answers.before_flight.plan import PLANNED, FlightPlan
from airwrit.answers.before_flight.program import Program
from airwrit.answers.before_flight.surroundings import Surroundings
from airwrit.base.places import Place
from airwrit.facts.choices import UsedFor
from airwrit.facts.key import Raw
from airwrit.facts.statement import Known, Statement
from airwrit.sky.zones import zone_of
from tests.unit.answers.told import firm_aircraft, known_of

PROGRAM: dict[str, dict[str, Raw]] = {
    **firm_aircraft("Fern 1", "FA00TEST01", "2025-03-03"),
    "person/Ansel Wray": {
        "role": "pilot",
        "flies_for": "work",
        "has_certificate": True,
        "born_on": "1990-02-01",
    },
    "training/Ansel Wray": {
        "event_of": "Ansel Wray",
        "event_kind": "initial test",
        "completed_on": "2025-01-15",
    },
}
MORNING = datetime(2026, 6, 10, 15, tzinfo=UTC)
"""10:00 in the morning in central Kansas, in daylight-saving time."""
PLACE = Place(38.5, -98.5)
AREA = "38.5, -98.5 within 500 ft"
CONFIRMED: Mapping[str, Raw] = {
    "notice_covers": False,
    "airspace_class": "G",
    "restricted_area": False,
    "stadium_seats": "0",
    "asset_distance_ft": "99999",
    "from_park_land": False,
    "interferes_with_airport": False,
    "preflight_done": True,
    "condition_checked": True,
    "registration_carried": True,
    "card_at_hand": True,
    "id_at_hand": True,
    "hours_since_drink": "24",
    "crew_fit": True,
    "several_at_once": False,
    "flight_visibility_sm": "10",
    "no_clouds": True,
    "people_below": "nobody",
    "over_assembly": "none",
    "over_moving_vehicles": False,
    "kept_in_sight": True,
    "observer_used": False,
    "gives_way": True,
    "flown_from": "a place that stands still",
    "broadcasts": True,
    "ads_b_transmits": False,
    "lights_lit": True,
    "lights_visible_sm": "3",
    "lights_flash_enough": True,
    "ground_speed_kt": "20",
    "hazardous_material": False,
    "dispenses": "nothing",
}
NOTHING_AROUND = Surroundings(None, None)


def plan(**changes: Any) -> FlightPlan:
    """A flight of 30 minutes on a June morning in Kansas, 200 ft high."""
    planned = FlightPlan(
        AREA,
        PLACE,
        zone_of(PLACE),
        MORNING,
        MORNING.replace(minute=30),
        Decimal(200),
        "aircraft/Fern 1",
        "person/Ansel Wray",
        UsedFor.WORK,
    )
    return planned._replace(**changes)


def program(but: Mapping[str, Raw | None] | None = None, **facts: Mapping[str, Raw]) -> Program:
    """The program, with all confirmed but what `but` says otherwise (None: not confirmed), and with more facts by subject."""
    confirmed = {**CONFIRMED, **(but or {})}
    told = [
        Known(Statement(PLANNED, name, raw), "confirmed")
        for name, raw in confirmed.items()
        if raw is not None
    ]
    known = known_of({**PROGRAM, **{name.replace("_", "/", 1): dict(mine) for name, mine in facts.items()}})
    return Program(known, datetime(2026, 6, 1, tzinfo=UTC), (), told)


def check(planned: FlightPlan | None = None, given: Program | None = None) -> FlightCheck:
    """The answer, with nothing looked up but the sun."""
    return flight_check(planned or plan(), given or program(), NOTHING_AROUND)


def verdict_of(found: FlightCheck, rule: str) -> str:
    """The verdict of a rule by its name."""
    return next(one.verdict.value for one in found.clauses if one.finding.rule.name == rule)


def day(text: str) -> date:
    """A civil day."""
    return date.fromisoformat(text)
