"""Keys of one flight: what it is for, and the conditions of the recreational exception."""

from __future__ import annotations

from decimal import Decimal

from airwrit.facts.flight_choices import EducationBy, EducationFor
from airwrit.facts.key import Key

FLIGHT_AIRCRAFT = Key(
    "flight_aircraft",
    str,
    "flight",
    "the aircraft flown",
    "Which aircraft?",
    ("aircraft",),
    links_to="aircraft",
)
FLIGHT_PILOT = Key("flight_pilot", str, "flight", "who flies", "Who flies?", ("pilot",), links_to="person")
PAID = Key(
    "paid",
    bool,
    "flight",
    "someone pays or is paid for it, in any form",
    "Does anyone pay or get paid for it, in any form?",
    ("paid",),
)
HELPS_BUSINESS = Key(
    "helps_business",
    bool,
    "flight",
    "it serves a business, a sale, a rental or other income",
    "Does it serve a business, a sale, a rental or other income, your own included?",
    ("helps a business",),
)
HELPS_ORGANIZATION = Key(
    "helps_organization",
    bool,
    "flight",
    "it does something for an organization, paid or not",
    "Does it do something for an organization (school, club, charity, agency), paid or not?",
    ("helps an organization",),
)
EDUCATIONAL = Key(
    "educational",
    bool,
    "flight",
    "it is called education or research",
    "Is it flown for education or research?",
    ("educational",),
)
EDUCATION_BY = Key(
    "education_by",
    EducationBy,
    "flight",
    "who operates the flight called education",
    "Who operates it?",
    ("education by",),
)
EDUCATION_FOR = Key(
    "education_for",
    EducationFor,
    "flight",
    "what the flight called education is for",
    "What is this flight for?",
    ("education for",),
)
WITHIN_GUIDELINES = Key(
    "within_guidelines",
    bool,
    "flight",
    "within the safety guidelines of a community-based organization",
    "Does it follow the safety guidelines of a community-based organization?",
    ("within guidelines",),
)
FIXED_SITE = Key(
    "fixed_site",
    bool,
    "site",
    "flown from a fixed site of 49 USC 44809(c), known to the FAA",
    "Is it flown from a fixed site that the FAA knows or approved for recreational flyers?",
    ("fixed site",),
)
HEAVY_STANDARDS = Key(
    "heavy_standards",
    bool,
    "flight",
    "within a community-based organization's standards for aircraft of 55 lb or more, approved by the FAA",
    "Does it keep to a community-based organization's standards for 55 lb or more that the FAA approved?",
    ("heavy standards",),
)
KEPT_IN_SIGHT = Key(
    "kept_in_sight",
    bool,
    "flight",
    "the aircraft is kept in sight",
    "Is the aircraft kept in sight all through?",
    ("kept in sight",),
)
GIVES_WAY = Key(
    "gives_way",
    bool,
    "flight",
    "it gives way to crewed aircraft",
    "Does it give way to every crewed aircraft?",
    ("gives way",),
)
AIRSPACE_ALLOWED = Key(
    "airspace_allowed",
    bool,
    "flight",
    "uncontrolled airspace, or authorization held; no restriction in force",
    "Is it in uncontrolled airspace or authorized, with no restriction in force?",
    ("airspace allowed",),
)
HEIGHT_AGL = Key(
    "height_agl_ft",
    Decimal,
    "flight",
    "greatest height above ground",
    "How high above ground, at most?",
    ("height",),
    unit="ft",
)

FLIGHT_KEYS = (
    FLIGHT_AIRCRAFT,
    FLIGHT_PILOT,
    PAID,
    HELPS_BUSINESS,
    HELPS_ORGANIZATION,
    EDUCATIONAL,
    EDUCATION_BY,
    EDUCATION_FOR,
    WITHIN_GUIDELINES,
    FIXED_SITE,
    HEAVY_STANDARDS,
    KEPT_IN_SIGHT,
    GIVES_WAY,
    AIRSPACE_ALLOWED,
    HEIGHT_AGL,
)
