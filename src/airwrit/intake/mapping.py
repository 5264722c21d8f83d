"""A mapping a person can keep: what each column of each sheet means, as TOML; given back, it gives the same reading."""

from __future__ import annotations

import difflib
import json
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from airwrit.base.errors import BadFact
from airwrit.intake.cell.dates import DAY_FIRST, MONTH_FIRST, DateOrder
from airwrit.intake.columns import ASK, IGNORE, TABLES, Column, meanings_of
from airwrit.intake.reader.apart import text_of
from airwrit.intake.reader.limits import Limits

_MOST_BYTES = 2**20


@dataclass(frozen=True, slots=True)
class SheetPlan:
    """What a user said of one table: its kind, the meaning of each heading, the order of dates under a heading."""

    table: str
    columns: Mapping[str, str]
    dates: Mapping[str, DateOrder] = field(default_factory=dict)


Plans = Mapping[str, tuple[SheetPlan, ...]]
"""The tables of each sheet by the sheet's name, or by a CSV file's name without its ending."""


def read_mapping(text: str, name: str) -> Plans:
    """The mapping in a TOML text. BadFact names what is wrong in it, and the nearest known meaning."""
    try:
        document = tomllib.loads(text)
    except tomllib.TOMLDecodeError as fault:
        raise BadFact(f"we can't read the file as TOML ({fault})", where=name, do="fix that line") from fault
    found: dict[str, list[SheetPlan]] = {}
    sheets = document.get("sheet")
    if (
        set(document) != {"sheet"}
        or not isinstance(sheets, list)
        or not all(isinstance(one, dict) for one in sheets)
    ):
        raise BadFact(
            "a mapping file has only [[sheet]] tables",
            where=name,
            do="save one with --save-mapping, and edit it",
        )
    for sheet in sheets:
        where = f"{name} sheet {sheet.get('name', '?')!r}"
        found.setdefault(str(sheet.get("name", "")), []).append(_plan(sheet, where))
    return {sheet: tuple(plans) for sheet, plans in found.items()}


def _plan(sheet: Mapping[str, Any], where: str) -> SheetPlan:
    odd = set(sheet) - {"name", "table", "columns", "dates"}
    if odd:
        raise BadFact(
            f"{min(odd)!r} doesn't belong in a mapping file",
            where=where,
            do="use name, table, columns and dates",
        )
    table = sheet.get("table")
    if table not in TABLES:
        raise BadFact(
            f"no kind of table is named {table!r}", where=where, do="choose one of: " + ", ".join(TABLES)
        )
    columns, dates = sheet.get("columns", {}), sheet.get("dates", {})
    if not isinstance(columns, dict) or not isinstance(dates, dict):
        raise BadFact(
            "columns and dates have to be tables",
            where=where,
            do="write [sheet.columns], and list the headings under it",
        )
    for heading, meaning in columns.items():
        if not isinstance(meaning, str) or meaning not in meanings_of(table):
            near = difflib.get_close_matches(str(meaning), meanings_of(table), n=1)
            raise BadFact(
                f"column {heading!r} can't mean {meaning!r}",
                where=where,
                do=f"did you mean {near[0]}?" if near else f"name a fact, or write {IGNORE}",
            )
    for heading, order in dates.items():
        if order not in (MONTH_FIRST, DAY_FIRST):
            raise BadFact(
                f"column {heading!r} has {order!r}, which isn't a date order",
                where=where,
                do=f"use {MONTH_FIRST} or {DAY_FIRST}",
            )
    return SheetPlan(table, dict(columns), dict(dates))


def written(columns: Iterable[Column]) -> str:
    """What columns were read as, as TOML that `read_mapping` reads back; what was not used is told to be ignored.

    Tables of one kind in one sheet share a column of the same heading: what is known of it in one of them stands for all.
    """
    tables: dict[tuple[str, str, str], dict[str, Column]] = {}
    for column in columns:
        own = tables.setdefault((column.sheet, column.name, column.table), {})
        if column.saved_as not in own or not own[column.saved_as].meaning:
            own[column.saved_as] = column
    lines = ['# What each column means. Change a meaning, or say "ignore"; give it back with --mapping.']
    for (_, name, table), mine in tables.items():
        lines += ["", "[[sheet]]", f"name = {_quoted(name)}", f"table = {_quoted(table)}", "[sheet.columns]"]
        lines += [f"{_quoted(column.saved_as)} = {_quoted(meaning_kept(column))}" for column in mine.values()]
        dated = [column for column in mine.values() if column.dates]
        lines += ["[sheet.dates]"] if dated else []
        lines += [f"{_quoted(column.saved_as)} = {_quoted(str(column.dates))}" for column in dated]
    return "\n".join(lines) + "\n"


def meaning_kept(column: Column) -> str:
    """What a mapping says of a column: what it means, that it is not known yet, or that it has no meaning here."""
    return column.meaning or (ASK if column.why else IGNORE)


def load_mapping(path: Path) -> Plans:
    """The mapping in a file. UnreadableFile when it cannot be read, BadFact when it is no mapping."""
    limits = Limits(file_bytes=_MOST_BYTES)
    return read_mapping(
        text_of(path, limits, "mapping", "use a mapping that --save-mapping wrote"), path.name
    )


def save_mapping(columns: Iterable[Column], path: Path) -> None:
    """Write what columns were read as to a file; give it back with --mapping for the same reading."""
    path.write_text(written(columns), encoding="utf-8")


def _quoted(text: str) -> str:
    """A TOML basic string; JSON's escapes are a subset of TOML's, save for DEL."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
