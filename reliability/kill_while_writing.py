"""Kill a writing process at random moments, again and again: nothing that was acknowledged may be lost, the log stays whole.

python reliability/kill_while_writing.py [KILLS [SEED]]

A child imports facts into a ledger and says the number of each entry once the write has returned. It is killed without
warning; then the ledger is opened, checked whole, and every entry that was said to be kept has to be there. The children of
one run write to one ledger, two at a time. A killed process is not a lost power supply: what the disk does is out of reach.
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

from airwrit.ledger.check import check
from airwrit.ledger.store import Ledger

KILLS = 200
_CHILD = """
import sys, time
from datetime import datetime, UTC
from pathlib import Path
from airwrit.facts.statement import Statement
from airwrit.ledger.store import Draft, Ledger
name, number = sys.argv[2], 0
with Ledger(Path(sys.argv[1])) as book:
    while True:
        number += 1
        drafts = [
            Draft("ada", "record", (Statement(f"aircraft/{name}-{number % 7}", "owner", f"{name}-{number}-{part}"),))
            for part in range(number % 3 + 1)
        ]
        for entry in book.append(drafts, lambda: datetime.now(UTC)):
            print(entry.seq, entry.statements[0].value, flush=True)
        time.sleep(0.004)  # a writer that never lets go would starve the other: SQLite's lock has no queue
"""


class Result(NamedTuple):
    """Of one run: how often a writer was killed, how often in the middle of a write, entries said to be kept, seconds."""

    kills: int
    torn: int
    acknowledged: int
    seconds: float


def run(kills: int, seed: int, folder: Path, most_seconds: float = 1e9) -> Result:
    """Kill writers `kills` times, or until the time is over. RuntimeError names what was lost or damaged."""
    chance, path = random.Random(seed), folder / "killed.airwrit"
    Ledger.begin(path).close()
    acknowledged: dict[int, str] = {}
    begun, torn, done = time.monotonic(), 0, 0
    while done < kills and time.monotonic() - begun < most_seconds:
        writers = [_begun(path, f"{done}{letter}") for letter in "ab"]
        try:
            for writer in writers:
                writer.wait_for_first()
            time.sleep(chance.random() * 0.15)
        finally:
            for writer in writers:
                writer.process.kill()
                writer.process.wait()
        for writer in writers:
            _take(writer.said(), acknowledged)
        torn += path.with_name(path.name + "-journal").exists()
        _look(path, acknowledged)
        done += len(writers)
    return Result(done, torn, len(acknowledged), time.monotonic() - begun)


class _Writer(NamedTuple):
    """A child, and the file it says to what it kept."""

    process: subprocess.Popen[bytes]
    out: Path

    def wait_for_first(self) -> None:
        """Wait until it is at work. RuntimeError when it ends instead."""
        while not self.out.stat().st_size:
            if self.process.poll() is not None:
                raise RuntimeError(f"a writer broke: {self.process.returncode}")
            time.sleep(0.005)

    def said(self) -> str:
        """All it said, once it is gone."""
        if self.process.wait() != -signal.SIGKILL:
            raise RuntimeError(f"a writer broke: {self.process.returncode}")
        return self.out.read_text(encoding="utf-8")


def _begun(path: Path, name: str) -> _Writer:
    command = [sys.executable, "-c", _CHILD, str(path), name]
    env = {**os.environ, "PYTHONPATH": os.pathsep.join(part for part in sys.path if part)}
    out = path.with_name(f"{name}.out")
    with out.open("wb") as file:
        return _Writer(subprocess.Popen(command, stdout=file, env=env), out)


def _take(text: str, acknowledged: dict[int, str]) -> None:
    """Note what was said to be kept; a last line that was cut off counts for nothing."""
    for line in text.splitlines(keepends=True):
        if line.endswith("\n"):
            seq, value = line.split()
            acknowledged[int(seq)] = value


def _look(path: Path, acknowledged: dict[int, str]) -> None:
    with Ledger(path) as book:
        faults = check(book).faults
        if faults:
            raise RuntimeError(f"the ledger is damaged: {faults[0]}")
        kept = {line.seq: line.text or "" for line in book.lines()}
    lost = [seq for seq, value in acknowledged.items() if f'"value":"{value}"' not in kept.get(seq, "")]
    if lost:
        raise RuntimeError(f"entries that were acknowledged are lost: {lost[:9]}")


def main() -> None:
    """Run as long as asked, and print what was found."""
    numbers = [int(text) for text in sys.argv[1:]]
    kills, seed = (numbers + [KILLS, 1][len(numbers) :])[:2]
    with tempfile.TemporaryDirectory() as folder:
        found = run(kills, seed, Path(folder))
    sys.stdout.write(
        f"seed {seed}: {found.kills} kills in {found.seconds:.0f} s, {found.torn} left a journal to roll back, "
        f"{found.acknowledged} acknowledged entries, none lost, log whole after each\n"
    )


if __name__ == "__main__":
    main()
