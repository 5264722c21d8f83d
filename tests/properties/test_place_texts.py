"""Texts and bytes of places: whatever comes, there is an area, a tile, or a refusal by name; and containment is consistent."""

from __future__ import annotations

import tempfile
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from airwrit.answers.site.area import contained, corners, farthest_m, read_area
from airwrit.base.errors import BadFact, UnreadableFile
from airwrit.base.places import Place
from airwrit.geo.earth import place_from
from airwrit.geo.tiles_kept import keep_tiles

SIGNS = st.text(alphabet="0123456789.,;-+ NSEWnmftwithradius°'\"", max_size=60)


@given(SIGNS)
def test_any_text_is_an_area_or_refused(text: str) -> None:
    try:
        area = read_area(text)
    except BadFact:
        return
    assert corners(area)


@given(
    st.floats(-70, 70),
    st.floats(-180, 180),
    st.floats(0, 360),
    st.floats(10, 5_000),
    st.floats(10, 5_000),
    st.floats(0, 10_000),
)
def test_a_circle_lies_in_another_by_their_distance(
    latitude: float, longitude: float, azimuth: float, inner_m: float, outer_m: float, apart_m: float
) -> None:
    center = Place(latitude, longitude)
    beside = place_from(center, azimuth, apart_m)
    inner, outer = (
        f"{place.latitude_deg:.9f}, {place.longitude_deg:.9f} within {radius:.3f} m"
        for place, radius in ((beside, inner_m), (center, outer_m))
    )
    room = outer_m - inner_m - apart_m
    code = contained(inner, outer).code
    if abs(room) > 0.01:
        assert (code == "inside_area") is (room > 0)
    if abs(apart_m - inner_m - outer_m) > 0.01 and room <= 0:
        assert (code == "outside_area") is (apart_m > inner_m + outer_m)
    assert abs(farthest_m(center, read_area(inner)) - apart_m - inner_m) < 0.01


@given(st.binary(max_size=400), st.sampled_from(["N40W106.hgt", "a.tif", "b.tiff"]))
def test_random_bytes_are_no_tile(data: bytes, name: str) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / name
        path.write_bytes(b"II*\0" + data if name.endswith("f") else data)
        try:
            kept = keep_tiles(Path(folder) / "terrain", path)
        except UnreadableFile:
            return
        assert kept
