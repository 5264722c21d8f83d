"""Readers of published forms: restrictions, obstacles, airports, stadiums, GeoPackage, zip; what can be wrong with each."""

from __future__ import annotations

import io
import sqlite3
import struct
import zipfile
from collections.abc import Callable
from contextlib import suppress
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import pytest
import shapefile
from hypothesis import given
from hypothesis import strategies as st

from airwrit.airspace.edition import Edition
from airwrit.airspace.kinds import AreaKind
from airwrit.airspace.limits import OPEN, SURFACE, HeightLimit, Reference
from airwrit.airspace.problems import FeatureFault
from airwrit.airspace.readers.features import Feature
from airwrit.airspace.readers.files import open_features
from airwrit.airspace.readers.geopackage import geometry_of
from airwrit.airspace.reading import field_names, read_edition
from airwrit.answers.airspace.importing import AIRSPACE_LIMITS, edition_of_files
from airwrit.base.errors import AirwritError, UnreadableFile, UsageError
from airwrit.base.places import Place
from airwrit.geo.earth import M_PER_FT, geodesic_m
from airwrit.geo.footprint import depth_m
from airwrit.law.parameters import Law
from airwrit.law.rings import STADIUM_HEIGHT, STADIUM_RING
from tests.unit.airspace.features import cell, restriction, security, square, stadium, volume, written

ON = date(2026, 11, 25)
MIDDLE = Place(36.0, -80.0)
RING = "".join(
    f"<Avx><codeType>GRC</codeType><geoLat>{lat}N</geoLat><geoLong>{lon}W</geoLong></Avx>"
    for lat, lon in (("36.5", "080.5"), ("36.5", "079.5"), ("35.5", "079.5"), ("35.5", "080.5"))
)


def tfr(tmp_path: Path, **told: str) -> Edition:
    """The edition of a restriction."""
    return read_edition([restriction(tmp_path / "tfr.xml", **told)], None, None, ON)


def test_a_circle_of_a_restriction_is_a_circle(tmp_path: Path) -> None:
    read = tfr(tmp_path)
    (area,) = (read.areas.area(at) for at in range(len(read.areas)))
    assert (read.kind, area.facts.name, area.facts.type) == (
        AreaKind.TFR,
        "TFR 6/0001 Oakford",
        "91.137(a)(2)",
    )
    assert (area.facts.floor, area.facts.ceiling) == (SURFACE, HeightLimit(3000, Reference.SEA))
    assert area.facts.begins == datetime(2026, 11, 25, 10, tzinfo=UTC)
    assert depth_m(area.footprints[0], MIDDLE) == pytest.approx(5 * 1852, abs=0.01)
    assert read.problems == ()


def test_the_final_outline_counts_before_the_shapes_and_its_edges_are_geodesics(tmp_path: Path) -> None:
    read = tfr(tmp_path, merged=f"<abdMergedArea>{RING}</abdMergedArea>")
    footprint = read.areas.area(0).footprints[0]
    assert footprint.is_filled
    top = footprint.points[footprint.points[:, 0] > 36.5e15]
    assert len(top) > 10
    assert 36.5 < top[:, 0].max() / 1e15 < 36.503


def test_times_in_a_zone_of_letters_are_read_and_no_end_is_no_end(tmp_path: Path) -> None:
    (facts,) = tfr(tmp_path, zone="UTC", ends="").areas.facts
    assert (facts.begins, facts.ends) == (datetime(2026, 11, 25, 10, tzinfo=UTC), None)


