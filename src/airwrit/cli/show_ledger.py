"""What taking facts in would do, and what the ledger says of a subject, as text and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from rich.console import Console
from rich.table import Table
from rich.text import Text

from airwrit.answers.taking_in import Change, Contradiction, Kind, Taking
from airwrit.base.times import EARLIEST
from airwrit.cli.show import clean
from airwrit.facts.key import Raw
from airwrit.facts.statement import Known, Problem, Statement, Unreadable

_SHOWN = 40


def value_text(value: Raw) -> str:
    """A value in words."""
    if isinstance(value, Unreadable):
        return f"unreadable {value!r}" if value else "unreadable"
    if value is None:
        return "ended"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return clean(str(value))


def span_text(statement: Statement) -> str:
    """From when until when a statement says to hold, in words."""
    parts = []
    if statement.valid_from != EARLIEST:
        parts.append(f"from {statement.valid_from}")
    if statement.valid_until is not None:
        parts.append(f"until {statement.valid_until}")
    return " ".join(parts)


def fact_text(statement: Statement) -> str:
    """Key and value with the span."""
    if statement.value is None and statement.valid_until == EARLIEST:
        return f"{statement.key} taken back"
    span = span_text(statement)
    return f"{statement.key} = {value_text(statement.value)}" + (f" {span}" if span else "")


def show_taking(taking: Taking, out: Console) -> None:
    """What would be added, corrected, taken back and contradicted, and what a file says no longer."""
    counts = {kind: sum(change.kind is kind for change in taking.changes) for kind in Kind}
    new = sum(one.new for one in taking.contradictions)
    if taking.is_empty:
        out.print(f"Nothing new: all {taking.same} facts are on record already.")
    else:
        out.print(
            Text(
                f"facts: {counts[Kind.ADDED]} to add, {counts[Kind.CORRECTED]} to correct, "
                f"{counts[Kind.TAKEN_BACK]} to take back, {new} contradicted, {taking.same} on record already",
                style="bold",
            )
        )
    corrected = [change for change in taking.changes if change.kind is not Kind.ADDED]
    _section("CORRECTED: what was said before no longer counts", [_corrected(one) for one in corrected], out)
    _section(
        "CONTRADICTED: kept as said, unknown until one of them is corrected",
        [_contradicted(one) for one in taking.contradictions],
        out,
    )
    _section(
        "NO LONGER IN THE FILE: stays on record as it was",
        [(clean(one.statement.subject), fact_text(one.statement), one.origin) for one in taking.silent],
        out,
    )
    added: dict[str, list[Change]] = {}
    for change in taking.changes:
        if change.kind is Kind.ADDED:
            added.setdefault(change.statement.subject, []).append(change)
    _section("ADDED", [_added(subject, mine) for subject, mine in added.items()], out)


def _section(title: str, rows: Sequence[tuple[str, str, str]], out: Console) -> None:
    if not rows:
        return
    table = Table(box=None, show_header=False, pad_edge=False, padding=(0, 2, 0, 0), expand=True)
    for ratio in (22, 52, 36):
        table.add_column(ratio=ratio, overflow="fold")
    for row in rows[:_SHOWN]:
        table.add_row(*row)
    out.print()
    out.print(Text(title, style="dim"))
    out.print(table)
    if len(rows) > _SHOWN:
        out.print(f"and {len(rows) - _SHOWN} more; --json gives all")


def _corrected(change: Change) -> tuple[str, str, str]:
    was = ", ".join(f"{fact_text(old.statement)} ({old.origin})" for old in change.was)
    return clean(change.statement.subject), fact_text(change.statement), f"was {was}"


def _contradicted(one: Contradiction) -> tuple[str, str, str]:
    said = "; ".join(f"{value_text(value)} ({clean(origin)})" for value, origin in one.said)
    since = "" if one.on == EARLIEST else f"from {one.on}"
    if len(one.said) == 1:
        since = "it ends before it begins"
    return clean(one.subject), f"{one.key}: {said}", since if one.new else f"{since} as before".strip()


def _added(subject: str, mine: Sequence[Change]) -> tuple[str, str, str]:
    return clean(subject), ", ".join(fact_text(change.statement) for change in mine), clean(mine[0].origin)


def said_json(statement: Statement) -> dict[str, Any]:
    """A statement as JSON."""
    unreadable = isinstance(statement.value, Unreadable)
    return {
        "subject": statement.subject,
        "key": statement.key,
        "value": None if unreadable else statement.value,
        "unreadable": unreadable,
        "from": None if statement.valid_from == EARLIEST else statement.valid_from.isoformat(),
        "until": None if statement.valid_until is None else statement.valid_until.isoformat(),
    }


def known_json(item: Known) -> dict[str, Any]:
    """A statement of the ledger as JSON, with its number."""
    return {"number": item.number, **said_json(item.statement)}


def taking_json(taking: Taking, problems: Sequence[Problem] = ()) -> dict[str, Any]:
    """What taking in would do, as JSON."""
    return {
        "question": "import",
        "changes": [
            {
                "does": change.kind.value,
                **said_json(change.statement),
                "origin": change.origin,
                "was": [known_json(old) for old in change.was],
            }
            for change in taking.changes
        ],
        "contradictions": [contradiction_json(one) for one in taking.contradictions],
        "no_longer_said": [known_json(item) for item in taking.silent],
        "on_record_already": taking.same,
        "problems": [{"where": p.where, "what": p.what, "do": p.do, "unread": p.unread} for p in problems],
    }


def contradiction_json(one: Contradiction) -> dict[str, Any]:
    """A contradiction as JSON."""
    return {
        "subject": one.subject,
        "key": one.key,
        "from": None if one.on == EARLIEST else one.on.isoformat(),
        "said": [{"value": value, "origin": origin} for value, origin in one.said],
        "new": one.new,
    }
