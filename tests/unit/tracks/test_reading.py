"""Each kind of bad log for each format: read with its problems told, or refused by name. Every log is synthetic.

The seeds are those of reliability/damaged_logs.py. A short run of it is here; docs/reliability.md tells of the long one.
"""

from __future__ import annotations

import importlib
from pathlib import Path

import pytest

from airwrit.base.errors import UnreadableFile
from airwrit.tracks.readers.reading import Reading
from airwrit.tracks.reading import read_track

SEEDS = ("gpx", "kml", "kmz", "geojson", "subtitles", "csv", "dataflash", "ulog", "telemetry")
BINARY = ("dataflash", "ulog", "telemetry")


@pytest.fixture(scope="module")
def seeds() -> dict[str, bytes]:
    with pytest.MonkeyPatch.context() as patch:
        patch.syspath_prepend(Path(__file__).parents[3] / "reliability")
        found: dict[str, bytes] = importlib.import_module("damaged_logs").seeds()
    return found


def outcome(path: Path) -> Reading | str:
    """What is read of a file; of one that is refused what its person is told."""
    damaged = importlib.import_module("damaged_logs")
    try:
        return read_track(path, damaged.ANSWERS)
    except UnreadableFile as fault:
        return fault.says


def kept(folder: Path, data: bytes, name: str = "log") -> Path:
    path = folder / name
    path.write_bytes(data)
    return path


def rows_and_problems(found: Reading) -> tuple[int, set[str]]:
    problems = {str(one.code) for one in found.problems}
    problems |= {str(one.code) for track in found.tracks for one in track.problems}
    return sum(len(track.row) for track in found.tracks), problems


