"""Grid references and UTM against a standard's example, manuals and two other libraries (grid_places/SOURCE.toml)."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from airwrit.base.places import Place, read_place
from airwrit.geo.earth import geodesic_m

PLACES = Path(__file__).parent / "grid_places" / "places.csv"


@pytest.mark.parametrize(
    "text", ["18SUJ23480647", "18S UJ 2348 0647", "18S UJ 23480 06470", "18s uj 23480 06470"]
)
def test_the_standards_own_example(text: str) -> None:
    assert geodesic_m(read_place(text), Place(38.8895, -77.0353)) < 20


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("31U DQ 48251 11932", Place(48.8582, 2.2945)),
        (f"32U 395201.310 {5673.135241 * 1000:.3f}", Place(51.2, 7.5)),
    ],
)
def test_examples_of_manuals(text: str, place: Place) -> None:
    assert read_place(text) == pytest.approx(place, abs=6e-5)


def test_both_forms_of_many_places() -> None:
    with PLACES.open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) == 24
    for row in rows:
        place = Place(float(row["latitude"]), float(row["longitude"]))
        east, north = (1000 * float(row[name]) for name in ("east_km", "north_km"))
        assert geodesic_m(read_place(f"{row['zone']} {east:.3f} {north:.3f}"), place) < 0.002, row
        assert geodesic_m(read_place(row["grid"]), place) < 0.72, row  # the middle of a square of a meter
