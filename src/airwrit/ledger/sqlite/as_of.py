"""Reading the ledger as of a day and a moment: statements for the fold, and the same answer by lookup."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from functools import lru_cache
from typing import Any, NamedTuple

from airwrit.base.days import EARLIEST, When, day_of, parse_when
from airwrit.base.errors import BadFact
from airwrit.base.process import resting
from airwrit.base.verdict import Why
from airwrit.facts.fold import held_of, number_sold_under, state_of
from airwrit.facts.key import Key, Raw
from airwrit.facts.keys.aircraft import REGISTRATION, SOLD_ON
from airwrit.facts.state import Held, State
from airwrit.facts.statement import EntryPlace, Known, Statement, Unreadable
from airwrit.facts.vocabulary import KEYS
from airwrit.ledger.clock import steps_back, sure_micros
from airwrit.ledger.entry import number_of, parts_of
from airwrit.ledger.rectangles import CONFLICT, FAR_DAY, MIXED, NOTHING, TEXT, raw_kept
from airwrit.ledger.sqlite.derived import Words

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_MICROSECOND = timedelta(microseconds=1)
_NO_VALUE = Held(None)
_KINDS = 8
_HELD = f"""SELECT subject, key * {_KINDS} + CASE valid_from WHEN ?3 THEN {MIXED} ELSE kind END, value, seqs FROM held
WHERE known_from <= ?1 AND valid_from <= ?2 AND known_until > ?1 AND valid_until > ?2
AND (kind <> {NOTHING} OR valid_from <> 1 OR valid_until <> {FAR_DAY})"""
"""Few columns: a row costs less to find than to hand over. On a day on which something turns an instant is left to the fold."""

_OF_KINDS = " AND subject IN (SELECT id FROM word WHERE {})"
_OF_KIND = "(text >= '{0}/' AND text < '{0}0')"
"""Names that begin with a kind and a slash; the sign after the slash is a zero."""

_TURNED = f"""SELECT DISTINCT subject FROM held WHERE known_from <= ?1 AND known_until > ?1 AND (kind = {MIXED}
OR (valid_from > ?2 AND valid_from <= ?3) OR (valid_until > ?2 AND valid_until <= ?3)) ORDER BY subject"""
_TOUCHED = "SELECT DISTINCT subject FROM said WHERE seq > ? AND seq <= ? ORDER BY subject"
_TWICE = "SELECT 1 FROM said WHERE subject = ? AND key = ? LIMIT 2"
_SPOKEN = "SELECT 1 FROM said WHERE subject = ? AND seq <= ? LIMIT 1"


class StateQuery(NamedTuple):
    """The day or instant asked about, the moment whose knowledge counts, and the subjects; None for all of the kinds told.

    No kind is all of them.
    """

    on: When
    known_at: datetime
    subjects: Sequence[str] | None = None
    kinds: Sequence[str] = ()


def micros_of(moment: datetime) -> int:
    """Microseconds from 1970-01-01T00:00Z."""
    return (moment - _EPOCH) // _MICROSECOND


def moment_of(micros: int) -> datetime:
    """The instant of `micros_of`, in UTC."""
    return _EPOCH + timedelta(microseconds=micros)


def said_at(db: sqlite3.Connection, words: Words, number: str) -> tuple[str, str] | None:
    """Subject and key of a statement by its number; None when there is none."""
    try:
        row = db.execute(
            "SELECT subject, key FROM said WHERE seq = ? AND place = ?", parts_of(number)
        ).fetchone()
    except (ValueError, OverflowError):
        return None
    return None if row is None else (words.text_of(db, row[0]), words.text_of(db, row[1]))


def known_of(db: sqlite3.Connection, words: Words, where: str, values: tuple[int, ...]) -> list[Known]:
    """The statements of the rows of `said` that `where` picks; those with a name this program does not know are left out."""
    answers, steps = _answers(db, where, values), steps_back(db)
    rows = db.execute(
        "SELECT s.seq, s.place, e.recorded_at, s.subject, s.key, s.kind, s.value, s.valid_from, s.valid_until "
        f"FROM said s JOIN entry e ON e.seq = s.seq WHERE {where} ORDER BY s.seq, s.place",
        values,
    )
    found = []
    for seq, place, micros, subject, key, kind, value, start, until in rows:
        name = words.text_of(db, key)
        if name in KEYS:
            raw, _ = _read(name, kind, value)
            span = (_when(start) or EARLIEST, _when(until))
            statement = Statement(words.text_of(db, subject), name, raw, *span)
            number = number_of(seq, place)
            moment = moment_of(sure_micros(seq, micros, steps))
            found.append(Known(statement, EntryPlace(int(seq)), moment, number, answers.get(seq, ())))
    return found


def _answers(db: sqlite3.Connection, where: str, values: tuple[int, ...]) -> dict[int, tuple[str, ...]]:
    """The numbers of the statements that each entry answers."""
    found: dict[int, list[str]] = {}
    picked = f"SELECT s.seq FROM said s WHERE {where}"
    rows = db.execute(f"SELECT seq, place, by_seq FROM answered WHERE by_seq IN ({picked})", values)
    for seq, place, by_seq in rows:
        found.setdefault(by_seq, []).append(number_of(seq, place))
    return {by_seq: tuple(numbers) for by_seq, numbers in found.items()}


@lru_cache(maxsize=1 << 16)
def _when(text: str) -> When | None:
    return parse_when(text) if text else None


@lru_cache(maxsize=1 << 16)
def _read(name: str, kind: int, text: str) -> tuple[Raw, Held | None]:
    """A kept value and what it makes known; one that this program's key does not allow counts as unreadable."""
    raw = raw_kept(kind, text)
    try:
        return raw, held_of(KEYS[name], raw, ())
    except BadFact:
        return Unreadable(text), Held(None, Why.DAMAGED)


