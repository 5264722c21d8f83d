"""A file of a log read by what is in it, whatever its name says: its tracks, or why it can't be taken."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import BinaryIO

from airwrit.base.errors import UnreadableFile
from airwrit.tracks.faults import TrackFault
from airwrit.tracks.readers.geojson import read_geojson
from airwrit.tracks.readers.gpx import read_gpx
from airwrit.tracks.readers.kml import read_kml
from airwrit.tracks.readers.messages.dataflash import read_dataflash
from airwrit.tracks.readers.messages.telemetry import read_telemetry
from airwrit.tracks.readers.messages.ulog import read_ulog
from airwrit.tracks.readers.reading import LogAnswers, LogAsks, LogFile, LogQuestion, Reading, digest_of
from airwrit.tracks.readers.recognition import MOST_BYTES, format_of
from airwrit.tracks.readers.subtitles import read_subtitles
from airwrit.tracks.readers.tables.log import read_csv
from airwrit.tracks.track import HeightDatum, LogFormat

READERS: dict[LogFormat, Callable[[BinaryIO, LogFile, LogAnswers], Reading]] = {
    LogFormat.ULOG: read_ulog,
    LogFormat.DATAFLASH: read_dataflash,
    LogFormat.TELEMETRY: read_telemetry,
    LogFormat.GPX: read_gpx,
    LogFormat.KML: read_kml,
    LogFormat.GEOJSON: read_geojson,
    LogFormat.SUBTITLES: read_subtitles,
    LogFormat.CSV: read_csv,
}


def read_track(path: Path, answers: LogAnswers) -> Reading:
    """The tracks of a file, with problems and open questions. UnreadableFile or UsageError says why it can't be taken."""
    if path.exists() and not path.is_file():
        raise UnreadableFile("this isn't a file", where=path.name, do="use the log itself")
    with path.open("rb") as file:
        found = format_of(file, path)
        size, most = path.stat().st_size, MOST_BYTES[found]
        if size > most:
            raise UnreadableFile(
                f"the log is {size / 1e6:,.0f} MB. We read up to {most // 1_000_000:,} MB of this format",
                where=path.name,
                do="split it by flight, and use each part",
            )
        file.seek(0)
        return _with_questions(READERS[found](file, LogFile(path, found, digest_of(path)), answers))


_ASKED = {
    TrackFault.HEIGHTS_UNNAMED: LogQuestion(LogAsks.DATUM, "", tuple(HeightDatum)),
    TrackFault.WEEKS_LOST: LogQuestion(LogAsks.WEEKS),
    TrackFault.NO_ZONE: LogQuestion(LogAsks.ZONE),
    TrackFault.NO_DATE: LogQuestion(LogAsks.DATE),
}
"""What a person may be able to say where a track has this problem."""


def _with_questions(reading: Reading) -> Reading:
    codes = {problem.code for track in reading.tracks for problem in track.problems}
    asked = [
        question for fault, question in _ASKED.items() if fault in codes and question not in reading.questions
    ]
    return reading._replace(questions=(*reading.questions, *asked))
