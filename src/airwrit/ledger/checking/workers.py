"""The parts of a check, each looked at in one of some child processes, so that every processor has its share.

A child gets parts on its standard input, one a line, and writes what it found to its standard output. It looks at the file
itself; where this has grown since the check began, or anything else goes wrong, it has nothing to say and the part is looked
at in the parent.
"""

from __future__ import annotations

import json
import sqlite3
import subprocess
import sys
import threading
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing, contextmanager
from pathlib import Path

from airwrit.base.process import python_apart
from airwrit.ledger.checking.parts import LedgerDamage, Part, PartReport, SubjectSeen, looked_at

_CODE = "from airwrit.ledger.checking.workers import serve; serve(sys.argv[1])"
_WAIT_S = 30.0


@contextmanager
def found_apart(path: Path, parts: Sequence[Part], processes: int) -> Iterator[Iterator[PartReport | None]]:
    """What was found in each part, in their order; None where it is to be looked at here. One process needs no child."""
    if processes < 2:
        yield iter([None] * len(parts))
        return
    children = _Children(path)
    pool = ThreadPoolExecutor(min(processes, len(parts) or 1))
    try:
        yield pool.map(children.found, parts)
    finally:
        children.end()
        pool.shutdown(cancel_futures=True)


class _Children:
    """One child for each thread that asks."""

    def __init__(self, path: Path) -> None:
        self._path, self._own, self._all = path, threading.local(), list[subprocess.Popen[str]]()

    def found(self, part: Part) -> PartReport | None:
        """What a child finds in a part; None when it has nothing to say."""
        try:
            child = self._child()
            if child.stdin is None or child.stdout is None:
                return None
            child.stdin.write(json.dumps(part) + "\n")
            child.stdin.flush()
            return _found(child.stdout.readline())
        except (OSError, ValueError):
            return None

    def _child(self) -> subprocess.Popen[str]:
        child: subprocess.Popen[str] | None = getattr(self._own, "child", None)
        if child is None:
            pipe = subprocess.PIPE
            command = python_apart(_CODE, str(self._path.absolute()))
            child = subprocess.Popen(command, stdin=pipe, stdout=pipe, stderr=subprocess.DEVNULL, text=True)
            self._own.child = child
            self._all.append(child)
        return child

    def end(self) -> None:
        """End every child."""
        for child in self._all:
            child.kill()
            child.communicate()


def _found(line: str) -> PartReport | None:
    told = json.loads(line)
    if told is None:
        return None
    faults, blanked, heads, sources = told
    return PartReport(
        [LedgerDamage(*one) for one in faults], blanked, [SubjectSeen(*one) for one in heads], sources
    )


def serve(path: str) -> None:
    """The child: look at every part that comes in until there are no more."""
    for line in sys.stdin:
        sys.stdout.write(json.dumps(_looked_at(path, Part(*json.loads(line)))) + "\n")
        sys.stdout.flush()


def _looked_at(path: str, part: Part) -> PartReport | None:
    """What is found in a part; None when the ledger is no longer of the size it had."""
    with closing(sqlite3.connect(path, timeout=_WAIT_S, isolation_level=None)) as db:
        db.execute("BEGIN")
        if db.execute("SELECT value FROM about WHERE name = 'size'").fetchone() != (str(part.size),):
            return None
        return looked_at(db, part)
