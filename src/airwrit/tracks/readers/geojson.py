"""GeoJSON with a time for each place: `coordTimes`, `coordinateProperties` with `times`, or points that have a time each.

Source: RFC 7946; the times are a convention beside it. The third number should be height above the ellipsoid, but most writers
put there what their source had, so it goes as not named. A number is the time since 1970 in seconds, milliseconds or
microseconds: only one of them gives a date from 2001 to 2286. A number that gives none is no time. Points count only where no
line has times. Lists of unequal length do not pair up: that feature is left out.
"""

from __future__ import annotations

import json
import re
from datetime import UTC, datetime
from typing import Any, BinaryIO, NamedTuple

import numpy as np

from airwrit.tracks.faults import TrackFault
from airwrit.tracks.readers.numbers import NAN
from airwrit.tracks.readers.reading import LogAnswers, LogFile, Reading
from airwrit.tracks.readers.samples import Samples, track_of
from airwrit.tracks.readers.serials import named_serials
from airwrit.tracks.readers.text_times import clock_of, read_times
from airwrit.tracks.track import HeightDatum, Track, TrackProblem

_BROKEN = (json.JSONDecodeError, UnicodeDecodeError, RecursionError, ValueError)


_PLAIN = re.compile(r"-?\d{1,17}(\.\d{1,9})?")
_EPOCH_S = (1e9, 1e10)
"""Seconds since 1970 of ten digits, September 2001 to November 2286; a thousand times as many are milliseconds."""
_NO_DATE = "?"
"""What can't be read as a time; it is counted."""
_LINES = ("LineString", "MultiPoint", "MultiLineString")
_POINT_TIMES = ("time", "timestamp", "datetime")
"""What writers call the time of a point."""


class _Line(NamedTuple):
    """The coordinates and times of one feature, a list for each of its lines."""

    coordinates: list[Any]
    times: list[Any]


def read_geojson(file: BinaryIO, log: LogFile, answers: LogAnswers) -> Reading:
    """The tracks of a document. UnreadableFile where no line has times."""
    try:
        told = _document(file.read().decode("utf-8-sig"))
    except _BROKEN as fault:
        raise log.refused(f"the JSON is damaged ({type(fault).__name__})") from None
    tracks: list[Track] = []
    problems: list[TrackProblem] = []
    for at, feature in enumerate(_features(told)):
        lines, wrong = _lines(feature)
        if wrong is not None:
            problems.append(wrong._replace(first_row=at))
        track = _track(lines, _serials(feature), log, answers) if lines else None
        tracks += [] if track is None else [track]
    if not tracks:
        tracks = _of_points(_features(told), log, answers)
        problems = [one for one in problems if one.code != TrackFault.NOT_A_TRACK] if tracks else problems
    if not tracks:
        first = problems[0].detail if problems else ""
        raise log.refused(
            f"the GeoJSON has no line with a time for each point, and no points with times {first}".rstrip()
        )
    return Reading(tuple(tracks), tuple(problems))


def _document(text: str) -> Any:
    """The document; of a sequence, with a feature on each line (RFC 8142, or without its sign), a collection of them."""
    lines = text.replace("\x1e", "").splitlines()
    try:
        return json.loads(text.lstrip("\x1e"))
    except json.JSONDecodeError:
        if len(lines) < 2:
            raise
    return {"features": [json.loads(line) for line in lines if line.strip()]}


def _of_points(features: list[dict[str, Any]], log: LogFile, answers: LogAnswers) -> list[Track]:
    """The track of the points that have a time of their own, in order; none where fewer than two have one."""
    places, times, serials = list[Any](), list[Any](), list[str]()
    for feature in features:
        geometry, properties = feature.get("geometry"), feature.get("properties")
        if not isinstance(geometry, dict) or not isinstance(properties, dict):
            continue
        said = {key.lower(): one for key, one in properties.items()}
        time = next((said[key] for key in _POINT_TIMES if key in said), None)
        if geometry.get("type") == "Point" and time is not None:
            places.append(geometry.get("coordinates"))
            times.append(time)
            serials += _serials(feature)
    if len(places) < 2:
        return []
    track = _track([_Line(places, times)], tuple(dict.fromkeys(serials)), log, answers)
    return [] if track is None else [track]


