"""A log of a flight read in a process of its own, within its limits, whatever is in it."""

from __future__ import annotations

import base64
from pathlib import Path

from airwrit.base.errors import UnreadableFile, UsageError
from airwrit.intake.reader.apart import Broke, TookTooLong, told_apart
from airwrit.intake.reader.limits import Limits
from airwrit.tracks.child import asked_of
from airwrit.tracks.readers.carried import reading_of_bytes
from airwrit.tracks.readers.reading import LogAnswers, Reading

LOG_LIMITS = Limits(seconds=300, memory_bytes=6 * 2**30)
"""A log of 2 GB is mapped into memory and read in well under a minute; what is larger is refused unread."""
_READER = "airwrit.tracks.child"
_SPLIT = "split it by flight, or export the flight as CSV, KML, GPX or subtitles"


def reading_of_log(path: Path, answers: LogAnswers, limits: Limits = LOG_LIMITS) -> Reading:
    """The tracks of a log, with problems and open questions. UnreadableFile or UsageError says why it can't be taken."""
    try:
        told = told_apart(_READER, b"", limits, asked_of(path, answers))
    except TookTooLong:
        raise UnreadableFile(
            f"reading it took more than {limits.seconds} seconds", where=path.name, do=_SPLIT
        ) from None
    except Broke:
        raise UnreadableFile(
            "we couldn't finish reading the file. It is damaged or too large",
            where=path.name,
            do=_SPLIT,
        ) from None
    if "refused" in told:
        what, where, do = told["refused"]
        raise (UsageError if told["usage"] else UnreadableFile)(what, where=where, do=do)
    return reading_of_bytes(base64.b64decode(told["reading"]))
