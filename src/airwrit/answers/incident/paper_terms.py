"""Notice of an incident by a paper's own term: an insurer's policy, a COA, the organization's own rules."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any, NamedTuple

from airwrit.answers.incident.moment import IncidentMoment
from airwrit.base.days import day_of
from airwrit.base.sentences import counted
from airwrit.facts.choices import NoticeOf, PaperKind
from airwrit.facts.flight_choices import DamagedProperty, Hurt, IncidentUnder
from airwrit.facts.key import Key
from airwrit.facts.keys.incident import ANYONE_HURT, DAMAGED, INCIDENT_AIRCRAFT, INCIDENT_UNDER
from airwrit.facts.keys.paper import (
    COVERS_AIRCRAFT,
    ENDS_ON,
    GRANTED_ON,
    NOTICE_OF,
    NOTICE_TO,
    NOTICE_WITHIN_BUSINESS_DAYS,
    NOTICE_WITHIN_HOURS,
    PAPER_KIND,
    PAPER_NUMBER,
)
from airwrit.facts.state import State, value_among
from airwrit.facts.vocabulary import id_of

_SATURDAY, _MOST_DAYS = 5, 1_000
_TERMS = (NOTICE_WITHIN_HOURS, NOTICE_WITHIN_BUSINESS_DAYS)
_NAMES = {PaperKind.INSURANCE: "insurance", PaperKind.COA: "coa", PaperKind.OWN_RULES: "own"}


class PaperNotice(NamedTuple):
    """What a paper asks: `must` is a word of `decision.Must`, `hours` its term, `paper` its title and `subject` its name, ""
    where none is on file; `day` is the last day of a term in business days.
    """

    name: str
    paper: str
    must: str
    hours: Decimal | None
    says: str
    notice_to: str = ""
    asks: Key[Any] | None = None
    subject: str = ""
    day: date | None = None


def paper_notices(
    state: State, incident: str, moment: IncidentMoment, now: datetime, said: dict[str, str]
) -> Iterator[PaperNotice]:
    """The notices that papers in force on the day ask for; where a policy, a COA or own rules say nothing: read them."""
    seen = set()
    for subject in state.subjects("paper"):
        held = _OneSubject(state, subject)
        terms = [(held[key], key) for key in _TERMS if held[key] is not None]
        if not terms or not _in_force(held, moment.day) or not _covers(held, state, incident):
            continue
        name = _NAMES.get(held[PAPER_KIND], "other")
        seen.add(name)
        of = _OneSubject(state, incident)
        yield from (_asked(held, name, of, moment, now, said, term) for term in terms)
    yield from (
        _none(name, _OneSubject(state, incident), said) for name in _NAMES.values() if name not in seen
    )


class _OneSubject:
    """The values of one subject, None where nothing readable is on file."""

    def __init__(self, state: State, subject: str) -> None:
        self.subject = subject
        self._held = state.held.get(subject, {})

    def __getitem__(self, key: Key[Any]) -> Any:
        return value_among(self._held, key)


def _in_force(paper: _OneSubject, day: date | None) -> bool:
    first, last = paper[GRANTED_ON], paper[ENDS_ON]
    return day is None or not ((first and day < day_of(first)) or (last and day > day_of(last)))


def _covers(paper: _OneSubject, state: State, incident: str) -> bool:
    named, flown = paper[COVERS_AIRCRAFT], _OneSubject(state, incident)[INCIDENT_AIRCRAFT]
    return named is None or flown is None or named == flown


def _asked(
    paper: _OneSubject,
    name: str,
    incident: _OneSubject,
    moment: IncidentMoment,
    now: datetime,
    said: dict[str, str],
    term: tuple[Decimal, Key[Decimal]],
) -> PaperNotice:
    """What a paper asks by one of its terms, in hours or in business days."""
    title = (
        id_of(paper.subject)
        if paper[PAPER_NUMBER] is None
        else f"{id_of(paper.subject)} ({paper[PAPER_NUMBER]})"
    )
    many, key = term
    hours = many if key is NOTICE_WITHIN_HOURS else None
    last = None if hours is not None or moment.day is None else _business_days_after(moment.day, int(many))
    of = paper[NOTICE_OF] or NoticeOf.ANY
    under = incident[INCIDENT_UNDER]

    def told(must: str, code: str, asks: Key[Any] | None = None) -> PaperNotice:
        text = said[code].format(
            paper=title,
            hours=_span_words(many, "business day" if hours is None else "hour"),
            of=of.value,
        )
        if hours is None and must in ("yes", "late"):
            text = f"{text} {said['business_days']}"
        return PaperNotice(name, title, must, hours, text, paper[NOTICE_TO] or "", asks, paper.subject, last)

    if name == "coa" and under is not IncidentUnder.COA:
        return (
            told("cant_tell", "under_open", INCIDENT_UNDER) if under is None else told("no", "not_under_it")
        )
    if of is NoticeOf.HARM:
        harmed = _harmed(incident)
        if harmed is None:
            return told("cant_tell", "cant_tell", DAMAGED if incident[ANYONE_HURT] else ANYONE_HURT)
        if not harmed:
            return told("no", "no_harm")
    if hours == 0:
        return told("yes", "owed_at_once")
    if hours is None:
        over = last is not None and moment.local(now).date() > last
    else:
        over = moment.at is not None and now > moment.at + timedelta(hours=float(hours))
    return told("late", "over") if over else told("yes", "owed")


def _span_words(many: Decimal, one: str) -> str:
    return counted(int(many), one) if many == int(many) else f"{many} {one}s"


def _business_days_after(day: date, many: int) -> date:
    """The last of so many days from Monday to Friday that follow a day.

    Holidays count as business days: a paper may leave them out, so that the day told is never too late.
    """
    left = min(many, _MOST_DAYS)
    while left > 0:
        day += timedelta(days=1)
        left -= day.weekday() < _SATURDAY
    return day


def _harmed(incident: _OneSubject) -> bool | None:
    """Whether anyone was hurt or anything but the aircraft damaged; None where that is not known."""
    hurt, damaged = incident[ANYONE_HURT], incident[DAMAGED]
    if (hurt is not None and hurt is not Hurt.NOBODY) or damaged in (
        DamagedProperty.OTHERS,
        DamagedProperty.CARRIED,
    ):
        return True
    return None if hurt is None or damaged is None else False


def _none(name: str, incident: _OneSubject, said: dict[str, str]) -> PaperNotice:
    """What is told where no paper of a kind has a term on file."""
    if name == "coa":
        under = incident[INCIDENT_UNDER]
        if under is None:
            return PaperNotice(name, "", "cant_tell", None, said["none_coa_open"], asks=INCIDENT_UNDER)
        if under is not IncidentUnder.COA:
            return PaperNotice(name, "", "no", None, said["none_coa_107"])
    return PaperNotice(name, "", "read", None, said[f"none_{name}"])
