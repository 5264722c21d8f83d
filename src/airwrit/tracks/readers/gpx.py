"""GPX 1.0 and 1.1: each `trk` is a track, its segments are kept apart. Routes and waypoints are no track.

Source: the GPX 1.0 and 1.1 schemas. Times are meant to be UTC; one without a zone is of an unknown one. What `ele` is measured
from the schema doesn't say. `speed` in a point is of 1.0, in meters per second.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import BinaryIO

import numpy as np

from airwrit.tracks.faults import TrackFault
from airwrit.tracks.readers.numbers import number_of
from airwrit.tracks.readers.reading import LogAnswers, LogFile, Reading
from airwrit.tracks.readers.samples import Samples, noted, track_of
from airwrit.tracks.readers.serials import labeled_serials
from airwrit.tracks.readers.text_times import clock_of, read_times
from airwrit.tracks.readers.xml_events import XmlEvents
from airwrit.tracks.track import HeightDatum, Track, TrackProblem

_ABOUT = {"cmt", "desc", "src"}
_FIXES = {"none": 0, "2d": 2, "3d": 3, "dgps": 4, "pps": 3}


@dataclass(slots=True)
class _Points:
    """The points of one `trk` as texts and numbers, a list for each column."""

    name: str = ""
    about: str = ""
    lat: list[float] = field(default_factory=list)
    lon: list[float] = field(default_factory=list)
    ele: list[float] = field(default_factory=list)
    time: list[str] = field(default_factory=list)
    speed: list[float] = field(default_factory=list)
    fix: list[int] = field(default_factory=list)
    satellites: list[int] = field(default_factory=list)
    segment: list[int] = field(default_factory=list)
    row: list[int] = field(default_factory=list)


class _Document:
    """What the elements of a document are gathered into."""

    def __init__(self) -> None:
        self.tracks: list[_Points] = []
        self.others = 0
        self._path: list[str] = []
        self._told: dict[str, str] = {}
        self._segment = self._row = 0

    def start(self, name: str, attributes: dict[str, str]) -> None:
        """An element begins."""
        self._path.append(name)
        if name == "trkpt":
            self._told = attributes
        elif name == "trkseg":
            self._segment += 1
        elif name == "trk":
            self.tracks.append(_Points())
            self._segment = 0
        elif name in {"wpt", "rte"}:
            self.others += 1

    def end(self, name: str, text: str) -> None:
        """An element ends; its text is taken where it stands right in a point."""
        path = self._path
        path.pop()
        inside = path[-1] if path else ""
        if inside == "trkpt":
            self._told[name] = text
        elif name == "trkpt" and inside == "trkseg" and self.tracks:
            self._row += 1
            self._keep(self.tracks[-1])
        elif name == "name" and inside == "trk":
            self.tracks[-1].name = " ".join(text.split())[:80]
        elif name in _ABOUT and inside == "trk":
            self.tracks[-1].about += f"{text}\n"

    def _keep(self, points: _Points) -> None:
        told = self._told.get
        points.lat.append(number_of(told("lat")))
        points.lon.append(number_of(told("lon")))
        points.ele.append(number_of(told("ele")))
        points.time.append(told("time", ""))
        points.speed.append(number_of(told("speed")))
        points.fix.append(_FIXES.get(told("fix", "").strip().lower(), -1))
        satellites = number_of(told("sat"))
        points.satellites.append(int(satellites) if 0 <= satellites < 1000 else -1)
        points.segment.append(self._segment - 1)
        points.row.append(self._row)


def read_gpx(file: BinaryIO, log: LogFile, answers: LogAnswers) -> Reading:
    """The tracks of a document. UnreadableFile where there is none with a time."""
    document = _Document()
    whole = XmlEvents(document.start, document.end).read(file, log.name)
    problems = [] if whole else [TrackProblem(TrackFault.CUT_SHORT)]
    if document.others:
        problems.append(TrackProblem(TrackFault.NOT_A_TRACK, document.others))
    if not any(points.row for points in document.tracks):
        raise log.refused(
            "the GPX file is broken before its first point"
            if not whole
            else "the GPX file has routes or waypoints, but no track"
            if document.others
            else "the GPX file has no points"
        )
    tracks: list[Track] = []
    for points in document.tracks:
        if points.row:
            track = _track(points, log, answers)
            problems += [TrackProblem(TrackFault.NO_TIME, len(points.row), points.row[0], points.name)] * (
                track is None
            )
            tracks += [] if track is None else [track]
    if not tracks:
        raise log.refused("no point in the file has a time", "export the track with its times")
    return Reading(tuple(tracks), tuple(problems))


def _track(points: _Points, log: LogFile, answers: LogAnswers) -> Track | None:
    row = np.array(points.row, dtype=np.int64)
    times = clock_of(read_times(points.time), row, answers.zone)
    fix = np.array(points.fix, dtype=np.int8)
    unfixed = fix == 0
    heights = np.array(points.ele)
    speed = np.array(points.speed)
    satellites = np.array(points.satellites, dtype=np.int16)
    samples = Samples(
        clock_us=times.clock_us,
        timed=times.timed,
        time_from=times.time_from,
        utc_less_clock_us=times.utc_less_clock_us,
        lat_deg=np.where(unfixed, np.nan, np.array(points.lat)),
        lon_deg=np.where(unfixed, np.nan, np.array(points.lon)),
        row=row,
        heights_m={HeightDatum.UNKNOWN: np.where(unfixed | (fix == 2), np.nan, heights)},
        speed_mps=None if np.isnan(speed).all() else speed,
        satellites=satellites if (satellites >= 0).any() else None,
        fix=fix if (fix >= 0).any() else None,
        segment=np.array(points.segment, dtype=np.int32),
        serials=labeled_serials(points.about),
        problems=times.problems,
    ).noting(noted(TrackFault.NO_FIX, unfixed, row))
    return track_of(samples, log, answers, points.name)