@pytest.mark.parametrize(
    ("told", "fault"),
    [
        ({"zone": "XYZ"}, FeatureFault.TIME),
        ({"zone": ""}, FeatureFault.TIME),
        ({"begins": "soon"}, FeatureFault.TIME),
        ({"ends": "2026-11-24T20:00:00"}, FeatureFault.TIME),
        ({"upper": ""}, FeatureFault.NUMBER),
        ({"unit": ""}, FeatureFault.UNIT),
        ({"upper_code": "XXX"}, FeatureFault.REFERENCE),
        ({"lower": "4000", "lower_code": "ALT"}, FeatureFault.FLOOR_ABOVE_CEILING),
        ({"shape": ""}, FeatureFault.NO_PLACE),
        ({"shape": RING.replace("GRC", "CWA")}, FeatureFault.NOT_AN_AREA),
        ({"shape": RING.replace("36.5N", "north")}, FeatureFault.NO_PLACE),
    ],
)
def test_what_is_wrong_with_a_restriction_is_told_and_bounds_nothing(
    tmp_path: Path, told: dict[str, str], fault: FeatureFault
) -> None:
    read = tfr(tmp_path, **told)
    assert fault in [problem.fault for problem in read.problems]
    for facts in read.areas.facts:
        assert fault is not FeatureFault.TIME or facts.begins is None or facts.ends is None
        assert fault is FeatureFault.TIME or OPEN in (facts.floor, facts.ceiling)


BOMB = (
    "<!DOCTYPE x ["
    '<!ENTITY a "aaaaaaaaaa">'
    + "".join(f'<!ENTITY {chr(98 + at)} "{f"&{chr(97 + at)};" * 10}">' for at in range(9))
    + "]>"
)


@pytest.mark.parametrize(
    ("head", "why"),
    [
        (BOMB, "DOCTYPE"),
        ('<!DOCTYPE x SYSTEM "file:///etc/hostname">', "DOCTYPE"),
        ("<a>" * 100, "damaged|more parts"),
        ("<XNOTAM-Update>", "damaged"),
        ("<other/>", "damaged"),
    ],
)
def test_xml_with_entities_or_damage_is_refused(tmp_path: Path, head: str, why: str) -> None:
    with pytest.raises(UnreadableFile, match=why):
        tfr(tmp_path, head=head)


def test_other_xml_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "a.xml"
    path.write_text("<html/>", encoding="utf-8")
    with pytest.raises(UnreadableFile, match="isn't a temporary flight restriction"):
        read_edition([path], None, None, ON)


HEAD = """  CURRENCY DATE = 11/01/26
                                   LATITUDE     LONGITUDE     OBSTACLE             AGL   AMSL LT ACC MAR FAA          ACTION
-------------------------------------------------------------------------------------------------------------------------------
"""
LINE = (
    "01-000099 O US NC INVENTED         36 00 00.00N 080 00 00.00W "
    "TOWER              1 00205 01205 R 5 D M                C"
)


def obstacles(tmp_path: Path, *lines: str) -> Edition:
    """The edition of an obstacle file with these lines."""
    path = tmp_path / "obstacles.dat"
    path.write_text(HEAD + "\n".join(lines) + "\n", encoding="latin-1")
    return read_edition([path], None, None, ON)


def test_an_obstacle_is_as_wide_and_high_as_it_may_be(tmp_path: Path) -> None:
    read = obstacles(tmp_path, LINE, LINE.replace("R 5 D", "R 9 I")[:-1] + "D")
    areas = [read.areas.area(at) for at in range(2)]
    assert [one.facts.name for one in areas] == ["TOWER 01-000099", "TOWER, dismantled 01-000099"]
    assert [one.facts.ceiling.feet for one in areas] == [255, 1205]
    assert [round(one.footprints[0].radius_m / M_PER_FT) for one in areas] == [500, 6076]
    assert geodesic_m(MIDDLE, Place(*(areas[0].footprints[0].points[0] / 1e15))) < 0.001


def test_an_obstacle_listed_twice_under_two_numbers_is_kept_twice(tmp_path: Path) -> None:
    read = obstacles(tmp_path, LINE, LINE.replace("01-000099", "01-000098").replace("00205", "00210"))
    areas = [read.areas.area(at) for at in range(2)]
    assert [one.facts.name for one in areas] == ["TOWER 01-000099", "TOWER 01-000098"]
    assert [one.facts.ceiling.feet for one in areas] == [255, 260]
    assert read.problems == ()


@pytest.mark.parametrize("line", ["junk", LINE[:60], LINE.replace("080 00 00.00W", "280 00 00.00W")])
def test_a_line_without_a_place_leaves_the_obstacles_unsure(tmp_path: Path, line: str) -> None:
    read = obstacles(tmp_path, LINE, line)
    assert read.has_gaps
    assert read.problems[0].feature == "obstacles.dat line 5"


