"""What is damaged is kept and treated as the most restrictive, or named as having no place; files of no use are refused."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from airwrit.airspace.edition import Edition
from airwrit.airspace.kinds import AreaKind
from airwrit.airspace.limits import OPEN, HeightLimit, Reference
from airwrit.airspace.problems import FeatureFault
from airwrit.airspace.reading import read_edition
from airwrit.airspace.store import as_bytes, check_whole, from_file
from airwrit.base.errors import UnreadableFile, UsageError
from airwrit.base.places import Place
from airwrit.geo.fixed import DEGREE, TURN, FixedBox
from airwrit.geo.footprint import box_of_footprint, holds_point, within_of
from tests.unit.airspace.features import SIDE, cell, feature, square, volume, written

ON = date(2026, 10, 29)
INSIDE = Place(36 + SIDE / 2, -80 + SIDE / 2)


def read(tmp_path: Path, *features: dict[str, Any], kind: AreaKind | None = None) -> Edition:
    """The edition of a file of features."""
    return read_edition([written(tmp_path / "a.geojson", *features)], kind, None, ON)


@pytest.mark.parametrize(
    ("number", "fields", "fault"),
    [
        (None, {}, FeatureFault.NUMBER),
        ("", {}, FeatureFault.NUMBER),
        (425, {}, FeatureFault.NUMBER),
        (-50, {}, FeatureFault.NUMBER),
        (500, {}, FeatureFault.NUMBER),
        (True, {}, FeatureFault.NUMBER),
        (200, {"UNIT": None}, FeatureFault.UNIT),
        (200, {"UNIT": "Meters"}, FeatureFault.UNIT),
    ],
)
def test_a_cell_without_a_usable_number_counts_as_zero(
    tmp_path: Path, number: Any, fields: dict[str, Any], fault: FeatureFault
) -> None:
    edition = read(tmp_path, cell(200, 3, 3), cell(number, 0, 0, **fields))
    assert [problem.fault for problem in edition.problems] == [fault]
    assert [area.number_ft for area in edition.areas.facts] == [0]
    assert (
        next(iter(edition.areas.near(box_of_footprint(within_of([INSIDE], 0))))).facts.problems[0].fault
        is fault
    )


def test_cells_off_the_grid_are_polygons_with_their_number(tmp_path: Path) -> None:
    fields = {"CEILING": 100, "UNIT": "Feet"}
    edition = read(tmp_path, feature(fields, square(36.001, -80)), feature(fields, square(36, -80, 2 * SIDE)))
    assert (len(edition.grid.keys), edition.problems) == (0, ())
    assert [area.number_ft for area in edition.areas.facts] == [100, 100]


def test_a_cell_told_twice_has_the_lower_number(tmp_path: Path) -> None:
    edition = read(tmp_path, cell(300, 0, 0), cell(100, 0, 0))
    assert edition.grid.touched(within_of([INSIDE], 0)) == [100]
    assert [problem.fault for problem in edition.problems] == [FeatureFault.TWO_NUMBERS]


def test_other_names_of_fields_are_known_and_none_is_refused(tmp_path: Path) -> None:
    edition = read(tmp_path, cell(300, 0, 0, MAP_EFF_DT=1788393600000), kind=AreaKind.GRID)
    assert len(edition.grid.keys) == 1
    with pytest.raises(UnreadableFile, match=r"no field named CEILING."):
        read(tmp_path, feature({"HEIGHT": 100}, square(36, -80)), kind=AreaKind.GRID)


def test_a_map_that_is_not_yet_in_effect_is_refused(tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="takes effect 2026-12-24,"):
        read(tmp_path, cell(300, 0, 0, MAP_EFF="12/24/2026"))


@pytest.mark.parametrize(
    ("ring", "fault"),
    [
        ([], FeatureFault.NO_PLACE),
        ([[latitude, longitude] for longitude, latitude in square(36, -80)], FeatureFault.SWAPPED),
        ([[latitude, longitude] for longitude, latitude in square(36, -100)], FeatureFault.SWAPPED),
        ([["a", "b"]], FeatureFault.NO_PLACE),
        ([[1e400, 3]], FeatureFault.NO_PLACE),
        ([[-80, 36, 5], [-80]], FeatureFault.NO_PLACE),
        ([[-80, 95], [170, 95], [-80, 96], [-80, 95]], FeatureFault.OFF_THE_EARTH),
    ],
)
def test_a_feature_without_a_usable_place_is_named(tmp_path: Path, ring: Any, fault: FeatureFault) -> None:
    path = written(tmp_path / "a.geojson", feature({"CEILING": 100, "UNIT": "Feet"}, ring))
    path.write_text(path.read_text().replace("Infinity", "1e400"))
    edition = read_edition([path], AreaKind.GRID, None, ON)
    assert [problem.fault for problem in edition.problems] == [fault]
    assert edition.problems[0].feature == "a.geojson feature 1"
    assert edition.has_gaps


def test_a_middle_outside_the_outline_is_no_place(tmp_path: Path) -> None:
    edition = read(tmp_path, cell(100, 0, 0, LATITUDE=36.5, LONGITUDE=-80.0))
    assert [problem.fault for problem in edition.problems] == [FeatureFault.OTHER_PLACE]


def test_a_damaged_outline_counts_as_its_box(tmp_path: Path) -> None:
    bow = [[-80.0, 36.0], [-79.9, 36.1], [-79.9, 36.0], [-80.0, 36.11], [-80.0, 36.0]]
    edition = read(tmp_path, volume() | {"geometry": {"type": "Polygon", "coordinates": [bow]}})
    assert edition.problems[0].detail == "crosses_itself"
    (area,) = edition.areas.near(box_of_footprint(within_of([Place(36.09, -79.95)], 0)))
    assert holds_point(area.footprints[0], Place(36.1, -79.91))


@pytest.mark.parametrize(
    ("fields", "fault", "floor", "ceiling"),
    [
        ({"LOWER_VAL": None}, FeatureFault.NUMBER, OPEN, HeightLimit(2500, Reference.SEA)),
        ({"LOWER_VAL": "-9998"}, FeatureFault.NUMBER, OPEN, HeightLimit(2500, Reference.SEA)),
        (
            {"LOWER_VAL": "700", "LOWER_CODE": "AGL", "LOWER_UOM": ""},
            FeatureFault.UNIT,
            OPEN,
            HeightLimit(2500, Reference.SEA),
        ),
        (
            {"LOWER_VAL": "700", "LOWER_CODE": "QFE"},
            FeatureFault.REFERENCE,
            OPEN,
            HeightLimit(2500, Reference.SEA),
        ),
        (
            {"LOWER_VAL": "700", "LOWER_CODE": "SFC"},
            FeatureFault.REFERENCE,
            OPEN,
            HeightLimit(2500, Reference.SEA),
        ),
        ({"UPPER_VAL": "UNL"}, FeatureFault.NUMBER, HeightLimit(0, Reference.GROUND), OPEN),
        ({"LOWER_VAL": "3000", "LOWER_CODE": "MSL"}, FeatureFault.FLOOR_ABOVE_CEILING, OPEN, OPEN),
    ],
)
def test_a_limit_that_cant_be_read_is_open(
    tmp_path: Path, fields: dict[str, Any], fault: FeatureFault, floor: HeightLimit, ceiling: HeightLimit
) -> None:
    edition = read(tmp_path, volume(**fields))
    (area,) = edition.areas.facts
    assert [problem.fault for problem in area.problems] == [fault]
    assert (area.floor, area.ceiling) == (floor, ceiling)


def test_flight_levels_and_hours_are_kept_as_written(tmp_path: Path) -> None:
    told = {
        "UPPER_VAL": "180",
        "UPPER_UOM": "FL",
        "UPPER_CODE": "STD",
        "TIMESOFUSE": "0800 - 2200,\x1b DAILY",
    }
    (area,) = read(tmp_path, volume(**told)).areas.facts
    assert (area.ceiling, area.hours) == (HeightLimit(18000, Reference.PRESSURE), "0800 - 2200, DAILY")


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "couldn.t read"),
        ("[]", "couldn.t read"),
        ('{"type": "FeatureCollection"}', "a GeoJSON FeatureCollection."),
        ('{"type": "FeatureCollection", "features": [{"a": 1},]}', "couldn.t read"),
        ('{"type": "FeatureCollection", "features": [{"a": NaN}]}', "couldn.t read"),
        ('{"type": "FeatureCollection", "features": [' + "[" * 100_000, "couldn.t read"),
        ('{"type": "FeatureCollection", "crs": {"name": "EPSG:3857"}, "features": []}', "aren't WGS"),
    ],
)
def test_a_file_of_no_use_is_refused(tmp_path: Path, text: str, why: str) -> None:
    path = tmp_path / "a.geojson"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(UnreadableFile, match=why):
        read_edition([path], AreaKind.GRID, None, ON)


def test_a_download_cut_short_or_empty_leaves_the_edition_unsure(tmp_path: Path) -> None:
    first = written(tmp_path / "a.geojson", cell(100, 0, 0), properties={"exceededTransferLimit": True})
    last = written(tmp_path / "b.geojson", cell(100, 1, 0))
    assert read_edition([first], None, None, ON).problems[0].fault is FeatureFault.CUT_SHORT
    assert read_edition([first, last], None, None, ON).problems == ()
    assert read_edition([written(tmp_path / "c.geojson")], AreaKind.GRID, None, ON).has_gaps


def test_an_edition_comes_back_from_its_file_as_it_was(tmp_path: Path) -> None:
    edition = read(tmp_path, volume(), volume(LOWER_VAL=None), feature({}), kind=AreaKind.CLASS)
    path = tmp_path / "kept"
    path.write_bytes(as_bytes(edition))
    back = from_file(path)
    assert as_bytes(back) == as_bytes(edition)
    assert (back.areas.facts, back.problems, back.sources) == (
        edition.areas.facts,
        edition.problems,
        edition.sources,
    )
    check_whole(path)
    path.write_bytes(path.read_bytes()[:-200])
    with pytest.raises(UnreadableFile, match=r"damaged, or another version"):
        from_file(path)


@pytest.mark.parametrize("least", [0, 16_000_000])
def test_a_byte_that_is_another_is_found_and_the_file_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, least: int
) -> None:
    """Small tables when the file is opened, large ones area by area, and everything when it is read whole."""
    monkeypatch.setattr("airwrit.airspace.store._CHECKED_AT_ONCE", least)
    edition = read(tmp_path, volume(), volume(NAME="OTHER"), kind=AreaKind.CLASS)
    whole = as_bytes(edition)
    path = tmp_path / "kept.airspace"
    start = whole.index(edition.areas.points.tobytes())
    for at in (0, 17, 21, 60, start, whole.index(b"OTHER"), whole.rindex(b"INVENTED")):
        path.write_bytes(whole[:at] + bytes([whole[at] ^ 1]) + whole[at + 1 :])
        with pytest.raises(UnreadableFile, match=r"damaged") as found:
            check_whole(path)
        assert "kept.airspace" in found.value.where
    path.write_bytes(whole.replace(b"OTHER", b"0THER"))
    with pytest.raises(UnreadableFile, match=r"damaged"):
        list(from_file(path).areas.near(FixedBox(-DEGREE * 90, DEGREE * 90, -TURN, TURN)))


def test_a_file_of_the_form_before_sums_is_still_read(tmp_path: Path) -> None:
    edition = read(tmp_path, volume(), kind=AreaKind.CLASS)
    whole = as_bytes(edition)
    length = int.from_bytes(whole[16:20], "little")
    head = json.loads(whole[24 : 24 + length])
    head["form"] = 2
    del head["sha256"], head["tables"]["sums"]
    head["tables"] = {name: told[:3] for name, told in head["tables"].items()}
    told = json.dumps(head).encode().ljust(length)
    path = tmp_path / "kept"
    path.write_bytes(whole[:16] + length.to_bytes(8, "little") + told + whole[24 + length :])
    back = from_file(path)
    assert (back.areas.facts, back.sha256) == (edition.areas.facts, "")
    assert [area.facts.name for area in map(back.areas.area, range(len(back.areas)))] == ["INVENTED CLASS D"]
    check_whole(path)


def test_a_giant_file_is_refused_unread(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = written(tmp_path / "a.geojson", cell(100, 0, 0))
    monkeypatch.setattr("airwrit.airspace.readers.files.MOST_BYTES", 100)
    with pytest.raises(UnreadableFile, match="larger than"):
        read_edition([path], AreaKind.GRID, None, ON)


def test_volumes_told_twice_are_both_kept(tmp_path: Path) -> None:
    read_twice = read(tmp_path, volume(), volume(), volume(NAME="OTHER"))
    assert [area.name for area in read_twice.areas.facts] == ["INVENTED CLASS D", "INVENTED CLASS D", "OTHER"]
