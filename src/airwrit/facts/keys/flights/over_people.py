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
    "one person flies several aircraft at once",
    "Does one person fly, command or observe several aircraft at once?",
    ("several at once",),
)
INTERFERES = Key(
    "interferes_with_airport",
    bool,
    "flight",
    "interferes with an airport, heliport or seaplane base",
    "Does it interfere with operations or traffic patterns at an airport, heliport or seaplane base?",
    ("interferes with airport",),
)
OBSERVER_USED = Key(
    "observer_used",
    bool,
    "crew",
    "visual observer used",
    "Is there a visual observer?",
    ("observer used",),
)
OBSERVER_ABLE = Key(
    "observer_able",
    bool,
    "crew",
    "visual observer sees the aircraft, scans and talks with the pilot",
    "Can the observer see the aircraft unaided, scan, and talk with the pilot?",
    ("observer able",),
)
CONDITION_CHECKED = Key(
    "condition_checked",
    bool,
    "flight",
    "preflight inspection",
    "Did you inspect it before the flight and find it safe?",
    ("condition checked",),
)
PREFLIGHT_DONE = Key(
    "preflight_done",
    bool,
    "flight",
    "preflight actions",
    "Did you check weather, airspace, people, hazards, links, power and loads, and brief everyone?",
    ("preflight done",),
)
HOURS_SINCE_DRINK = Key(
    "hours_since_drink",
    Decimal,
    "crew",
    "hours since anyone on the crew last drank alcohol",
    "How many hours ago did anyone on the crew last drink alcohol?",
    ("hours since drink",),
    private=True,
)
CREW_FIT = Key(
    "crew_fit",
    bool,
    "crew",
    "crew free of conditions, drugs and alcohol that would interfere",
    "Is everyone on the crew free of any condition, drug or alcohol that would interfere?",
    ("crew fit",),
    private=True,
)
PEOPLE_BELOW = Key(
    "people_below",
    PeopleBelow,
    "site",
    "who is below, least protected first",
    "Who is below at any time? If several, pick the least protected.",
    ("people below",),
)
CATEGORY = Key(
    "over_people_category",
    Category,
    "flight",
    "category for flying over people",
    "Which category is it flown under over people or moving vehicles?",
    ("over people category", "category"),
)
CUTTING_PARTS = Key(
    "cutting_parts",
    bool,
    "flight",
    "exposed rotating parts that would cut skin",
    "Does it have exposed rotating parts that would cut skin, by a test or the maker's word?",
    ("cutting parts", "lacerating parts"),
)
CATEGORY_DECLARED = Key(
    "category_declared",
    bool,
    "flight",
    "FAA-accepted declaration for this category",
    "Is it on a declaration for this category that the FAA accepted?",
    ("category declared",),
)
CATEGORY_LABEL = Key(
    "category_label",
    bool,
    "flight",
    "readable category label",
    "Is the category label on it, and can you read it?",
    ("category label",),
)
OVER_ASSEMBLY = Key(
    "over_assembly",
    OverAssembly,
    "site",
    "flight over an open-air assembly of people",
    "Does it fly over an open-air assembly of people: never, just passing, or sustained?",
    ("over assembly",),
)
FLIGHT_CERTIFICATED = Key(
    "flight_certificated",
    bool,
    "flight",
    "airworthiness certificate",
    "Does the aircraft have an airworthiness certificate?",
    ("airworthiness certificate",),
)
CLOSED_SITE = Key(
    "closed_site",
    bool,
    "site",
    "closed or restricted site where everyone was notified",
    "Is the site closed or restricted, and was everyone there notified of the flight?",
    ("closed site",),
)
SUSTAINED = Key(
    "sustained_over_people",
    bool,
    "flight",
    "sustained flight over people who aren't taking part",
    "Does it fly over people who aren't taking part, other than just passing?",
    ("sustained over people",),
)
OVER_VEHICLES = Key(
    "over_moving_vehicles",
    bool,
    "flight",
    "over moving vehicles with people in them",
    "Does it fly over moving vehicles with people in them?",
    ("over moving vehicles",),
)
SUSTAINED_VEHICLES = Key(
    "sustained_over_vehicles",
    bool,
    "flight",
    "sustained flight over moving vehicles",
    "Does it fly over moving vehicles, other than just passing?",
    ("sustained over vehicles",),
)
BROADCASTS = Key(
    "broadcasts",
    bool,
    "flight",
    "Remote ID works from takeoff to shutdown",
    "Does its Remote ID work from takeoff to shutdown?",
    ("broadcasts", "remote id works"),
)
BROADCAST_FAILED = Key(
    "broadcast_failed_on",
    date,
    "flight",
    "time its Remote ID failed in flight",
    "When did its Remote ID fail in flight?",
    ("broadcast failed",),
    instants=True,
)
LANDED_PROMPTLY = Key(
    "landed_promptly",
    bool,
    "flight",
    "landed as soon as practicable after that",
    "Did it land as soon as practicable after that?",
    ("landed promptly",),
)
INSIDE_FRIA = Key(
    "inside_fria",
    bool,
    "site",
    "inside a FRIA the whole time",
    "Is it inside a FRIA the whole time?",
    ("inside fria",),
)
ADS_B_TRANSMITS = Key(
    "ads_b_transmits",
    bool,
    "flight",
    "transponder or ADS-B Out transmits",
    "Does a transponder or ADS-B Out on board transmit?",
    ("ads-b transmits",),
)
ADS_B_AUTHORIZED = Key(
    "ads_b_authorized",
    bool,
    "flight",
    "FAA authorization to transmit",
    "Did the FAA authorize it to transmit?",
    ("ads-b authorized",),
)
CARD_AT_HAND = Key(
    "card_at_hand",
    bool,
    "crew",
    "remote pilot certificate with you",
    "Do you have the remote pilot certificate itself with you, not a picture of it?",
    ("card at hand",),
)
ID_AT_HAND = Key(
    "id_at_hand",
    bool,
    "crew",
    "ID with photo, signature, birthday and address",
    "Do you have an ID with photo, signature, birthday and address with you?",
    ("id at hand",),
)
REGISTRATION_CARRIED = Key(
    "registration_carried",
    bool,
    "flight",
    "registration with you, on paper or as a file",
    "Do you have the aircraft's registration with you, on paper or as a file?",
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
