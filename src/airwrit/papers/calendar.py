"""Deadlines as an iCalendar file: one all-day event each, with alarms; the same deadlines and day give the same bytes.

Source: RFC 5545 (the form), RFC 7986 section 5.1 (NAME); read through the icalendar library.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, date, datetime, timedelta
from uuid import UUID, uuid5

from icalendar import Alarm, Calendar, Event

from airwrit.answers.document import CAUTION, SCOPE
from airwrit.answers.due.deadlines import Deadline
from airwrit.answers.incident.clocks import OwedNotice
from airwrit.base.sentences import day_words, with_days
from airwrit.facts.vocabulary import id_of
from airwrit.law import wording
from airwrit.law.parameters import late_reading

NAMESPACE = UUID("5f0d3c9e-8a34-5d1b-9c57-3d3f0b1a6e42")
"""Under which the names of deadlines become UIDs; never to be changed, or old events stay beside new ones."""

ALARM_DAYS = (30, 7, 0)
_ALARM_HOUR = timedelta(hours=9)
_ONE_DAY = timedelta(days=1)
_LISTED = 6


def calendar_of(deadlines: Iterable[Deadline], day: date, notices: Iterable[OwedNotice] = ()) -> bytes:
    """The calendar as of `day`. What is overdue stands on that day; a renewal still shut has an event where it opens.

    A notice owed after an incident stands on its last day, or on `day` where it is at once or late.
    """
    calendar = Calendar()
    calendar.add("prodid", "-//airwrit//due//EN")
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("name", "airwrit: due")
    for one in deadlines:
        if one.opens is not None:
            calendar.add_component(_opening(one, one.opens, day))
        calendar.add_component(_last_day(one, day))
    for notice in notices:
        calendar.add_component(_notice(notice, day))
    made: bytes = calendar.to_ical()
    return made


def _last_day(one: Deadline, day: date) -> Event:
    who = _listed(one.subjects)
    if one.overdue:
        summary = f"{who}: {with_days(one.do or one.says)} Overdue since {day_words(one.day)}."
        return _event(one.name, max(one.day, day), summary, _description(one), day, (0,))
    left = (one.day - day).days
    alarms = tuple(ahead for ahead in ALARM_DAYS if ahead <= left)
    return _event(
        one.name, one.day, f"{who}: {with_days(one.do or one.says)}", _description(one), day, alarms
    )


def _notice(one: OwedNotice, day: date) -> Event:
    on = max(one.day or day, day)
    act = f"Notify {one.short}" if one.name else one.what
    summary = f"{act}: incident of {one.title}. {one.by_when[:1].upper()}{one.by_when[1:]}."
    parts = (one.says, one.do, f"Who: {one.who}" if one.who else "", one.cites, CAUTION)
    name = f"notice {one.name or 'questions'} {one.paper} {one.incident}"
    return _event(
        name, on, summary, "\n".join(_one_line(with_days(part)) for part in parts if part), day, (0,)
    )


def _opening(one: Deadline, opens: date, day: date) -> Event:
    summary = f"{_listed(one.subjects)}: renewal opens. Renew by {day_words(one.day)}."
    return _event(f"{one.name} opens", opens, summary, _description(one), day, (0,))


def _event(name: str, on: date, summary: str, about: str, day: date, alarms: tuple[int, ...]) -> Event:
    event = Event()
    event.add("uid", f"{uuid5(NAMESPACE, name)}@airwrit")
    event.add("dtstamp", datetime(day.year, day.month, day.day, tzinfo=UTC))
    event.add("dtstart", on)
    event.add("dtend", on + _ONE_DAY)
    event.add("summary", _one_line(summary))
    event.add("description", about)
    event.add("transp", "TRANSPARENT")
    for ahead in alarms:
        alarm = Alarm()
        alarm.add("action", "DISPLAY")
        alarm.add("description", _one_line(summary))
        alarm.add("trigger", _ALARM_HOUR - ahead * _ONE_DAY)
        event.add_component(alarm)
    return event


def _description(one: Deadline) -> str:
    parts = [
        late_reading(one.day),
        f"For: {', '.join(id_of(subject) for subject in one.subjects)}",
        with_days(one.says),
        f"To do: {with_days(one.do)}" if one.do else "",
        f"Law: {'; '.join(wording.cites(one.finding))} ({wording.provenance(one.finding)})",
        SCOPE,
        CAUTION,
    ]
    return "\n".join(_one_line(part) for part in parts if part)


def _listed(subjects: tuple[str, ...]) -> str:
    names = [id_of(subject) for subject in subjects[:_LISTED]]
    more = len(subjects) - len(names)
    return ", ".join(names) + (f" and {more} more" if more else "")


def _one_line(text: str) -> str:
    """Text without control signs and line ends."""
    return " ".join("".join(sign if sign.isprintable() else " " for sign in text).split())
