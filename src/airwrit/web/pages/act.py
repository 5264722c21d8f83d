"""One act: its fields, what it would write and cause, and the button that writes it."""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from airwrit.answers.act import Act
from airwrit.answers.acts import ACTS, FieldShown, Thought, fields_shown, subjects_named
from airwrit.answers.acts_kept import Plan, plan_of
from airwrit.answers.effects import Effects
from airwrit.answers.effects_json import act_json, deed_json, effects_json
from airwrit.answers.fees import value_held
from airwrit.answers.taking_in import before
from airwrit.base.errors import BadFact, UsageError
from airwrit.base.times import parse_day
from airwrit.facts.aircraft import OWNER, REGISTRATION
from airwrit.facts.key import value_of
from airwrit.facts.papers import PAPER_RESPONSIBLE
from airwrit.facts.state import State
from airwrit.facts.vocabulary import id_of, kind_of, subject_named
from airwrit.ledger.store import Ledger
from airwrit.web.forms import Ticket, Typed, sent_before, ticket, write_once
from airwrit.web.records.caused import Caused, caused_of, effects_for
from airwrit.web.records.kept import held_now
from airwrit.web.sheets import Answer, Moved, Sheet, Visit
from airwrit.web.trouble import NOTHING_WRITTEN, Refused, Trouble
from airwrit.web.words import path_of

DAY, NAME = "day", "name"
_LISTED = 60
_BY_NAME = {act.name: act for act in ACTS}
_YES_NO = {"yes": True, "no": False}


class Shown(NamedTuple):
    """A field as the form shows it: its name, question, widget, and what may be chosen."""

    name: str
    asks: str
    widget: str
    choices: tuple[str, ...]
    required: bool
    hint: str


@dataclass(frozen=True, slots=True)
class View:
    """The whole page. `subject` is empty while a new one is to be named."""

    act: str
    meaning: str
    subject: str
    form: Typed
    fields: tuple[Shown, ...]
    ticket: Ticket
    caused: Caused | None
    back: str


class Filled(NamedTuple):
    """What stands in the form, and what it comes to where nothing is wrong with it."""

    typed: Typed
    plan: Plan | None
    effects: Effects | None


def show(visit: Visit) -> Answer:
    """The form of an act; what it causes too, where it needs nothing more or the address fills it in."""
    act, subject, state = _asked(visit)
    fields = fields_shown(act, state, subject)
    given = {name: visit.query[name] for name in _names(act) if name in visit.query}
    values = {DAY: visit.asked.today.isoformat(), **_suggested(fields), **given}
    ready = bool(given) or (bool(subject) and not any(field.required for field in act.fields))
    filled = _filled(visit, act, subject, values) if ready else Filled(Typed(values), None, None)
    return _sheet(visit, act, subject, fields, filled)


def act(visit: Visit) -> Answer:
    """Show what a filled-in form causes, or write it where that was asked for and nothing is wrong."""
    one, subject, state = _asked(visit)
    values = {name: visit.said.get(name, "").strip() for name in _names(one)}
    writes = visit.said.get("way") == "write"
    if writes and (gone := sent_before(visit)):
        return Moved(gone)
    filled = _filled(visit, one, subject, values)
    if not writes or filled.plan is None or filled.plan.taking.is_empty:
        return _sheet(visit, one, subject, fields_shown(one, state, subject), filled)
    thought = _thought(one, subject, values)
    done = filled.plan.deed.subject

    def write(book: Ledger) -> int:
        taking = plan_of(thought, before(book), visit.desk.by).taking
        return book.append(taking.drafts, visit.desk.clock, after=taking.after)[-1].seq

    return write_once(visit, write, lambda seq: visit.link(_back(done, state), None, written=str(seq)))


def _asked(visit: Visit) -> tuple[Act, str, State]:
    """The act and the subject of an address. Refused where there is no such act, or it is not about that subject."""
    name, subject = visit.named["act"], visit.named.get("subject", "")
    found = _BY_NAME.get(name.replace("-", "_"))
    state = visit.desk.standing(visit.asked).report.state
    if found is None:
        near = difflib.get_close_matches(name, _BY_NAME, n=1)
        raise _refused(
            visit, f"no act is called {name[:80]!r}", f"did you mean {near[0]}?" if near else "go back"
        )
    if not subject and not found.may_be_new:
        raise _refused(visit, f"{found.name} needs a subject", f"open it from the page of a {found.about}")
    if subject and (
        kind_of(subject) != found.about or id_of(subject) not in subjects_named(state, found.about)
    ):
        raise _refused(
            visit, f"no {found.about} is called {id_of(subject)[:80]!r}", "see the lists of the site"
        )
    return found, subject, state


def _refused(visit: Visit, what: str, do: str) -> Refused:
    return Refused(Trouble(404, "No such act here", what, visit.path, NOTHING_WRITTEN, do))


