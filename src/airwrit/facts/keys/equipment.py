"""Keys of a battery, of a model, and of a configuration.

A battery: what it is, what was measured on it and when, and what became of it. A model: what holds for all of its aircraft or
batteries. A configuration: an aircraft with its battery and payload, and what that weighs at takeoff.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import Any

from airwrit.facts.choices import RemoteIdWay
from airwrit.facts.key import Key


class BatteryChemistry(StrEnum):
    """What the cells of a battery are."""

    LIPO = "LiPo"
    LIHV = "LiHV"
    LI_ION = "Li-ion"
    LIFE = "LiFePO4"
    NIMH = "NiMH"
    OTHER = "other"


BATTERY_SERIAL = Key(
    "battery_serial",
    str,
    "battery",
    "battery serial number",
    "What serial number is on the battery?",
    ("battery serial", "serial", "serial number", "s/n"),
    digits=True,
    lasting=True,
)
BATTERY_MODEL = Key(
    "battery_model",
    str,
    "battery",
    "battery model",
    "Which model of battery is it?",
    ("battery model", "model", "type"),
    links_to="model",
    lasting=True,
)
BATTERY_CHEMISTRY = Key(
    "battery_chemistry",
    BatteryChemistry,
    "battery",
    "battery chemistry",
    "Which chemistry is it: LiPo, LiHV, Li-ion, LiFePO4, NiMH or other?",
    ("chemistry", "battery chemistry", "cell type"),
    lasting=True,
)
CAPACITY_NEW = Key(
    "capacity_new_mah",
    Decimal,
    "battery",
    "capacity when new",
    "What capacity did it have when it was new?",
    ("capacity new", "capacity", "rated capacity", "nominal capacity"),
    unit="mAh",
    lasting=True,
)
BATTERY_ENERGY = Key(
    "battery_energy_wh",
    Decimal,
    "battery",
    "energy on its label",
    "How many watt-hours are on its label?",
    ("energy", "watt hours", "wh"),
    unit="Wh",
    lasting=True,
)
PAIRED_AIRCRAFT = Key(
    "paired_aircraft",
    str,
    "battery",
    "aircraft it is kept for",
    "Which aircraft is it kept for?",
    ("paired aircraft", "aircraft", "paired with"),
    links_to="aircraft",
)
BATTERY_SINCE = Key(
    "battery_since_on",
    date,
    "battery",
    "date it went into service",
    "When did it go into service?",
    ("in service since", "in service from", "first used"),
    lasting=True,
)
CYCLES_READ = Key(
    "cycles_read",
    Decimal,
    "battery",
    "cycle count read off it",
    "How many charge cycles does the battery itself show?",
    ("cycles", "cycle count", "charge cycles"),
)
CYCLES_READ_ON = Key(
    "cycles_read_on",
    date,
    "battery",
    "date its cycle count was read",
    "When was its cycle count read?",
    ("cycles read on", "cycle count on"),
)
CAPACITY_MEASURED = Key(
    "capacity_measured_mah",
    Decimal,
    "battery",
    "measured capacity",
    "What capacity was measured?",
    ("measured capacity", "capacity now", "actual capacity"),
    unit="mAh",
)
CAPACITY_MEASURED_ON = Key(
    "capacity_measured_on",
    date,
    "battery",
    "date its capacity was measured",
    "When was its capacity measured?",
    ("capacity measured on", "measured on", "capacity test date"),
)
SWELLING = Key(
    "swelling",
    bool,
    "battery",
    "swelling",
    "Is the battery swollen or puffy?",
    ("swelling", "swollen", "puffy"),
)
BATTERY_CHECKED_ON = Key(
    "battery_checked_on",
    date,
    "battery",
    "date it was last looked over",
    "When was the battery last looked over?",
    ("battery checked on", "checked on", "last check", "last inspection"),
)
STORAGE_CHARGE = Key(
    "storage_charge_percent",
    Decimal,
    "battery",
    "charge it is stored at",
    "At what charge is it stored?",
    ("storage charge", "stored at", "charge"),
    unit="percent",
)
CHARGE_READ_ON = Key(
    "charge_read_on",
    date,
    "battery",
    "date its charge was read",
    "When was its charge read?",
    ("charge read on", "charge checked on"),
)
BATTERY_DAMAGED_ON = Key(
    "battery_damaged_on",
    date,
    "battery",
    "date it was found damaged",
    "When was the battery found damaged?",
    ("damaged on", "damaged"),
)
BATTERY_DAMAGE = Key(
    "battery_damage",
    str,
    "battery",
    "damage to the battery",
    "What is wrong with the battery?",
    ("damage", "battery damage", "what is wrong"),
)
BATTERY_CLEARED_ON = Key(
    "battery_cleared_on",
    date,
    "battery",
    "date it was checked and cleared to fly",
    "When was it checked after the damage and cleared to fly?",
    ("cleared on", "cleared to fly on"),
)
BATTERY_CLEARED_BY = Key(
    "battery_cleared_by",
    str,
    "battery",
    "who cleared it to fly",
    "Who cleared the battery to fly?",
    ("cleared by", "cleared to fly by"),
    links_to="person",
)
BATTERY_SHIPPED_ON = Key(
    "battery_shipped_on",
    date,
    "battery",
    "date it was shipped",
    "When was the battery shipped?",
    ("shipped on", "shipped"),
)
BATTERY_SHIPPED_TO = Key(
    "battery_shipped_to",
    str,
    "battery",
    "where it was shipped",
    "Where was the battery shipped?",
    ("shipped to", "sent to"),
)
BATTERY_RETIRED_ON = Key(
    "battery_retired_on",
    date,
    "battery",
    "date it was retired",
    "When was the battery retired?",
    ("retired on", "retired"),
    lasting=True,
)
BATTERY_RETIRED_WHY = Key(
    "battery_retired_why",
    str,
    "battery",
    "why it was retired",
    "Why was the battery retired?",
    ("retired because", "reason retired", "why retired"),
)
BATTERY_WEIGHT = Key(
    "battery_weight_g",
    Decimal,
    "battery",
    "weight of the battery",
    "What does the battery weigh?",
    ("battery weight", "weight", "mass"),
    unit="g",
)
BATTERY_SCALE_ERROR = Key(
    "battery_scale_error_g",
    Decimal,
    "battery",
    "scale error for the battery, plus or minus",
    "How far off may the scale be?",
    ("scale error", "scale accuracy", "scale +/-", "+/-"),
    unit="g",
)

MODEL_MAKER = Key(
    "model_maker",
    str,
    "model",
    "maker of the model",
    "Who makes this model?",
    ("maker", "manufacturer", "model maker"),
    lasting=True,
)
MODEL_WEIGHT = Key(
    "model_weight_g",
    Decimal,
    "model",
    "weight ready to fly, by the maker",
    "What does the maker say it weighs ready to fly, with the usual battery?",
    ("model weight", "weight", "takeoff weight"),
    unit="g",
)
MODEL_MAX_WEIGHT = Key(
    "model_max_weight_g",
    Decimal,
    "model",
    "maximum takeoff weight, by the maker",
    "What maximum takeoff weight does the maker give?",
    ("maximum takeoff weight", "max takeoff weight", "mtow"),
    unit="g",
)
MODEL_REMOTE_ID_WAY = Key(
    "model_remote_id_way",
    RemoteIdWay,
    "model",
    "kind of Remote ID on the model",
    "How does this model meet Remote ID when it is new?",
    ("remote id", "remote id built in"),
)
MODEL_DECLARATION_ACCEPTED = Key(
    "model_declaration_accepted",
    bool,
    "model",
    "FAA acceptance of the model's Remote ID",
    "Is this model's Remote ID on a declaration of compliance that the FAA accepted?",
    ("declaration accepted", "declaration of compliance"),
)
MODEL_WIND_LIMIT = Key(
    "model_wind_limit_kt",
    Decimal,
    "model",
    "wind limit, by the maker",
    "What is the strongest wind the maker allows?",
    ("wind limit", "max wind", "wind resistance"),
    unit="kt",
)
MODEL_GUST_LIMIT = Key(
    "model_gust_limit_kt",
    Decimal,
    "model",
    "gust limit, by the maker",
    "What are the strongest gusts the maker allows, if that differs from the wind limit?",
    ("gust limit", "max gust"),
    unit="kt",
)
MODEL_IN_RAIN = Key(
    "model_in_rain",
    bool,
    "model",
    "whether it may fly in rain, by the maker",
    "Does the maker allow flight in rain?",
    ("rain", "flies in rain", "rain allowed"),
)
MODEL_COLD_LIMIT = Key(
    "model_cold_limit_degc",
    Decimal,
    "model",
    "lowest temperature, by the maker",
    "What is the lowest temperature the maker allows?",
    ("lowest temperature", "cold limit", "min temperature"),
    unit="°C",
)
MODEL_HEAT_LIMIT = Key(
    "model_heat_limit_degc",
    Decimal,
    "model",
    "highest temperature, by the maker",
    "What is the highest temperature the maker allows?",
    ("highest temperature", "heat limit", "max temperature"),
    unit="°C",
)
MODEL_AIRSPEED = Key(
    "model_airspeed_kt",
    Decimal,
    "model",
    "cruise speed through the air",
    "How fast does it fly through the air, without wind?",
    ("airspeed", "cruise speed"),
    unit="kt",
)
MODEL_FLIGHT_TIME = Key(
    "model_flight_time_min",
    Decimal,
    "model",
    "flight time on a full battery",
    "How many minutes does it fly on a full battery?",
    ("flight time", "endurance", "battery time"),
    unit="min",
)

CONFIGURATION_OF = Key(
    "configuration_of",
    str,
    "configuration",
    "aircraft in this configuration",
    "Which aircraft is it?",
    ("configuration of", "aircraft"),
    links_to="aircraft",
    lasting=True,
)
CONFIGURATION_BATTERY = Key(
    "configuration_battery",
    str,
    "configuration",
    "battery in this configuration",
    "Which battery is in it?",
    ("configuration battery", "battery"),
    links_to="battery",
)
PAYLOAD = Key(
    "payload",
    str,
    "configuration",
    "payload in this configuration",
    "What does it carry?",
    ("payload", "carries"),
)
CONFIGURATION_WEIGHT = Key(
    "configuration_weight_g",
    Decimal,
    "configuration",
    "takeoff weight in this configuration",
    "What does it weigh ready to fly in this configuration?",
    ("configuration weight", "takeoff weight", "weight"),
    unit="g",
)
CONFIGURATION_SCALE_ERROR = Key(
    "configuration_scale_error_g",
    Decimal,
    "configuration",
    "scale error for the configuration, plus or minus",
    "How far off may the scale be?",
    ("scale error", "scale +/-", "+/-"),
    unit="g",
)
BARE_WEIGHT = Key(
    "bare_weight_g",
    Decimal,
    "configuration",
    "weight of the aircraft without battery and payload",
    "What does the aircraft weigh without battery and payload?",
    ("bare weight", "empty weight"),
    unit="g",
)
CONFIGURATION_WEIGHED_ON = Key(
    "configuration_weighed_on",
    date,
    "configuration",
    "date the configuration was weighed",
    "When was this configuration weighed?",
    ("weighed on", "configuration weighed on"),
)
PAYLOAD_WEIGHT = Key(
    "payload_weight_g",
    Decimal,
    "configuration",
    "weight of the payload",
    "What does the payload weigh?",
    ("payload weight",),
    unit="g",
)
PAYLOAD_SCALE_ERROR = Key(
    "payload_scale_error_g",
    Decimal,
    "configuration",
    "scale error for the payload, plus or minus",
    "How far off may the scale be for the payload?",
    ("payload scale error",),
    unit="g",
)

FLOWN_CONFIGURATION = Key(
    "flown_configuration",
    str,
    "flight",
    "configuration it is flown in",
    "Which configuration is it flown in (battery and payload)?",
    ("flown configuration", "configuration"),
    links_to="configuration",
)

BATTERY_KEYS: tuple[Key[Any], ...] = (
    BATTERY_SERIAL,
    BATTERY_MODEL,
    BATTERY_CHEMISTRY,
    CAPACITY_NEW,
    BATTERY_ENERGY,
    PAIRED_AIRCRAFT,
    BATTERY_SINCE,
    CYCLES_READ,
    CYCLES_READ_ON,
    CAPACITY_MEASURED,
    CAPACITY_MEASURED_ON,
    SWELLING,
    BATTERY_CHECKED_ON,
    STORAGE_CHARGE,
    CHARGE_READ_ON,
    BATTERY_DAMAGED_ON,
    BATTERY_DAMAGE,
    BATTERY_CLEARED_ON,
    BATTERY_CLEARED_BY,
    BATTERY_SHIPPED_ON,
    BATTERY_SHIPPED_TO,
    BATTERY_RETIRED_ON,
    BATTERY_RETIRED_WHY,
    BATTERY_WEIGHT,
    BATTERY_SCALE_ERROR,
)
MODEL_KEYS: tuple[Key[Any], ...] = (
    MODEL_MAKER,
    MODEL_WEIGHT,
    MODEL_MAX_WEIGHT,
    MODEL_REMOTE_ID_WAY,
    MODEL_DECLARATION_ACCEPTED,
    MODEL_WIND_LIMIT,
    MODEL_GUST_LIMIT,
    MODEL_IN_RAIN,
    MODEL_COLD_LIMIT,
    MODEL_HEAT_LIMIT,
    MODEL_AIRSPEED,
    MODEL_FLIGHT_TIME,
)
CONFIGURATION_KEYS: tuple[Key[Any], ...] = (
    CONFIGURATION_OF,
    CONFIGURATION_BATTERY,
    PAYLOAD,
    CONFIGURATION_WEIGHT,
    CONFIGURATION_SCALE_ERROR,
    BARE_WEIGHT,
    CONFIGURATION_WEIGHED_ON,
    PAYLOAD_WEIGHT,
    PAYLOAD_SCALE_ERROR,
    FLOWN_CONFIGURATION,
)
