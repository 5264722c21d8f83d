"""Before a flight: may it go, when and how high; what no data can show is a field for the pilot to confirm."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, time, timedelta
from enum import StrEnum
from pathlib import Path
from typing import NamedTuple

from markupsafe import Markup

from airwrit.answers.acts.plan import all_known
from airwrit.answers.asking.events import Needed
from airwrit.answers.before_flight.answer import FlightAnswer, flight_answer
from airwrit.answers.before_flight.check import Clause, Program, fact_of
from airwrit.answers.before_flight.confirmations import confirmations
from airwrit.answers.before_flight.json import check_json
from airwrit.answers.before_flight.map_svg import map_of
from airwrit.answers.before_flight.plan import FlightPlan
from airwrit.answers.before_flight.saved import saved_flight, saving, without_plans
from airwrit.answers.before_flight.site_map import site_map
from airwrit.answers.before_flight.typed import PlanTyped, confirmation_of, plan_of
from airwrit.answers.before_flight.view import (
    ChangeText,
    around_lines,
    authority_lines,
    change_text,
    clause_text,
    groups_of,
    height_text,
    plan_text,
    reason_text,
    stretch_text,
    whole_text,
    words,
)
from airwrit.answers.document import CAUTION, SCOPE_OF_FLIGHT, Json
from airwrit.answers.sky.light import LightEvent, light_of
from airwrit.answers.standing.headline import SubjectStanding
from airwrit.base.errors import AirwritError
from airwrit.base.verdict import Verdict
from airwrit.facts.key import Key
from airwrit.facts.statement import Known
from airwrit.facts.vocabulary import KEYS, id_of, kind_of
from airwrit.law import wording
from airwrit.ledger.sqlite.store import Ledger
from airwrit.papers.flight_pdf import flight_pdf
from airwrit.web.draw.day_lanes import DayAxis, LanePart, hours_axis, lane
from airwrit.web.draw.words import path_of
from airwrit.web.parts.planned import CONFIRM, PlannedDay, fields_of, planned_on
from airwrit.web.server.forms import Ticket, Typed, ticket, write_once
from airwrit.web.server.ledger_answers import circles_now, held_in, held_now
from airwrit.web.server.trouble import NOTHING_WRITTEN, Refused, Trouble
from airwrit.web.server.visit import Answer, Download, PageSheet, Redirect, Visit

DIGEST, SAVE, PRINT = "confirmed_for", "save", "print"
_LONG = ("weather", "place")
_FIELDS = {"from": "start", "until": "end", "at": "place", "person": "pilot"}
"""Which field of the form a refusal of the plan belongs to."""
_LONGEST, _MOST_TEXT = 120, 4_000
_DAYS = ("1", "3", "7")
_OUT = ("not_in_fleet", "not_judged")
"""Codes of headlines of whoever is not offered: sold, left, no pilot."""


class ConfirmField(NamedTuple):
    """A fact to confirm, as a row of the form: its question, where to look, choices (none: a text), and what is typed."""

    name: str
    asks: str
    look: str
    choices: tuple[tuple[str, str], ...]
    hint: str
    typed: str
    wrong: str


class ClauseRow(NamedTuple):
    """A rule as the page tells it."""

    verdict: Verdict
    name: str
    says: str
    cites: str


class WhoRow(NamedTuple):
    """The aircraft or the pilot: the verdict for this flight, the name, its page, the status and what stands in the way."""

    verdict: Verdict
    name: str
    path: str
    status: str
    why: str


class DayLane(NamedTuple):
    """A lane of the day: its name, what it says in words, and the drawing."""

    name: str
    says: str
    drawn: Markup


@dataclass(frozen=True, slots=True)
class BeforeFlightPage:
    """The page: the form, and the answer where a plan was given and can be read."""

    form: Typed
    aircraft: tuple[tuple[str, str], ...]
    pilots: tuple[tuple[str, str], ...]
    ticket: Ticket
    planned: PlannedDay
    answer: FlightAnswer | None = None
    whole: str = ""
    plan: str = ""
    who: tuple[WhoRow, ...] = ()
    confirm: tuple[tuple[str, tuple[ConfirmField, ...]], ...] = ()
    left: int = 0
    holds: str = ""
    confirmed: tuple[ConfirmField, ...] = ()
    groups: tuple[tuple[str, tuple[ClauseRow, ...]], ...] = ()
    times: tuple[str, ...] = ()
    axis: Markup | None = None
    lanes: tuple[DayLane, ...] = ()
    height: tuple[str, ...] = ()
    changes: tuple[ChangeText, ...] = ()
    around: tuple[str, ...] = ()
    authority: tuple[str, ...] = ()
    site: Markup | None = None
    digest: str = ""
    again: bool = False


def show(visit: Visit) -> Answer:
    """The form, filled with what the address names; a planned flight on record with its answer."""
    said = {name: text.strip()[:_LONGEST] for name, text in visit.query.items()}
    if said.get("flight"):
        return _planned(visit, said["flight"])
    return _sheet(visit, {"day": visit.asked.on.isoformat(), **said}, {})


def act(visit: Visit) -> Answer:
    """The answer to a form; written only where the form says to save it."""
    said = {
        name: text.strip()[: _MOST_TEXT if name in _LONG else _LONGEST] for name, text in visit.said.items()
    }
    wrong: dict[str, str] = {}
    found = _answer(visit, said, wrong)
    if found is not None and said.get("way") == PRINT:
        return _sheet_of(visit, said, found[0])
    if found is not None and said.get("way") == SAVE:
        if said.get("name"):
            return _save(visit, said["name"], *found)
        wrong["name"] = "the flight has no name; give it one, like Quarry survey"
    return _sheet(visit, said, wrong, None if found is None else found[0])


def _planned(visit: Visit, name: str) -> PageSheet:
    """The page of a planned flight on record. Refused where there is none of that name."""
    try:
        saved = saved_flight(_on_record(visit), name)
    except AirwritError as fault:
        raise Refused(
            Trouble(404, "No such flight", fault.what, visit.path, NOTHING_WRITTEN, fault.do)
        ) from None
    said, wrong = fields_of(saved), dict[str, str]()
    found = _answer(visit, said, wrong)
    return _sheet(visit, said, wrong, None if found is None else found[0])


def _sheet_of(visit: Visit, said: Mapping[str, str], answer: FlightAnswer) -> Download:
    """The flight sheet, to be saved."""
    name = said.get("name", "")
    data = flight_pdf(answer, site_map(answer.check.plan, _folder(visit)), name)
    return Download("flight-sheet.pdf", "application/pdf", data, "flight sheet", (answer.check.plan.pilot,))


def _save(visit: Visit, name: str, answer: FlightAnswer, told: Sequence[Known]) -> Redirect:
    """Keep the plan, and lead back to it."""

    def write(book: Ledger) -> int:
        made = saving(held_in(visit.desk, book), name, answer, told, visit.by, visit.desk.clock())
        if made.taking.is_empty:
            return book.head().size
        return book.append(made.taking.drafts, visit.desk.clock, after=made.taking.after, files=made.files)[
            -1
        ].seq

    return write_once(visit, write, lambda seq: visit.link("/before-flight", flight=name, written=str(seq)))


def _told(said: Mapping[str, str], wrong: dict[str, str]) -> list[Known]:
    """What is confirmed in the form; what can't be read is noted at its field."""
    found = []
    for name in confirmations():
        text = said.get(CONFIRM + name, "")
        if not text:
            continue
        try:
            known = confirmation_of(name, text)
        except AirwritError as fault:
            wrong[CONFIRM + name] = fault.says
            continue
        if known is not None:
            found.append(known)
    return found


