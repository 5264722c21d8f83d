"""The decision on an incident in words that every face shows alike, and as a JSON document."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any, NamedTuple

from airwrit.answers.document import CAUTION, SCOPE_OF_INCIDENT, Json
from airwrit.answers.incident.decision import (
    IncidentAnswer,
    ListItem,
    Must,
    Notice,
    NoticeDue,
    is_near_miss,
    words,
)
from airwrit.answers.incident.moment import instant_words
from airwrit.answers.incident.questions import open_questions, said_of
from airwrit.answers.law_reading import reading_json
from airwrit.base.days import add_days, day_of
from airwrit.base.sentences import counted, day_words
from airwrit.facts.flight_choices import EmployeeHarm
from airwrit.facts.key import Key, raw_of
from airwrit.facts.keys.incident import ANYONE_HURT, EMPLOYEE_HARM, EMPLOYER_LEARNED_ON, HARMED_ON
from airwrit.facts.vocabulary import id_of
from airwrit.law.flight.incident import FAA_DAMAGE, FAA_DAYS, NOTIFY_NTSB_RULE, REPORT_107_9_RULE
from airwrit.law.flight.incident import PRESERVE_WRECKAGE_AND_RECORDS_RULE as PRESERVE
from airwrit.law.flight.notices import DEATH_HOURS, REPORT_OSHA_RULE, SEVERE_HOURS
from airwrit.law.parameters import Law, Param, span_of
from airwrit.law.shared_parameters import FILING_DAYS

_MINUTE, _HOUR, _DAY = timedelta(minutes=1), timedelta(hours=1), timedelta(days=1)


class Row(NamedTuple):
    """A notice as it is shown: `must` and its word, to whom and how, by when, how long, why, what to do, the section.

    `asks` is the name of the fact that it waits for, where no notice before it waits for the same.
    """

    name: str
    must: Must
    word: str
    who: str
    what: str
    actor: str
    by_when: str
    left: str
    says: str
    do: str
    cites: str
    asks: str


def rows_of(answer: IncidentAnswer) -> tuple[Row, ...]:
    """Every notice as it is shown, what is late or due first."""
    asked: dict[str, Notice] = {}
    return tuple(_row(answer, one, asked) for one in answer.notices)


def _row(answer: IncidentAnswer, one: Notice, asked: dict[str, Notice]) -> Row:
    """A notice as it is shown; a question that a notice before it asks is not asked twice."""
    name = one.asks.name if one.asks is not None and one.must is Must.CANT_TELL else ""
    first = asked.setdefault(name, one) if name else one
    if first is not one:
        same = words()["clock"]["same"].format(whom=first.short)
        one, name = one._replace(says=same, do="", cites=""), ""
    acts = one.must in (Must.LATE, Must.YES, Must.CALL, Must.CANT_TELL)
    by_when = by_when_text(answer, one.due) if acts or one.must is Must.CHOICE else ""
    if one.must is Must.CANT_TELL:
        by_when = _if_so(answer, one)
    do = one.do if acts or one.must is Must.NO else ""
    if one.must is Must.YES and (one.due.at is not None or one.due.day is not None) and one.finding:
        do = ""
    return Row(
        one.name,
        one.must,
        words()["must"][one.must],
        one.who,
        one.what,
        one.actor,
        by_when,
        _left(answer, one.due) if by_when else "",
        one.says,
        do,
        one.cites,
        name,
    )


def _if_so(answer: IncidentAnswer, one: Notice) -> str:
    """How fast a notice has to go out where it is due after all: of those that can't wait for every answer."""
    clock = words()["clock"]
    if one.name == NOTIFY_NTSB_RULE.name:
        return str(clock["if_so"])
    law = Law(answer.moment.day or day_of(answer.state.on))
    if one.name == REPORT_107_9_RULE.name:
        days = law[FAA_DAYS]
        if answer.moment.day is None:
            return str(clock["if_so_days"].format(days=counted(days, "day")))
        last = by_when_text(answer, NoticeDue(day=add_days(answer.moment.day, days)))
        return str(clock["if_so_by"].format(when=last))
    if one.name != REPORT_OSHA_RULE.name:
        return ""
    last_at = _osha_if_so(answer, law)
    if last_at is not None:
        return str(clock["if_so_by"].format(when=instant_words(answer.moment.local(last_at))))
    return str(clock["if_so_osha"].format(death=law[DEATH_HOURS], severe=law[SEVERE_HOURS]))


