"""Flights entered by hand, one entry of the ledger each: what entering them would do, before anything is kept.

A flight is named by its aircraft and the minute of its landing, so that the same flight said again is seen as the same,
from whatever phone or desk it comes. Where only the day is known, its number within the day stands in.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Sequence
from contextlib import suppress
from datetime import UTC, date, datetime, timedelta
from typing import NamedTuple

from airwrit.answers.flights.doubles import doubles_to_look_at
from airwrit.answers.sheets.difference import (
    ChangeKind,
    Difference,
    FactChange,
    HandEntry,
    OnRecord,
    contradictions,
    saying_by_hand,
)
from airwrit.base.days import When, parse_when
from airwrit.base.errors import AirwritError, BadFact
from airwrit.facts.key import Key, Raw, raw_of
from airwrit.facts.keys.flights.flight import FLIGHT_AIRCRAFT, FLIGHT_PILOT
from airwrit.facts.keys.flights.log import (
    DEFECT_RELEASED_BY,
    DEFECT_RELEASED_ON,
    DEFECT_SEEN,
    FLOWN_FOR,
    FLOWN_ON,
    LANDINGS,
    MINUTES,
    PACKS,
    says_no_defect,
)
from airwrit.facts.keys.flights.planning import FLOWN_AGAINST
from airwrit.facts.keys.person import HAS_LEFT, LEFT_ON
from airwrit.facts.statement import Known, Problem, Statement
from airwrit.facts.vocabulary import folded, id_of, kind_of, subject_named
from airwrit.intake.typed.flight import Flown
from airwrit.intake.typed.phone_flights import HandedOver
from airwrit.ledger.entry import name_of_source, source_text
from airwrit.ledger.ports import Draft, KeptFile

ENTER = "enter"
"""The act of an entry that says a flight."""

_AHEAD = timedelta(minutes=10)


class FlightEntry(NamedTuple):
    """A flight with the place it was said at, for messages."""

    flown: Flown
    where: str = ENTER


def flight_subject(flown: Flown) -> str:
    """The name of a flight: its aircraft and the minute of its landing in UTC, or the day and its number within it."""
    landed = flown.landed
    if isinstance(landed, datetime):
        when = f"{landed.astimezone(UTC):%Y-%m-%dT%H:%MZ}"
    else:
        when = landed.isoformat() + (f" no. {flown.nth}" if flown.nth > 1 else "")
    return subject_named("flight", f"{flown.aircraft} {when}")


def statements_of(flown: Flown) -> tuple[Statement, ...]:
    """What a flight says, of what is known of it."""
    subject = flight_subject(flown)
    landed = flown.landed
    when = landed.isoformat(timespec="minutes") if isinstance(landed, datetime) else landed.isoformat()
    said: tuple[tuple[Key[object], Raw], ...] = (
        (FLIGHT_AIRCRAFT, flown.aircraft),
        (FLIGHT_PILOT, flown.pilot),
        (FLOWN_ON, when),
        (MINUTES, raw_of(flown.minutes)),
        (LANDINGS, raw_of(flown.landings)),
        (PACKS, ", ".join(flown.packs) or None),
        (FLOWN_FOR, raw_of(flown.use)),
        (DEFECT_SEEN, flown.defect or None),
        (FLOWN_AGAINST, flown.against or None),
    )
    return tuple(Statement(subject, key.name, value) for key, value in said if value is not None)


def placed(held: OnRecord, flown: Flown) -> Flown:
    """The flight with its aircraft and pilot as the ledger writes them. BadFact when it knows none such."""
    return flown._replace(
        aircraft=_named(held, "aircraft", flown.aircraft), pilot=_named(held, "person", flown.pilot)
    )


def remarks_on(when: When, now: datetime, where: str = ENTER, what: str = "landing") -> tuple[Problem, ...]:
    """What to look at before a landing or a release is kept: that it lies ahead of the clock."""
    late = when > now + _AHEAD if isinstance(when, datetime) else when > (now + timedelta(days=1)).date()
    if not late:
        return ()
    told = f"the {what} {when.isoformat()} is later than this computer's clock"
    return (Problem(where, told, "check the clock that recorded that time"),)


def _named(held: OnRecord, kind: str, name: str) -> str:
    """The name on record that a typed one means: itself, or the only one that differs in case and spaces alone."""
    known = list(dict.fromkeys(id_of(subject) for subject, _ in held.groups if kind_of(subject) == kind))
    if name in known:
        return name
    alike = [other for other in known if folded(other) == folded(name)]
    if len(alike) == 1:
        return alike[0]
    near = difflib.get_close_matches(name, known, n=1)
    what = "nobody on record is" if kind == "person" else "no aircraft on record is"
    do = f"did you mean {near[0]}?" if near else f"import or record the {kind} first"
    raise BadFact(f"{what} named {name!r}", do=do, field="pilot" if kind == "person" else kind)


def entering(
    held: OnRecord,
    said: Iterable[Flown],
    by: str,
    *,
    source: str = "",
    corrects: bool = False,
    note: str = "",
) -> Difference:
    """What entering flights would do: one entry each; what is on record in the same words is not said again.

    With `corrects` each fact said takes the place of what was said of it before; a defect is never taken back by silence.
    """
    changes: list[FactChange] = []
    drafts: list[Draft] = []
    same = 0
    for flown in said:
        mine, known = _changes_of(held, flown, name_of_source(source) or ENTER, corrects=corrects)
        same += known
        if mine:
            answers = tuple(dict.fromkeys(old.number for change in mine for old in change.was))
            told = tuple(change.statement for change in mine)
            drafts.append(Draft(by, ENTER, told, answers, source, note))
            changes += mine
    return Difference(held.after, tuple(changes), tuple(drafts), contradictions(held, changes), same=same)


def _changes_of(held: OnRecord, flown: Flown, origin: str, *, corrects: bool) -> tuple[list[FactChange], int]:
    """What a flight adds or corrects, and how many of its facts are on record already."""
    changes: list[FactChange] = []
    same = 0
    said = {statement.key: statement for statement in statements_of(flown)}
    for name, statement in said.items():
        alive = held.alive((statement.subject, name))
        if any(_says_same(item.statement, statement) for item in alive):
            same += 1
            continue
        was = tuple(alive) if corrects else ()
        changes.append(FactChange(ChangeKind.CORRECTED if was else ChangeKind.ADDED, statement, origin, was))
    return changes, same


def _says_same(one: Statement, other: Statement) -> bool:
    """Whether two statements of a fact say the same; a landing is the same in whatever zone it is written."""
    if one == other:
        return True
    if one.key != FLOWN_ON.name or one._replace(value=None) != other._replace(value=None):
        return False
    try:
        return parse_when(str(one.value)) == parse_when(str(other.value))
    except ValueError:
        return False


def handed(
    held: OnRecord, said: Sequence[FlightEntry], now: datetime
) -> tuple[tuple[Flown, ...], tuple[Problem, ...]]:
    """The flights that can be entered, each led to the names on record; a problem for each that cannot, and remarks."""
    good: dict[str, Flown] = {}
    problems: list[Problem] = []
    for one in said:
        try:
            flown = placed(held, one.flown)
        except AirwritError as fault:
            problems.append(Problem(one.where, fault.what, fault.do, unread=True))
            continue
        problems += remarks_on(flown.landed, now, one.where)
        subject = flight_subject(flown)
        if good.setdefault(subject, flown) != flown:
            what = f"this doesn't match an earlier entry about {id_of(subject)}"
            problems.append(Problem(one.where, what, "hand over only one of the two", unread=True))
    return tuple(good.values()), tuple(problems)


class TakingHanded(NamedTuple):
    """What taking in hand-overs would do, what cannot be taken in, and the files to keep with it."""

    taking: Difference
    problems: tuple[Problem, ...]
    files: tuple[KeptFile, ...]

    @property
    def is_open(self) -> bool:
        """Whether something was left out, or stays contradicted."""
        return bool(self.taking.contradictions) or any(problem.unread for problem in self.problems)


def taking_handed(
    held: OnRecord,
    files: Sequence[HandedOver],
    by: str,
    now: datetime,
    *,
    corrects: bool = False,
    note: str = "",
) -> TakingHanded:
    """What taking in flights that carry packs handed over would do. What is on record already is not said again."""
    problems = [problem for file in files for problem in file.problems]
    good, told = handed(held, [FlightEntry(*one) for file in files for one in file.flights], now)
    source = "; ".join(source_text(file.source) for file in files)
    taking = entering(held, good, by, source=source, corrects=corrects, note=note)
    twice = doubles_to_look_at(held, taking, "; ".join(file.source.name for file in files))
    kept = tuple(KeptFile(file.source.name, file.data) for file in files)
    return TakingHanded(taking, (*problems, *told, *twice), kept)


def releasing(held: OnRecord, aircraft: str, released: When, who: str, by: str) -> Difference:
    """What releasing an aircraft to fly would do: it closes every defect on record that was seen before and is still open.

    It takes the place of a sign-off by somebody who had left.
    BadFact when there is no such aircraft or none of its defects is open.
    """
    name = _named(held, "aircraft", aircraft)
    open_now = [subject for subject in _flights_of(held, name) if _is_open(held, subject, released)]
    if not open_now:
        raise BadFact(f"no open defect is on record for {name} up to then", do="check `airwrit flight-hours`")
    when = released.isoformat(timespec="minutes") if isinstance(released, datetime) else released.isoformat()
    said = [
        Statement(subject, key.name, value)
        for subject in open_now
        for key, value in ((DEFECT_RELEASED_ON, when), (DEFECT_RELEASED_BY, who))
    ]
    before = [item for subject in open_now for key in _SIGNED for item in held.alive((subject, key.name))]
    return saying_by_hand(held, HandEntry(tuple(said), takes=tuple(before)), by)


_SIGNED = (DEFECT_RELEASED_ON, DEFECT_RELEASED_BY)


class OpenDefect(NamedTuple):
    """A defect on record that nobody released the aircraft from yet; `flight` is the subject it was seen on.

    `gone` is who signed it off, where that person had left by then and it doesn't count.
    """

    aircraft: str
    flight: str
    seen: str
    gone: str = ""


def open_defects(held: OnRecord, until: When) -> tuple[OpenDefect, ...]:
    """Every defect seen up to a day or instant that is still open, by aircraft."""
    found = []
    for subject, key in held.groups:
        if key != DEFECT_SEEN.name or not _is_open(held, subject, until):
            continue
        seen = [str(one.statement.value) for one in held.alive((subject, key)) if one.statement.value]
        names = {one.statement.value for one in held.alive((subject, FLIGHT_AIRCRAFT.name))}
        found += [
            OpenDefect(str(name), subject, "; ".join(dict.fromkeys(seen)), _signed_by_gone(held, subject))
            for name in names
            if name is not None
        ]
    return tuple(sorted(found))


def _flights_of(held: OnRecord, aircraft: str) -> list[str]:
    return [
        subject
        for (subject, key) in held.groups
        if key == FLIGHT_AIRCRAFT.name
        and any(item.statement.value == aircraft for item in held.alive((subject, key)))
    ]


def _is_open(held: OnRecord, subject: str, released: When) -> bool:
    """Whether a flight has a defect on record that nobody released it from, and was not flown after `released`."""
    seen: list[Known] = held.alive((subject, DEFECT_SEEN.name))
    if all(item.statement.value is None or says_no_defect(str(item.statement.value)) for item in seen):
        return False
    signed = any(item.statement.value is not None for item in held.alive((subject, DEFECT_RELEASED_ON.name)))
    if signed and not _signed_by_gone(held, subject):
        return False
    for landed in _moments(held, subject, FLOWN_ON):
        if _day(landed) > _day(released) or (
            isinstance(landed, datetime) and isinstance(released, datetime) and landed > released
        ):
            return False
    return True


def _signed_by_gone(held: OnRecord, subject: str) -> str:
    """Who signed a defect off, where that person had left by then; "" otherwise."""
    days = [_day(when) for when in _moments(held, subject, DEFECT_RELEASED_ON)]
    for item in held.alive((subject, DEFECT_RELEASED_BY.name)):
        name = str(item.statement.value)
        person = subject_named("person", name)
        left = [_day(when) for when in _moments(held, person, LEFT_ON)]
        said = [one.statement.value for one in held.alive((person, HAS_LEFT.name))]
        if any(gone <= day for gone in left for day in days) or (days and not left and True in said):
            return name
    return ""


def _moments(held: OnRecord, subject: str, key: Key[date]) -> list[When]:
    """The days or instants on record of a fact; what is none is passed over."""
    found = []
    for item in held.alive((subject, key.name)):
        with suppress(ValueError):
            found.append(parse_when(str(item.statement.value)))
    return found


def _day(when: When) -> date:
    return when.date() if isinstance(when, datetime) else when
