"""Whole reports written by the rules of the federal handbook for surface reports (FMH-1), its remarks too, from memory.

Each is read to the end, or what can't be is listed as written; what was expected was put down by hand before it was run.
"""

from __future__ import annotations

import pytest

from airwrit.sky.weather.report import read_report
from airwrit.sky.weather.texts import pieces

MISSING = "////SM"
REPORTS: tuple[tuple[str, float | None, int | None, int | None, tuple[str, ...]], ...] = (
    ("311856Z AUTO VRB03KT 10SM CLR 22/11 A3002 RMK AO2 SLP159 T02220111", 10, None, None, ()),
    ("311856Z 28016G28KT 240V310 7SM SCT045 BKN080 18/07 A2992 RMK AO2 PK WND 29032/1842", 7, 8000, 28, ()),
    ("010056Z 00000KT M1/4SM R28L/1000V2400FT FG VV001 06/06 A3010", 0.25, 100, None, ()),
    ("010056Z 04003KT 1/8SM R04R/M0600FT FZFG VV/// M03/M03 A3022", 0.125, None, None, ()),
    ("010056Z AUTO 12005KT 1 3/4SM BR OVC004 12/12 A2989 RMK AO1 CIG 003V006", 1.75, 400, None, ()),
    ("010056Z COR 12005KT 3SM -SN BR FEW010 SCT020 OVC030 M01/M02 A2979", 3, 3000, None, ()),
    ("010056Z /////KT 10SM CLR 12/10 A2989", 10, None, None, ("/////KT",)),
    ("010056Z 12005KT ////SM // ////// 12/10 A2989", None, None, None, (MISSING, "//", "//////")),
    ("010056Z AUTO 12005KT 10SM CLR 12/ A3001 RMK AO2 TSNO PWINO $", 10, None, None, ()),
    ("010056Z 36125G140KT 1/2SM +RA SQ OVC005TCU 25/24 A2840", 0.5, 500, None, ("36125G140KT",)),
    ("010056Z 360125G140KT 1/2SM +RA SQ OVC005TCU 25/24 A2840", 0.5, 500, 140, ()),
    ("010056Z 18010KT 15SM FEW250 M00/M04 A3030 RMK T10041042", 15, None, None, ()),
    ("010056Z 18010KT 2 1/2SM HZ FU SKC 30/12 A2995", 2.5, None, None, ()),
    (
        "010056Z 18010KT 5SM -TSRA BKN030CB OVC060 21/19 A2985 RMK LTGICCG OHD TS OHD MOV NE",
        5,
        3000,
        None,
        (),
    ),
    ("010112Z 18010G20KT 1/2SM +TSRAGR BR OVC008CB 17/16 A2981 RMK GR 1 1/4 WSHFT 0058", 0.5, 800, 20, ()),
    ("010056Z 18010KT 3SM VCTS BLSN SCT015 BKN025 M10/M13 A2999", 3, 2500, None, ()),
    (
        "010056Z 27004KT 10SM FU BKN011 OVC018 10/09 A2999 RMK AO2 RAE42SNB42 P0000 60217 10066",
        10,
        1100,
        None,
        (),
    ),
    ("010056Z NIL", None, None, None, ()),
    ("010056Z 27004KT 1SM R33/P6000FT BR SCT003 10/09 A2999", 1, None, None, ()),
    ("010056Z 27004KT 10SM BKN014 A2999 RMK BKN014 V OVC SLPNO", 10, 1400, None, ()),
    ("012456Z 27004KT 10SM CLR 10/09 A2999", 10, None, None, ("012456Z",)),
    ("320056Z 27004KT 10SM CLR 10/09 A2999", 10, None, None, ("320056Z",)),
    ("010056Z 40004KT 10SM CLR 10/09 A2999", 10, None, None, ("40004KT",)),
    ("010056Z 27004KT 5/8SM BR OVC002 20/19 A2970", 0.625, 200, None, ()),
    ("010056Z 27004KT 10SM +FC OVC020 20/19 A2970 RMK TORNADO B13 6 NE", 10, 2000, None, ()),
    ("010056Z 27004KT 10SM BKN/// 10/09 A2999", 10, None, None, ()),
    ("010056Z 27004KT 1 1/2SM", 1.5, None, None, ()),
    ("010056Z 27004KT 10SM FEW015 QWERTY 10/09 A2999", 10, None, None, ("QWERTY",)),
    ("010056Z 27004KT 10SM CLR 10/09 A9999", 10, None, None, ("A9999",)),
)


@pytest.mark.parametrize(("body", "miles", "ceiling_ft", "gust_kt", "unread"), REPORTS)
def test_a_whole_report(
    body: str, miles: float | None, ceiling_ft: int | None, gust_kt: int | None, unread: tuple[str, ...]
) -> None:
    kind = "SPECI" if "0112Z" in body else "METAR"
    (piece,) = pieces(f"{kind} KABC {body}")
    report = read_report(piece)
    said = report.conditions
    assert (None if said.visibility is None else float(said.visibility.miles.best)) == miles
    assert said.ceiling_ft == ceiling_ft
    gust = None if said.wind is None or said.wind.gust_kt is None else said.wind.gust_kt.best
    assert gust == gust_kt
    assert tuple(one.text for one in report.unread) == unread
