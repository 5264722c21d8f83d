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
    "date of the flight",
    "When was the flight?",
    ("happened on", "date"),
)
INCIDENT_AIRCRAFT = Key(
    "incident_aircraft",
    str,
    "incident",
    "aircraft flown",
    "Which aircraft?",
    ("aircraft",),
    links_to="aircraft",
)
SERIOUS_INJURY = Key(
    "serious_injury",
    bool,
    "incident",
    "serious injury (to the FAA, level 3 or more on the AIS scale)",
    "Was anyone seriously injured (level 3 or more on the AIS scale)?",
    ("serious injury",),
)
UNCONSCIOUS = Key(
    "unconscious",
    bool,
    "incident",
    "anyone lost consciousness",
    "Did anyone lose consciousness, even briefly?",
    ("lost consciousness",),
)
DAMAGED = Key(
    "damaged_property",
    DamagedProperty,
    "incident",
    "property damaged, other than the aircraft",
    "What was damaged other than the aircraft?",
    ("damaged",),
)
REPAIR_COST = Key(
    "repair_cost_usd",
    Decimal,
    "incident",
    "total repair cost, parts and labor, other than the aircraft",
    "What does the repair cost in all, parts and labor?",
    ("repair cost",),
    unit="usd",
)
TOTAL_LOSS = Key(
    "total_loss",
    bool,
    "incident",
    "property is a total loss",
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
    "date it was reported to the FAA under 107.9",
    "When was it reported to the FAA?",
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
    "airworthiness certificate",
    "Does the aircraft have an airworthiness certificate?",
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
    "cause",
    "What went wrong?",
    ("cause",),
)
NTSB_TOLD_ON = Key(
    "ntsb_told_on",
    date,
    "incident",
    "date the NTSB was notified",
    "When was the NTSB notified?",
    ("ntsb told on",),
)
NTSB_ASKED = Key(
    "ntsb_asked",
    bool,
    "incident",
    "NTSB request for a written report",
    "Did the NTSB ask for a written report?",
    ("ntsb asked",),
)
NTSB_REPORT_ON = Key(
    "ntsb_report_on",
    date,
    "incident",
    "date the written report went to the NTSB",
    "When did the written report go to the NTSB?",
    ("ntsb report on",),
)
WRECKAGE_KEPT = Key(
    "wreckage_kept",
    bool,
    "incident",
    "whether wreckage and records are kept",
    "Are the wreckage and records kept?",
    ("wreckage kept",),
)
RELEASED_ON = Key(
    "released_on",
    date,
    "incident",
    "date the NTSB released the wreckage and records",
    "When did the NTSB release the wreckage and records?",
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
