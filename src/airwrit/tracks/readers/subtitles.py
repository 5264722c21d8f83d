"""Subtitles with telemetry: each cue has a time in the video, and a text with the place and heights at it.

Cues come at the rate of the video and repeat what the receiver said last: changes are kept, and one a second. The clock in a
text is local unless UTC or an offset stands beside it, so a zone has to be told, and a day where the text has none. A height
without a word beside it is of no known reference, and so is one called absolute. What a third number beside a place means isn't
said, so it is left. Two numbers without a word are longitude and latitude, unless only the other order lies in the United
States. Without either clock or day the track keeps the time in the video alone.
"""

from __future__ import annotations

import re
from typing import BinaryIO, NamedTuple

import numpy as np
from numpy.typing import NDArray

from airwrit.base.places import Place
from airwrit.geo.earth import M_PER_FT
from airwrit.geo.outlines import states_around
from airwrit.tracks.faults import TrackFault
from airwrit.tracks.readers.numbers import NAN, number_of
from airwrit.tracks.readers.reading import LogAnswers, LogFile, Reading
from airwrit.tracks.readers.samples import Samples, track_of
from airwrit.tracks.readers.serials import labeled_serials
from airwrit.tracks.readers.text_times import TextTimes, clock_of, past_midnight, read_times
from airwrit.tracks.readers.utc import SECOND_US, day_us
from airwrit.tracks.track import HeightDatum, TimeSource, TrackProblem

_CUE = re.compile(r"(?:(\d{1,3}):)?(\d{2}):(\d{2})(?:[,.](\d{1,3}))?\s*-->")
_WEB_HEAD = re.compile(r"\s*WEBVTT[^\n]*\n")
"""The first line of WebVTT, the other published form of subtitles, in which the hours may be left out."""
_TAG = re.compile(r"<[^<>]{0,200}>")
_N = r"([+-]?\d+(?:\.\d+)?)"
_HIGH = rf"\s*[=:]?\s*{_N}(?![\d.]*\d)\s*((?:m|ft|feet)\b(?!\s*[=:(])|[A-Za-z]+\b(?!\s*[=:(\d+-]))?"
"""A height after its word, with the unit behind it; the label of what comes next is none. A date may follow the unit."""
_M = {"": 1.0, "m": 1.0, "ft": M_PER_FT, "feet": M_PER_FT}
"""Meters in each unit; a height in another one is not read."""
_LAT = re.compile(rf"\blat(?:itude)?(?:\s*[=:]\s*|\s+){_N}", re.IGNORECASE)
_LON = re.compile(rf"\b(?:lon|lng|long|longt?itude)(?:\s*[=:]\s*|\s+){_N}", re.IGNORECASE)
_GPS = re.compile(rf"\bGPS\s*\(\s*{_N}\s*,\s*{_N}", re.IGNORECASE)
_HEMISPHERES = re.compile(
    r"\b(?:([NS])\s?(\d{1,2}\.\d+)|(\d{1,2}\.\d+)\s?°?\s?([NS]))\b\s?°?[\s,;/]*"
    r"(?:([EW])\s?(\d{1,3}\.\d+)|(\d{1,3}\.\d+)\s?°?\s?([EW]))\b"
)
_REL = re.compile(rf"\brel(?:ative)?[ _]?alt(?:itude)?{_HIGH}", re.IGNORECASE)
_ABS = re.compile(rf"\babs(?:olute)?[ _]?alt(?:itude)?{_HIGH}", re.IGNORECASE)
_ALT = re.compile(rf"\b(?:alt(?:itude)?|height|A?MSL|AGL|H){_HIGH}", re.IGNORECASE)
_CLOCK = re.compile(
    r"(?:\b(UTC|GMT)\s*[=:]?\s*)?(\d{4})[-./](\d{1,2})[-./](\d{1,2})[ T]+(\d{1,2}):(\d{2}):(\d{2})(?:[.,:](\d{1,6}))?"
    r"\s?(Z\b|UTC\b|GMT\b|[+-]\d{2}:\d{2}\b)?"
)
_OF_DAY = re.compile(r"(?<![\d:])(\d{1,2}):(\d{2}):(\d{2})(?:[.,](\d{1,3}))?(?![\d:])")


_HIGHEST_DEG, _ABOUT_M = 85.0, 1_000.0


