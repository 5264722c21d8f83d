"""A notice that was sent after an incident: marked with when, by whom and its reference, so that it leaves the lists."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple

from airwrit.answers.incident.clocks import notice_called
from airwrit.answers.incident.decision import IncidentAnswer, Notice, decided, words
from airwrit.answers.incident.moment import instant_words
from airwrit.answers.incident.sending import KINDS, SentTyped, marking
from airwrit.answers.incident.told import incident_json, title_of
from airwrit.answers.sheets.difference import Difference
from airwrit.base.errors import AirwritError
from airwrit.facts.vocabulary import id_of, subject_named
from airwrit.ledger.sqlite.store import Ledger
from airwrit.web.server.forms import Ticket, Typed, sent_before, ticket, write_once
from airwrit.web.server.trouble import NOTHING_WRITTEN, Refused, Trouble
from airwrit.web.server.visit import Answer, PageSheet, Redirect, Visit
from airwrit.web.server.workspace import held_now

_FIELDS = ("notice", "sent_on", "sent_by", "reference")
_LONGEST = 100


@dataclass(frozen=True, slots=True)
class NoticePage:
    """The whole page."""

    of: str
    title: str
    form: Typed
    ticket: Ticket
    choices: tuple[tuple[str, str], ...]
    zone: str


class _NoticeTyped(NamedTuple):
    """The incident asked about as it stands, and what was typed."""

    answer: IncidentAnswer
    values: dict[str, str]


def show(visit: Visit) -> Answer:
    """The form of an incident on record, its notice picked where one was asked for."""
    asked = _asked(visit, visit.query)
    picked = visit.query.get("paper") or _word(visit.query.get("notice", ""))
    now = asked.answer.moment.local(visit.desk.clock()).strftime("%Y-%m-%d %H:%M")
    known = "" if asked.answer.moment.zone is None else now
    return _sheet(visit, asked, Typed({"sent_on": known, **asked.values, "notice": picked}))


def act(visit: Visit) -> Answer:
    """Mark the notice as sent; the form again where something can't be taken."""
    if gone := sent_before(visit):
        return Redirect(gone)
    asked = _asked(visit, visit.said)
    answer, values = asked
    try:
        notice = notice_called(answer, values.get("notice", ""))
        told = SentTyped(*(values.get(field, "") for field in _FIELDS[1:]))
        _taking(visit, answer, notice, told)
    except AirwritError as fault:
        field = fault.where if fault.where in _FIELDS else "notice" if fault.where == "sent" else "sent_on"
        return _sheet(visit, asked, Typed(values, {field: f"{fault.what}; {fault.do}"}))

    def write(book: Ledger) -> int:
        taking = _taking(visit, answer, notice, told)
        return book.append(taking.drafts, visit.desk.clock, after=taking.after)[-1].seq

    of = id_of(answer.incident)
    return write_once(visit, write, lambda seq: visit.link("/incident", None, of=of, written=str(seq)))


def _taking(visit: Visit, answer: IncidentAnswer, notice: Notice, told: SentTyped) -> Difference:
    named = (notice.name, notice.paper)
    return marking(held_now(visit.desk), answer.state, answer.incident, named, told, visit.desk.by)


def _asked(visit: Visit, said: Mapping[str, str]) -> _NoticeTyped:
    """The incident that is named. Refused where none of that name is on record."""
    name = visit.named["incident"][:_LONGEST]
    incident = subject_named("incident", name)
    state = None if visit.desk.is_empty else visit.desk.standing(visit.asked).report.state
    if state is None or not state.held.get(incident):
        what, do = f"no incident {name!r} is on record", "open it from the page Incident"
        raise Refused(Trouble(404, "No such incident", what, visit.path, NOTHING_WRITTEN, do))
    values = {field: said.get(field, "").strip()[:_LONGEST] for field in _FIELDS}
    return _NoticeTyped(
        decided(state, incident, visit.desk.clock()), {name: text for name, text in values.items() if text}
    )


def _word(name: str) -> str:
    return str(words()["notices"][name]["word"]) if name in KINDS else ""


def _sheet(visit: Visit, asked: _NoticeTyped, form: Typed) -> PageSheet:
    answer = asked.answer
    zone = answer.moment.zone
    now = "" if zone is None else instant_words(answer.moment.local(visit.desk.clock()))
    choices = tuple(
        (id_of(one.paper) or _word(one.name), f"{one.who}{f': {id_of(one.paper)}' if one.paper else ''}")
        for one in answer.notices
        if one.name in KINDS
    )
    page = NoticePage(id_of(answer.incident), title_of(answer), form, ticket(visit.desk), choices, now)
    return form.sheet("notice_sent.html", "Notice sent", page, lambda: incident_json(answer))
