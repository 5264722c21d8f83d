"""Days and instants of light: clocks that change, days with none or two of a kind, Alaska, doubt."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from airwrit.answers.sky.light import LightEvent, LightOfDay, Phase, light_at, light_of, rules_of
from airwrit.answers.sky.light_json import light_json, site_facts
from airwrit.answers.sky.light_words import in_a_sentence, phases_words, to_minute
from airwrit.base.places import Place
from airwrit.base.verdict import Verdict
from airwrit.sky.light import Stays
from airwrit.sky.zones import Zone, zone_of

BOULDER = Place(40.015, -105.2705)
DENVER = zone_of(BOULDER)
UTQIAGVIK = Place(71.2833, -156.7833)
ANCHORAGE = zone_of(UTQIAGVIK)


def day_of(place: Place, on: str, zone: Zone) -> LightOfDay:
    (day,) = light_of(place, zone, date.fromisoformat(on), date.fromisoformat(on))
    return day


def clock(day: LightOfDay, kind: LightEvent, zone: Zone) -> list[str]:
    return [f"{to_minute(one.at).astimezone(zone.info):%H:%M %Z}" for one in day.of(kind)]


def test_the_clock_changes_on_the_day_it_changes() -> None:
    before, after = (day_of(BOULDER, on, DENVER) for on in ("2026-03-07", "2026-03-08"))
    assert clock(before, LightEvent.SUNRISE, DENVER) == ["06:25 MST"]
    assert clock(after, LightEvent.SUNRISE, DENVER) == ["07:23 MDT"]
    assert after.end - after.start == timedelta(hours=23)
    fall = day_of(BOULDER, "2026-11-01", DENVER)
    assert fall.end - fall.start == timedelta(hours=25)
    assert clock(fall, LightEvent.SUNRISE, DENVER) == ["06:30 MST"]


def test_the_30_minutes_stand_beside_the_sun() -> None:
    day = day_of(BOULDER, "2026-06-21", DENVER)
    (sunrise,), (start,) = day.of(LightEvent.SUNRISE), day.of(LightEvent.LIGHTS_FROM)
    assert sunrise.at - start.at == timedelta(minutes=30)
    assert [one.kind for one in day.moments] == [
        LightEvent.DAWN,
        LightEvent.LIGHTS_FROM,
        LightEvent.SUNRISE,
        LightEvent.SUNSET,
        LightEvent.LIGHTS_UNTIL,
        LightEvent.DUSK,
    ]


def test_alaska_has_no_30_minutes() -> None:
    day = day_of(UTQIAGVIK, "2026-12-21", ANCHORAGE)
    assert [one.kind for one in day.moments] == [LightEvent.DAWN, LightEvent.DUSK]
    assert day.horizon is Stays.BELOW
    assert day.civil is None


@pytest.mark.parametrize(
    ("on", "kinds"),
    [
        ("2018-05-11", []),
        ("2018-08-02", [LightEvent.SUNSET, LightEvent.SUNRISE]),
        ("2018-11-18", [LightEvent.DAWN, LightEvent.SUNRISE, LightEvent.SUNSET, LightEvent.DUSK]),
    ],
)
def test_days_about_the_polar_day_and_night(on: str, kinds: list[LightEvent]) -> None:
    assert [one.kind for one in day_of(UTQIAGVIK, on, ANCHORAGE).moments] == kinds


def test_two_sunsets_on_one_day() -> None:
    place, utc = Place(-30, -100), Zone("UTC", (), False)
    day = day_of(place, "2024-05-07", utc)
    assert clock(day, LightEvent.SUNSET, utc) == ["00:00 UTC", "23:59 UTC"]
    assert len(day.of(LightEvent.SUNSET)) == 2
    assert LightEvent.SUNSET.value not in site_facts(utc, day, None)


def test_a_year_is_its_days() -> None:
    year = light_of(BOULDER, DENVER, date(2026, 1, 1), date(2026, 12, 31))
    assert len(year) == 365
    assert year[200] == day_of(BOULDER, year[200].on.isoformat(), DENVER)


@pytest.mark.parametrize(
    ("clock_utc", "phases"),
    [
        ("18:00", [Phase.DAY]),
        ("23:34", [Phase.DAY]),
        ("23:36", [Phase.DAY, Phase.TWILIGHT]),
        ("23:50", [Phase.TWILIGHT]),
        ("06:00", [Phase.NIGHT]),
    ],
)
def test_phases_outside_alaska(clock_utc: str, phases: list[Phase]) -> None:
    at = datetime.fromisoformat(f"2026-12-01T{clock_utc}Z")
    assert list(light_at(BOULDER, DENVER, at).phases) == phases


def test_a_few_minutes_are_neither_twilight_nor_night() -> None:
    day = day_of(BOULDER, "2026-06-21", DENVER)
    (over,), (dusk,) = day.of(LightEvent.LIGHTS_UNTIL), day.of(LightEvent.DUSK)
    between = over.at + (dusk.at - over.at) / 2
    assert list(light_at(BOULDER, DENVER, between).phases) == [Phase.BETWEEN]


def test_near_the_equator_night_starts_inside_the_30_minutes() -> None:
    place = Place(18.4, -66.1)
    zone = zone_of(place)
    sunset = day_of(place, "2026-03-20", zone).of(LightEvent.SUNSET)[0]
    assert list(light_at(place, zone, sunset.at + timedelta(minutes=27)).phases) == [Phase.BOTH]


def test_alaska_in_june_is_twilight_all_night() -> None:
    fairbanks = Place(64.84, -147.72)
    zone = zone_of(fairbanks)
    at = datetime(2026, 6, 21, 10, 30, tzinfo=UTC)
    assert list(light_at(fairbanks, zone, at).phases) == [Phase.TWILIGHT]


def test_unknown_whether_alaska_gives_both() -> None:
    place, zone = Place(60, -105), DENVER._replace(in_alaska=None)
    (day,) = light_of(place, zone, date(2026, 6, 21), date(2026, 6, 21))
    found = light_at(place, zone, day.of(LightEvent.SUNSET)[0].at + timedelta(minutes=40))
    assert set(found.phases) == {Phase.TWILIGHT, Phase.BETWEEN}
    assert light_json(place, zone, (day,), found)["verdict"] == Verdict.UNKNOWN


def test_a_day_before_part_107() -> None:
    rules = rules_of(date(2013, 8, 2), ANCHORAGE)
    assert rules.minutes is None
    assert rules.readings == ()
    assert LightEvent.LIGHTS_FROM not in {one.kind for one in day_of(BOULDER, "2013-08-02", DENVER).moments}


@pytest.mark.parametrize(
    ("on", "says"),
    [
        (
            "2026-12-02",
            "Night. Part 107 requires anti-collision lights and a pilot tested or trained for flying at night.",
        ),
        ("2020-12-02", "Night. Before April 21, 2021, Part 107 allowed night flights only with a waiver."),
        ("2013-12-02", "Night."),
    ],
)
def test_what_is_said_of_night_is_the_law_of_its_day(on: str, says: str) -> None:
    at = datetime.fromisoformat(f"{on}T06:00Z")
    assert phases_words(light_at(BOULDER, DENVER, at)) == (says,)


def test_a_day_in_a_sentence() -> None:
    assert in_a_sentence(day_of(BOULDER, "2026-12-01", DENVER), DENVER) == (
        "Sunrise 7:04 AM MST, sunset 4:36 PM MST. Before and after that, keep the anti-collision lights on."
    )
    assert (
        in_a_sentence(day_of(BOULDER, "2013-12-01", DENVER), DENVER)
        == "Sunrise 7:04 AM MST, sunset 4:36 PM MST."
    )
    assert in_a_sentence(day_of(UTQIAGVIK, "2018-08-02", ANCHORAGE), ANCHORAGE) == ""


def test_facts_are_the_moments_nearest_the_flight() -> None:
    at = datetime(2026, 12, 2, 5, 0, tzinfo=UTC)
    found = light_at(BOULDER, DENVER, at)
    facts = site_facts(DENVER, day_of(BOULDER, "2026-12-01", DENVER), found)
    assert facts["official_sunset_on"] == "2026-12-01T16:36:00-07:00"
    assert facts["official_sunrise_on"] == "2026-12-02T07:05:00-07:00"
    assert facts["in_alaska"] is False
