"""Life events as one act each: what is told becomes statements, shown before they are kept, and kept as one entry.

A form is made of `ACTS`: `fields_shown` gives its fields with what may be chosen, `deed_of` what the answers put on record,
`acts_kept.plan_of` what that does to the ledger (with the draft to append), `effects.effects_of` the duties that follow.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from typing import Any, NamedTuple

from airwrit.answers.acts.act import Act, ActField, ActInput, refused
from airwrit.answers.acts.aircraft import AIRCRAFT_ACTS
from airwrit.answers.acts.person import PEOPLE_ACTS
from airwrit.answers.acts.registration import REGISTRATION_ACTS
from airwrit.answers.acts.upkeep import UPKEEP_ACTS
from airwrit.answers.sheets.difference import EVER
from airwrit.base.days import Order, order_of
from airwrit.base.errors import BadFact, UsageError
from airwrit.facts.fold import state_of
from airwrit.facts.key import YES_NO, Key, Raw, raw_of, value_of
from airwrit.facts.keys.aircraft import DESTROYED_ON, EXPORTED_ON, LOST_ON, PART_OF, REGISTRATION, SOLD_ON
from airwrit.facts.keys.person import LEFT_ON
from airwrit.facts.keys.registration import CANCELLED_ON
from airwrit.facts.state import State, value_held
from airwrit.facts.statement import Known, Statement
from airwrit.facts.vocabulary import ALL_KEYS, KEYS, folded, id_of, subject_named

ACTS: tuple[Act, ...] = AIRCRAFT_ACTS + UPKEEP_ACTS + REGISTRATION_ACTS + PEOPLE_ACTS
"""Every life event there is."""

BY_NAME: Mapping[str, Act] = {act.name: act for act in ACTS}
"""The same by their names."""

ONCE: tuple[Key[date], ...] = (SOLD_ON, LOST_ON, DESTROYED_ON, EXPORTED_ON, CANCELLED_ON, LEFT_ON)
"""Days of what can happen only once, unless it was undone in between: two of them contradict each other."""

_FIRST, _LAST = date(1980, 1, 1), date(2099, 12, 31)
_LINKS = tuple(key for key in ALL_KEYS if key.links_to)


class ActRequest(NamedTuple):
    """An act as somebody says it: its name, its subject, what is told, and the day."""

    act: str
    subject: str
    told: Mapping[str, Raw]
    on: date


class ActPlanned(NamedTuple):
    """An act as it would be kept: the subject, the day, what was told, its statements, and the subjects that are new."""

    act: Act
    subject: str
    on: date
    told: Mapping[str, Raw]
    statements: tuple[Statement, ...]
    new: tuple[str, ...]


class FieldShown(NamedTuple):
    """A field as a form shows it: what may be chosen, and what may be filled in beforehand."""

    field: ActField
    choices: tuple[str, ...]
    suggestion: Raw


def act_named(name: str) -> Act:
    """The act of that name, hyphens as good as underscores. UsageError names the nearest."""
    wanted = name.strip().lower().replace("-", "_")
    if wanted in BY_NAME:
        return BY_NAME[wanted]
    near = difflib.get_close_matches(wanted, BY_NAME, n=1)
    do = (
        f"did you mean {near[0]}?"
        if near
        else "`airwrit record-change --acts` lists them. To enter a fact instead, write the record as kind/name"
    )
    raise refused(f"there is no act named {name!r}", do, "ACT")


def fields_shown(act: Act, state: State, subject: str = "") -> tuple[FieldShown, ...]:
    """The fields of an act with the words or subjects that may be chosen, for a subject where it is known already."""
    shown = []
    for field in act.fields:
        choices = _named_for(field, state, subject) if field.names else field.words
        suggestion = None if field.suggests is None else value_held(state, subject, field.suggests)
        shown.append(FieldShown(field, choices, raw_of(suggestion)))
    return tuple(shown)


def _named_for(field: ActField, state: State, subject: str) -> tuple[str, ...]:
    """The names a field offers: of parts only those on the subject itself."""
    if field.names == "part" and subject:
        return tuple(id_of(one) for one in state.holding(PART_OF, id_of(subject)))
    return tuple(subjects_named(state, field.names))


def subjects_named(state: State, kind: str) -> list[str]:
    """The names of all subjects of a kind: those spoken of, and those that others point at."""
    found = dict.fromkeys(id_of(subject) for subject in state.subjects(kind))
    links = [key for key in _LINKS if key.links_to == kind]
    for facts in state.held.values():
        for key in links:
            held = facts.get(key)
            if held is not None and held.why is None:
                found.update(dict.fromkeys(key.values_in(held.value)))
    return list(found)


def deed_of(
    act: Act,
    subject: str,
    told: Mapping[str, Raw],
    on: date,
    known: Iterable[Known],
    state: State | None = None,
) -> ActPlanned:
    """What an act puts on record, from what is on file of all days. UsageError and BadFact on an act that cannot be.

    `state` is what `known` comes to on the day of the act, where it is at hand.
    """
    if not _FIRST <= on <= _LAST:
        raise refused(f"we can't use the date {on}", f"use a date from {_FIRST} to {_LAST}", "--on")
    held = list(known)
    if state is None:
        state = state_of(held, on, EVER)
    names: dict[str, str] = {}
    named = _subject(act, subject, state, names)
    values = _values(act, told, state, names)
    made = dict.fromkeys(act.makes(ActInput(state, named, on, values)))
    statements = tuple(dict.fromkeys(_with_what_it_contradicts(made, held)))
    if not statements:
        raise refused("all of this is already on record", "check `airwrit history`", named)
    _none_private(statements, act)
    raws = {name: raw_of(value) for name, value in values.items()}
    return ActPlanned(act, named, on, raws, statements, tuple(new for new in names if names[new]))


def subject_meant(act: Act, text: str, known: Iterable[Known], on: date) -> str:
    """The subject that is meant, with or without its kind before it. UsageError when no such one is on file."""
    return _subject(act, text, state_of(known, on, EVER), {})


def _subject(act: Act, text: str, state: State, names: dict[str, str]) -> str:
    """The subject an act is about, with or without its kind before it."""
    kind, slash, name = text.strip().partition("/")
    if not slash or kind != act.about:
        if slash and _is_kind(kind) and (act.about, kind) != ("registration", "aircraft"):
            raise refused(
                f"{act.name!r} can't be recorded for {text}",
                f"name a record of this kind: {act.about}",
                "SUBJECT",
            )
        name = name if kind == "aircraft" and act.about == "registration" else text.strip()
    if act.about == "registration":
        name = _of_aircraft(name, state)
    return subject_named(act.about, _name(act.about, name, state, names, may_be_new=act.may_be_new))


def _of_aircraft(name: str, state: State) -> str:
    """The number of the registration that an aircraft of this name has; the name itself where it is a number on file."""
    wanted = folded(name.removeprefix("aircraft/"))
    held = [
        state.held[one].get(REGISTRATION)
        for one in state.subjects("aircraft")
        if folded(id_of(one)) == wanted
    ]
    numbers = [one.value for one in held if one is not None and one.why is None]
    on_file = {folded(number) for number in subjects_named(state, "registration")}
    return str(numbers[0]) if len(numbers) == 1 and folded(name) not in on_file else name


def _is_kind(text: str) -> bool:
    """Whether a word is a kind of subject that an act may be about or name."""
    return text in {act.about for act in ACTS} | {key.links_to for key in _LINKS}


def _name(kind: str, text: str, state: State, names: dict[str, str], *, may_be_new: bool) -> str:
    """The name on file that is meant, in any case and spacing; a new one where that is allowed."""
    if not text:
        raise refused(f"you didn't name the {kind}", "add its name", "SUBJECT")
    on_file = subjects_named(state, kind)
    if text in on_file:
        return text
    alike = [name for name in on_file if folded(name) == folded(text)]
    if len(alike) == 1:
        return alike[0]
    if may_be_new:
        names[subject_named(kind, text)] = text
        return text
    near = difflib.get_close_matches(text, on_file, n=1, cutoff=0.4)
    raise refused(
        f"no {kind} named {text!r} is on file",
        f"did you mean {near[0]!r}?"
        if near
        else f"import your sheet first, or add it with `airwrit record-change {kind}/NAME FACT=VALUE`"
        if not on_file
        else "`airwrit today` lists the names",
    )


def _values(act: Act, told: Mapping[str, Raw], state: State, names: dict[str, str]) -> dict[str, Any]:
    """The typed values of what was told; an empty text tells nothing. UsageError on an unknown or a missing field."""
    fields = {field.name: field for field in act.fields}
    for name in told:
        if name not in fields:
            near = difflib.get_close_matches(name, fields, n=1)
            takes = f"it takes {', '.join(fields)}" if fields else "it takes only the name and the date"
            raise refused(
                f"{act.name!r} has no field {name!r}", f"did you mean {near[0]}?" if near else takes
            )
    values: dict[str, Any] = {}
    for field in act.fields:
        raw = told.get(field.name)
        if raw is not None and raw != "":
            values[field.name] = _value(field, raw, state, names)
        elif field.required:
            hint = ": " + ", ".join(map(repr, field.words)) if field.words else ""
            raise refused(
                f"{field.name!r} is missing",
                f"{field.asks} Answer with {field.name}=...{hint}",
                field=field.name,
            )
    return values


def _value(field: ActField, raw: Raw, state: State, names: dict[str, str]) -> Any:
    """The typed value of one field: a name on file, or what the key's kind allows. BadFact or UsageError names the field."""
    try:
        return _value_given(field, raw, state, names)
    except (BadFact, UsageError) as fault:
        fault.field = field.name
        raise


