"""Incident: whom to notify by when or why not, what happened in fields, what to keep; saved with a hold when asked to."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum
from typing import Any, NamedTuple

from airwrit.answers.document import SCOPE_OF_INCIDENT
from airwrit.answers.incident.decision import IncidentAnswer, ListItem, decided, words
from airwrit.answers.incident.keeping import (
    MOST_EVIDENCE,
    IncidentOnFile,
    close_text,
    close_together,
    evidence,
    incidents_on_file,
    keep_incident,
    saying,
    subject_for,
)
from airwrit.answers.incident.questions import LISTED
from airwrit.answers.incident.told import Row, headline, incident_json, item_word, rows_of, title_of, watch
from airwrit.answers.incident.typed import typed_incident
from airwrit.base.errors import AirwritError
from airwrit.facts.choices import words_of
from airwrit.facts.flight_choices import Hurt, IncidentUnder
from airwrit.facts.fold import state_of
from airwrit.facts.key import Key, raw_of
from airwrit.facts.keys import incident as keys
from airwrit.facts.state import State, with_held
from airwrit.facts.statement import Problem
from airwrit.facts.vocabulary import id_of, subject_named
from airwrit.ledger.ports import KeptFile
from airwrit.ledger.sqlite.store import Ledger
from airwrit.papers.incident_pdf import reports_pdf
from airwrit.web.server.forms import Ticket, Typed, sent_before, ticket, write_once
from airwrit.web.server.visit import Answer, Download, PageSheet, Redirect, Visit
from airwrit.web.server.workspace import held_now

_LONGEST, _MOST_WORDS = 300, 5_000
_LONG = (keys.NARRATIVE, keys.WITNESSES, keys.INJURIES)
_FOLDED, _FILE, _NO_OTHER = "folded", "file", "no_other_item"
MOST_BYTES = MOST_EVIDENCE + (1 << 20)
"""The most bytes of a form: a file kept as evidence, and the fields beside it."""
_GROUPS: tuple[tuple[str, str, tuple[Key[Any], ...]], ...] = (
    (
        "When, where and with what",
        "",
        (
            keys.HAPPENED_ON,
            keys.HAPPENED_TIME,
            keys.INCIDENT_PLACE,
            keys.INCIDENT_ZONE,
            keys.INCIDENT_AIRCRAFT,
            keys.INCIDENT_PILOT,
            keys.INCIDENT_UNDER,
            keys.RECREATION_RULES_KEPT,
            keys.IN_OPERATION,
        ),
    ),
    ("People", "", (keys.ANYONE_HURT,)),
    (
        "If anyone was hurt",
        _FOLDED,
        (
            keys.SERIOUS_INJURY,
            keys.UNCONSCIOUS,
            keys.DEATH_OR_INJURY,
            keys.EMPLOYEE_HARM,
            keys.PUBLIC_EMPLOYER,
            keys.HARMED_ON,
            keys.EMPLOYER_LEARNED_ON,
            keys.INJURIES,
        ),
    ),
    (
        "Property",
        "",
        (keys.DAMAGED, keys.PROPERTY_DAMAGED, keys.REPAIR_COST, keys.TOTAL_LOSS, keys.PROPERTY_VALUE),
    ),
    ("The NTSB's list", "list", LISTED),
    (
        "The aircraft and the flight",
        "rows",
        (
            keys.AIRWORTHINESS_CERTIFICATE,
            keys.SUBSTANTIAL_DAMAGE,
            keys.DEVIATED,
            keys.FAA_ASKED,
            keys.WRECKAGE_KEPT,
            keys.NEAR_MISS,
        ),
    ),
    ("In your own words", "", (keys.NARRATIVE, keys.WITNESSES)),
    (
        "What was reported, and the sign-off",
        _FOLDED,
        (
            keys.REPORTED_ON,
            keys.NTSB_TOLD_ON,
            keys.NTSB_ASKED,
            keys.NTSB_REPORT_ON,
            keys.RELEASED_ON,
            keys.OSHA_TOLD_ON,
            keys.DEVIATION_SENT_ON,
            keys.NASA_SENT_ON,
            keys.NASA_LEARNED_ON,
            keys.AIRCRAFT_RELEASED_ON,
            keys.AIRCRAFT_RELEASED_BY,
        ),
    ),
)


class IncidentField(NamedTuple):
    """A field of the form: its name, question, hint, the kind of field, and its choices."""

    name: str
    asks: str
    hint: str
    kind: str
    choices: tuple[tuple[str, str], ...]


class FieldGroup(NamedTuple):
    """Fields under one heading; `looks` is "folded", "rows", or "list" where they are not plain fields."""

    title: str
    looks: str
    fields: tuple[IncidentField, ...]
    is_open: bool


class ItemRow(NamedTuple):
    """An item of the NTSB's list with its word."""

    item: ListItem
    word: str


