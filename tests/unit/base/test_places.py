"""Places as people write them, and what can't be one."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.base.errors import BadPlace
from airwrit.base.places import Place, is_in_united_states, read_place

NEAR = Place(40.0150, -105.2705)


@pytest.mark.parametrize(
    "text",
    [
        "40.0150, -105.2705",
        "40.0150 -105.2705",
        "  40.015 ; -105.2705 ",
        "40.0150N 105.2705W",
        "N40.0150 W105.2705",
        "105.2705W 40.0150N",
        "40 00.9 N 105 16.23 W",
        "40°00.9'N, 105°16.23'W",
        "40° 0.9′ N, 105° 16.23′ W",
        "40-00-54N 105-16-13.8W",
        "40°00'54\"N 105°16'13.8\"W",
        "40 00 54 -105 16 13.8",
        "40.0150, \N{MINUS SIGN}105.2705",
        "40.0150n, 105.2705w",
    ],
)
def test_one_place_in_every_form(text: str) -> None:
    read = read_place(text)
    assert read.latitude_deg == pytest.approx(NEAR.latitude_deg, abs=1e-9)
    assert read.longitude_deg == pytest.approx(NEAR.longitude_deg, abs=1e-9)


@pytest.mark.parametrize(
    ("text", "off_deg"),
    [
        ("13T DE 76915 29457", 1e-5),
        ("13TDE7691529457", 1e-5),
        ("13t de 7691 2945", 1e-4),
        ("13T DE 769 294", 1e-3),
        ("13T 476915 4429457", 1e-5),
        ("13T 476915mE 4429457mN", 1e-5),
        ("UTM zone 13T 476915 E, 4429457 N", 1e-5),
        ("13N 476915 4429457", 1e-5),
    ],
)
def test_one_place_by_grid_and_by_utm(text: str, off_deg: float) -> None:
    """The middle of the square that the digits name; N is the north as well as a band."""
    assert read_place(text) == pytest.approx(NEAR, abs=off_deg)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("-105.27, 40.015", 'Did you mean "40.015, -105.27"?'),
        ("-80.19, 25.76", 'looks swapped. Latitude comes first. Did you mean "25.76, -80.19"?'),
        ("95, 40", "a latitude of 95, which is impossible"),
        ("40, 190", "a longitude of 190, which is impossible"),
        ("95N 40E", "a latitude of 95, which is impossible. Write it like"),
        ("40", "isn't a latitude and longitude"),
        ("40, -105, 3", "isn't a latitude and longitude"),
        ("40N 41N", "has the same direction twice"),
        ("-40S 105W", "has both a minus sign and a direction letter"),
        ("40 60 N 105 0 W", "has 60 or more minutes or seconds"),
        ("40.5 30 N 105 W", "has a decimal point in a part that isn't the last one"),
        ("40,0150", "isn't a latitude and longitude"),
        ("nan, nan", "isn't a latitude and longitude"),
        ("DE 76915 29457", "has no grid zone, so it could be in many places"),
        ("13T DE 76 29", "isn't precise enough to name a place. Use at least 3 digits in each half"),
        ("13T DE 769 2945", "needs as many digits for the easting as for the northing"),
        ("13T DE 769152 294577", "needs as many digits for the easting as for the northing"),
        ("13T DE 769 12945", "needs as many digits for the easting as for the northing"),
        ("13T SE 76915 29457", "has a square SE that zone 13 doesn't have"),
        ("13T AE 76915 29457", "has a square AE that isn't in grid zone 13T"),
        ("13A DE 76915 29457", "has A as its latitude band, which we can't use"),
        ("61T DE 76915 29457", "has grid zone 61, and zones run from 1 to 60"),
        ("13S 476915 4429457 E", "isn't a latitude and longitude"),
        ("13S 476915 4829457", "isn't in grid zone 13S"),
        ("N, W", "isn't a latitude and longitude"),
        ("", "isn't a latitude and longitude"),
    ],
)
def test_what_is_no_place_is_refused_by_name(text: str, says: str) -> None:
    with pytest.raises(BadPlace, match=re.escape(says)):
        read_place(text)


def test_letters_keep_what_looks_swapped() -> None:
    assert read_place("80.19S 25.76E") == Place(-80.19, 25.76)


@pytest.mark.parametrize("text", ["51.5, 0.0", "-30, -100", "-33.87, 151.2", "71.29, -156.79", "13.4, 144.8"])
def test_places_elsewhere_are_taken(text: str) -> None:
    assert read_place(text)


@given(st.floats(-90, 90), st.floats(-180, 180))
def test_what_is_shown_reads_back(latitude: float, longitude: float) -> None:
    read = read_place(str(Place(latitude, longitude)))
    assert abs(read.latitude_deg - latitude) < 1e-4
    assert abs(read.longitude_deg - longitude) < 1e-4


@given(st.text(max_size=60))
def test_any_text_is_a_place_or_refused(text: str) -> None:
    try:
        place = read_place(text)
    except BadPlace:
        return
    assert abs(place.latitude_deg) <= 90
    assert abs(place.longitude_deg) <= 180


def test_boxes_hold_states_and_territories() -> None:
    assert all(map(is_in_united_states, (NEAR, Place(71.3, -156.8), Place(52, 175), Place(18.4, -66.1))))
    assert not is_in_united_states(Place(51.5, 0))