def _answer(
    visit: Visit, said: Mapping[str, str], wrong: dict[str, str]
) -> tuple[FlightAnswer, Sequence[Known]] | None:
    """The answer and what it counts as confirmed; None, with what is wrong noted at its field, where it can't be had."""
    told = _told(said, wrong)
    typed = PlanTyped(
        said.get("place", ""),
        said.get("radius", ""),
        f"{said.get('day', '')} {said.get('start', '')}",
        f"{said.get('day', '')} {said.get('end', '')}",
        said.get("height", ""),
        said.get("aircraft", ""),
        said.get("pilot", ""),
        said.get("for", ""),
        said.get("ground", ""),
    )
    try:
        subjects = [subject for kind in ("aircraft", "person") for subject in _subjects(visit, kind)]
        plan = plan_of(typed, subjects)
        told = told if said.get(DIGEST, plan.digest) == plan.digest else []
        days = int(said["days"]) if said.get("days") in _DAYS else 1
        weather = said.get("weather") or None
        near = _program(visit, plan, told)
        answer = flight_answer(
            plan, near, _folder(visit), weather, days, lambda: replace(near, known=_others(visit))
        )
    except AirwritError as fault:
        wrong.setdefault(_FIELDS.get(fault.where, fault.where), fault.says)
        return None
    return None if wrong else (answer, told)