def state_held(db: sqlite3.Connection, words: Words, seq: int, question: StateQuery) -> State:
    """The state after entry `seq`, from the rectangles; where these cannot say it, from the fold."""
    day = day_of(question.on).toordinal()
    asked = (seq, day, day if isinstance(question.on, datetime) else -1)
    texts = words.texts(db)
    if question.subjects is None:
        kinds = " OR ".join(map(_OF_KIND.format, question.kinds))
        with resting():
            held, undecided = _filed(
                db.execute(f"{_HELD}{_OF_KINDS.format(kinds) if kinds else ''}", asked), texts
            )
    else:
        ids = [words.id_of(db, subject) for subject in question.subjects]
        rows = [row for one in ids for row in db.execute(f"{_HELD} AND subject = ?4", (*asked, one))]
        held, undecided = _filed(rows, texts)
    _fold_rest(db, words, seq, question, undecided, held)
    _add_numbers_sold_under(db, words, seq, question, held)
    return State(question.on, question.known_at, held)


_Row = tuple[int, int, str, str]
"""A subject, its key and the kind of value in one number, the value, the entries that say so."""


class _Reading(NamedTuple):
    """How the values of a key and kind are read: those texts that stand for themselves, and the others read so far."""

    key: Key[Any] | None
    kind: int
    plain: bool
    known: dict[str, tuple[Any, Why | None]]


