"""Remarks by the federal handbook (FMH-1, chapter 12, from memory): second sites, storms and where they go, hail and snow.

What each means, and what stays unread, was put down by hand before it was run. None changes the report's own groups.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from airwrit.sky.weather.report import WeatherReport, read_report
from airwrit.sky.weather.texts import pieces


def remarked(remarks: str) -> WeatherReport:
    """A report of 5 miles, 1,000 ft and 5 knots with these remarks."""
    (piece,) = pieces(f"METAR KABC 010056Z 12005KT 5SM BR OVC010 12/11 A2992 RMK {remarks}")
    return read_report(piece)


@pytest.mark.parametrize(
    ("remarks", "means"),
    [
        ("VIS 2 1/2 RWY11", ["Visibility 2 1/2 statute miles at a second sensor, runway 11."]),
        ("VIS M1/4 RWY29L", ["Visibility less than 1/4 statute mile at a second sensor, runway 29L."]),
        ("CIG 002 RWY11", ["Ceiling 200 ft at a second sensor, runway 11."]),
        ("TWR VIS 1 1/2", ["Visibility 1 1/2 statute miles at the tower."]),
        ("SFC VIS M1/4", ["Visibility less than 1/4 statute mile at the surface."]),
        ("VISNO RWY06", ["Visibility at a second sensor isn't reported. Runway 06."]),
        ("CHINO RWY24R", ["Cloud height at a second sensor isn't reported. Runway 24R."]),
        ("WSHFT 1715", ["The wind shifted at 17:15 UTC."]),
        ("WSHFT 30 FROPA", ["The wind shifted at 30 minutes past the hour.", "A front passed."]),
        ("PK WND 280105/1955", ["Peak wind from 280 degrees true at 105 kt."]),
        ("OCNL LTGIC DSNT W", ["Occasional lightning seen far off, W."]),
        ("FRQ LTGCGIC VC", ["Frequent lightning seen nearby."]),
        ("LTG DSNT ALQDS", ["Lightning seen far off, all around."]),
        ("TS SE MOV NE", ["Thunderstorm seen SE, moving NE."]),
        ("TS OHD AND W MOV E", ["Thunderstorm seen overhead, W, moving E."]),
        ("CB W MOV E", ["Cumulonimbus (thunderstorm) clouds seen W, moving E."]),
        ("TCU 6 NE", ["Towering cumulus seen 6 miles NE."]),
        ("VIRGA SW", ["Rain or snow that doesn't reach the ground seen SW."]),
        ("TORNADO B13 6 NE", ["Tornado seen 6 miles NE."]),
        ("FUNNEL CLOUD B11E26 3 NW", ["Funnel cloud seen 3 miles NW."]),
        ("GR 1 3/4", ["Largest hailstone: 1 3/4 inches."]),
        ("GR M1/4", ["Largest hailstone: less than 1/4 inches."]),
        ("SNINCR 2/10", ["Snow: 2 inches in the last hour, 10 inches on the ground."]),
        (
            "4/018 933036",
            ["18 inches of snow on the ground.", "The snow on the ground holds 3.6 inches of water."],
        ),
        ("ACFT MSHP", ["This report was made because of an aircraft mishap."]),
        ("8/563", ["Types of low, middle and high clouds."]),
    ],
)
def test_what_a_remark_means(remarks: str, means: list[str]) -> None:
    report = remarked(remarks)
    at = next(place for place, group in enumerate(report.groups) if group.text == "A2992")
    assert [group.means for group in report.groups[at + 1 :]] == means
    assert report.plain_remarks == ""
    unchanged(report)


@pytest.mark.parametrize(
    "remarks",
    [
        "VIS 2",
        "VIS RWY11 2",
        "VIS 3/5 RWY11",
        "CIG 002",
        "CIG 0020 RWY11",
        "CIG 002V",
        "TWR VIS",
        "SFC VIS M2 1/2",
        "WSHFT 2561",
        "WSHFT",
        "MOV NE",
        "GR BIG",
        "1SM OVC001 00000KT A3050 CLR",
        "BLIZZARD LIKE",
    ],
)
def test_what_is_no_remark_by_its_form_stays_as_written(remarks: str) -> None:
    report = remarked(remarks)
    assert report.plain_remarks == remarks
    unchanged(report)


def unchanged(report: WeatherReport) -> None:
    """The report's own groups are as without the remark."""
    said = report.conditions
    assert said.visibility is not None
    assert said.wind is not None
    assert (said.visibility.miles.best, said.wind.speed_kt.best) == (Decimal(5), Decimal(5))
    assert said.ceiling_ft == 1000
    assert report.lowest_visibility is not None
    assert report.lowest_visibility.best == 5
    assert report.varying_ceiling_ft is None
    assert report.unread == ()


def test_the_lowest_of_several_directions_counts() -> None:
    report = remarked("VIS NE 2 1/2 S 1/2")
    assert [(toward, seen.best) for toward, seen in report.toward] == [
        ("NE", Decimal("2.5")),
        ("S", Decimal("0.5")),
    ]
    assert report.lowest_visibility is not None
    assert report.lowest_visibility.best == Decimal("0.5")
    assert remarked("VIS N 2 S").plain_remarks == "S"