@pytest.mark.parametrize("name", SEEDS)
def test_a_log_cut_in_half_is_told_or_refused(
    seeds: dict[str, bytes], tmp_path: Path, name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    whole, _ = rows_and_problems(_reading(kept(tmp_path, seeds[name], "whole")))
    found = outcome(kept(tmp_path, seeds[name][: len(seeds[name]) // 2 + 3], "half"))
    if isinstance(found, str):
        assert name in {"kmz", "geojson", "kml"}, found
        assert found[0].isupper()
    else:
        rows, problems = rows_and_problems(found)
        assert 0 < rows < whole
        assert name in {"csv", "subtitles"} or problems & {"cut_short", "damaged"}, problems
    assert capsys.readouterr() == ("", "")


@pytest.mark.parametrize("name", SEEDS)
def test_what_stands_behind_the_end_takes_nothing_away(
    seeds: dict[str, bytes], tmp_path: Path, name: str
) -> None:
    whole, _ = rows_and_problems(_reading(kept(tmp_path, seeds[name], "whole")))
    found = outcome(kept(tmp_path, seeds[name] + b"\n\x07junk\x00junk" * 9, "appended"))
    if isinstance(found, str):
        assert name in {"geojson", "gpx", "kml", "kmz", "csv", "subtitles"}, found
    else:
        rows, problems = rows_and_problems(found)
        assert rows == whole
        assert name not in BINARY or problems & {"damaged", "cut_short"}, problems


@pytest.mark.parametrize("name", SEEDS)
def test_bytes_broken_in_the_middle_are_told_or_refused(
    seeds: dict[str, bytes], tmp_path: Path, name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    data = bytearray(seeds[name])
    middle = len(data) // 2
    data[middle : middle + 12] = b"\xff\x00\x13\xff\xfe\xff<\x01\xff\x02\xff\xff"
    found = outcome(kept(tmp_path, bytes(data), "broken"))
    if not isinstance(found, str):
        whole, _ = rows_and_problems(_reading(kept(tmp_path, seeds[name], "whole")))
        rows, problems = rows_and_problems(found)
        no_checksum = name == "ulog"  # a value that was changed there can be told by nothing but its size
        assert rows < whole or problems or no_checksum
    assert capsys.readouterr() == ("", "")


@pytest.mark.parametrize("name", SEEDS)
@pytest.mark.parametrize("ending", ["log.txt", "log.bin", "log.gpx", "log.jpg"])
def test_the_ending_of_a_name_tells_nothing(
    seeds: dict[str, bytes], tmp_path: Path, name: str, ending: str
) -> None:
    format_ = {track.format for track in _reading(kept(tmp_path, seeds[name], ending)).tracks}
    expected = {"kmz": "kml", "telemetry": "mavlink_telemetry"}.get(name, name)
    assert {str(one) for one in format_} == {expected}


@pytest.mark.parametrize("name", [name for name in SEEDS if name != "kmz"])
def test_three_gigabytes_are_refused_unread(seeds: dict[str, bytes], tmp_path: Path, name: str) -> None:
    many = 1 if name in BINARY else 70_000 // len(seeds[name]) + 1
    path = kept(tmp_path, seeds[name] * many)
    with path.open("r+b") as file:
        file.truncate(3_000_000_000)
    said = outcome(path)
    assert isinstance(said, str)
    assert said.startswith("The log is 3,000 MB. We read up to")


@pytest.mark.parametrize(
    ("name", "was", "says"),
    [
        ("gpx", b"<time>", "no point in the file has a time"),
        ("kml", b"<when>", "time"),
        ("geojson", b"coordTimes", "no line with a time"),
        ("gpx", b"<trkpt", "no points"),
        ("kml", b"<gx:coord>", ""),
        ("subtitles", b"latitude", "no latitude and longitude"),
        ("ulog", b"vehicle_gps_position", "no aircraft position"),
        ("dataflash", b"GPS", "no aircraft position"),
    ],
)
def test_a_log_without_times_or_places_is_refused_by_what_it_lacks(
    seeds: dict[str, bytes], tmp_path: Path, name: str, was: bytes, says: str
) -> None:
    other = b"x" * len(was) if was[:1] != b"<" else was.replace(was.strip(b"<>").rpartition(b":")[2], b"none")
    data = seeds[name].replace(was, other)
    closing = was.replace(b"<", b"</")
    data = data.replace(closing, other.replace(b"<", b"</")) if was[:1] == b"<" else data
    said = outcome(kept(tmp_path, data))
    assert isinstance(said, str), said
    assert says.casefold() in said.casefold()


@pytest.mark.parametrize("root", ["gpx", "kml"])
def test_entities_are_never_unfolded(tmp_path: Path, root: str) -> None:
    """The known bomb: each entity is ten of the one before."""
    entities = '<!ENTITY a "aaaaaaaaaa">' + "".join(
        f'<!ENTITY {name} "{f"&{before};" * 10}">'
        for before, name in zip("abcdefgh", "bcdefghi", strict=True)
    )
    said = outcome(
        kept(tmp_path, f"<?xml version='1.0'?><!DOCTYPE x [{entities}]><{root}>&i;</{root}>".encode())
    )
    assert isinstance(said, str)
    assert "document type" in said


def _reading(path: Path) -> Reading:
    found = outcome(path)
    assert isinstance(found, Reading), found
    return found


def test_damaged_logs_are_read_or_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.syspath_prepend(Path(__file__).parents[3] / "reliability")
    _, counts, wrong = importlib.import_module("damaged_logs").run(800, 7)
    assert wrong == []
    assert sum(counts.values()) == 800
    read = {name.split()[0] for name in counts if name.endswith("read")}
    assert read >= {"csv", "dataflash", "geojson", "gpx", "kml", "subtitles", "telemetry", "ulog"}


def test_a_stopped_run_goes_on_where_it_was(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.syspath_prepend(Path(__file__).parents[3] / "reliability")
    damaged_logs = importlib.import_module("damaged_logs")
    monkeypatch.setattr(damaged_logs, "KEPT_EACH", 20)
    whole = damaged_logs.run(60, 7)
    damaged_logs.run(40, 7, tmp_path / "kept.json")
    assert damaged_logs.run(60, 7, tmp_path / "kept.json") == whole
