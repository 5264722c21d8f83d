"""What each report of an incident asks, filled in as far as it is on file; what is not is left to write."""

from __future__ import annotations

from typing import Any, NamedTuple

from airwrit.answers.incident.decision import IncidentAnswer, words
from airwrit.answers.incident.moment import instant_words
from airwrit.answers.incident.questions import said_of
from airwrit.base.sentences import day_words
from airwrit.facts.choices import PaperKind
from airwrit.facts.keys.aircraft import REGISTRATION
from airwrit.facts.keys.incident import HAPPENED_ON, HAPPENED_TIME, INCIDENT_AIRCRAFT, INCIDENT_PILOT
from airwrit.facts.keys.paper import PAPER_KIND, PAPER_NUMBER
from airwrit.facts.keys.person import CERTIFICATE_NUMBER
from airwrit.facts.vocabulary import KEYS
from airwrit.law.wording import shown


class ReportField(NamedTuple):
    """One thing a report asks, and what is on file of it; "" where somebody has to write it."""

    asks: str
    held: str


class IncidentReport(NamedTuple):
    """A report: its title, its section, where its list of questions is from, and what it asks."""

    name: str
    title: str
    cites: str
    source: str
    fields: tuple[ReportField, ...]


def reports_of(answer: IncidentAnswer) -> tuple[IncidentReport, ...]:
    """Every report, as far as it can be filled in."""
    return tuple(
        IncidentReport(
            one["name"],
            one["title"],
            one["cites"],
            one["source"],
            tuple(ReportField(label, _filled(answer, fact)) for label, fact in one["asks"]),
        )
        for one in words()["reports"]
    )


def _filled(answer: IncidentAnswer, fact: str) -> str:
    """What is on file for a field."""
    said, moment = said_of(answer.state, answer.incident), answer.moment
    if fact in (HAPPENED_ON.name, HAPPENED_TIME.name):
        if moment.at is not None:
            return instant_words(moment.local(moment.at))
        return "" if moment.day is None or fact == HAPPENED_TIME.name else day_words(moment.day)
    if fact == "pilot.certificate_number":
        return _of(answer, f"person/{said(INCIDENT_PILOT)}", CERTIFICATE_NUMBER)
    if fact == "aircraft.registration":
        return _of(answer, f"aircraft/{said(INCIDENT_AIRCRAFT)}", REGISTRATION)
    if fact == "policy":
        policies = answer.state.holding(PAPER_KIND, PaperKind.INSURANCE)
        return "; ".join(filter(None, (_of(answer, one, PAPER_NUMBER) for one in policies)))
    return "" if fact not in KEYS or said(KEYS[fact]) is None else shown(said(KEYS[fact]))


def _of(answer: IncidentAnswer, subject: str, key: Any) -> str:
    value = said_of(answer.state, subject)(key)
    return "" if value is None else shown(value)
