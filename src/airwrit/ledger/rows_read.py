"""How many rows of a file went unread: a count of its own in an entry of each import; before that, words at the end of a note.

A count is a value, `rows_unread` of `file/SHA-256` in an entry of act `read`, and none is looked for in what a user wrote.
Ledgers begun before these entries hold it in the note of an import alone, behind the user's words and a semicolon; there it
is read by the whole pattern and by digits only, and never from an import behind which a count of its own stands.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import datetime
from operator import itemgetter

from airwrit.facts.keys.program import ROWS_UNREAD, file_subject
from airwrit.facts.statement import Source, Statement
from airwrit.ledger.entry import Entry, files_in, name_of_source, opening_of, source_text
from airwrit.ledger.ports import Draft
from airwrit.ledger.rectangles import WHOLE
from airwrit.ledger.sqlite.opening import made_out
from airwrit.ledger.sqlite.store import Ledger

IMPORT, READ = "import", "read"
"""Acts: facts that came from a file; how many rows of a file could not be read."""

UNREAD = "rows not read: "
"""How a count is told, and how the notes of old imports end."""

_OLD_NOTE = re.compile(
    rf"(?:.*; )?{UNREAD}([0-9]{{1,9}})(?:; the clock stood [0-9]+ s behind the entry before)?", re.DOTALL
)
_COUNTED = """SELECT e.line ->> '$.source', s.value, s.seq FROM said s JOIN entry e ON e.seq = s.seq
WHERE s.key = (SELECT id FROM word WHERE text = ?1) AND s.kind = ?2 AND s.seq <= ?3
AND substr(e.line, 1, length(?4)) = ?4
AND NOT EXISTS (SELECT 1 FROM answered a WHERE a.seq = s.seq AND a.place = s.place AND a.by_seq <= ?3)"""
_NOTED = """SELECT line ->> '$.source', line ->> '$.note', max(seq) FROM entry
WHERE substr(line, 1, length(?1)) = ?1 AND seq <= ?2 GROUP BY 1, 2"""
_FROM = """SELECT DISTINCT line ->> '$.source' FROM entry WHERE substr(line, 1, length(?2)) = ?2
AND seq IN (SELECT seq FROM said WHERE subject = (SELECT id FROM word WHERE text = ?1))"""


def count_in_note(note: str) -> int:
    """How many rows the note of an old import says were not read; 0 where it does not end in just those words."""
    found = _OLD_NOTE.fullmatch(note)
    return int(found[1]) if found else 0


def reading_draft(by: str, source: Source, count: int, answers: tuple[str, ...], note: str) -> Draft:
    """The entry that keeps how many rows of a file could not be read."""
    said = Statement(file_subject(source.sha256), ROWS_UNREAD.name, count)
    return Draft(by, READ, (said,), answers, source_text(source), note)


def unread_counts(ledger: Ledger, known_at: datetime) -> dict[str, int]:
    """How many rows the last import of each file up to a moment left out, by the file's name; 0 where all were read."""
    with ledger.reading(), made_out(ledger.path):
        seq, db = ledger.seq_at(known_at), ledger.database
        counted = [
            (at, source, int(value))
            for source, value, at in db.execute(_COUNTED, (ROWS_UNREAD.name, WHOLE, seq, opening_of(READ)))
        ]
        noted = [
            (at, source, count_in_note(note))
            for source, note, at in db.execute(_NOTED, (opening_of(IMPORT), seq))
        ]
    return _last(counted + noted)


def unread_among(entries: Iterable[Entry]) -> dict[str, int]:
    """The same of some entries alone."""
    mine = list(entries)
    answered = {number for entry in mine for number in entry.answers}
    found = [(e.seq, e.source, count_in_note(e.note)) for e in mine if e.act == IMPORT]
    found += [
        (e.seq, e.source, said.value)
        for e in mine
        for place, said in enumerate(e.statements)
        if e.act == READ and isinstance(said.value, int) and f"{e.seq}.{place}" not in answered
    ]
    return _last(found)


def _last(found: Iterable[tuple[int, str, int]]) -> dict[str, int]:
    return {name_of_source(source): count for _, source, count in sorted(found)}


def readings_behind(ledger: Ledger, subjects: Iterable[str], known_at: datetime) -> list[str]:
    """The files, as subjects, whose counts tell how much went unread of what some subjects are known by."""
    with ledger.reading(), made_out(ledger.path):
        seq, db, names = ledger.seq_at(known_at), ledger.database, set[str]()
        for subject in subjects:
            names.update(
                name_of_source(source) for (source,) in db.execute(_FROM, (subject, opening_of(IMPORT)))
            )
        counted = db.execute(_COUNTED, (ROWS_UNREAD.name, WHOLE, seq, opening_of(READ))).fetchall()
    last = {
        file.name: file.digest
        for source, _, _ in sorted(counted, key=itemgetter(2))
        for file in files_in(source)[-1:]
    }
    return [file_subject(last[name]) for name in sorted(names & last.keys())]
