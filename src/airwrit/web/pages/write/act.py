"""One act: its fields, what it would write and cause, and the button that writes it."""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple

from airwrit.answers.acts.act import Act
from airwrit.answers.acts.catalog import BY_NAME, ActRequest, FieldShown, fields_shown, subjects_named
from airwrit.answers.acts.json import act_json, deed_json, effects_json
from airwrit.answers.acts.plan import ActPlan, Effects, plan_of
from airwrit.answers.sheets.difference import OnRecord
from airwrit.base.errors import BadFact, UsageError
from airwrit.facts.keys.aircraft import OWNER, REGISTRATION
from airwrit.facts.keys.paper import PAPER_RESPONSIBLE
from airwrit.facts.state import State, value_held
from airwrit.facts.vocabulary import id_of, kind_of
from airwrit.ledger.sqlite.store import Ledger
from airwrit.web.draw.words import path_of
from airwrit.web.parts.acts import (
    DAY,
    Caused,
    FieldForm,
    caused_of,
    effects_for,
    field_at_fault,
    field_shown,
    names_of,
    reckoned_on,
    suggested,
    thought_of,
    wrong_in,
)
from airwrit.web.server.forms import NOTE, Ticket, Typed, sent_before, ticket, write_once
from airwrit.web.server.trouble import NOTHING_WRITTEN, Refused, Trouble
from airwrit.web.server.visit import Answer, PageSheet, Redirect, Visit
from airwrit.web.server.workspace import DayAsked, Workspace, circles_now, held_in, held_now

CORRECTS = "corrects"


@dataclass(frozen=True, slots=True)
class ActPage:
    """The whole page. `subject` is empty while a new one is to be named."""

    act: str
    meaning: str
    subject: str
    form: Typed
    fields: tuple[FieldForm, ...]
    ticket: Ticket
    caused: Caused | None
    back: str


class Filled(NamedTuple):
    """What stands in the form, and what it comes to where nothing is wrong with it."""

    typed: Typed
    plan: ActPlan | None
    effects: Effects | None


def make_ready(desk: Workspace, asked: DayAsked) -> None:
    """Make what the effects of every act are told from: who points at whom, and what a day's standing is held against."""
    circles_now(desk)
    reckoned_on(desk, asked)


def show(visit: Visit) -> Answer:
    """The form of an act; what it causes too, where it needs nothing more or the address fills it in."""
    act, subject, state = _asked(visit)
    fields = fields_shown(act, state, subject)
    given = {name: visit.query[name] for name in names_of(act) if name in visit.query}
    values = {DAY: visit.asked.today.isoformat(), **suggested(fields), **given}
    ready = bool(given) or (bool(subject) and not any(field.required for field in act.fields))
    filled = _filled(visit, act, subject, values) if ready else Filled(Typed(values), None, None)
    if filled.typed.wrong and not given:  # nobody typed anything yet
        filled = Filled(Typed(values), None, None)
    return _sheet(visit, act, subject, fields, filled)


def act(visit: Visit) -> Answer:
    """Show what a filled-in form causes, or write it where that was asked for and nothing is wrong."""
    one, subject, state = _asked(visit)
    values = {name: visit.said.get(name, "").strip() for name in (*names_of(one), NOTE, CORRECTS)}
    writes = visit.said.get("way") == "write"
    if writes and (gone := sent_before(visit, {subject})):
        return Redirect(gone)
    filled = _filled(visit, one, subject, values)
    if not writes or filled.plan is None or filled.plan.taking.is_empty:
        return _sheet(visit, one, subject, fields_shown(one, state, subject), filled)
    thought = thought_of(one, subject, values)
    done = filled.plan.deed.subject

    def write(book: Ledger) -> int:
        taking = _planned(visit, thought, held_in(visit.desk, book), values).taking
        return book.append(taking.drafts, visit.desk.clock, after=taking.after)[-1].seq

    about = {done, *(change.statement.subject for change in filled.plan.taking.changes)}
    return write_once(visit, write, lambda seq: visit.link(_back(done, state), None, written=str(seq)), about)