class _Cue(NamedTuple):
    """One cue: its line, its time in the video, its place and heights, and the clock in its text."""

    line: int
    video_us: int
    lat: float
    lon: float
    by_pair: bool
    relative: float
    unnamed: float
    clock: str
    of_day: int


def read_subtitles(file: BinaryIO, log: LogFile, answers: LogAnswers) -> Reading:
    """The track of the cues. UnreadableFile where none has a place."""
    data = file.read()
    text = data.decode("utf-16" if data[:2] in {b"\xff\xfe", b"\xfe\xff"} else "utf-8-sig", errors="replace")
    cues, rejected = _cues(_WEB_HEAD.sub("", text, count=1))
    if not any(cue.lat == cue.lat for cue in cues):
        raise log.refused("the subtitles have no latitude and longitude")
    kept, problems = _without_repeats(cues), list[TrackProblem]()
    if _is_latitude_first(kept):
        kept = [cue._replace(lat=cue.lon, lon=cue.lat) if cue.by_pair else cue for cue in kept]
        problems.append(TrackProblem(TrackFault.LATITUDE_FIRST, len(kept)))
    if rejected:
        problems.append(TrackProblem(TrackFault.REJECTED_CUES, rejected))
    if len(kept) < len(cues):
        problems.append(TrackProblem(TrackFault.REPEATED_ROWS, len(cues) - len(kept)))
    samples = _samples(kept, answers).having(serials=labeled_serials(_TAG.sub(" ", text)))
    track = track_of(samples, log, answers)
    if track is None:
        raise log.refused("none of the subtitles has a time")
    return Reading((track,), tuple(problems))


def _is_latitude_first(cues: list[_Cue]) -> bool:
    """Whether pairs of numbers without a word make a place in the United States only with the latitude first."""
    pair = next((cue for cue in cues if cue.by_pair and cue.lat == cue.lat), None)
    if pair is None:
        return False
    as_told, turned = _is_in_us(pair.lat, pair.lon), _is_in_us(pair.lon, pair.lat)
    return turned and not as_told


def _is_in_us(latitude_deg: float, longitude_deg: float) -> bool:
    if not (abs(latitude_deg) < _HIGHEST_DEG and abs(longitude_deg) <= 180):
        return False
    return states_around(Place(latitude_deg, longitude_deg), _ABOUT_M) != {""}


def _without_repeats(cues: list[_Cue]) -> list[_Cue]:
    """Cues that say something new, and those a second behind the last one kept."""
    kept: list[_Cue] = []
    for at, cue in enumerate(cues):
        is_new = at == 0 or _said(cue) != _said(cues[at - 1])
        if is_new or abs(cue.video_us - kept[-1].video_us) >= SECOND_US:
            kept.append(cue)
    return kept


def _said(cue: _Cue) -> tuple[str, ...]:
    """What a cue says of the aircraft, so that repeats show; texts, since a missing number is not itself."""
    return tuple(map(str, (cue.lat, cue.lon, cue.relative, cue.unnamed)))


def _cues(text: str) -> tuple[list[_Cue], int]:
    """The cues, and how many blocks had no time that can be read or no text with a number."""
    found: list[_Cue] = []
    rejected, line = 0, 1
    for block in re.split(r"(\r?\n[ \t]*\r?\n)", text):
        cue = _cue(block, line) if block.strip() else None
        if cue is not None:
            found.append(cue)
        elif block.strip():
            rejected += 1
        line += block.count("\n")
    return found, rejected


def _cue(block: str, line: int) -> _Cue | None:
    at = _CUE.search(block)
    if at is None:
        return None
    said = _TAG.sub(" ", block[at.end() :].partition("\n")[2])
    hours, minutes, seconds, fraction = at.groups()
    video = ((int(hours or 0) * 60 + int(minutes)) * 60 + int(seconds)) * SECOND_US
    video += int((fraction or "0").ljust(3, "0")) * 1000
    lat, lon = _first(_LAT, said), _first(_LON, said)
    if lat != lat:  # noqa: PLR0124
        lat, lon = _by_hemisphere(said)
    pair = _GPS.search(said)
    is_pair = pair is not None and lat != lat  # noqa: PLR0124
    if is_pair and pair is not None:
        lon, lat = number_of(pair[1]), number_of(pair[2])
    relative, absolute = _height_m(_REL, said), _height_m(_ABS, said)
    if absolute != absolute and relative != relative:  # noqa: PLR0124
        absolute = _height_m(_ALT, said)
    clock, of_day = _CLOCK.search(said), _OF_DAY.search(said)
    return _Cue(
        line,
        video,
        lat,
        lon,
        is_pair,
        relative,
        absolute,
        "" if clock is None else _iso(clock),
        -1 if of_day is None else _us_of_day(of_day),
    )


