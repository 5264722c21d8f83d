"""Record: an answer to a question, or any fact of anything by hand; shown in pencil, then saved as one entry."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from airwrit.answers.acts.answer import (
    ALL,
    MODEL,
    FieldAsked,
    answer_entry,
    field_about,
    field_of,
    names_of_all,
    whom,
)
from airwrit.answers.acts.changes import WhatChanges, change_of, changed_in
from airwrit.answers.sheets.difference import Difference, HandEntry, OnRecord, saying_by_hand
from airwrit.answers.sheets.importing import known_after
from airwrit.base.days import EARLIEST, When, day_of, parse_when
from airwrit.base.errors import BadFact, UsageError
from airwrit.facts.key import Key
from airwrit.facts.state import State
from airwrit.facts.statement import Statement
from airwrit.facts.vocabulary import (
    ALL_KEYS,
    KEYS,
    TABLES,
    TELLABLE,
    TOLD_KEYS,
    id_of,
    kind_of,
    subject_named,
)
from airwrit.ledger.sqlite.store import Ledger
from airwrit.web.draw.words import path_of
from airwrit.web.parts.acts import effects_for
from airwrit.web.parts.facts import FactShown, facts_told
from airwrit.web.parts.questions import QuestionForm, question_form, resent
from airwrit.web.server.forms import (
    StatementWritten,
    Typed,
    sent_before,
    ticket,
    write_once,
    writes_of,
)
from airwrit.web.server.site import FIRST
from airwrit.web.server.trouble import NOTHING_WRITTEN, Refused, Trouble
from airwrit.web.server.visit import Answer, PageSheet, Redirect, Visit
from airwrit.web.server.workspace import held_in, held_now

KINDS = tuple(dict.fromkeys(TELLABLE.values()))
OTHER = "other"
"""The choice that says: something else, typed beside it."""

_LONGEST = 500
_NOTHING = "Nothing to save. Until someone knows, it stays “can't tell yet”."
_CHANGED = "The list changed since this page was opened. Check who it is for, then save."


class InPencil(NamedTuple):
    """What an answer would save and change; nothing where nobody knows, or all of it is on record."""

    writes: tuple[StatementWritten, ...]
    notes: tuple[str, ...]
    change: WhatChanges | None


@dataclass(frozen=True, slots=True)
class RecordPage:
    """The whole page: the question of one fact, or the facts of a subject to choose from, or which subject."""

    subject: str
    question: QuestionForm | None
    pencil: InPencil | None
    facts: tuple[FactShown, ...]
    since: str
    until: str
    ended: str
    note: str
    form: Typed
    kinds: tuple[str, ...]
    back: str


def show(visit: Visit) -> Answer:
    """The field of a fact; without one the facts of a subject, without a subject the way to name one."""
    subject, fact = visit.query.get("of", "").strip(), visit.query.get("fact", "")
    if not subject:
        name, kind = visit.query.get("name", "").strip(), visit.query.get("kind", "")
        subject = subject_named(kind, name) if name and kind in KINDS else ""
    if not subject:
        return _sheet(visit, "", None, None)
    _look_at(visit, subject)
    if not fact:
        return _sheet(visit, subject, None, None)
    state, held = _known(visit)
    asked = _open_now(visit, fact, visit.query.get("word", ""), subject) or _about(
        visit, fact, "", subject, state, held
    )
    form = question_form(asked, state, 1, ticket(visit.desk), _back(visit, subject), subject)
    return _sheet(visit, subject, form._replace(typed=visit.query.get("value", "")), None)


def act(visit: Visit) -> Answer:
    """Show what an answer would save, or save it where that was asked for and nothing is wrong."""
    said, chosen = visit.said, visit.said.get("for", "")
    writes = said.get("way") == "write"
    if writes and (gone := sent_before(visit, ())):
        return Redirect(gone)
    state, held = _known(visit)
    asked = _about(visit, said.get("fact", ""), said.get("word", ""), chosen, state, held)
    first = chosen if chosen in asked.subjects else ""
    made = question_form(asked, state, 1, ticket(visit.desk), _back(visit, chosen), first)
    try:
        some = whom(asked, chosen)
        entry = _entry(visit, asked, some, held)
        taking = None if entry is None else saying_by_hand(held, entry, visit.by)
    except (BadFact, UsageError) as fault:
        return _sheet(visit, first, resent(made, said, fault.says), None, said)
    changed = chosen in asked.alike and names_of_all(some) not in visit.chosen.get("seen", ())
    if not writes or taking is None or taking.is_empty or changed:
        return _sheet(visit, first, resent(made, said), _pencil(visit, taking, held, changed=changed), said)

    def write(book: Ledger) -> int:
        now = held_in(visit.desk, book)
        again = _entry(visit, asked, some, now)
        taking = saying_by_hand(now, again or HandEntry(()), visit.by)
        return book.append(taking.drafts, visit.desk.clock, after=taking.after)[-1].seq

    about = {*some, *(change.statement.subject for change in taking.changes)}
    onward = said.get("back", "")
    to = onward if _is_ours(onward) else made.back
    return write_once(visit, write, lambda seq: visit.link(to, None, written=str(seq)), about)


def _known(visit: Visit) -> tuple[State, OnRecord]:
    """How things are today, and every statement there is; nothing is judged that was not judged already."""
    return visit.desk.judged_on(visit.asked).state, held_now(visit.desk)


def _about(visit: Visit, fact: str, word: str, chosen: str, state: State, held: OnRecord) -> FieldAsked:
    """The field that a form or an address speaks of. Refused where there is no such fact of such a subject."""
    key = TOLD_KEYS.get(fact)
    if key is None:
        raise _refused(visit, f"there is no fact named {fact[:80]!r}", "choose one from the list")
    if chosen == ALL or chosen.startswith(MODEL) or word:
        asked = _open_now(visit, fact, word, "")
        if asked is None:
            raise _refused(
                visit, "this question has already been answered", "go back to see the open questions"
            )
        return asked
    _look_at(visit, chosen)
    if not _fits(key, chosen):
        raise _refused(visit, f"{key.meaning} isn't a fact of {chosen[:80]!r}", "choose one from the list")
    return field_about(key, chosen, state, held)


def _open_now(visit: Visit, fact: str, word: str, subject: str) -> FieldAsked | None:
    """The field of a question that is open today: of a subject, or of anybody for ""; None where it is not open."""
    answer = visit.desk.standing(visit.asked)
    gap = next((one for one in answer.gaps if one.key.name == fact and one.word == word), None)
    if gap is None or (subject and subject not in gap.subjects):
        return None
    return field_of(gap, answer.report.state, held_now(visit.desk))


def _fits(key: Key[object], subject: str) -> bool:
    """Whether a fact is one of a subject; of a training that nobody entered, its person is asked."""
    kinds = (TABLES[key.table], "person") if TABLES[key.table] == "training" else (TABLES[key.table],)
    return kind_of(subject) in kinds


def _look_at(visit: Visit, subject: str) -> None:
    if kind_of(subject) not in KINDS or not id_of(subject) or len(subject) > _LONGEST:
        raise _refused(
            visit, f"{subject[:80]!r} can't be on record", "choose a kind of record and enter its name"
        )


def _refused(visit: Visit, what: str, do: str) -> Refused:
    return Refused(Trouble(404, "We can't record that", what, visit.path, NOTHING_WRITTEN, do))


def _entry(visit: Visit, asked: FieldAsked, some: Sequence[str], held: OnRecord) -> HandEntry | None:
    """The entry that a form comes to; None where nobody knows. BadFact on what is wrong with it."""
    said, note = visit.said, visit.said.get("note", "").strip()
    since, until = _day_of(said.get("since", "")), _day_of(said.get("until", ""))
    if until is not None and day_of(until) <= day_of(since or EARLIEST):
        raise BadFact("it would end before it begins", do="correct one of the two dates")
    if said.get("ended") == "yes":
        started = since or visit.asked.today
        gone = tuple(Statement(one, asked.key.name, None, started) for one in some)
        return HandEntry(gone, note=note)
    value = said.get("value", "")
    if value == OTHER or not asked.choices:
        value = said.get("other", "") or ("" if value == OTHER else value)
    elif value == "" and said.get("other", ""):
        value = said["other"]
    if not value.strip():
        raise BadFact("there is no answer yet", do="choose or type one")
    if len(value) > _LONGEST or len(note) > _LONGEST:
        raise BadFact("the text is too long", do=f"write at most {_LONGEST} characters")
    day = visit.asked.today
    entry = answer_entry(asked, some, value, held, day, since)
    if entry is not None and until is not None:
        entry = entry._replace(statements=tuple(one._replace(valid_until=until) for one in entry.statements))
    return entry if entry is None or not note else entry._replace(note=note)


def _day_of(text: str) -> When | None:
    try:
        return parse_when(text.strip()) if text.strip() else None
    except ValueError as fault:
        raise BadFact(f"{text[:40]!r} isn't a date", do="write it like 2026-05-31") from fault


def _pencil(visit: Visit, taking: Difference | None, held: OnRecord, *, changed: bool) -> InPencil:
    if taking is None:
        return InPencil((), (_NOTHING,), None)
    notes = [
        f"{KEYS[one.key].meaning} of {id_of(one.subject)} would have two different values"
        for one in taking.contradictions
        if one.new
    ]
    notes += [_CHANGED] if changed else []
    about = tuple(one for one in changed_in(taking) if kind_of(one) in ("aircraft", "person"))
    change = change_of(effects_for(visit, taking, known_after(held, taking)), about)
    return InPencil(writes_of(taking), tuple(notes), change)


def _is_ours(path: str) -> bool:
    """Whether a path leads back to a page of this site."""
    return path.startswith("/") and not path.startswith(("//", "/\\")) and path.isprintable()


def _back(visit: Visit, subject: str) -> str:
    asked = visit.said.get("back") or visit.query.get("back", "")
    return asked if _is_ours(asked) else path_of(subject) or FIRST


def _sheet(
    visit: Visit,
    subject: str,
    question: QuestionForm | None,
    pencil: InPencil | None,
    said: Mapping[str, str] | None = None,
) -> PageSheet:
    state, told = visit.desk.judged_on(visit.asked).state, said or visit.query
    keys = tuple(key for key in ALL_KEYS if subject and TABLES[key.table] == kind_of(subject))
    view = RecordPage(
        subject,
        question,
        pencil,
        () if question is not None else facts_told(state, subject, keys, keys),
        told.get("since", ""),
        told.get("until", ""),
        told.get("ended", ""),
        told.get("note", ""),
        Typed({name: told.get(name, "") for name in ("kind", "name")}),
        KINDS,
        _back(visit, subject),
    )
    wrong = question is not None and bool(question.wrong)
    title = f"Record a change: {id_of(subject)[:80]}" if subject else "Record a change"
    return PageSheet(
        "record.html",
        f"Trouble: {title}" if wrong else title,
        view,
        lambda: _twin(view),
        422 if wrong else 200,
    )


def _twin(view: RecordPage) -> object:
    asked = view.question
    return {
        "question": "record",
        "subject": view.subject or None,
        "fact": asked and asked.fact,
        "asks": asked and asked.asks,
        "choices": asked and list(asked.choices),
        "for": asked and [one.value for one in asked.whom],
        "facts": {one.label: one.value if one.known else None for one in view.facts},
    }
