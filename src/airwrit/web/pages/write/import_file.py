"""Import: files as they are, how they were read, what they would do to the record, and only then a button that keeps it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from hashlib import sha256
from typing import NamedTuple

from airwrit.answers.flights.entering import taking_handed
from airwrit.answers.sheets.answered import answered, columns_remembered, statements_of
from airwrit.answers.sheets.difference import (
    NOTHING_HELD,
    Difference,
    HandEntry,
    OnRecord,
    saying_by_hand,
)
from airwrit.answers.sheets.importing import (
    Imported,
    ImportOptions,
    imported,
    plain_name,
    preview_of,
    read_files,
)
from airwrit.answers.sheets.json import preview_json, taking_json
from airwrit.answers.sheets.same_person import people_in
from airwrit.answers.sheets.view import sections_of
from airwrit.answers.standing.today import answer_in_short
from airwrit.base.days import parse_day
from airwrit.base.errors import AirwritError, BadFact
from airwrit.facts.choices import UsedFor
from airwrit.facts.statement import Problem, Statement
from airwrit.intake.cell.dates import DAY_FIRST, MONTH_FIRST, DateOrder
from airwrit.intake.columns import ASK, IGNORE, Column
from airwrit.intake.mapping import Plans, meaning_kept, read_mapping, written
from airwrit.intake.sheets import Answers
from airwrit.intake.typed.answers_file import ColumnAnswer
from airwrit.intake.typed.facts_file import facts_text, told_in_file
from airwrit.intake.typed.phone_flights import handed_over_of, is_handed_over_name
from airwrit.ledger.entry import name_of_source
from airwrit.ledger.ports import KeptFile
from airwrit.ledger.rows_read import IMPORT
from airwrit.ledger.sqlite.store import Ledger
from airwrit.web.pages.write.import_page import (
    COLUMN,
    ImportPage,
    lists_of,
    part_of,
    shortened,
    tables_of,
    tally,
)
from airwrit.web.pages.write.import_questions import ANSWER, SheetQuestion, filled, form_told, questions_of
from airwrit.web.server.forms import Typed, only_today, ticket, write_once
from airwrit.web.server.uploads import Laid
from airwrit.web.server.visit import Answer, Json, PageSheet, Redirect, Visit
from airwrit.web.server.workspace import held_in

MOST_BYTES = 55 * 2**20
"""What may be sent at once; a sheet has a limit of its own, told by its reader."""

TRAY, WAY, SEEN = "tray", "way", "seen"
_OPTIONS = ("use", "owner", "dates", "start", "corrects", "takes_back", "replaces", "note")
_ORDERS: Mapping[str, DateOrder] = {MONTH_FIRST: MONTH_FIRST, DAY_FIRST: DAY_FIRST}
_USES = tuple(use.value for use in UsedFor)
_GONE = "we no longer have these files. We drop them after two hours, or when airwrit closes"
_DIFFERS = "the preview has changed since you saw it. Check it, then save"
_PROBLEMS = 200


class Looked(NamedTuple):
    """What was sent, read and held against the record."""

    taking: Difference
    problems: tuple[Problem, ...]
    columns: tuple[Column, ...]
    files: tuple[KeptFile, ...]
    twin: Callable[[], Json]
    questions: tuple[SheetQuestion, ...] = ()
    found: Imported | None = None


def show(visit: Visit) -> Answer:
    """The question which files; of files that were sent what they would do; after writing, what was kept."""
    name = visit.query.get(TRAY, "")
    if name:
        laid = visit.desk.tray.found(name)
        return _asked_again(visit, _GONE) if laid is None else _shown(visit, name, laid)
    written, earlier = visit.query.get("written", ""), _earlier(_held(visit))
    view = ImportPage(Typed(), ticket(visit.desk), _USES, written=written, earlier=earlier)
    return PageSheet(
        "bring_in.html", "Import", view, lambda: {"written": view.written, "entries": view.ticket.head}
    )


def act(visit: Visit) -> Answer:
    """Lay sent files down and go on to what they would do, look at them as told anew, or keep what was shown."""
    only_today(visit)
    told = _told(visit)
    sent = [(plain_name(one.name), one.data) for one in visit.files.get("files", ()) if one.name]
    if sent:
        return _first_look(visit, visit.desk.tray.lay(sent, told))
    name = visit.said.get(TRAY, "")
    laid = visit.desk.tray.tell(name, told)
    if laid is None:
        return _asked_again(visit, "choose at least one file" if not name else _GONE)
    onward = visit.link("/import", None, tray=name)
    if visit.said.get(WAY) != "keep":
        return Redirect(onward)

    def write(book: Ledger) -> int | None:
        now = look(laid.files, held_in(visit.desk, book), visit, laid.told)
        if seen_of(now.taking) != visit.said.get(SEEN):
            return None
        return len(book.append(now.taking.drafts, visit.desk.clock, after=now.taking.after, files=now.files))

    def after(kept: int | None) -> str:
        if kept is None:
            return visit.link("/import", None, tray=name, differs="yes")
        return visit.link("/import", None, written=str(kept))

    try:
        return write_once(visit, write, after)
    except BadFact:
        return Redirect(onward)


def _first_look(visit: Visit, name: str) -> Answer:
    """On to what files would do; files that cannot be read at all are let go."""
    laid = visit.desk.tray.found(name)
    try:
        if laid is not None:
            _can_be_read(laid.files)
    except AirwritError as fault:
        visit.desk.tray.drop(name)
        return _asked_again(visit, f"{fault.where}: {fault.says}")
    return Redirect(visit.link("/import", None, tray=name))


def _can_be_read(files: Sequence[tuple[str, bytes]]) -> None:
    """UnreadableFile when a file cannot be read at all."""
    if _are_handed_over(files):
        for name, data in files:
            handed_over_of(data, name)
    elif _are_facts(files):
        _facts_in(files)
    else:
        read_files(files)


def _are_handed_over(files: Sequence[tuple[str, bytes]]) -> bool:
    return all(is_handed_over_name(name) for name, _ in files)


def _are_facts(files: Sequence[tuple[str, bytes]]) -> bool:
    return all(name.lower().endswith(".toml") for name, _ in files)


def _facts_in(files: Sequence[tuple[str, bytes]]) -> tuple[Statement, ...]:
    """What files of facts say. UnreadableFile and BadFact on what can't be read."""
    return tuple(one for name, data in files for one in told_in_file(facts_text(data, name), name))


