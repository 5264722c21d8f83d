"""A log of a flight read in a process of its own, within its limits, whatever is in it."""

from __future__ import annotations

import base64
from dataclasses import replace
from pathlib import Path

from airwrit.base.errors import UnreadableFile, UsageError
from airwrit.intake.reader.apart import IfUnreadable, told_of_file
from airwrit.intake.reader.limits import Limits
from airwrit.tracks.child import asked_of
from airwrit.tracks.readers.carried import reading_of_bytes
from airwrit.tracks.readers.reading import LogAnswers, Reading

LOG_LIMITS = Limits(seconds=300, memory_bytes=6 * 2**30)
"""A log of 2 GB is mapped into memory and read in well under a minute; what is larger is refused unread."""
_READER = "airwrit.tracks.child"
_SPLIT = "split it by flight, or export the flight as CSV, KML, GPX or subtitles"


def reading_of_log(path: Path, answers: LogAnswers, limits: Limits = LOG_LIMITS) -> Reading:
    """The tracks of a log, with problems and open questions. UnreadableFile or UsageError says why it can't be taken.

    What is wrong with the whole file is wrong with each of its tracks: a part that couldn't be read may be of any of them.
    """
    said = IfUnreadable(_SPLIT, "we couldn't finish reading the file. It is damaged or too large", _SPLIT)
    told = told_of_file(_READER, b"", path.name, limits, said, asked_of(path, answers))
    if "refused" in told:
        what, where, do = told["refused"]
        raise (UsageError if told["usage"] else UnreadableFile)(what, where=where, do=do)
    reading = reading_of_bytes(base64.b64decode(told["reading"]))
    tracks = (replace(one, problems=(*one.problems, *reading.problems)) for one in reading.tracks)
    return reading._replace(tracks=tuple(tracks))
