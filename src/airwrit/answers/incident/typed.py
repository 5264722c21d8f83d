"""What was typed of an incident, by fact, as statements: times in local time there; what can't be read is named."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, NamedTuple
from zoneinfo import ZoneInfo

from airwrit.answers.incident.moment import clock_of, moment_of, zone_called
from airwrit.base.days import EARLIEST
from airwrit.base.errors import AirwritError, BadFact
from airwrit.base.places import read_place
from airwrit.facts.fold import state_of
from airwrit.facts.key import Key, Raw
from airwrit.facts.keys.incident import (
    HAPPENED_ON,
    HAPPENED_TIME,
    INCIDENT_KEYS,
    INCIDENT_PLACE,
    INCIDENT_ZONE,
    KEPT_AS_EVIDENCE,
)
from airwrit.facts.state import State
from airwrit.facts.statement import Known, Statement
from airwrit.intake.typed.reply import is_dont_know, read_reply
from airwrit.sky.zones import Zone, instant_at

TELLS: Mapping[str, Key[Any]] = {key.name: key for key in INCIDENT_KEYS if key is not KEPT_AS_EVIDENCE}
"""What may be typed of an incident, by name."""

_DAY_AND_TIME = re.compile(r"(\d{4}-\d{2}-\d{2})[ T](\S.*)")
_THOUSANDS = re.compile(r"\d{1,3}(,\d{3})+(\.\d{1,2})?")
_FIRST = (INCIDENT_ZONE.name, INCIDENT_PLACE.name)


class TypedIncident(NamedTuple):
    """The facts that were typed, and what is wrong with the others, by name."""

    known: tuple[Known, ...]
    wrong: Mapping[str, str]


def typed_incident(incident: str, texts: Mapping[str, str], state: State) -> TypedIncident:
    """What was typed of an incident. The clock of its place is that of what was typed, else of what the state holds of it."""
    known: list[Known] = []
    wrong: dict[str, str] = {}
    for name in sorted(texts, key=lambda one: one not in _FIRST):
        text = texts[name].strip()
        if not text or is_dont_know(text):
            continue
        try:
            if name not in TELLS:
                raise BadFact(f"incidents have no fact called {name!r}", do="see `airwrit incident --keys`")
            zone = moment_of(state_of(known, state.on, state.known_at), incident).zone
            zone = zone or moment_of(state, incident).zone
            known += [
                Known(Statement(incident, key.name, raw, EARLIEST, None), "typed")
                for key, raw in _read(TELLS[name], text, zone)
            ]
        except AirwritError as fault:
            wrong[name] = f"{fault.what}; {fault.do}" if fault.do else fault.what
    return TypedIncident(tuple(known), wrong)


def _read(key: Key[Any], text: str, zone: ZoneInfo | None) -> list[tuple[Key[Any], Raw]]:
    """The facts that one text says: a day with a time of day says two."""
    if key is INCIDENT_ZONE:
        return [(key, zone_called(text).key)]
    if key is INCIDENT_PLACE:
        return [(key, str(read_place(text)))]
    if key is HAPPENED_TIME:
        return [(key, clock_of(text))]
    both = _DAY_AND_TIME.fullmatch(text)
    if key is HAPPENED_ON and both is not None:
        return [(key, both[1]), (HAPPENED_TIME, clock_of(both[2]))]
    if key.instants:
        return [(key, typed_when(key, text, zone))]
    return [(key, read_reply(key, _dollars(text) if key.unit == "usd" else text))]


def typed_when(key: Key[Any], text: str, zone: ZoneInfo | None) -> Raw:
    """A day, or a day with a time of day by the clock of a zone, as a fact holds it. AirwritError where it can't be read."""
    both = _DAY_AND_TIME.fullmatch(text)
    if both is None:
        return read_reply(key, text)
    clock = clock_of(both[2])
    if zone is None and len(clock) <= len("14:40"):
        raise BadFact(
            f"{text!r} has no time zone", do="enter the place or the time zone of the incident first"
        )
    at = instant_at(f"{both[1]} {clock}", Zone("UTC" if zone is None else zone.key, (), None), key.name)
    return (at if zone is None else at.astimezone(zone)).isoformat()


def _dollars(text: str) -> str:
    """An amount without its sign and the commas between its thousands."""
    plain = text.removeprefix("$").strip()
    return plain.replace(",", "") if _THOUSANDS.fullmatch(plain) else plain
