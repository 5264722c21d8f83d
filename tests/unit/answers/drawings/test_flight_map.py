"""The map of a planned flight: one scale both ways, what is drawn where, and names out of files as text."""

from __future__ import annotations

import re

import pytest

from airwrit.airspace.kinds import AreaKind
from airwrit.answers.before_flight.plan import footprint_of
from airwrit.answers.drawings.flight_map import HIGH, WIDE, map_of, part_marks
from airwrit.answers.drawings.site_map import MapArea, MapCell, SiteMap, rings_of, site_map
from airwrit.base.places import Place
from airwrit.geo.earth import geodesic_m
from tests.unit.answers.before_flight.planning import PLACE, plan


def points(drawn: str, kind: str) -> list[tuple[float, float]]:
    """The corners of a path of a kind, in points of the paper."""
    path = re.search(rf'<path class="{kind}" d="([^"]*)"', drawn)
    assert path is not None
    return [(float(x), float(y)) for x, y in re.findall(r"([-0-9.]+) ([-0-9.]+)", path[1])]


def test_a_circle_is_round_and_in_the_middle() -> None:
    told = site_map(plan(area="38.5, -98.5 within 1000 ft"), None)
    corners = points(str(map_of(told)), "flight")
    away = [((x - WIDE / 2) ** 2 + (y - HIGH / 2) ** 2) ** 0.5 for x, y in corners]
    assert max(away) - min(away) < 0.5


def test_a_ring_lies_as_far_off_as_the_geodesic_says() -> None:
    # Karney's geodesic, by geographiclib
    for corner in rings_of((footprint_of("38.5, -98.5 within 1000 ft"),))[0]:
        assert geodesic_m(PLACE, corner) == pytest.approx(304.8, abs=0.001)


def test_the_scale_bar_is_as_long_as_it_says() -> None:
    told = site_map(plan(), None)
    drawn = str(map_of(told))
    bar = re.search(r'd="M0-4v8M0 0h([0-9.]+)m', drawn)
    feet = re.search(r'y="-8">([0-9,]+) ft', drawn)
    assert bar is not None
    assert feet is not None
    circle = points(drawn, "flight")
    wide = max(x for x, _ in circle) - min(x for x, _ in circle)
    assert float(bar[1]) / wide == pytest.approx(float(feet[1].replace(",", "")) / 1000, rel=0.01)


def test_names_out_of_files_stay_text_and_cells_say_at_most() -> None:
    ring = (Place(38.4, -98.6), Place(38.4, -98.4), Place(38.6, -98.4))
    area = MapArea("<script>&", AreaKind.CLASS, (ring,))
    told = SiteMap(38.4, 38.6, -98.6, -98.4, (ring,), (area,), (MapCell(Place(38.5, -98.5), 1 / 120, 200),))
    drawn = str(map_of(told))
    assert "&lt;script&gt;&amp;" in drawn
    assert '200 ft<tspan class="more"> at most' in drawn
    assert 'class="controlled"' in drawn


def test_counties_stand_on_the_map_by_name_and_only_their_border_is_drawn() -> None:
    # Barton County with Great Bend, Rice County to its east; from memory of a map of Kansas
    inside = site_map(plan(area="38.364, -98.765 within 1000 ft"), None)
    assert [one.name for one in inside.counties] == ["Barton"]
    assert "county-line" not in str(map_of(inside))
    assert '<text class="county-name alone"' in str(map_of(inside))
    across = site_map(plan(area="38.36, -98.76; 38.36, -98.3; 38.4, -98.3; 38.4, -98.76"), None)
    drawn = str(map_of(across))
    assert {"Barton", "Rice"} <= {one.name for one in across.counties}
    assert drawn.count('class="county-line"') == len(across.counties)
    left, right = (
        float(found[1])
        for name in ("Barton", "Rice")
        if (found := re.search(rf'county-name" x="([0-9.]+)" y="[0-9.]+">{name}<', drawn)) is not None
    )
    assert left < right


def test_the_letters_of_parts_stand_where_they_lie() -> None:
    told = site_map(plan(), None)
    drawn = str(map_of(told, part_marks([("A", PLACE)])))
    assert f'<circle class="part" cx="{WIDE / 2}" cy="{HIGH / 2}" r="12"/>' in drawn
    assert ">A</text>" in drawn
