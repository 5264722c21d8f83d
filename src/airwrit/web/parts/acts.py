"""Acts on a page: the fields of a form, what a change causes, the next step as a button, the acts that fit a subject."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import Any, NamedTuple
from urllib.parse import quote, urlencode

from airwrit.answers.acts.act import Act
from airwrit.answers.acts.catalog import ACTS, ActRequest, FieldShown
from airwrit.answers.acts.changes import WhatChanges, change_of
from airwrit.answers.acts.plan import Effects, Reckoned, difference, reckoned
from airwrit.answers.acts.step import NextStep, step_for
from airwrit.answers.sheets.difference import Contradiction, Difference, OnRecord
from airwrit.answers.sheets.importing import known_after
from airwrit.answers.standing.standing import Standing, standing
from airwrit.answers.standing.today import Expiry
from airwrit.base.days import parse_day
from airwrit.base.errors import BadFact, UsageError
from airwrit.base.sentences import sentence
from airwrit.facts.fold import is_same_number, state_of
from airwrit.facts.key import YES_NO, Key, value_of
from airwrit.facts.keys.aircraft import LOST_ON, REGISTRATION, SOLD_ON, SOLD_UNDER
from airwrit.facts.keys.event import HELD_UNDER
from airwrit.facts.keys.person import LEFT_ON
from airwrit.facts.state import State, value_held
from airwrit.facts.statement import Known
from airwrit.facts.vocabulary import KEYS, id_of, kind_of, subject_named
from airwrit.law.rule import Finding
from airwrit.web.server.forms import StatementWritten, writes_of
from airwrit.web.server.site import JOB_NAMES
from airwrit.web.server.visit import Visit
from airwrit.web.server.workspace import DayAsked, Workspace, judged


class Caused(NamedTuple):
    """All that a change would write, and what it changes for people; `notes` are what it would contradict and the like.

    `change` is None where nothing is on record yet that could change.
    """

    writes: tuple[StatementWritten, ...]
    change: WhatChanges | None
    notes: tuple[str, ...]
    entries: int


def effects_for(visit: Visit, taking: Difference, after: Sequence[Known]) -> Effects:
    """What differs on the day shown between what is known and what would be known, `after`, once it was taken in."""
    subjects = {change.statement.subject for change in taking.changes}
    told = [item for item in after if item.answers or item.statement.subject in subjects]
    raw = visit.desk.judged_on(visit.asked).state
    folded = state_of(told, raw.on, raw.known_at)
    after_it = raw.with_facts({subject: folded.held.get(subject, {}) for subject in subjects})
    return effects_in(visit, after_it)


def effects_in(visit: Visit, after: State) -> Effects:
    """What differs on the day shown between how things stand and how they would."""
    desk = visit.desk
    rules = desk.house().rules
    before, side = reckoned_on(desk, visit.asked)
    report = before.report

    def work() -> Effects:
        changed = standing(
            after, report.on, report.known_at, report.problems, report.sources, rules, like=before
        )
        return difference(before, changed, side)

    with desk.judging:
        return judged(work)


def reckoned_on(desk: Workspace, asked: DayAsked) -> tuple[Standing, Reckoned]:
    """The standing of the day asked about, and what is held of it against others, kept as long as it."""
    return desk.made_of("reckoned", asked, lambda now: (now, judged(lambda: reckoned(now))))


def caused_of(taking: Difference | None, effects: Effects, subject: str) -> Caused:
    """What a change writes and causes; `subject` is told of though nothing changes for it."""
    return Caused(
        () if taking is None else writes_of(taking),
        change_of(effects, (subject,)),
        tuple(_contradicted(() if taking is None else taking.contradictions)),
        0 if taking is None else len(taking.drafts),
    )


def caused_by(
    visit: Visit, taking: Difference, held: OnRecord, subjects: Sequence[str], notes: Sequence[str] = ()
) -> Caused:
    """What taking something in writes and causes, told of some subjects though nothing changes for them."""
    change = None
    if not visit.desk.is_empty:
        change = change_of(effects_for(visit, taking, known_after(held, taking)), subjects)
    notes = (*notes, *_contradicted(taking.contradictions))
    return Caused(writes_of(taking), change, notes, len(taking.drafts))


def _contradicted(found: Iterable[Contradiction]) -> list[str]:
    return [
        f"{KEYS[one.key].meaning} of {id_of(one.subject)} would have two different values. "
        "It counts as unknown until you correct one"
        for one in found
        if one.new
    ]


_FLIGHT = {"aircraft": "aircraft", "person": "pilot"}


class StepButton(NamedTuple):
    """A button: what it says and where it leads."""

    says: str
    path: str


def button_for(finding: Finding, state: State) -> StepButton | None:
    """The button of what a finding asks for; None where nothing that can be entered puts it right."""
    step = step_for(finding, state)
    return None if step is None else StepButton(step.says, path_of_step(step))


class ExpiryLine(NamedTuple):
    """One line of what expires, with its button and who does it."""

    expiry: Expiry
    button: StepButton | None
    who: str


def expiry_line(expiry: Expiry) -> ExpiryLine:
    """The line of what expires on a day."""
    return ExpiryLine(expiry, button_of(expiry.step, expiry.subjects), whose(expiry.who))


def button_of(step: NextStep | None, subjects: Sequence[str]) -> StepButton | None:
    """The button of a line: its step, or where it is told of several the first of them."""
    if step is None:
        return None
    takes_all = len(subjects) == 1 or step.page in JOB_NAMES
    return StepButton(step.says if takes_all else f"Start with {id_of(subjects[0])}", path_of_step(step))


def whose(names: Sequence[str]) -> str:
    """Who does something, in a few words; empty where nobody is named."""
    return names[0] if len(names) == 1 else "Each of them" if names else ""


def path_of_step(step: NextStep) -> str:
    """The address of the form that a step leads to."""
    kind, name = kind_of(step.subject), id_of(step.subject)
    at = f"{kind}/{quote(name, safe='')}"
    if step.act:
        return _with(f"/record-change/{step.act}/{at}", step.fills)
    if step.fact:
        return _with("/record-change", {"of": step.subject, "fact": step.fact})
    if "which" in step.fills:
        return f"/{step.page}?{urlencode([('which', one) for one in step.fills['which'].split()])}"
    if step.page == "incident":
        sent = f"/notice-sent/{quote(name, safe='')}"
        return _with(sent, step.fills) if step.fills else _with("/incident", {"of": name})
    if step.page == "release":
        return f"/release/{quote(name, safe='')}"
    if step.page == "flight":
        return _with("/log-flight", {_FLIGHT[kind]: name} if kind in _FLIGHT else {})
    return _with(f"/{step.page}", {"of": step.subject})


def _with(path: str, query: Mapping[str, str]) -> str:
    return f"{path}?{urlencode(query)}" if query else path


_ONLY_WHERE: dict[str, Key[Any]] = {
    "buy": SOLD_ON,
    "find": LOST_ON,
    "give_back": HELD_UNDER,
    "join": LEFT_ON,
}
"""Acts that fit a subject on record only where a fact is on file of it."""


class ActLink(NamedTuple):
    """An act that may be written: its word, the subject where that is not the sheet's own, what it means, its address."""

    word: str
    about: str
    meaning: str
    path: str


