"""Lights at night and in twilight, each minute at the edges, and the days the rule changed."""

from __future__ import annotations

import pytest

from airwrit.facts.key import Raw
from tests.unit.law.case import (
    Case,
    Given,
    case,
    check,
    flight,
    waiver,
)

NIGHT, TWILIGHT = "night_lights", "twilight_lights"
LIT: dict[str, Raw] = {"lights_lit": True, "lights_visible_sm": "3", "lights_flash_enough": True}
HELD: dict[str, Raw] = {"flight_waiver": "W", "waiver_terms_kept": True}


def by_night(day: str = "2026-11-24", /, **facts: Raw) -> Given:
    """A flight at a place where evening twilight ends at 17:30 and morning twilight starts at 06:30 (UTC), that day."""
    sun: dict[str, Raw] = {
        "evening_twilight_end_on": f"{day}T17:30:00Z",
        "morning_twilight_on": f"{day}T06:30:00Z",
    }
    return flight(**{**sun, **facts})


def by_dusk(day: str = "2026-11-24", /, **facts: Raw) -> Given:
    """A flight at a place outside Alaska where the sun rises at 07:00 and sets at 17:00 (UTC), that day."""
    sun: dict[str, Raw] = {
        "in_alaska": False,
        "official_sunrise_on": f"{day}T07:00:00Z",
        "official_sunset_on": f"{day}T17:00:00Z",
    }
    return flight(**{**sun, **facts})


