"""Spreadsheets in, statements and problems out: `read_sheets` is the one way in."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import chain
from pathlib import Path
from typing import NamedTuple

from airwrit.base.errors import UnreadableFile
from airwrit.base.process import resting
from airwrit.facts.keys.aircraft import PART_OF, REGISTRATION
from airwrit.facts.statement import Known, Problem, Source
from airwrit.facts.vocabulary import kind_of
from airwrit.intake.cell.dates import DateOrder
from airwrit.intake.columns import Column
from airwrit.intake.layout import NO_TABLE, TEMPLATE_NOTE, TableLaid, hint_of, laid_out, named_headings
from airwrit.intake.mapping import Plans, SheetPlan
from airwrit.intake.meaning.lexicon import Lexicon, words_of
from airwrit.intake.meaning.status import Legend, legend_of
from airwrit.intake.reader.cells import Book, Cell, Sheet, book_of, read_book
from airwrit.intake.reader.limits import LIMITS, Limits
from airwrit.intake.rows.for_all import (
    ABOUT_OWNERS,
    SaidOfAll,
    owners_by_name,
    said_of_all,
    state_for_all,
    state_kinds,
)
from airwrit.intake.rows.parting import parted
from airwrit.intake.rows.reading import Around, told_by
from airwrit.intake.rows.rows import Names, Table, opened
from airwrit.intake.rows.statements import clashes, merged_problem, row_problems
from airwrit.intake.rows.watching import legend_problem
from airwrit.intake.tables.codes import codes_below, codes_of, decoded, decoded_below
from airwrit.intake.tables.view import is_blank

_SEVERAL = 5
_JUDGED = ("aircraft", "person")
_ORDER = (
    "aircraft",
    "person",
    "owner",
    "remote_id",
    "registration",
    "part",
    "training",
    "paper",
    "flight",
    "battery",
)


@dataclass(frozen=True, slots=True)
class Answers:
    """What the user answered beforehand: a mapping of columns, how dates like 3/4/2026 are meant, who owns all aircraft.

    `read_on` is the day of reading, after which nothing can have been done yet.
    """

    mapping: Plans | None = None
    dates: DateOrder | None = None
    owner: str | None = None
    read_on: date | None = None


NO_ANSWERS = Answers()


@dataclass(frozen=True, slots=True)
class Intake:
    """What was read: statements, problems, the files, and every column with what it was taken for."""

    known: tuple[Known, ...]
    problems: tuple[Problem, ...]
    sources: tuple[Source, ...]
    columns: tuple[Column, ...]


def read_sheets(paths: Sequence[Path], answers: Answers = NO_ANSWERS) -> Intake:
    """All sheets of all files, read in the light of each other. UnreadableFile when one of them cannot be read at all."""
    with resting():
        return intake_of(_within(read_book(path) for path in paths), answers)


def read_given(files: Iterable[tuple[str, bytes]], answers: Answers = NO_ANSWERS) -> Intake:
    """As `read_sheets`, of files given as name and bytes."""
    with resting():
        return intake_of(_within(book_of(data, name) for name, data in files), answers)


def _within(books: Iterable[Book], limits: Limits = LIMITS) -> list[Book]:
    """The files as long as they hold no more together than is read at once. UnreadableFile names the one too many."""
    found, rows, filled = list[Book](), 0, 0
    for book in books:
        rows, filled = rows + book.rows, filled + book.filled
        for many, what, most in ((rows, "rows", limits.rows), (filled, "filled cells", limits.filled)):
            if many > most:
                raise UnreadableFile(
                    f"there are {many:,} {what}. We read up to {most:,} at once",
                    where=book.source.name,
                    do="split the file, and import the parts separately",
                )
        found.append(book)
    return found


def judged_at_once(intake: Intake, limits: Limits = LIMITS) -> Intake:
    """The same, unless more aircraft and people are in it than are judged at once: then UnreadableFile."""
    found = {item.statement.subject for item in intake.known}
    many = sum(kind_of(subject) in _JUDGED for subject in found)
    if many > limits.judged:
        raise UnreadableFile(
            f"there are {many:,} aircraft and people. We check up to {limits.judged:,} from sheets at once",
            where=", ".join(source.name for source in intake.sources),
            do="split the file, and check the parts separately",
        )
    return intake


def _decoded_by_itself(
    sheet: Sheet, plans: Sequence[SheetPlan], lexicon: Lexicon | None
) -> tuple[Sheet, TableLaid]:
    """A sheet with its tables; codes that a list below its first table explains are written out."""
    laid = laid_out(sheet, plans, lexicon)
    straight = [block for block in laid.blocks if not block.view.turned and block.view.places is None]
    if len(straight) != len(laid.blocks) or not straight or straight[0].view.left != sheet.left:
        return sheet, laid
    offset = straight[0].view.top - sheet.top
    head, end = straight[0].first - 1 + offset, straight[0].end + offset
    after = next(
        (row for row in range(head + 2, len(sheet.rows)) if is_blank(sheet.rows[row])), len(sheet.rows)
    )
    pairs = codes_below(sheet, after)
    if len(pairs) < _SEVERAL - 2:
        return sheet, laid
    plain = decoded_below(sheet, head, min(end, after), pairs)
    return (sheet, laid) if plain is sheet else (plain, laid_out(plain, plans, lexicon))


class _Beside(NamedTuple):
    """What stands beside a table: what colors mean, and what is said of all its aircraft."""

    legend: Legend
    said: tuple[SaidOfAll, ...]


def intake_of(books: Sequence[Book], answers: Answers = NO_ANSWERS, lexicon: Lexicon | None = None) -> Intake:
    """What files already read hold. Never raises on what stands in their cells."""
    problems = [problem for book in books for problem in _book_problems(book)]
    problems += _unmet_plans(books, answers.mapping or {})
    tables: list[Table] = []
    beside: dict[int, _Beside] = {}
    for book in books:
        laid = _laid_out(book, answers, lexicon)
        for_all = [
            line for sheet, one in laid if not one.blocks for line in _lines(sheet, _uncoded(sheet, one))
        ]
        for sheet, one in laid:
            found, told = _tables_of(sheet, one)
            lines = _lines(sheet, one)
            own = _Beside(
                legend_of(text for _, text in lines), said_of_all([*lines, *for_all], answers.owner)
            )
            beside |= {id(table): own for table in found}
            problems += told
            problems += [one for table in found[:1] for one in legend_problem(table, own.legend)]
            tables += found
    known, columns, more = _read_all(tables, answers, beside)
    return Intake(tuple(known), (*problems, *more), tuple(book.source for book in books), tuple(columns))


def _uncoded(sheet: Sheet, laid: TableLaid) -> TableLaid:
    """A sheet's lines without those that stand behind a code: they say what it means, and nothing of all aircraft."""
    plain = [(row, text) for row, text in laid.notes if not _explains_code(sheet.rows[row - sheet.top])]
    return replace(laid, notes=tuple(plain))


