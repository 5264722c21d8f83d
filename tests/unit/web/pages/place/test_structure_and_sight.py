"""The pages of a structure and of line of sight: the command's answers, and what can't be read at its field."""

from __future__ import annotations

import html
from pathlib import Path

import numpy as np
import pytest

from tests.unit.web.conftest import Visitor

BESIDE = {"place": "40.5, -105.5", "area": "40.5, -105.5 within 350 ft", "height": "1600", "top": "1200"}
SEEN = {"pilot": "40.5, -105.5", "area": "40.51, -105.5 within 500 ft", "height": "300"}


@pytest.mark.parametrize(
    ("more", "verdict", "code"),
    [
        ({}, "unknown", "no_airspace"),
        ({"controlled": "no"}, "met", "inside"),
        ({"controlled": "yes"}, "not_met", "no_authorization"),
        ({"controlled": "yes", "authorized": "1500"}, "not_met", "above_authorized"),
        ({"controlled": "no", "height": "500 m"}, "not_met", "over_structure"),
        ({"controlled": "no", "position_error": "100"}, "unknown", "within_doubt"),
        ({"controlled": "no", "top": "", "top_above_sea": "6400", "ground": "5200"}, "met", "inside"),
    ],
)
def test_a_structure_is_answered_like_the_command(
    visitor: Visitor, more: dict[str, str], verdict: str, code: str
) -> None:
    document = visitor().get("/height-near-tower.json", params=BESIDE | more).json()
    assert (document["verdict"], document["code"]) == (verdict, code)
    page = html.unescape(visitor().get("/height-near-tower", params=BESIDE | more).text)
    assert document["says"][0] in page


def test_sight_with_and_without_the_ground(visitor: Visitor, own_ledger: Path) -> None:
    bare = visitor(own_ledger).get("/line-of-sight.json", params=SEEN).json()
    assert (bare["verdict"], bare["ground"]) == ("unknown", "unknown")
    folder = own_ledger.parent / "terrain"
    folder.mkdir()
    posts = np.full((1201, 1201), 1600, ">i2")
    posts[:600, 600] = 1600
    posts[590:596] = 2500  # a ridge from west to east, between the pilot and the flight
    (folder / "N40W106.hgt").write_bytes(posts.tobytes())
    document = visitor(own_ledger).get("/line-of-sight.json", params=SEEN | {"size": "35 cm"}).json()
    assert (document["verdict"], document["ground"]) == ("not_met", "blocked")
    page = html.unescape(visitor(own_ledger).get("/line-of-sight", params=SEEN | {"size": "35 cm"}).text)
    assert "The ground is in the way." in page
    assert "We assume normal 20/20 sight." in page


@pytest.mark.parametrize(
    ("path", "query", "field"),
    [
        ("/height-near-tower", BESIDE | {"place": "-105.5, 40.5"}, "place"),
        ("/height-near-tower", BESIDE | {"area": "40.5, -105.5"}, "area"),
        ("/height-near-tower", BESIDE | {"height": ""}, "height"),
        ("/height-near-tower", BESIDE | {"height": "-5"}, "height"),
        ("/height-near-tower", BESIDE | {"top": ""}, "top"),
        ("/height-near-tower", BESIDE | {"authorized": "high"}, "authorized"),
        ("/line-of-sight", SEEN | {"pilot": "18SUJ23"}, "pilot"),
        ("/line-of-sight", SEEN | {"area": ""}, "area"),
        ("/line-of-sight", SEEN | {"size": "wide"}, "size"),
    ],
)
def test_what_cant_be_read_is_told_at_its_field(
    visitor: Visitor, path: str, query: dict[str, str], field: str
) -> None:
    page = visitor().get(path, params=query)
    assert page.status_code == 422
    assert f'href="#f-{field}"' in page.text
    assert field in visitor().get(f"{path}.json", params=query).json()["wrong"]


def test_an_empty_form_asks_and_answers_nothing(visitor: Visitor) -> None:
    for path in ("/height-near-tower", "/line-of-sight"):
        page = visitor().get(path)
        assert page.status_code == 200
        assert "verdict" not in visitor().get(f"{path}.json").json()


def test_a_distance_past_a_mile_is_told_in_miles(visitor: Visitor) -> None:
    far = {**SEEN, "area": "41.5, -105.5 within 500 ft"}
    assert (
        "69.1 statute miles (111.2 km)" in visitor().get("/line-of-sight.json", params=far).json()["says"][1]
    )
    assert "4,154 ft" in visitor().get("/line-of-sight.json", params=SEEN).json()["says"][1]