DUSK = "2026-11-24T17:30:00Z"
NEXT_DAWN: dict[str, Raw] = {"morning_twilight_on": "2026-11-25T05:00:00Z"}
LATE, EARLY = "2026-11-24T17:31Z", "2026-11-24T06:29Z"
NIGHTS = [
    case(NIGHT, "met", "lit", LATE, by_night(**LIT)),
    case(NIGHT, "met", "lit", EARLY, by_night(**LIT)),
    # 14 CFR 1.1: no civil twilight ends where the sun stays up
    case(NIGHT, "not_applicable", "not_night", LATE, flight(sun_stays_up=True)),
    case(TWILIGHT, "not_applicable", "not_twilight", LATE, flight(sun_stays_up=True)),
    case(NIGHT, "not_applicable", "not_night", "2026-11-24T17:30Z", by_night()),
    case(NIGHT, "not_applicable", "not_night", "2026-11-24T06:30Z", by_night()),
    case(NIGHT, "not_applicable", "not_night", "2026-11-24T12:00Z", by_night()),
    # Both typed as the same moment: which side of it is night cannot be told, so all of it counts as night.
    *(
        case(
            NIGHT, verdict, code, f"2026-11-24T{time}Z", by_night(lights_lit=False, morning_twilight_on=DUSK)
        )
        for time, verdict, code in (
            ("17:29", "not_met", "not_lit"),
            ("17:30", "not_applicable", "not_night"),
            ("17:31", "not_met", "not_lit"),
        )
    ),
    # Both the same where the sun sets and rises: civil twilight lasts all night, as in Alaska's June.
    case(
        NIGHT,
        "not_applicable",
        "not_night",
        LATE,
        by_night(
            morning_twilight_on=DUSK,
            official_sunset_on="2026-11-24T16:50:00Z",
            official_sunrise_on="2026-11-24T18:10:00Z",
        ),
    ),
    case(
        NIGHT,
        "unknown",
        "night_definition",
        LATE,
        by_night(**LIT),
        why="law_not_read",
        moved=("night_definition", "from when the stars can be seen"),
    ),
    case(NIGHT, "met", "lit", LATE, by_night(**LIT, morning_twilight_on="2026-11-25T05:00:00Z")),
    case(NIGHT, "not_met", "not_lit", LATE, by_night(lights_lit=False)),
    case(NIGHT, "not_met", "not_visible_enough", LATE, by_night(**{**LIT, "lights_visible_sm": "2.9"})),
    case(NIGHT, "not_met", "not_flashing_enough", LATE, by_night(**{**LIT, "lights_flash_enough": False})),
    case(
        NIGHT,
        "unknown",
        "lights_flash_enough",
        LATE,
        by_night(lights_lit=True, lights_visible_sm="3"),
        why="missing",
    ),
    case(
        NIGHT,
        "met",
        "by_waiver",
        LATE,
        by_night(lights_lit=False, **HELD),
        waiver("107.29(a)(2) lights at night"),
    ),
    case(NIGHT, "unknown", "evening_twilight_end_on", "2026-11-24", by_night(**LIT), why="within_doubt"),
    case(NIGHT, "unknown", "evening_twilight_end_on", LATE, flight(**LIT), why="missing"),
    # The minute at which twilight ends is no night yet, and the one at which it begins none any more.
    case(NIGHT, "not_applicable", "not_night", "2026-11-24T17:30Z", by_night(**NEXT_DAWN)),
    case(NIGHT, "met", "lit", "2026-11-25T04:59Z", by_night(**LIT, **NEXT_DAWN)),
    case(NIGHT, "not_applicable", "not_night", "2026-11-25T05:00Z", by_night(**NEXT_DAWN)),
    # A moment 13 hours away is the nearest of its kind, one a minute further is another day's.
    case(
        NIGHT, "met", "lit", "2026-11-25T06:30Z", by_night(**LIT, morning_twilight_on="2026-11-25T07:00:00Z")
    ),
    case(
        NIGHT,
        "unknown",
        "evening_twilight_end_on",
        "2026-11-25T06:31Z",
        by_night(**LIT, morning_twilight_on="2026-11-25T07:00:00Z"),
        why="missing",
    ),
    # Moments of another day say nothing about this one.
    case(NIGHT, "unknown", "evening_twilight_end_on", LATE, by_night("2026-11-20", **LIT), why="missing"),
    case(NIGHT, "met", "lit", "2021-04-21T18:00Z", by_night("2021-04-21", **LIT)),
    case(NIGHT, "not_met", "night_by_waiver_only", "2021-04-20T18:00Z", by_night("2021-04-20", **LIT)),
    case(
        NIGHT,
        "met",
        "by_waiver",
        "2021-04-20T18:00Z",
        by_night("2021-04-20", **HELD),
        waiver("107.29 daylight operation"),
    ),
    case(NIGHT, "not_applicable", "recreation", LATE, by_night(), use="recreation"),
]
TWILIGHTS = [
    case(TWILIGHT, "met", "lit", "2026-11-24T17:30Z", by_dusk(**LIT)),
    case(TWILIGHT, "not_applicable", "not_twilight", "2026-11-24T17:31Z", by_dusk()),
    case(TWILIGHT, "met", "lit", "2026-11-24T17:00Z", by_dusk(**LIT)),
    case(TWILIGHT, "not_applicable", "not_twilight", "2026-11-24T16:59Z", by_dusk()),
    case(TWILIGHT, "met", "lit", "2026-11-24T06:30Z", by_dusk(**LIT)),
    case(TWILIGHT, "not_applicable", "not_twilight", "2026-11-24T06:29Z", by_dusk()),
    case(TWILIGHT, "met", "lit", "2026-11-24T07:00Z", by_dusk(**LIT)),
    case(TWILIGHT, "not_applicable", "not_twilight", "2026-11-24T07:01Z", by_dusk()),
    case(TWILIGHT, "not_met", "not_lit", "2026-11-24T17:10Z", by_dusk(lights_lit=False)),
    case(
        TWILIGHT,
        "not_met",
        "not_visible_enough",
        "2026-11-24T17:10Z",
        by_dusk(**{**LIT, "lights_visible_sm": "2"}),
    ),
    case(
        TWILIGHT,
        "not_met",
        "not_flashing_enough",
        "2021-04-21T17:10Z",
        by_dusk("2021-04-21", **{**LIT, "lights_flash_enough": False}),
    ),
    case(
        TWILIGHT,
        "met",
        "lit",
        "2021-04-20T17:10Z",
        by_dusk("2021-04-20", **{**LIT, "lights_flash_enough": False}),
    ),
    case(
        TWILIGHT,
        "met",
        "by_waiver",
        "2026-11-24T17:10Z",
        by_dusk(lights_lit=False, **HELD),
        waiver("107.29(b) lights in twilight"),
    ),
    case(TWILIGHT, "unknown", "in_alaska", "2026-11-24T17:10Z", flight(**LIT), why="missing"),
    case(TWILIGHT, "unknown", "official_sunset_on", "2026-11-24", by_dusk(**LIT), why="within_doubt"),
]
NORTH: dict[str, Raw] = {
    "in_alaska": True,
    "official_sunset_on": "2026-11-24T15:30:00Z",
    "evening_twilight_end_on": "2026-11-24T16:40:00Z",
    "morning_twilight_on": "2026-11-24T09:00:00Z",
    "official_sunrise_on": "2026-11-24T10:10:00Z",
}
AT_ONCE: dict[str, Raw] = {"evening_twilight_end_on": "2026-11-24T15:30:00Z"}
ALASKA = [
    case(TWILIGHT, "met", "lit", "2026-11-24T16:40Z", flight(**NORTH, **LIT)),
    case(TWILIGHT, "not_applicable", "not_twilight", "2026-11-24T16:41Z", flight(**NORTH)),
    case(TWILIGHT, "met", "lit", "2026-11-24T09:00Z", flight(**NORTH, **LIT)),
    case(TWILIGHT, "not_applicable", "not_twilight", "2026-11-24T08:59Z", flight(**NORTH)),
    case(TWILIGHT, "not_met", "not_lit", "2026-11-24T16:10Z", flight(**NORTH, lights_lit=False)),
    # Twilight that ends as it begins is that moment alone.
    *(
        case(
            TWILIGHT,
            verdict,
            code,
            f"2026-11-24T{time}Z",
            flight(**{**NORTH, "lights_lit": False, **AT_ONCE}),
        )
        for time, verdict, code in (
            ("15:29", "not_applicable", "not_twilight"),
            ("15:30", "not_met", "not_lit"),
            ("15:31", "not_applicable", "not_twilight"),
        )
    ),
]
# In the far north twilight lasts for hours: its nearest end may lie before its nearest beginning.
FAR_NORTH: dict[str, Raw] = {
    "in_alaska": True,
    "evening_twilight_end_on": "2026-11-24T01:00:00Z",
    "morning_twilight_on": "2026-11-24T05:00:00Z",
    "official_sunrise_on": "2026-11-24T05:30:00Z",
    "official_sunset_on": "2026-11-24T12:00:00Z",
}
FAR = [
    case(TWILIGHT, "met", "lit", "2026-11-24T00:59Z", flight(**FAR_NORTH, **LIT)),
    case(TWILIGHT, "met", "lit", "2026-11-24T01:00Z", flight(**FAR_NORTH, **LIT)),
    case(TWILIGHT, "not_applicable", "not_twilight", "2026-11-24T01:01Z", flight(**FAR_NORTH)),
    case(TWILIGHT, "not_applicable", "not_twilight", "2026-11-24T11:59Z", flight(**FAR_NORTH)),
    case(TWILIGHT, "met", "lit", "2026-11-24T12:00Z", flight(**FAR_NORTH, **LIT)),
    case(TWILIGHT, "met", "lit", "2026-11-24T12:01Z", flight(**FAR_NORTH, **LIT)),
]
WRITTEN = case(
    TWILIGHT,
    "unknown",
    "alaska_twilight",
    "2026-11-24T16:10Z",
    flight(**NORTH),
    why="law_not_read",
    moved=("alaska_twilight", "by the stars"),
)
CASES = [WRITTEN, *NIGHTS, *TWILIGHTS, *ALASKA, *FAR]


@pytest.mark.parametrize("line", CASES, ids=lambda line: line.name)
def test_case(line: Case) -> None:
    check(line)
