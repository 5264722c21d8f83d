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
    "rules for this flight, if different from the aircraft's other flights",
    "Is this flight under Part 107, a public agency's COA, Part 91, Part 135, Part 137 or another country's law?",
    ("flight under",),
)
HEIGHT_ERROR = Key(
    "height_error_ft",
    Decimal,
    "flight",
    "height error, plus or minus",
    "How far off may the height be?",
    ("height error",),
    unit="ft",
)
STRUCTURE_DISTANCE = Key(
    "structure_distance_ft",
    Decimal,
    "site",
    "greatest horizontal distance from the structure",
    "How far from the structure does it fly, at most?",
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
    "height limit the FAA set for recreation at this place",
    "What height limit did the FAA set for recreation at this place?",
    ("faa ceiling",),
    unit="ft",
)
GROUND_SPEED = Key(
    "ground_speed_kt",
    Decimal,
    "flight",
    "top ground speed",
    "What is the top ground speed?",
    ("ground speed",),
    unit="kt",
)
SPEED_ERROR = Key(
    "speed_error_kt",
    Decimal,
    "flight",
    "speed error, plus or minus",
    "How far off may the speed be?",
    ("speed error",),
    unit="kt",
)
FLIGHT_VISIBILITY = Key(
    "flight_visibility_sm",
    Decimal,
    "weather",
    "visibility the pilot saw from the control station",
    "How far could the pilot see from the control station?",
    ("flight visibility",),
    unit="sm",
)
METAR_VISIBILITY = Key(
    "metar_visibility_sm",
    Decimal,
    "weather",
    "visibility in a nearby airport's weather report",
    "What visibility did the nearest weather report give?",
    ("metar visibility",),
    unit="sm",
)
NO_CLOUDS = Key(
    "no_clouds",
    bool,
    "weather",
    "no clouds in sight",
    "Was the sky free of clouds?",
    ("no clouds", "clear sky"),
)
BELOW_CLOUDS = Key(
    "below_clouds_ft",
    Decimal,
    "weather",
    "smallest distance below clouds",
    "How far below the clouds does it stay, at least?",
    ("below clouds",),
    unit="ft",
)
BESIDE_CLOUDS = Key(
    "beside_clouds_ft",
    Decimal,
    "weather",
    "smallest horizontal distance from clouds",
    "How far from clouds does it stay horizontally, at least?",
    ("beside clouds",),
    unit="ft",
)
WIND_SEEN = Key(
    "wind_seen_kt",
    Decimal,
    "weather",
    "steady wind at the place",
    "How strong is the steady wind where you fly?",
    ("wind", "wind speed", "steady wind"),
    unit="kt",
)
GUST_SEEN = Key(
    "gust_seen_kt",
    Decimal,
    "weather",
    "strongest wind at the place, gusts included",
    "How strong is the strongest wind where you fly, gusts included?",
    ("gusts", "gust", "strongest wind"),
    unit="kt",
)
TEMPERATURE_SEEN = Key(
    "temperature_seen_degc",
    Decimal,
    "weather",
    "temperature at the place",
    "What is the temperature where you fly?",
    ("temperature", "air temperature"),
    unit="°C",
)
RAIN_SEEN = Key(
    "rain_seen",
    bool,
    "weather",
    "rain, snow or drizzle at the place",
    "Is there rain, snow or drizzle where you fly?",
    ("rain", "precipitation"),
)
FLOWN_FROM = Key(
    "flown_from",
    FlownFrom,
    "flight",
    "where the pilot is: a fixed spot, an aircraft, a moving vehicle",
    "Is it flown from a fixed spot, a moving aircraft, or a moving vehicle or boat?",
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
    "carries someone's property for pay",
    "Does it carry someone's property for pay?",
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
    "hazardous material carried (49 CFR 171.8), not its own battery",
    "Does it carry hazardous material other than its own battery?",
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
SUN_STAYS_UP = Key(
    "sun_stays_up",
    bool,
    "site",
    "sun up all day and all night",
    "Does the sun stay up all day and all night there?",
    ("midnight sun",),
)
SUNRISE = Key(
    "official_sunrise_on",
    date,
    "site",
    "official sunrise at the place, nearest the flight",
    "When is official sunrise at the place?",
    ("sunrise",),
    instants=True,
)
SUNSET = Key(
    "official_sunset_on",
    date,
    "site",
    "official sunset at the place, nearest the flight",
    "When is official sunset at the place?",
    ("sunset",),
    instants=True,
)
DAWN = Key(
    "morning_twilight_on",
    date,
    "site",
    "start of morning civil twilight by the Air Almanac, nearest the flight",
    "When does morning civil twilight start there by the Air Almanac?",
    ("morning twilight", "dawn"),
    instants=True,
)
DUSK = Key(
    "evening_twilight_end_on",
    date,
    "site",
    "end of evening civil twilight by the Air Almanac, nearest the flight",
    "When does evening civil twilight end there by the Air Almanac?",
    ("end of evening twilight", "dusk"),
    instants=True,
)
LIGHTS_LIT = Key(
    "lights_lit",
    bool,
    "flight",
    "anti-collision lights on",
    "Are the anti-collision lights on?",
    ("lights on",),
)
LIGHTS_VISIBLE = Key(
    "lights_visible_sm",
    Decimal,
    "flight",
    "how far the anti-collision lights can be seen",
    "How far away can the anti-collision lights be seen?",
    ("lights visible",),
    unit="sm",
)
LIGHTS_FLASH = Key(
    "lights_flash_enough",
    bool,
    "flight",
    "lights flash fast enough to avoid a collision",
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
    WIND_SEEN,
    GUST_SEEN,
    TEMPERATURE_SEEN,
    RAIN_SEEN,
    FLOWN_FROM,
    SPARSELY_POPULATED,
    FOR_HIRE,
    DISPENSES,
    HAZARDOUS,
    IN_ALASKA,
    SUN_STAYS_UP,
    SUNRISE,
    SUNSET,
    DAWN,
    DUSK,
    LIGHTS_LIT,
    LIGHTS_VISIBLE,
    LIGHTS_FLASH,
)
