"""Notices that were sent after an incident: which, when, by whom, with which reference; and what marking one puts on record."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any, NamedTuple

from airwrit.answers.incident.moment import IncidentMoment, instant_words, moment_of
from airwrit.answers.incident.questions import said_of
from airwrit.answers.incident.typed import typed_when
from airwrit.answers.sheets.difference import Difference, HandEntry, OnRecord, saying_by_hand
from airwrit.base.days import EARLIEST, Order, When, day_of, order_of
from airwrit.base.errors import UsageError
from airwrit.base.sentences import day_words
from airwrit.facts.flight_choices import NoticeKind
from airwrit.facts.key import Key, raw_of, value_of
from airwrit.facts.keys.incident import (
    DEVIATION_SENT_ON,
    NASA_SENT_ON,
    NTSB_REPORT_ON,
    NTSB_TOLD_ON,
    OSHA_TOLD_ON,
    REPORTED_ON,
)
from airwrit.facts.keys.notice import (
    NOTICE_ABOUT,
    NOTICE_KIND,
    NOTICE_PAPER,
    NOTICE_REFERENCE,
    NOTICE_SENT_BY,
    NOTICE_SENT_ON,
)
from airwrit.facts.state import State
from airwrit.facts.statement import Statement
from airwrit.facts.vocabulary import id_of, subject_named
from airwrit.law.flight import incident as rules
from airwrit.law.flight import notices

SENT = "notice sent"
"""The act of the entry that marks a notice as sent."""
KINDS: Mapping[str, NoticeKind] = {
    rules.NOTIFY_NTSB_RULE.name: NoticeKind.NTSB,
    rules.REPORT_107_9_RULE.name: NoticeKind.FAA,
    notices.REPORT_OSHA_RULE.name: NoticeKind.OSHA,
    rules.NTSB_WRITTEN_REPORT_RULE.name: NoticeKind.NTSB_WRITTEN,
    notices.DEVIATION_REPORT_RULE.name: NoticeKind.FAA_ASKED,
    notices.NASA_REPORT_RULE.name: NoticeKind.NASA,
    "insurance": NoticeKind.INSURER,
    "coa": NoticeKind.COA,
    "own": NoticeKind.OWN,
    "other": NoticeKind.OTHER,
}
"""The kind of each notice, by the name it has in an answer; keeping the wreckage is none."""
_FACTS: Mapping[NoticeKind, Key[date]] = {
    NoticeKind.NTSB: NTSB_TOLD_ON,
    NoticeKind.FAA: REPORTED_ON,
    NoticeKind.OSHA: OSHA_TOLD_ON,
    NoticeKind.NTSB_WRITTEN: NTSB_REPORT_ON,
    NoticeKind.FAA_ASKED: DEVIATION_SENT_ON,
    NoticeKind.NASA: NASA_SENT_ON,
}
_LONGEST = 100


class SentNotice(NamedTuple):
    """A notice that was sent: its kind, the paper that asked for it ("" for none), when, by whom, its reference."""

    kind: NoticeKind
    paper: str
    on: When
    by: str
    reference: str


class SentTyped(NamedTuple):
    """What was typed of a notice that was sent: when, in local time there; by whom; the reference, "" for none."""

    on: str
    by: str
    reference: str = ""


def sent_notices(state: State, incident: str) -> tuple[SentNotice, ...]:
    """The notices of an incident that are marked as sent; one without its kind or its day is none."""
    found = []
    for subject in state.holding(NOTICE_ABOUT, id_of(incident)):
        said = said_of(state, subject)
        if said(NOTICE_KIND) is not None and said(NOTICE_SENT_ON) is not None:
            found.append(
                SentNotice(
                    said(NOTICE_KIND),
                    said(NOTICE_PAPER) or "",
                    said(NOTICE_SENT_ON),
                    said(NOTICE_SENT_BY) or "",
                    said(NOTICE_REFERENCE) or "",
                )
            )
    return tuple(found)


def sent_words(one: SentNotice, moment: IncidentMoment) -> str:
    """That a notice was sent, in words, in local time there."""
    when = instant_words(moment.local(one.on)) if isinstance(one.on, datetime) else day_words(one.on)
    by = f" by {one.by}" if one.by else ""
    return f"Sent {when}{by}.{f' Reference {one.reference}.' if one.reference else ''}"


def marking(
    held: OnRecord, state: State, incident: str, notice: tuple[str, str], typed: SentTyped, by: str
) -> Difference:
    """What marking a notice as sent puts on record: `notice` is its name in the answer and the paper's subject, "" for none.

    UsageError where the time can't be read, or lies before the incident or ahead of the moment of the state.
    """
    name, paper = notice
    kind, who = KINDS[name], typed.by.strip()
    for text, where in ((who, "sent_by"), (typed.reference, "reference")):
        if len(text) > _LONGEST or not text.isprintable():
            raise UsageError(
                "the text is too long, or has hidden characters", where=where, do="shorten it to one line"
            )
    if not who:
        raise UsageError("you didn't say who", where="sent_by", do="enter who sent it or called")
    moment = moment_of(state, incident)
    on = value_of(NOTICE_SENT_ON, typed_when(NOTICE_SENT_ON, typed.on.strip(), moment.zone))
    start = moment.at or moment.day
    if start is not None and order_of(on, start) is Order.BEFORE:
        raise UsageError(
            f"the notice would be sent before the incident of {day_words(day_of(start))}",
            where="sent_on",
            do="check the date and the time",
        )
    if order_of(on, state.on) is Order.AFTER:
        raise UsageError("that time is still to come", where="sent_on", do="mark it once it is sent")
    about = f"{id_of(incident)}: {id_of(paper) or kind.value}{f' {who}' if kind is NoticeKind.NASA else ''}"
    subject = subject_named("notice", about)
    said: list[tuple[str, Key[Any], Any]] = [
        (subject, NOTICE_ABOUT, id_of(incident)),
        (subject, NOTICE_KIND, kind),
        (subject, NOTICE_SENT_ON, on),
        (subject, NOTICE_SENT_BY, who),
    ]
    if paper:
        said.append((subject, NOTICE_PAPER, id_of(paper)))
    if typed.reference.strip():
        said.append((subject, NOTICE_REFERENCE, typed.reference.strip()))
    if kind in _FACTS:
        said.append((incident, _FACTS[kind], on if _FACTS[kind].instants else day_of(on)))
    statements = tuple(Statement(of, key.name, raw_of(value), EARLIEST, None) for of, key, value in said)
    return saying_by_hand(held, HandEntry(statements, corrects=True, act=SENT), by)
