"""Keys of one flight: what it is for, and the conditions of the recreational exception."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from airwrit.facts.flight_choices import EducationBy, EducationFor
from airwrit.facts.key import Key

FLIGHT_AIRCRAFT = Key(
    "flight_aircraft",
    str,
    "flight",
    "aircraft flown",
    "Which aircraft?",
    ("aircraft",),
    links_to="aircraft",
)
FLIGHT_PILOT = Key("flight_pilot", str, "flight", "pilot", "Who flies?", ("pilot",), links_to="person")
PAID = Key(
    "paid",
    bool,
    "flight",
    "someone pays or gets paid",
    "Does anyone pay or get paid for it, in any form?",
    ("paid",),
)
HELPS_BUSINESS = Key(
    "helps_business",
    bool,
    "flight",
    "helps a business or other income",
    "Does it help a business, a sale, a rental or other income, including your own?",
    ("helps a business",),
)
HELPS_ORGANIZATION = Key(
    "helps_organization",
    bool,
    "flight",
    "helps an organization, paid or not",
    "Does it help an organization (school, club, charity, agency), paid or not?",
    ("helps an organization",),
)
EDUCATIONAL = Key(
    "educational",
    bool,
    "flight",
    "listed as education or research",
    "Is it flown for education or research?",
    ("educational",),
)
EDUCATION_BY = Key(
    "education_by",
    EducationBy,
    "flight",
    "operator of the education flight",
    "Who operates it?",
    ("education by",),
)
EDUCATION_FOR = Key(
    "education_for",
    EducationFor,
    "flight",
    "purpose of the education flight",
    "What is this flight for?",
    ("education for",),
)
WITHIN_GUIDELINES = Key(
    "within_guidelines",
    bool,
    "flight",
    "follows the safety guidelines of a community-based organization",
    "Do you follow the safety guidelines of a community-based organization?",
    ("within guidelines",),
)
FIXED_SITE = Key(
    "fixed_site",
    bool,
    "site",
    "flown from a fixed site the FAA knows (49 USC 44809(c))",
    "Is it flown from a fixed site that the FAA knows or approved for recreational flyers?",
    ("fixed site",),
)
HEAVY_STANDARDS = Key(
    "heavy_standards",
    bool,
    "flight",
    "meets FAA-approved standards of a community-based organization for heavy aircraft",
    "Does it meet a community-based organization's standards for heavy aircraft that the FAA approved?",
    ("heavy standards",),
)
KEPT_IN_SIGHT = Key(
    "kept_in_sight",
    bool,
    "flight",
    "aircraft kept in sight",
    "Does the aircraft stay in sight the whole time?",
    ("kept in sight",),
)
GIVES_WAY = Key(
    "gives_way",
    bool,
    "flight",
    "gives way to crewed aircraft",
    "Does it give way to every crewed aircraft?",
    ("gives way",),
)
AIRSPACE_ALLOWED = Key(
    "airspace_allowed",
    bool,
    "flight",
    "uncontrolled airspace or authorized, with no restriction in force",
    "Is it in uncontrolled airspace or authorized, with no restriction in force?",
    ("airspace allowed",),
)
HEIGHT_AGL = Key(
    "height_agl_ft",
    Decimal,
    "flight",
    "greatest height above ground",
    "What is the greatest height above ground?",
    ("height",),
    unit="ft",
)

ANSWER_GIVEN = Key(
    "answer_given",
    str,
    "flight",
    "answer before the flight",
    "What was the answer before the flight?",
    ("answer given",),
)
ANSWERED_ON = Key(
    "answered_on",
    date,
    "flight",
    "time of the answer before the flight",
    "When was the answer before the flight given?",
    ("answered on",),
    instants=True,
)
CONFIRMED_FOR = Key(
    "confirmed_for",
    str,
    "flight",
    "place, hours and height that the confirmations are for, as a digest",
    "Which plan were the confirmations given for?",
    ("confirmed for",),
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
    ANSWER_GIVEN,
    ANSWERED_ON,
    CONFIRMED_FOR,
)
