"""What a person says of a log that it doesn't say itself: questions in words, and what the columns of a table are.

What was said of a table is kept beside the ledger, under its headings, so that the next log of that kind is read at once.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import NamedTuple

from airwrit.answers.document import CAUTION, SCOPE_OF_FLOWN, Json
from airwrit.base.errors import UnreadableFile, UsageError
from airwrit.base.verdict import Verdict
from airwrit.base.whole_files import write_whole
from airwrit.tracks.readers.reading import LogAsks, LogQuestion
from airwrit.tracks.readers.tables.columns import (
    DAY_FORMS,
    PLACE_FORMS,
    TIME_FORMS,
    UNITS,
    CsvColumn,
    CsvMapping,
    MappedColumn,
    key_of_headings,
    mapping_of_toml,
    mapping_toml,
)
from airwrit.tracks.track import HeightDatum

FOLDER = "log-columns"
"""The folder beside a ledger in which mappings are kept."""
_MOST_KEPT = 500
_FORMS: Mapping[CsvColumn, Sequence[str]] = {
    CsvColumn.TIME: TIME_FORMS,
    CsvColumn.DATE: DAY_FORMS,
    CsvColumn.LATITUDE: PLACE_FORMS,
    CsvColumn.LONGITUDE: PLACE_FORMS,
    **{column: tuple(units) for column, units in UNITS.items()},
}


class ColumnTyped(NamedTuple):
    """What was said of a column: what it is ("" for nothing that counts), its unit or form, what a height is measured from."""

    heading: str
    column: str = ""
    unit: str = ""
    datum: str = ""


@cache
def log_words() -> Mapping[str, Mapping[str, str]]:
    """The shipped words."""
    return tomllib.loads(Path(__file__).with_name("log_columns.toml").read_text(encoding="utf-8"))


def question_text(question: LogQuestion) -> str:
    """A question about a log, in words."""
    about = question.about
    if question.asks is LogAsks.COLUMN:
        about = log_words()["column"].get(about, about)
    return log_words()["question"][question.asks.value].format(about=about)


def draft_text(mapping: CsvMapping, questions: Sequence[LogQuestion]) -> str:
    """A mapping as far as it is known, as a file to complete: what is open stands on top, with the choices there are."""
    lines = ["# What the columns of this log are. Complete it, and use it with --columns."]
    for one in questions:
        few = one.choices if one.asks is not LogAsks.COLUMN else ()
        lines.append(f"# {question_text(one)}" + (f" Choose one of: {', '.join(few)}." if few else ""))
    return "\n".join([*lines, "", mapping_toml(mapping)])


def open_json(log: str, mapping: CsvMapping, questions: Sequence[LogQuestion]) -> Json:
    """What a table leaves open, as a JSON document."""
    return {
        "question": "after_flight",
        "scope": SCOPE_OF_FLOWN,
        "log": {"name": log},
        "verdict": Verdict.UNKNOWN.value,
        "questions": [
            {
                "asks": one.asks.value,
                "about": one.about,
                "says": question_text(one),
                "choices": list(one.choices),
            }
            for one in questions
        ],
        "columns": draft_text(mapping, questions),
        "caution": CAUTION,
    }


def columns_typed(mapping: CsvMapping) -> tuple[ColumnTyped, ...]:
    """A line for each heading of a table, with what is known of it."""
    known = {one.heading: one for one in mapping.columns}
    return tuple(
        ColumnTyped(heading)
        if (one := known.get(heading)) is None
        else ColumnTyped(heading, one.column.value, one.unit, one.datum.value if one.datum else "")
        for heading in mapping.headings
    )


def mapping_typed(typed: Sequence[ColumnTyped], zone: str = "", decimal: str = ".") -> CsvMapping:
    """The mapping that was said column by column. UsageError names the column that cannot be so."""
    columns = tuple(_mapped(one) for one in typed if one.column)
    twice = {one.column for one in columns if sum(other.column is one.column for other in columns) > 1}
    for column in sorted(twice - {CsvColumn.HEIGHT}):
        raise UsageError(
            f"two columns can't both be the {log_words()['column'][column.value]}",
            where="columns",
            do="choose one of them",
        )
    return CsvMapping(tuple(one.heading for one in typed), columns, zone, decimal)


def _mapped(one: ColumnTyped) -> MappedColumn:
    try:
        column = CsvColumn(one.column)
        datum = HeightDatum(one.datum) if one.datum and column is CsvColumn.HEIGHT else None
    except ValueError:
        raise UsageError(
            f"we don't know what {one.column!r} is", where="columns", do="choose from the list"
        ) from None
    forms = _FORMS.get(column, ())
    if forms and one.unit not in forms:
        choices = ", ".join(log_words()["unit"][form] for form in forms)
        raise UsageError(f"how is {one.heading!r} written?", where="columns", do=f"choose one of: {choices}")
    return MappedColumn(one.heading, column, one.unit if forms else "", datum)


def kept_mappings(folder: Path) -> tuple[CsvMapping, ...]:
    """The mappings kept in a folder; one that can't be read is passed over, so that its table is asked about again."""
    found = []
    for path in sorted(folder.glob("*.toml"))[:_MOST_KEPT] if folder.is_dir() else ():
        try:
            found.append(mapping_of_toml(path.read_text(encoding="utf-8"), path.name))
        except (OSError, UnicodeDecodeError, UnreadableFile):
            continue
    return tuple(found)


def keep_mapping(folder: Path, mapping: CsvMapping) -> Path:
    """Keep a mapping under its headings; the file. One for the same headings is replaced."""
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / f"{key_of_headings(mapping.headings)}.toml"
    write_whole(path, mapping_toml(mapping).encode("utf-8"), private=False)
    return path
