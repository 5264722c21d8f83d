"""Keys of a flight flown, as a log has them: whose and with what stand with the flight's other keys."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from airwrit.facts.choices import UsedFor
from airwrit.facts.key import Key


def packs_named(text: str) -> tuple[str, ...]:
    """The battery packs a text names, each once, in order."""
    return tuple(dict.fromkeys(name for part in text.split(",") if (name := " ".join(part.split()))))


FLOWN_ON = Key(
    "flown_on",
    date,
    "flight",
    "date it was flown, or time it landed",
    "When was it flown, or when did it land?",
    (
        "flown on",
        "date",
        "day",
        "flight date",
        "date flown",
        "date of flight",
        "landed",
        "landed on",
        "landed at",
    ),
    instants=True,
)
LANDINGS = Key(
    "landings",
    Decimal,
    "flight",
    "takeoffs and landings",
    "How many takeoffs and landings were in it?",
    ("landings", "takeoffs and landings", "number of landings", "cycles"),
)

CREW_PRESENT = Key(
    "crew_present",
    Decimal,
    "flight",
    "crew on site, including the pilot",
    "How many of the crew were on site, including the pilot?",
    ("crew present", "crew on site", "number of crew", "crew size", "crew count"),
)

MINUTES = Key(
    "minutes",
    Decimal,
    "flight",
    "minutes in the air",
    "How many minutes was it in the air?",
    ("minutes", "flight minutes", "minutes flown", "flight time in minutes", "air time in minutes"),
)
PACKS = Key(
    "packs",
    str,
    "flight",
    "battery packs, commas between them",
    "Which battery packs did it use?",
    ("packs", "pack", "battery packs", "battery pack", "batteries used", "battery used"),
    links_to="battery",
    names=packs_named,
)
FLOWN_FOR = Key(
    "flown_for",
    UsedFor,
    "flight",
    "purpose of the flight",
    "Was it flown for work or for recreation?",
    ("flown for", "use of flight", "purpose of flight"),
)
DEFECT_SEEN = Key(
    "defect_seen",
    str,
    "flight",
    "defect found on the aircraft",
    "What defect did you find on the aircraft?",
    ("defect seen", "defect", "defects", "defects seen", "fault seen", "squawk", "squawks"),
)
DEFECT_RELEASED_ON = Key(
    "defect_released_on",
    date,
    "flight",
    "date or time the defect was signed off",
    "When was the aircraft signed off after the defect?",
    (
        "released to fly",
        "released to fly on",
        "defect released on",
        "returned to service",
        "returned to service on",
    ),
    instants=True,
)
DEFECT_RELEASED_BY = Key(
    "defect_released_by",
    str,
    "flight",
    "who signed off the defect",
    "Who signed off the aircraft after the defect?",
    ("released by", "defect released by", "released to fly by"),
    links_to="person",
)

FLIGHT_LOG_KEYS = (
    FLOWN_ON,
    LANDINGS,
    CREW_PRESENT,
    MINUTES,
    PACKS,
    FLOWN_FOR,
    DEFECT_SEEN,
    DEFECT_RELEASED_ON,
    DEFECT_RELEASED_BY,
)

_NO_DEFECT = frozenset({"none", "no", "nil", "no defect", "no defects", "none seen", "nothing"})


def says_no_defect(text: str) -> bool:
    """Whether a text about defects says that there was none."""
    return " ".join(text.casefold().split()).rstrip(".") in _NO_DEFECT