def _folder(visit: Visit) -> Path:
    return visit.desk.ledger.parent / "airspace"


def _on_record(visit: Visit) -> list[Known]:
    """All that is on record now."""
    return list(all_known(held_now(visit.desk)))


def _others(visit: Visit) -> list[Known]:
    """All that is on record but for planned flights."""
    return without_plans(_on_record(visit))


def _program(visit: Visit, plan: FlightPlan, told: list[Known]) -> Program:
    """What is on record that can bear on the aircraft and the pilot, with what the form confirms."""
    circles = circles_now(visit.desk)
    near = {id(item): item for one in (plan.aircraft, plan.pilot) for item in circles.known_around(one)}
    known = without_plans(list(near.values()))
    report = visit.desk.standing(visit.asked).report
    spoiled = [pair for problem in report.problems for pair in problem.spoils]
    return Program(known, report.known_at, visit.desk.house().rules, told, spoiled)


def _sheet(
    visit: Visit, said: Mapping[str, str], wrong: Mapping[str, str], answer: FlightAnswer | None = None
) -> PageSheet:
    form = Typed(dict(said), dict(wrong))
    aircraft = tuple((subject, id_of(subject)) for subject in _subjects(visit, "aircraft"))
    pilots = tuple((subject, id_of(subject)) for subject in _subjects(visit, "person"))
    day = visit.asked.on
    if answer is not None:
        day = answer.check.plan.starts.astimezone(answer.check.plan.zone.info).date()
    page = BeforeFlightPage(form, aircraft, pilots, ticket(visit.desk), planned_on(visit, day))
    if answer is not None:
        page = _answered(visit, form, page, answer)
    return PageSheet(
        "before_flight.html",
        form.title("Before a flight"),
        page,
        (lambda: _nothing(wrong)) if answer is None else lambda: check_json(answer),
        422 if wrong else 200,
    )


def _nothing(wrong: Mapping[str, str]) -> Json:
    return {
        "question": "before_flight",
        "scope": SCOPE_OF_FLIGHT,
        "wrong": dict(wrong),
        "caution": CAUTION,
    }


def _subjects(visit: Visit, kind: str) -> list[str]:
    """The aircraft in the fleet, or the people who fly, in the order of the list."""
    return [
        row.subject
        for row in visit.desk.standing(visit.asked).rows
        if kind_of(row.subject) == kind and row.headline.code not in _OUT
    ]


def _answered(visit: Visit, form: Typed, page: BeforeFlightPage, answer: FlightAnswer) -> BeforeFlightPage:
    check = answer.check
    plan = check.plan
    owed = {fact_of(need) for need in check.owed}
    counts = form.values.get(DIGEST, check.plan.digest) == check.plan.digest
    given = [
        name for name in confirmations() if counts and form.values.get(CONFIRM + name) and name not in owed
    ]
    return BeforeFlightPage(
        page.form,
        page.aircraft,
        page.pilots,
        page.ticket,
        page.planned,
        answer,
        whole_text(check),
        f"{plan_text(plan)}.",
        tuple(_who(row, answer) for row in (check.aircraft, check.pilot)),
        tuple(_by_group(check.owed, form)),
        len(check.owed),
        words()["confirm"]["holds"],
        tuple(_field(name, form) for name in given),
        tuple((heading, tuple(map(_clause, clauses))) for heading, clauses in groups_of(check)),
        tuple(stretch_text(one, plan) for one in answer.stretches),
        hours_axis(_axis(answer, visit.desk.clock())),
        tuple(_lanes(answer, visit.desk.clock())),
        tuple(height_text(answer.highest_ft)),
        tuple(change_text(one, check) for one in answer.changes),
        tuple(around_lines(check)),
        tuple(authority_lines(check)),
        map_of(site_map(check.plan, _folder(visit))),
        check.plan.digest,
        form.values.get(DIGEST, check.plan.digest) != check.plan.digest,
    )


