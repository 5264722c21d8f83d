"""Files that are whole or not there: written beside their place, made safe on the disk, then moved. The one home of it.

What is private can be read by its owner alone from its first byte on. A new file never takes the place of one that is there.
What a process left half written that was killed goes with the next file written to the same folder.
"""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from airwrit.base.part_files import TAILS, clear_left_over, part_of

OWNER_ONLY, EVERYBODY = 0o600, 0o666
"""Modes of what is private, and of what is not; the system's mask is taken off both."""


@contextmanager
def whole_file(path: Path, *, private: bool, new: bool = False) -> Iterator[Path]:
    """The name beside `path` to write to, of a file that is there and empty; it takes its place when the block ends well.

    FileExistsError where it has to be `new` and there is one; OSError where it cannot be made. What is no file, such as a
    pipe, gets the bytes at the end.
    """
    if path.exists() and not path.is_file() and not path.is_dir():
        with _handed_on(path) as beside:
            yield beside
        return
    place = Path(os.path.realpath(path))
    if new and place.exists():
        raise FileExistsError(17, os.strerror(17), str(path))
    with _begun(place, OWNER_ONLY if private else EVERYBODY) as beside:
        yield beside
        _to_disk(beside)
        if new:
            _put_new(beside, place)
        else:
            beside.replace(place)
        _to_disk(place.parent)


def write_whole(path: Path, data: bytes, *, private: bool, new: bool = False) -> None:
    """Write bytes as a file that is whole or not there; as `whole_file`."""
    with whole_file(path, private=private, new=new) as beside:
        beside.write_bytes(data)


def append_line(path: Path, line: str) -> None:
    """Add a line to a file, as it is done: a stopped run leaves at most the last one cut off, and the next begins anew."""
    with path.open("a+b") as file:
        if file.tell():
            file.seek(-1, os.SEEK_END)
            line = line if file.read(1) == b"\n" else f"\n{line}"
        file.write(f"{line}\n".encode())


@contextmanager
def _begun(place: Path, mode: int) -> Iterator[Path]:
    """A new, empty file beside a place, gone at the end unless it was moved; what others left half written goes first."""
    clear_left_over(place.parent)
    beside = part_of(place)
    os.close(os.open(beside, os.O_CREAT | os.O_EXCL | os.O_RDWR, mode))
    try:
        yield beside
    finally:
        for tail in TAILS:
            beside.with_name(beside.name + tail).unlink(missing_ok=True)


@contextmanager
def _handed_on(path: Path) -> Iterator[Path]:
    """A file among the system's temporary ones, whose bytes go to what is no file once it is whole."""
    with _begun(Path(tempfile.gettempdir()) / "made", OWNER_ONLY) as beside:
        yield beside
        with beside.open("rb") as made, path.open("wb") as out:
            shutil.copyfileobj(made, out)


def _put_new(beside: Path, place: Path) -> None:
    """Give a file its name unless there is one of that name. FileExistsError when there is."""
    try:
        os.link(beside, place)
    except FileExistsError:
        raise
    except OSError:  # a disk that knows no second names
        os.close(os.open(place, os.O_CREAT | os.O_EXCL, OWNER_ONLY))
        beside.replace(place)


def _to_disk(path: Path) -> None:
    """Have what was written on the disk, so that a lost power supply leaves it whole; where the system can say so."""
    with suppress(PermissionError):  # Windows opens no folder
        held = os.open(path, os.O_RDONLY if path.is_dir() else os.O_RDWR)
        try:
            os.fsync(held)
        finally:
            os.close(held)
