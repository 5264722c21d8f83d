"""Keys of a flight over people, of its Remote ID while it flies, and of the papers at hand."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from airwrit.facts.flight_choices import Category, OverAssembly, PeopleBelow
from airwrit.facts.key import Key

SEVERAL_AT_ONCE = Key(
    "several_at_once",
    bool,
    "crew",
    "one person flies or commands several aircraft at once",
    "Does one person fly, command or observe several aircraft at once?",
    ("several at once",),
)
INTERFERES = Key(
    "interferes_with_airport",
    bool,
    "flight",
    "interferes with operations or traffic patterns at an airport, heliport or seaplane base",
    "Does it interfere with operations or traffic patterns at an airport, heliport or seaplane base?",
    ("interferes with airport",),
)
OBSERVER_USED = Key(
    "observer_used",
    bool,
    "crew",
    "a visual observer is used",
    "Is a visual observer used?",
    ("observer used",),
)
OBSERVER_ABLE = Key(
    "observer_able",
    bool,
    "crew",
    "the observer sees the aircraft unaided, scans, and can talk with the pilot",
    "Can the observer see the aircraft unaided, scan, and talk with the pilot?",
    ("observer able",),
)
CONDITION_CHECKED = Key(
    "condition_checked",
    bool,
    "flight",
    "checked before the flight to be in safe condition",
    "Was it checked before the flight to be in safe condition?",
    ("condition checked",),
)
PREFLIGHT_DONE = Key(
    "preflight_done",
    bool,
    "flight",
    "weather, airspace, people below and hazards looked at, all briefed, links and power checked, loads secure",
    "Were weather, airspace, people below and hazards looked at, all briefed, links and power checked, loads secure?",
    ("preflight done",),
)
HOURS_SINCE_DRINK = Key(
    "hours_since_drink",
    Decimal,
    "crew",
    "hours since anybody of the crew last drank alcohol",
    "How many hours ago did anybody of the crew last drink alcohol?",
    ("hours since drink",),
    private=True,
)
CREW_FIT = Key(
    "crew_fit",
    bool,
    "crew",
    "nobody of the crew has a condition, drug or alcohol level that would interfere",
    "Is everybody of the crew free of any condition, drug or alcohol that would interfere?",
    ("crew fit",),
    private=True,
)
PEOPLE_BELOW = Key(
    "people_below",
    PeopleBelow,
    "site",
    "who is below at any time, the least protected",
    "Who is below at any time, the least protected of all?",
    ("people below",),
)
CATEGORY = Key(
    "over_people_category",
    Category,
    "flight",
    "the category it is flown under over people",
    "Under which category is it flown over people?",
    ("over people category", "category"),
)
CUTTING_PARTS = Key(
    "cutting_parts",
    bool,
    "flight",
    "exposed rotating parts that would cut skin, by the maker's word or a test",
    "Has it exposed rotating parts that would cut skin, by the maker's word or a test?",
    ("cutting parts", "lacerating parts"),
)
CATEGORY_DECLARED = Key(
    "category_declared",
    bool,
    "flight",
    "on a declaration of compliance the FAA accepted for this category",
    "Is it on a declaration for this category that the FAA accepted?",
    ("category declared",),
)
CATEGORY_LABEL = Key(
    "category_label",
    bool,
    "flight",
    "the category's label is on it and can be read",
    "Is the category's label on it, and can it be read?",
    ("category label",),
)
OVER_ASSEMBLY = Key(
    "over_assembly",
    OverAssembly,
    "site",
    "flight over an open-air assembly of people",
    "Is it flown over an open-air assembly of people: not at all, passing over it once, or sustained?",
    ("over assembly",),
)
FLIGHT_CERTIFICATED = Key(
    "flight_certificated",
    bool,
    "flight",
    "the aircraft holds an airworthiness certificate",
    "Does the aircraft hold an airworthiness certificate?",
    ("airworthiness certificate",),
)
CLOSED_SITE = Key(
    "closed_site",
    bool,
    "site",
    "a closed or restricted site where everybody has notice",
    "Is the site closed or restricted, and has everybody there notice of the flight?",
    ("closed site",),
)
SUSTAINED = Key(
    "sustained_over_people",
    bool,
    "flight",
    "sustained flight over people who take no part",
    "Is it flown over people who take no part, other than passing over them once?",
    ("sustained over people",),
)
OVER_VEHICLES = Key(
    "over_moving_vehicles",
    bool,
    "flight",
    "over people in moving vehicles",
    "Is it flown over people in moving vehicles?",
    ("over moving vehicles",),
)
SUSTAINED_VEHICLES = Key(
    "sustained_over_vehicles",
    bool,
    "flight",
    "sustained flight over moving vehicles",
    "Is it flown over moving vehicles, other than passing over them once?",
    ("sustained over vehicles",),
)
BROADCASTS = Key(
    "broadcasts",
    bool,
    "flight",
    "its Remote ID works from takeoff to shutdown",
    "Does its Remote ID work from takeoff to shutdown?",
    ("broadcasts", "remote id works"),
)
BROADCAST_FAILED = Key(
    "broadcast_failed_on",
    date,
    "flight",
    "moment its Remote ID stopped working in flight",
    "When did its Remote ID stop working in flight?",
    ("broadcast failed",),
    instants=True,
)
LANDED_PROMPTLY = Key(
    "landed_promptly",
    bool,
    "flight",
    "landed as soon as practicable after that",
    "Was it landed as soon as practicable after that?",
    ("landed promptly",),
)
INSIDE_FRIA = Key(
    "inside_fria",
    bool,
    "site",
    "inside a recognized identification area all through",
    "Is it inside a recognized identification area all through?",
    ("inside fria",),
)
ADS_B_TRANSMITS = Key(
    "ads_b_transmits",
    bool,
    "flight",
    "a transponder or ADS-B Out on board transmits",
    "Does a transponder or ADS-B Out on board transmit?",
    ("ads-b transmits",),
)
ADS_B_AUTHORIZED = Key(
    "ads_b_authorized",
    bool,
    "flight",
    "the FAA authorized that it transmits",
    "Did the FAA authorize it to transmit?",
    ("ads-b authorized",),
)
CARD_AT_HAND = Key(
    "card_at_hand",
    bool,
    "crew",
    "the remote pilot certificate itself, no picture of it, is at hand",
    "Is the remote pilot certificate itself at hand, not a picture of it?",
    ("card at hand",),
)
ID_AT_HAND = Key(
    "id_at_hand",
    bool,
    "crew",
    "identification with photograph, signature, birthday and address is at hand",
    "Is identification with photograph, signature, birthday and address at hand?",
    ("id at hand",),
)
REGISTRATION_CARRIED = Key(
    "registration_carried",
    bool,
    "flight",
    "the aircraft's registration is at hand, on paper or as a file",
    "Is the aircraft's registration at hand, on paper or as a file?",
    ("registration carried",),
)

FLIGHT_PEOPLE_KEYS = (
    SEVERAL_AT_ONCE,
    INTERFERES,
    OBSERVER_USED,
    OBSERVER_ABLE,
    CONDITION_CHECKED,
    PREFLIGHT_DONE,
    HOURS_SINCE_DRINK,
    CREW_FIT,
    PEOPLE_BELOW,
    CATEGORY,
    CUTTING_PARTS,
    CATEGORY_DECLARED,
    CATEGORY_LABEL,
    OVER_ASSEMBLY,
    FLIGHT_CERTIFICATED,
    CLOSED_SITE,
    SUSTAINED,
    OVER_VEHICLES,
    SUSTAINED_VEHICLES,
    BROADCASTS,
    BROADCAST_FAILED,
    LANDED_PROMPTLY,
    INSIDE_FRIA,
    ADS_B_TRANSMITS,
    ADS_B_AUTHORIZED,
    CARD_AT_HAND,
    ID_AT_HAND,
    REGISTRATION_CARRIED,
)
