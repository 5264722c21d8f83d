"""Keys of an aircraft: what it is, its weight, its mark, its Remote ID and what became of it; and of the parts fitted to it."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from airwrit.base.identifiers import one_serial
from airwrit.facts.choices import MarkPlace, OperatedUnder, RemoteIdWay, UsedFor
from airwrit.facts.key import Key
from airwrit.facts.keys.service import SERVICE_KEYS

MAKER = Key(
    "maker",
    str,
    "aircraft",
    "maker",
    "Who made it?",
    ("maker", "manufacturer", "make", "brand", "built by"),
    lasting=True,
)
MODEL = Key(
    "model",
    str,
    "aircraft",
    "model",
    "Which model is it?",
    ("model", "type", "aircraft model", "make and model"),
    links_to="model",
    lasting=True,
)
AIRFRAME_SERIAL = Key(
    "airframe_serial",
    str,
    "aircraft",
    "airframe serial number",
    "What serial number is on the airframe?",
    (
        "airframe serial",
        "airframe serial number",
        "airframe s/n",
        "serial on airframe",
        "frame serial",
        "asset serial",
    ),
    digits=True,
    lasting=True,
)
USED_FOR = Key(
    "used_for",
    UsedFor,
    "aircraft",
    "use of the aircraft",
    "Is it flown for work, for recreation only, or for both?",
    ("used for", "use", "purpose", "flown for", "mission", "usage"),
)
OPERATED_UNDER = Key(
    "operated_under",
    OperatedUnder,
    "aircraft",
    "rules it is flown under, if not recreation",
    "Is it flown under Part 107, a public agency's COA, Part 91, Part 135, Part 137 or another country's law?",
    ("operated under", "flown under", "operating rules", "authority", "regime"),
)
ONLY_INDOORS = Key(
    "only_indoors",
    bool,
    "aircraft",
    "flown only inside a closed building",
    "Is it flown only inside a closed building with no way out?",
    ("indoors only", "indoor only", "only indoors"),
)
FLOWN_ABROAD = Key(
    "flown_abroad",
    bool,
    "aircraft",
    "flown outside US airspace",
    "Will it be flown outside US airspace?",
    ("flown abroad", "abroad", "used abroad"),
)
ARMED_FORCES = Key(
    "armed_forces",
    bool,
    "aircraft",
    "belongs to the US armed forces",
    "Does it belong to the US armed forces?",
    ("armed forces", "military"),
)
FOREIGN_REGISTRY = Key(
    "foreign_registry",
    bool,
    "aircraft",
    "registered in another country",
    "Is it registered in another country?",
    ("foreign registry", "registered abroad", "foreign registered"),
)
OWNER = Key(
    "owner",
    str,
    "aircraft",
    "owner",
    "Who owns it?",
    ("owner", "owned by", "aircraft owner", "property of", "belongs to"),
    links_to="owner",
)
HOLDER = Key(
    "holder",
    str,
    "aircraft",
    "who has the aircraft",
    "Who has it now?",
    ("holder", "kept by", "custodian", "assigned to", "issued to"),
)
IS_REGISTERED = Key(
    "is_registered",
    bool,
    "aircraft",
    "whether it is registered",
    "Is it registered?",
    ("registered", "is registered", "registered?"),
)
REGISTRATION = Key(
    "registration",
    str,
    "aircraft",
    "registration number",
    "What is its registration number?",
    (
        "registration",
        "registration number",
        "registration no",
        "reg number",
        "reg no",
        "reg #",
        "faa number",
        "faa registration",
        "faa registration number",
        "faa reg",
        "tail number",
        "certificate number of aircraft",
        "n-number",
        "n number",
        "fa number",
    ),
    links_to="registration",
)
APPLIED_ON = Key(
    "applied_on",
    date,
    "aircraft",
    "date of a pending Part 47 application",
    "When was the Part 47 application sent?",
    ("applied on", "application sent", "application date", "applied"),
    lasting=True,
)
RECOGNITION_HELD = Key(
    "recognition_held",
    bool,
    "aircraft",
    "FAA recognition of ownership for a foreign aircraft (48.125)",
    "Did the FAA issue the recognition of ownership?",
    ("recognition of ownership",),
)
NOTICE_FILED = Key(
    "notice_of_identification_filed",
    bool,
    "aircraft",
    "notice of identification for a foreign aircraft (89.130)",
    "Did you file the notice of identification?",
    ("notice of identification",),
)
SOLD_ON = Key(
    "sold_on",
    date,
    "aircraft",
    "date it was sold or given away",
    "When was it sold or given away?",
    ("sold on", "sold", "transferred on", "date sold", "disposed on"),
    lasting=True,
)
SOLD_UNDER = Key(
    "sold_under",
    str,
    "aircraft",
    "registration number when it was sold",
    "What registration number did it have when it was sold?",
    ("sold under", "number when sold", "registration when sold"),
    links_to="registration",
)
SOLD_UNDER_ON = Key(
    "sold_under_on",
    date,
    "aircraft",
    "date it was sold under its old number",
    "When was it sold under its old registration number?",
    ("sold under on",),
)
LOST_ON = Key(
    "lost_on",
    date,
    "aircraft",
    "date it was lost",
    "When was it lost?",
    ("lost on", "lost", "date lost"),
    lasting=True,
)
DESTROYED_ON = Key(
    "destroyed_on",
    date,
    "aircraft",
    "date it was destroyed or scrapped",
    "When was it destroyed or scrapped?",
    ("destroyed on", "destroyed", "scrapped on", "written off", "crashed on", "totaled"),
    lasting=True,
)
EXPORTED_ON = Key(
    "exported_on",
    date,
    "aircraft",
    "date it was exported",
    "When was it exported?",
    ("exported on", "exported"),
    lasting=True,
)

TAKEOFF_WEIGHT = Key(
    "takeoff_weight_g",
    Decimal,
    "aircraft",
    "takeoff weight with everything on it",
    "What does it weigh ready to fly, with everything on it?",
    (
        "takeoff weight",
        "take-off weight",
        "weight at takeoff",
        "all-up weight",
        "auw",
        "weight as flown",
        "flying weight",
        "weight with battery",
        "weight",
        "mass",
    ),
    unit="g",
)
BASE_WEIGHT = Key(
    "base_weight_g",
    Decimal,
    "aircraft",
    "weight ready to fly, without extra parts",
    "What does it weigh ready to fly, without the extra parts?",
    ("base weight", "bare weight", "weight without extras", "weight without accessories", "stock weight"),
    unit="g",
)
SCALE_ERROR = Key(
    "scale_error_g",
    Decimal,
    "aircraft",
    "scale error, plus or minus",
    "How far off may the scale be?",
    ("scale error", "scale accuracy", "scale +/-", "weighing error", "+/-"),
    unit="g",
)
WEIGHED_ON = Key(
    "weighed_on",
    date,
    "aircraft",
    "date it was last weighed",
    "When was it last weighed?",
    ("weighed on", "weighed", "date weighed", "last weighed"),
)
INSPECTED_ON = Key(
    "inspected_on",
    date,
    "aircraft",
    "date of its last inspection",
    "When was it last inspected?",
    ("inspected on", "inspected", "last inspection", "inspection date", "date inspected"),
)
FIRMWARE_ON = Key(
    "firmware_on",
    date,
    "aircraft",
    "date of its last firmware update",
    "When was its firmware last updated?",
    ("firmware updated on", "firmware date", "firmware updated", "last firmware update"),
)
FEDERAL_MONEY = Key(
    "federal_money",
    bool,
    "aircraft",
    "federal funding",
    "Was it bought, or is it operated, with federal money?",
    ("federal money", "federally funded", "federal funds", "federal grant"),
)

MARK_PLACE = Key(
    "mark_place",
    MarkPlace,
    "mark",
    "location of its registration number",
    "Where on the aircraft is the registration number?",
    (
        "mark",
        "marked",
        "marking",
        "mark place",
        "number shown",
        "label place",
        "where marked",
        "number on aircraft",
        "marked outside",
    ),
)
MARK_TEXT = Key(
    "mark_text",
    str,
    "mark",
    "number on the aircraft",
    "What number is on the aircraft?",
    ("mark text", "number on airframe", "marked number", "number read off aircraft"),
)
MARK_LEGIBLE = Key(
    "mark_legible",
    bool,
    "mark",
    "whether its number can be read",
    "Can you read the number on it?",
    ("legible", "mark legible", "readable"),
)

REMOTE_ID_WAY = Key(
    "remote_id_way",
    RemoteIdWay,
    "remote_id",
    "kind of Remote ID",
    "How does it meet Remote ID: standard, a broadcast module, only inside a FRIA, or not at all?",
    ("remote id", "remote id way", "rid", "remote id type", "remote id kind", "rid type"),
)
REMOTE_ID_SERIAL = Key(
    "remote_id_serial",
    str,
    "remote_id",
    "Remote ID serial number it broadcasts",
    "What serial number does its Remote ID broadcast?",
    (
        "remote id serial",
        "rid serial",
        "remote id serial number",
        "broadcast serial",
        "rid s/n",
        "remote id number",
        "module serial",
        "serial",
        "serial number",
        "s/n",
    ),
    one_form=one_serial,
    shared=True,
)
LISTED_SERIAL = Key(
    "listed_serial",
    str,
    "remote_id",
    "Remote ID serial number on its registration",
    "What Remote ID serial number is listed on its registration?",
    (
        "listed serial",
        "serial on registration",
        "serial on certificate",
        "rid serial on registration",
        "registered rid serial",
        "remote id on registration",
    ),
    one_form=one_serial,
    shared=True,
)
DECLARATION_ACCEPTED = Key(
    "declaration_accepted",
    bool,
    "remote_id",
    "FAA acceptance of its Remote ID",
    "Is its Remote ID on a declaration of compliance that the FAA accepted?",
    (
        "declaration accepted",
        "accepted declaration",
        "declaration of compliance",
        "rid accepted",
        "rid compliant",
    ),
)
KEPT_INSIDE_FRIA = Key(
    "kept_inside_fria",
    bool,
    "remote_id",
    "flown only inside the FRIA, in sight",
    "Is it flown only inside the FRIA, in sight, from takeoff to landing?",
    ("kept inside fria", "only inside fria", "fria only"),
)
FRIA_RECOGNIZED_ON = Key(
    "fria_recognized_on",
    date,
    "remote_id",
    "date the FAA recognized or renewed the FRIA",
    "When did the FAA recognize the FRIA or last renew it?",
    ("fria recognized on", "fria since", "fria date"),
    lasting=True,
)

PART_OF = Key(
    "part_of",
    str,
    "part",
    "aircraft the part is on",
    "Which aircraft is it on?",
    ("aircraft", "fitted to", "part of", "on aircraft", "installed on"),
    links_to="aircraft",
    lasting=True,
)
PART_NAME = Key(
    "part_name",
    str,
    "part",
    "part",
    "What is the part?",
    ("part", "part name", "item", "accessory", "extra", "equipment"),
    lasting=True,
)
PART_WEIGHT = Key(
    "part_weight_g",
    Decimal,
    "part",
    "weight of the part",
    "What does the part weigh?",
    ("part weight", "weight", "weight of part", "mass"),
    unit="g",
)
PART_SCALE_ERROR = Key(
    "part_scale_error_g",
    Decimal,
    "part",
    "scale error for the part, plus or minus",
    "How far off may the scale be?",
    ("scale error", "scale accuracy", "scale +/-", "weighing error", "+/-"),
    unit="g",
)

AIRCRAFT_KEYS: tuple[Key[Any], ...] = (
    MAKER,
    MODEL,
    AIRFRAME_SERIAL,
    USED_FOR,
    OPERATED_UNDER,
    ONLY_INDOORS,
    FLOWN_ABROAD,
    ARMED_FORCES,
    FOREIGN_REGISTRY,
    OWNER,
    HOLDER,
    IS_REGISTERED,
    REGISTRATION,
    APPLIED_ON,
    RECOGNITION_HELD,
    NOTICE_FILED,
    SOLD_ON,
    SOLD_UNDER,
    SOLD_UNDER_ON,
    LOST_ON,
    DESTROYED_ON,
    EXPORTED_ON,
    TAKEOFF_WEIGHT,
    BASE_WEIGHT,
    SCALE_ERROR,
    WEIGHED_ON,
    INSPECTED_ON,
    FIRMWARE_ON,
    FEDERAL_MONEY,
    MARK_PLACE,
    MARK_TEXT,
    MARK_LEGIBLE,
    REMOTE_ID_WAY,
    REMOTE_ID_SERIAL,
    LISTED_SERIAL,
    DECLARATION_ACCEPTED,
    KEPT_INSIDE_FRIA,
    FRIA_RECOGNIZED_ON,
    *SERVICE_KEYS,
)
PART_KEYS = (PART_OF, PART_NAME, PART_WEIGHT, PART_SCALE_ERROR)
