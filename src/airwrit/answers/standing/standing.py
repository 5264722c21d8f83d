"""Who and what may fly on a day, why not, what is due, and what is missing: the heart of the tool."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from itertools import chain, repeat

from airwrit.answers.standing.assumed import Assumed, assumed_in, words_assumed
from airwrit.answers.standing.contradictions import without_contradictions
from airwrit.answers.standing.due import Due, due_items
from airwrit.answers.standing.headline import SubjectStanding, rows_decided, rows_of
from airwrit.answers.standing.missing import MissingFact, gaps_of
from airwrit.answers.standing.report import Report
from airwrit.answers.standing.shared_numbers import one_number_each
from airwrit.answers.standing.tally import Tallies, tallies_of
from airwrit.base.days import When, day_of
from airwrit.base.errors import UsageError
from airwrit.facts.choices import CrewRole
from airwrit.facts.fold import state_of
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import OWNER, REGISTRATION
from airwrit.facts.keys.paper import FOR_COUNSEL
from airwrit.facts.keys.person import CREW_ROLE, EVENT_OF, HAS_LEFT, LEFT_ON
from airwrit.facts.keys.registration import REGISTERED_TO
from airwrit.facts.state import NOTHING_HELD, State
from airwrit.facts.statement import Known, Problem, Source
from airwrit.facts.vocabulary import id_of, kind_of
from airwrit.law.aircraft.fleet import FLIES_AT_ALL_RULE
from airwrit.law.parameters import FIRST_DAY
from airwrit.law.review import Review, review
from airwrit.law.rule import Bears, Rule
from airwrit.law.rulebook import ASKED, ASKED_KINDS

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
