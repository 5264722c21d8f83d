"""What a reader is given beside a log, and what it hands back: tracks, problems, and questions only a person can answer."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from pathlib import Path
from typing import NamedTuple

from airwrit.base.errors import UnreadableFile
from airwrit.tracks.readers.tables.columns import CsvMapping
from airwrit.tracks.track import HeightDatum, LogFormat, Track, TrackProblem

EXPORT_IT = "export the flight as CSV, KML, GPX or subtitles, and use that file"


class LogAsks(StrEnum):
    """What a log leaves open and a person may know."""

    COLUMN = "column"
    UNIT = "unit"
    DATUM = "datum"
    TIME_FORM = "time_form"
    DAY_ORDER = "day_order"
    ZONE = "zone"
    DATE = "date"
    DECIMAL = "decimal"
    VEHICLE = "vehicle"
    WEEKS = "weeks"


class LogQuestion(NamedTuple):
    """A question about a log: what is asked, about which column or part, and the answers there are, where they are few."""

    asks: LogAsks
    about: str = ""
    choices: tuple[str, ...] = ()


class Reading(NamedTuple):
    """The tracks of a file, problems of the file as a whole, open questions, and for a table how far its columns are known."""

    tracks: tuple[Track, ...]
    problems: tuple[TrackProblem, ...] = ()
    questions: tuple[LogQuestion, ...] = ()
    mapping: CsvMapping | None = None


@dataclass(frozen=True, slots=True)
class LogAnswers:
    """What a person says of a log that it doesn't say itself; nothing of it is ever assumed.

    `today` bounds the days a log can be of. `zone` is a name such as America/Chicago, for times without one; `day` the day of
    the flight, for logs with a time of day only. `heights_from` is what unnamed heights are measured from. `vehicle` picks one
    of several. `add_weeks` adds 1,024 weeks to a receiver's date that lost them.
    """

    today: date
    zone: str | None = None
    day: date | None = None
    heights_from: HeightDatum | None = None
    vehicle: str | None = None
    add_weeks: bool = False
    mapping: CsvMapping | None = None
    saved: tuple[CsvMapping, ...] = ()

    @property
    def last_day(self) -> date:
        """The latest day a log can be of: a day more than today, for zones ahead of ours."""
        return self.today + timedelta(days=1)


class LogFile(NamedTuple):
    """A file of a log as a reader gets it."""

    path: Path
    format: LogFormat
    digest: str

    @property
    def name(self) -> str:
        """The name of the file, without its folders."""
        return self.path.name

    def refused(self, what: str, do: str = EXPORT_IT) -> UnreadableFile:
        """The error that says why this file can't be taken."""
        return UnreadableFile(what, where=self.path.name, do=do)


def digest_of(path: Path) -> str:
    """The SHA-256 of a file."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()