def acts_for(state: State, subject: str, others: Iterable[str] = ()) -> tuple[ActLink, ...]:
    """The acts of a subject, and of other subjects that its sheet speaks for; of its old registration, canceling."""
    return (*_acts_for(state, subject, others), *_cancel_old(state, subject))


def _cancel_old(state: State, subject: str) -> tuple[ActLink, ...]:
    old, number = value_held(state, subject, SOLD_UNDER), value_held(state, subject, REGISTRATION)
    if old is None or (number is not None and is_same_number(old, number)):
        return ()
    links = _acts_for(state, subject_named("registration", old))
    return tuple(
        link._replace(about=f"registration {old}")
        for link in links
        if link.path.startswith("/record-change/cancel/")
    )


def _acts_for(state: State, subject: str, others: Iterable[str] = ()) -> tuple[ActLink, ...]:
    return tuple(
        ActLink(
            act.name.replace("_", " ").capitalize(),
            "" if one == subject else f"{kind_of(one)} {id_of(one)}",
            act.meaning,
            f"/record-change/{act.name}/{kind_of(one)}/{quote(id_of(one), safe='')}",
        )
        for one in dict.fromkeys((subject, *others))
        for act in ACTS
        if act.about == kind_of(one) and _fits(act.name, state, one)
    )