def _features(told: Any) -> list[dict[str, Any]]:
    found = told.get("features", [told]) if isinstance(told, dict) else []
    return [one for one in found if isinstance(one, dict)] if isinstance(found, list) else []


def _lines(feature: dict[str, Any]) -> tuple[list[_Line], TrackProblem | None]:
    """The lines of a feature with as many times as points, or why there are none."""
    geometry = feature.get("geometry")
    kind = geometry.get("type") if isinstance(geometry, dict) else None
    if not isinstance(geometry, dict) or kind not in _LINES:
        return [], TrackProblem(TrackFault.NOT_A_TRACK, 1)
    coordinates, times = geometry.get("coordinates"), _times(feature.get("properties"))
    if kind != "MultiLineString":
        coordinates, times = [coordinates], [times]
    if not isinstance(coordinates, list) or not isinstance(times, list) or times == [None]:
        return [], TrackProblem(TrackFault.NO_TIME, 1)
    counts = [len(one) if isinstance(one, list) else 0 for one in coordinates]
    told = [len(one) if isinstance(one, list) else 0 for one in times]
    if counts != told:
        return [], TrackProblem(TrackFault.LENGTHS_DIFFER, 1, -1, f"{sum(told)} times, {sum(counts)} places")
    return [_Line(line, of) for line, of in zip(coordinates, times, strict=True) if line], None


def _times(properties: Any) -> Any:
    if not isinstance(properties, dict):
        return None
    newer = properties.get("coordinateProperties")
    told = newer.get("times") if isinstance(newer, dict) else None
    return properties.get("coordTimes", properties.get("times")) if told is None else told


def _serials(feature: dict[str, Any]) -> tuple[str, ...]:
    """The serial numbers among the properties."""
    told = feature.get("properties")
    return named_serials(told) if isinstance(told, dict) else ()


def _track(lines: list[_Line], serials: tuple[str, ...], log: LogFile, answers: LogAnswers) -> Track | None:
    points = np.array([_point(one) for line in lines for one in line.coordinates], dtype=np.float64)
    row = np.arange(1, len(points) + 1, dtype=np.int64)
    if not len(points):
        return None
    times = clock_of(read_times([_text(one) for line in lines for one in line.times]), row, answers.zone)
    samples = Samples(
        clock_us=times.clock_us,
        timed=times.timed,
        time_from=times.time_from,
        utc_less_clock_us=times.utc_less_clock_us,
        lat_deg=points[:, 1],
        lon_deg=points[:, 0],
        row=row,
        heights_m={HeightDatum.UNKNOWN: points[:, 2]},
        segment=np.repeat(np.arange(len(lines), dtype=np.int32), [len(line.coordinates) for line in lines]),
        serials=serials,
        problems=times.problems,
    )
    return track_of(samples, log, answers)


def _point(told: Any) -> list[float]:
    parts = told if isinstance(told, list) else []
    numbers = [_number(one) for one in parts[:3]]
    return numbers + [NAN] * (3 - len(numbers))


def _number(told: Any) -> float:
    if isinstance(told, bool) or not isinstance(told, int | float):
        return NAN
    return float(told) if abs(told) < 1e300 else NAN


def _text(told: Any) -> str:
    """A time as text; a number, also as text, is the time since 1970 in the one unit that gives a date."""
    if isinstance(told, str) and not _PLAIN.fullmatch(told.strip()):
        return told
    value = float(told) if isinstance(told, str) else _number(told)
    for per_second in (1, 1_000, 1_000_000):
        if _EPOCH_S[0] <= value / per_second < _EPOCH_S[1]:
            return datetime.fromtimestamp(value / per_second, UTC).isoformat()
    return _NO_DATE
