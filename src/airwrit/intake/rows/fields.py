"""The columns of one table with what they are read as; one of them names the rows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from airwrit.facts.key import Key
from airwrit.facts.keys.person import COMPLETED_ON
from airwrit.facts.vocabulary import KEYS
from airwrit.intake.cell.dates import DateOrder
from airwrit.intake.columns import EVENT, ID, UNKNOWN, WEIGHT, Match, heading_of, id_headings
from airwrit.intake.layout import ELSEWHERE, Block, named_headings
from airwrit.intake.meaning.about import KINDS
from airwrit.intake.meaning.values import variant_of
from airwrit.intake.reader.cells import letters_of
from airwrit.intake.rows.parting import PARTED

STANDINS = {"aircraft": ("airframe_serial", "remote_id_serial", "registration"), "paper": ("paper_number",)}
"""By kind of table the facts that name a row where no column of names does, the first that a table has before the others."""


@dataclass(frozen=True, slots=True)
class Field:
    """One column of a table: where it is, its heading, what it means, how that was found, and what its heading tells.

    `variant` tells in which way its values say it, `line` is how a message names the column, or the row of a turned table.
    """

    column: int
    letter: str
    heading: str
    saved_as: str
    match: Match
    note: str = ""
    unit: str = ""
    order: DateOrder | None = None
    variant: str = ""
    line: str = ""

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


def fields_of(block: Block) -> tuple[Field, ...]:
    """The columns of a table, each settled; those without heading and values are left out."""
    fields = []
    names = named_headings(block.headings)
    for column, (heading, match, name) in enumerate(zip(block.headings, block.matches, names, strict=True)):
        look = block.looks[column]
        if (not heading and not look.said) or match is ELSEWHERE:
            continue
        parsed = heading_of(heading)
        order = (block.plan.dates.get(name) if block.plan else None) or parsed.order
        variant = variant_of(match.meaning, heading, look)
        letter, line = _where(block, column)
        note = _note(match)
        fields.append(Field(column, letter, heading, name, match, note, parsed.unit, order, variant, line))
    if block.plan is None and block.table not in KINDS:
        fields = _one_id(fields, block.table)
    return tuple(fields)


def _note(match: Match) -> str:
    """What is said of how a column was read that is not asked about."""
    if match.how == PARTED and not match.meaning:
        return "read as the dates it names"
    if match.meaning:
        return match.why
    return f"not used: {match.why}" if match.how == "put aside" and match.why else ""


def _where(block: Block, column: int) -> tuple[str, str]:
    """The letter of a column, and how a message names it: column C, or row 5 in a turned table."""
    view = block.view
    row, across = (
        view.place(max(0, block.first - 1) if view.turned else block.first, column)
        if (view.turned or block.first < len(view.rows))
        else (view.top, view.left + column)
    )
    letter = letters_of(across)
    return letter, f"row {row + 1}" if view.turned or view.places is not None else f"column {letter}"


def _one_id(fields: list[Field], table: str) -> list[Field]:
    """The same columns with one id at most: the heading that names a row best."""
    ranks = id_headings(table)
    ids = [field for field in fields if field.meaning == ID]
    if len(ids) < 2:
        return fields
    best = min(ids, key=lambda field: (ranks.index(field.match.heading), field.match.how != "exact"))
    note = f"not used, because {best.heading!r} names the row"
    return [
        replace(field, match=UNKNOWN, note=note) if field.meaning == ID and field is not best else field
        for field in fields
    ]


def named_by(fields: Sequence[Field], table: str) -> Field | None:
    """The column that names the rows, or one that stands in: an aircraft's serial or registration, a paper's number."""
    for field in fields:
        if field.meaning == ID:
            return field
    for meaning in STANDINS.get(table, ()):
        for field in fields:
            if field.meaning == meaning:
                return field
    return None