def _fits(act: str, state: State, subject: str) -> bool:
    key = _ONLY_WHERE.get(act)
    return key is None or key in state.held.get(subject, {})


def acts_for_new(kind: str) -> tuple[ActLink, ...]:
    """The acts by which an aircraft or a person comes on record."""
    return tuple(
        ActLink(act.name.replace("_", " ").capitalize(), "", act.meaning, f"/record-change/{act.name}")
        for act in ACTS
        if act.about == kind and act.may_be_new
    )


DAY, NAME = "day", "name"
_LISTED = 60
_UNITS = {"g": "grams", "lb": "pounds", "ft": "feet"}


class FieldForm(NamedTuple):
    """A field as the form shows it: its name, question, widget, and what may be chosen."""

    name: str
    asks: str
    widget: str
    choices: tuple[str, ...]
    required: bool
    hint: str


def names_of(act: Act) -> tuple[str, ...]:
    """The names of all fields of an act's form."""
    return (NAME, DAY, *(field.name for field in act.fields))


def suggested(fields: tuple[FieldShown, ...]) -> dict[str, str]:
    """What the fields hold before anybody types."""
    told = {one.field.name: one.suggestion for one in fields if one.suggestion is not None}
    return {
        name: ("yes" if one else "no") if isinstance(one, bool) else str(one) for name, one in told.items()
    }


def thought_of(act: Act, subject: str, values: Mapping[str, str]) -> ActRequest:
    """The act as filled in. ValueError on a day that is none."""
    told = {field.name: values[field.name] for field in act.fields if values.get(field.name)}
    return ActRequest(
        act.name, subject or subject_named(act.about, values.get(NAME, "")), told, parse_day(values[DAY])
    )


def wrong_in(act: Act, subject: str, values: Mapping[str, str]) -> dict[str, str]:
    """What is wrong with each field by itself."""
    wrong: dict[str, str] = {}
    if not subject and not values.get(NAME):
        wrong[NAME] = f"enter the name of the {act.about}"
    try:
        parse_day(values.get(DAY, ""))
    except ValueError:
        wrong[DAY] = "enter the date it happened, like 2026-05-31"
    for field in act.fields:
        text = values.get(field.name, "")
        if not text and field.required:
            wrong[field.name] = f"we need this: {field.asks[:1].lower()}{field.asks[1:]}"
        elif text and not field.names and field.key is not None:
            try:
                value_of(field.key, YES_NO.get(text.lower(), text) if field.kind is bool else text)
            except BadFact as fault:
                wrong[field.name] = f"we can't use {text[:60]!r}. {sentence(fault.do)}"
    return wrong


def field_at_fault(act: Act, fault: UsageError | BadFact) -> str:
    """The field of the form that a fault is about; empty for the whole."""
    return next((field.name for field in act.fields if field.name == fault.field), "")


def field_shown(one: FieldShown) -> FieldForm:
    """A field with the widget that fits it."""
    field, choices = one.field, tuple(one.choices)
    if field.kind is bool:
        widget = "radios"
    elif field.names:
        widget = "select" if choices and len(choices) <= _LISTED and not field.may_be_new else "text"
    elif field.words:
        widget = "select"
    else:
        widget = "date" if field.kind is date else "number" if field.unit else "text"
    hint = f"in {_UNITS.get(field.unit, field.unit)}" if field.unit else ""
    return FieldForm(field.name, field.asks, widget, choices[:500], field.required, hint)
