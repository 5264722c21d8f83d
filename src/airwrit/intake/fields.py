"""The columns of one table with what they are read as: one names the row, bare headings are settled by their neighbors."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from airwrit.base.identifiers import n_number, part_48_number
from airwrit.facts.key import Key
from airwrit.facts.keys.person import COMPLETED_ON
from airwrit.facts.keys.registration import REGISTRATION_KIND
from airwrit.facts.vocabulary import KEYS
from airwrit.intake.cells import EMPTY, Cell, Kind, Sheet
from airwrit.intake.columns import EVENT, ID, UNKNOWN, WEIGHT, Match, heading_of, id_headings
from airwrit.intake.dates import DateOrder
from airwrit.intake.got import clean
from airwrit.intake.layout import Block, named_headings
from airwrit.intake.words import is_missing, one_of

_PLAIN_SERIALS = ("serial", "serial number")
_STANDINS = {"aircraft": ("airframe_serial", "remote_id_serial", "registration"), "paper": ("paper_number",)}
_ENOUGH = 0.5


@dataclass(frozen=True, slots=True)
class Field:
    """One column of a table: where it is, its heading, what it means, how that was found, and what its heading tells."""

    column: int
    letter: str
    heading: str
    saved_as: str
    match: Match
    note: str = ""
    unit: str = ""
    order: DateOrder | None = None

    @property
    def meaning(self) -> str:
        """A key's name or a special meaning, "" when unknown."""
        return self.match.meaning

    @property
    def key(self) -> Key[Any] | None:
        """The key its cells are read by, None for names and for what is unknown."""
        if self.meaning.startswith(EVENT):
            return COMPLETED_ON
        return KEYS["takeoff_weight_g"] if self.meaning == WEIGHT else KEYS.get(self.meaning)


def fields_of(sheet: Sheet, block: Block) -> tuple[Field, ...]:
    """The columns of a table, each settled."""
    fields = []
    names = named_headings(block.headings)
    for column, (heading, match, name) in enumerate(zip(block.headings, block.matches, names, strict=True)):
        parsed = heading_of(heading)
        order = (block.plan.dates.get(name) if block.plan else None) or parsed.order
        fields.append(Field(column, sheet.letter(column), heading, name, match, "", parsed.unit, order))
    if block.plan is None:
        fields = _one_id(fields, block.table)
        if block.table == "aircraft":
            fields = _bare_headings(fields, sheet, block)
    return tuple(fields)


def _one_id(fields: list[Field], table: str) -> list[Field]:
    """The same columns with one id at most: the heading that names a row best."""
    ranks = id_headings(table)
    ids = [field for field in fields if field.meaning == ID]
    if len(ids) < 2:
        return fields
    best = min(ids, key=lambda field: (ranks.index(field.match.heading), field.match.how != "exact"))
    note = f"not used: the row is named by {best.heading!r}"
    return [
        replace(field, match=UNKNOWN, note=note) if field.meaning == ID and field is not best else field
        for field in fields
    ]


def _bare_headings(fields: list[Field], sheet: Sheet, block: Block) -> list[Field]:
    """Aircraft columns whose heading says too little are settled by the other columns and by their own cells."""
    counts = Counter(field.meaning for field in fields)
    return [
        _settled(field, {each for each in counts if counts[each] > (each == field.meaning)}, sheet, block)
        for field in fields
    ]


def _settled(field: Field, others: set[str], sheet: Sheet, block: Block) -> Field:
    text = heading_of(field.heading).text
    if text in _PLAIN_SERIALS:
        return _serial(field, others)
    if field.meaning == "" and text in ("kind", "class") and "registration_kind" not in others:
        return _by_cells(field, "registration_kind", sheet, block, _is_registration_kind)
    if field.meaning == "" and text in ("number", "certificate") and "registration" not in others:
        return _by_cells(field, "registration", sheet, block, _is_registration_number)
    return field


def _serial(field: Field, others: set[str]) -> Field:
    if "remote_id_serial" not in others:
        return field
    if "airframe_serial" in others:
        return replace(
            field, match=UNKNOWN, note="not used: other columns hold the serials of airframe and Remote ID"
        )
    return replace(
        field,
        match=Match("airframe_serial", "exact"),
        note="read as the airframe's serial, since another column holds the Remote ID serial",
    )


def _by_cells(field: Field, meaning: str, sheet: Sheet, block: Block, fits: Callable[[str], bool]) -> Field:
    """The column as `meaning` when most of its cells read as such."""
    texts = [
        clean(cell.text).text for cell in column_of(sheet, block, field.column) if cell.kind is not Kind.EMPTY
    ]
    said = [text for text in texts if not is_missing(text)]
    if not said or sum(map(fits, said)) < _ENOUGH * len(said):
        return field
    return replace(field, match=Match(meaning, "near"), note="told by its cells")


def _is_registration_kind(text: str) -> bool:
    return isinstance(one_of(REGISTRATION_KIND.kind, text).raw, str)


def _is_registration_number(text: str) -> bool:
    return part_48_number(text).ok or n_number(text).ok


def column_of(sheet: Sheet, block: Block, column: int) -> list[Cell]:
    """The cells of one column of a table, blank where a row is shorter."""
    return [row[column] if column < len(row) else EMPTY for row in sheet.rows[block.first : block.end]]


def named_by(fields: Sequence[Field], table: str) -> Field | None:
    """The column that names the rows, or one that stands in: an aircraft's serial or registration, a paper's number."""
    for field in fields:
        if field.meaning == ID:
            return field
    for meaning in _STANDINS.get(table, ()):
        for field in fields:
            if field.meaning == meaning:
                return field
    return None