def test_an_obstacle_file_of_a_later_day_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "a.dat"
    path.write_text(HEAD.replace("11/01/26", "12/21/26") + LINE, encoding="latin-1")
    with pytest.raises(UsageError, match="takes effect 2026-12-21"):
        read_edition([path], None, None, ON)


def test_airports_of_the_table_are_points(tmp_path: Path) -> None:
    """SYNTHETIC: the names of the columns are published, the row is invented."""
    path = tmp_path / "APT_BASE.csv"
    path.write_text(
        '"EFF_DATE","SITE_TYPE_CODE","ARPT_ID","ARPT_NAME","LAT_DECIMAL","LONG_DECIMAL","ARPT_STATUS"\n'
        '"2026/11/25","A","ZZZ9","INVENTED FIELD",36.0,-80.0,"O"\n"2026/11/25","H","ZZZ8","NO PLACE",,,"O"\n',
        encoding="utf-8",
    )
    read = read_edition([path], None, None, ON)
    assert (read.kind, read.areas.facts[0].name) == (AreaKind.AIRPORT, "INVENTED FIELD (ZZZ9)")
    assert [problem.fault for problem in read.problems] == [FeatureFault.NO_PLACE]
    with pytest.raises(UsageError, match="takes effect"):
        read_edition([path], None, None, date(2026, 11, 24))


def test_a_stadium_has_the_ring_of_the_law_of_the_day(tmp_path: Path) -> None:
    read = read_edition([written(tmp_path / "a.geojson", stadium())], None, None, ON)
    area, law = read.areas.area(0), Law(ON)
    assert read.kind is AreaKind.STADIUM
    assert depth_m(area.footprints[0], MIDDLE) == pytest.approx(law[STADIUM_RING] * 1852)
    assert area.facts.ceiling == HeightLimit(law[STADIUM_HEIGHT], Reference.GROUND)


def test_a_stadium_whose_fields_say_another_place_has_none(tmp_path: Path) -> None:
    told: dict[str, Any] = {"LATITUDE": "36-00-00.00N", "LONGITUDE": "080-00-00.00W"}
    good = read_edition([written(tmp_path / "a.geojson", stadium(**told))], None, None, ON)
    assert good.problems == ()
    bad = read_edition([written(tmp_path / "b.geojson", stadium(-81.0, **told))], None, None, ON)
    assert [problem.fault for problem in bad.problems] == [FeatureFault.OTHER_PLACE]


def test_a_security_restriction_keeps_its_times_as_written(tmp_path: Path) -> None:
    """SYNTHETIC: the names of the fields are published, the values are invented."""
    part = security(ALERTYPE="PART TIME", ACTIVETIME="see notice")
    read = read_edition([written(tmp_path / "a.geojson", security(), part)], None, None, ON)
    assert read.kind is AreaKind.SECURITY
    assert [(one.type, one.hours, one.weekly) for one in read.areas.facts] == [
        ("full time", "", ()),
        ("part time", "PART TIME; see notice", ()),
    ]
    assert read.areas.facts[0].ceiling == HeightLimit(400, Reference.GROUND)


def geopackage(path: Path, *, reference: int = 4326, blob: bytes | None = None) -> Path:
    """A GeoPackage with a volume."""
    ring = square(35.95, -80.05, 0.1)
    outline = struct.pack("<BIII", 1, 3, 1, len(ring)) + b"".join(struct.pack("<2d", *one) for one in ring)
    head = b"GP" + struct.pack("<BBi", 0, 1, reference)
    book = sqlite3.connect(path)
    book.execute("CREATE TABLE gpkg_geometry_columns (table_name, column_name, srs_id)")
    book.execute("INSERT INTO gpkg_geometry_columns VALUES ('v', 'geom', ?)", (reference,))
    fields = volume()["properties"]
    book.execute(f"CREATE TABLE v (geom, {', '.join(fields)})")
    marks = ", ".join("?" * (len(fields) + 1))
    book.execute(
        f"INSERT INTO v VALUES ({marks})", (head + outline if blob is None else blob, *fields.values())
    )
    book.commit()
    book.close()
    return path