def _filed(
    rows: Iterable[_Row], texts: Mapping[int, str]
) -> tuple[dict[str, dict[Key[Any], Held]], list[tuple[int, int]]]:
    """What rows of rectangles hold, by subject and key; and the subjects and keys on which they leave it open."""
    held: dict[str, dict[Key[Any], Held]] = {}
    undecided: list[tuple[int, int]] = []
    mine, origins, last, last_seqs = dict[Key[Any], Held](), tuple[str, ...](), 0, ""
    readings: dict[int, _Reading] = {}
    make = tuple.__new__  # a named tuple without the call that its class makes of it
    for subject, code, value, seqs in rows:
        reading = readings.get(code)
        if reading is None:
            reading = readings[code] = _reading_of(code, texts)
        key, kind, plain, known = reading
        if key is None:
            continue
        if subject != last:
            last = subject
            mine = held.setdefault(texts[subject], {})
        if seqs != last_seqs:
            last_seqs, origins = seqs, tuple([EntryPlace(int(one)) for one in seqs.split(",") if one])
        if plain and value:
            mine[key] = make(Held, (value, None, origins))
            continue
        if kind == MIXED or (kind == CONFLICT and key.has_many):
            undecided.append((subject, code // _KINDS))
            continue
        found = known.get(value)
        if found is None:
            found = known[value] = _made_known(key, kind, value)
        if kind != NOTHING:
            mine[key] = make(Held, (*found, origins))
    return held, undecided


def _reading_of(code: int, texts: Mapping[int, str]) -> _Reading:
    number, kind = divmod(code, _KINDS)
    key = KEYS.get(texts[number])
    return _Reading(key, kind, key is not None and kind == TEXT and key.kind is str, {})


def _made_known(key: Key[Any], kind: int, text: str) -> tuple[Any, Why | None]:
    """The typed value of a kept one, or why there is none."""
    if kind == CONFLICT:
        return None, Why.CONFLICT
    found = _read(key.name, kind, text)[1] or _NO_VALUE
    return found.value, found.why


def state_grown(
    db: sqlite3.Connection, words: Words, before: State, since: int, seq: int, known_at: datetime
) -> State:
    """The state after entry `seq`, out of the whole one of the same day after entry `since`, by what was said meanwhile.

    All is read anew when a subject of which nothing was held is spoken of again, since its place is not known.
    """
    touched = [one for (one,) in db.execute(_TOUCHED, (since, seq))]
    names = [words.text_of(db, one) for one in touched]
    for one, name in zip(touched, names, strict=True):
        if name not in before.held and db.execute(_SPOKEN, (one, since)).fetchone() is not None:
            return state_held(db, words, seq, StateQuery(before.on, known_at))
    fresh = state_held(db, words, seq, StateQuery(before.on, known_at, names)).held
    return before.with_facts(fresh, [name for name in names if name not in fresh], known_at)


def state_of_day(db: sqlite3.Connection, words: Words, before: State, seq: int, on: date) -> State:
    """The state of a day, out of the whole one of another day as known after the same entry, by what turned between them.

    All is read anew where one of them is asked about at an instant, and when something is held now of a subject of which
    nothing was, since its place is not known.
    """
    whole = StateQuery(on, before.known_at)
    if isinstance(on, datetime) or isinstance(before.on, datetime):
        return state_held(db, words, seq, whole)
    days = sorted((on.toordinal(), before.on.toordinal()))
    names = [words.text_of(db, one) for (one,) in db.execute(_TURNED, (seq, *days))]
    names += [subject for subject, facts in before.held.items() if SOLD_ON in facts]
    fresh = state_held(db, words, seq, whole._replace(subjects=tuple(dict.fromkeys(names)))).held
    if not fresh.keys() <= before.held.keys():
        return state_held(db, words, seq, whole)
    return replace(before.with_facts(fresh, [name for name in names if name not in fresh]), on=on)


def _fold_rest(
    db: sqlite3.Connection,
    words: Words,
    seq: int,
    question: StateQuery,
    undecided: Sequence[tuple[int, int]],
    held: Mapping[str, dict[Key[Any], Held]],
) -> None:
    """Fold the pairs on which the rectangles leave it open: instants, and days on which something turns."""
    where = "s.seq <= ? AND s.subject = ? AND s.key = ?"
    for subject, key in undecided:
        state = state_of(known_of(db, words, where, (seq, subject, key)), question.on, question.known_at)
        for name, facts in state.held.items():
            held[name].update(facts)


def _add_numbers_sold_under(
    db: sqlite3.Connection,
    words: Words,
    seq: int,
    question: StateQuery,
    held: Mapping[str, dict[Key[Any], Held]],
) -> None:
    """Add to aircraft that were sold the number they were sold under, where they point at another by now."""
    where, number = "s.seq <= ? AND s.subject = ? AND s.key = ?", words.id_of(db, REGISTRATION.name)
    for subject, facts in held.items():
        if SOLD_ON in facts and len(db.execute(_TWICE, (words.id_of(db, subject), number)).fetchall()) > 1:
            known = known_of(db, words, where, (seq, words.id_of(db, subject), number))
            facts.update(number_sold_under(facts, question.on, _number_by(subject, known, question.known_at)))


def _number_by(subject: str, known: Sequence[Known], known_at: datetime) -> Callable[[date], Held | None]:
    """What statements say of the registration number of an aircraft, by the day."""
    return lambda day: state_of(known, day, known_at).held.get(subject, {}).get(REGISTRATION)