def _names(act: Act) -> tuple[str, ...]:
    return (NAME, DAY, *(field.name for field in act.fields))


def _suggested(fields: tuple[FieldShown, ...]) -> dict[str, str]:
    told = {one.field.name: one.suggestion for one in fields if one.suggestion is not None}
    return {
        name: ("yes" if one else "no") if isinstance(one, bool) else str(one) for name, one in told.items()
    }


def _thought(act: Act, subject: str, values: Mapping[str, str]) -> Thought:
    told = {field.name: values[field.name] for field in act.fields if values.get(field.name)}
    return Thought(
        act.name, subject or subject_named(act.about, values.get(NAME, "")), told, parse_day(values[DAY])
    )


def _filled(visit: Visit, act: Act, subject: str, values: Mapping[str, str]) -> Filled:
    """The form as filled in: what is wrong with it, or what it comes to."""
    wrong = _wrong(act, subject, values)
    if wrong:
        return Filled(Typed(values, wrong), None, None)
    try:
        plan = plan_of(_thought(act, subject, values), held_now(visit.desk), visit.desk.by)
    except (UsageError, BadFact) as fault:
        return Filled(Typed(values, {_field_of(act, fault): f"{fault.what}; {fault.do}"}), None, None)
    return Filled(Typed(values), plan, effects_for(visit, plan))


def _wrong(act: Act, subject: str, values: Mapping[str, str]) -> dict[str, str]:
    """What is wrong with each field by itself."""
    wrong: dict[str, str] = {}
    if not subject and not values.get(NAME):
        wrong[NAME] = f"say what the {act.about} is called"
    try:
        parse_day(values.get(DAY, ""))
    except ValueError:
        wrong[DAY] = "say on which day it happened, like 2026-05-31"
    for field in act.fields:
        text = values.get(field.name, "")
        if not text and field.required:
            wrong[field.name] = f"this has to be known: {field.asks[:1].lower()}{field.asks[1:]}"
        elif text and not field.names and field.key is not None:
            try:
                value_of(field.key, _YES_NO.get(text, text) if field.kind is bool else text)
            except BadFact as fault:
                wrong[field.name] = f"{text[:60]!r} cannot be taken; {fault.do}"
    return wrong


def _field_of(act: Act, fault: UsageError | BadFact) -> str:
    """The field that a fault speaks of; empty for the whole."""
    words = fault.what.split()
    return next((field.name for field in act.fields if field.name in words), "")


def _sheet(visit: Visit, act: Act, subject: str, fields: tuple[FieldShown, ...], filled: Filled) -> Sheet:
    state = visit.desk.standing(visit.asked).report.state
    plan, effects = filled.plan, filled.effects
    caused = None
    if plan is not None and effects is not None:
        caused = caused_of(plan.taking, effects, plan.deed.subject)
    view = View(
        act.name,
        act.meaning,
        subject,
        filled.typed,
        tuple(_shown(one) for one in fields),
        ticket(visit.desk),
        caused,
        visit.link(_back(subject, state)),
    )
    words = act.name.replace("_", " ").capitalize()
    title = filled.typed.title(f"{words}: {id_of(subject)[:80]}" if subject else words)
    return Sheet("act.html", title, view, lambda: _twin(act, subject, filled), 200)


def _shown(one: FieldShown) -> Shown:
    field, choices = one.field, tuple(one.choices)
    if field.kind is bool:
        widget = "radios"
    elif field.names:
        widget = "select" if choices and len(choices) <= _LISTED and not field.may_be_new else "text"
    elif field.words:
        widget = "select"
    else:
        widget = "date" if field.kind is date else "number" if field.unit else "text"
    hint = f"in {field.unit}" if field.unit else ""
    return Shown(field.name, field.asks, widget, choices[:500], field.required, hint)


def _back(subject: str, state: State) -> str:
    """The page to go back to: of the subject, or of what hangs on it."""
    if path_of(subject):
        return path_of(subject)
    name = id_of(subject)
    keys = {"registration": REGISTRATION, "owner": OWNER}
    key = keys.get(kind_of(subject))
    under = state.holding(key, name) if key is not None else []
    person = value_held(state, subject, PAPER_RESPONSIBLE) if kind_of(subject) == "paper" else None
    return path_of(under[0]) if under else path_of(f"person/{person}") if person else "/standing"


def _twin(act: Act, subject: str, filled: Filled) -> object:
    plan, effects = filled.plan, filled.effects
    return {
        "question": "act",
        "subject": subject or None,
        **act_json(act),
        "typed": dict(filled.typed.values),
        "wrong": dict(filled.typed.wrong),
        "deed": None if plan is None else deed_json(plan.deed),
        "effects": None if effects is None else effects_json(effects),
    }
