"""Answers put beside what a sheet says: they fill what it leaves open, and take the place of what they name one by one.

An answer for all fills only what nobody says. One that names its subjects also takes the place of what the sheet says of them,
and that is told: two values of one fact are never kept side by side without asking.

It is found by the kind of table and the heading. A column read so whose cells then give nothing but faults is asked about anew.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import partial
from itertools import combinations
from types import MappingProxyType
from typing import Any, NamedTuple

from airwrit.answers.sheets.column_words import meaning_named
from airwrit.answers.sheets.difference import OnRecord
from airwrit.answers.sheets.models_kept import confirmed
from airwrit.answers.sheets.same_person import joined, people_in, problems_joined, spelled_again, spelling_of
from airwrit.answers.standing.missing import MEANS, NO_MATTER, meanings_of
from airwrit.base.errors import BadFact
from airwrit.facts.choices import EventKind
from airwrit.facts.key import Key, Raw
from airwrit.facts.keys.aircraft import MAKER, MODEL, OWNER, REGISTRATION
from airwrit.facts.keys.person import ALSO_CALLED, COMPLETED_ON, EVENT_KIND, EVENT_OF, NOT_CALLED
from airwrit.facts.keys.program import COLUMN_HOLDS, column_subject
from airwrit.facts.keys.registration import REGISTERED_TO
from airwrit.facts.keys.service import HOLDS
from airwrit.facts.statement import FilePlace, ForModel, Known, Problem, Statement, Unreadable
from airwrit.facts.vocabulary import TABLES, folded, id_of, kind_of, subject_named
from airwrit.intake.cell.column import PRESENCE
from airwrit.intake.columns import Column, heading_of
from airwrit.intake.mapping import Plans, read_mapping, written
from airwrit.intake.rows.made_names import made_subjects
from airwrit.intake.sheets import Answers, Intake
from airwrit.intake.typed.answers_file import AnswersFile, ColumnAnswer, FactAnswer, SameAnswer, WordAnswer


def subject_of(column: Column) -> str:
    """The columns that a column is one of."""
    return column_subject(column.table, heading_of(column.heading).text)


def columns_remembered(held: OnRecord) -> dict[str, str]:
    """What was said last of columns, by their subject."""
    found: dict[str, str] = {}
    for subject, key in held.groups:
        if key != COLUMN_HOLDS.name:
            continue
        said = [item.statement for item in held.alive((subject, key)) if item.statement.value]
        if said:
            found[subject] = str(max(said, key=lambda one: one.valid_from.isoformat()).value)
    return found


def answers_remembered(columns: Iterable[Column], kept: Mapping[str, str]) -> tuple[ColumnAnswer, ...]:
    """What is remembered of the columns that would have to be asked about."""
    return tuple(
        ColumnAnswer(column.name, column.heading, kept[subject_of(column)])
        for column in columns
        if column.why and subject_of(column) in kept
    )


def fit(
    columns: Sequence[Column], problems: Sequence[Problem], answers: Iterable[ColumnAnswer]
) -> list[ColumnAnswer]:
    """Those answers whose columns, read so, have cells that give the fact; not those where every cell is a fault."""
    places = (problem.where for problem in problems if problem.spoils)
    faulty = {(where.file, where.sheet, where.column) for where in places if isinstance(where, FilePlace)}
    return [
        answer
        for answer in answers
        if not any(
            column.heading == answer.heading
            and column.name == answer.sheet
            and (column.sheet.file, column.sheet.sheet, column.place) in faulty
            for column in columns
        )
    ]


def statements_of(columns: Iterable[Column], told: Sequence[ColumnAnswer], origin: str) -> list[Known]:
    """What was said of columns, as it is kept."""
    return [
        Known(Statement(subject_of(column), COLUMN_HOLDS.name, answer.means), origin)
        for column in columns
        for answer in told
        if column.heading == answer.heading and answer.sheet in ("", column.name) and column.table
    ]


_LINKS: tuple[Key[str], ...] = (OWNER, REGISTRATION, REGISTERED_TO)


class FormFilled(NamedTuple):
    """A form of answers, who gives it, and on which day."""

    answers: AnswersFile
    by: str
    day: date


def answered(intake: Intake, form: FormFilled) -> Intake:
    """What was read, with the answers in it. One about something that is not in the sheet is a problem."""
    sheet = _Sheet(list(intake.known), list(intake.problems), form)
    said: tuple[Callable[[], None], ...] = (
        *(partial(sheet.join, same) for same in form.answers.same),
        *(partial(sheet.explain, word) for word in form.answers.words),
        *(partial(sheet.answer, answer) for answer in form.answers.facts),
    )
    for say in said:
        try:
            say()
        except BadFact as fault:
            sheet.problems.append(_not_used(fault))
    return replace(intake, known=tuple(sheet.known), problems=tuple(sheet.problems))


def _not_used(fault: BadFact) -> Problem:
    """The problem of an answer that does not fit the sheet, beside which the others are used."""
    return Problem(fault.where, f"this answer wasn't used: {fault.what}", fault.do, is_answer=True)


def read_with(
    read: Callable[[Answers], Intake],
    told: Answers,
    form: FormFilled | None,
    kept: Mapping[str, str] = MappingProxyType({}),
) -> Intake:
    """What a reading gives with a form of answers: first what its columns hold, then the facts.

    `kept` is what is remembered of columns that were asked about before; it holds while their cells fit it.
    """
    intake = read(told)
    said, misfits = _fitting(intake.columns, form)
    remembered = answers_remembered(intake.columns, kept)
    if remembered or said:
        again = read(replace(told, mapping=_plans(intake.columns, (*remembered, *said), form)))
        fitting = fit(again.columns, again.problems, remembered)
        if len(fitting) < len(remembered):
            again = read(replace(told, mapping=_plans(intake.columns, (*fitting, *said), form)))
        intake = again
    intake = replace(intake, known=(*intake.known, *spelled_again(intake.known)))
    if form is None:
        return intake
    own = statements_of(intake.columns, said, form.answers.name or "answered here")
    return answered(replace(intake, known=(*intake.known, *own), problems=(*intake.problems, *misfits)), form)


def _fitting(
    columns: Sequence[Column], form: FormFilled | None
) -> tuple[tuple[ColumnAnswer, ...], tuple[Problem, ...]]:
    """What a form says of columns that are there, and a problem for each that is not."""
    given = () if form is None else form.answers.columns
    fits = [any(_is_about(answer, column) for column in columns) for answer in given]
    where = "" if form is None else form.answers.name
    problems = (
        Problem(
            where,
            f"this answer wasn't used: the sheet has no column with the heading {answer.heading!r}",
            "copy the heading exactly as in the sheet",
            is_answer=True,
        )
        for answer, is_fit in zip(given, fits, strict=True)
        if not is_fit
    )
    told = (_in_our_words(answer, columns) for answer, is_fit in zip(given, fits, strict=True) if is_fit)
    return tuple(told), tuple(problems)


def _in_our_words(answer: ColumnAnswer, columns: Sequence[Column]) -> ColumnAnswer:
    """An answer with what it names by words or a usual heading as the fact that is meant."""
    table = next(column.table for column in columns if _is_about(answer, column))
    return answer._replace(means=meaning_named(answer.means, table) or answer.means)


def _is_about(answer: ColumnAnswer, column: Column) -> bool:
    """Whether an answer is about a column: by its heading, and by its sheet where the answer names one."""
    return column.heading == answer.heading and answer.sheet in ("", column.name)


def _plans(columns: Sequence[Column], answers: Sequence[ColumnAnswer], form: FormFilled | None) -> Plans:
    """How all columns are read, with what was said of some. BadFact on what no column can hold."""
    told = list(columns)
    for answer in answers:
        for place, column in enumerate(told):
            if _is_about(answer, column):
                told[place] = column._replace(meaning=answer.means)
    return read_mapping(written(told), "" if form is None else form.answers.name)


@dataclass(slots=True)
class _Sheet:
    """What is known so far; each answer adds to it."""

    known: list[Known]
    problems: list[Problem]
    form: FormFilled

    def join(self, same: SameAnswer) -> None:
        """Say of one person what is said under several names, and keep the names; or that they are different people."""
        people = {folded(id_of(subject)): subject for subject in people_in(self.known)}
        if same.are_different:
            self._part([people.get(folded(name), subject_named("person", name)) for name in same.names])
            return
        person = people.get(folded(same.person), subject_named("person", same.person))
        others = {people[folded(name)]: person for name in same.names if folded(name) in people}
        others.pop(person, None)
        if not others:
            raise BadFact(
                f"none of these names is in the sheet: {', '.join(same.names)}",
                where=same.where,
                do="write the names exactly as in the sheet",
            )
        self._release([person, *others])
        self.known = joined(self.known, others)
        self.problems = problems_joined(self.problems, others)
        for other in others:
            self._say(person, ALSO_CALLED, id_of(other), same.where)

    def _part(self, people: Sequence[str]) -> None:
        """Say of names that look like one person's that they are several; of each pair, of one that has a row of its own."""
        own = {item.statement.subject for item in self.known}
        self._release(people)
        for one, other in combinations(people, 2):
            subject, name = (other, one) if other in own and one not in own else (one, other)
            self._say(subject, NOT_CALLED, id_of(name), self.form.answers.name)

    def _release(self, people: Sequence[str]) -> None:
        """Hold no name any more as another spelling of one of these people's."""
        texts = {spelling_of(person) for person in people}
        hold = HOLDS["person"]
        self.known = [
            item
            for item in self.known
            if item.statement.key != hold.text.name or item.statement.value not in texts
        ]

    def explain(self, word: WordAnswer) -> None:
        """Say what a text means wherever it stands."""
        found = [
            item.statement.subject
            for item in self.known
            if _is_hold(item) and item.statement.value == word.text and _is_named(item, word.names)
        ]
        if not found:
            raise BadFact(
                f"no cell that says {word.text!r} needs an answer",
                where=word.where,
                do="copy the text exactly as quoted",
            )
        is_harmless = word.means.casefold() == NO_MATTER
        for choices in () if is_harmless else {meanings_of(kind_of(subject)) for subject in found}:
            if word.means not in choices:
                raise BadFact(
                    f"{word.means!r} isn't one of the choices",
                    where=word.where,
                    do="choose one of: " + "; ".join(choices),
                )
        for subject in dict.fromkeys(found):
            kind = kind_of(subject)
            self._say(subject, HOLDS[kind].released, word.text, word.where)
            if not is_harmless:
                self._replace(subject, MEANS[kind], word.means, word.where)

    def answer(self, answer: FactAnswer) -> None:
        """Say a fact of all that say nothing, or of those named."""
        origin = self._origin(answer)
        if answer.model:
            self.known += confirmed(answer.key, answer.model, answer.value, origin)
        if answer.names is not None:
            for name in answer.names:
                try:
                    subjects = self._subjects_named(name, answer)
                except BadFact as fault:
                    self.problems.append(_not_used(fault))
                    continue
                for subject in subjects:
                    self._replace(subject, answer.key, answer.value, origin)
            return
        said = {(item.statement.subject, item.statement.key) for item in self.known}
        spoiled = {pair for problem in self.problems for pair in problem.spoils}
        excepted = {subject for name in answer.excepted for subject in self._subjects_named(name, answer)}
        for subject in self._subjects(answer):
            pair = subject, answer.key.name
            if subject not in excepted and pair not in said and pair not in spoiled:
                self._say(subject, answer.key, answer.value, origin)

    def _origin(self, answer: FactAnswer) -> str:
        if not answer.model:
            return answer.where
        return ForModel(f"by model {answer.model}, confirmed by {self.form.by} on {self.form.day}")

    def _subjects(self, answer: FactAnswer) -> Iterator[str]:
        """Those that an answer for all is for, by its model and owner."""
        kind = "person" if answer.key is COMPLETED_ON else TABLES[answer.key.table]
        facts = self._facts()
        for subject in self._of_kind(kind):
            mine = facts.get(subject, {})
            if answer.model and folded(answer.model) != folded(_model(mine)):
                continue
            if answer.owner and folded(answer.owner) != folded(str(mine.get(OWNER.name, ""))):
                continue
            yield subject

    def _facts(self) -> dict[str, dict[str, Raw]]:
        found: dict[str, dict[str, Raw]] = defaultdict(dict)
        for item in self.known:
            found[item.statement.subject][item.statement.key] = item.statement.value
        return found

    def _of_kind(self, kind: str) -> list[str]:
        """The subjects of a kind that the sheet speaks of, and those it points at."""
        found = {
            item.statement.subject: None for item in self.known if kind_of(item.statement.subject) == kind
        }
        found |= {
            subject_named(kind, str(item.statement.value)): None
            for item in self.known
            for key in _LINKS
            if item.statement.key == key.name and key.links_to == kind and _is_text(item.statement.value)
        }
        return list(found)

    def _subjects_named(self, name: str, answer: FactAnswer) -> list[str]:
        """The subjects of a plain name. A fact of a registration may be answered by the name of its aircraft."""
        kind = TABLES[answer.key.table]
        kinds = (kind, "person") if answer.key is COMPLETED_ON else (kind,)
        own = [one for each in kinds for one in self._of_kind(each) if folded(id_of(one)) == folded(name)]
        if own or kind == "owner":
            return own or [subject_named(kind, name)]
        facts = self._facts()
        numbers = [
            facts[one].get(REGISTRATION.name)
            for one in self._of_kind("aircraft")
            if kind == "registration" and folded(id_of(one)) == folded(name)
        ]
        through = [subject_named(kind, number) for number in numbers if isinstance(number, str)]
        if not through:
            raise BadFact(
                f"no {kind} in the sheet is named {name!r}",
                where=answer.where,
                do="write the name exactly as in the sheet",
            )
        return through

    def _replace(self, subject: str, key: Key[Any], value: Raw, origin: str) -> None:
        """Say it in place of what the sheet says, and tell so where it said something else."""
        pair = subject, key.name
        old = [item for item in self.known if (item.statement.subject, item.statement.key) == pair]
        self.known = [item for item in self.known if item not in old] if old else self.known
        self.problems = [_without(problem, pair) for problem in self.problems]
        for item in old:
            if item.statement.value != value and not key.private:
                what = f"{key.meaning}: {item.statement.value} was replaced by your answer {value}"
                self.problems.append(
                    Problem(item.origin, what, "correct the cell so that we can read it next time")
                )
        self._say(subject, key, value, origin)

    def _say(self, subject: str, key: Key[Any], value: Raw, origin: str) -> None:
        if key is COMPLETED_ON and kind_of(subject) == "person":
            self._say_event(subject, value, origin)
            return
        self.known.append(Known(Statement(subject, key.name, value), origin))
        if key in PRESENCE:
            self._replace(subject, PRESENCE[key], value=True, origin=origin)

    def _say_event(self, person: str, value: Raw, origin: str) -> None:
        """A test or training of a person, of which only the day was asked."""
        kind = EventKind.RECURRENT.value
        (event,) = made_subjects("training", [(id_of(person), kind, str(value))], [()])
        for key, said in ((EVENT_OF, id_of(person)), (EVENT_KIND, kind), (COMPLETED_ON, value)):
            self.known.append(Known(Statement(event, key.name, said), origin))


def _is_hold(item: Known) -> bool:
    hold = HOLDS.get(kind_of(item.statement.subject))
    return hold is not None and item.statement.key == hold.text.name


def _is_named(item: Known, names: Iterable[str] | None) -> bool:
    return names is None or folded(id_of(item.statement.subject)) in {folded(name) for name in names}


def _is_text(value: Raw) -> bool:
    return isinstance(value, str) and not isinstance(value, Unreadable)


def _model(facts: Mapping[str, Raw]) -> str:
    return f"{facts.get(MAKER.name) or ''} {facts.get(MODEL.name) or ''}".strip()


def _without(problem: Problem, pair: tuple[str, str]) -> Problem:
    """The problem, with a fact no longer spoiled by it."""
    if pair not in problem.spoils:
        return problem
    return problem._replace(spoils=tuple(one for one in problem.spoils if one != pair))