def _explains_code(row: Sequence[Cell]) -> bool:
    """Whether a row begins with a short sign in capitals or digits that words behind it explain."""
    said = [cell.text.strip() for cell in row if cell.text.strip()]
    return len(said) > 1 and any(_CODE.fullmatch(one) is not None for one in said[:-1])


_CODE = re.compile(r"[A-Z0-9][A-Z0-9?/+-]{0,5}")


def _lines(sheet: Sheet, laid: TableLaid) -> list[tuple[str, str]]:
    """The lone lines of text in a sheet, each with its row."""
    return [(sheet.place(f"row {row + 1}", row + 1), text) for row, text in laid.notes]


def _laid_out(book: Book, answers: Answers, lexicon: Lexicon | None) -> list[tuple[Sheet, TableLaid]]:
    """The sheets of a file with their tables; codes that another sheet lists are written out first."""
    plans = answers.mapping or {}
    first = [_decoded_by_itself(sheet, plans.get(sheet.name, ()), lexicon) for sheet in book.sheets]
    if len(first) == 1:
        return first
    found: list[tuple[Sheet, TableLaid]] = []
    codes: dict[tuple[str, ...], Mapping[str, str]] = {}
    lists: set[str] = set()
    for sheet, _ in first:
        others = (block for other, one in first if other is not sheet for block in one.blocks)
        own = codes_of(sheet, [heading for block in others for heading in block.headings])
        codes |= own
        lists |= {sheet.name} if own else set()
    for sheet, one in first:
        if sheet.name in lists:
            found.append((sheet, TableLaid((), (), is_about_drones=False, is_code_list=True)))
        elif codes and any(words_of(heading) in codes for block in one.blocks for heading in block.headings):
            plain = decoded(sheet, codes, one.blocks[0].first - 1)
            found.append((plain, laid_out(plain, plans.get(sheet.name, ()), lexicon)))
        else:
            found.append((sheet, one))
    return found


