"""Kill writing processes at random moments, again and again: nothing that was acknowledged may be lost, the log stays whole.

python reliability/kill_while_writing.py [KILLS [SEED]]

One child puts facts on record, another imports sheets; each says number and hash of every entry once the write has returned.
Both are killed without warning; then the ledger is opened, checked whole, and every entry that was said to be kept has to be
there with its hash. All children of a run write to one ledger. A killed process is not a lost power supply: see power_loss.py.
"""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import NamedTuple

from airwrit.ledger.checking.check import check
from airwrit.ledger.sqlite.store import Ledger

KILLS = 200
A_LEDGER = 50
"""How many are killed over one ledger before a new one is begun."""
_START = """
import sys, time
from datetime import date, datetime, UTC
from pathlib import Path
from airwrit.answers.sheets.importing import ImportOptions, preview_of, read_files
from airwrit.answers.sheets.difference import before
from airwrit.facts.statement import Statement
from airwrit.ledger.entry import line_of
from airwrit.ledger.log.tree import leaf_hash
from airwrit.ledger.ports import Draft
from airwrit.ledger.sqlite.store import Ledger

def clock():
    return datetime.now(UTC)

def say(entries):
    for entry in entries:
        print(entry.seq, leaf_hash(line_of(entry).encode()).hex(), flush=True)

name, number = sys.argv[2], 0
"""
_RECORDS = """
with Ledger(Path(sys.argv[1])) as book:
    while True:
        number += 1
        drafts = [
            Draft("ada", "record", (Statement(f"aircraft/{name}-{number % 7}", "owner", f"{name}-{number}-{part}"),))
            for part in range(number % 3 + 1)
        ]
        say(book.append(drafts, clock))
        time.sleep(0.004)  # a writer that never lets go would starve the other: SQLite's lock has no queue
"""
_IMPORTS = """
wish = ImportOptions("bob", date(2026, 11, 25), corrects=True)
with Ledger(Path(sys.argv[1])) as book:
    while True:
        number += 1
        rows = [f"A{row},ZZ9Z8{name}{row:03d},{200 + number + row}" for row in range(12)]
        sheet = "\\n".join(["Aircraft,Serial number,Takeoff weight (g)", *rows]).encode()
        read = read_files([(f"{name}.csv", sheet)])
        taking = preview_of(read, before(book), wish).taking  # of this file alone, so that no other writer is in its way
        say(book.append(taking.drafts, clock, files=read.files))
"""
_KINDS = {"a": _START + _RECORDS, "b": _START + _IMPORTS}


class Result(NamedTuple):
    """Of one run: writers killed, kills amid a write, entries said to be kept, imported ones among them, seconds."""

    kills: int
    torn: int
    acknowledged: int
    imported: int
    seconds: float


def run(kills: int, seed: int, folder: Path, most_seconds: float = 1e9) -> Result:
    """Kill writers `kills` times, or until the time is over. RuntimeError names what was lost or damaged."""
    chance, path = random.Random(seed), folder / "killed.airwrit"
    Ledger.begin(path).close()
    acknowledged: dict[int, str] = {}
    imported: set[int] = set()
    begun, torn, done = time.monotonic(), 0, 0
    while done < kills and time.monotonic() - begun < most_seconds:
        writers = [_begun(path, f"{done}{kind}", code) for kind, code in _KINDS.items()]
        try:
            for writer in writers:
                writer.wait_for_first()
            time.sleep(chance.random() * 0.3)
        finally:
            for writer in writers:
                writer.process.kill()
                writer.process.wait()
        said = [_taken(writer.said()) for writer in writers]
        imported |= said[1].keys()
        acknowledged |= said[0] | said[1]
        torn += _has_bytes(path.with_name(path.name + "-journal")) or _has_bytes(
            path.with_name(path.name + "-wal")
        )
        _look(path, acknowledged)
        done += len(writers)
    return Result(done, torn, len(acknowledged), len(imported), time.monotonic() - begun)


class _Writer(NamedTuple):
    """A child, and the file it says to what it kept."""

    process: subprocess.Popen[bytes]
    out: Path

    def wait_for_first(self) -> None:
        """Wait until it is at work. RuntimeError when it ends instead."""
        begun = time.monotonic()
        while not self.out.stat().st_size:
            if time.monotonic() - begun > 120:
                raise RuntimeError("a writer gets nothing written")
            if self.process.poll() is not None:
                raise RuntimeError(f"a writer broke: {self.process.returncode}")
            time.sleep(0.005)

    def said(self) -> str:
        """All it said, once it is gone."""
        if self.process.wait() != -signal.SIGKILL:
            raise RuntimeError(f"a writer broke: {self.process.returncode}")
        return self.out.read_text(encoding="utf-8")


def _has_bytes(path: Path) -> bool:
    return path.exists() and path.stat().st_size > 0


def _begun(path: Path, name: str, code: str) -> _Writer:
    command = [sys.executable, "-c", code, str(path), name]
    env = {**os.environ, "PYTHONPATH": os.pathsep.join(part for part in sys.path if part)}
    out = path.with_name(f"{name}.out")
    with out.open("wb") as file:
        return _Writer(subprocess.Popen(command, stdout=file, env=env), out)


def _taken(text: str) -> dict[int, str]:
    """What was said to be kept: hashes by entry; a last line that was cut off counts for nothing."""
    lines = [line.split() for line in text.splitlines(keepends=True) if line.endswith("\n")]
    return {int(seq): leaf for seq, leaf in lines}


def _look(path: Path, acknowledged: dict[int, str]) -> None:
    with Ledger(path) as book:
        faults = check(book).faults
        if faults:
            raise RuntimeError(f"the ledger is damaged: {faults[0]}")
        kept = {line.seq: line.leaf.hex() for line in book.lines()}
    lost = [seq for seq, leaf in acknowledged.items() if kept.get(seq) != leaf]
    if lost:
        raise RuntimeError(f"entries that were acknowledged are lost: {lost[:9]}")


def main() -> None:
    """Run as long as asked, and print what was found."""
    numbers = [int(text) for text in sys.argv[1:]]
    kills, seed = (numbers + [KILLS, 1][len(numbers) :])[:2]
    rounds = []
    for begun in range(0, kills, A_LEDGER):  # a ledger that grows on makes each look at it longer
        with tempfile.TemporaryDirectory() as folder:
            rounds.append(run(min(A_LEDGER, kills - begun), seed + begun, Path(folder)))
    found = Result(*map(sum, zip(*rounds, strict=True)))
    sys.stdout.write(
        f"seed {seed}: {found.kills} writers killed in {found.seconds:.0f} s, {found.torn} times with a write to roll back, "
        f"{found.acknowledged} acknowledged entries, {found.imported} of them imported, none lost, log whole after each\n"
    )


if __name__ == "__main__":
    main()
