"""The ledger at size: seconds to load, to ask as of a day, to check; commits a second beside a bare write and fsync.

python benchmarks/bench_ledger.py [STATEMENTS [AIRCRAFT]]
"""

from __future__ import annotations

import os
import platform
import resource
import sqlite3
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

from airwrit.answers.proof.conclusions import ProofQuestion
from airwrit.answers.proof.proof import machine_part, proof_of
from airwrit.facts.statement import Statement
from airwrit.ledger.checking.check import check
from airwrit.ledger.checking.parts import LINES, Part, looked_at
from airwrit.ledger.excerpt.check import check_excerpt
from airwrit.ledger.excerpt.excerpt import excerpt_of
from airwrit.ledger.excerpt.form import bytes_of, excerpt_in, members_in
from airwrit.ledger.log.checkpoints import issued
from airwrit.ledger.log.notes import SigningKey, origin_of
from airwrit.ledger.log.tree import Frontier, leaf_hash
from airwrit.ledger.ports import Draft
from airwrit.ledger.sqlite.store import Ledger
from airwrit.papers.proof_pdf import render

START = datetime(2020, 1, 1, tzinfo=UTC)
KEYS = (
    "owner",
    "registration",
    "maker",
    "model",
    "takeoff_weight_g",
    "scale_error_g",
    "weighed_on",
    "remote_id_serial",
    "listed_serial",
    "inspected_on",
)
BATCH = 2_000
COMMITS = 200


def value_of(key: str, aircraft: int, turn: int) -> str:
    """A value of the key's kind that changes now and then."""
    if key.endswith("_g"):
        return str(100 + (aircraft * 7 + turn) % 2000)
    if key.endswith("_on"):
        return (date(2020, 1, 1) + timedelta(days=(aircraft + turn * 30) % 2500)).isoformat()
    return f"{key}-{aircraft % 997}-{turn}"


def drafts(statements: int, aircraft: int) -> Iterator[Draft]:
    """One entry a turn and aircraft, each with ten statements; every twentieth corrects nothing but adds an end."""
    turns = statements // (aircraft * len(KEYS))
    for turn in range(turns):
        begin = date(2020, 1, 1) + timedelta(days=turn * 200)
        for number in range(aircraft):
            until = begin + timedelta(days=90) if (turn + number) % 20 == 0 else None
            said = [
                Statement(f"aircraft/A{number}", key, value_of(key, number, turn), begin, until)
                for key in KEYS
            ]
            yield Draft("ada", "import", tuple(said), (), "fleet.xlsx")


def best_of(runs: int, call: Callable[[], object]) -> float:
    """The least seconds of some runs."""
    took = []
    for _ in range(runs):
        start = time.perf_counter()
        call()
        took.append(time.perf_counter() - start)
    return min(took)


def load(ledger: Ledger, statements: int, aircraft: int) -> None:
    """Put everything on record, some thousand entries to a commit."""
    start, count, batch = time.perf_counter(), 0, list[Draft]()
    for one in drafts(statements, aircraft):
        batch.append(one)
        if len(batch) == BATCH:
            count += len(ledger.append(batch, lambda: START))
            batch.clear()
    count += len(ledger.append(batch, lambda: START))
    took = time.perf_counter() - start
    size = ledger.path.stat().st_size / 2**20
    print(f"load: {count} entries in {took:.1f} s, {statements / took:,.0f} statements/s, file {size:.0f} MB")


WINDOW = """SELECT subject, key, value FROM (
  SELECT s.subject, s.key, s.value, s.valid_until, row_number() OVER (
    PARTITION BY s.subject, s.key ORDER BY s.valid_from DESC, s.seq DESC) AS place
  FROM said s WHERE s.seq <= ?1 AND s.valid_from <= ?2 AND {} AND NOT EXISTS (
    SELECT 1 FROM answered a WHERE a.seq = s.seq AND a.place = s.place AND a.by_seq <= ?1))
WHERE place = 1 AND (valid_until = '' OR valid_until > ?2)"""
ONE, FLEET = WINDOW.format("s.subject = ?3"), WINDOW.format("TRUE")
"""What one would write without rectangles; it settles by order what contradicts itself, and gives texts, not facts."""