@dataclass(frozen=True, slots=True)
class IncidentPage:
    """The page: first things, the form, and the answer where something was told."""

    form: Typed
    ticket: Ticket
    of: str
    first: tuple[str, ...]
    groups: tuple[FieldGroup, ...]
    keep: tuple[str, ...]
    watch: tuple[str, ...]
    on_file: tuple[IncidentOnFile, ...]
    close: tuple[str, ...]
    evidence: tuple[str, ...] = ()
    title: str = ""
    says: tuple[str, ...] = ()
    problems: tuple[Problem, ...] = ()
    rows: tuple[Row, ...] = ()
    asked: frozenset[str] = frozenset()
    items: tuple[ItemRow, ...] = ()


def show(visit: Visit) -> Answer:
    """The form; with an incident on record named, what is on record of it and the decision."""
    return _sheet(visit, _cut(visit.query), {})


def act(visit: Visit) -> Answer:
    """The decision by what the form says; with `way` write it is put on record, with a hold."""
    said, wrong = _cut(visit.said), dict[str, str]()
    writes = said.get("way") == "write"
    if writes and (gone := sent_before(visit)):
        return Redirect(gone)
    if said.get("way") in ("keep", "pdf"):
        return _keep(visit, said) if said["way"] == "keep" else _worksheet(visit, said)
    if not writes:
        return _sheet(visit, said, wrong)
    state, incident = _state(visit), _incident(said)
    told = typed_incident(incident, _texts(said), state)
    try:
        full = with_held(state, state_of(told.known, state.on, state.known_at).held)
        subject = subject_for(full, incident)
    except AirwritError as fault:
        wrong[fault.where] = f"{fault.what}; {fault.do}"
    if wrong or told.wrong:
        return _sheet(visit, said, wrong)

    def write(book: Ledger) -> int:
        desk = visit.desk
        taking = saying(held_now(desk), subject, told.known, visit.by)
        return keep_incident(book, taking, subject, visit.by, desk.clock, visit.by)

    return write_once(
        visit, write, lambda seq: visit.link("/incident", None, of=id_of(subject), written=str(seq))
    )


def _worksheet(visit: Visit, said: Mapping[str, str]) -> Answer:
    """The worksheet of what each report asks, by what the form says; the form again where it can't be read."""
    state, incident = _state(visit), _incident(said)
    told = typed_incident(incident, _texts(said), state)
    full = with_held(state, state_of(told.known, state.on, state.known_at).held)
    if told.wrong or not full.held.get(incident):
        return _sheet(visit, said, {})
    about = (incident,) if state.held.get(incident) else ()
    made = reports_pdf(decided(full, incident, visit.desk.clock()))
    return Download("incident.pdf", "application/pdf", made, "worksheet" if about else "", about)


def _keep(visit: Visit, said: Mapping[str, str]) -> Answer:
    """Keep a file as evidence of an incident on record."""
    sent = next((one for one in visit.files.get(_FILE, ()) if one.name), None)
    subject = _incident(said)
    if sent is None or not _state(visit).held.get(subject):
        return _sheet(visit, said, {_FILE: "pick a file of an incident on record"})
    kept = evidence(subject, (KeptFile(sent.name, sent.data),), visit.by)

    def write(book: Ledger) -> int:
        return book.append(kept.drafts, visit.desk.clock, files=kept.files)[-1].seq

    return write_once(
        visit, write, lambda seq: visit.link("/incident", None, of=id_of(subject), written=str(seq))
    )


def _cut(said: Mapping[str, str]) -> dict[str, str]:
    long = {key.name for key in _LONG}
    return {name: text.strip()[: _MOST_WORDS if name in long else _LONGEST] for name, text in said.items()}


def _texts(said: Mapping[str, str]) -> dict[str, str]:
    """What the fields of facts say; where the rest of the list is said not to have happened, its open items are a no."""
    names = {key.name for _, _, group in _GROUPS for key in group}
    told = {name: text for name, text in said.items() if name in names and text}
    rest = {key.name: "no" for key in LISTED} if said.get(_NO_OTHER) == "yes" else {}
    return {**rest, **told}


def _incident(said: Mapping[str, str]) -> str:
    return subject_named("incident", said.get("of") or "incident")