def _first(pattern: re.Pattern[str], text: str) -> float:
    found = pattern.search(text)
    return NAN if found is None else number_of(found[1])


def _by_hemisphere(text: str) -> tuple[float, float]:
    """Latitude and longitude that say north or south, east or west; missing where the text has none."""
    found = _HEMISPHERES.search(text)
    if found is None:
        return NAN, NAN
    south = (found[1] or found[4]) == "S"
    west = (found[5] or found[8]) == "W"
    lat, lon = number_of(found[2] or found[3]), number_of(found[6] or found[7])
    return -lat if south else lat, -lon if west else lon


def _height_m(pattern: re.Pattern[str], text: str) -> float:
    """A height in meters; missing where its unit is none we know."""
    found = pattern.search(text)
    return NAN if found is None else number_of(found[1]) * _M.get((found[2] or "").lower(), NAN)


def _iso(found: re.Match[str]) -> str:
    """The clock as ISO 8601, with UTC or the offset that the text says."""
    before, year, month, day, hour, minute, second, fraction, after = found.groups()
    offset = after if after and after[0] in "+-" else "Z" if before or after else ""
    whole = f"{year}-{int(month):02}-{int(day):02}T{int(hour):02}:{minute}:{second}"
    return f"{whole}.{fraction.ljust(3, '0')}{offset}" if fraction else f"{whole}{offset}"


def _us_of_day(found: re.Match[str]) -> int:
    hour, minute, second, fraction = found.groups()
    us = ((int(hour) * 60 + int(minute)) * 60 + int(second)) * SECOND_US
    return us + int((fraction or "0").ljust(3, "0")) * 1000


def _samples(cues: list[_Cue], answers: LogAnswers) -> Samples:
    row = np.array([cue.line for cue in cues], dtype=np.int64)
    times = _times(cues, row, answers)
    heights = {
        datum: np.array(values)
        for datum, values in (
            (HeightDatum.TAKEOFF, [cue.relative for cue in cues]),
            (HeightDatum.UNKNOWN, [cue.unnamed for cue in cues]),
        )
        if any(value == value for value in values)  # noqa: PLR0124
    }
    return Samples(
        clock_us=times.clock_us,
        timed=times.timed,
        time_from=times.time_from,
        utc_less_clock_us=times.utc_less_clock_us,
        lat_deg=np.array([cue.lat for cue in cues]),
        lon_deg=np.array([cue.lon for cue in cues]),
        row=row,
        heights_m=heights,
        segment=_video_us(cues)[1] if times.time_from is TimeSource.VIDEO else None,
        problems=times.problems,
    )


def _times(cues: list[_Cue], row: NDArray[np.int64], answers: LogAnswers) -> TextTimes:
    """The clock in the texts where all have one, with the day it has or that was told; else the time in the video."""
    read = read_times([cue.clock for cue in cues])
    if (read.local | read.utc).all():
        return clock_of(read, row, answers.zone)
    of_day = np.array([cue.of_day for cue in cues], dtype=np.int64)
    if (of_day >= 0).all() and answers.day is not None:
        every = np.ones(len(row), dtype=np.bool_)
        local = read._replace(us=past_midnight(of_day) + day_us(answers.day), local=every, unread=~every)
        return clock_of(local, row, answers.zone)
    video, part = _video_us(cues)
    problems = [TrackProblem(TrackFault.NO_DATE, len(row))]
    if part[-1]:
        problems.append(TrackProblem(TrackFault.VIDEO_RESTARTED, int(part[-1])))
    return TextTimes(video, np.ones(len(row), dtype=np.bool_), TimeSource.VIDEO, None, tuple(problems))


def _video_us(cues: list[_Cue]) -> tuple[NDArray[np.int64], NDArray[np.int32]]:
    """The time in the video, and which of several videos one behind the other it is; each begins a second after the last."""
    video = np.array([cue.video_us for cue in cues], dtype=np.int64)
    back = np.diff(video, prepend=video[:1])
    begins = back < -SECOND_US
    shift = np.where(begins, SECOND_US - back, 0)
    return video + np.cumsum(shift), np.cumsum(begins).astype(np.int32)
