"""Whole reports written by the rules of the federal handbook for surface reports (FMH-1), its remarks too, from memory.

Each is read to the end, or what can't be is listed as written; what was expected was put down by hand before it was run.
"""

from __future__ import annotations

import pytest

from airwrit.sky.weather.forecast import read_forecast
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
    (
        "010056Z 09007KT 3/4SM -FZRA BR OVC004 M01/M02 A2990 RMK AO2 FZRAB12 I1003 CIG 002 RWY27",
        0.75,
        400,
        None,
        (),
    ),
    ("010056Z 31022G35KT 3/16SM BLSN VV002 M18/M21 A2960 RMK AO2 PK WND 31038/0031", 0.1875, 200, 35, ()),
    ("010056Z 15012KT 9SM -DZ OVC012 08/07 A3001 RMK AO2 TWR VIS 6 SLP161", 9, 1200, None, ()),
    ("010056Z 15012KT 10SM TS FEW040CB BKN120 28/20 A2996 RMK TS W MOV E OCNL LTGCG W", 10, 12000, None, ()),
    ("010056Z VRB06G18KT 10SM SCT090 33/04 A3008 RMK AO2 T03280039", 10, None, 18, ()),
    ("010056Z 15012KT 0SM FG VV000 05/05 A3011", 0, 0, None, ()),
    ("010056Z 15012KT 1/4SM R18/2600V4000FT FG OVC002 05/05 A3011", 0.25, 200, None, ()),
    ("010056Z AUTO 15012KT M1/4SM FG VV001 05/05 A3011 RMK AO2 VISNO RWY18", 0.25, 100, None, ()),
    ("010056Z 15012KT 6SM HZ CLR 25/M03 A3011", 6, None, None, ()),
    ("010056Z 15012KT 4SM -PL OVC020 M02/M03 A2975 RMK PLB40", 4, 2000, None, ()),
    ("010056Z 15012KT 2SM -SNPL BKN008 OVC015 M02/M03 A2975", 2, 800, None, ()),
    ("010056Z 15012KT 7SM VCSH FEW030 SCT050 BKN070TCU 20/15 A2987 RMK TCU NE", 7, 7000, None, ()),
    ("010056Z 15012KT 10SM FEW000 SCT250 02/02 A3020 RMK BR FEW000", 10, None, None, ()),
    ("010056Z 21025G41KT 1SM +SHRA BKN015CB OVC030 18/17 A2961 RMK WSHFT 0042 FROPA PRESRR", 1, 1500, 41, ()),
    ("010056Z 15012KT 8SM DU BKN150 30/05 A2980", 8, 15000, None, ()),
    ("010056Z 15012KT 2SM VA OVC050 12/05 A2980", 2, 5000, None, ()),
    ("010056Z 15012KT 10SM OVC100 M40/M44 A3055 RMK T14001440", 10, 10000, None, ()),
    ("010056Z 15012KT 15 SM CLR 10/05 A3000", 15, None, None, ()),
    ("010056Z 15012KT CLR 10/05 A3000", None, None, None, ()),
    ("010056Z 15012 10SM CLR 10/05 A3000", 10, None, None, ("15012",)),
    ("010056Z 15012KT 10SM CLR 10/05 2992", 10, None, None, ("2992",)),
    ("010056Z 15012KT 10SM BKN01O 10/05 A3000", 10, None, None, ("BKN01O",)),
    ("010056Z 15012KT 10SM 10SM CLR 10/05 A3000", 10, None, None, ("10SM",)),
    ("010056Z 15012KT 1SM 10SM CLR 10/05 A3000", 1, None, None, ("10SM",)),
    ("010056Z 15012KT 10SM BKN020 OVC010 10/05 A3000", 10, 1000, None, ()),
    ("010056Z 15012KT 3/0SM CLR 10/05 A3000", None, None, None, ("3/0SM",)),
    ("010056Z 15012G10KT 10SM CLR 10/05 A3000", 10, None, 10, ()),
    ("010056Z 15012KT 10SM CLR 10/15 A3000", 10, None, None, ()),
    ("010056Z 15012KT 10SM SKC XX/05 A3000", 10, None, None, ()),
    ("010056Z 15012KT 10SM CLR", 10, None, None, ()),
    ("010056Z 15012MPS 9999 SCT020 10/05 Q1013", 6.21371192237333969617, None, None, ()),
    ("010056Z 00000KT CAVOK 10/05 Q1020 NOSIG", 6.21371192237333969617, None, None, ()),
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


FORECASTS: tuple[tuple[str, tuple[tuple[str, float | None, int | None], ...], tuple[str, ...]], ...] = (
    ("0100/0206 18010KT P6SM SKC", (("", 6, None),), ()),
    (
        "0100/0206 18010KT P6SM OVC030 FM010500 20015G25KT 4SM -RA OVC015",
        (("", 6, 3000), ("FM", 4, 1500)),
        (),
    ),
    (
        "0100/0206 18010KT P6SM SCT030 TEMPO 0102/0105 1SM +TSRA BKN010CB",
        (("", 6, None), ("TEMPO", 1, 1000)),
        (),
    ),
    ("0100/0206 18010KT 5SM BR VV002 PROB30 0106/0110 1/4SM FG", (("", 5, 200), ("PROB30", 0.25, None)), ()),
    ("0100/0206 18010KT P6SM BKN250 BECMG 0112/0114 OVC008", (("", 6, 25000), ("BECMG", None, 800)), ()),
    ("0100/0206 18010KT P6SM SKC WS020/22045KT", (("", 6, None),), ()),
    ("0100/0206 VRB03KT 1 1/2SM BR BKN004", (("", 1.5, 400),), ()),
    ("0100/0206 18010KT 1/0SM BKN004", (("", None, 400),), ("1/0SM",)),
    ("0100/0206 18010KT P6SM BKN0X4", (("", 6, None),), ("BKN0X4",)),
    ("0100/0206 18010KT ////SM BKN004", (("", None, 400),), ("////SM",)),
    ("0100/0206 18010KT M1/4SM FG OVC001", (("", 0.25, 100),), ()),
    (
        "0100/0206 18010KT P6SM FEW040 PROB40 TEMPO 0120/0124 2SM TSRA",
        (("", 6, None), ("PROB40 TEMPO", 2, None)),
        (),
    ),
)


@pytest.mark.parametrize(("body", "parts", "unread"), FORECASTS)
def test_a_whole_forecast(
    body: str, parts: tuple[tuple[str, float | None, int | None], ...], unread: tuple[str, ...]
) -> None:
    (piece,) = pieces(f"TAF KABC 312330Z {body}")
    forecast = read_forecast(piece)
    found = [
        (
            part.word,
            None if part.conditions.visibility is None else float(part.conditions.visibility.miles.best),
            part.conditions.ceiling_ft,
        )
        for part in forecast.parts
    ]
    assert tuple(found) == parts
    assert tuple(one.text for one in forecast.unread) == unread
