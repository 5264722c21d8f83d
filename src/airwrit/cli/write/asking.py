"""`airwrit import` on a terminal: how the sheet was read, then at most ten questions, what settles the most first."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence

import click

from airwrit.answers.sheets.answered import FormFilled, answered
from airwrit.answers.sheets.column_words import column_words, meaning_groups, meaning_named, meaning_words
from airwrit.answers.sheets.importing import FilesRead
from airwrit.answers.sheets.same_person import people_in, perhaps_one_in
from airwrit.answers.standing.missing import MissingFact, Scope, groups_of
from airwrit.answers.standing.standing import Standing
from airwrit.base.errors import BadFact
from airwrit.cli.console import clean
from airwrit.facts.choices import words_of
from airwrit.facts.key import YES_NO
from airwrit.facts.keys.aircraft import REGISTRATION
from airwrit.facts.state import State
from airwrit.facts.vocabulary import folded, id_of, kind_of
from airwrit.intake.columns import IGNORE, Column
from airwrit.intake.typed.answers_file import (
    AnswersFile,
    ColumnAnswer,
    FactAnswer,
    SameAnswer,
    WordAnswer,
    answer_value,
)

MOST = 10
"""The most questions that are asked of one import."""
_NAMED = 8
_STOP = "q"
_SAID = {"": None, "y": True, "n": False, **YES_NO}
_WHERE = "your answer"


class _Stopped(Exception):
    """Raised when a person wants no more questions."""


def show_reading(read: FilesRead) -> None:
    """Say how each column was read, with an example."""
    click.echo("Here is how we read your sheet. An example from each column:")
    for column in read.intake.columns:
        said = column_words(column) + (f": {clean(column.example)}" if column.example else "")
        click.echo(f"  {column.place:>3}  {clean(column.heading)}  ->  {said}")


def columns_told(read: FilesRead) -> tuple[ColumnAnswer, ...]:
    """What a person says of the columns that were not understood, in a few words of their own."""
    found = []
    for column in read.intake.columns:
        if not column.why:
            continue
        example = f", for example {clean(column.example)}" if column.example else ""
        click.echo(f"\nWhat does column {column.place} hold, {clean(column.heading)!r}{example}?")
        means = _column_said(column)
        if means:
            found.append(ColumnAnswer(column.name, column.heading, means))
    return tuple(found)


def _column_said(column: Column) -> str:
    """What a column means, confirmed; empty to leave it open."""
    while True:
        text = click.prompt(
            '   a few words, "nothing", or Enter to skip', default="", show_default=False
        ).strip()
        if not text:
            return ""
        meaning = meaning_named(text, column.table or "aircraft")
        if meaning == IGNORE or (meaning and click.confirm(f"   {meaning_words(meaning)}?", default=True)):
            return meaning
        likely = meaning_groups(column.table or "aircraft")[0].choices
        click.echo(f"     Use other words, such as: {'; '.join(words for _, words in likely)}.")


def asked_through(read: FilesRead, stands: Callable[[FilesRead], Standing], by: FormFilled) -> FilesRead:
    """The files with what a person answers to the questions. `stands` judges them as they are."""
    seen: set[tuple[str, str]] = set()
    read = _joined(read, stands, by)
    while len(seen) < MOST:
        answer = stands(read)
        gap = next((gap for gap in answer.gaps if (gap.key.name, gap.word) not in seen), None)
        if gap is None:
            break
        if not seen:
            click.echo("\nQuestions, most useful first. Press Enter to skip one, or q to stop.")
        seen.add((gap.key.name, gap.word))
        try:
            told = _asked(len(seen), gap, answer.report.state)
            read = read._replace(intake=answered(read.intake, by._replace(answers=told)))
        except _Stopped:
            break
        except BadFact as fault:
            click.echo(f"  {fault.says}")
    return read


def _joined(read: FilesRead, stands: Callable[[FilesRead], Standing], by: FormFilled) -> FilesRead:
    """The files with the names of one person joined, where somebody says that they are one."""
    people = frozenset(people_in(read.intake.known))
    for person, *others in perhaps_one_in(stands(read).report.state):
        names = tuple(map(id_of, others))
        if people.isdisjoint(others):
            continue
        said = _yes_or_no(f"\nIs {clean(id_of(person))} the same person as {_listed(names)}?")
        if said is None:
            continue
        one = (
            SameAnswer(id_of(person), names, _WHERE)
            if said
            else SameAnswer("", (id_of(person), *names), _WHERE)
        )
        same = AnswersFile(_WHERE, same=(one,))
        read = read._replace(intake=answered(read.intake, by._replace(answers=same)))
    return read


def _yes_or_no(question: str) -> bool | None:
    """Yes or no; None to leave it open."""
    while True:
        said = str(click.prompt(f"{question} y/n, or Enter to skip", default="", show_default=False)).strip()
        if said.casefold() in _SAID:
            return _SAID[said.casefold()]


def _asked(number: int, gap: MissingFact, state: State) -> AnswersFile:
    """What a person answers to one question."""
    about = f'"{clean(gap.word)}": ' if gap.word else ""
    click.echo(f"\n{number}. {about}{gap.key.question}  ({_listed(_names(gap, state))})")
    for place, choice in enumerate(gap.choices, start=1):
        click.echo(f"     {place}  {words_of(choice)}")
    if gap.scope is Scope.WORD:
        means = _said(gap, "   what it means")
        words = (WordAnswer(gap.word, means, None, _WHERE),) if means else ()
        return AnswersFile(_WHERE, words=words)
    return AnswersFile(_WHERE, facts=tuple(_facts(gap, state)))


def _facts(gap: MissingFact, state: State) -> Iterator[FactAnswer]:
    if gap.scope is Scope.MODEL:
        yield from _by_model(gap, state)
    elif gap.scope is Scope.ALL and len(gap.subjects) > 1:
        yield from _for_all(gap, state)
    else:
        yield from _one_by_one(gap, gap.subjects, state)


def _by_model(gap: MissingFact, state: State) -> Iterator[FactAnswer]:
    groups = groups_of(gap, state)
    for model, subjects in groups.items():
        names = tuple(map(id_of, subjects))
        said = _said(gap, f"   all {clean(model)} ({_listed(names)})")
        if said:
            yield FactAnswer(gap.key, _value(gap, said), names, (), model, "", _WHERE)
    grouped = {subject for subjects in groups.values() for subject in subjects}
    yield from _one_by_one(gap, [subject for subject in gap.subjects if subject not in grouped], state)


def _for_all(gap: MissingFact, state: State) -> Iterator[FactAnswer]:
    """One answer for all, those named apart one by one."""
    said = _said(gap, f"   all {len(gap.subjects)}")
    if not said:
        return
    apart = click.prompt("   all except (names, with commas)", default="", show_default=False)
    excepted = [name.strip() for name in apart.split(",") if name.strip()]
    others = [one for name in excepted for one in _named(name, gap, state)]
    names = tuple(id_of(subject) for subject in gap.subjects if subject not in others)
    yield FactAnswer(gap.key, _value(gap, said), names, (), "", "", _WHERE)
    yield from _one_by_one(gap, others, state)


def _one_by_one(gap: MissingFact, subjects: Iterable[str], state: State) -> Iterator[FactAnswer]:
    for subject in subjects:
        said = _said(gap, f"   {clean(_name(subject, state))}")
        if said:
            yield FactAnswer(gap.key, _value(gap, said), (id_of(subject),), (), "", "", _WHERE)


def _said(gap: MissingFact, prompt: str) -> str:
    """A text typed, a choice by its number; empty to skip. Asked again until it can be an answer."""
    while True:
        text = str(click.prompt(prompt, default="", show_default=False)).strip()
        if text.casefold() == _STOP:
            raise _Stopped
        if text.isdecimal() and gap.choices and 1 <= int(text) <= len(gap.choices):
            text = gap.choices[int(text) - 1]
        if not text or text in gap.choices:
            return text
        try:
            if gap.choices:
                raise BadFact(f"{text!r} isn't one of the choices", do="type the number of one of them")
            _value(gap, text)
        except BadFact as fault:
            click.echo(f"     {fault.says}")
            continue
        return text


def _value(gap: MissingFact, text: str) -> str | int | bool | None:
    return answer_value(gap.key, text, "")


def _name(subject: str, state: State) -> str:
    """What a person calls it: a registration goes by the name of its aircraft."""
    of = state.holding(REGISTRATION, id_of(subject)) if kind_of(subject) == "registration" else []
    return id_of(of[0]) if len(of) == 1 else id_of(subject)


def _names(gap: MissingFact, state: State) -> list[str]:
    return [_name(subject, state) for subject in gap.subjects]


def _named(name: str, gap: MissingFact, state: State) -> list[str]:
    """The subjects a person means by a name; none is said."""
    wanted = folded(name)
    found = [one for one in gap.subjects if wanted in (folded(id_of(one)), folded(_name(one, state)))]
    if not found:
        click.echo(f"     {clean(name)!r} is none of them")
    return found


def _listed(names: Sequence[str]) -> str:
    more = len(names) - _NAMED
    return ", ".join(map(clean, names[:_NAMED])) + (f" and {more} more" if more > 0 else "")
