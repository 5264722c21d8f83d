"""Every key by name, and which table of a facts file holds which kind of subject."""

from __future__ import annotations

import difflib
from typing import Any

from airwrit.base.errors import BadFact
from airwrit.facts.choices import FactChoice, words_of
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import AIRCRAFT_KEYS, PART_KEYS
from airwrit.facts.keys.document import DOCUMENT_KEYS
from airwrit.facts.keys.equipment import BATTERY_KEYS, CONFIGURATION_KEYS, MODEL_KEYS
from airwrit.facts.keys.event import CHANGE_KEYS, CONFIRMATION_KEYS, HOLDING_KEYS
from airwrit.facts.keys.flights.airspace import FLIGHT_AIRSPACE_KEYS
from airwrit.facts.keys.flights.authority import FLIGHT_AUTHORITY_KEYS
from airwrit.facts.keys.flights.flight import FLIGHT_KEYS
from airwrit.facts.keys.flights.limits import FLIGHT_LIMIT_KEYS
from airwrit.facts.keys.flights.log import FLIGHT_LOG_KEYS
from airwrit.facts.keys.flights.over_people import FLIGHT_PEOPLE_KEYS
from airwrit.facts.keys.flights.planning import CHECKLIST_KEYS, FLIGHT_PLANNING_KEYS, SAVED_SITE_KEYS
from airwrit.facts.keys.incident import INCIDENT_KEYS
from airwrit.facts.keys.maintenance import BULLETIN_KEYS, DEFECT_KEYS, MAINTENANCE_KEYS, SETTING_KEYS
from airwrit.facts.keys.notice import NOTICE_KEYS
from airwrit.facts.keys.paper import PAPER_KEYS
from airwrit.facts.keys.person import COURSE_KEYS, PERSON_KEYS, TRAINING_KEYS
from airwrit.facts.keys.program import DUTY_KEYS, OWN_KEYS
from airwrit.facts.keys.registration import OWNER_KEYS, REGISTRATION_KEYS

ALL_KEYS: tuple[Key[Any], ...] = (
    AIRCRAFT_KEYS
    + PART_KEYS
    + REGISTRATION_KEYS
    + OWNER_KEYS
    + PERSON_KEYS
    + TRAINING_KEYS
    + PAPER_KEYS
    + FLIGHT_KEYS
    + FLIGHT_LIMIT_KEYS
    + FLIGHT_PEOPLE_KEYS
    + FLIGHT_AIRSPACE_KEYS
    + FLIGHT_AUTHORITY_KEYS
    + INCIDENT_KEYS
    + NOTICE_KEYS
    + FLIGHT_LOG_KEYS
    + FLIGHT_PLANNING_KEYS
    + CHECKLIST_KEYS
    + SAVED_SITE_KEYS
    + DOCUMENT_KEYS
    + HOLDING_KEYS
    + CHANGE_KEYS
    + CONFIRMATION_KEYS
    + BATTERY_KEYS
    + MODEL_KEYS
    + CONFIGURATION_KEYS
    + SETTING_KEYS
    + DEFECT_KEYS
    + MAINTENANCE_KEYS
    + BULLETIN_KEYS
    + COURSE_KEYS
    + DUTY_KEYS
)
"""Every fact that somebody may tell."""

TOLD_KEYS: dict[str, Key[Any]] = {key.name: key for key in ALL_KEYS}
"""The same by their names."""

KEYS: dict[str, Key[Any]] = {**TOLD_KEYS, **{key.name: key for key in OWN_KEYS}}
"""Every fact that a ledger may hold by its name: also those of which the program alone says something."""

TABLES: dict[str, str] = {
    "aircraft": "aircraft",
    "mark": "aircraft",
    "remote_id": "aircraft",
    "part": "part",
    "registration": "registration",
    "owner": "owner",
    "pilot": "person",
    "training": "training",
    "paper": "paper",
    "flight": "flight",
    "site": "flight",
    "weather": "flight",
    "crew": "flight",
    "map_cell": "cell",
    "territory": "territory",
    "checklist": "checklist",
    "saved_site": "saved_site",
    "incident": "incident",
    "notice": "notice",
    "document": "document",
    "change": "change",
    "confirmation": "confirmation",
    "battery": "battery",
    "model": "model",
    "configuration": "configuration",
    "defect": "defect",
    "maintenance": "maintenance",
    "bulletin": "bulletin",
    "course": "course",
    "duty": "duty",
    "hold": "hold",
    "request": "request",
    "file": "file",
    "log": "log",
    "column": "column",
    "confirmed_model": "confirmed_model",
}
"""Table of a key -> kind of subject; a subject's name is `kind/id`."""

TELLABLE = {table: kind for table, kind in TABLES.items() if table not in {key.table for key in OWN_KEYS}}
"""The tables in which somebody may tell facts, as in a facts file."""

FLIGHT_TABLES = frozenset(table for table, kind in TABLES.items() if kind == "flight")
"""The tables that share the facts of a flight; a fact of one of them may be written in any."""


def subject_named(kind: str, identifier: str) -> str:
    """The name of a subject: `aircraft/H-03`."""
    return f"{kind}/{identifier}"


def kind_of(subject: str) -> str:
    """The kind before the slash."""
    return subject.partition("/")[0]


def choice_words(name: str, text: str) -> str:
    """The text of a fact as people read it: a choice in its words, anything else unchanged."""
    kind: type[Any] = KEYS[name].kind if name in KEYS else str
    return words_of(kind(text)) if issubclass(kind, FactChoice) and text in tuple(kind) else text


def id_of(subject: str) -> str:
    """The part after the first slash."""
    return subject.partition("/")[2]


def folded(name: str) -> str:
    """A name without case and spaces, to tell which names may be one."""
    return "".join(name.casefold().split())


def key_named(name: str) -> Key[Any]:
    """The key of that name. BadFact names the nearest known one."""
    key = KEYS.get(name)
    if key is None:
        near = difflib.get_close_matches(name, KEYS, n=1)
        raise BadFact(
            f"no fact is named {name!r}",
            do=f"did you mean {near[0]}?" if near else "`airwrit check-scenario --keys` lists every fact",
        )
    return key


HAPPEN_ONCE = frozenset(
    ("flight", "training", "incident", "notice", "change", "confirmation", "defect", "maintenance", "course")
)
"""Kinds of subject that happen once: nothing said of them changes; it was so, or it was said wrongly."""


def is_lasting(subject: str, key: str) -> bool:
    """Whether another value of this fact can only be a correction."""
    return (key in KEYS and KEYS[key].lasting) or kind_of(subject) in HAPPEN_ONCE
