"""Areas as people type them: what they mean, which lies in which, and what is no area."""

from __future__ import annotations

import pytest

from airwrit.answers.site.area import contained, read_area
from airwrit.base.errors import BadFact
from airwrit.base.places import Place
from airwrit.geo.earth import place_from

CENTER = Place(36.05, -79.98)
SQUARE = "36.00, -80.00; 36.00, -79.90; 36.10, -79.90; 36.10, -80.00"


def circle(place: Place, meters: float) -> str:
    return f"{place.latitude_deg:.9f}, {place.longitude_deg:.9f} within {meters:.3f} m"


@pytest.mark.parametrize(
    ("apart_m", "code"),
    # A circle of 300 m in one of 1,000 m: its center may be 700 m off, the edge included.
    [
        (0, "inside_area"),
        (699.9, "inside_area"),
        (700.1, "partly_outside"),
        (1299, "partly_outside"),
        (1301, "outside_area"),
    ],
)
def test_a_circle_in_a_circle(apart_m: float, code: str) -> None:
    inner = circle(place_from(CENTER, 73, apart_m), 300)
    assert contained(inner, circle(CENTER, 1000)).code == code


@pytest.mark.parametrize(
    ("inner", "code"),
    [
        ("36.05, -79.95 within 500 m", "inside_area"),
        ("36.05, -79.995 within 500 m", "partly_outside"),
        ("36.05, -80.05 within 500 m", "outside_area"),
        ("36.02, -79.98; 36.02, -79.92; 36.08, -79.92", "inside_area"),
        ("36.02, -79.98; 36.02, -79.92; 36.18, -79.92", "partly_outside"),
        ("36.02, -79.98; 36.08, -79.92 within 100 ft", "inside_area"),
        ("36.02, -79.98; 36.08, -79.88 within 100 ft", "partly_outside"),
    ],
)
def test_circles_lines_and_corners_in_corners(inner: str, code: str) -> None:
    assert contained(inner, SQUARE).code == code


def test_corners_in_a_circle_and_across_the_date_line() -> None:
    assert (
        contained("36.04, -79.99; 36.04, -79.97; 36.06, -79.98", circle(CENTER, 2000)).code == "inside_area"
    )
    assert (
        contained("36.04, -79.99; 36.04, -79.97; 36.06, -79.98", circle(CENTER, 1000)).code
        == "partly_outside"
    )
    fiji = "-17, 179.9; -17, -179.9; -16, -179.9; -16, 179.9"
    assert contained("-16.5, 180 within 1 nm", fiji).code == "inside_area"
    assert contained("-16.5, 0 within 1 nm", fiji).code == "outside_area"


def test_what_cant_be_told_is_unknown() -> None:
    assert contained("36.05, -79.98 within 500", SQUARE).code == "area_unreadable"
    assert contained("the old mill", SQUARE).code == "area_unreadable"


LINE = "36.02, -79.98; 36.05, -79.95; 36.05, -79.90 within 1 km"
BEND = Place(36.05, -79.95)


@pytest.mark.parametrize(
    ("inner", "code"),
    [
        (circle(BEND, 900), "inside_area"),
        (circle(BEND, 994), "inside_area"),
        (circle(BEND, 999), "corridor"),
        (circle(BEND, 1010), "partly_outside"),
        (circle(place_from(BEND, 0, 500), 450), "inside_area"),
        (circle(place_from(BEND, 0, 500), 550), "partly_outside"),
        (circle(place_from(BEND, 0, 1200), 100), "outside_area"),
        ("36.03, -79.97; 36.05, -79.95; 36.05, -79.91 within 100 m", "inside_area"),
        ("36.03, -79.97; 36.05, -79.91 within 100 m", "partly_outside"),
        ("36.046, -79.95; 36.054, -79.95; 36.054, -79.90; 36.046, -79.90", "inside_area"),
        ("36.02, -79.98; 36.054, -79.95; 36.046, -79.90", "partly_outside"),
    ],
)
def test_circles_lines_and_corners_in_a_corridor_of_several_legs(inner: str, code: str) -> None:
    assert contained(inner, LINE).code == code


def test_a_hole_between_the_legs_is_outside() -> None:
    """The edge of the area runs along the legs of a ring; its middle lies in none of them."""
    ring = "36.00, -80.00; 36.00, -79.90; 36.10, -79.90; 36.10, -80.00; 36.00, -80.00 within 1 km"
    assert contained(SQUARE, ring).code == "partly_outside"


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("36.05, -79.98", "a place alone isn't an area"),
        ("36.05, -79.98; 36.06, -79.99", "two corners don't make an area"),
        ("36.05, -79.98 within 500", "has no unit"),
        ("36.05, -79.98 within 0 m", "a radius of"),
        ("36.05, -79.98 within 300 nm", "a radius of"),
        ("36.05, -79.98 within 5 lb", "a unit we can't use here"),
        ("36.0, -80.0; 36.1, -79.9; 36.0, -79.9; 36.1, -80.0", "these corners don't make an area"),
        ("36.0, -80.0; 36.0, -79.9; 36.0, -79.8", "these corners don't make an area"),
        ("-79.98, 36.05; -79.9, 36.0; -79.9, 36.1", "latitude comes first"),
        ("; ".join(["36.0, -80.0"] * 501), "more than 500 corners"),
    ],
)
def test_what_is_no_area(text: str, says: str) -> None:
    with pytest.raises(BadFact, match=f"(?i){says}"):
        read_area(text)
