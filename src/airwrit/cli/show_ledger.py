"""What taking facts in would do, and what the ledger says of a subject, on the terminal."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import click
from rich.console import Console
from rich.table import Table
from rich.text import Text

from airwrit.answers.taking_in import Change, Contradiction, Kind, Taking
from airwrit.answers.taking_words import KEPT_AS_IT_IS, contradiction_text, fact_text, shown_value, span_text
from airwrit.base.times import EARLIEST
from airwrit.cli.show import clean
from airwrit.facts.statement import Known

_SHOWN = 40

private_option = click.option(
    "--private", is_flag=True, help="Show private values too: birthdays, citizenship, certificate numbers."
)

Row = tuple[str, str, str]


def show_taking(taking: Taking, out: Console, *, private: bool = False) -> None:
    """What would be added, changed, corrected and contradicted, what a file says no longer, and what needs a look."""
    _tally(taking, out)
    by_kind: dict[Kind, list[Change]] = {kind: [] for kind in Kind}
    for change in taking.changes:
        by_kind[change.kind].append(change)
    _section(
        "CHANGED: the new value holds from the day named, the old one stays for the days before",
        [_changed(one, private=private) for one in by_kind[Kind.CHANGED]],
        out,
    )
    _section(
        "CORRECTED: what was said before no longer counts, for any day",
        [
            _corrected(one, private=private)
            for kind in (Kind.CORRECTED, Kind.TAKEN_BACK)
            for one in by_kind[kind]
        ],
        out,
    )
    _section(
        "CONTRADICTED: kept as said, unknown until one of them is corrected",
        [_contradicted(one, private=private) for one in taking.contradictions],
        out,
    )
    _silent(taking, out, private=private)
    _asides(taking, out)
    _section("ADDED", _added(by_kind[Kind.ADDED], private=private), out)


def _tally(taking: Taking, out: Console) -> None:
    """How much of each there is, in one line."""
    if taking.is_empty:
        out.print(f"Nothing new: all {taking.same} facts are on record already.")
        return
    counts = {kind: sum(change.kind is kind for change in taking.changes) for kind in Kind}
    new = sum(one.new for one in taking.contradictions)
    line = (
        f"facts: {counts[Kind.ADDED]} to add, {counts[Kind.CHANGED]} to change, "
        f"{counts[Kind.CORRECTED]} to correct, {counts[Kind.TAKEN_BACK]} to take back, {new} contradicted, "
        f"{len(taking.silent)} no longer in the file, {taking.same} on record already"
    )
    out.print(Text(line, style="bold"))


def _silent(taking: Taking, out: Console, *, private: bool) -> None:
    """What a file says no longer, and what to do about it."""
    rows = [
        (clean(subject), ", ".join(fact(one, private=private) for one in mine), clean(mine[0].origin))
        for subject, mine in _by_subject(taking.silent)
    ]
    _section("NO LONGER IN THE FILE: stays on record as it was", rows, out)
    if rows:
        out.print(Text(KEPT_AS_IT_IS))


def _asides(taking: Taking, out: Console) -> None:
    """What the record has moved on from, names that may be the same, blanked facts, files that were mended."""
    _section(
        "BEHIND THE RECORD: the file still says an older value; the record stays as it is",
        [
            (clean(i.statement.subject), i.statement.key, f"mend {clean(i.origin)}, or record a correction")
            for i in taking.behind
        ],
        out,
    )
    _section(
        "PERHAPS THE SAME: the names differ only in case or spaces and are kept apart",
        [
            (clean(new), f"on record as {clean(other)}", "write it alike if it is the same")
            for new, other in taking.alike
        ],
        out,
    )
    _section(
        "LEFT OUT: blanked on request, so it is not taken in again, and the file is not kept",
        [
            (clean(i.statement.subject), i.statement.key, f"take it out of {clean(i.origin)}")
            for i in taking.left_out
        ],
        out,
    )
    for name in taking.read_again:
        out.print(f"{clean(name)} was read again; it is kept how many of its rows could be read.")


def _by_subject(items: Iterable[Known]) -> list[tuple[str, list[Known]]]:
    found: dict[str, list[Known]] = {}
    for item in items:
        found.setdefault(item.statement.subject, []).append(item)
    return list(found.items())


def fact(item: Known, *, private: bool = False) -> str:
    """A statement's key and value, safe to print."""
    return clean(fact_text(item.statement, private=private))


def _section(title: str, rows: Sequence[Row], out: Console) -> None:
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


def _changed(change: Change, *, private: bool) -> Row:
    key, start = change.statement.key, change.statement.valid_from
    old = ", ".join(shown_value(key, item.statement.value, private=private) for item in change.until_then)
    now = shown_value(key, change.statement.value, private=private)
    told = f"from {start} on; before that the old value stays: {clean(old)}"
    return clean(change.statement.subject), clean(f"{key} = {now}"), told


def _corrected(change: Change, *, private: bool) -> Row:
    was = ", ".join(f"{fact(old, private=private)} ({clean(old.origin)})" for old in change.was)
    return clean(change.statement.subject), clean(fact_text(change.statement, private=private)), f"was {was}"


def _contradicted(one: Contradiction, *, private: bool) -> Row:
    since = "" if one.on == EARLIEST else f"from {one.on}"
    if len(one.said) == 1:
        since = "it ends before it begins"
    said = clean(contradiction_text(one, private=private))
    return clean(one.subject), said, since if one.new else f"{since} as before".strip()


def _added(changes: Sequence[Change], *, private: bool) -> list[Row]:
    """A row for each subject and span, so that a span that many facts share is told once."""
    parts: dict[tuple[str, str], list[Change]] = {}
    for change in changes:
        parts.setdefault((change.statement.subject, span_text(change.statement)), []).append(change)
    rows = []
    for (subject, span), mine in parts.items():
        facts = ", ".join(
            f"{one.statement.key} = {shown_value(one.statement.key, one.statement.value, private=private)}"
            for one in mine
        )
        rows.append((clean(subject), clean(f"{span}: {facts}" if span else facts), clean(mine[0].origin)))
    return rows
