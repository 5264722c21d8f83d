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

FLIGHT_LOG_KEYS = (FLOWN_ON, LANDINGS)