def _osha_if_so(answer: IncidentAnswer, law: Law) -> datetime | None:
    """The last moment of a report to OSHA by the harm and by when the employer learned of it; None where one isn't known."""
    said = said_of(answer.state, answer.incident)
    harm, learned = said(EMPLOYEE_HARM), said(EMPLOYER_LEARNED_ON) or said(HARMED_ON)
    if harm is None or not isinstance(learned, datetime):
        return None
    return learned + timedelta(hours=law[DEATH_HOURS if harm is EmployeeHarm.DIED else SEVERE_HOURS])


def by_when_text(answer: IncidentAnswer, due: NoticeDue) -> str:
    """By when, in local time there with its zone."""
    if due.at_once:
        return str(words()["clock"]["at_once"])
    at = answer.due_at(due)
    if at is not None:
        return instant_words(at)
    return "" if due.day is None else f"{day_words(due.day)}, 11:59 PM there"


def _left(answer: IncidentAnswer, due: NoticeDue) -> str:
    """How long from now to a clock's end; "" where it can't be told to the minute and where it is at once."""
    if due.at_once:
        return ""
    at = answer.due_at(due)
    if at is None:
        days = 0 if due.day is None else (due.day - day_of(answer.state.on)).days
        return (
            "" if due.day is None or days < 0 else words()["clock"]["left"].format(span=counted(days, "day"))
        )
    apart = at.astimezone(UTC) - answer.now.astimezone(UTC)
    word = "left" if apart >= timedelta() else "late"
    return str(words()["clock"][word].format(span=span_words(abs(apart))))