def ask(ledger: Ledger) -> None:
    """As of a day: one aircraft, the whole fleet; as known now and half way back; beside a plain window query."""
    last = ledger.last_moment()
    half = ledger.entry(ledger.head().size // 2)
    moments = {"now": last, "half way back": last if half is None else half.recorded_at}
    for name, known_at in moments.items():
        day = date(2022, 6, 1)
        one = best_of(20, lambda: ledger.state(day, known_at, ["aircraft/A17"]))  # noqa: B023
        fleet = best_of(5, lambda: ledger.state(day, known_at))  # noqa: B023
        held = sum(map(len, ledger.state(day, known_at).held.values()))
        subject = ledger.database.execute("SELECT id FROM word WHERE text = 'aircraft/A17'").fetchone()
        asked = (ledger.seq_at(known_at), day.isoformat())
        one_plain = best_of(20, lambda: ledger.database.execute(ONE, (*asked, *subject)).fetchall())  # noqa: B023
        plain = best_of(3, lambda: ledger.database.execute(FLEET, asked).fetchall())  # noqa: B023
        print(
            f"as of a day, known {name}: one aircraft {one * 1e3:.2f} ms, {one / one_plain:.2f} times a window query; "
            f"fleet {fleet:.2f} s, {fleet / plain:.2f} times ({held} facts)"
        )
    rows = ledger.database.execute("SELECT count(*) FROM held").fetchone()[0]
    bare = best_of(3, lambda: sum(1 for _ in ledger.database.execute("SELECT subject, key FROM held")))
    print(f"{rows} rectangles; only to walk them {bare:.2f} s")


def verify(ledger: Ledger) -> None:
    """The hashes and root alone; lines with form, chain and row, on one processor; on all: the log, then all derived too."""

    def lines() -> None:
        part = Part(LINES, 1, ledger.head().size + 1, ledger.head().size, ledger.name)
        if looked_at(ledger.database, part).faults:
            raise SystemExit("the lines do not verify")

    def hashes() -> None:
        frontier = Frontier()
        for line in ledger.lines():
            frontier.add(leaf_hash((line.text or "").encode()))

    size = ledger.head().size

    def log() -> None:
        if not check(ledger, log_only=True).is_whole:
            raise SystemExit("the log does not verify")

    calls = {"hashes and root": hashes, "lines": lines, "the log": log, "all": lambda: check(ledger)}
    for name, call in calls.items():
        took = best_of(1 if name == "all" else 3, call)
        print(f"verify, {name}: {size} entries in {took:.1f} s, {size / took:,.0f} entries/s")


def proofs(ledger: Ledger, aircraft: int) -> None:
    """The lines of one aircraft and of 300 with their proofs, in bytes; what follows from those; a proof file; a checkpoint."""
    key = SigningKey(origin_of(ledger.name), bytes(range(32)))
    for count in (1, min(300, aircraft)):
        subjects = [f"aircraft/A{number}" for number in range(count)]
        made = bytes_of(excerpt_of(ledger, subjects, key=key))
        took = best_of(5, lambda: bytes_of(excerpt_of(ledger, subjects, key=key)))  # noqa: B023
        checked = best_of(5, lambda: check_excerpt(excerpt_in(members_in(made), "")))  # noqa: B023
        print(
            f"excerpt of {count}: {took * 1e3:.1f} ms, {len(made) / 1000:.0f} kB; to check it {checked * 1e3:.1f} ms"
        )
    question = ProofQuestion(date(2022, 6, 1), ledger.last_moment(), ("aircraft/A17",))
    machine = machine_part(proof_of(ledger, question))
    answered = best_of(5, lambda: machine_part(proof_of(ledger, question)))
    pages = best_of(5, lambda: render(machine))
    size = len(render(machine)) / 1000
    print(
        f"proof file of one: {(answered + pages) * 1e3:.0f} ms ({pages * 1e3:.0f} of it pages), {size:.0f} kB"
    )
    print(f"checkpoint, signed: {best_of(5, lambda: issued(ledger, key)) * 1e3:.1f} ms")


def commits(folder: Path) -> None:
    """Commits of one entry, beside appending the same line to a file with an fsync."""
    said = (Statement("aircraft/A", "owner", "ann"),)
    with Ledger.begin(folder / "commits.airwrit") as ledger:
        start = time.perf_counter()
        for _ in range(COMMITS):
            ledger.append([Draft("ada", "record", said)], lambda: START)
        ours = COMMITS / (time.perf_counter() - start)
        line = (next(ledger.lines()).text or "").encode()
    with (folder / "bare").open("ab") as file:
        start = time.perf_counter()
        for _ in range(COMMITS):
            file.write(line)
            file.flush()
            os.fsync(file.fileno())
        bare = COMMITS / (time.perf_counter() - start)
    print(f"commits: {ours:,.0f} a second, a bare write and fsync {bare:,.0f}, ratio {ours / bare:.2f}")


def main() -> None:
    """Print every figure with the machine it was taken on."""
    sizes = [int(text) for text in sys.argv[1:]]
    statements = sizes[0] if sizes else 1_000_000
    aircraft = sizes[1] if len(sizes) > 1 else 10_000
    version = platform.python_version()
    print(
        f"{platform.machine()}, {platform.python_implementation()} {version}, SQLite {sqlite3.sqlite_version}"
    )
    print(f"{statements} statements, {aircraft} aircraft")
    with tempfile.TemporaryDirectory() as folder:
        commits(Path(folder))
        with Ledger.begin(Path(folder) / "l.airwrit") as ledger:
            load(ledger, statements, aircraft)
            ask(ledger)
            verify(ledger)
            proofs(ledger, aircraft)
    print(f"peak {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB")


if __name__ == "__main__":
    main()
