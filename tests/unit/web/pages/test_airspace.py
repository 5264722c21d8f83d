"""The page of airspace: the form, what is on file, what applies to a place asked, its twin, and what can't be meant."""

from __future__ import annotations

import html
from pathlib import Path

import pytest

from tests.unit.airspace.features import cell, restriction, volume, written
from tests.unit.cli.command import run
from tests.unit.web.conftest import Visitor

QUERY = {"place": "36.004, -79.996", "height": "150", "on": "2026-11-25", "start": "14:00"}


@pytest.fixture
def on_file(own_ledger: Path) -> Path:
    """A ledger with a map, class D and a restriction beside it."""
    folder = own_ledger.parent
    files = [written(folder / f"{at}.geojson", one) for at, one in enumerate((cell(100, 0, 0), volume()))]
    for path in (*files, restriction(folder / "tfr.xml")):
        day = "2026-11-25" if path.suffix == ".xml" else "2026-11-12"
        done = run(
            folder, "airspace", "import", str(path), "--edition", day, "--folder", str(folder / "airspace")
        )
        assert done.returncode == 0, done.stderr
    return own_ledger


def test_a_place_asked_gets_what_restricts_it_first(visitor: Visitor, on_file: Path) -> None:
    page = visitor(on_file).get("/airspace", params=QUERY)
    text = html.unescape(page.text)
    assert page.status_code == 200
    assert '<p class="say">A restriction on file covers you: TFR 6/0001 Oakford.</p>' in text
    assert "The FAA can approve up to 100 ft above ground here" in text
    assert "You asked about 150 ft, which is higher than that." in text
    assert "INVENTED CLASS D (CLASS_D)" in text
    assert "Stadiums: nothing on file for Nov 25, 2026, so we can't tell. Get Stadiums at https://" in text
    twin = visitor(on_file).get("/airspace.json", params=QUERY).json()
    assert (twin["map"]["lowest_ft"], twin["airspace_class"], twin["notice_covers"]) == (100, "D", True)


def test_without_a_place_it_lists_what_is_on_file(visitor: Visitor, on_file: Path) -> None:
    text = visitor(on_file).get("/airspace", params={"on": "2026-11-25"}).text
    assert "UAS facility map: edition dated Nov 12, 2026, good through Jan 6, 2027." in text
    assert "Get Special Use Airspace at" in text
    assert visitor(on_file).get("/airspace.json").json()["question"] == "airspace list"


@pytest.mark.parametrize(
    ("told", "field", "says"),
    [
        ({"place": "95, -80"}, "place", "a latitude of 95"),
        ({"height": "high"}, "height", "That isn't a number of feet"),
        ({"height": ""}, "height", "Enter how high you fly"),
        ({"height": "100", "low": "200"}, "low", "enter the lower one first"),
        ({"radius": "60000"}, "radius", "Choose 0 to 50000 ft"),
        ({"ground": "hill"}, "ground", "isn't a ground elevation"),
        ({"start": "25:00"}, "start", "isn't a time of day"),
        ({"place": "36, -80", "area": "yes"}, "place", "don't make an area"),
        ({"place": "36, -80; 36, -70"}, "place", "degrees wide"),
    ],
)
def test_what_cant_be_meant_is_said_at_its_field(
    visitor: Visitor, told: dict[str, str], field: str, says: str
) -> None:
    page = visitor().get("/airspace", params={**QUERY, **told})
    assert page.status_code == 422
    assert f'href="#f-{field}"' in page.text
    assert says.lower() in html.unescape(page.text).lower()
    assert visitor().get("/airspace.json", params={**QUERY, **told}).json()["wrong"]
