"""Small logs for tests, and reading them; every one is synthetic."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from airwrit.tracks.readers.reading import LogAnswers, Reading
from airwrit.tracks.reading import read_track
from airwrit.tracks.track import Track

TODAY = date(2026, 12, 1)
ANSWERS = LogAnswers(TODAY)


def read(folder: Path, data: bytes | str, answers: LogAnswers = ANSWERS, name: str = "log.bin") -> Reading:
    """The reading of these bytes as a file."""
    path = folder / name
    path.write_bytes(data.encode() if isinstance(data, str) else data)
    return read_track(path, answers)


def only(reading: Reading) -> Track:
    """The one track of a reading."""
    (track,) = reading.tracks
    return track


def counts(track: Track) -> dict[str, int]:
    """How many rows each problem of a track has."""
    return {str(problem.code): problem.rows for problem in track.problems}


def utc(track: Track) -> list[str]:
    """The UTC times of a track, to the millisecond."""
    assert track.utc_us is not None
    return [str(one)[:23] for one in track.utc_us.astype("datetime64[us]")]
