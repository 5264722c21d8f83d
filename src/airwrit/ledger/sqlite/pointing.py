"""Which subjects were ever said to hold a value for a key: the other end of a link, found in one walk over the statements."""

from __future__ import annotations

from collections.abc import Collection
from datetime import datetime
from typing import Any

from airwrit.facts.key import Key
from airwrit.facts.vocabulary import KEYS
from airwrit.ledger.rectangles import UNREADABLE
from airwrit.ledger.sqlite.opening import made_out
from airwrit.ledger.sqlite.store import Ledger

_PART = 200


def saying(ledger: Ledger, pairs: Collection[tuple[str, str]], known_at: datetime) -> set[str]:
    """The subjects of which one of these (key, value) was said up to a moment, whether it still counts or not.

    A value of a key that has a form to be compared in is found in whatever form it was said, and a subject among several that
    one text names. With them those whose value for
    one of the keys cannot be read, since it may be any.
    """
    db = ledger.database
    found: set[str] = set()
    with made_out(ledger.path):
        seq = ledger.seq_at(known_at)
        numbers = _numbers(ledger, {key for key, _ in pairs})
        wanted = {(numbers[key], value) for key, value in pairs if key in numbers}
        forms = {numbers[key]: KEYS[key] for key, _ in pairs if key in numbers and _is_told_apart(KEYS[key])}
        alike = {(key, forms[key].compared(value)) for key, value in wanted if key in forms}
        values = sorted({value for _, value in wanted})
        for at in range(0, len(values), _PART):
            part = values[at : at + _PART]
            keys = sorted({key for key, value in wanted if value in part})
            rows = db.execute(
                "SELECT subject, key, value, kind FROM said NOT INDEXED "  # in the order of the file: one walk
                f"WHERE seq <= ? AND key IN ({_marks(keys)}) "
                f"AND (value IN ({_marks(part)}) OR kind = ? OR key IN ({_marks(forms)}))",
                (seq, *keys, *part, UNREADABLE, *forms),
            )
            ids = {
                subject
                for subject, key, value, kind in rows
                if kind == UNREADABLE
                or (key, value) in wanted
                or (
                    key in forms
                    and value is not None
                    and not alike.isdisjoint(_forms(forms[key], key, value))
                )
            }
            found |= _texts(ledger, sorted(ids))
    return found


def _is_told_apart(key: Key[Any]) -> bool:
    """Whether values of a key are compared otherwise than as they were said."""
    return key.one_form is not None or key.names is not None


def _forms(key: Key[Any], number: int, value: object) -> set[tuple[int, Any]]:
    """What a value said for a key names, in the form it is compared in."""
    return {(number, key.compared(one)) for one in key.values_in(str(value))}


def spoken_of(ledger: Ledger, subjects: Collection[str]) -> set[str]:
    """Those of the subjects of which anything was ever said."""
    with made_out(ledger.path):
        return {
            subject
            for subject in subjects
            if ledger.database.execute(
                "SELECT 1 FROM said WHERE subject = (SELECT id FROM word WHERE text = ?) LIMIT 1", (subject,)
            ).fetchone()
        }


def _numbers(ledger: Ledger, texts: Collection[str]) -> dict[str, int]:
    rows = ledger.database.execute(
        f"SELECT text, id FROM word WHERE text IN ({_marks(texts)})", tuple(texts)
    ).fetchall()
    return dict(rows)


def _texts(ledger: Ledger, ids: list[int]) -> set[str]:
    found = set()
    for at in range(0, len(ids), _PART):
        part = ids[at : at + _PART]
        rows = ledger.database.execute(f"SELECT text FROM word WHERE id IN ({_marks(part)})", part)
        found |= {text for (text,) in rows}
    return found


def _marks(items: Collection[object]) -> str:
    return ",".join("?" * len(items))
