"""Keys of what a program keeps to plan its flights by: checklists, saved sites; and of a flight planned with them."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from airwrit.facts.key import Key

CHECKLIST_MODEL = Key(
    "checklist_model",
    str,
    "checklist",
    "aircraft model it is for",
    "Which aircraft model is it for? Leave it out if it is for all.",
    ("checklist model",),
)
CHECKLIST_EDITION = Key(
    "checklist_edition",
    str,
    "checklist",
    "edition of the checklist",
    "Which edition is it?",
    ("checklist edition",),
)
CHECKLIST_LINES = Key(
    "checklist_lines",
    str,
    "checklist",
    "its lines, in order",
    "What are its lines? Write one to a line, or semicolons between.",
    ("checklist lines",),
)

SITE_AREA = Key(
    "site_area",
    str,
    "saved_site",
    "area of the site",
    "Which area is it? A place with a radius, or corners.",
    ("site area",),
)
SITE_GROUND = Key(
    "site_ground_ft",
    Decimal,
    "saved_site",
    "highest ground under it, above sea level",
    "How high is the highest ground under it, above sea level?",
    ("site ground",),
    unit="ft",
)
SITE_TAKEOFF = Key(
    "site_takeoff",
    str,
    "saved_site",
    "takeoff point",
    "Where do you take off there? Latitude and longitude.",
    ("site takeoff",),
)
SITE_NOTES = Key(
    "site_notes",
    str,
    "saved_site",
    "notes about the site",
    "What should a pilot know about it?",
    ("site notes",),
)

HAZARDS = Key(
    "hazards",
    str,
    "flight",
    "hazards, with what was done about them",
    "What can go wrong, and what was done about it?",
    ("hazards",),
)
RISK_APPROVED_BY = Key(
    "risk_approved_by",
    str,
    "flight",
    "who approved the risk assessment",
    "Who approved the risk assessment?",
    ("risk approved by",),
)
RISK_APPROVAL_ENDS = Key(
    "risk_approval_ends_on",
    date,
    "flight",
    "last day the approval of the risk assessment is good",
    "What is the last day the approval of the risk assessment is good?",
    ("risk approval ends",),
)
TAKEOFF_PLACE = Key(
    "takeoff_place",
    str,
    "flight",
    "takeoff point",
    "Where does it take off? Latitude and longitude.",
    ("takeoff place",),
)
FARTHEST_OUT = Key(
    "farthest_out_ft",
    Decimal,
    "flight",
    "farthest it gets from the takeoff point",
    "How far does it get from the takeoff point, at most?",
    ("farthest out",),
    unit="ft",
)
FARTHEST_FROM_PILOT = Key(
    "farthest_from_pilot_ft",
    Decimal,
    "flight",
    "farthest it gets from the pilot",
    "How far does it get from the pilot, at most?",
    ("farthest from pilot",),
    unit="ft",
)
EDGE_OUT = Key(
    "edge_out_ft",
    Decimal,
    "flight",
    "distance from the takeoff point to the edge of the area, at least",
    "How far is the edge of the area from the takeoff point, at least?",
    ("edge out",),
    unit="ft",
)
BATTERY_RESERVE = Key(
    "battery_reserve_percent",
    Decimal,
    "flight",
    "battery left at landing, at least",
    "How much of the battery has to be left at landing?",
    ("battery reserve", "reserve"),
    unit="percent",
)
STRUCTURE_PLACE = Key(
    "structure_place",
    str,
    "flight",
    "position of the nearby structure",
    "Where is the structure beside it? Latitude and longitude.",
    ("structure place",),
)
CHECKLIST_TICKED = Key(
    "checklist_ticked",
    str,
    "flight",
    "checklist items checked off",
    "Which checklist items are checked off?",
    ("checklist ticked",),
)
ACCEPTED_BY = Key(
    "accepted_by", str, "flight", "who released the flight", "Who released the flight?", ("accepted by",)
)
ACCEPTED_ON = Key(
    "accepted_on",
    date,
    "flight",
    "time the flight was released",
    "When was the flight released?",
    ("accepted",),
    instants=True,
)
FLOWN_AGAINST = Key(
    "flown_against",
    str,
    "flight",
    "why it was flown although the answer wasn't OK",
    "Why was it flown although the answer wasn't OK?",
    ("flown against",),
)

CHECKLIST_KEYS = (CHECKLIST_MODEL, CHECKLIST_EDITION, CHECKLIST_LINES)
SAVED_SITE_KEYS = (SITE_AREA, SITE_GROUND, SITE_TAKEOFF, SITE_NOTES)
FLIGHT_PLANNING_KEYS = (
    HAZARDS,
    RISK_APPROVED_BY,
    RISK_APPROVAL_ENDS,
    TAKEOFF_PLACE,
    FARTHEST_OUT,
    FARTHEST_FROM_PILOT,
    EDGE_OUT,
    BATTERY_RESERVE,
    STRUCTURE_PLACE,
    CHECKLIST_TICKED,
    ACCEPTED_BY,
    ACCEPTED_ON,
    FLOWN_AGAINST,
)
