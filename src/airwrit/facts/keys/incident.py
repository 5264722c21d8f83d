"""Keys of an incident: what happened, who and what was hurt or damaged, and who was told when."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from airwrit.facts.flight_choices import Cause, DamagedProperty, EmployeeHarm, Hurt, IncidentUnder
from airwrit.facts.key import Key

HAPPENED_ON = Key(
    "happened_on",
    date,
    "incident",
    "date of the flight",
    "When was the flight?",
    ("happened on", "date"),
    instants=True,
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
    "total_loss", bool, "incident", "property is a total loss", "Is it a total loss?", ("total loss",)
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
CAUSE = Key("cause", Cause, "incident", "cause", "What went wrong?", ("cause",))
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

HAPPENED_TIME = Key(
    "happened_time",
    str,
    "incident",
    "local time it happened",
    "What time was it there?",
    ("happened time", "time"),
)
INCIDENT_ZONE = Key(
    "incident_zone",
    str,
    "incident",
    "time zone of the place",
    "Which time zone is the place in?",
    ("incident zone", "time zone"),
)
INCIDENT_PLACE = Key(
    "incident_place",
    str,
    "incident",
    "where it happened, as latitude and longitude",
    "Where did it happen, as latitude and longitude?",
    ("incident place", "place", "where"),
)
INCIDENT_PILOT = Key(
    "incident_pilot",
    str,
    "incident",
    "remote pilot in command",
    "Who was the remote pilot in command?",
    ("incident pilot", "pilot"),
    links_to="person",
)
INCIDENT_UNDER = Key(
    "incident_under",
    IncidentUnder,
    "incident",
    "rules it was flown under",
    "Which rules was it flown under?",
    ("incident under", "flown under"),
)
RECREATION_RULES_KEPT = Key(
    "recreation_rules_kept",
    bool,
    "incident",
    "flight kept every rule for recreational flyers (49 USC 44809)",
    "Did the flight keep every rule for recreational flyers (49 USC 44809)?",
    ("recreation rules kept",),
)
ABROAD = Key(
    "abroad", bool, "incident", "outside the United States", "Was it outside the United States?", ("abroad",)
)
IN_OPERATION = Key(
    "in_operation",
    bool,
    "incident",
    "in flight, or switched on for a flight",
    "Was the aircraft in flight, or switched on for a flight?",
    ("in operation",),
)
NEAR_MISS = Key(
    "near_miss",
    bool,
    "incident",
    "near miss: it nearly went wrong, and nothing was hurt or hit",
    "Was it a near miss, with nobody hurt and nothing hit?",
    ("near miss",),
)
ANYONE_HURT = Key(
    "anyone_hurt",
    Hurt,
    "incident",
    "how badly anyone was hurt",
    "Was anyone hurt?",
    ("anyone hurt", "injuries"),
)
CONTROL_FAILED = Key(
    "control_failed",
    bool,
    "incident",
    "flight control system failed or malfunctioned",
    "Did the flight controls fail or malfunction?",
    ("control failed",),
)
FLEW_AWAY = Key(
    "flew_away",
    bool,
    "incident",
    "flew away out of control",
    "Did it fly away out of control?",
    ("flew away",),
)
CREW_UNABLE = Key(
    "crew_unable",
    bool,
    "incident",
    "pilot or crew unable to do their job, hurt or ill",
    "Was the pilot or another required crew member unable to go on, hurt or ill?",
    ("crew unable",),
)
FIRE_IN_FLIGHT = Key(
    "fire_in_flight", bool, "incident", "fire in flight", "Did it burn in the air?", ("fire in flight",)
)
COLLIDED = Key(
    "collided_in_flight",
    bool,
    "incident",
    "collision with another aircraft in flight",
    "Did it collide with another aircraft in flight?",
    ("collided in flight",),
)
BLADE_RELEASED = Key(
    "blade_released",
    bool,
    "incident",
    "part of a propeller blade came off, other than by hitting the ground",
    "Did part of a propeller come off in the air?",
    ("blade released",),
)
ROTOR_DAMAGED = Key(
    "rotor_damaged",
    bool,
    "incident",
    "main or tail rotor blades of a helicopter damaged",
    "Is it a helicopter whose main or tail rotor blades need replacing?",
    ("rotor damaged",),
)
AIRCRAFT_MISSING = Key(
    "aircraft_missing",
    bool,
    "incident",
    "aircraft overdue or missing, and believed to have crashed",
    "Is the aircraft missing?",
    ("aircraft missing", "missing"),
)
REST_OF_LIST = Key(
    "rest_of_list",
    bool,
    "incident",
    "another incident of 49 CFR 830.5(a): turbines, large aircraft, cockpit displays, alerts under IFR, air carriers",
    "Was it a turbine engine, a large aircraft, cockpit displays, a collision alert under IFR, or an air carrier?",
    ("rest of list",),
)
DEVIATED = Key(
    "deviated_in_emergency",
    bool,
    "incident",
    "broke a rule of Part 107 to meet an emergency in flight",
    "Did the pilot break a rule of Part 107 to meet an emergency in flight?",
    ("deviated in emergency",),
)
FAA_ASKED = Key(
    "faa_asked",
    bool,
    "incident",
    "FAA request for a report of the deviation",
    "Did the FAA ask for a report of that?",
    ("faa asked",),
)
PUBLIC_EMPLOYER = Key(
    "public_employer",
    bool,
    "incident",
    "employer is a state or local government",
    "Is the employer a state or local government?",
    ("public employer",),
)
EMPLOYEE_HARM = Key(
    "employee_harm",
    EmployeeHarm,
    "incident",
    "what happened to an employee",
    "Was an employee hurt?",
    ("employee harm",),
)
DEVIATION_SENT_ON = Key(
    "deviation_sent_on",
    date,
    "incident",
    "date the report of the deviation was sent",
    "When was the report of the deviation sent?",
    ("deviation sent on",),
)
HARMED_ON = Key(
    "harmed_on",
    date,
    "incident",
    "time of the death, the hospital admission, the amputation or the loss of the eye",
    "When did the employee die, or when was the employee admitted or hurt like that?",
    ("harmed on",),
    instants=True,
)
EMPLOYER_LEARNED_ON = Key(
    "employer_learned_on",
    date,
    "incident",
    "time the employer or an agent learned of it",
    "When did the employer, or anyone acting for it, learn of that?",
    ("employer learned on",),
    instants=True,
)
OSHA_TOLD_ON = Key(
    "osha_told_on",
    date,
    "incident",
    "time it was reported to OSHA",
    "When was it reported to OSHA?",
    ("osha told on",),
    instants=True,
)
NASA_LEARNED_ON = Key(
    "nasa_learned_on",
    date,
    "incident",
    "date the person learned that a rule may have been broken",
    "When did the person learn that a rule may have been broken?",
    ("nasa learned on",),
)
NASA_SENT_ON = Key(
    "nasa_sent_on",
    date,
    "incident",
    "date a safety report went to NASA",
    "When did a safety report go to NASA?",
    ("nasa sent on",),
)
AIRCRAFT_RELEASED_ON = Key(
    "aircraft_released_on",
    date,
    "incident",
    "date or time the aircraft was signed off after it",
    "When was the aircraft signed off after the incident?",
    ("aircraft released on", "signed off on"),
    instants=True,
)
AIRCRAFT_RELEASED_BY = Key(
    "aircraft_released_by",
    str,
    "incident",
    "who signed off the aircraft after it",
    "Who signed off the aircraft after the incident?",
    ("aircraft released by", "signed off by"),
    links_to="person",
)
INJURIES = Key(
    "injuries",
    str,
    "incident",
    "who was hurt, and how",
    "Who was hurt, and how?",
    ("who was hurt",),
    private=True,
)
PROPERTY_DAMAGED = Key(
    "property_damaged",
    str,
    "incident",
    "what was damaged, and whose it is",
    "What was damaged, and whose is it?",
    ("property", "property damage"),
)
NARRATIVE = Key(
    "narrative",
    str,
    "incident",
    "what happened, in order",
    "What happened, in your own words and in order?",
    ("narrative", "description"),
)
WITNESSES = Key(
    "witnesses",
    str,
    "incident",
    "witnesses, each with a phone number",
    "Who saw it? Give each phone number.",
    ("witness names",),
    private=True,
)
KEPT_AS_EVIDENCE = Key(
    "kept_as_evidence",
    tuple,
    "incident",
    "files kept as evidence, each with its hash",
    "Which files are kept as evidence?",
    ("evidence",),
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
    HAPPENED_TIME,
    INCIDENT_ZONE,
    INCIDENT_PLACE,
    INCIDENT_PILOT,
    INCIDENT_UNDER,
    RECREATION_RULES_KEPT,
    ABROAD,
    IN_OPERATION,
    NEAR_MISS,
    ANYONE_HURT,
    CONTROL_FAILED,
    FLEW_AWAY,
    CREW_UNABLE,
    FIRE_IN_FLIGHT,
    COLLIDED,
    BLADE_RELEASED,
    ROTOR_DAMAGED,
    AIRCRAFT_MISSING,
    REST_OF_LIST,
    DEVIATED,
    FAA_ASKED,
    PUBLIC_EMPLOYER,
    EMPLOYEE_HARM,
    DEVIATION_SENT_ON,
    HARMED_ON,
    EMPLOYER_LEARNED_ON,
    OSHA_TOLD_ON,
    NASA_LEARNED_ON,
    NASA_SENT_ON,
    AIRCRAFT_RELEASED_ON,
    AIRCRAFT_RELEASED_BY,
    INJURIES,
    PROPERTY_DAMAGED,
    NARRATIVE,
    WITNESSES,
    KEPT_AS_EVIDENCE,
)
