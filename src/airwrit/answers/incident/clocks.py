"""The notices that are still owed after the incidents on record: each with who gives it, to whom and by when."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, time
from typing import NamedTuple

from airwrit.answers.document import Json
from airwrit.answers.incident.decision import IncidentAnswer, Must, Notice, decided, words
from airwrit.answers.incident.moment import moment_of
from airwrit.answers.incident.questions import said_of
from airwrit.answers.incident.sending import KINDS
from airwrit.answers.incident.told import Row, rows_of, title_of
from airwrit.base.days import day_of
from airwrit.base.errors import UsageError
from airwrit.facts.keys.incident import INCIDENT_PILOT
from airwrit.facts.keys.paper import PAPER_RESPONSIBLE
from airwrit.facts.state import State
from airwrit.facts.vocabulary import id_of
from airwrit.law.flight.incident import REPORT_107_9_RULE
from airwrit.law.flight.notices import DEVIATION_REPORT_RULE, NASA_REPORT_RULE
from airwrit.law.parameters import FIRST_DAY

_OWED = (Must.LATE, Must.YES, Must.CALL, Must.CHOICE)
_BY_THE_PILOT = (REPORT_107_9_RULE.name, DEVIATION_REPORT_RULE.name, NASA_REPORT_RULE.name)


class OwedNotice(NamedTuple):
    """A notice still owed, or something of an incident that has to be answered before that can be said.

    `day` is the last day, None where it is at once; `by_when` and `left` say the clock by the place. `name` is "" for open
    questions, `who` the name of whoever gives it, or what they are where no name is on file.
    """

    incident: str
    title: str
    name: str
    paper: str
    must: Must
    to: str
    short: str
    what: str
    who: str
    day: date | None
    by_when: str
    left: str
    says: str
    do: str
    cites: str

    @property
    def is_late(self) -> bool:
        """Whether its clock has run out."""
        return self.must is Must.LATE


def owed_notices(state: State) -> tuple[OwedNotice, ...]:
    """Every notice still owed after the incidents of a state, those of one incident together, the newest incident first."""
    found: list[tuple[date, list[OwedNotice]]] = []
    for incident in state.subjects("incident"):
        day = moment_of(state, incident).day
        if day is None or not FIRST_DAY <= day <= day_of(state.on):
            continue
        answer = decided(state, incident, moment_asked(state, incident))
        found.append((day, list(_owed(answer))))
    return tuple(one for _, mine in sorted(found, key=lambda pair: pair[0], reverse=True) for one in mine)


def moment_asked(state: State, incident: str) -> datetime:
    """The instant that clocks are counted to: the one asked about; of a day the moment known, where it is that day there.

    Of another day it is noon UTC, which lies within that day everywhere in the United States.
    """
    if isinstance(state.on, datetime):
        return state.on
    known = moment_of(state, incident).local(state.known_at)
    return known if day_of(known) == state.on else datetime.combine(state.on, time(12), UTC)


def _owed(answer: IncidentAnswer) -> Iterator[OwedNotice]:
    """What is owed after one incident; what can't be told for want of answers is one line."""
    rows = list(zip(answer.notices, rows_of(answer), strict=True))
    for one, row in rows:
        if one.name in KINDS and one.must in _OWED and not _is_idle(one):
            yield _line(answer, one, row)
    asked = [one for one, _ in rows if one.name in KINDS and one.must is Must.CANT_TELL]
    if asked:
        said = words()["open"]
        names = ", ".join(dict.fromkeys(one.short for one in asked))
        yield OwedNotice(
            answer.incident,
            title_of(answer),
            "",
            "",
            Must.CANT_TELL,
            said["to"],
            "",
            said["what"],
            "",
            None,
            words()["clock"]["at_once"],
            "",
            said["says"].format(names=names),
            "",
            "",
        )


def _is_idle(one: Notice) -> bool:
    """Whether a choice has no day any more, so that nothing is left to choose."""
    return one.must is Must.CHOICE and one.due.day is None


def _line(answer: IncidentAnswer, one: Notice, row: Row) -> OwedNotice:
    at = answer.due_at(one.due)
    day = one.due.day or (None if at is None else at.date())
    return OwedNotice(
        answer.incident,
        title_of(answer),
        one.name,
        one.paper,
        one.must,
        one.who,
        one.short,
        one.what,
        _who(answer, one),
        None if one.due.at_once else day,
        row.by_when or words()["clock"]["at_once"],
        row.left,
        row.says,
        row.do,
        row.cites,
    )


def _who(answer: IncidentAnswer, one: Notice) -> str:
    """Who gives a notice: the pilot by name, whoever is responsible for the paper, else what they are."""
    if one.paper:
        return said_of(answer.state, one.paper)(PAPER_RESPONSIBLE) or one.actor
    pilot = said_of(answer.state, answer.incident)(INCIDENT_PILOT)
    return str(pilot) if pilot and one.name in _BY_THE_PILOT else one.actor


def owed_json(one: OwedNotice) -> Json:
    """A notice still owed, as part of a document."""
    return {
        "incident": one.incident,
        "notice": one.name or None,
        "paper": one.paper or None,
        "to": one.to,
        "how": one.what,
        "by_whom": one.who,
        "must": one.must.value,
        "day": None if one.day is None else one.day.isoformat(),
        "by_when": one.by_when,
        "left": one.left,
        "overdue": one.is_late,
        "says": one.says,
        "do": one.do,
        "cites": one.cites,
    }


def notice_called(answer: IncidentAnswer, word: str) -> Notice:
    """The notice that a word means: its short name, or the paper that asks. UsageError where none or several are."""
    told, known = word.strip().casefold(), [one for one in answer.notices if one.name in KINDS]
    found = [one for one in known if one.paper and id_of(one.paper).casefold() == told]
    found = found or [one for one in known if words()["notices"][one.name]["word"] == told]
    if len(found) > 1:
        papers = ", ".join(id_of(one.paper) for one in found)
        raise UsageError(
            f"{word!r} can mean several documents", where="sent", do=f"use one of these: {papers}"
        )
    if not found:
        choices = ", ".join(dict.fromkeys(words()["notices"][one.name]["word"] for one in known))
        raise UsageError(f"there is no notice called {word!r}", where="sent", do=f"choose one of: {choices}")
    return found[0]
