"""Reading published records, and an invented grid with published field names (airspace/SOURCE.toml)."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime
from pathlib import Path
from random import Random

import pytest

from airwrit.airspace.edition import Edition
from airwrit.airspace.here import Here, look_up
from airwrit.airspace.kinds import AreaKind
from airwrit.airspace.limits import HeightLimit, Reach, Reference
from airwrit.airspace.problems import FeatureFault
from airwrit.airspace.reading import read_edition
from airwrit.airspace.shelf import shelve
from airwrit.answers.airspace.at import MapAnswer, class_here, map_answer, under_notice
from airwrit.answers.airspace.question import TypedQuestion, asked_of
from airwrit.base.places import Place
from airwrit.facts.flight_choices import AirspaceClass
from airwrit.geo.earth import geodesic_m, place_from
from airwrit.geo.footprint import apart_m, box_of_footprint, depth_m, within_of
from tests.outside import outside_file

DAY = date(2026, 5, 20)
CLASS = "airspace/class_airspace_sample.geojson"
GRID = "airspace/SYNTHETIC_uasfm_grid_169cells.geojson"
RECORDS = "airspace/ais_open_data_records.geojson"
RESTRICTION = "airspace/tfr_space_ops_6_2736_trimmed.xml"
OBSTACLES = "airspace/dof_sample.dat"
NAUTICAL_MILE_M = 1852.0


def edition(name: str, on: date = date(2026, 5, 14)) -> Edition:
    """The edition of a file of the outside data."""
    return read_edition([outside_file(name)], None, None, on)


def looked_up(folder: Path, name: str, place: Place, *, ground: str = "", on: date = DAY) -> Here:
    """What a point up to 400 ft touches of a file."""
    shelve(folder, edition(name))
    return look_up(folder, asked_of(TypedQuestion(f"{place[0]}, {place[1]}", on, 400, ground=ground)))


def test_every_record_is_kept_with_its_limits() -> None:
    read = edition(CLASS)
    assert (read.kind, len(read.areas.facts), read.problems) == (AreaKind.CLASS, 10, ())
    assert [one.type for one in read.areas.facts].count("CLASS_C") == 9
    flint = read.areas.facts[0]
    assert (flint.floor, flint.ceiling) == (
        HeightLimit(0, Reference.GROUND),
        HeightLimit(4800, Reference.SEA),
    )
    assert read.areas.facts[1].floor == HeightLimit(2100, Reference.SEA)


def test_circles_of_five_nautical_miles_reach_as_far_as_the_rule_says() -> None:
    """A surface area of class C is 5 NM around; a chord of 120 lies up to 0.035 percent inside it."""
    features = json.loads(outside_file(CLASS).read_text(encoding="utf-8"))["features"]
    surface = [one for one in features if one["properties"]["LOCAL_TYPE"] == "CLASS_C"]
    ring = surface[0]["geometry"]["coordinates"][0]
    middle = Place(*(sum(point[axis] for point in ring[:-1]) / (len(ring) - 1) for axis in (1, 0)))
    polygon = next(iter(edition(CLASS).areas.near(box_of_footprint(within_of([middle], 10.0))))).footprints[0]
    for azimuth in range(0, 360, 15):
        away = place_from(middle, azimuth, 7 * NAUTICAL_MILE_M)
        gap = 2 * NAUTICAL_MILE_M
        assert apart_m(polygon, within_of([away], gap * 0.98)) > 0, azimuth
        assert apart_m(polygon, within_of([away], gap * 1.02)) == 0, azimuth
    assert geodesic_m(middle, Place(ring[0][1], ring[0][0])) == pytest.approx(5 * NAUTICAL_MILE_M, rel=0.005)


def test_a_shelf_is_not_the_surface(tmp_path: Path) -> None:
    """Seven miles out only the shelf from 2,100 ft above sea level is overhead. The ground of 782 ft is from memory."""
    ring = json.loads(outside_file(CLASS).read_text(encoding="utf-8"))["features"][0]["geometry"]
    first = ring["coordinates"][0]
    middle = Place(sum(p[1] for p in first[:-1]) / 120, sum(p[0] for p in first[:-1]) / 120)
    place = place_from(middle, 90, 7 * NAUTICAL_MILE_M)
    found = looked_up(tmp_path, CLASS, place, ground="782")
    assert [(one.area.type, one.reach) for one in found.touched] == [("CLASS_C", Reach.BELOW_FLOOR)]
    assert class_here(found) is None
    assert [one.reach for one in looked_up(tmp_path, CLASS, place).touched] == [Reach.CANT_TELL]
    inside = looked_up(tmp_path, CLASS, middle, ground="782")
    assert class_here(inside) is AirspaceClass.C


def test_the_invented_grid_gives_what_its_polygons_give() -> None:
    """Synthetic: each number equals that of a test of every polygon with edges counted in."""
    read = edition(GRID, date(2026, 9, 3))
    assert (len(read.grid.keys), len(read.areas.facts), read.problems) == (169, 0, ())
    features = json.loads(outside_file(GRID).read_text(encoding="utf-8"))["features"]
    boxes = []
    for one in features:
        ring = one["geometry"]["coordinates"][0]
        boxes.append(
            (*(f(p[a] for p in ring) for a in (1, 0) for f in (min, max)), one["properties"]["CEILING"])
        )
    random = Random(15)
    corners = [(box[0], box[2]) for box in boxes]
    spread = [(random.uniform(36.04, 36.17), random.uniform(-79.99, -79.87)) for _ in range(300)]
    for latitude, longitude in corners + spread:
        wanted = sorted(
            number
            for south, north, west, east, number in boxes
            if south <= latitude <= north and west <= longitude <= east
        )
        assert sorted(read.grid.touched(within_of([Place(latitude, longitude)], 0.0))) == wanted


def test_a_corner_of_the_invented_grid_counts_for_four(tmp_path: Path) -> None:
    shelve(tmp_path, edition(GRID, date(2026, 9, 3)))
    typed = TypedQuestion("36.05833333, -79.975", date(2026, 9, 20), 100)
    found = look_up(tmp_path, asked_of(typed))
    assert len(found.numbers_ft) == 4
    assert map_answer(found)[0] is MapAnswer.HIGHEST


def test_records_without_an_outline_leave_the_edition_unsure() -> None:
    read = edition(RECORDS)
    assert read.kind is AreaKind.SPECIAL
    assert FeatureFault.NO_PLACE in [one.fault for one in read.problems]
    assert read.has_gaps


def test_a_published_restriction_is_read_as_its_elements_say() -> None:
    read = edition(RESTRICTION, date(2026, 9, 20))
    (facts,) = read.areas.facts
    assert (read.kind, read.problems, facts.type) == (AreaKind.TFR, (), "91.143")
    assert facts.name == "TFR 6/2736 36 ZLC AIRSPACE BLACK ROCK, NEVADA"
    assert (facts.floor, facts.ceiling) == (
        HeightLimit(0, Reference.GROUND),
        HeightLimit(91_000, Reference.PRESSURE),
    )
    assert facts.begins == datetime(2026, 9, 20, 14, tzinfo=UTC)
    assert facts.ends == datetime(2026, 9, 21, 6, tzinfo=UTC)
    footprint = read.areas.area(0).footprints[0]
    assert depth_m(footprint, Place(41.0, -119.05)) > 0
    assert depth_m(footprint, Place(40.87833333, -119.3)) < 0, (
        "the final outline counts, not the circle it names too"
    )


@pytest.mark.parametrize(
    ("start", "end", "found"),
    [
        ("7:00", "22:59", "always"),
        ("6:00", "6:59", "not"),
        ("6:00", "7:00", "part"),
        ("23:01", "23:30", "not"),
    ],
)
def test_a_published_restriction_is_in_force_by_the_clock_of_the_place(
    tmp_path: Path, start: str, end: str, found: str
) -> None:
    """14:00 to 06:00 UTC are 7 AM to 11 PM in Nevada, where daylight saving time is kept in September."""
    shelve(tmp_path, edition(RESTRICTION, date(2026, 9, 20)))
    typed = TypedQuestion("41.0, -119.05", date(2026, 9, 20), 400, start=start, end=end)
    here = look_up(tmp_path, asked_of(typed))
    assert [one.times.state.value for one in here.touched] == [found]
    assert under_notice(here) is (found != "not")


def test_published_obstacles_are_read_by_column() -> None:
    read = edition(OBSTACLES, date(2025, 12, 21))
    assert (read.kind, read.problems, len(read.areas)) == (AreaKind.OBSTACLE, (), 4)
    told = [(one.name, one.ceiling.feet) for one in read.areas.facts]
    assert told == [
        ("TOWER 01-001173", 201 + 50),
        ("RIG 01-001307", 236 + 50),
        ("BLDG 01-002558", 223 + 50),
        ("BLDG 01-061332", 59 + 50),
    ]
    first = read.areas.area(0).footprints[0]
    assert depth_m(first, Place(30 + 15 / 60 + 1 / 3600, -(88 + 4 / 60 + 45 / 3600))) == pytest.approx(
        500 * 0.3048
    )
    assert read.areas.area(3).footprints[0].radius_m == pytest.approx(250 * 0.3048)


@pytest.mark.parametrize(("kind", "name"), [(AreaKind.STADIUM, "PNC Park"), (AreaKind.AIRPORT, "Adak (ADK)")])
def test_published_points_agree_with_their_own_fields(tmp_path: Path, kind: AreaKind, name: str) -> None:
    """The same record tells its place twice: as coordinates, and in degrees, minutes and seconds."""
    features = json.loads(outside_file(RECORDS).read_text(encoding="utf-8"))["features"]
    record = next(one for one in features if one["properties"]["NAME"] == name.split(" (", maxsplit=1)[0])
    path = tmp_path / "a.geojson"
    path.write_text(json.dumps({"type": "FeatureCollection", "features": [record]}), encoding="utf-8")
    read = read_edition([path], None, None, DAY)
    assert (read.kind, read.problems, read.areas.facts[0].name) == (kind, (), name)