def _unmet_plans(books: Sequence[Book], plans: Plans) -> list[Problem]:
    """A problem for each sheet and each heading that a mapping names and no file has."""
    sheets = {sheet.name: sheet for book in books for sheet in book.sheets}
    problems = []
    for name, tables in plans.items():
        if name not in sheets:
            what = f"the mapping names a sheet {name!r}, but no file has it"
            problems.append(Problem("mapping", what, "fix the name in the mapping"))
            continue
        found = {
            heading
            for block in laid_out(sheets[name], tables).blocks
            for heading in named_headings(block.headings)
        }
        missing = [heading for plan in tables for heading in plan.columns if heading not in found]
        if missing:
            what = f"the mapping names columns that aren't in the sheet:  {', '.join(map(repr, missing[:9]))}"
            problems.append(Problem(sheets[name].label, what, "fix the headings in the mapping"))
    return problems


def _book_problems(book: Book) -> list[Problem]:
    problems = []
    if book.guessed:
        problems.append(
            Problem(
                book.source.name,
                f"it isn't marked as UTF-8, so we read it as {book.encoding}",
                "check names with accents. If they are wrong, save it as UTF-8",
            )
        )
    if book.kind == "xls":
        problems.append(
            Problem(
                book.source.name,
                "an .xls file doesn't show which values are formulas",
                "make sure the sheet was up to date when it was saved, or save it as .xlsx",
            )
        )
    return problems


def _tables_of(sheet: Sheet, laid: TableLaid) -> tuple[list[Table], list[Problem]]:
    """The tables of a sheet, and what is to be told of it."""
    problems = []
    if sheet.hidden and sheet.rows:
        problems.append(
            Problem(sheet.label, "the sheet is hidden, but we read it anyway", "delete it if it is old")
        )
    if not sheet.rows:
        return [], [*problems, Problem(sheet.label, "the sheet is empty", "if that's right, do nothing")]
    if sheet.rows[0] and sheet.rows[0][0].text == TEMPLATE_NOTE:
        return [], []
    hint = hint_of(sheet.name)
    if laid.is_code_list:
        what = "we read it as the list of codes that other sheets use"
        return [], [*problems, Problem(sheet.label, what, "if that's right, do nothing")]
    if not laid.blocks:
        return [], [*problems, _unrecognized(sheet, hint)]
    tables = []
    for table in map(opened, map(parted, laid.blocks)):
        problems += table.problems + merged_problem(table)
        if not hint and _is_log(table):
            problems.append(_log(table))
            continue
        tables.append(table)
        if not table.rows and not table.problems:
            what = f"the table of {_plural(table)} has no rows"
            problems.append(Problem(sheet.label, what, "fill it in, or leave it empty"))
    return tables, problems


def _is_log(table: Table) -> bool:
    """Whether the names repeat so often that the rows are not about what they name, but about something done with it."""
    if table.block.plan is not None or table.block.table not in ("aircraft", "person"):
        return False
    return len(table.ids) >= _SEVERAL and len(set(table.ids)) * 2 < len(table.ids)


def _log(table: Table) -> Problem:
    return Problem(
        table.sheet.label,
        f"names repeat in most rows, so this looks like a log, not a list of {_plural(table)}. We didn't read it",
        "leave the sheet out or call it a log. If it is a list, give a mapping",
        unread=True,
    )


def _plural(table: Table) -> str:
    return {"person": "people", "training": "training", "aircraft": "aircraft"}.get(
        table.kind, table.kind + "s"
    )


