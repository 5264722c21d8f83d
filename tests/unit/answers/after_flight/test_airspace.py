"""Airspace and terrain on file along a flown track: into Class D and out, its hours, its doubt, and the ground underneath."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from airwrit.airspace.kinds import AreaKind
from airwrit.airspace.reading import read_edition
from airwrit.airspace.shelf import shelve
from airwrit.answers.after_flight.question import FlownFolders
from airwrit.answers.after_flight.view import clause_text, how_much_text, whole_lines
from airwrit.answers.airspace.typed_area import TypedArea, edition_typed
from airwrit.base.verdict import Verdict
from airwrit.tracks.path import Doubts
from airwrit.tracks.track import HeightDatum
from tests.unit.airspace.features import feature, volume, written
from tests.unit.answers.after_flight.asking import ASKED, answered, clause
from tests.unit.geo.test_terrain import tile
from tests.unit.tracks.made import bump, made

RULE = "authority_controlled_airspace"
EAST_M = 87.24
"""Meters from the takeoff to the edge, a thousandth of a degree of longitude at 38.5 north."""


@pytest.fixture
def folders(tmp_path: Path) -> FlownFolders:
    """Class D begins a thousandth of a degree to the east, on weekdays from 8 to 5."""
    ring = [[-98.499, 38.4], [-98.4, 38.4], [-98.4, 38.6], [-98.499, 38.6], [-98.499, 38.4]]
    fields = {
        "NAME": "SYNTHETIC",
        "CLASS": "D",
        "LOCAL_TYPE": "CLASS_D",
        "TIMESOFUSE": "MON-FRI 0800-1700 LOCAL",
    }
    file = written(tmp_path / "class.geojson", feature({**volume()["properties"], **fields}, ring))
    shelve(tmp_path / "airspace", read_edition((file,), None, None, date(2026, 5, 28)))
    return FlownFolders(tmp_path / "airspace")


def test_into_class_d_and_out(folders: FlownFolders) -> None:
    """150 m east and back within ramps of 30 s from 200 to 300 s: inside from 217.4 to 282.6 s, 62.8 m deep."""
    found = answered(made(bump(30, 570, 50.0, 20), east_m=bump(200, 300, 150.0, 30)), folders=folders)
    one = clause(found, RULE)
    assert one.verdict is Verdict.NOT_MET
    (interval,) = one.past
    assert interval.about == "SYNTHETIC"
    assert interval.start_us / 1e6 == pytest.approx(200 + 30 * EAST_M / 150, abs=0.1)
    assert interval.until_us / 1e6 == pytest.approx(300 - 30 * EAST_M / 150, abs=0.1)
    assert how_much_text(interval).startswith("205.9 ft (62.8 m) inside, give or take 3.3 ft")


def test_beside_it_after_its_hours_and_within_doubt(folders: FlownFolders) -> None:
    high = bump(30, 570, 50.0, 20)
    beside = clause(answered(made(high, east_m=bump(200, 300, 60.0, 30)), folders=folders), RULE)
    assert (beside.verdict, beside.code) == (Verdict.UNKNOWN, "none_on_file")
    evening = made(high, east_m=bump(200, 300, 150.0, 30), starts=datetime(2026, 6, 10, 23, tzinfo=UTC))
    assert not clause(answered(evening, folders=folders), RULE).past
    near = made(high, east_m=bump(200, 300, 95.0, 30), horizontal_m=10.0)
    doubtful = clause(answered(near, folders=folders), RULE)
    assert doubtful.verdict is Verdict.UNKNOWN
    assert doubtful.in_doubt


@pytest.mark.parametrize(
    ("ceiling", "datum", "code", "line"),
    [
        ("4000 ft MSL", HeightDatum.SEA_LEVEL, "notice_authorized", "The aircraft was inside Fire."),
        ("4000 ft MSL", HeightDatum.TAKEOFF, "inside_edges", ""),
        ("500 ft AGL", HeightDatum.TAKEOFF, "notice_authorized", "The aircraft was inside Fire."),
    ],
)
def test_inside_a_notice_with_no_word_on_whether_it_was_allowed(
    tmp_path: Path, ceiling: str, datum: HeightDatum, code: str, line: str
) -> None:
    """A flight 8 km inside its edge didn't come close to it: what is open is the authorization, or the height."""
    area = TypedArea(AreaKind.NOTICE, "Fire", "38.5, -98.5", date(2026, 6, 1), 30_000.0, ceiling=ceiling)
    shelve(tmp_path, edition_typed(area))
    track = made(
        bump(60, 500, 50.0, 60), datum=datum, zero_m=500.0 if datum is HeightDatum.SEA_LEVEL else 0.0
    )
    found = answered(track, folders=FlownFolders(tmp_path))
    one = clause(found, "tfr")
    assert (one.verdict, one.code) == (Verdict.UNKNOWN, code)
    said = " ".join(whole_lines(found))
    assert "so close" not in said
    assert line in said
    if code == "inside_edges":
        assert clause_text(one, found).startswith("The aircraft was inside the edges of Fire.")


def test_an_edition_that_is_too_old_is_no_edition(folders: FlownFolders) -> None:
    later = made(bump(30, 570, 50.0, 20), starts=datetime(2026, 9, 10, 15, tzinfo=UTC))
    assert clause(answered(later, folders=folders), RULE).code == "no_edition"


def test_the_ground_on_file_makes_heights_above_it(tmp_path: Path) -> None:
    """Level ground at 500 m; 150 m above takeoff is 492 ft, beyond what sensor and ground data may be off together."""
    tile(tmp_path, "N38W099.hgt", 500)
    track, asked = made(bump(60, 500, 150.0, 60)), ASKED._replace(doubts=Doubts())
    high = clause(answered(track, asked, folders=FlownFolders(None, tmp_path)), "height_limit")
    assert high.verdict is Verdict.NOT_MET
    assert high.best is not None
    assert float(high.best.high - high.best.best) == pytest.approx((2 + 100) ** 0.5 / 0.3048, abs=0.2)
    nothing = clause(answered(track, asked, folders=FlownFolders(None, tmp_path / "none")), "height_limit")
    assert nothing.verdict is Verdict.UNKNOWN