def _who(row: SubjectStanding, answer: FlightAnswer) -> WhoRow:
    check = answer.check
    verdict = check.verdict_of(row)
    against = row.deciding if verdict is not Verdict.MET else None
    why = "" if against is None else wording.worded(against, check.standing_state).says
    return WhoRow(verdict, id_of(row.subject), path_of(row.subject), row.headline.value, why)


def _by_group(owed: Iterable[Needed], form: Typed) -> Iterable[tuple[str, tuple[ConfirmField, ...]]]:
    """What is left to confirm, by where the pilot is when looking."""
    for group in dict.fromkeys(one.group for one in confirmations().values()):
        mine = [need for need in owed if confirmations()[fact_of(need)].group == group]
        if mine:
            yield words()["confirm"][group], tuple(_field(fact_of(need), form, need) for need in mine)


def _field(name: str, form: Typed, need: Needed | None = None) -> ConfirmField:
    one = confirmations()[name]
    key: Key[object] = KEYS[name]
    choices: tuple[tuple[str, str], ...] = ()
    if key.kind is bool:
        choices = (("yes", "yes"), ("no", "no"))
    elif issubclass(key.kind, StrEnum):
        choices = tuple((str(word), str(word)) for word in key.kind)
    hint = "" if choices or need is None else need.question.hint
    field = CONFIRM + name
    return ConfirmField(
        field, one.asks, one.look, choices, hint, form.values.get(field, ""), form.wrong.get(field, "")
    )


def _clause(clause: Clause) -> ClauseRow:
    cites = "".join(wording.cites(clause.finding)[-1:])
    return ClauseRow(clause.verdict, clause.finding.rule.name, clause_text(clause), cites)


def _axis(answer: FlightAnswer, now: datetime) -> DayAxis:
    plan = answer.check.plan
    start = answer.stretches[0].start
    end = min(answer.stretches[-1].end, start + timedelta(hours=25))
    day = datetime.combine(
        plan.starts.astimezone(plan.zone.info).date() + timedelta(days=1), time(), plan.zone.info
    )
    end = min(end, day.astimezone(start.tzinfo))
    return DayAxis(start, end, plan.zone, now if start <= now < end else None)


def _lanes(answer: FlightAnswer, now: datetime) -> Iterable[DayLane]:
    """The light of the flight's day, and when the flight could go, with the flight as planned."""
    plan, axis = answer.check.plan, _axis(answer, now)
    flight = LanePart(plan.starts, plan.ends, "met")
    yield DayLane("Light", "", lane(_bands(answer), axis))
    parts = [LanePart(one.start, one.end, one.verdict.value) for one in answer.stretches]
    reasons = dict.fromkeys(reason_text(one) for one in answer.stretches if one.verdict is not Verdict.MET)
    says = next(iter(reasons), words()["windows"]["met"])
    yield DayLane("As planned", says, lane(parts, axis, [flight]))


def _bands(answer: FlightAnswer) -> list[LanePart]:
    """Night and twilight of the day as bands."""
    plan = answer.check.plan
    day = plan.starts.astimezone(plan.zone.info).date()
    light = light_of(plan.place, plan.zone, day, day)[0]
    found = []
    for kind, first, last in (
        ("twilight", LightEvent.DAWN, LightEvent.SUNRISE),
        ("twilight", LightEvent.SUNSET, LightEvent.DUSK),
    ):
        found += [
            LanePart(a.at, b.at, kind)
            for a, b in zip(light.of(first), light.of(last), strict=False)
            if a.at < b.at
        ]
    dawn, dusk = light.of(LightEvent.DAWN), light.of(LightEvent.DUSK)
    if dawn and dusk:
        found += [LanePart(light.start, dawn[0].at, "night"), LanePart(dusk[-1].at, light.end, "night")]
    return found