def _value_given(field: ActField, raw: Raw, state: State, names: dict[str, str]) -> Any:
    if field.names:
        text = str(raw).strip().removeprefix(f"{field.names}/")
        return _name(field.names, text, state, names, may_be_new=field.may_be_new)
    if isinstance(raw, str):
        raw = raw.strip()
        if field.kind is bool:
            raw = YES_NO.get(raw.lower(), raw)
    if field.key is None or field.kind is bool:
        if isinstance(raw, bool):
            return raw
        raise BadFact(f"we can't use {raw!r} for {field.name}", do="answer yes or no")
    try:
        return value_of(field.key, raw)
    except BadFact as fault:
        raise BadFact(f"we can't use {raw!r} for {field.name}", do=fault.do) from fault


def _none_private(statements: Sequence[Statement], act: Act) -> None:
    """Private facts are kept in entries of their own, so no act may state one."""
    private = [one.key for one in statements if KEYS[one.key].private]
    if private:
        raise ValueError(f"{act.name} states the private fact {private[0]}")


def _with_what_it_contradicts(made: Iterable[Statement], known: Sequence[Known]) -> Iterator[Statement]:
    """The statements; and where one tells a day of what happens only once, and another day is on file, both from the later.

    A later start would hide the earlier day without a word. Said of the same day on, the two contradict each other.
    """
    statements = list(made)
    yield from statements
    once = {key.name for key in ONCE}
    answered = {number for item in known for number in item.answers}
    for statement in statements:
        if statement.key not in once or statement.value is None:
            continue
        pair = statement.subject, statement.key
        alive = [
            item.statement
            for item in known
            if (item.statement.subject, item.statement.key) == pair
            and not (item.number and item.number in answered)
        ]
        for other in alive:
            if other.value not in (None, statement.value) and not _undone_between(statement, other, alive):
                yield _from_the_later(statement, other)


def _undone_between(one: Statement, other: Statement, alive: Iterable[Statement]) -> bool:
    """Whether it is on file that the earlier of two ended before the later began."""
    first, second = sorted((one, other), key=_start)
    if first.valid_until is not None:
        return True
    return any(
        said.value is None and said.valid_until is None and _start(first) < _start(said) <= _start(second)
        for said in alive
    )


def _start(statement: Statement) -> date:
    start = statement.valid_from
    return date(start.year, start.month, start.day)


def _from_the_later(one: Statement, other: Statement) -> Statement:
    """The earlier-starting of two statements, said again from the start of the later one."""
    if order_of(other.valid_from, one.valid_from) is Order.AFTER:
        return one._replace(valid_from=other.valid_from)
    return other._replace(valid_from=one.valid_from)