def _shown(visit: Visit, name: str, laid: Laid) -> Answer:
    """What files would do, with what is wrong with what was told of them."""
    held, told = _held(visit), laid.told
    wrong = {"": _DIFFERS} if visit.query.get("differs") else {}
    try:
        looked = look(laid.files, held, visit, told)
    except BadFact as fault:
        wrong = {"": fault.says}
        looked = look(laid.files, held, visit, {})
    return _sheet(visit, name, looked, Typed(told, wrong), laid.files)


def look(
    files: Sequence[tuple[str, bytes]],
    held: OnRecord,
    visit: Visit,
    values: Mapping[str, str],
) -> Looked:
    """What the files say and would do, with what was told of them and of their columns. BadFact on what cannot be meant."""
    today = visit.asked.today
    columns = [value for key, value in sorted(values.items(), key=_place) if key.startswith(COLUMN)]
    if _are_handed_over(files):
        return _look_at_flights(files, held, visit, values)
    if _are_facts(files):
        return _look_at_facts(files, held, visit, values)
    said_of_all = Answers(
        None, _ORDERS.get(values.get("dates", "")), values.get("owner", "").strip() or None, today
    )
    read = read_files(files, said_of_all, kept=columns_remembered(held))
    told = [meaning_kept(column) for column in read.intake.columns]
    if len(columns) == len(told) and list(columns) != told:
        said = _said_of_columns(read.intake.columns, columns)
        read = read_files(files, replace(said_of_all, mapping=plans_of(read.intake.columns, columns)))
        own = statements_of(read.intake.columns, said, SAID_ON_PAGE)
        read = read._replace(intake=replace(read.intake, known=(*read.intake.known, *own)))
    form = form_told(values, visit.by, today)
    if form is not None:
        read = read._replace(intake=answered(read.intake, form))
    preview = preview_of(read, held, _wish(visit, values, today))
    found = imported(held, preview, visit.desk.clock(), visit.desk.house().rules)
    return Looked(
        preview.taking,
        preview.intake.problems,
        preview.intake.columns,
        preview.files,
        lambda: preview_json(preview),
        () if found is None else questions_of(found.after, frozenset(people_in(read.intake.known))),
        found,
    )


def _look_at_flights(
    files: Sequence[tuple[str, bytes]], held: OnRecord, visit: Visit, values: Mapping[str, str]
) -> Looked:
    """What flights handed over by carry packs would do."""
    handed = [handed_over_of(data, name) for name, data in files]
    taken = taking_handed(
        held,
        handed,
        visit.by,
        visit.desk.clock(),
        corrects=values.get("corrects") == "yes",
        note=values.get("note", ""),
    )
    return Looked(
        taken.taking,
        tuple(taken.problems),
        (),
        tuple(taken.files),
        lambda: taking_json(taken.taking, taken.problems),
    )


def _look_at_facts(
    files: Sequence[tuple[str, bytes]], held: OnRecord, visit: Visit, values: Mapping[str, str]
) -> Looked:
    """What files of facts would do."""
    corrects, note = values.get("corrects") == "yes", values.get("note", "")
    taking = saying_by_hand(held, HandEntry(_facts_in(files), corrects, note), visit.by)
    return Looked(taking, (), (), (), lambda: taking_json(taking))


