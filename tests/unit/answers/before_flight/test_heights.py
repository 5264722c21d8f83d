"""The greatest height over each part of an area: by airspace, map cells and a structure, each told with where it lies."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from airwrit.airspace.reading import read_edition
from airwrit.airspace.shelf import shelve
from airwrit.answers.before_flight.answer import flight_answer
from airwrit.answers.before_flight.heights import HeightsFound
from airwrit.answers.before_flight.json import check_json
from airwrit.answers.before_flight.plan import FlightPlan, StructureBeside
from airwrit.answers.before_flight.view import height_lines
from airwrit.base.places import Place
from tests.unit.airspace.features import cell, feature, volume, written
from tests.unit.answers.before_flight.planning import plan, program

WIDE = "38.5, -98.5 within 2000 ft"
ROW, COLUMN = round(2.5 * 120), round(-18.5 * 120)
"""The map cell whose south-west corner is the middle of the area, counted from 36 north, 80 west: 120 cells to a degree."""


def shelf(folder: Path, **layers: list[dict[str, Any]]) -> Path:
    """Airspace data of some layers."""
    for name, features in layers.items():
        file = written(folder / f"{name}.geojson", *features)
        shelve(folder / "airspace", read_edition((file,), None, None, date(2026, 5, 14)))
    return folder / "airspace"


def class_d(west: float, east: float, **fields: Any) -> dict[str, Any]:
    """An invented Class D between two meridians."""
    ring = [[west, 38.4], [east, 38.4], [east, 38.6], [west, 38.6], [west, 38.4]]
    return feature({**volume()["properties"], "CLASS": "D", "LOCAL_TYPE": "CLASS_D", **fields}, ring)


def found(folder: Path | None, planned: FlightPlan, **but: Any) -> HeightsFound:
    """The heights of a plan."""
    return flight_answer(planned, program({"airspace_class": None, **but}), folder, None, 1).heights


def by_side(heights: HeightsFound) -> list[tuple[str, float | None]]:
    """The height of each part by its side."""
    return [
        (one.part.side, None if one.highest_ft is None else float(one.highest_ft)) for one in heights.parts
    ]


def test_each_map_cell_and_the_rest_have_their_own_height(tmp_path: Path) -> None:
    folder = shelf(
        tmp_path,
        grid=[
            cell(100, ROW - 1, COLUMN - 1, MAP_EFF="5/14/2026"),
            cell(200, ROW, COLUMN - 1, MAP_EFF="5/14/2026"),
        ],
        airspace=[class_d(-98.6, -98.5, NAME="SYNTHETIC")],
    )
    answer = flight_answer(plan(area=WIDE), program({"airspace_class": None}), folder, None, 1)
    assert height_lines(answer.heights) == [
        "No height is allowed without an authorization.",
        "A. The southwest side (SYNTHETIC): no height is allowed as planned. The facility map shows at most 100 ft.",
        "B. The northwest side (SYNTHETIC): no height is allowed as planned. The facility map shows at most 200 ft.",
        "C. The east side: up to 400 ft above ground.",
    ]
    parts = check_json(answer)["height_parts"]
    assert [(one["letter"], one["map_ft"], one["highest_ft"]) for one in parts] == [
        ("A", 100, None),
        ("B", 200, None),
        ("C", None, 400.0),
    ]
    assert sum(one["share"] for one in parts) == pytest.approx(1.0, abs=0.02)


def test_a_map_cell_alone_gives_no_height_until_the_class_is_told(tmp_path: Path) -> None:
    # cells of the facility map lie in controlled airspace: nothing on file about its class is no yes
    folder = shelf(tmp_path, grid=[cell(100, ROW - 1, COLUMN - 1, MAP_EFF="5/14/2026")])
    open_ones = found(folder, plan(area=WIDE))
    assert (open_ones.highest_ft, open_ones.barred_by) == (None, "facility_map")
    assert [one.highest_ft for one in open_ones.parts] == [None, 400]
    assert found(folder, plan(area=WIDE), airspace_class="G").highest_ft == 400


@pytest.mark.parametrize(
    ("limit", "ground_ft", "highest"),
    [
        # a foot under the shelf: 300 ft above ground, or 2,000 ft above sea level over ground at 1,750
        ({"LOWER_VAL": "300", "LOWER_UOM": "FT", "LOWER_CODE": "AGL"}, None, 299),
        ({"LOWER_VAL": "2000", "LOWER_UOM": "FT", "LOWER_CODE": "MSL"}, Decimal(1750), 249),
    ],
)
def test_under_a_shelf_it_is_a_foot_below_its_floor(
    tmp_path: Path, limit: dict[str, str], ground_ft: Decimal | None, highest: int
) -> None:
    folder = shelf(tmp_path, airspace=[class_d(-98.5, -98.4, NAME="SHELF", **limit)])
    heights = found(folder, plan(area=WIDE, ground_ft=ground_ft))
    assert by_side(heights) == [("east", highest), ("west", 400)]
    assert heights.highest_ft == highest


def test_a_volume_too_thin_to_be_met_is_a_part_of_its_own(tmp_path: Path) -> None:
    folder = shelf(tmp_path, airspace=[class_d(-98.50001, -98.49999, NAME="SLIVER")])
    heights = found(folder, plan(area=WIDE))
    assert by_side(heights) == [("edge", None), ("most", 400)]


def test_close_to_a_structure_it_is_400_ft_above_its_top(tmp_path: Path) -> None:
    # 14 CFR 107.51(b): within 400 ft of a structure, no higher than 400 ft above its top
    tower = StructureBeside(Decimal(2000), Decimal(1200), Place(38.5, -98.5))
    heights = found(None, plan(area=WIDE, structure=tower), airspace_class="G")
    assert by_side(heights) == [("most", 400), ("structure", 1600)]
    close = found(None, plan(structure=tower._replace(distance_ft=Decimal(400))), airspace_class="G")
    assert close == HeightsFound(Decimal(1600))


def test_where_all_of_it_is_alike_there_are_no_parts(tmp_path: Path) -> None:
    folder = shelf(tmp_path, airspace=[class_d(-98.6, -98.4, NAME="ALL")])
    assert found(folder, plan(area=WIDE)).parts == ()
    assert found(None, plan(area=WIDE), airspace_class="G") == HeightsFound(Decimal(400))
