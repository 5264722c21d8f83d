"""Fill the disk, forbid writing: a clear error each time, nothing lost, and writing goes on once there is room again.

python reliability/disk_full.py [WRITES [SEED]]

A child process may write no file beyond a size drawn by chance, as on a disk with that much room, and adds entries until it
cannot. Another may not write to the folder or to the file. What it says is looked at, then the ledger: checked whole, with
every entry that was acknowledged. POSIX only.
"""

from __future__ import annotations

import json
import os
import random
import resource
import signal
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import NamedTuple

from airwrit.base.errors import AirwritError
from airwrit.facts.statement import Statement
from airwrit.ledger.checking.check import check
from airwrit.ledger.ports import Draft
from airwrit.ledger.sqlite.store import Ledger

WRITES = 300
NOBODY = 65534
_ROOM = 1 << 18


class Result(NamedTuple):
    """Of one run: how often the disk was full, how often writing was forbidden, entries acknowledged, seconds."""

    full: int
    forbidden: int
    acknowledged: int
    seconds: float


class _Told(NamedTuple):
    """What a child told: the hashes of what it kept, by entry, and the error that it met."""

    kept: dict[int, str]
    fault: str


def run(writes: int, seed: int, folder: Path) -> Result:
    """Fill the disk `writes` times, and forbid writing. RuntimeError names what went wrong."""
    begun, chance, path = time.monotonic(), random.Random(seed), folder / "full.airwrit"
    Ledger.begin(path).close()
    acknowledged: dict[int, str] = {}
    for _ in range(writes):
        room = path.stat().st_size + chance.randrange(_ROOM)
        told = _apart(lambda room=room: _limited(room), path)  # type: ignore[misc]
        _look(path, acknowledged | told.kept, told, "We can't use it", "Check the disk")
        acknowledged |= told.kept
    forbidden = [_closed(path, 0o444, 0o777), _closed(path, 0o644, 0o555)]
    for told in forbidden:
        _look(path, acknowledged, told, "We can't use it", "Check the disk, and that you can write there")
    with Ledger(path) as book:
        book.append([_draft(0)], lambda: datetime.now(UTC))
    return Result(writes, len(forbidden), len(acknowledged), time.monotonic() - begun)


def _limited(room: int) -> None:
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (room, room))


def _closed(path: Path, file_mode: int, folder_mode: int) -> _Told:
    """What a user is told who may not write to the file, or not to its folder."""
    folder = path.parent
    before = (folder.stat().st_mode, path.stat().st_mode)
    path.chmod(file_mode)
    folder.chmod(folder_mode)
    try:
        return _apart(_nobody, path)
    finally:
        folder.chmod(before[0])
        path.chmod(before[1])


def _nobody() -> None:
    """Root may write anywhere: be somebody else."""
    if os.getuid() == 0:
        os.setuid(NOBODY)


def _draft(number: int) -> Draft:
    said = Statement(f"aircraft/{number % 5}", "owner", f"{number}-" * 200)
    return Draft("ada", "record", (said,))


def _apart(first: Callable[[], None], path: Path) -> _Told:
    """Write in a child until it cannot; what it told."""
    out, into = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(out)
        first()
        kept, fault = dict[int, str](), ""
        try:
            with Ledger(path) as book:
                for number in range(400):
                    for entry in book.append([_draft(number)], lambda: datetime.now(UTC)):
                        kept[entry.seq] = entry.statements[0].value  # type: ignore[assignment]
        except AirwritError as raised:
            fault = str(raised)
        except Exception as raised:  # noqa: BLE001 - whatever it is, the parent has to hear of it
            fault = f"not an error of ours: {raised!r}"
        with os.fdopen(into, "w", encoding="utf-8") as stream:
            json.dump([kept, fault], stream)
        os._exit(0)
    os.close(into)
    with os.fdopen(out, encoding="utf-8") as stream:
        told, fault = json.load(stream)
    os.waitpid(child, 0)
    return _Told({int(seq): value for seq, value in told.items()}, fault)


def _look(path: Path, acknowledged: dict[int, str], told: _Told, *wanted: str) -> None:
    if not all(part in told.fault for part in (path.name, *wanted)):
        raise RuntimeError(f"the error is not clear: {told.fault!r}")
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
    writes, seed = (numbers + [WRITES, 1][len(numbers) :])[:2]
    with tempfile.TemporaryDirectory() as folder:
        Path(folder).chmod(0o755)
        inner = Path(folder) / "ledger"
        inner.mkdir()
        found = run(writes, seed, inner)
    sys.stdout.write(
        f"seed {seed}: the disk full {found.full} times, file or folder closed {found.forbidden} times in "
        f"{found.seconds:.0f} s, {found.acknowledged} acknowledged entries, none lost, a clear error and a whole log "
        "each time\n"
    )


if __name__ == "__main__":
    main()
