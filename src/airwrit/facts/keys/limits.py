"""Keys of a flight that the limits are held against: height, speed, sight, cloud, light, and what it is flown from."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from airwrit.facts.choices import OperatedUnder
from airwrit.facts.flight_choices import Dispensed, FlownFrom
from airwrit.facts.key import Key

FLIGHT_UNDER = Key(
    "flight_under",
    OperatedUnder,
    "flight",
    "the law this flight is made under, where it is not that of the aircraft's other flights",
    "Is this flight made under Part 107, a public agency's COA, Part 91, Part 135, Part 137 or another State's law?",
    ("flight under",),
)
HEIGHT_ERROR = Key(
    "height_error_ft",
    Decimal,
    "flight",
    "how far the height may be off, plus or minus",
    "How far may the height be off?",
    ("height error",),
    unit="ft",
)
STRUCTURE_DISTANCE = Key(
    "structure_distance_ft",
    Decimal,
    "site",
    "greatest distance, on the level, from the structure flown around",
    "How far from the structure, on the level, at most?",
    ("distance from structure",),
    unit="ft",
)
STRUCTURE_TOP = Key(
    "structure_top_ft",
    Decimal,
    "site",
    "height of the structure's top above ground",
    "How high above ground is the top of the structure?",
    ("top of structure",),
    unit="ft",
)
OTHER_CEILING = Key(
    "other_ceiling_ft",
    Decimal,
    "site",
    "ceiling the FAA set for recreation at this place",
    "Which ceiling did the FAA set for recreation at this place?",
    ("faa ceiling",),
    unit="ft",
)
GROUND_SPEED = Key(
    "ground_speed_kt",
    Decimal,
    "flight",
    "greatest speed over the ground",
    "How fast over the ground, at most?",
    ("ground speed",),
    unit="kt",
)
SPEED_ERROR = Key(
    "speed_error_kt",
    Decimal,
    "flight",
    "how far the speed may be off, plus or minus",
    "How far may the speed be off?",
    ("speed error",),
    unit="kt",
)
FLIGHT_VISIBILITY = Key(
    "flight_visibility_sm",
    Decimal,
    "weather",
    "flight visibility as the pilot saw it from the control station",
    "How far could the pilot see from the control station?",
    ("flight visibility",),
    unit="sm",
)
METAR_VISIBILITY = Key(
    "metar_visibility_sm",
    Decimal,
    "weather",
    "visibility in the weather report of an airport nearby",
    "Which visibility did the nearest weather report give?",
    ("metar visibility",),
    unit="sm",
)
NO_CLOUDS = Key(
    "no_clouds",
    bool,
    "weather",
    "no cloud within sight",
    "Was the sky without clouds?",
    ("no clouds", "clear sky"),
)
BELOW_CLOUDS = Key(
    "below_clouds_ft",
    Decimal,
    "weather",
    "least distance below the clouds",
    "How far below the clouds, at least?",
    ("below clouds",),
    unit="ft",
)
BESIDE_CLOUDS = Key(
    "beside_clouds_ft",
    Decimal,
    "weather",
    "least distance from clouds on the level",
    "How far from clouds on the level, at least?",
    ("beside clouds",),
    unit="ft",
)
FLOWN_FROM = Key(
    "flown_from",
    FlownFrom,
    "flight",
    "where the pilot is: standing still, in an aircraft, in a moving vehicle",
    "Is it flown from a place that stands still, from a moving aircraft, or from a moving vehicle or boat?",
    ("flown from",),
)
SPARSELY_POPULATED = Key(
    "sparsely_populated",
    bool,
    "site",
    "over a sparsely populated area",
    "Is the area sparsely populated?",
    ("sparsely populated",),
)
FOR_HIRE = Key(
    "for_hire",
    bool,
    "flight",
    "carries another's property for pay",
    "Does it carry another's property for pay?",
    ("for hire",),
)
DISPENSES = Key(
    "dispenses",
    Dispensed,
    "flight",
    "what it drops, sprays or spreads",
    "What does it drop, spray or spread?",
    ("dispenses",),
)
HAZARDOUS = Key(
    "hazardous_material",
    bool,
    "flight",
    "hazardous material carried (49 CFR 171.8), its own battery aside",
    "Does it carry hazardous material, its own battery aside?",
    ("hazardous material",),
)
IN_ALASKA = Key(
    "in_alaska",
    bool,
    "site",
    "in Alaska",
    "Is it in Alaska?",
    ("in alaska", "alaska"),
)
SUNRISE = Key(
    "official_sunrise_on",
    date,
    "site",
    "official sunrise at the place, the one nearest the flight",
    "When is official sunrise at the place?",
    ("sunrise",),
    instants=True,
)
SUNSET = Key(
    "official_sunset_on",
    date,
    "site",
    "official sunset at the place, the one nearest the flight",
    "When is official sunset at the place?",
    ("sunset",),
    instants=True,
)
DAWN = Key(
    "morning_twilight_on",
    date,
    "site",
    "start of morning civil twilight there by the Air Almanac, the one nearest the flight",
    "When does morning civil twilight start there by the Air Almanac?",
    ("morning twilight", "dawn"),
    instants=True,
)
DUSK = Key(
    "evening_twilight_end_on",
    date,
    "site",
    "end of evening civil twilight there by the Air Almanac, the one nearest the flight",
    "When does evening civil twilight end there by the Air Almanac?",
    ("end of evening twilight", "dusk"),
    instants=True,
)
LIGHTS_LIT = Key(
    "lights_lit",
    bool,
    "flight",
    "anti-collision lights lit",
    "Are the anti-collision lights lit?",
    ("lights on",),
)
LIGHTS_VISIBLE = Key(
    "lights_visible_sm",
    Decimal,
    "flight",
    "how far the anti-collision lights can be seen",
    "How far can the anti-collision lights be seen?",
    ("lights visible",),
    unit="sm",
)
LIGHTS_FLASH = Key(
    "lights_flash_enough",
    bool,
    "flight",
    "the lights flash fast enough to avoid a collision",
    "Do the lights flash fast enough to avoid a collision?",
    ("lights flash enough",),
)

FLIGHT_LIMIT_KEYS = (
    FLIGHT_UNDER,
    HEIGHT_ERROR,
    STRUCTURE_DISTANCE,
    STRUCTURE_TOP,
    OTHER_CEILING,
    GROUND_SPEED,
    SPEED_ERROR,
    FLIGHT_VISIBILITY,
    METAR_VISIBILITY,
    NO_CLOUDS,
    BELOW_CLOUDS,
    BESIDE_CLOUDS,
    FLOWN_FROM,
    SPARSELY_POPULATED,
    FOR_HIRE,
    DISPENSES,
    HAZARDOUS,
    IN_ALASKA,
    SUNRISE,
    SUNSET,
    DAWN,
    DUSK,
    LIGHTS_LIT,
    LIGHTS_VISIBLE,
    LIGHTS_FLASH,
)
