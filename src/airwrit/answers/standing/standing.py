"""Who and what may fly on a day, why not, what is due, and what is missing: the heart of the tool.

One certificate, one aircraft: a recreational certificate covers all the aircraft of its owner and is not looked at. Where a
number of the other kinds stands on two aircraft, one of them is not the certificate's: which, the program cannot know, so that
neither holds it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from itertools import chain, repeat
from typing import Any, NamedTuple

from airwrit.answers.sheets.difference import Contradiction, FactChange, OnRecord
from airwrit.answers.sheets.reimport import holding
from airwrit.answers.standing.headline import Due, SubjectStanding, due_items, rows_decided, rows_of
from airwrit.answers.standing.missing import (
    Assumed,
    MissingFact,
    Tallies,
    assumed_in,
    gaps_of,
    tallies_of,
    words_assumed,
)
from airwrit.answers.standing.report import Report
from airwrit.base.days import EARLIEST, When, day_of
from airwrit.base.errors import UsageError
from airwrit.base.sentences import with_section
from airwrit.base.verdict import Why
from airwrit.facts.choices import CrewRole, RegistrationKind, UsedFor
from airwrit.facts.fold import state_of
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import APPLIED_ON, OWNER, REGISTRATION, USED_FOR, WEIGHED_ON
from airwrit.facts.keys.flights.flight import (
    EDUCATIONAL,
    FLIGHT_AIRCRAFT,
    HELPS_BUSINESS,
    HELPS_ORGANIZATION,
    PAID,
)
from airwrit.facts.keys.paper import FOR_COUNSEL
from airwrit.facts.keys.person import (
    BORN_ON,
    CREW_ROLE,
    EVENT_OF,
    HAS_LEFT,
    LEFT_ON,
    SAFETY_TEST_ON,
)
from airwrit.facts.keys.registration import ISSUED_ON, OWNER_BORN_ON, REGISTERED_TO, REGISTRATION_KIND
from airwrit.facts.state import NOTHING_HELD, Held, State, value_held, with_held
from airwrit.facts.statement import Known, Problem, Source
from airwrit.facts.vocabulary import id_of, kind_of
from airwrit.law.aircraft.fleet import FLIES_AT_ALL_RULE
from airwrit.law.contradictions import settled, told
from airwrit.law.parameters import FIRST_DAY
from airwrit.law.rule import Bears, Review, Rule, review
from airwrit.law.rulebook import ASKED, ASKED_KINDS

_PAST = (OWNER_BORN_ON, BORN_ON, ISSUED_ON, APPLIED_ON, WEIGHED_ON, SAFETY_TEST_ON)

Place = tuple[str, Key[Any]]


class _Doubt(NamedTuple):
    places: tuple[Place, ...]
    what: str
    do: str


def without_contradictions(state: State, earlier: State | None = None) -> tuple[State, tuple[Problem, ...]]:
    """The state with every pair of facts that cannot both be so held as contradicted, and a problem for each pair.

    `earlier` is a state of the same day or instant without its contradictions, of which most is held still.
    """
    found = settled(state, day_of(state.on), earlier)
    return found, tuple(_problem(doubt) for doubt in _clashes(found))


def contradictions(state: State, today: date) -> tuple[State, tuple[Problem, ...]]:
    """The same for the facts of one aircraft told on a day, of which none can be of a day to come."""
    found = [*_days_to_come(state, today), *_purposes(state)]
    changes: dict[str, dict[Key[Any], Held]] = {}
    for doubt in found:
        for subject, key in doubt.places:
            changes.setdefault(subject, {})[key] = Held(None, Why.CONFLICT)
    without, problems = without_contradictions(with_held(state, changes))
    return without, (*map(_problem, found), *problems)


def _problem(doubt: _Doubt) -> Problem:
    return Problem(
        " and ".join(dict.fromkeys(f"{subject} {key.name}" for subject, key in doubt.places)),
        doubt.what,
        doubt.do,
        tuple((subject, key.name) for subject, key in doubt.places),
    )


def _clashes(state: State) -> Iterable[_Doubt]:
    for clash in state.clashes:
        words = told(clash, state)
        yield _Doubt(clash.places, with_section(words.says, words.cites), words.do)


def _days_to_come(state: State, today: date) -> Iterator[_Doubt]:
    for subject, facts in state.held.items():
        for key in _PAST:
            day = None if key not in facts or facts[key].why is not None else facts[key].value
            if day is not None and day_of(day) > today:
                yield _Doubt(
                    ((subject, key),),
                    f"{day} is still to come.",
                    f"Enter a date up to {today}, or leave it out.",
                )


def _purposes(state: State) -> Iterator[_Doubt]:
    for flight in state.subjects("flight"):
        aircraft = f"aircraft/{value_held(state, flight, FLIGHT_AIRCRAFT)}"
        if value_held(state, aircraft, USED_FOR) is not UsedFor.RECREATION or value_held(
            state, flight, EDUCATIONAL
        ):
            continue
        for key in (PAID, HELPS_BUSINESS, HELPS_ORGANIZATION):
            if value_held(state, flight, key):
                yield _Doubt(
                    ((aircraft, USED_FOR), (flight, key)),
                    f"Recreation only is on file, but a flight on file isn't recreation: {key.meaning}.",
                    "Enter work, or work and recreation, unless another aircraft flies that flight.",
                )


_FOR_ONE = (RegistrationKind.PER_AIRCRAFT, RegistrationKind.PART_47)


def one_number_each(state: State) -> tuple[State, tuple[Problem, ...]]:
    """The state with every number that stands on several aircraft held as contradicted there, and a problem for each."""
    by_number: dict[str, list[str]] = defaultdict(list)
    for subject in state.subjects("aircraft"):
        number = value_held(state, subject, REGISTRATION)
        if number is not None:
            by_number[number].append(subject)
    shared = {
        number: aircraft
        for number, aircraft in by_number.items()
        if len(aircraft) > 1 and value_held(state, f"registration/{number}", REGISTRATION_KIND) in _FOR_ONE
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


_PILOT = FLIES_AT_ALL_RULE


@dataclass(frozen=True, slots=True)
class Standing:
    """The whole answer: rows in the order of the input, what is due, what is missing, who has left, and the report."""

    report: Report
    rows: tuple[SubjectStanding, ...]
    due: tuple[Due, ...]
    gaps: tuple[MissingFact, ...]
    left: tuple[tuple[str, date | None], ...]
    review: Review
    tallies: Tallies

    @property
    def assumed(self) -> tuple[Assumed, ...]:
        """What is taken as "no" because nothing is on file of it."""
        return assumed_in(chain.from_iterable([one.silent for one in self.tallies.values()]), self.rows)

    @property
    def words_assumed(self) -> tuple[str, ...]:
        """The same in words alone."""
        return words_assumed(chain.from_iterable([one.silent for one in self.tallies.values()]), self.rows)

    @property
    def law_read_between(self) -> tuple[date, date] | None:
        """The first and the last day on which the law behind the findings was read; None when none was."""
        read = {one.read for one in self.tallies.values() if one.read is not None}
        return (min(first for first, _ in read), max(last for _, last in read)) if read else None


def standing(
    known: Iterable[Known] | State,
    on: When,
    known_at: datetime,
    problems: Sequence[Problem] = (),
    sources: Sequence[Source] = (),
    house: Sequence[Rule] = (),
    *,
    counsel: bool = False,
    like: Standing | None = None,
    only: Collection[str] = (),
) -> Standing:
    """How every aircraft and person stands on `on`, by the law of that day and the house rules given.

    `known` are statements, or the state that they make. What is found on papers marked for counsel counts and is withheld,
    unless `counsel` asks for it. `like` is a standing of the same day: what it found is taken over where nothing that it
    hangs on is held otherwise. `only` names the aircraft and people that are judged, with what they point at; all where it is
    empty. UsageError before the first day read.
    """
    if day_of(on) < FIRST_DAY:
        raise UsageError(
            f"{day_of(on)} is too early. We check dates from {FIRST_DAY} on",
            where="--on",
            do="use a later date",
        )
    spoiled = [pair for problem in problems for pair in problem.spoils]
    state = known if isinstance(known, State) else state_of(known, on, known_at, spoiled)
    state, shared = one_number_each(state)
    before = like if like is not None and like.review.goes_on_to(state, day_of(on)) else None
    state, against = without_contradictions(state, None if before is None else before.review.state)
    left = _left(state)
    asked = _asked(state, {subject for subject, _ in left}, house)
    if only:
        about = _pointed_at(state, only)
        asked = {subject: rules for subject, rules in asked.items() if subject in about}
    found = review(state, day_of(on), asked, None if before is None else before.review)
    findings = tuple(chain.from_iterable(found.findings.values()))
    hidden = set() if counsel else for_counsel(state)
    told = [problem for problem in against if hidden.isdisjoint(subject for subject, _ in problem.spoils)]
    tallies = tallies_of(found, hidden, {} if before is None else before.tallies)
    report = Report(
        "standing",
        state,
        tuple(chain.from_iterable(zip([r.name for r in rules], repeat(one)) for one, rules in asked.items())),
        tuple([f for f in findings if f.subject not in hidden]) if hidden else findings,
        (*problems, *shared, *told),
        tuple(sources),
        tuple([f for f in findings if f.subject in hidden] if hidden else ()),
        tuple(chain.from_iterable([tally.counted for tally in tallies.values()])),
    )
    rows = rows_of(state, found.findings, {} if before is None else _rows_kept(before.rows, found))
    due = due_items(chain.from_iterable([tally.due for tally in tallies.values()]), day_of(on))
    return Standing(report, rows, due, _gaps(tallies, rows), left, found, tallies)


def _gaps(tallies: Tallies, rows: Sequence[SubjectStanding]) -> tuple[MissingFact, ...]:
    wanted = list(chain.from_iterable([tally.wanted for tally in tallies.values()]))
    gone = {subject for subject, tally in tallies.items() if tally.is_gone}
    return gaps_of(wanted, gone, rows_decided(rows)) if wanted else ()


def _rows_kept(rows: Iterable[SubjectStanding], found: Review) -> Mapping[str, SubjectStanding]:
    """The rows of an earlier standing that a review leaves as they are."""
    if found.anew is None:
        return {}
    other = set(found.anew)
    for subject in found.anew:
        for key in (REGISTRATION, OWNER):
            if key.links_to == kind_of(subject):
                other.update(found.state.holding(key, id_of(subject)))
    return {row.subject: row for row in rows if row.subject not in other}


def is_before_flight(rule: Rule) -> bool:
    """Whether a house rule is asked only of a flight that is planned: of one that was made there is nothing to hold back."""
    return rule.about == "flight" and rule.bears is Bears.FLIGHT


def _left(state: State) -> tuple[tuple[str, date | None], ...]:
    """People who left on or before the day, each with the day where it is on file."""
    gone: list[tuple[str, date | None]] = []
    for subject in state.subjects("person"):
        held, said = state.held[subject].get(LEFT_ON), state.held[subject].get(HAS_LEFT)
        if held is None:
            if said is not None and said.value is True:
                gone.append((subject, None))
        elif held.why is None and held.value <= day_of(state.on):
            gone.append((subject, held.value))
    return tuple(gone)


def _pointed_at(state: State, subjects: Collection[str]) -> set[str]:
    """Some subjects with the registrations and owners that they point at."""
    found = set(subjects)
    for key in (REGISTRATION, OWNER, REGISTERED_TO):
        for subject in tuple(found):
            held = state.held.get(subject, NOTHING_HELD).get(key)
            if held is not None and held.why is None:
                found.add(f"{key.links_to}/{held.value}")
    return found


def _subjects(state: State, left: set[str]) -> dict[str, list[str]]:
    """The subjects asked about, by kind: those of which something is on file that day, and those that others point at."""
    found = {kind: dict.fromkeys(s for s in state.subjects(kind) if state.held[s]) for kind in ASKED_KINDS}
    links: tuple[Key[str], ...] = (OWNER, REGISTRATION, REGISTERED_TO, EVENT_OF)
    for facts in state.held.values():
        for key in links:
            held = facts.get(key)
            if held is not None and held.why is None:
                found[key.links_to].setdefault(f"{key.links_to}/{held.value}")
    return {
        kind: [subject for subject in subjects if subject not in left] for kind, subjects in found.items()
    }


def for_counsel(state: State) -> set[str]:
    """The papers marked for counsel; one whose mark cannot be read is taken as marked."""
    marks = {subject: state.held[subject].get(FOR_COUNSEL) for subject in state.subjects("paper")}
    return {subject for subject, held in marks.items() if held is not None and held.value is not False}


def _asked(state: State, left: set[str], house: Sequence[Rule]) -> Mapping[str, tuple[Rule, ...]]:
    """The rules asked of each subject: the law's first, so that they explain a headline before the house's."""
    asked: dict[str, tuple[Rule, ...]] = {}
    for kind, subjects in _subjects(state, left).items():
        own = (rule for rule in house if rule.about == kind and not is_before_flight(rule))
        rules = (*ASKED[kind], *own)
        if rules:
            asked.update((subject, rules_asked_about(state, subject, rules)) for subject in subjects)
    return asked


def rules_asked_about(state: State, subject: str, rules: tuple[Rule, ...]) -> tuple[Rule, ...]:
    """The rules asked of a subject: of a person who is no pilot nothing more than that."""
    role = state.held.get(subject, NOTHING_HELD).get(CREW_ROLE)
    is_no_pilot = role is not None and role.why is None and role.value is not CrewRole.PILOT
    return (_PILOT,) if is_no_pilot else rules
