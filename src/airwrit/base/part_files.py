"""Files that are being written beside their place: their names, and those that a process left which ended before it was done.

A name tells which machine and process writes to it. One whose process has ended is left over and may hold a person's data.
"""

from __future__ import annotations

import os
import platform
import re
import secrets
import stat
import sys
from collections.abc import Iterator
from contextlib import suppress
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import NamedTuple

TAILS = ("", "-journal", "-wal", "-shm")
"""What SQLite puts at the end of a name for the files beside its own."""

_NAME = re.compile(
    r"\..*-airwrit-([0-9a-f]{8})-([1-9][0-9]{0,9})-[0-9a-f]{12}\.part(?:-journal|-wal|-shm)?", re.DOTALL
)


class LeftOver(NamedTuple):
    """A file left half written; whether it is of another machine, where a process may still write to it."""

    path: Path
    is_elsewhere: bool


def part_of(place: Path) -> Path:
    """A new name beside a file's place, which tells that this process writes to it."""
    return place.with_name(
        f".{place.stem[:40]}-airwrit-{_machine()}-{os.getpid()}-{secrets.token_hex(6)}.part"
    )


def left_over(folder: Path) -> list[LeftOver]:
    """The files in a folder that this program left half written, by name; none that a process of this machine still holds."""
    return sorted(_left_over(folder))


def _left_over(folder: Path) -> Iterator[LeftOver]:
    with suppress(OSError), os.scandir(folder) as found:
        for one in found:
            made = _NAME.fullmatch(one.name)
            if made is not None and stat.S_ISREG(one.stat(follow_symlinks=False).st_mode):
                is_elsewhere = made[1] != _machine()
                if is_elsewhere or not _is_alive(int(made[2])):
                    yield LeftOver(Path(one.path), is_elsewhere)


def clear_left_over(folder: Path) -> None:
    """Remove what processes of this machine left half written in a folder; what cannot be removed stays."""
    for one in left_over(folder):
        if not one.is_elsewhere:
            with suppress(OSError):
                one.path.unlink()


@cache
def _machine() -> str:
    """A short name of this machine, which tells nothing of it."""
    return sha256(platform.node().encode("utf-8", "surrogateescape")).hexdigest()[:8]


def _is_alive(process: int) -> bool:
    """Whether there is a process of that number; always so on Windows, where asking would disturb it."""
    if sys.platform == "win32":
        return True
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except (PermissionError, OverflowError):
        return True
    return True
