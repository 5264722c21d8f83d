"""Facility maps as GeoJSON may lawfully be written (RFC 7946) or as exports write them: read, or said as not read.

SYNTHETIC: the field names are the published ones, the features are invented. A cell that can't be read is never left out
in silence: its number is 0, or the edition is unsure and says which feature.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest

from airwrit.airspace.here import look_up
from airwrit.airspace.kinds import AreaKind
from airwrit.airspace.reading import read_edition
from airwrit.airspace.shelf import shelve
from airwrit.answers.airspace.question import TypedQuestion, asked_of
from airwrit.base.errors import UnreadableFile
from tests.unit.airspace.features import SIDE, cell, feature, square, written

ON = date(2026, 11, 25)
RING = square(36, -80)
CELL = cell(100, 0, 0)
TOLD = CELL["properties"]


def shaped(kind: str, coordinates: Any) -> dict[str, Any]:
    """The cell with another geometry."""
    return {**CELL, "geometry": {"type": kind, "coordinates": coordinates}}


MIDWAY = [round(-80 + SIDE, 8), round(36 + SIDE / 2, 8)]
READ = {
    "a third coordinate": shaped("Polygon", [[[*one, 12.5] for one in RING]]),
    "clockwise": shaped("Polygon", [RING[::-1]]),
    "begun at another corner": shaped("Polygon", [[*RING[2:], *RING[1:3]]]),
    "a polygon alone in a multipolygon": shaped("MultiPolygon", [[RING]]),
    "two polygons": shaped("MultiPolygon", [[RING], [square(36, -79.9)]]),
    "a corner in the middle of an edge": shaped("Polygon", [[*RING[:2], MIDWAY, *RING[2:]]]),
    "a corner twice": shaped("Polygon", [[RING[0], *RING]]),
    "fifteen decimals": shaped("Polygon", [[[one[0] + 1e-13, one[1] - 1e-13] for one in RING]]),
    "an id, a box and a member of its own": {**CELL, "id": 7, "bbox": [-80, 36, -79.99, 36.01], "made": "x"},
    "a number as text": cell("100", 0, 0),
    "a number with a point": cell(100.0, 0, 0),
    "lower case names": feature({name.lower(): value for name, value in TOLD.items()}, RING),
    "fields of its own": cell(100, 0, 0, OBJECTID=3, GLOBALID="{0}", Shape__Area=0.1),
}


def numbers(folder: Path, *features: dict[str, Any], **members: Any) -> tuple[list[int], int]:
    """The numbers at a place in the cell, and how many problems the edition has."""
    read = read_edition([written(folder / "a.geojson", *features, **members)], AreaKind.GRID, None, ON)
    shelve(folder / "airspace", read)
    here = look_up(folder / "airspace", asked_of(TypedQuestion("36.004, -79.996", ON, 200)))
    return sorted(set(here.numbers_ft)), len(read.problems)


@pytest.mark.parametrize("name", READ)
def test_what_is_odd_but_lawful_is_read(tmp_path: Path, name: str) -> None:
    assert numbers(tmp_path, READ[name]) == ([100], 0)


def test_a_reference_system_of_the_old_kind_changes_nothing(tmp_path: Path) -> None:
    crs = {"type": "name", "properties": {"name": "urn:ogc:def:crs:OGC:1.3:CRS84"}}
    assert numbers(tmp_path, CELL, crs=crs) == ([100], 0)


@pytest.mark.parametrize("number", [None, -100, "", "SEE NOTE", 100.5], ids=str)
def test_a_number_that_is_none_counts_as_zero_and_is_named(tmp_path: Path, number: Any) -> None:
    assert numbers(tmp_path, cell(number, 0, 0)) == ([0], 1)


@pytest.mark.parametrize(
    "geometry",
    [
        None,
        {"type": "Point", "coordinates": [-80, 36]},
        {"type": "GeometryCollection", "geometries": [CELL["geometry"]]},
        {"type": "Polygon", "coordinates": []},
    ],
    ids=["none", "point", "collection", "empty"],
)
def test_a_cell_without_an_outline_is_named(tmp_path: Path, geometry: Any) -> None:
    assert numbers(tmp_path, {**CELL, "geometry": geometry})[1] > 0


def test_a_cell_with_its_axes_swapped_is_named(tmp_path: Path) -> None:
    assert numbers(tmp_path, shaped("Polygon", [[one[::-1] for one in RING]]))[1] > 0


@pytest.mark.parametrize(
    "text", ['{"type": "FeatureCollection", "features": [NaN]}', "[]", '{"type": "Polygon"}']
)
def test_what_is_no_collection_is_refused(tmp_path: Path, text: str) -> None:
    (tmp_path / "a.geojson").write_text(text, encoding="utf-8")
    with pytest.raises(UnreadableFile):
        read_edition([tmp_path / "a.geojson"], AreaKind.GRID, None, ON)
