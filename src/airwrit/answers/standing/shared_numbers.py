"""One certificate, one aircraft: a number of a Part 48 certificate per aircraft, or of Part 47, that stands on several.

A recreational certificate covers all the aircraft of its owner and is not looked at. Where a number of the other kinds stands
on two aircraft, one of them is not the certificate's: which, the program cannot know, so that neither holds it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from airwrit.answers.asking.steps import value
from airwrit.answers.sheets.difference import Contradiction, FactChange, OnRecord
from airwrit.answers.sheets.reimport import holding
from airwrit.base.days import EARLIEST
from airwrit.base.verdict import Why
from airwrit.facts.choices import RegistrationKind
from airwrit.facts.keys.aircraft import REGISTRATION
from airwrit.facts.keys.registration import REGISTRATION_KIND
from airwrit.facts.state import Held, State, with_held
from airwrit.facts.statement import Known, Problem
from airwrit.facts.vocabulary import kind_of

_FOR_ONE = (RegistrationKind.PER_AIRCRAFT, RegistrationKind.PART_47)


def one_number_each(state: State) -> tuple[State, tuple[Problem, ...]]:
    """The state with every number that stands on several aircraft held as contradicted there, and a problem for each."""
    by_number: dict[str, list[str]] = defaultdict(list)
    for subject in state.subjects("aircraft"):
        number = value(state, subject, REGISTRATION)
        if number is not None:
            by_number[number].append(subject)
    shared = {
        number: aircraft
        for number, aircraft in by_number.items()
        if len(aircraft) > 1 and value(state, f"registration/{number}", REGISTRATION_KIND) in _FOR_ONE
    }
    if not shared:
        return state, ()
    changes = {
        subject: {REGISTRATION: Held(None, Why.CONFLICT, state.held[subject][REGISTRATION].origins)}
        for aircraft in shared.values()
        for subject in aircraft
    }
    return with_held(state, changes), tuple(
        Problem(
            " and ".join(aircraft),
            f"registration number {number} is on {len(aircraft)} aircraft, but its certificate is for one",
            "look at the aircraft and the certificates, and correct the number that is wrong",
            tuple((subject, REGISTRATION.name) for subject in aircraft),
        )
        for number, aircraft in shared.items()
    )


def numbers_shared(held: OnRecord, changes: Sequence[FactChange], day: date) -> tuple[Contradiction, ...]:
    """The numbers that would stand on several aircraft on a day, one of them touched by the changes."""
    items = _after(held, changes)
    by_number: dict[str, list[tuple[str, str]]] = defaultdict(list)
    for (subject, key), mine in items.items():
        if key == REGISTRATION.name and kind_of(subject) == "aircraft":
            for item in holding(mine, day):
                if isinstance(item.statement.value, str):
                    by_number[item.statement.value].append((subject, item.origin))
    touched = {change.statement.subject for change in changes}
    found = []
    for number, said in by_number.items():
        certificate = f"registration/{number}"
        kinds = {
            item.statement.value
            for item in holding(items.get((certificate, REGISTRATION_KIND.name), []), day)
        }
        aircraft = dict(said)
        if len(aircraft) > 1 and kinds & set(_FOR_ONE) and touched & {certificate, *aircraft}:
            found.append(
                Contradiction(certificate, REGISTRATION.name, EARLIEST, tuple(aircraft.items()), new=True)
            )
    return tuple(found)


def _after(held: OnRecord, changes: Iterable[FactChange]) -> Mapping[tuple[str, str], list[Known]]:
    """The unanswered statements of numbers and kinds of certificate, once the changes are kept."""
    wanted = (REGISTRATION.name, REGISTRATION_KIND.name)
    given = list(changes)
    gone = {old.number for change in given for old in change.was}
    found: dict[tuple[str, str], list[Known]] = defaultdict(list)
    for pair in held.groups:
        if pair[1] in wanted:
            found[pair] += [item for item in held.alive(pair) if item.number not in gone]
    for change in given:
        statement = change.statement
        if statement.key in wanted:
            found[statement.subject, statement.key].append(Known(statement, change.origin))
    return found