SAID_ON_PAGE = "said on the page"
"""Where what a person says of a column on the page comes from."""


def _said_of_columns(columns: Sequence[Column], meanings: Sequence[str]) -> list[ColumnAnswer]:
    """What a person says of columns that were not understood."""
    return [
        ColumnAnswer(column.name, column.heading, meaning)
        for column, meaning in zip(columns, meanings, strict=False)
        if column.why and meaning not in ("", ASK)
    ]


def seen_of(taking: Difference) -> str:
    """A name for all that would be kept, so that a button keeps no more and no less than stood beside it."""
    return sha256(repr(taking.drafts).encode("utf-8", "surrogatepass")).hexdigest()[:32]


def plans_of(columns: Sequence[Column], meanings: Sequence[str]) -> Plans:
    """The mapping that the meanings told for columns make. BadFact names a column that cannot mean that."""
    told = [
        column._replace(meaning=meaning.strip() or IGNORE)
        for column, meaning in zip(columns, meanings, strict=False)
    ]
    return read_mapping(written(told), "columns")


def _wish(visit: Visit, values: Mapping[str, str], today: date) -> ImportOptions:
    """What was told with the files. BadFact on a day that is none."""
    start = values.get("start", "")
    try:
        since = parse_day(start) if start else None
    except ValueError as fault:
        raise BadFact(
            f"{start!r} isn't a date", where="from which day", do="write it like 2026-05-31"
        ) from fault
    use = values.get("use", "")
    return ImportOptions(
        visit.by,
        today,
        UsedFor(use) if use in {one.value for one in UsedFor} else None,
        values.get("owner") or None,
        since,
        values.get("corrects") == "yes",
        values.get("takes_back") == "yes",
        tuple(filter(None, (values.get("replaces", ""),))),
        values.get("note", ""),
    )


def _told(visit: Visit) -> dict[str, str]:
    """What a form tells of the files and their columns."""
    return {
        name: value.strip()
        for name, value in visit.said.items()
        if name in _OPTIONS or name.startswith((COLUMN, ANSWER))
    }


def _place(item: tuple[str, str]) -> tuple[int, str]:
    number = item[0].removeprefix(COLUMN)
    return (int(number) if number.isascii() and number.isdigit() and len(number) < 6 else -1, item[0])


def _held(visit: Visit) -> OnRecord:
    """What is on record; nothing where there is no ledger yet."""
    if not visit.desk.ledger.exists():
        return NOTHING_HELD
    with visit.desk.opened() as book:
        return held_in(visit.desk, book)


def _earlier(held: OnRecord) -> tuple[str, ...]:
    """The names of the files that were imported before, the newest first."""
    names = (
        name_of_source(source)
        for _, (act, source) in sorted(held.acts.items(), reverse=True)
        if act == IMPORT
    )
    return tuple(dict.fromkeys(names))


def _told_before(values: Mapping[str, str], questions: Sequence[SheetQuestion]) -> Iterable[tuple[str, str]]:
    """The answers that go along with the form and are asked no longer."""
    asked = {room.field for question in questions for room in question.rooms}
    return (
        (name, value)
        for name, value in values.items()
        if value and name.startswith(ANSWER) and name not in asked
    )


def _asked_again(visit: Visit, wrong: str) -> PageSheet:
    form = Typed(_told(visit), {"files": wrong})
    view = ImportPage(form, ticket(visit.desk), _USES, earlier=_earlier(_held(visit)))
    return PageSheet("bring_in.html", form.title("Import"), view, None, 422)


def _sheet(
    visit: Visit, name: str, looked: Looked, form: Typed, files: Sequence[tuple[str, bytes]]
) -> PageSheet:
    taking = looked.taking
    short = shortened(files)
    tables = tables_of(looked.columns, short)
    view = ImportPage(
        form,
        ticket(visit.desk, taking.after),
        _USES,
        name,
        seen_of(taking),
        tuple(file for file, _ in files),
        tables,
        tuple(lists_of({table.table for table in tables if table.table})),
        tuple(one._replace(where=short(one.where)) for one in looked.problems[:_PROBLEMS]),
        len(looked.problems),
        tally(taking),
        tuple(part_of(section, short) for section in sections_of(taking)),
        len(taking.drafts),
        len(taking.changes),
        questions=filled(looked.questions, form.values),
        told=tuple(_told_before(form.values, looked.questions)),
        say=() if looked.found is None else tuple(answer_in_short(looked.found.after.rows)),
        change=None if looked.found is None else looked.found.change,
        earlier=_earlier(_held(visit)),
    )
    return PageSheet("bring_in.html", form.title("Import"), view, looked.twin)
