"""A log read in a process of its own is the same reading."""

from __future__ import annotations

from dataclasses import fields, replace
from pathlib import Path

import numpy as np
import pytest

from airwrit.answers.flown_log import reading_of_log
from airwrit.base.errors import UnreadableFile, UsageError
from airwrit.tracks.reading import read_track
from tests.unit.tracks.logs import ANSWERS

GPX = (
    '<gpx><trk><trkseg><trkpt lat="44.2" lon="-71.3"><ele>3</ele><time>2026-06-01T12:00:00</time></trkpt>'
    "</trkseg></trk></gpx>"
)


def test_the_reading_comes_back_whole(tmp_path: Path) -> None:
    path = tmp_path / "flight.txt"
    path.write_text(GPX)
    here, there = read_track(path, ANSWERS), reading_of_log(path, ANSWERS)
    assert there[1:] == here[1:]
    for one in fields(here.tracks[0]):
        ours, theirs = (getattr(reading.tracks[0], one.name) for reading in (here, there))
        np.testing.assert_equal(theirs, ours)


def test_a_mapping_and_questions_come_back(tmp_path: Path) -> None:
    path = tmp_path / "flight.csv"
    path.write_text("time,lat,lon,alt\n2026-06-01T12:00:00Z,44.2,-71.3,3\n")
    here, there = read_track(path, ANSWERS), reading_of_log(path, ANSWERS)
    assert there == here
    assert there.questions


def test_refusals_come_back(tmp_path: Path) -> None:
    path = tmp_path / "flight.gpx"
    path.write_text("<gpx/>")
    with pytest.raises(UnreadableFile, match="no points"):
        reading_of_log(path, ANSWERS)
    path.write_text(GPX)
    with pytest.raises(UsageError, match="no time zone"):
        reading_of_log(path, replace(ANSWERS, zone="Nowhere/Town"))
    with pytest.raises(UnreadableFile, match="can't be opened"):
        reading_of_log(tmp_path / "none.gpx", ANSWERS)
