"""Runs a reader of a stranger's bytes in a process of its own, and hands back what it told; see `child.py` for that side."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any, NamedTuple

from airwrit.base.errors import UnreadableFile
from airwrit.base.process import python_apart
from airwrit.intake.reader.limits import Limits

if sys.platform != "win32":
    from signal import SIGXCPU

    _OUT_OF_TIME = -SIGXCPU
else:
    _OUT_OF_TIME = None

_START = "from airwrit.intake.child.main import run; from {module} import read; sys.exit(run(read))"


class Broke(Exception):
    """The reading process ended without an answer: it crashed, or met one of its limits."""


class TookTooLong(Exception):
    """The reading process was stopped by the clock, or had used up its processor time."""


class Ended(NamedTuple):
    """How a process ended, and what it wrote."""

    code: int
    out: bytes


def told_apart(reader: str, data: bytes, limits: Limits, *asked: str) -> dict[str, Any]:
    """What `read` of a module tells of `data`, `asked` something more where it takes that; the module as `module_of` has it.

    Broke or TookTooLong when there is no answer.
    """
    try:
        code, out = ended(reader, data, limits, *asked)
    except subprocess.TimeoutExpired as fault:
        raise TookTooLong from fault
    if code == _OUT_OF_TIME:
        raise TookTooLong
    if code != 0:
        raise Broke
    told: dict[str, Any] = json.loads(out)
    return told


class IfUnreadable(NamedTuple):
    """What is said of a file that takes too long (make it smaller), and of one that breaks: what it is, and what to do."""

    smaller: str
    broken: str
    do: str


def told_of_file(
    reader: str, data: bytes, name: str, limits: Limits, said: IfUnreadable, *asked: str
) -> dict[str, Any]:
    """The same of a file with a name. UnreadableFile says what to do where there is no answer."""
    try:
        return told_apart(reader, data, limits, *asked)
    except TookTooLong as fault:
        what = f"we gave up after {limits.seconds} seconds of reading"
        raise UnreadableFile(what, where=name, do=said.smaller) from fault
    except Broke as fault:
        raise UnreadableFile(said.broken, where=name, do=said.do) from fault


def module_of(reader: str) -> str:
    """The module of a reader: one of `intake.child`, or another one by its full name."""
    return reader if "." in reader else f"airwrit.intake.child.{reader}"


def ended(reader: str, data: bytes, limits: Limits, *asked: str) -> Ended:
    """How the reading process ended. subprocess.TimeoutExpired when the clock stopped it."""
    command = python_apart(_START.format(module=module_of(reader)), json.dumps(limits), *asked)
    done = subprocess.run(command, input=data, capture_output=True, timeout=limits.seconds, check=False)
    return Ended(done.returncode, done.stdout)


def bytes_of(path: Path, limits: Limits, smaller: str) -> bytes:
    """A file's bytes. UnreadableFile when it is missing, no file, too large or closed to us.

    `smaller` says what to do about one that is too large.
    """
    if path.is_dir():
        raise UnreadableFile("this is a folder", where=path.name, do="choose a file inside it")
    try:
        size = path.stat().st_size
        if size > limits.file_bytes:
            raise UnreadableFile(
                f"the file is {size:,} bytes. The most we read is {limits.file_bytes:,}",
                where=path.name,
                do=smaller,
            )
        if not path.is_file():
            raise UnreadableFile("this isn't a file", where=path.name, do="choose a file")
        return path.read_bytes()
    except FileNotFoundError as fault:
        raise UnreadableFile("this file doesn't exist", where=str(path), do="check the name") from fault
    except OSError as fault:
        raise UnreadableFile(
            f"we can't open it ({fault.strerror})",
            where=path.name,
            do="check that you have permission to read it",
        ) from fault


def text_of(path: Path, limits: Limits, what: str, smaller: str) -> str:
    """A file's text. UnreadableFile as with `bytes_of`, and when it isn't UTF-8."""
    data = bytes_of(path, limits, smaller)
    try:
        return data.decode()
    except UnicodeDecodeError as fault:
        raise UnreadableFile(
            f"we can't read the {what} file", where=path.name, do="check the name, and that it is UTF-8"
        ) from fault
