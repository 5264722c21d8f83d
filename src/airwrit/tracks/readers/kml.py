"""KML and KMZ: `Track` and `MultiTrack` in whichever namespace, and placemarks with a time and a point each.

Source: KML 2.3, clauses on Track and altitudeMode. A coordinate is longitude, latitude, height, with spaces in a Track and
commas in a Point. Times and coordinates of a Track pair up by their order, whichever stands first; an empty one is a missing
one. Heights are from sea level where the mode is absolute, from the viewer's ground where it is relativeToGround, and mean
nothing where they are clamped to the ground, which is so where no mode is given. A LineString has no times.
"""

from __future__ import annotations

import re
import struct
import zipfile
import zlib
from dataclasses import dataclass, field
from typing import BinaryIO

import numpy as np

from airwrit.tracks.faults import TrackFault
from airwrit.tracks.readers.numbers import number_of
from airwrit.tracks.readers.reading import LogAnswers, LogFile, Reading
from airwrit.tracks.readers.samples import Samples, noted, track_of
from airwrit.tracks.readers.serials import labeled_serials, named_serials
from airwrit.tracks.readers.text_times import clock_of, read_times
from airwrit.tracks.readers.xml_events import PiecesOfFile, XmlEvents
from airwrit.tracks.track import HeightDatum, Track, TrackProblem

_TAG = re.compile(r"<[^<>]{0,200}>")
_ZIP = b"PK\x03\x04"
_MOST_UNPACKED = 1_000_000_000
_MOST_RATIO = 200
_BROKEN_ZIP = (
    zipfile.BadZipFile,
    zipfile.LargeZipFile,
    zlib.error,
    struct.error,
    NotImplementedError,
    RuntimeError,
    EOFError,
    OSError,
    ValueError,
)
_DATUMS = {"absolute": HeightDatum.SEA_LEVEL, "relativetoground": HeightDatum.GROUND}


@dataclass(slots=True)
class _KmlTrack:
    """The times and coordinates of one track, with the stretch and the altitude mode of each."""

    whens: list[str] = field(default_factory=list)
    coords: list[str] = field(default_factory=list)
    segments: list[int] = field(default_factory=list)
    modes: list[str] = field(default_factory=list)
    unequal: list[str] = field(default_factory=list)
    name: str = ""
    mode: str = ""
    serials: dict[str, None] = field(default_factory=dict)


class _KmlDocument:
    """What the elements of a document are gathered into."""

    def __init__(self) -> None:
        self.tracks: list[_KmlTrack] = []
        self.moments = _KmlTrack()
        self.lines = 0
        self._path: list[str] = []
        self._whens: list[str] = []
        self._coords: list[str] = []
        self._mode = self._when = self._point = self._name = ""
        self._stretch = self._before = 0
        self._field = ""
        self._serials: dict[str, None] = {}

    def start(self, name: str, attributes: dict[str, str]) -> None:
        """An element begins."""
        inside = self._path[-1] if self._path else ""
        self._path.append(name)
        if name == "Placemark":
            self._when = self._point = self._mode = self._name = ""
            self._serials, self._before = {}, len(self.tracks)
        elif name in {"Data", "SimpleData"}:
            self._field = attributes.get("name", "")
        elif name == "MultiTrack" or (name == "Track" and inside != "MultiTrack"):
            self.tracks.append(_KmlTrack(name=self._name))
            self._stretch = 0
        elif name == "LineString":
            self.lines += 1
        if name in {"Track", "Point"}:
            self._whens, self._coords, self._mode = [], [], ""

    def end(self, name: str, text: str) -> None:
        """An element ends; its text counts by the element it stands in."""
        self._path.pop()
        inside = self._path[-1] if self._path else ""
        if inside == "Track" and name == "when":
            self._whens.append(text.strip())
        elif inside == "Track" and name == "coord":
            self._coords.append(text.strip())
        elif name == "altitudeMode" and inside in {"Track", "Point"}:
            self._mode = text.strip().lower()
        elif name == "altitudeMode" and inside == "MultiTrack" and self.tracks:
            self.tracks[-1].mode = text.strip().lower()
        elif name == "name" and inside == "Placemark":
            self._name = " ".join(text.split())[:80]
        elif name == "when" and inside == "TimeStamp":
            self._when = text.strip()
        elif name == "coordinates" and inside == "Point":
            self._point = text.strip()
        elif name == "Track" and self.tracks:
            self._end_track(self.tracks[-1])
        elif name == "Placemark":
            self._end_placemark()
        else:
            self._look_for_serials(inside, name, text)

    def _look_for_serials(self, inside: str, name: str, text: str) -> None:
        """Serial numbers in the description of a placemark, or in a field of it that is named so."""
        if name == "description" and inside == "Placemark":
            self._serials |= dict.fromkeys(labeled_serials(_TAG.sub(" ", text)))
        elif name == "SimpleData" or (name == "value" and inside == "Data"):
            self._serials |= dict.fromkeys(named_serials({self._field: text}))

    def _end_placemark(self) -> None:
        """What a placemark says counts for the tracks in it; a point with a time is a sample."""
        for track in self.tracks[self._before :]:
            track.serials |= self._serials
        if self._when and self._point:
            self.moments.serials |= self._serials
            self.moments.whens.append(self._when)
            self.moments.coords.append(self._point.replace(",", " "))
            self.moments.segments.append(0)
            self.moments.modes.append(self._mode)

    def break_off(self) -> None:
        """The document ended inside a track: what there is of it counts."""
        if "Track" in self._path and self.tracks:
            self._end_track(self.tracks[-1])
        for track in self.tracks[self._before :]:
            track.serials |= self._serials

    def _end_track(self, track: _KmlTrack) -> None:
        """A stretch: pairs of times and coordinates, as far as both go."""
        both = min(len(self._whens), len(self._coords))
        if len(self._whens) != len(self._coords):
            track.unequal.append(f"{len(self._whens)} times, {len(self._coords)} places")
        track.whens += self._whens[:both]
        track.coords += self._coords[:both]
        track.segments += [self._stretch] * both
        track.modes += [self._mode] * both
        self._stretch += 1


