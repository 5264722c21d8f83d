"""Height beside a structure: both sides of the radius and of the height, and what wins over the rule."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from airwrit.answers.site.area import read_area
from airwrit.answers.site.structure import StructureAnswer, StructureAsked, structure_json, structure_of
from airwrit.base.measured import exact, with_error
from airwrit.base.places import Place
from airwrit.base.verdict import Verdict

TOWER, DAY = Place(36.0542, -79.9792), date(2026, 12, 1)
MET, NOT_MET, UNKNOWN = Verdict.MET, Verdict.NOT_MET, Verdict.UNKNOWN


def asked(radius_ft: str, height_ft: str, **more: object) -> StructureAnswer:
    area = read_area(f"36.0542, -79.9792 within {radius_ft} ft")
    told = {
        "controlled": False,
        "top_ft": exact(Decimal(1200)),
        "height_ft": exact(Decimal(height_ft)),
        **more,
    }
    return structure_of(StructureAsked(place=TOWER, area=area, on=DAY, **told))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("radius_ft", "height_ft", "verdict", "code"),
    [
        # A tower of 1,200 ft: up to 1,600 ft above ground within a radius of 400 ft (sample exam and training pages).
        ("400", "1600", MET, "inside"),
        ("400", "1600.01", NOT_MET, "over_structure"),
        ("400.1", "1600", NOT_MET, "outside"),
        ("800", "1600", NOT_MET, "outside"),
        ("800", "400", MET, "flat"),
        ("800", "400.01", NOT_MET, "outside"),
    ],
)
def test_both_sides_of_radius_and_height(radius_ft: str, height_ft: str, verdict: Verdict, code: str) -> None:
    answer = asked(radius_ft, height_ft)
    assert (answer.verdict, answer.code) == (verdict, code)


@pytest.mark.parametrize(
    ("more", "verdict", "code"),
    [
        ({"position_error_ft": Decimal(50)}, MET, "inside"),
        ({"position_error_ft": Decimal(51)}, UNKNOWN, "within_doubt"),
        ({"top_ft": with_error(Decimal(1200), Decimal(20))}, UNKNOWN, "within_doubt"),
        ({"height_ft": with_error(Decimal(1590), Decimal(10))}, MET, "inside"),
        ({"height_ft": with_error(Decimal(1595), Decimal(10))}, UNKNOWN, "within_doubt"),
        ({"controlled": None}, UNKNOWN, "no_airspace"),
        ({"controlled": True}, NOT_MET, "no_authorization"),
        ({"controlled": True, "authorized_ft": Decimal(1600)}, MET, "authorized"),
        ({"controlled": True, "authorized_ft": Decimal(1599)}, NOT_MET, "above_authorized"),
        ({"on": date(2016, 8, 28)}, UNKNOWN, "law_not_read"),
    ],
)
def test_doubt_and_what_wins(more: dict[str, object], verdict: Verdict, code: str) -> None:
    told = {"controlled": False, "top_ft": exact(Decimal(1200)), "height_ft": exact(Decimal(1600)), "on": DAY}
    area = read_area("36.0542, -79.9792 within 350 ft")
    answer = structure_of(StructureAsked(place=TOWER, area=area, **{**told, **more}))  # type: ignore[arg-type]
    assert (answer.verdict, answer.code) == (verdict, code)
    assert structure_json(answer)["says"][0]


def test_the_flight_may_be_beside_it() -> None:
    area = read_area("36.0552, -79.9792 within 30 ft")  # some 364 ft north of it
    answer = structure_of(
        StructureAsked(TOWER, exact(Decimal(1200)), area, exact(Decimal(1600)), DAY, controlled=False)
    )
    assert 390 < answer.distance_ft.best < 400
    assert answer.verdict is MET
