"""The reading processes of tests: forked off one that has every reader loaded, so that each costs a tenth.

A reader started by `apart.ended` loads its libraries first: 0.1 to 0.25 s of processor time, hundreds of times over. Here each
file is still read in a process of its own, under the limits it was given. What tests ask under others goes the product's way.
"""

from __future__ import annotations

import importlib
import io
import json
import os
import signal
import subprocess
import sys
import threading
from typing import BinaryIO

from airwrit.answers.airspace.importing import AIRSPACE_LIMITS
from airwrit.answers.flown_log import LOG_LIMITS
from airwrit.base.process import python_apart
from airwrit.intake.reader.apart import Ended, ended, module_of
from airwrit.intake.reader.limits import LIMITS, Limits
from airwrit.papers.proof_pdf import PROOF_LIMITS

READERS = (
    "attachment",
    "codes",
    "delimited",
    "document",
    "workbook",
    "xls",
    "airwrit.airspace.child",
    "airwrit.tracks.child",
)
_SERVE = "from tests.readers import serve; serve()"


class Readers:
    """The process that readers are forked off, begun when first asked."""

    def __init__(self) -> None:
        """Not begun yet."""
        self._lock = threading.Lock()
        self._process: subprocess.Popen[bytes] | None = None

    def ended(self, reader: str, data: bytes, limits: Limits, *asked: str) -> Ended:
        """As `apart.ended`."""
        if limits not in (LIMITS, PROOF_LIMITS, AIRSPACE_LIMITS, LOG_LIMITS) or sys.platform == "win32":
            return ended(reader, data, limits, *asked)
        with self._lock:
            return self._answer(reader, data, limits, asked)

    def _answer(self, reader: str, data: bytes, limits: Limits, asked: tuple[str, ...]) -> Ended:
        if self._process is None:
            command = python_apart(_SERVE)
            self._process = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE)
        asks, tells = self._process.stdin, self._process.stdout
        assert asks is not None
        assert tells is not None
        asks.write(json.dumps([reader, limits, asked, len(data)]).encode() + b"\n" + data)
        asks.flush()
        code, size = json.loads(tells.readline())
        if code == -signal.SIGALRM:
            raise subprocess.TimeoutExpired(reader, limits.seconds)
        return Ended(code, tells.read(size))

    def end(self) -> None:
        """End the process."""
        if self._process is not None:
            self._process.communicate()


def serve() -> None:
    """The process itself: a request on standard input, an answer on standard output, until there are no more."""
    for reader in READERS:
        importlib.import_module(module_of(reader))
    asks, tells = sys.stdin.buffer, sys.stdout.buffer
    while line := asks.readline():
        reader, limits, asked, size = json.loads(line)
        code, told = _forked(reader, asks.read(size), Limits(*limits), asked)
        tells.write(json.dumps([code, len(told)]).encode() + b"\n" + told)
        tells.flush()


def _forked(reader: str, data: bytes, limits: Limits, asked: list[str]) -> tuple[int, bytes]:
    out, into = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(out)
        _read(reader, data, limits, asked, os.fdopen(into, "wb"))
    os.close(into)
    with os.fdopen(out, "rb") as pipe:
        told = pipe.read()
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]), told


def _read(reader: str, data: bytes, limits: Limits, asked: list[str], out: BinaryIO) -> None:
    """What the product's reading process does, in a fork; it ends here."""
    from airwrit.intake.child.main import run  # noqa: PLC0415

    code = 1
    try:
        signal.alarm(limits.seconds)
        sys.argv[1:] = [json.dumps(limits), *asked]
        sys.stdin, sys.stdout = io.TextIOWrapper(io.BytesIO(data)), io.TextIOWrapper(out, "utf-8")
        code = run(importlib.import_module(module_of(reader)).read)
        sys.stdout.flush()
    finally:
        os._exit(code)