def _state(visit: Visit) -> State:
    """What is on record; nothing where there is no record yet."""
    now = visit.desk.clock()
    return state_of((), now, now) if visit.desk.is_empty else visit.desk.standing(visit.asked).report.state


def _sheet(visit: Visit, said: Mapping[str, str], wrong: Mapping[str, str]) -> PageSheet:
    state, incident = _state(visit), _incident(said)
    texts = _texts(said)
    told = typed_incident(incident, texts, state)
    full = with_held(state, state_of(told.known, state.on, state.known_at).held)
    bad = {**told.wrong, **wrong}
    form = Typed({**_on_record(full, incident), **texts}, bad)
    answer = None
    if full.held.get(incident):
        try:
            answer = decided(full, incident, visit.desk.clock())
        except AirwritError as fault:
            bad = {**bad, fault.where: f"{fault.what}; {fault.do}"}
            form = Typed(form.values, bad)
    page = _page(visit, form, state, said.get("of", ""), answer)
    if answer is None:
        first = words()["first"]
        return form.sheet(
            "incident.html",
            "Incident",
            page,
            lambda: form.unanswered("incident", SCOPE_OF_INCIDENT, first=first),
        )
    return form.sheet("incident.html", "Incident", page, lambda: incident_json(answer))


def _on_record(state: State, incident: str) -> dict[str, str]:
    """What is held of an incident, as the fields of the form show it."""
    found = {}
    for key, held in state.held.get(incident, {}).items():
        if held.why is None and key is not keys.KEPT_AS_EVIDENCE:
            raw = raw_of(held.value)
            found[key.name] = ("yes" if raw else "no") if isinstance(raw, bool) else str(raw)
    return found


def _page(visit: Visit, form: Typed, state: State, of: str, answer: IncidentAnswer | None) -> IncidentPage:
    incidents = incidents_on_file(state)
    rows = () if answer is None else rows_of(answer)
    asked = {one.asks for one in rows}
    groups = tuple(_group(group, form, state, asked) for group in _GROUPS)
    today = decided(state, "incident/incident", visit.desk.clock()) if answer is None else answer
    page = IncidentPage(
        form,
        ticket(visit.desk),
        of,
        tuple(words()["first"]),
        groups,
        tuple(words()["keep"]),
        watch(today),
        incidents,
        tuple(map(close_text, close_together(incidents))),
    )
    if answer is None:
        return page
    kept = answer.state.held.get(answer.incident, {}).get(keys.KEPT_AS_EVIDENCE)
    return replace(
        page,
        evidence=() if kept is None else tuple(kept.value),
        title=title_of(answer),
        says=headline(answer),
        problems=answer.moment.problems,
        rows=rows,
        asked=frozenset(field.name for group in groups for field in group.fields) & asked,
        items=tuple(ItemRow(item, item_word(item)) for item in answer.items),
    )


def _group(
    group: tuple[str, str, tuple[Key[Any], ...]], form: Typed, state: State, asked: Collection[str]
) -> FieldGroup:
    title, looks, mine = group
    fields = tuple(_field(key, state) for key in mine)
    hurt = form.values.get(keys.ANYONE_HURT.name, "") not in ("", Hurt.NOBODY)
    names = {field.name for field in fields}
    is_open = bool(names & {*form.values, *form.wrong, *asked}) or (keys.EMPLOYEE_HARM in mine and hurt)
    return FieldGroup(title, looks, fields, is_open)


def _field(key: Key[Any], state: State) -> IncidentField:
    hint = words()["hints"].get(key.name, "")
    if key is keys.HAPPENED_ON:
        return IncidentField(key.name, "Which day?", "", "date", ())
    if key.links_to:
        names = tuple((id_of(one), id_of(one)) for one in state.subjects(key.links_to))
        return IncidentField(key.name, key.question, hint, "select" if names else "text", names)
    if key.kind is bool:
        return IncidentField(
            key.name, key.question, hint, "radios", (("yes", "Yes"), ("no", "No"), ("", "Don't know"))
        )
    if issubclass(key.kind, StrEnum):
        choices = tuple((one.value, words_of(one)[:1].upper() + words_of(one)[1:]) for one in key.kind)
        kind = "radios" if key.kind in (Hurt, IncidentUnder) else "select"
        return IncidentField(
            key.name,
            key.question,
            hint,
            kind,
            (*choices, ("", "Don't know")) if kind == "radios" else choices,
        )
    if key.kind is date and not key.instants:
        return IncidentField(key.name, key.question, hint, "date", ())
    return IncidentField(key.name, key.question, hint, "area" if key in _LONG else "text", ())