def _unrecognized(sheet: Sheet, hint: str) -> Problem:
    if hint == NO_TABLE:
        return Problem(
            sheet.label,
            "by its name, the sheet has nothing we use, so we didn't read it",
            "if that's wrong, give it another name, such as Flights or People",
        )
    unread = bool(hint) and hint not in ("flight", "battery")
    return Problem(
        sheet.label,
        "we found no table of aircraft, people, registrations, parts, training, owners or papers in it",
        "use the template's headings, or give a mapping",
        unread=unread,
    )


def _read_all(
    tables: Sequence[Table], answers: Answers, beside: Mapping[int, _Beside]
) -> tuple[list[Known], list[Column], list[Problem]]:
    names, problems = _names_of(tables)
    around = Around(
        names,
        frozenset(f"aircraft/{name}" for name in _linked(tables, "part", PART_OF.name, names)),
        _aircraft_under(tables),
        answers.dates,
        _shown_orders(tables),
        answers.read_on,
        {},
    )
    rows: list[list[Known]] = []
    of_owners: list[Known] = []
    columns: list[Column] = []
    for table in sorted(tables, key=lambda table: _ORDER.index(table.block.table)):
        own = beside[id(table)]
        told = told_by(table, replace(around, legend=own.legend))
        names_owners = _names_owners(table, own.said)
        if table.block.table == "aircraft":
            state_for_all(told.by_row, table.ids, own.said)
            if names_owners:
                state_kinds(told.by_row)
        if names_owners:
            of_owners += chain.from_iterable(told.by_row)
        problems += told.problems
        problems += row_problems(table, told)
        columns += told.columns
        rows += told.by_row
    known = list(chain.from_iterable(rows))
    known += owners_by_name(of_owners, answers.owner)
    return known, columns, problems + clashes(rows)


def _names_owners(table: Table, said: Sequence[SaidOfAll]) -> bool:
    """Whether a table, or what is said of all its rows, tells of owners of registrations."""
    told = {item.meaning for item in table.fields} | {one.fact for one in said}
    return not ABOUT_OWNERS.isdisjoint(told)


def _shown_orders(tables: Sequence[Table]) -> dict[str, DateOrder]:
    """How days like 3/4/2026 are written in a sheet and in a file, where some columns show it and none shows the other way."""
    found: dict[str, set[DateOrder]] = {}
    for table in tables:
        for item in table.fields:
            if item.key is not None and item.key.kind is date:
                dates = table.read(item).dates
                if dates is not None and dates.order is not None and dates.shown_by:
                    for place in (table.sheet.label, table.sheet.label.file):
                        found.setdefault(place, set()).add(dates.order)
    return {label: next(iter(orders)) for label, orders in found.items() if len(orders) == 1}


def _names_of(tables: Sequence[Table]) -> tuple[Names, list[Problem]]:
    """The names of subjects by their own tables, and a remark for each that differs from another in case or spaces alone."""
    names, problems = Names(), []
    for table in tables:
        if table.block.table not in ("aircraft", "person", "owner"):
            continue
        for name, index in zip(table.ids, table.rows, strict=True):
            alike = names.add(table.kind, name)
            if alike:
                problems.append(
                    Problem(
                        table.where(index),
                        f"{name!r} differs from {alike!r} only in capitals or spaces. We kept them apart",
                        "if they are the same, write them the same way",
                    )
                )
    return names, problems


def _linked(tables: Sequence[Table], kind: str, key: str, names: Names) -> set[str]:
    """The names that a column of links points at."""
    return {
        names.resolved("aircraft", got.raw).name
        for table in tables
        for item in table.fields
        if table.kind == kind and item.meaning == key
        for got in table.read(item).gots
        if isinstance(got.raw, str)
    }


def _aircraft_under(tables: Sequence[Table]) -> dict[str, list[str]]:
    """The aircraft that name each registration number in their own sheet."""
    found: dict[str, list[str]] = {}
    for table in tables:
        for item in table.fields:
            if table.block.table == "aircraft" and item.meaning == REGISTRATION.name:
                for got, name in zip(table.read(item).gots, table.ids, strict=True):
                    if isinstance(got.raw, str):
                        found.setdefault(got.raw, []).append(name)
    return found