def shapes(path: Path, *, projection: str = 'GEOGCS["GCS_WGS_1984"]', leave_out: str = "") -> Path:
    """A zip archive with a shapefile of a volume."""
    shp, shx, dbf = io.BytesIO(), io.BytesIO(), io.BytesIO()
    fields = volume()["properties"]
    with shapefile.Writer(shp=shp, shx=shx, dbf=dbf) as book:
        for name in fields:
            book.field(name, "C")
        book.poly([square(35.95, -80.05, 0.1)[::-1]])
        book.record(*fields.values())
    parts = {
        ".shp": shp.getvalue(),
        ".shx": shx.getvalue(),
        ".dbf": dbf.getvalue(),
        ".prj": projection.encode(),
    }
    with zipfile.ZipFile(path, "w") as archive:
        for part, data in parts.items():
            if part != leave_out:
                archive.writestr(f"folder/a{part}", data)
    return path


@pytest.mark.parametrize("make", [geopackage, shapes])
def test_a_volume_reads_the_same_from_every_form(tmp_path: Path, make: Callable[[Path], Path]) -> None:
    wanted = read_edition([written(tmp_path / "a.geojson", volume())], None, None, ON)
    read = read_edition([make(tmp_path / "a.bin")], None, None, ON)
    assert (read.kind, read.problems) == (AreaKind.CLASS, ())
    assert read.areas.facts[0]._replace(name="") == wanted.areas.facts[0]._replace(name="")
    ours, theirs = (sorted(one.areas.points.tolist()) for one in (read, wanted))
    assert (
        max(
            abs(a - b)
            for one, other in zip(ours, theirs, strict=True)
            for a, b in zip(one, other, strict=True)
        )
        < 10
    )


@pytest.mark.parametrize(
    ("make", "why"),
    [
        (lambda path: geopackage(path, reference=3857), "WGS 84 degrees"),
        (lambda path: shapes(path, projection='PROJCS["WGS 84 / x"]'), "WGS 84 degrees"),
        (lambda path: shapes(path, projection='GEOGCS["NAD83"]'), "WGS 84 degrees"),
        (lambda path: shapes(path, leave_out=".prj"), "file .prj is missing"),
        (lambda path: shapes(path, leave_out=".dbf"), "file .dbf is missing"),
    ],
)
def test_other_forms_that_cant_be_taken_are_refused(
    tmp_path: Path, make: Callable[[Path], Path], why: str
) -> None:
    with pytest.raises(UnreadableFile, match=why):
        read_edition([make(tmp_path / "a.bin")], None, None, ON)


def test_a_damaged_outline_of_a_geopackage_has_no_place(tmp_path: Path) -> None:
    read = read_edition([geopackage(tmp_path / "a.gpkg", blob=b"GP\0\1....\1\3")], None, None, ON)
    assert [problem.fault for problem in read.problems] == [FeatureFault.NO_PLACE]