def read_kml(file: BinaryIO, log: LogFile, answers: LogAnswers) -> Reading:
    """The tracks of a document. UnreadableFile where there is none with times, or an archive that could do harm."""
    head = file.read(len(_ZIP))
    file.seek(0)
    if head != _ZIP:
        return _read(file, log, answers)
    try:
        with zipfile.ZipFile(file) as archive, archive.open(_member(archive, log)) as inside:
            return _read(_Bounded(inside, log), log, answers)
    except _BROKEN_ZIP as fault:
        raise log.refused(f"the KMZ is damaged or locked ({type(fault).__name__})") from None


class _Bounded:
    """A file of an archive, of which no more than the limit is unpacked whatever the archive says of itself."""

    def __init__(self, file: PiecesOfFile, log: LogFile) -> None:
        self._file, self._log, self._left = file, log, _MOST_UNPACKED

    def read(self, size: int, /) -> bytes:
        """The next bytes. UnreadableFile past the limit."""
        piece = self._file.read(size)
        self._left -= len(piece)
        if self._left < 0:
            raise self._log.refused("unzipped, this KMZ is too large for a flight log")
        return piece


def _member(archive: zipfile.ZipFile, log: LogFile) -> zipfile.ZipInfo:
    """The first KML in an archive; it is read in place, so its name can't lead anywhere."""
    found = next((one for one in archive.infolist() if one.filename.lower().endswith(".kml")), None)
    if found is None:
        raise log.refused("the zip archive has no KML in it")
    if found.file_size > _MOST_UNPACKED or found.file_size > _MOST_RATIO * max(found.compress_size, 10_000):
        raise log.refused("unzipped, this KMZ is too large for a flight log")
    return found


def _read(file: PiecesOfFile, log: LogFile, answers: LogAnswers) -> Reading:
    document = _KmlDocument()
    whole = XmlEvents(document.start, document.end).read(file, log.name)
    problems = [] if whole else [TrackProblem(TrackFault.CUT_SHORT)]
    if not whole:
        document.break_off()
    if document.lines:
        problems.append(TrackProblem(TrackFault.NOT_A_TRACK, document.lines, -1, "LineString"))
    told = [*document.tracks, document.moments]
    tracks: list[Track] = []
    for one in told:
        problems += [TrackProblem(TrackFault.LENGTHS_DIFFER, 1, -1, detail) for detail in one.unequal]
        track = _track(one, log, answers) if one.whens else None
        if track is not None:
            tracks.append(track)
        elif one.whens:
            problems.append(TrackProblem(TrackFault.NO_TIME, len(one.whens), -1, one.name))
    if tracks:
        return Reading(tuple(tracks), tuple(problems))
    if document.lines:
        raise log.refused("the KML draws lines, which have no times", "export the track with its times")
    raise log.refused(
        "the KML has no track with times" if whole else "the KML is broken before its first point"
    )


def _track(told: _KmlTrack, log: LogFile, answers: LogAnswers) -> Track | None:
    row = np.arange(1, len(told.whens) + 1, dtype=np.int64)
    parts = [[number_of(part) for part in coord.split()] for coord in told.coords]
    numbers = np.array([(*part, *[np.nan] * 3)[:3] for part in parts], dtype=np.float64)
    modes = np.array([_DATUMS.get(mode or told.mode, "") for mode in told.modes])
    times = clock_of(read_times(told.whens), row, answers.zone)
    clamped = (modes == "") & ~np.isnan(numbers[:, 2])
    heights = {
        datum: np.where(modes == datum, numbers[:, 2], np.nan)
        for datum in _DATUMS.values()
        if (modes == datum).any()
    }
    if answers.heights_from is not None and answers.heights_from not in heights and clamped.any():
        heights[answers.heights_from] = np.where(clamped, numbers[:, 2], np.nan)
        clamped = np.zeros(len(row), dtype=np.bool_)
    samples = Samples(
        clock_us=times.clock_us,
        timed=times.timed,
        time_from=times.time_from,
        utc_less_clock_us=times.utc_less_clock_us,
        lat_deg=numbers[:, 1],
        lon_deg=numbers[:, 0],
        row=row,
        heights_m=heights,
        segment=np.array(told.segments, dtype=np.int32),
        serials=tuple(told.serials),
        problems=times.problems,
    ).noting(noted(TrackFault.HEIGHTS_ON_GROUND, clamped, row))
    return track_of(samples, log, answers, told.name)
