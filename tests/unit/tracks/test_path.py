"""The way of a track: meters against the ellipsoid, order, doubles, zero places, speed; heights above takeoff and ground."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from airwrit.base.places import Place
from airwrit.geo.earth import geodesic_m, place_from
from airwrit.geo.fixed import point_of
from airwrit.geo.footprint import depth_m, filled, within_of
from airwrit.geo.shapes import unwrapped
from airwrit.tracks.airtime import airtime_of
from airwrit.tracks.depths import depth_in
from airwrit.tracks.heights import HeightFrom, heights_of
from airwrit.tracks.path import local_m, path_of
from airwrit.tracks.track import HeightDatum
from tests.unit.tracks.made import HOME, bump, chosen, made


@pytest.mark.parametrize(("away", "off"), [(500.0, 0.006), (2_000.0, 0.02), (5_000.0, 0.1)])
@pytest.mark.parametrize(
    "start", [Place(37.0, -105.0), Place(-60.0, 10.0), Place(0.0, 179.99), Place(64.8, -147.7)]
)
def test_meters_against_the_geodesic(start: Place, away: float, off: float) -> None:
    """Against geographiclib (C. F. F. Karney, Algorithms for geodesics), all around."""
    for turn in range(0, 360, 30):
        there = place_from(start, float(turn), away)
        x, y = local_m(np.array([there.latitude_deg]), np.array([there.longitude_deg]), start)
        assert float(np.hypot(x, y)[0]) == pytest.approx(geodesic_m(start, there), abs=off)


def test_order_doubles_and_zero_places_change_nothing() -> None:
    track = made(bump(60, 500, 150.0, 60), east_m=bump(100, 400, 300.0, 50))
    rng = np.random.default_rng(2)
    count = len(track.mono_us)
    shuffled = chosen(track, rng.permutation(np.concatenate([np.arange(count), rng.integers(0, count, 200)])))
    one, other = path_of(track), path_of(shuffled)
    assert np.array_equal(one.t_us, other.t_us)
    assert np.array_equal(one.x_m, other.x_m)
    zero = chosen(track, np.concatenate([np.arange(count), [3, 7]]))
    latitude, longitude = zero.lat_e7.copy(), zero.lon_e7.copy()
    latitude[-2:], longitude[-2:] = 0, 0
    third = path_of(replace(zero, lat_e7=latitude, lon_e7=longitude))
    assert np.array_equal(one.x_m, third.x_m)
    assert third.unplaced == 2


def test_speed_from_positions_is_over_a_second() -> None:
    track = made(bump(60, 500, 50.0, 60), hz=10, east_m=lambda s: 12.0 * s)
    path = path_of(track)
    assert not path.speed_is_logged
    assert path.speed_mps[5:-15] == pytest.approx(12.0, abs=0.05)


def test_the_first_row_is_not_the_takeoff() -> None:
    """The first row is 30 m off, as first fixes are; the median of the rows on the ground is not."""
    track = made(bump(60, 500, 100.0, 60))
    heights = track.heights_m[HeightDatum.SEA_LEVEL].copy()
    heights[0] += 30
    found = heights_of(path_of(replace(track, heights_m={HeightDatum.SEA_LEVEL: heights})))
    assert found.based_on is HeightFrom.TAKEOFF
    assert float(np.nanmax(found.takeoff_m[1:])) == pytest.approx(100.0)


def test_height_above_ground_follows_the_ground_and_a_common_bias_cancels() -> None:
    """The ground rises 40 m over 400 m to the east; a log that reads 25 m too high throughout changes nothing."""
    track = made(bump(60, 500, 100.0, 60), east_m=bump(120, 480, 400.0, 100), zero_m=525.0)

    def ground(_: np.ndarray, longitude: np.ndarray) -> np.ndarray:
        return 500 + (longitude - HOME.longitude_deg) * 87_239.0 * 0.1

    found = heights_of(path_of(track), ground)
    at = 300
    assert found.takeoff_m[at] == pytest.approx(100.0)
    assert found.agl_m[at] == pytest.approx(60.0, abs=0.1)
    assert np.isnan(heights_of(path_of(track)).agl_m).all()


def test_a_log_that_begins_in_the_air_has_no_takeoff() -> None:
    whole = made(bump(60, 500, 100.0, 60), speed_mps=lambda s: np.where((s > 60) & (s < 500), 8.0, 0.0))
    cut = chosen(whole, np.arange(200, len(whole.mono_us)))
    found = heights_of(path_of(cut), lambda a, _: np.full(len(a), 500.0))
    assert found.based_on is HeightFrom.SEA_LEVEL
    assert found.agl_m[0] == pytest.approx(100.0)
    assert found.agl_doubt_m[0] > 16


def test_a_hover_that_is_no_ground_is_seen_by_the_landing_below_it() -> None:
    hover = made(lambda s: np.where(s < 300, 80.0, np.maximum(0.0, 80.0 - (s - 300))), seconds=500)
    found = heights_of(path_of(hover), lambda a, _: np.full(len(a), 500.0))
    assert found.based_on is HeightFrom.SEA_LEVEL
    assert float(np.nanmax(found.agl_m)) == pytest.approx(80.0)


def test_landings_and_minutes() -> None:
    first, second = bump(60, 200, 30.0, 10), bump(260, 400, 30.0, 10)
    path = path_of(made(lambda s: first(s) + second(s)))
    air = airtime_of(path, heights_of(path))
    assert air.landings == 2
    assert air.flown_us / 1e6 == pytest.approx(280, abs=6)
    cut = path_of(chosen(path.track, np.arange(300)))
    assert airtime_of(cut, heights_of(cut)).ends_in_the_air


def _polygon(corners: int, radius_deg: float, wobble: float) -> object:
    turns = np.linspace(0, 2 * np.pi, corners, endpoint=False)
    radii = radius_deg * (1 + wobble * np.sin(5 * turns))
    places = [
        Place(HOME.latitude_deg + float(r * np.sin(a)), HOME.longitude_deg + float(r * np.cos(a)))
        for r, a in zip(radii, turns, strict=True)
    ]
    return filled((unwrapped([point_of(one) for one in (*places, places[0])]),))


@pytest.mark.parametrize(
    ("corners", "radius", "wobble"), [(4, 0.002, 0.0), (40, 0.003, 0.3), (400, 0.004, 0.2), (8, 0.5, 0.0)]
)
def test_depths_against_the_geodesic_ones(corners: int, radius: float, wobble: float) -> None:
    """A way that winds in and out, against the depth of single places that is measured on the ellipsoid."""
    track = made(
        bump(0, 600, 50.0, 60),
        hz=2,
        east_m=lambda s: 420 * np.sin(s / 40),
        north_m=lambda s: 420 * np.cos(s / 31),
    )
    path, area = path_of(track), _polygon(corners, radius, wobble)
    found = depth_in([area], path)  # type: ignore[list-item]
    for at in range(0, len(path), 37):
        true = depth_m(area, path.place(at))  # type: ignore[arg-type]
        if abs(true) < 100:
            assert found.depth_m[at] == pytest.approx(true, abs=0.05)
        else:
            assert true * found.depth_m[at] > 0
            assert abs(found.depth_m[at]) <= abs(true) + 1.0


def test_depth_in_a_circle() -> None:
    path = path_of(made(bump(0, 600, 50.0, 60), east_m=lambda s: s))
    found = depth_in([within_of([HOME], 300.0)], path)
    assert found.depth_m[100] == pytest.approx(200.0, abs=0.05)
    assert found.depth_m[400] == pytest.approx(-100.0, abs=0.05)
