"""What was said of a subject as a reader sees it: private values held back, and how late each thing was written down."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime, tzinfo
from typing import NamedTuple

from airwrit.answers.document import Json
from airwrit.answers.history.history import PastStatement, history_of
from airwrit.base.days import EARLIEST, day_of
from airwrit.facts.key import Raw
from airwrit.facts.statement import Unreadable
from airwrit.facts.vocabulary import KEYS
from airwrit.ledger.entry import parts_of
from airwrit.ledger.sqlite.store import Ledger

PRIVATE = "on file, hidden"


class HistoryLine(NamedTuple):
    """One statement: its number and entry, of which subject, what, the value in words, from and until when it is true.

    `at` is when it was written, in the zone asked for; `days_late` how long after it became true (0: at once, or not
    told); `replaced` and `replaced_by` are the numbers of entries.
    """

    number: str
    entry: int
    subject: str
    fact: str
    meaning: str
    value: str
    kind: str
    since: str
    until: str
    at: datetime
    by: str
    act: str
    source: str
    note: str
    days_late: int
    replaced: tuple[int, ...]
    replaced_by: tuple[int, ...]

    @property
    def counts(self) -> bool:
        """Whether nothing has taken its place."""
        return not self.replaced_by


def history_told(
    ledger: Ledger, subjects: Iterable[str], known_at: datetime, zone: tzinfo | None
) -> tuple[HistoryLine, ...]:
    """All that was said of some subjects up to a moment, newest first."""
    said = [one for subject in dict.fromkeys(subjects) for one in history_of(ledger, subject)]
    last = ledger.seq_at(known_at)
    seen = [one for one in said if parts_of(one.number)[0] <= last]
    told = [_written(one, known_at, ledger, zone) for one in seen]
    return tuple(sorted(told, key=lambda one: (one.at, parts_of(one.number)), reverse=True))


def _written(one: PastStatement, known_at: datetime, ledger: Ledger, zone: tzinfo | None) -> HistoryLine:
    _, name, value, since, until = one.statement
    entry, _ = parts_of(one.number)
    key, at = KEYS.get(name), one.recorded_at.astimezone(zone)
    shown, kind = _value(value, until)
    private = key is not None and key.private and kind == "said"
    return HistoryLine(
        one.number,
        entry,
        one.statement.subject,
        name,
        name if key is None else key.meaning,
        PRIVATE if private else shown,
        kind,
        "" if since == EARLIEST else since.isoformat(),
        "" if until is None or until == EARLIEST else until.isoformat(),
        at,
        one.by,
        one.act,
        one.source,
        one.note,
        0 if since == EARLIEST else max(0, (at.date() - day_of(since)).days),
        tuple(dict.fromkeys(parts_of(number)[0] for number in one.answers)),
        tuple(seq for seq in one.answered_by if _was_known(ledger, seq, known_at)),
    )


def _was_known(ledger: Ledger, seq: int, known_at: datetime) -> bool:
    return seq <= ledger.seq_at(known_at)


def _value(value: Raw, until: date | None) -> tuple[str, str]:
    """A value in words, and how it stands there: `said`, `ended`, `unreadable` or `taken_back`."""
    if isinstance(value, Unreadable):
        return (str(value) or "nothing that can be read"), "unreadable"
    if value is None:
        return ("", "taken_back") if until == EARLIEST else ("", "ended")
    if isinstance(value, bool):
        return ("yes" if value else "no"), "said"
    return str(value), "said"


def written_json(one: HistoryLine) -> Json:
    """A statement as part of a document."""
    return {
        "number": one.number,
        "subject": one.subject,
        "fact": one.fact,
        "value": one.value,
        "kind": one.kind,
        "from": one.since or None,
        "until": one.until or None,
        "recorded_at": one.at.isoformat(),
        "by": one.by,
        "act": one.act,
        "source": one.source,
        "note": one.note,
        "days_late": one.days_late,
        "takes_the_place_of": list(one.replaced),
        "answered_by": list(one.replaced_by),
    }