def test_a_shapefile_without_its_reader_says_what_to_install(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = shapes(tmp_path / "a.zip")
    monkeypatch.setattr("airwrit.airspace.readers.shapefile.shapefile", None)
    with pytest.raises(UnreadableFile, match="the package that reads it isn't installed") as refused:
        read_edition([path], None, None, ON)
    assert "gis" in refused.value.do


def zipped(path: Path, members: dict[str, bytes]) -> Path:
    """A zip archive of members."""
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in members.items():
            archive.writestr(name, data)
    return path


def test_one_file_in_a_zip_is_read_and_several_are_not(tmp_path: Path) -> None:
    data = written(tmp_path / "a.geojson", volume()).read_bytes()
    assert len(read_edition([zipped(tmp_path / "one.zip", {"x/a.geojson": data})], None, None, ON).areas) == 1
    for members in ({"a.geojson": data, "b.geojson": data}, {"readme.txt": b""}):
        with pytest.raises(UnreadableFile, match="no airspace file, or more than one"):
            read_edition([zipped(tmp_path / "many.zip", members)], None, None, ON)


def test_a_zip_that_unpacks_to_too_much_or_to_another_zip_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    inner = zipped(tmp_path / "inner.zip", {"a.json": b"{}"}).read_bytes()
    with pytest.raises(UnreadableFile, match="another zip"):
        read_edition([zipped(tmp_path / "a.zip", {"a.json": inner})], None, None, ON)
    monkeypatch.setattr("airwrit.airspace.readers.files.MOST_BYTES", 10_000)
    with pytest.raises(UnreadableFile, match="larger than"):
        read_edition([zipped(tmp_path / "b.zip", {"a.json": b" " * 1_000_000})], None, None, ON)


BEGINNINGS = [
    b"",
    b"{",
    b"<",
    b"PK\x03\x04",
    b"SQLite format 3\0",
    HEAD.encode(),
    b'"ARPT_ID","ARPT_NAME","LAT_DECIMAL","LONG_DECIMAL"\n',
    b'{"type": "FeatureCollection", "features": [',
    b"<XNOTAM-Update><Group><Add><Not>",
]


@given(st.sampled_from(BEGINNINGS), st.binary(max_size=300))
def test_any_bytes_are_features_or_a_refusal(beginning: bytes, rest: bytes) -> None:
    with suppress(AirwritError):
        found = list(open_features(Path("a"), beginning + rest, field_names()["zones"]).features)
        assert all(isinstance(one, Feature) for one in found)


def features(path: Path) -> Path:
    """A file of several kinds of features."""
    return written(path, volume(), cell(100, 0, 0), stadium())


GOOD_FILES: list[Callable[[Path], Path]] = [geopackage, shapes, restriction, features]


@given(data=st.data())
def test_any_slip_in_a_good_file_is_an_edition_or_a_refusal(
    data: st.DataObject, tmp_path_factory: Any
) -> None:
    folder = tmp_path_factory.mktemp("slips", numbered=True)
    path = data.draw(st.sampled_from(GOOD_FILES))(folder / "a.bin")
    whole = bytearray(path.read_bytes())
    for _ in range(data.draw(st.integers(1, 4))):
        whole[data.draw(st.integers(0, len(whole) - 1))] = data.draw(st.integers(0, 255))
    path.write_bytes(whole)
    kind = data.draw(st.sampled_from([None, *AreaKind]))
    with suppress(AirwritError):
        assert isinstance(read_edition([path], kind, None, ON), Edition)


@given(st.binary(max_size=120))
def test_any_bytes_of_a_geometry_are_one_or_none(rest: bytes) -> None:
    found = geometry_of(b"GP\0\1\0\0\0\0" + rest)
    assert found is None or found["type"]


def test_a_file_that_breaks_its_reader_or_takes_too_long_is_refused(tmp_path: Path) -> None:
    """Limits as tests set them: too little memory for the reader to begin, and no time."""
    path = written(tmp_path / "a.geojson", volume())
    with pytest.raises(UnreadableFile, match="damaged or too large to read"):
        edition_of_files([path], None, None, ON, AIRSPACE_LIMITS._replace(memory_bytes=60_000_000))
    with pytest.raises(UnreadableFile, match="gave up after 0 seconds"):
        edition_of_files([path], None, None, ON, AIRSPACE_LIMITS._replace(seconds=0))
    assert (
        edition_of_files([path], None, None, ON).areas.facts
        == read_edition([path], None, None, ON).areas.facts
    )
    with pytest.raises(UsageError, match="takes effect"):
        edition_of_files([written(tmp_path / "b.geojson", cell(1, 0, 0))], None, None, date(2026, 9, 2))
    with pytest.raises(UnreadableFile, match="cannot be opened"):
        edition_of_files([tmp_path / "none"], None, None, ON)


def test_a_zip_that_names_a_place_before_its_start_is_refused(tmp_path: Path) -> None:
    data = zipped(tmp_path / "a.zip", {"a.json": b"{}"}).read_bytes()
    (tmp_path / "b.zip").write_bytes(data[:4] + data[21:])
    with pytest.raises(UnreadableFile):
        read_edition([tmp_path / "b.zip"], None, None, ON)
