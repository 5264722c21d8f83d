"""Layers by the names of their fields: identification areas, fixed sites, special use airspace, the airport table."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from airwrit.airspace.here import look_up
from airwrit.airspace.hours import ActiveState
from airwrit.airspace.kinds import AreaKind
from airwrit.airspace.reading import read_edition
from airwrit.airspace.shelf import shelve
from airwrit.answers.airspace.at import restricting
from airwrit.answers.airspace.question import TypedQuestion, asked_of
from tests.unit.airspace.features import feature, point, square, volume, written

ON = date(2026, 11, 25)
"""A Wednesday."""
COLUMNS = (
    "EFF_DATE SITE_NO SITE_TYPE_CODE STATE_CODE ARPT_ID CITY COUNTRY_CODE REGION_CODE ADO_CODE STATE_NAME COUNTY_NAME "
    "COUNTY_ASSOC_STATE ARPT_NAME OWNERSHIP_TYPE_CODE FACILITY_USE_CODE LAT_DECIMAL LONG_DECIMAL SURVEY_METHOD_CODE ELEV "
    "MAG_VARN MAG_HEMIS ARPT_STATUS TWR_TYPE_CODE ICAO_ID"
)
ROW = "2026/10/29 00001. A ZZ ZZZ9 OAKFORD US AXX XXX NOWHERE CREEK ZZ INVENTED PU PU 36.0 -80.0 E 812 8 W O NON-ATCT"


def test_identification_areas_and_fixed_sites_inform_and_restrict_nothing(tmp_path: Path) -> None:
    """SYNTHETIC: no sample of either layer was at hand; a name and an outline or a point are all that is read."""
    outline = feature({"NAME": "INVENTED CLUB FIELD"}, square(35.99, -80.01, 0.02))
    place = point(-80.0, 36.0, NAME="INVENTED FIXED SITE")
    for kind, one in ((AreaKind.FRIA, outline), (AreaKind.FIXED_SITE, place)):
        read = read_edition([written(tmp_path / f"{kind.value}.geojson", one)], kind, None, ON)
        assert read.problems == ()
        shelve(tmp_path / "airspace", read)
    here = look_up(tmp_path / "airspace", asked_of(TypedQuestion("36, -80", ON, 200)))
    assert {one.area.name for one in here.touched} == {"INVENTED CLUB FIELD", "INVENTED FIXED SITE"}
    assert not any(restricting(here).values())


def test_hours_of_special_use_airspace_are_those_of_the_place(tmp_path: Path) -> None:
    """SYNTHETIC but for the names and the form of the hours, which a published record has."""
    told = {"TYPE_CODE": "R", "LOCAL_TYPE": None, "NAME": "INVENTED RANGE"}
    hours = ("SUNRISE TO SUNSET, MON - FRI", "0800 - 2200, DAILY", "INTERMITTENT BY NOTAM", "WHEN WE FLY")
    features = [volume(**told, TIMESOFUSE=text, GMTOFFSET="-5", DST_CODE="1") for text in hours]
    read = read_edition([written(tmp_path / "a.geojson", *features)], AreaKind.SPECIAL, None, ON)
    shelve(tmp_path / "airspace", read)

    def states(on: date, start: str, end: str) -> list[ActiveState]:
        typed = TypedQuestion("36, -80", on, 200, start=start, end=end)
        here = look_up(tmp_path / "airspace", asked_of(typed))
        by_text = {one.area.hours: one.times.state for one in here.touched}
        return [by_text[text] for text in hours]

    always, never = ActiveState.ALWAYS, ActiveState.NOT
    open_ones = [ActiveState.BY_NOTAM, ActiveState.BY_TEXT]
    assert states(ON, "12:00", "13:00") == [always, always, *open_ones]
    assert states(ON, "19:00", "20:00") == [never, always, *open_ones]
    assert states(ON, "23:00", "23:30") == [never, never, *open_ones]
    assert states(date(2026, 11, 28), "12:00", "13:00") == [never, always, *open_ones]


def test_the_airport_table_is_read_by_its_published_columns(tmp_path: Path) -> None:
    """SYNTHETIC: the columns as published, in their order as far as they are known; the row is invented."""
    path = tmp_path / "APT_BASE.csv"
    lines = (",".join(f'"{one}"' for one in line) for line in (COLUMNS.split(), [*ROW.split(), ""]))
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    read = read_edition([path], None, None, ON)
    assert (read.kind, read.problems) == (AreaKind.AIRPORT, ())
    assert (read.areas.facts[0].name, read.areas.facts[0].type) == ("INVENTED (ZZZ9)", "A, O")
