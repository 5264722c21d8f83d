"""Holds: records that have to stay, who said so and why, until somebody releases them; each on record as an entry.

A hold covers the subject it is set on, the subjects that this one names, and the documents attached to them. What has to stay
after an accident or incident that was reported stands in 49 CFR 830.10; the other kinds are common practice.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from datetime import datetime
from typing import Any, NamedTuple

from airwrit.answers.history.history import near
from airwrit.answers.sheets.difference import EVER
from airwrit.base.errors import UsageError
from airwrit.facts.key import Key
from airwrit.facts.keys.document import attached_to
from airwrit.facts.keys.program import (
    HOLD_KIND,
    HOLD_OF,
    HOLD_RELEASED_BY,
    HOLD_RELEASED_WHY,
    HOLD_SET_BY,
    HOLD_WHY,
    HoldKind,
    hold_subject,
)
from airwrit.facts.statement import EntryPlace, Statement
from airwrit.facts.vocabulary import KEYS, folded, id_of, kind_of, subject_named
from airwrit.ledger.entry import HOLD, RELEASE_HOLD, Entry
from airwrit.ledger.ports import Draft
from airwrit.ledger.sqlite.store import Clock, Ledger

ALL = "all"
"""What a hold is set on that covers the whole ledger."""

_PEOPLE = ("person", "owner")


class Hold(NamedTuple):
    """A hold: its number, what it is set on, its kind, who set it, why and when; who released it, why and when, or None."""

    number: int
    of: str
    kind: HoldKind
    set_by: str
    why: str
    set_at: datetime
    released_by: str = ""
    released_why: str = ""
    released_at: datetime | None = None

    @property
    def is_live(self) -> bool:
        """Whether nobody released it."""
        return self.released_at is None


def setting(subject: str, kind: HoldKind, who: str, why: str) -> tuple[tuple[Key[Any], str], ...]:
    """What a hold says, by key. UsageError when it names nobody or no reason."""
    if not who.strip() or not why.strip():
        raise UsageError("a hold needs a person and a reason", where="hold", do="enter who sets it, and why")
    return ((HOLD_OF, subject), (HOLD_KIND, kind.value), (HOLD_SET_BY, who.strip()), (HOLD_WHY, why.strip()))


def set_hold(
    ledger: Ledger,
    subject: str,
    kind: HoldKind,
    who: str,
    why: str,
    clock: Clock,
    by: str,
    after: int | None = None,
) -> Entry:
    """Put a hold on record. UsageError when the subject is not on record. LedgerMoved when others wrote since `after`."""
    _look_at(ledger, subject)
    size = ledger.head().size if after is None else after
    mine = hold_subject(size + 1)
    said = tuple(Statement(mine, key.name, value) for key, value in setting(subject, kind, who, why))
    return ledger.append([Draft(by, HOLD, said)], clock, after=size)[0]


def _look_at(ledger: Ledger, subject: str) -> None:
    if subject == ALL or ledger.known(EVER, [subject]):
        return
    like = near(ledger, subject)
    do = f"did you mean {like}?" if like else f"name a subject like aircraft/H-03, or {ALL}"
    raise UsageError(f"there is no record named {subject!r}", where="SUBJECT", do=do)


def release(
    ledger: Ledger, number: int, who: str, why: str, clock: Clock, by: str, after: int | None = None
) -> Entry:
    """Put on record that a hold is released. UsageError when there is no such live hold, or nobody or no reason is named."""
    if not who.strip() or not why.strip():
        raise UsageError(
            "releasing a hold needs a person and a reason", where="hold", do="enter who releases it, and why"
        )
    size = ledger.head().size if after is None else after
    hold = next((one for one in holds_of(ledger) if one.number == number), None)
    if hold is None or not hold.is_live:
        what = f"no hold has the number {number}" if hold is None else f"hold {number} was already released"
        raise UsageError(what, where="--release", do="`airwrit legal-hold --list` lists them")
    pairs = ((HOLD_RELEASED_BY, who.strip()), (HOLD_RELEASED_WHY, why.strip()))
    said = tuple(Statement(hold_subject(number), key.name, value) for key, value in pairs)
    return ledger.append([Draft(by, RELEASE_HOLD, said)], clock, after=size)[0]


def holds_of(ledger: Ledger) -> list[Hold]:
    """Every hold that was ever set, in order, released ones too."""
    found: dict[str, Hold] = {}
    for item in ledger.known(EVER, ledger.speaking(HOLD_OF.name, EVER)):
        subject, key, value = item.statement.subject, item.statement.key, str(item.statement.value)
        entry = ledger.entry(item.origin.entry if isinstance(item.origin, EntryPlace) else 0)
        act = "" if entry is None else entry.act
        if act == HOLD:
            new = Hold(int(id_of(subject)), "", HoldKind.INCIDENT, "", "", item.recorded_at)
            found[subject] = _with(found.get(subject, new), key, value)
        elif act == RELEASE_HOLD and subject in found:
            held = _with(found[subject], key, value)
            is_whole = bool(held.released_by and held.released_why)
            found[subject] = held._replace(released_at=item.recorded_at if is_whole else None)
    return list(found.values())


def _with(hold: Hold, key: str, value: str) -> Hold:
    """A hold with one more thing said of it."""
    if key == HOLD_KIND.name:
        return hold._replace(kind=HoldKind(value))
    if key == HOLD_OF.name:
        return hold._replace(of=value)
    if key == HOLD_SET_BY.name:
        return hold._replace(set_by=value)
    if key == HOLD_WHY.name:
        return hold._replace(why=value)
    if key == HOLD_RELEASED_BY.name:
        return hold._replace(released_by=value)
    return hold._replace(released_why=value) if key == HOLD_RELEASED_WHY.name else hold


class Blocked(NamedTuple):
    """Something that may not go: which hold stands in the way, and the record that it holds."""

    hold: Hold
    what: str


def blocked_by(
    ledger: Ledger, subjects: Collection[str], entries: Iterable[Entry], files: Iterable[str]
) -> list[Blocked]:
    """The live holds that stand in the way of taking out entries and kept files, or anything of some subjects."""
    live = [hold for hold in holds_of(ledger) if hold.is_live]
    if not live:
        return []
    found = []
    speaks = {entry.seq: set(entry.subjects) for entry in entries}
    speaking_files = {digest: _subjects_from(ledger, digest) for digest in files}
    for hold in live:
        covered = _covered(ledger, hold.of)
        for what, named in (
            *((subject, {subject}) for subject in subjects),
            *((f"entry {seq}", mine) for seq, mine in speaks.items()),
            *((f"the file {_name_of(ledger, digest)}", mine) for digest, mine in speaking_files.items()),
        ):
            if hold.of == ALL or any(_is_covered(one, covered) for one in named):
                found.append(Blocked(hold, what))
    return found


def _covered(ledger: Ledger, subject: str) -> set[str]:
    """A held subject and those that it names; a person as an owner too."""
    found = {subject}
    for item in ledger.known(EVER, [subject]):
        key, value = KEYS[item.statement.key], item.statement.value
        if key.links_to and isinstance(value, str):
            found.update(subject_named(key.links_to, name) for name in key.values_in(value))
    return {_form(one) for one in found}


def _form(subject: str) -> str:
    """A subject in the form in which it is compared: people and owners alike, without case and spaces."""
    kind = kind_of(subject)
    return f"{'person' if kind in _PEOPLE else kind}/{folded(id_of(subject))}"


def _is_covered(subject: str, covered: Collection[str]) -> bool:
    """Whether a subject is held, or is a document attached to one that is."""
    return _form(subject) in covered or (
        kind_of(subject) == "document" and _form(attached_to(subject)) in covered
    )


def _subjects_from(ledger: Ledger, digest: str) -> set[str]:
    """The subjects of the lines that name a kept file."""
    rows = ledger.database.execute(
        "SELECT DISTINCT w.text FROM entry e JOIN said s ON s.seq = e.seq JOIN word w ON w.id = s.subject "
        "WHERE e.line LIKE ?",
        (f"% sha256:{digest}%",),
    )
    return {text for (text,) in rows}


def _name_of(ledger: Ledger, digest: str) -> str:
    file = ledger.file(digest)
    return digest[:16] if file is None or not file.name else file.name


def hold_json(hold: Hold) -> dict[str, Any]:
    """A hold."""
    return {
        "hold": hold.number,
        "of": hold.of,
        "kind": hold.kind.value,
        "set_by": hold.set_by,
        "why": hold.why,
        "set_at": hold.set_at.isoformat(),
        "released_by": hold.released_by or None,
        "released_why": hold.released_why or None,
        "released_at": hold.released_at and hold.released_at.isoformat(),
    }


def hold_text(hold: Hold) -> str:
    """A hold in a sentence."""
    told = f"Hold {hold.number} on {hold.of}: {hold.kind}. Set by {hold.set_by} on {hold.set_at:%b %-d, %Y}: {hold.why}"
    if hold.is_live:
        return told
    return f"{told}. Released by {hold.released_by} on {hold.released_at:%b %-d, %Y}: {hold.released_why}"
