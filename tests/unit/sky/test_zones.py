"""Zones of places: edges, seas, Alaska."""

from __future__ import annotations

import pytest

from airwrit.base.errors import UsageError
from airwrit.base.places import Place
from airwrit.sky.zones import zone_named, zone_of


@pytest.mark.parametrize(
    ("place", "name", "in_alaska"),
    [
        (Place(40.0, -105.3), "America/Denver", False),
        (Place(33.4, -111.6), "America/Phoenix", False),
        (Place(36.1, -111.3), "America/Denver", False),
        (Place(71.29, -156.79), "America/Anchorage", True),
        (Place(52.0, -176.6), "America/Adak", True),
        (Place(21.3, -157.8), "Pacific/Honolulu", False),
    ],
)
def test_zone_and_alaska(place: Place, name: str, in_alaska: bool) -> None:
    zone = zone_of(place)
    assert (zone.name, zone.in_alaska) == (name, in_alaska)


def test_at_sea_alaska_is_not_told() -> None:
    zone = zone_of(Place(40.0, -150.0))
    assert zone.name.startswith("Etc/")
    assert zone.in_alaska is None


def test_near_an_edge_the_other_zone_is_named() -> None:
    assert zone_of(Place(44.45, -117.2)).near == ("America/Los_Angeles",)


def test_a_zone_by_name() -> None:
    assert zone_named("America/Boise", Place(44, -117)).name == "America/Boise"
    with pytest.raises(UsageError, match=r"No time zone is named 'Mars/Base'."):
        zone_named("Mars/Base", Place(44, -117))
    with pytest.raises(UsageError):
        zone_named("../etc/passwd", Place(44, -117))
