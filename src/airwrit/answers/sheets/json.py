"""What taking facts in would do, as JSON; what is private is null unless it was asked for, and `hidden` says so."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from airwrit.answers.document import ON_RECORDS
from airwrit.answers.sheets.difference import Contradiction, Difference, FactChange, does_text, is_hidden
from airwrit.answers.sheets.importing import Preview
from airwrit.answers.standing.json import place_json
from airwrit.base.days import EARLIEST
from airwrit.facts.key import Raw
from airwrit.facts.statement import Known, Problem, Statement, Unreadable
from airwrit.facts.vocabulary import KEYS
from airwrit.intake.columns import Column

Json = dict[str, Any]


def said_json(statement: Statement, *, private: bool = False) -> Json:
    """A statement."""
    key, value = statement.key, statement.value
    return {
        "subject": statement.subject,
        "key": key,
        "value": _value(key, value, private=private),
        "unreadable": isinstance(value, Unreadable),
        "hidden": value is not None and is_hidden(key, private=private),
        "from": None if statement.valid_from == EARLIEST else statement.valid_from.isoformat(),
        "until": None if statement.valid_until is None else statement.valid_until.isoformat(),
    }


def _value(key: str, value: Raw, *, private: bool) -> Raw:
    return None if isinstance(value, Unreadable) or is_hidden(key, private=private) else value


def known_json(item: Known, *, private: bool = False) -> Json:
    """A statement with its number in the ledger, and where it came from."""
    return {"number": item.number, **said_json(item.statement, private=private), "origin": item.origin}


def change_json(change: FactChange, *, private: bool = False) -> Json:
    """A change: what it does, what it says, what it takes the place of, what holds until then."""
    return {
        "does": change.kind.value,
        "says": does_text(change),
        **said_json(change.statement, private=private),
        "origin": change.origin,
        "place": place_json(change.origin),
        "was": [known_json(old, private=private) for old in change.was],
        "until_then": [known_json(old, private=private) for old in change.until_then],
    }


def contradiction_json(one: Contradiction, *, private: bool = False) -> Json:
    """A contradiction."""
    return {
        "subject": one.subject,
        "key": one.key,
        "from": None if one.on == EARLIEST else one.on.isoformat(),
        "said": [
            {"value": _value(one.key, value, private=private), "origin": origin} for value, origin in one.said
        ],
        "hidden": is_hidden(one.key, private=private),
        "new": one.new,
    }


def problem_json(problem: Problem) -> Json:
    """A problem."""
    return {
        "where": problem.where,
        "place": place_json(problem.where),
        "what": problem.what,
        "do": problem.do,
        "unread": problem.unread,
    }


def taking_json(taking: Difference, problems: Sequence[Problem] = (), *, private: bool = False) -> Json:
    """What taking in would do."""
    return {
        "question": "import",
        "after": taking.after,
        "changes": [change_json(change, private=private) for change in taking.changes],
        "contradictions": [contradiction_json(one, private=private) for one in taking.contradictions],
        "no_longer_said": [known_json(item, private=private) for item in taking.silent],
        "behind": [known_json(item, private=private) for item in taking.behind],
        "perhaps_the_same": [{"new": new, "on_record": other} for new, other in taking.alike],
        "left_out": [{"subject": i.statement.subject, "key": i.statement.key} for i in taking.left_out],
        "read_again": list(taking.read_again),
        "on_record_already": taking.same,
        "problems": [problem_json(problem) for problem in problems],
        **ON_RECORDS,
    }


def column_json(column: Column) -> Json:
    """A column, what it was taken for and how that was found."""
    key = KEYS.get(column.key)
    return {
        "sheet": column.sheet,
        "place": column.place,
        "heading": column.heading,
        "read_as": column.key or None,
        "means": key.meaning if key else None,
        "how": column.how,
        "note": column.note,
        "table": column.table,
        "private": bool(key and key.private),
    }


def preview_json(preview: Preview, *, private: bool = False) -> Json:
    """A preview: the taking, what each column was taken for, and the files."""
    intake = preview.intake
    return {
        **taking_json(preview.taking, intake.problems, private=private),
        "columns": [column_json(column) for column in intake.columns],
        "sources": [{"name": source.name, "sha256": source.sha256} for source in intake.sources],
        "open": preview.is_open,
    }
