"""Lose power at every moment of a recorded run: nothing that was acknowledged may be lost, the log stays whole.

python reliability/power_loss.py [CRASHES [SEED]]      needs strace

A child writes to a ledger while strace records every write, cut, sync, creation and removal in the order in which the kernel
got them, and every acknowledgement among them. Then files are built as a disk could have them after a power loss at a random
moment: what was synced is there; of what was not, any part may be missing, in any order, writes torn at sectors, names that
were made or removed without a sync of their folder as before or as after. The ledger is opened there, checked whole, and every
entry acknowledged before that moment has to be in it. A disk that lies about syncs is out of reach.
"""

from __future__ import annotations

import os
import random
import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import NamedTuple

from airwrit.base.errors import LedgerFault
from airwrit.ledger.checking.check import check
from airwrit.ledger.sqlite.store import Ledger

CRASHES = 3000
SECTOR = 512
NAME = "power.airwrit"
WEAKENED = ("PRAGMA journal_mode = DELETE", "PRAGMA synchronous = OFF")
"""Settings under which an acknowledged entry can be lost: the run has to find that, or it finds nothing."""
_CHILD = """
import sys
from datetime import datetime, UTC
from pathlib import Path
from airwrit.facts.statement import Statement
from airwrit.ledger.entry import line_of
from airwrit.ledger.log.tree import leaf_hash
from airwrit.ledger.ports import Draft
from airwrit.ledger.sqlite.store import Ledger
with Ledger.begin(Path(sys.argv[1])) as book:
    if len(sys.argv) > 2:
        book.database.execute(sys.argv[2])
    for number in range(40):
        drafts = [
            Draft("ada", "record", (Statement(f"aircraft/{number % 5}", "owner", f"{number}-{part}" * 40),))
            for part in range(number % 3 + 1)
        ]
        for entry in book.append(drafts, lambda: datetime.now(UTC)):
            sys.stdout.write(f"kept {entry.seq} {leaf_hash(line_of(entry).encode()).hex()}\\n")
            sys.stdout.flush()
"""
_CALL = re.compile(r"(?:\d+ +)?(\w+)\((.*)\) += (-?\d+)(.*)")
_KEPT = re.compile(r"kept (\d+) ([0-9a-f]{64})")


class Event(NamedTuple):
    """One call of the run: what it does to which file, at which offset (or to which length), with which bytes."""

    what: str
    name: str
    at: int = 0
    data: bytes = b""


@dataclass(slots=True)
class Node:
    """A file's bytes that are sure to be on the disk, and what was done to it since."""

    synced: bytes = b""
    since: list[Event] = field(default_factory=list)


class Disk:
    """Names and files, each as synced and as written."""

    def __init__(self) -> None:
        """An empty folder."""
        self.synced: dict[str, Node] = {}
        self.names: dict[str, Node] = {}
        self.renamed: list[tuple[str, Node | None]] = []

    def take(self, event: Event) -> None:
        """Let an event happen."""
        if event.what == "made" and event.name not in self.names:
            self.names[event.name] = Node()
            self.renamed.append((event.name, self.names[event.name]))
        elif event.what == "removed":
            self.names.pop(event.name, None)
            self.renamed.append((event.name, None))
        elif event.what == "folder synced":
            self.synced, self.renamed = dict(self.names), []
        elif event.what == "synced":
            node = self.names[event.name]
            node.synced, node.since = applied(node.synced, node.since), []
        elif event.what in ("written", "cut"):
            self.names[event.name].since.append(event)

    def after_loss(self, chance: random.Random) -> dict[str, bytes]:
        """One way the files could be found after the power comes back."""
        names = dict(self.synced)
        for name, node in self.renamed[: chance.randint(0, len(self.renamed))]:
            if node is None:
                names.pop(name, None)
            else:
                names[name] = node
        return {name: applied(node.synced, _some(node.since, chance)) for name, node in names.items()}


def applied(data: bytes, events: Iterable[Event]) -> bytes:
    """Bytes after writes and cuts; a gap is filled with zeros."""
    found = bytearray(data)
    for event in events:
        end = event.at + len(event.data)
        found.extend(bytes(max(0, (end if event.what == "written" else event.at) - len(found))))
        if event.what == "cut":
            del found[event.at :]
        else:
            found[event.at : end] = event.data
    return bytes(found)


