"""Keys of the authority a flight has: area and hours of the flight, and what a paper grants, for where, when and whom."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from airwrit.facts.flight_choices import PaperState
from airwrit.facts.key import Key

FLIGHT_AREA = Key(
    "flight_area",
    str,
    "site",
    "area of the flight: a place and how far around it, or the corners",
    "Which area do you fly? Write a place with a radius, or the corners with semicolons between.",
    ("flight area", "area of flight"),
)
FLIGHT_SOUTH = Key(
    "flight_south_deg",
    Decimal,
    "site",
    "southernmost latitude of the flight",
    "What is the southernmost latitude of the flight?",
    ("flight south",),
    unit="deg",
)
FLIGHT_NORTH = Key(
    "flight_north_deg",
    Decimal,
    "site",
    "northernmost latitude of the flight",
    "What is the northernmost latitude of the flight?",
    ("flight north",),
    unit="deg",
)
FLIGHT_WEST = Key(
    "flight_west_deg",
    Decimal,
    "site",
    "westernmost longitude of the flight",
    "What is the westernmost longitude of the flight?",
    ("flight west",),
    unit="deg",
)
FLIGHT_EAST = Key(
    "flight_east_deg",
    Decimal,
    "site",
    "easternmost longitude of the flight",
    "What is the easternmost longitude of the flight?",
    ("flight east",),
    unit="deg",
)
FLIGHT_STATES = Key(
    "flight_states",
    str,
    "site",
    "State the flight is in; commas between several",
    "Which State is the flight in? If it is in several, write them with commas between.",
    ("flight states", "state of flight"),
)
FLIGHT_STARTS = Key(
    "flight_starts_on",
    date,
    "flight",
    "first takeoff",
    "When is the first takeoff?",
    ("flight starts",),
    instants=True,
)
FLIGHT_ENDS = Key(
    "flight_ends_on",
    date,
    "flight",
    "last landing",
    "When is the last landing?",
    ("flight ends",),
    instants=True,
)
HEIGHT_SET = Key(
    "height_set_ft",
    Decimal,
    "flight",
    "height limit set on the controller",
    "What height limit is set on the controller?",
    ("height set", "height limit set"),
    unit="ft",
)
LOWEST_SETTING = Key(
    "lowest_height_setting_ft",
    Decimal,
    "aircraft",
    "lowest height limit the controller can be set to",
    "What is the lowest height limit the controller can be set to?",
    ("lowest height setting", "lowest height limit"),
    unit="ft",
)
CONDITIONS_KEPT = Key(
    "authorization_conditions_kept",
    bool,
    "flight",
    "whether every condition of the authorization is kept",
    "Is every condition of the authorization kept?",
    ("authorization conditions kept",),
)
HIGHEST_GROUND = Key(
    "highest_ground_ft",
    Decimal,
    "site",
    "highest ground under the flight, above sea level",
    "How high above sea level is the highest ground under the flight?",
    ("highest ground",),
    unit="ft",
)
EMERGENCY_RESTRICTION = Key(
    "emergency_restriction",
    bool,
    "site",
    "inside a disaster or wildfire restriction",
    "Is it inside a temporary restriction for a disaster or a wildfire?",
    ("emergency restriction", "disaster restriction"),
)
COMMANDER_SUPPORTS = Key(
    "incident_commander_supports",
    bool,
    "site",
    "incident commander supports the flight",
    "Does the incident commander support the flight?",
    ("incident commander supports",),
)
INSIDE_AUTHORIZED = Key(
    "inside_authorized_area",
    bool,
    "site",
    "whole flight inside the area of the authorization",
    "Is the whole area of the flight inside the area of the authorization?",
    ("inside authorized area",),
)
PAPER_STATE = Key(
    "paper_state",
    PaperState,
    "paper",
    "whether it was granted",
    "Was it requested, granted, denied or withdrawn?",
    ("paper state", "state of request", "request status"),
)
REQUESTED_ON = Key(
    "requested_on",
    date,
    "paper",
    "day it was requested",
    "When was it requested?",
    ("requested on", "requested", "applied on"),
)
AUTHORIZED_AREA = Key(
    "authorized_area",
    str,
    "paper",
    "area it covers: a place and how far around it, or the corners",
    "Which area does it cover? Write a place with a radius, or the corners with semicolons between.",
    ("authorized area", "area authorized"),
)
AUTHORIZED_ALTITUDE = Key(
    "authorized_altitude_ft",
    Decimal,
    "paper",
    "altitude limit in it, above sea level",
    "What altitude above sea level does it allow?",
    ("authorized altitude",),
    unit="ft",
)
AUTHORIZED_DISTANCE = Key(
    "authorized_distance_ft",
    Decimal,
    "paper",
    "distance limit in it, from the pilot",
    "How far from the pilot does it allow the aircraft to be?",
    ("authorized distance",),
    unit="ft",
)
PAPER_CONDITIONS = Key(
    "paper_conditions",
    str,
    "paper",
    "conditions written in it",
    "Which conditions are written in it?",
    ("conditions", "provisions", "special provisions"),
)
GRANTED_BY = Key(
    "granted_by",
    str,
    "paper",
    "office or person that granted it",
    "Who granted it? Write the office or the name.",
    ("granted by", "approved by", "issued by"),
)
PAPER_CURRENCY = Key(
    "paper_currency",
    str,
    "paper",
    "currency it asks of the pilot",
    "Which currency does it ask of the pilot? Write none if it asks for none.",
    ("coa currency", "pilot currency", "currency terms"),
)
CURRENCY_KEPT = Key(
    "coa_currency_kept",
    bool,
    "flight",
    "pilot is current by the COA's own terms",
    "Is the pilot current by the COA's own terms?",
    ("coa currency kept", "current by the coa"),
)
MITIGATIONS = Key(
    "mitigations",
    str,
    "flight",
    "how the flight is kept safe, for a request",
    "How do you keep it safe? For example an observer, lights, a closed site or a radio.",
    ("mitigations", "how it is kept safe"),
)

RULE_TEXT = Key(
    "rule_text",
    str,
    "paper",
    "land or local rule, in your words",
    "What does the landowner, the park, the city or the State say?",
    ("rule text", "local rule", "land rule"),
)
RULE_SOURCE = Key(
    "rule_source",
    str,
    "paper",
    "where you read or heard it",
    "Where did you read it, or who said so?",
    ("rule source", "source of the rule"),
)
RULE_READ = Key(
    "rule_read_on",
    date,
    "paper",
    "day you read or heard it",
    "When did you read or hear it?",
    ("rule read on", "rule looked up on"),
)

FLIGHT_AUTHORITY_KEYS = (
    FLIGHT_AREA,
    FLIGHT_SOUTH,
    FLIGHT_NORTH,
    FLIGHT_WEST,
    FLIGHT_EAST,
    FLIGHT_STATES,
    FLIGHT_STARTS,
    FLIGHT_ENDS,
    HEIGHT_SET,
    LOWEST_SETTING,
    CONDITIONS_KEPT,
    HIGHEST_GROUND,
    EMERGENCY_RESTRICTION,
    COMMANDER_SUPPORTS,
    INSIDE_AUTHORIZED,
    PAPER_STATE,
    REQUESTED_ON,
    AUTHORIZED_AREA,
    AUTHORIZED_ALTITUDE,
    AUTHORIZED_DISTANCE,
    PAPER_CONDITIONS,
    GRANTED_BY,
    PAPER_CURRENCY,
    CURRENCY_KEPT,
    MITIGATIONS,
    RULE_TEXT,
    RULE_SOURCE,
    RULE_READ,
)
