"""When and where an incident was: its day, its instant in local time there, the zone; what can't be told is said."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from datetime import UTC, date, datetime, time, timedelta, timezone
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from airwrit.base.days import day_of
from airwrit.base.errors import AirwritError, UsageError
from airwrit.base.places import read_place
from airwrit.base.sentences import day_words
from airwrit.facts.keys.incident import HAPPENED_ON, HAPPENED_TIME, INCIDENT_PLACE, INCIDENT_ZONE
from airwrit.facts.state import State, value_held
from airwrit.facts.statement import Problem
from airwrit.sky.zones import Zone, instant_at, zone_of

_CLOCK = re.compile(r"(\d{1,2})(?::?(\d{2}))? ?([AP])?\.?M?\.? ?([+-]\d{2}:?\d{2})?", re.IGNORECASE)


class IncidentMoment(NamedTuple):
    """The day, the instant (with its offset) and the zone of an incident, None where not known; and what is wrong."""

    day: date | None
    at: datetime | None
    zone: ZoneInfo | None
    problems: tuple[Problem, ...]

    def local(self, instant: datetime) -> datetime:
        """An instant in local time there; as it stands where the zone is not known."""
        return instant if self.zone is None else instant.astimezone(self.zone)

    def fixed(self, instant: datetime) -> datetime:
        """The same with the offset alone: hours added to it are hours that pass, also where the clocks change."""
        local = self.local(instant)
        return local.astimezone(timezone(local.utcoffset() or timedelta()))


def moment_of(state: State, incident: str) -> IncidentMoment:
    """When and where it was, by what is on file of it. A time without a zone stays a day; nothing is guessed."""
    problems: list[Problem] = []
    said, clock = value_held(state, incident, HAPPENED_ON), value_held(state, incident, HAPPENED_TIME)
    zone = _zone(state, incident, problems)
    if said is None:
        return IncidentMoment(None, None, zone, tuple(problems))
    at = said if isinstance(said, datetime) else None
    if at is None and clock is not None:
        at = _instant(day_of(said), clock, zone, problems)
    if at is not None:
        at = IncidentMoment(None, None, zone, ()).fixed(at)
    return IncidentMoment(day_of(said if at is None else at), at, zone, tuple(problems))


def is_abroad(state: State, incident: str) -> bool:
    """Whether the place on file lies in the time zone of another country.

    False where that can't be told: at sea, close to the edge of a zone, or where only the name of a zone was typed.
    """
    place = value_held(state, incident, INCIDENT_PLACE)
    try:
        found = None if place is None else zone_of(read_place(place))
    except AirwritError:
        return False
    if found is None or found.near:
        return False
    return not found.name.startswith("Etc/") and found.name not in zones_at_home()


@cache
def _words() -> Mapping[str, Any]:
    return tomllib.loads(Path(__file__).with_name("incident.toml").read_text(encoding="utf-8"))


@cache
def zones_at_home() -> frozenset[str]:
    """The time zones of the United States and its territories."""
    return frozenset(_words()["zones_at_home"])


def clock_of(text: str) -> str:
    """A time of day as hours and minutes, with the offset that was typed behind it. UsageError for what is no time."""
    found = _CLOCK.fullmatch(text.strip())
    hour = -1 if found is None else int(found[1])
    if found is not None and found[3]:
        hour = hour % 12 + 12 * (found[3].upper() == "P") if 1 <= hour <= 12 else -1
    if found is None or not 0 <= hour < 24 or int(found[2] or 0) > 59 or not (found[2] or found[3]):
        raise UsageError(f"{text!r} isn't a time", where="time", do="write it like 14:40 or 2:40 PM")
    return f"{hour:02}:{found[2] or '00'}{found[4] or ''}"


def zone_called(name: str) -> ZoneInfo:
    """A time zone by its name. UsageError when there is none of that name."""
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise UsageError(
            f"no time zone is called {name!r}", where="zone", do="name it like America/Denver"
        ) from None


def instant_words(at: datetime) -> str:
    """An instant as people here write it: Dec 2, 2026, 2:40 PM MST."""
    hour = at.strftime("%I:%M %p").lstrip("0")
    return f"{day_words(at.date())}, {hour} {at.tzname()}"


def _zone(state: State, incident: str, problems: list[Problem]) -> ZoneInfo | None:
    name, place = value_held(state, incident, INCIDENT_ZONE), value_held(state, incident, INCIDENT_PLACE)
    try:
        if name is not None:
            return zone_called(name)
        found = None if place is None else zone_of(read_place(place))
    except AirwritError as fault:
        problems.append(Problem(incident, fault.what, fault.do))
        return None
    if found is not None and found.near:
        near = " or ".join((found.name, *found.near))
        problems.append(
            Problem(incident, f"the place is near the edge of a time zone: {near}", "name the zone")
        )
        return None
    return None if found is None else found.info


def _instant(day: date, clock: str, zone: ZoneInfo | None, problems: list[Problem]) -> datetime | None:
    """The instant of a time of day at the place; None with what is wrong where it has none, or two."""
    try:
        typed = f"{day.isoformat()} {clock_of(clock)}"
        if zone is None and len(typed) <= len("2026-12-01 14:40"):
            problems.append(Problem("time", f"{clock} has no time zone", "give the place or the zone"))
            return None
        return instant_at(typed, Zone("UTC" if zone is None else zone.key, (), None), "time")
    except UsageError as fault:
        problems.append(Problem("time", fault.what, _which(day, clock, zone) or fault.do))
        return None


def _which(day: date, clock: str, zone: ZoneInfo | None) -> str:
    """How to tell a time that comes twice; "" for any other."""
    if zone is None:
        return ""
    local = datetime.combine(day, time.fromisoformat(clock_of(clock)), zone)
    if local.astimezone(UTC).astimezone(zone).replace(tzinfo=None) != local.replace(tzinfo=None):
        return ""
    first, second = (f"{clock} {local.replace(fold=fold).isoformat()[-6:]}" for fold in (0, 1))
    return str(_words()["clock"]["twice"].format(first=first, second=second))
