"""The light in words that every face shows alike: clock times, what happens, what to keep in mind."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import NamedTuple

from airwrit.answers.sky.light import LightAt, LightEvent, LightOfDay, Moment, Rules, sentences
from airwrit.sky.light import LEAST_ERROR_S
from airwrit.sky.zones import Zone


class LightRow(NamedTuple):
    """A moment of the day: its local time, its time in UTC, what happens, and the section of law if any."""

    local: str
    utc: str
    says: str
    cites: str


class LightNote(NamedTuple):
    """Something to keep in mind, and the options of the command that settle it."""

    says: str
    options: tuple[str, ...] = ()


def to_minute(moment: datetime) -> datetime:
    """The moment rounded to the minute, as almanacs print it."""
    return (moment + timedelta(seconds=30)).replace(second=0, microsecond=0)


def clock_words(at: datetime, zone: Zone) -> str:
    """The local time of the place with its zone's letters, or its hours from UTC where it has none: 7:02 AM MST."""
    local = to_minute(at).astimezone(zone.info)
    name = f"{local:%Z}"
    name = f"UTC{name}" if name[0] in "+-" else name
    return f"{local.hour % 12 or 12}:{local:%M} {'AM' if local.hour < 12 else 'PM'} {name}"


def minute_of(one: Moment, zone: Zone) -> str:
    """The local time as tables of a year have it: 07:02."""
    return f"{to_minute(one.at).astimezone(zone.info):%H:%M}"


def rows_of(day: LightOfDay, zone: Zone) -> tuple[LightRow, ...]:
    """All that happens in a day, in order."""
    words = sentences()
    return tuple(
        LightRow(
            clock_words(one.at, zone),
            _utc_words(one.at, day),
            words["moment"][one.kind.value] + _doubt_words(one),
            words["cites"][one.kind.value],
        )
        for one in day.moments
    )


def in_a_sentence(day: LightOfDay, zone: Zone) -> str:
    """The day in a sentence: sunrise and sunset where there is one of each, else where the sun stays; "" for other days."""
    words, rises, sets = sentences(), day.of(LightEvent.SUNRISE), day.of(LightEvent.SUNSET)
    if len(rises) == len(sets) == 1 and rises[0].at < sets[0].at:
        ends = {"sunrise": clock_words(rises[0].at, zone), "sunset": clock_words(sets[0].at, zone)}
        form = "in_a_sentence" if day.rules.minutes is not None else "sun_alone"
        return words["note"][form].format(**ends)
    return "" if day.horizon is None else words["horizon"][day.horizon.value]


def phases_words(at: LightAt) -> tuple[str, ...]:
    """What the light at an instant is, and what the law of its day asks of it; several where it is too close to call."""
    words = sentences()
    said = words["phase"] if at.rules.is_night_open else {**words["phase"], **words["before_training"]}
    said = said if at.rules.minutes is not None else words["law_not_read"]
    return tuple(dict.fromkeys(said[phase.value] for phase in at.phases))


def stays_words(day: LightOfDay) -> tuple[str, ...]:
    """Where the sun stays on a day on which it crosses nothing."""
    words = sentences()
    found = [(words["horizon"], day.horizon), (words["civil"], day.civil)]
    return tuple(said[stays.value] for said, stays in found if stays is not None)


def notes(zone: Zone, rules: Rules) -> tuple[LightNote, ...]:
    """What to keep in mind."""
    said = sentences()["note"]
    found = [LightNote(said["error"])]
    if zone.near:
        found.append(LightNote(said["zone_near"].format(zones=", ".join(zone.near)), ("--zone",)))
    if rules.minutes is None:
        found.append(LightNote(said["law_not_read"]))
    elif zone.in_alaska:
        found.append(LightNote(said["alaska"]))
    elif zone.in_alaska is None:
        found.append(LightNote(said["alaska_unknown"], ("--alaska", "--no-alaska")))
    return tuple(found)


def _utc_words(at: datetime, day: LightOfDay) -> str:
    """The time in UTC, with its day where that is another one."""
    utc = to_minute(at).astimezone(UTC)
    return f"{utc:%H:%M} UTC" + (f" {utc:%b} {utc.day}" if utc.date() != day.on else "")


def _doubt_words(one: Moment) -> str:
    if one.error_s <= LEAST_ERROR_S:
        return ""
    return " " + sentences()["note"]["good_to"].format(minutes=-(-one.error_s // 60))