def span_words(span: timedelta) -> str:
    """A span of time: whole days from two days on, else hours and minutes."""
    if span >= 2 * _DAY:
        return counted(span // _DAY, "day")
    hours, minutes = span // _HOUR, span % _HOUR // _MINUTE
    return f"{hours} h {minutes} min" if hours else f"{minutes} min"


def headline(answer: IncidentAnswer) -> tuple[str, ...]:
    """The whole in one to four sentences: what is late, what is due by when, whom to call."""
    said, found = words()["headline"], []
    late = [one for one in answer.notices if one.must is Must.LATE]
    owed = [one for one in answer.notices if one.must is Must.YES]
    calls = [
        one
        for one in answer.notices
        if one.must is Must.CALL and one.finding and one.finding.rule is not PRESERVE
    ]
    if late:
        found.append(said["late"].format(who=_listed([one.short for one in late])))
    if owed:
        found.append(said["notify"].format(who=_listed([_who_by_when(answer, one) for one in owed])))
    if calls:
        found.append(said["call"].format(who=_listed(list(dict.fromkeys(one.short for one in calls)))))
    if any(one.must is Must.CANT_TELL for one in answer.notices):
        asked = _asked_first(answer)
        found.append(said["cant_tell"] if asked is None else said["next"].format(question=asked.question))
    to_read = [one for one in answer.notices if one.must is Must.READ]
    if any(one.finding for one in to_read):
        found.append(said["other_rules"])
    if not found:
        found.append(said["nothing"])
    if any(one.finding is None for one in to_read):
        found.append(said["read"])
    if any(one.name == "notify_ntsb" and one.must is Must.NO for one in answer.notices):
        found.append(said["ntsb_no"])
    if is_near_miss(answer):
        found.append(said["near_miss"])
    return tuple(found)


def _asked_first(answer: IncidentAnswer) -> Key[Any] | None:
    """The next question: first whether anyone was hurt, since OSHA's hours may be running; then what the notices wait for."""
    waiting = [one for one in answer.notices if one.must is Must.CANT_TELL]
    is_hurt_open = said_of(answer.state, answer.incident)(ANYONE_HURT) is None
    if is_hurt_open and any(one.name == REPORT_OSHA_RULE.name for one in waiting):
        return ANYONE_HURT
    return next((one.asks for one in waiting if one.asks), None)


def _who_by_when(answer: IncidentAnswer, one: Notice) -> str:
    by_when = by_when_text(answer, one.due)
    return f"{one.short}{' ' if one.due.at_once or not by_when else ' by '}{by_when}".rstrip()


def _listed(parts: list[str]) -> str:
    *first, last = parts
    return f"{', '.join(first)} and {last}" if first else last


def title_of(answer: IncidentAnswer) -> str:
    """What and when: the name, and the instant in local time there or its day."""
    moment = answer.moment
    when = (
        instant_words(moment.local(moment.at)) if moment.at else day_words(moment.day) if moment.day else ""
    )
    name = id_of(answer.incident).removeprefix(f"{moment.day} ")
    return ", ".join(part for part in ("" if name == "incident" else name, when) if part)


def item_word(item: ListItem) -> str:
    """Whether an item of the list happened."""
    said = words()["items"]
    return str(said["open"] if item.happened is None else said["yes"] if item.happened else said["no"])


_WATCHED: tuple[Param[int], ...] = (FAA_DAMAGE, FILING_DAYS)
"""The numbers of the law in what to keep in mind."""


def watch(answer: IncidentAnswer) -> tuple[str, ...]:
    """What to keep in mind; where the law of the day has no such number, nothing is said of it."""
    day = answer.moment.day or day_of(answer.state.on)
    read = {param.name: span_of(param, day) for param in _WATCHED}
    known = {name: span.value for name, span in read.items() if span is not None}
    return tuple(
        text.format(**known)
        for text in words()["watch"]
        if all(f"{{{name}}}" not in text or name in known for name in read)
    )


def incident_json(answer: IncidentAnswer) -> Json:
    """The document: the whole, when and where, every notice, the list item by item, what is still asked."""
    moment = answer.moment
    return {
        "question": "incident",
        "scope": SCOPE_OF_INCIDENT,
        "caution": CAUTION,
        "now": answer.now.isoformat(),
        **reading_json(day_of(answer.state.on)),
        "verdict": answer.verdict.value,
        "says": list(headline(answer)),
        "incident": answer.incident,
        "happened_on": None if moment.day is None else moment.day.isoformat(),
        "happened_at": None if moment.at is None else moment.at.isoformat(),
        "zone": None if moment.zone is None else moment.zone.key,
        "problems": [{"where": one.where, "what": one.what, "do": one.do} for one in moment.problems],
        "first": words()["first"],
        "notices": [
            _notice_json(answer, *pair) for pair in zip(answer.notices, rows_of(answer), strict=True)
        ],
        "ntsb_list": [
            {"item": one.says, "cites": one.cites, "happened": one.happened} for one in answer.items
        ],
        "open_questions": [
            {"fact": key.name, "question": key.question}
            for key in open_questions(answer.state, answer.incident)
        ],
        "facts": {
            key.name: None if held.why else raw_of(held.value)
            for key, held in answer.state.held.get(answer.incident, {}).items()
            if not key.private
        },
        "keep": words()["keep"],
        "watch": list(watch(answer)),
    }


def _notice_json(answer: IncidentAnswer, one: Notice, row: Row) -> Json:
    at = answer.due_at(one.due)
    return {
        "notice": one.name,
        "to": one.who,
        "how": one.what,
        "by_whom": one.actor,
        "must": one.must.value,
        "at_once": one.due.at_once,
        "due_on": one.due.day.isoformat() if one.due.day else at.date().isoformat() if at else None,
        "due_at": None if at is None else at.isoformat(),
        "by_when": row.by_when,
        "left": row.left,
        "says": row.says,
        "do": row.do,
        "cites": one.cites,
        "missing": None if one.asks is None else one.asks.name,
        "verdict": None if one.finding is None else one.finding.verdict.value,
    }
