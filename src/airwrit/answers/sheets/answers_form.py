"""The form of what a sheet leaves open, as a TOML file to fill in: the questions best first, each with room for its answer."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from textwrap import wrap

from airwrit.answers.sheets.column_words import NOT_USED, meaning_groups
from airwrit.answers.sheets.same_person import perhaps_one_in
from airwrit.answers.standing.missing import MissingFact, Scope, groups_of
from airwrit.answers.standing.standing import Standing
from airwrit.base.sentences import sentence
from airwrit.facts.keys.aircraft import REGISTRATION
from airwrit.facts.state import State
from airwrit.facts.vocabulary import id_of, kind_of
from airwrit.intake.columns import Column
from airwrit.intake.typed.answers_file import DIFFERENT

_TOP = """\
# What we need to know about {names}. Best first: each answer says how many aircraft and people it helps.
# Write an answer between the quotes. Leave a blank where you don't know. Then:
#   airwrit import SHEET --answers THIS FILE
"""
_NAMED, _WIDE = 12, 110
_OF_TABLE = {"aircraft": "aircraft", "person": "people"}


def answers_form(standing: Standing, columns: Sequence[Column] = ()) -> str:
    """The form of everything a standing misses, and of the columns that have to be asked about.

    What stands under such a column is not asked cell by cell beside it.
    """
    names = ", ".join(source.name for source in standing.report.sources)
    lines = [_TOP.format(names=names)]
    number = 0
    for column in columns:
        if column.why:
            number += 1
            lines += _column(number, column)
    for group in perhaps_one_in(standing.report.state):
        number += 1
        lines += _same(number, group)
    asked = tuple(f"{column.heading}: " for column in columns if column.why)
    for gap in standing.gaps:
        if gap.word and gap.word.startswith(asked):
            continue
        number += 1
        lines += _asked(number, gap, standing.report.state)
    for table in sorted({column.table for column in columns if column.why}):
        lines += _further(table)
    return "\n".join(lines) + "\n"


def _column(number: int, column: Column) -> Iterator[str]:
    example = f"  For example: {_plain(column.example)}" if column.example else ""
    yield f"# {number}. What does column {column.place}, {_plain(column.heading)!r}, hold?{example}"
    likely = "; ".join(words for _, words in meaning_groups(column.table)[0].choices)
    yield from _comment(
        f"{sentence(_plain(column.why))} One of: {likely}; {NOT_USED}; or one listed at the end"
    )
    yield "[[column]]"
    yield f"sheet = {_quoted(column.name)}"
    yield f"heading = {_quoted(column.heading)}"
    yield 'means = ""'
    yield ""


def _further(table: str) -> Iterator[str]:
    """What else a column may hold than what is likeliest, in words."""
    yield f"# What else a column about {_OF_TABLE.get(table, table)} may hold:"
    for group in meaning_groups(table)[1:]:
        yield from _comment(f"{group.about}: {'; '.join(words for _, words in group.choices)}")


def _comment(text: str) -> Iterator[str]:
    """A text in lines behind signs for comments."""
    return iter(wrap(text, _WIDE, initial_indent="#    ", subsequent_indent="#      "))


def _same(number: int, group: Sequence[str]) -> Iterator[str]:
    yield f"# {number}. Are these one person? Write the name to keep, or: {DIFFERENT}"
    yield "[[same]]"
    yield 'person = ""'
    yield f"names = {_names(group)}"
    yield ""


def _asked(number: int, gap: MissingFact, state: State) -> Iterator[str]:
    """One question with its comment and its room."""
    if gap.word:
        yield f'# {number}. "{gap.word}": {gap.key.question}  {_helps(gap)}'
        yield f"#    In {', '.join(gap.places[:_NAMED]) or 'the sheet'}."
    else:
        yield f"# {number}. {gap.key.question}  {_helps(gap)}"
    if gap.choices:
        yield from _comment(f"One of: {'; '.join(gap.choices)}")
    yield from _room(gap, state)
    yield ""


def _helps(gap: MissingFact) -> str:
    many = len(gap.holds_up)
    return f"({many} wait for it)" if many != 1 else "(1 waits for it)"


def _room(gap: MissingFact, state: State) -> Iterator[str]:
    if gap.scope is Scope.WORD:
        yield "[[word]]"
        yield f"text = {_quoted(gap.word)}"
        yield 'means = ""'
    elif gap.scope is Scope.MODEL:
        yield from _by_model(gap, state)
    elif gap.scope is Scope.ALL:
        yield from _for(gap, 'for = "all"', f"# {_listed(gap.subjects)}")
        yield "except = []"
    elif gap.scope is Scope.OWNER:
        yield from _for(gap, f"for = {_names(gap.subjects)}")
    else:
        yield f"[each.{gap.key.name}]"
        for subject in gap.subjects:
            yield f'{_quoted(id_of(subject))} = ""{_aside(subject, state)}'


def _by_model(gap: MissingFact, state: State) -> Iterator[str]:
    """An answer a model, and one for those whose model is not on file."""
    groups = groups_of(gap, state)
    grouped = {subject for subjects in groups.values() for subject in subjects}
    for name, subjects in groups.items():
        yield from _for(gap, f"model = {_quoted(name)}", f"# {_listed(subjects)}")
    rest = [subject for subject in gap.subjects if subject not in grouped]
    if rest:
        yield from _for(gap, f"for = {_names(rest)}")


def _for(gap: MissingFact, whom: str, aside: str = "") -> Iterator[str]:
    yield "[[answer]]"
    yield f"fact = {_quoted(gap.key.name)}"
    yield 'value = ""'
    yield f"{whom}  {aside}".rstrip()


def _aside(subject: str, state: State) -> str:
    """Which aircraft a registration is of."""
    if kind_of(subject) != "registration":
        return ""
    of = state.holding(REGISTRATION, id_of(subject))
    return f"   # {_listed(of)}" if of else ""


def _listed(subjects: Sequence[str]) -> str:
    names = [_plain(id_of(subject)) for subject in subjects[:_NAMED]]
    more = len(subjects) - len(names)
    return ", ".join(names) + (f" and {more} more" if more else "")


def _names(subjects: Sequence[str]) -> str:
    return "[" + ", ".join(_quoted(id_of(subject)) for subject in subjects) + "]"


def _plain(text: str) -> str:
    return "".join(sign if sign.isprintable() else " " for sign in text)


def _quoted(text: str) -> str:
    """A TOML basic string; JSON's escapes are a subset of TOML's, save for DEL."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
