"""Keys of a flight flown, as a log has them: whose, with what and when stand with the flight's other keys."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from airwrit.facts.key import Key

FLOWN_ON = Key(
    "flown_on",
    date,
    "flight",
    "day it was flown",
    "On which day was it flown?",
    ("flown on", "date", "day", "flight date", "date flown", "date of flight"),
)
LANDINGS = Key(
    "landings",
    Decimal,
    "flight",
    "takeoffs with landings in it",
    "How many takeoffs with landings were in it?",
    ("landings", "takeoffs and landings", "number of landings", "cycles"),
)

CREW_PRESENT = Key(
    "crew_present",
    Decimal,
    "flight",
    "how many of the crew were on site, pilot included",
    "How many of the crew were on site, the pilot included?",
    ("crew present", "crew on site", "number of crew", "crew size", "crew count"),
)

FLIGHT_LOG_KEYS = (FLOWN_ON, LANDINGS, CREW_PRESENT)
