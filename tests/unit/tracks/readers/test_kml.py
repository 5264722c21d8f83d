"""KML and KMZ: both namespaces, missing values, order, modes, archives that could do harm. All documents are synthetic."""

from __future__ import annotations

import io
import zipfile
from dataclasses import replace
from pathlib import Path

import pytest

from airwrit.base.errors import UnreadableFile
from airwrit.tracks.track import HeightDatum
from tests.unit.tracks.logs import ANSWERS, counts, only, read, utc

WHENS = "".join(f"<when>2026-06-01T12:00:0{at}Z</when>" for at in range(3))
COORDS = "".join(f"<gx:coord>-71.3 44.27 {300 + at}</gx:coord>" for at in range(3))
ABSOLUTE = "<altitudeMode>absolute</altitudeMode>"


def kml(inside: str) -> str:
    return (
        '<kml xmlns="http://www.opengis.net/kml/2.2" xmlns:gx="http://www.google.com/kml/ext/2.2">'
        f"<Document><Placemark>{inside}</Placemark></Document></kml>"
    )


def track(inside: str, mode: str = ABSOLUTE) -> str:
    return kml(f"<gx:Track>{mode}{inside}</gx:Track>")


@pytest.mark.parametrize("inside", [WHENS + COORDS, COORDS + WHENS])
def test_times_and_places_pair_up_in_either_order(tmp_path: Path, inside: str) -> None:
    found = only(read(tmp_path, track(inside)))
    assert found.heights_m[HeightDatum.SEA_LEVEL].tolist() == [300, 301, 302]
    assert found.lat_e7.tolist() == [442700000] * 3
    assert utc(found)[2] == "2026-06-01T12:00:02.000"


def test_modes_say_what_heights_are_from(tmp_path: Path) -> None:
    ground = only(read(tmp_path, track(WHENS + COORDS, "<altitudeMode>relativeToGround</altitudeMode>")))
    assert list(ground.heights_m) == [HeightDatum.GROUND]
    clamped = only(read(tmp_path, track(WHENS + COORDS, "")))
    assert clamped.heights_m == {}
    assert counts(clamped)["heights_on_ground"] == 3
    told = replace(ANSWERS, heights_from=HeightDatum.TAKEOFF)
    assert list(only(read(tmp_path, track(WHENS + COORDS, ""), told)).heights_m) == [HeightDatum.TAKEOFF]


def test_an_empty_place_keeps_its_time_and_an_empty_time_is_none(tmp_path: Path) -> None:
    gap = only(read(tmp_path, track(WHENS + COORDS.replace("-71.3 44.27 301", ""))))
    assert gap.placed.tolist() == [True, False, True]
    untimed = only(read(tmp_path, track(WHENS.replace("2026-06-01T12:00:01Z", "") + COORDS)))
    assert len(untimed.row) == 2
    assert counts(untimed)["no_time"] == 1


def test_more_times_than_places_is_said_with_both_counts(tmp_path: Path) -> None:
    reading = read(tmp_path, track(WHENS + WHENS + COORDS))
    assert [one.detail for one in reading.problems] == ["6 times, 3 places"]


@pytest.mark.parametrize("name", ["MultiTrack", "gx:MultiTrack"])
def test_stretches_of_a_multitrack_stay_apart(tmp_path: Path, name: str) -> None:
    later = WHENS.replace("12:00", "13:00")
    inside = f"<gx:Track>{WHENS}{COORDS}</gx:Track><gx:Track>{later}{COORDS}</gx:Track>"
    found = only(read(tmp_path, kml(f"<{name}>{ABSOLUTE}{inside}</{name}>")))
    assert found.segment is not None
    assert found.segment.tolist() == [0, 0, 0, 1, 1, 1]


def test_moments_with_a_point_each(tmp_path: Path) -> None:
    one = (
        "<TimeStamp><when>2026-06-01T12:00:0{at}Z</when></TimeStamp>"
        "<Point>{mode}<coordinates>-71.3,44.27,30{at}</coordinates></Point>"
    )
    told = "</Placemark><Placemark>".join(one.format(at=at, mode=ABSOLUTE) for at in range(3))
    assert only(read(tmp_path, kml(told))).heights_m[HeightDatum.SEA_LEVEL].tolist() == [300, 301, 302]


def test_a_line_has_no_times(tmp_path: Path) -> None:
    with pytest.raises(UnreadableFile, match="no times"):
        read(
            tmp_path,
            kml("<LineString><coordinates>-71.3,44.27,300 -71.4,44.27,300</coordinates></LineString>"),
        )


def archive(*members: tuple[str, bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as told:
        for name, data in members:
            told.writestr(name, data)
    return out.getvalue()


def test_an_archive_is_read_in_place_whatever_its_names(tmp_path: Path) -> None:
    data = archive(("../../outside.kml", track(WHENS + COORDS).encode()), ("/etc/other.kml", b"<kml/>"))
    assert len(only(read(tmp_path, data)).row) == 3
    assert sorted(path.name for path in tmp_path.iterdir()) == ["log.bin"]


def test_archives_that_could_do_harm_are_refused(tmp_path: Path) -> None:
    with pytest.raises(UnreadableFile, match="Unzipped, this KMZ is too large"):
        read(tmp_path, archive(("doc.kml", b"<kml>" + b" " * 30_000_000)))
    with pytest.raises(UnreadableFile, match="no KML"):
        read(tmp_path, archive(("doc.txt", b"x")))
    with pytest.raises(UnreadableFile, match="damaged"):
        read(tmp_path, archive(("doc.kml", b"<kml/>"))[:-30])
    with pytest.raises(UnreadableFile, match="document type"):
        read(tmp_path, archive(("doc.kml", b"<!DOCTYPE kml><kml/>")))


def test_a_document_that_breaks_off_gives_what_it_has(tmp_path: Path) -> None:
    whole = track(COORDS + WHENS)
    reading = read(tmp_path, whole[: whole.rindex("<when>")])
    assert len(only(reading).row) == 2
    assert [str(one.code) for one in reading.problems] == ["cut_short", "lengths_differ"]


@pytest.mark.parametrize(
    "about",
    [
        "<description><![CDATA[Serial number: <b>ZZ9ZTEST0001</b>]]></description>",
        '<ExtendedData><Data name="Serial Number"><value>ZZ9ZTEST0001</value></Data></ExtendedData>',
        '<ExtendedData><SchemaData><SimpleData name="serial">ZZ9ZTEST0001</SimpleData></SchemaData></ExtendedData>',
    ],
)
def test_a_placemark_tells_the_serial_number_of_its_track(tmp_path: Path, about: str) -> None:
    """Before or after the track; a battery's is none, and another placemark's counts for its own track only."""
    mine = f"<gx:Track>{ABSOLUTE}{WHENS}{COORDS}</gx:Track>"
    for inside in (about + mine, mine + about):
        assert only(read(tmp_path, kml(inside))).serials == ("ZZ9ZTEST0001",)
    other = '<ExtendedData><Data name="battery serial"><value>ZZ9ZTEST0002</value></Data></ExtendedData>'
    found = read(tmp_path, kml(f"{mine}{about}</Placemark><Placemark>{mine}{other}"))
    assert [one.serials for one in found.tracks] == [("ZZ9ZTEST0001",), ()]
    point = f"<TimeStamp><when>2026-06-01T12:00:00Z</when></TimeStamp>{about}"
    point += "<Point><coordinates>-71.3,44.27,300</coordinates></Point>"
    assert only(read(tmp_path, kml(point))).serials == ("ZZ9ZTEST0001",)