def _some(events: list[Event], chance: random.Random) -> Iterator[Event]:
    """Which of the unsynced events reached the disk: none, all, or each by chance, torn at sectors and in any order."""
    how = chance.randrange(4)
    if how == 0:
        return
    if how == 1:
        yield from events
        return
    picked = [event for event in events if chance.random() < 0.5]
    if how == 3:
        chance.shuffle(picked)
    for event in picked:
        if event.what == "written" and len(event.data) > SECTOR and chance.random() < 0.3:
            cut = SECTOR * chance.randrange(1, len(event.data) // SECTOR + 1)
            yield event._replace(data=event.data[:cut])
        else:
            yield event


def recorded(folder: Path, pragma: str = "") -> list[Event]:
    """The events of one run of the child; `pragma` weakens it, to see that such a thing is found."""
    trace = folder / "trace"
    calls = "openat,write,pwrite64,ftruncate,fsync,fdatasync,unlink,unlinkat,rename"
    command = ["strace", "-f", "-qq", "-xx", "-y", "-s", "1000000", "-e", f"trace={calls}", "-o", str(trace)]
    env = {**os.environ, "PYTHONPATH": os.pathsep.join(part for part in sys.path if part)}
    path = folder / "run" / NAME
    path.parent.mkdir()
    command += [sys.executable, "-c", _CHILD, str(path), *filter(None, [pragma])]
    with (folder / "said").open("wb") as said:
        subprocess.run(command, check=True, env=env, stdout=said)
    with trace.open(encoding="ascii") as lines:
        return [event for line in lines if (event := event_of(line, str(path.parent))) is not None]


def event_of(line: str, folder: str) -> Event | None:
    """The event of a line that strace wrote; None when it is of no concern, or failed."""
    match = _CALL.match(line)
    if match is None or match[3].startswith("-"):
        return None
    call, told = match[1], [_bytes(part) for part in re.findall(r'<[^>]*>|"[^"]*"', match[2] + match[4])]
    paths = [part.decode(errors="replace") for part in told]
    numbers = match[2].rsplit(", ", 2)
    name = next((Path(path).name for path in paths if Path(path).parent == Path(folder)), "")
    if call == "openat" and name and "O_CREAT" in match[2]:
        return Event("made", name)
    if call in ("fsync", "fdatasync"):
        return Event("synced", name) if name else Event("folder synced", "") if folder in paths else None
    if call.startswith("unlink") and name:
        return Event("removed", name)
    if call == "rename" and name:
        raise RuntimeError("a rename was not expected")
    if call == "pwrite64" and name:
        return Event("written", name, int(numbers[-1]), told[1][: int(match[3])])
    if call == "ftruncate" and name:
        return Event("cut", name, int(numbers[-1]))
    if call == "write" and name:
        raise RuntimeError(f"a write without an offset was not expected: {name}")
    kept = _KEPT.search(paths[-1]) if call == "write" and paths else None
    return None if kept is None else Event("kept", kept[2], int(kept[1]))


def _bytes(text: str) -> bytes:
    """The bytes of a text or a name as strace writes them: quoted or in angles, all in hex."""
    inner = text[1:-1]
    return bytes.fromhex(inner.replace("\\x", "")) if inner.startswith("\\x") else inner.encode()


class Result(NamedTuple):
    """Of one run: events recorded, syncs among them, entries acknowledged, crashes tried, seconds."""

    events: int
    syncs: int
    acknowledged: int
    crashes: int
    seconds: float


def run(crashes: int, seed: int, folder: Path) -> Result:
    """Record a run and lose power `crashes` times. RuntimeError names what was lost or damaged."""
    begun = time.monotonic()
    for pragma in WEAKENED:
        control = folder / pragma
        control.mkdir()
        events = recorded(control, pragma)
        if not _is_found(events, random.Random(seed), control):
            raise RuntimeError(f"with {pragma} nothing was lost: this run would find nothing")
    events = recorded(folder)
    lose(events, crashes, random.Random(seed), folder)
    syncs = sum(event.what in ("synced", "folder synced") for event in events)
    kept = sum(event.what == "kept" for event in events)
    return Result(len(events), syncs, kept, crashes, time.monotonic() - begun)


def _is_found(events: list[Event], chance: random.Random, folder: Path) -> bool:
    """Whether a loss or damage shows."""
    try:
        lose(events, 2000, chance, folder)
    except (RuntimeError, LedgerFault):
        return True
    return False


def lose(events: list[Event], crashes: int, chance: random.Random, folder: Path) -> None:
    """Lose power at random moments of recorded events, and look at what is left."""
    moments = sorted(chance.randint(0, len(events)) for _ in range(crashes))
    disk, acknowledged, done = Disk(), dict[int, str](), 0
    for number, moment in enumerate(moments):
        for event in events[done:moment]:
            disk.take(event)
            if event.what == "kept":
                acknowledged[event.at] = event.name
        done = moment
        _look(disk.after_loss(chance), acknowledged, folder / f"loss{number}")


def _look(files: dict[str, bytes], acknowledged: dict[int, str], folder: Path) -> None:
    folder.mkdir()
    for name, data in files.items():
        (folder / name).write_bytes(data)
    path = folder / NAME
    kept: dict[int, str] = {}
    if acknowledged or path.exists():
        with Ledger.at(path) as book:
            faults = check(book).faults
            if faults:
                raise RuntimeError(f"the ledger is damaged after {len(acknowledged)} entries: {faults[0]}")
            kept = {line.seq: line.leaf.hex() for line in book.lines()}
    lost = [seq for seq, leaf in acknowledged.items() if kept.get(seq) != leaf]
    if lost:
        raise RuntimeError(f"entries that were acknowledged are lost: {lost[:9]}")
    shutil.rmtree(folder)


def main() -> None:
    """Run as long as asked, and print what was found."""
    numbers = [int(text) for text in sys.argv[1:]]
    crashes, seed = (numbers + [CRASHES, 1][len(numbers) :])[:2]
    with tempfile.TemporaryDirectory() as folder:
        found = run(crashes, seed, Path(folder))
    sys.stdout.write(
        f"seed {seed}: {found.events} events of a run, {found.syncs} syncs among them, {found.acknowledged} acknowledged "
        f"entries; power lost {found.crashes} times in {found.seconds:.0f} s, none lost, log whole after each; "
        f"with {' and with '.join(WEAKENED)} losses are found\n"
    )


if __name__ == "__main__":
    main()
