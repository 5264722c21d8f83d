"""What taking facts in would do, as every face lists it: a line of counts, then sections of rows, what needs a look first."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from airwrit.answers.sheets.difference import (
    KEPT_AS_IT_IS,
    ChangeKind,
    Contradiction,
    Difference,
    FactChange,
    contradiction_text,
    fact_name,
    fact_text,
    span_text,
    told_value,
)
from airwrit.base.days import EARLIEST
from airwrit.base.sentences import day_words
from airwrit.facts.statement import Known


class ChangeRow(NamedTuple):
    """One line: of which subject, what, and a remark: what was said before, or where it stands."""

    subject: str
    what: str
    remark: str


class ChangeSection(NamedTuple):
    """Rows of one kind: its name, what it means, the rows, and what to do about them."""

    name: str
    means: str
    rows: tuple[ChangeRow, ...]
    do: str = ""


def counts_of(taking: Difference) -> tuple[tuple[int, str], ...]:
    """How many facts there are of each sort: the number, and what becomes of so many."""
    counts = {kind: sum(change.kind is kind for change in taking.changes) for kind in ChangeKind}
    return (
        (counts[ChangeKind.ADDED], "to add"),
        (counts[ChangeKind.CHANGED], "to change"),
        (counts[ChangeKind.CORRECTED], "to correct"),
        (counts[ChangeKind.TAKEN_BACK], "to take back"),
        (sum(one.new for one in taking.contradictions), "contradicted"),
        (len(taking.silent), "no longer in the file"),
        (len(taking.behind), "older than the record"),
        (taking.same, "already on record"),
    )


def tally_of(taking: Difference) -> str:
    """How much there is of each sort that there is, in one line."""
    if taking.is_empty and not taking.behind:
        if not taking.same:
            return "Nothing to save: we read no facts."
        told = "the fact is" if taking.same == 1 else f"all {taking.same} facts are"
        return f"Nothing to save: {told} already on record."
    return "facts: " + ", ".join(f"{number} {words}" for number, words in counts_of(taking) if number)


def sections_of(taking: Difference, *, private: bool = False) -> tuple[ChangeSection, ...]:
    """The sections that have rows. Private values are shown only where that was asked for."""
    of = {kind: [one for one in taking.changes if one.kind is kind] for kind in ChangeKind}
    sections = (
        ChangeSection(
            "changed",
            "the new value applies from the date shown. The old one stays for earlier days",
            tuple(_changed(one, private) for one in of[ChangeKind.CHANGED]),
        ),
        ChangeSection(
            "corrected",
            "the earlier value no longer counts for any day",
            tuple(
                _corrected(one, private) for one in (*of[ChangeKind.CORRECTED], *of[ChangeKind.TAKEN_BACK])
            ),
        ),
        ChangeSection(
            "contradicted",
            "both are kept. They count as unknown until you correct one",
            tuple(_contradicted(one, private) for one in taking.contradictions),
        ),
        ChangeSection(
            "no longer in the file",
            "this stays on record",
            tuple(_silent(taking.silent, private)),
            KEPT_AS_IT_IS,
        ),
        *_asides(taking),
        ChangeSection("added", "", tuple(_added(of[ChangeKind.ADDED], private))),
    )
    return tuple(section for section in sections if section.rows)


def _asides(taking: Difference) -> Iterable[ChangeSection]:
    """What the record has moved on from, names that may be the same, blanked facts."""
    yield ChangeSection(
        "older than the record",
        "the file still has an old value. The record stays the same",
        tuple(
            ChangeRow(
                i.statement.subject, fact_name(i.statement.key), f"mend {i.origin}, or record a correction"
            )
            for i in taking.behind
        ),
    )
    yield ChangeSection(
        "maybe the same",
        "these names differ only in capitals or spaces. We keep them separate",
        tuple(
            ChangeRow(new, f"on record as {other}", "write it the same way if it is the same")
            for new, other in taking.alike
        ),
    )
    yield ChangeSection(
        "left out",
        "removed on request, so we don't import it again, and we don't keep the file",
        tuple(
            ChangeRow(i.statement.subject, fact_name(i.statement.key), f"take it out of {i.origin}")
            for i in taking.left_out
        ),
    )


def _silent(items: Sequence[Known], private: bool) -> Iterable[ChangeRow]:
    by_subject: dict[str, list[Known]] = {}
    for item in items:
        by_subject.setdefault(item.statement.subject, []).append(item)
    for subject, mine in by_subject.items():
        told = ", ".join(fact_text(one.statement, private=private) for one in mine)
        yield ChangeRow(subject, told, mine[0].origin)


def _changed(change: FactChange, private: bool) -> ChangeRow:
    key, start = change.statement.key, change.statement.valid_from
    old = ", ".join(told_value(key, item.statement.value, private=private) for item in change.until_then)
    now = told_value(key, change.statement.value, private=private)
    return ChangeRow(
        change.statement.subject,
        f"{fact_name(key)}: {now}",
        f"from {day_words(start)} on. Before that, the old value stays: {old}",
    )


def _corrected(change: FactChange, private: bool) -> ChangeRow:
    was = ", ".join(f"{fact_text(old.statement, private=private)} ({old.origin})" for old in change.was)
    return ChangeRow(change.statement.subject, fact_text(change.statement, private=private), f"was {was}")


def _contradicted(one: Contradiction, private: bool) -> ChangeRow:
    since = "" if one.on == EARLIEST else f"from {day_words(one.on)}"
    if len(one.said) == 1:
        since = "the end is before the start"
    return ChangeRow(
        one.subject,
        contradiction_text(one, private=private),
        since if one.new else f"{since} as before".strip(),
    )


def _added(changes: Sequence[FactChange], private: bool) -> Iterable[ChangeRow]:
    """A row for each subject and span, so that a span that many facts share is told once."""
    parts: dict[tuple[str, str], list[FactChange]] = {}
    for change in changes:
        parts.setdefault((change.statement.subject, span_text(change.statement)), []).append(change)
    for (subject, span), mine in parts.items():
        values = ((one.statement.key, told_value(*one.statement[1:3], private=private)) for one in mine)
        facts = "; ".join(f"{fact_name(key)}: {told}" for key, told in values)
        yield ChangeRow(subject, f"{span}: {facts}" if span else facts, mine[0].origin)
