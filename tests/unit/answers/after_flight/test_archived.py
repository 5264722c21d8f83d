"""An archive of tracks checked: with and without records, on one core and on two, stopped and gone on with, by month."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from airwrit.airspace.kinds import AreaKind
from airwrit.airspace.shelf import shelve
from airwrit.answers.after_flight import archived
from airwrit.answers.after_flight.archived import (
    ArchiveQuestion,
    ResultsKept,
    lines_of_archive,
    results_in,
)
from airwrit.answers.after_flight.many import FlightLine, line_of
from airwrit.answers.after_flight.question import FlownFolders
from airwrit.answers.airspace.typed_area import TypedArea, edition_typed
from airwrit.answers.before_flight.program import Program
from airwrit.tracks.archive import groups_in, keep_tracks, tracks_in
from airwrit.tracks.track import Track
from tests.unit.answers.after_flight.asking import ASKED, KNOWN_AT, answered
from tests.unit.answers.before_flight.planning import PROGRAM
from tests.unit.answers.told import known_of
from tests.unit.tracks.made import STARTS, bump, made

BARE = ASKED._replace(aircraft="", pilot="")
RECORDS = Program(known_of(PROGRAM), KNOWN_AT)


def flight(number: int, peak_m: float = 60.0, starts: datetime = STARTS) -> Track:
    return replace(
        made(bump(60, 500, peak_m, 60), starts=starts), name=f"Fern 1/{number}.gpx", digest=f"{number:064x}"
    )


def flights() -> list[Track]:
    july = STARTS + timedelta(days=30)
    return [flight(1), flight(2, 180.0), flight(3, starts=july), flight(4, 180.0, july + timedelta(hours=13))]


@pytest.fixture
def archive(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Four flights of two months, a row group each."""
    monkeypatch.setattr("airwrit.tracks.archive._GROUP_SAMPLES", 100)
    keep_tracks(tmp_path / "all.parquet", flights())
    return tmp_path / "all.parquet"


def by_log(lines: Iterator[FlightLine]) -> dict[str, FlightLine]:
    return {one.log: one for one in lines}


def test_with_records_an_archive_answers_as_the_logs_do(archive: Path) -> None:
    """The aircraft comes from the folder; the answer is that of the log, to the last figure."""
    question = ArchiveQuestion(RECORDS, ASKED._replace(aircraft=""), FlownFolders())
    found = by_log(lines_of_archive([archive], question))
    kept = [track for group in groups_in(archive) for track in tracks_in(group)]
    for track in kept:
        assert found[track.name] == line_of(answered(track, ASKED._replace(by_name=True)))
    assert found["Fern 1/2.gpx"].verdicts["height_limit"] == "not_met"
    assert found["Fern 1/1.gpx"].verdicts["aircraft"] == "met"
    assert found["Fern 1/4.gpx"].verdicts["night_lights"] == "unknown"


def test_without_records_only_the_arrays_are_looked_at(archive: Path) -> None:
    found = by_log(lines_of_archive([archive], ArchiveQuestion(None, BARE, FlownFolders())))
    assert [one.past for one in found.values()] == [0, 1, 0, 1]
    assert found["Fern 1/2.gpx"].over == pytest.approx(180 / 121.92 - 1, abs=1e-3)
    for name, verdict in (("3", "not_applicable"), ("4", "unknown")):
        assert found[f"Fern 1/{name}.gpx"].verdicts["night_lights"] == verdict
    assert {one.verdicts["authority_controlled_airspace"] for one in found.values()} == {"unknown"}
    assert found == by_log(lines_of_archive([archive], ArchiveQuestion(None, BARE, FlownFolders(), 2)))


def test_remote_id_and_identification_areas(tmp_path: Path) -> None:
    on = np.ones(601, dtype=np.int8)
    off = on.copy()
    off[200:220] = 0
    tracks = [replace(flight(number), remote_id=told) for number, told in ((1, on), (2, off), (3, None))]
    keep_tracks(tmp_path / "a.parquet", tracks)

    def told(folders: FlownFolders) -> list[str]:
        found = lines_of_archive([tmp_path / "a.parquet"], ArchiveQuestion(None, BARE, folders))
        return [one.verdicts["standard_remote_id_not_disabled"] for one in found]

    assert told(FlownFolders()) == ["met", "unknown", "unknown"]
    area = TypedArea(AreaKind.FRIA, "Club field", "38.5, -98.5", date(2026, 6, 1), 3_000.0)
    shelve(tmp_path / "airspace", edition_typed(area))
    assert told(FlownFolders(tmp_path / "airspace")) == ["not_applicable", "unknown", "not_applicable"]


def test_results_are_kept_by_month_and_not_worked_out_again(
    archive: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(archived, "_EACH", 1)
    question, kept = ArchiveQuestion(None, BARE, FlownFolders()), ResultsKept(tmp_path, "asked")
    stopped = lines_of_archive([archive], question, kept)
    first = [next(stopped) for _ in range(3)]
    del stopped
    assert sorted(one.log for one in results_in(kept).values()) == ["Fern 1/1.gpx", "Fern 1/2.gpx"]
    checked: list[str] = []
    line = archived._line_of_arrays

    def counted(*told: object) -> FlightLine:
        made_line = line(*told)  # type: ignore[arg-type]
        checked.append(made_line.log)
        return made_line

    monkeypatch.setattr(archived, "_line_of_arrays", counted)
    whole = list(lines_of_archive([archive], question, kept))
    assert checked == ["Fern 1/3.gpx", "Fern 1/4.gpx"]
    assert whole[:3] == first
    months = sorted(path.name for path in (tmp_path / "results").iterdir())
    assert months == ["month=2026-06", "month=2026-07"]
    assert {one.sha256 for one in results_in(kept).values()} == {f"{number:064x}" for number in range(1, 5)}
    assert results_in(ResultsKept(tmp_path, "something else")) == {}
    assert list(lines_of_archive([archive], question, kept)) == whole
    assert len(checked) == 2


def test_the_light_of_a_flight_by_its_sun(archive: Path) -> None:
    """Ten minutes before sunset to ten minutes after, in the twilight of the rule; the sun alone doesn't tell it."""
    sunset = datetime(2026, 6, 11, 1, 57, tzinfo=UTC)
    keep_tracks(archive, [flight(1, starts=sunset - timedelta(minutes=5))])
    (found,) = lines_of_archive([archive], ArchiveQuestion(None, BARE, FlownFolders()))
    assert found.verdicts["twilight_lights"] == "unknown"
    assert found.verdicts["night_lights"] == "not_applicable"