def _asked(visit: Visit) -> tuple[Act, str, State]:
    """The act and the subject of an address. Refused where there is no such act, or it is not about that subject."""
    name, subject = visit.named["act"], visit.named.get("subject", "")
    found = BY_NAME.get(name.replace("-", "_"))
    state = visit.desk.standing(visit.asked).report.state
    if found is None:
        near = difflib.get_close_matches(name, BY_NAME, n=1)
        raise _refused(
            visit, f"there is no form named {name[:80]!r}", f"did you mean {near[0]}?" if near else "go back"
        )
    if not subject and not found.may_be_new:
        raise _refused(
            visit,
            f"we don't know which record {found.name!r} is for",
            f"open it from the {found.about}'s page",
        )
    if subject and (
        kind_of(subject) != found.about or id_of(subject) not in subjects_named(state, found.about)
    ):
        raise _refused(
            visit, f"no {found.about} is named {id_of(subject)[:80]!r}", "choose one from the list"
        )
    return found, subject, state


def _refused(visit: Visit, what: str, do: str) -> Refused:
    return Refused(Trouble(404, "There is no such form", what, visit.path, NOTHING_WRITTEN, do))


def _filled(visit: Visit, act: Act, subject: str, values: Mapping[str, str]) -> Filled:
    """The form as filled in: what is wrong with it, or what it comes to."""
    wrong = wrong_in(act, subject, values)
    if wrong:
        return Filled(Typed(values, wrong), None, None)
    try:
        state = visit.desk.judged_on(visit.asked).state
        plan = _planned(visit, thought_of(act, subject, values), held_now(visit.desk), values, state)
    except (UsageError, BadFact) as fault:
        if fault.where == "--correct":
            wrong = {CORRECTS: f"nothing like it is on record for {id_of(subject)}. Leave this unchecked"}
            return Filled(Typed(values, wrong), None, None)
        return Filled(Typed(values, {field_at_fault(act, fault): fault.says}), None, None)
    return Filled(Typed(values), plan, effects_for(visit, plan.taking, plan.after))


def _planned(
    visit: Visit, thought: ActRequest, held: OnRecord, values: Mapping[str, str], state: State | None = None
) -> ActPlan:
    corrects = values.get(CORRECTS) == "yes"
    return plan_of(thought, held, visit.by, values.get(NOTE, ""), corrects=corrects, state=state)


def _sheet(visit: Visit, act: Act, subject: str, fields: tuple[FieldShown, ...], filled: Filled) -> PageSheet:
    state = visit.desk.standing(visit.asked).report.state
    plan, effects = filled.plan, filled.effects
    caused = None
    if plan is not None and effects is not None:
        caused = caused_of(plan.taking, effects, plan.deed.subject)
    view = ActPage(
        act.name,
        act.meaning,
        subject,
        filled.typed,
        tuple(field_shown(one) for one in fields),
        ticket(visit.desk),
        caused,
        visit.link(_back(subject, state)),
    )
    words = act.name.replace("_", " ").capitalize()
    title = filled.typed.title(f"{words}: {id_of(subject)[:80]}" if subject else words)
    status = 422 if filled.typed.wrong and visit.said else 200
    return PageSheet("act.html", title, view, lambda: _twin(act, subject, filled), status)


def _back(subject: str, state: State) -> str:
    """The page to go back to: of the subject, or of what hangs on it."""
    if path_of(subject):
        return path_of(subject)
    name = id_of(subject)
    keys = {"registration": REGISTRATION, "owner": OWNER}
    key = keys.get(kind_of(subject))
    under = state.holding(key, name) if key is not None else []
    person = value_held(state, subject, PAPER_RESPONSIBLE) if kind_of(subject) == "paper" else None
    return path_of(under[0]) if under else path_of(f"person/{person}") if person else "/today"


def _twin(act: Act, subject: str, filled: Filled) -> object:
    plan, effects = filled.plan, filled.effects
    return {
        "question": "act",
        "subject": subject or None,
        **act_json(act),
        "typed": dict(filled.typed.values),
        "wrong": dict(filled.typed.wrong),
        "deed": None if plan is None else deed_json(plan.deed),
        "effects": None if effects is None else effects_json(effects, (subject,)),
    }
