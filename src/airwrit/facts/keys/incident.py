"""Keys of an incident: what happened, who and what was hurt or damaged, and who was told when."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from airwrit.facts.flight_choices import Cause, DamagedProperty
from airwrit.facts.key import Key

HAPPENED_ON = Key(
    "happened_on",
    date,
    "incident",
    "day of the flight",
    "On which day was the flight?",
    ("happened on", "date"),
)
INCIDENT_AIRCRAFT = Key(
    "incident_aircraft",
    str,
    "incident",
    "the aircraft flown",
    "Which aircraft?",
    ("aircraft",),
    links_to="aircraft",
)
SERIOUS_INJURY = Key(
    "serious_injury",
    bool,
    "incident",
    "serious injury to anyone (as the FAA reads it: level 3 or more of the AIS scale)",
    "Was anyone seriously injured (level 3 or more of the AIS scale)?",
    ("serious injury",),
)
UNCONSCIOUS = Key(
    "unconscious",
    bool,
    "incident",
    "anyone lost consciousness",
    "Did anyone lose consciousness, however briefly?",
    ("lost consciousness",),
)
DAMAGED = Key(
    "damaged_property",
    DamagedProperty,
    "incident",
    "property damaged apart from the aircraft",
    "What was damaged apart from the aircraft?",
    ("damaged",),
)
REPAIR_COST = Key(
    "repair_cost_usd",
    Decimal,
    "incident",
    "cost of repair, parts and labor, of all property damaged apart from the aircraft",
    "What does repair of it cost in all, parts and labor?",
    ("repair cost",),
    unit="usd",
)
TOTAL_LOSS = Key(
    "total_loss",
    bool,
    "incident",
    "the property is a total loss",
    "Is it a total loss?",
    ("total loss",),
)
PROPERTY_VALUE = Key(
    "property_value_usd",
    Decimal,
    "incident",
    "fair market value of the property",
    "What was its fair market value?",
    ("value",),
    unit="usd",
)
REPORTED_ON = Key(
    "reported_on",
    date,
    "incident",
    "day it was reported to the FAA under 107.9",
    "On which day was it reported to the FAA?",
    ("reported on",),
)
DEATH_OR_INJURY = Key(
    "death_or_injury",
    bool,
    "incident",
    "death or serious injury as the NTSB defines it (49 CFR 830.2)",
    "Did anyone die or suffer a serious injury as the NTSB defines it?",
    ("death or injury",),
)
AIRWORTHINESS_CERTIFICATE = Key(
    "airworthiness_certificate",
    bool,
    "incident",
    "the aircraft holds an airworthiness certificate",
    "Does the aircraft hold an airworthiness certificate?",
    ("airworthiness certificate",),
)
SUBSTANTIAL_DAMAGE = Key(
    "substantial_damage",
    bool,
    "incident",
    "substantial damage to the aircraft (49 CFR 830.2)",
    "Was the aircraft substantially damaged (49 CFR 830.2)?",
    ("substantial damage",),
)
CAUSE = Key(
    "cause",
    Cause,
    "incident",
    "what went wrong",
    "What went wrong?",
    ("cause",),
)
NTSB_TOLD_ON = Key(
    "ntsb_told_on",
    date,
    "incident",
    "day the NTSB was told",
    "On which day was the NTSB told?",
    ("ntsb told on",),
)
NTSB_ASKED = Key(
    "ntsb_asked",
    bool,
    "incident",
    "the NTSB asked for a written report",
    "Did the NTSB ask for a written report?",
    ("ntsb asked",),
)
NTSB_REPORT_ON = Key(
    "ntsb_report_on",
    date,
    "incident",
    "day the written report went to the NTSB",
    "On which day did the written report go to the NTSB?",
    ("ntsb report on",),
)
WRECKAGE_KEPT = Key(
    "wreckage_kept",
    bool,
    "incident",
    "wreckage and records are kept",
    "Are wreckage and records kept?",
    ("wreckage kept",),
)
RELEASED_ON = Key(
    "released_on",
    date,
    "incident",
    "day the NTSB released wreckage and records",
    "On which day did the NTSB release wreckage and records?",
    ("released on",),
)

INCIDENT_KEYS = (
    HAPPENED_ON,
    INCIDENT_AIRCRAFT,
    SERIOUS_INJURY,
    UNCONSCIOUS,
    DAMAGED,
    REPAIR_COST,
    TOTAL_LOSS,
    PROPERTY_VALUE,
    REPORTED_ON,
    DEATH_OR_INJURY,
    AIRWORTHINESS_CERTIFICATE,
    SUBSTANTIAL_DAMAGE,
    CAUSE,
    NTSB_TOLD_ON,
    NTSB_ASKED,
    NTSB_REPORT_ON,
    WRECKAGE_KEPT,
    RELEASED_ON,
)
