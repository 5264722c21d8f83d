"""Areas pasted as GeoJSON or KML: longitude first, one area at a time; what can't be meant is refused by name."""

from __future__ import annotations

import json
from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.answers.sheets.difference import NOTHING_HELD, HandEntry, saying_by_hand
from airwrit.answers.site.area import read_area
from airwrit.answers.site.pasted_area import area_pasted
from airwrit.base.errors import BadFact
from airwrit.facts.statement import Statement

RING = [[-105.27, 40.01], [-105.27, 40.02], [-105.25, 40.02], [-105.27, 40.01]]
POLYGON = {"type": "Polygon", "coordinates": [RING]}
TYPED = "40.0100000, -105.2700000; 40.0200000, -105.2700000; 40.0200000, -105.2500000"
KML = '<?xml version="1.0"?><kml xmlns="http://www.opengis.net/kml/2.2"><Placemark>{}</Placemark></kml>'
KML_RING = (
    "<Polygon><outerBoundaryIs><LinearRing><coordinates>-105.27,40.01,0 -105.27,40.02,0 -105.25,40.02,0 "
    "-105.27,40.01,0</coordinates></LinearRing></outerBoundaryIs>{}</Polygon>"
)
HOLE = (
    KML_RING.replace("outerBoundaryIs", "innerBoundaryIs")
    .replace("<Polygon>", "")
    .replace("{}</Polygon>", "")
)


@pytest.mark.parametrize(
    "text",
    [
        json.dumps(POLYGON),
        json.dumps({"type": "Feature", "properties": {}, "geometry": POLYGON}),
        json.dumps({"type": "FeatureCollection", "features": [{"type": "Feature", "geometry": POLYGON}]}),
        json.dumps({"type": "MultiPolygon", "coordinates": [[RING]]}),
        "\ufeff" + json.dumps(POLYGON),
        KML.format(KML_RING.format("")),
    ],
)
def test_one_polygon_reads_as_its_corners(text: str) -> None:
    assert area_pasted(text) == TYPED
    assert len(read_area(area_pasted(text)).points) == 4


def test_a_point_reads_as_a_place_and_what_is_typed_stays() -> None:
    point = {"type": "Point", "coordinates": [-105.27, 40.01, 1600]}
    assert area_pasted(json.dumps(point)) == "40.0100000, -105.2700000"
    assert area_pasted(KML.format("<Point><coordinates>-105.27,40.01</coordinates></Point>")) == (
        "40.0100000, -105.2700000"
    )
    assert area_pasted("40.01, -105.27") == "40.01, -105.27"


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("{", "can't read this GeoJSON"),
        ('{"type": "Polygon"}', "can't read this GeoJSON"),
        (json.dumps({"type": "LineString", "coordinates": RING}), "LineString isn't an area"),
        (json.dumps({"type": "Polygon", "coordinates": [RING, RING]}), "has holes"),
        (json.dumps({"type": "MultiPolygon", "coordinates": [[RING], [RING]]}), "2 areas"),
        (json.dumps({"type": "FeatureCollection", "features": []}), "no area"),
        (
            json.dumps({"type": "Polygon", "coordinates": [[[b, a] for a, b in RING]]}),
            "look swapped",
        ),
        ("<kml>", "broken off"),
        (KML.format(KML_RING.format(HOLE)), "has holes"),
        (KML.format("<Point><coordinates>here</coordinates></Point>"), "isn't a position"),
        ('<!DOCTYPE k [<!ENTITY a "b">]><kml/>', "document type"),
        ("{" + "1" * 300_000, "too long"),
    ],
)
def test_what_is_no_one_area_is_refused_by_name(text: str, what: str) -> None:
    with pytest.raises(BadFact, match=what):
        area_pasted(text)


@given(st.text(max_size=80).map("{".__add__) | st.text(max_size=80).map("<".__add__))
def test_no_text_gives_anything_but_an_area_or_a_refusal(text: str) -> None:
    with suppress(BadFact):
        assert area_pasted(text)


@given(st.recursive(st.none() | st.floats() | st.text(max_size=5), lambda x: st.lists(x, max_size=3)))
def test_no_coordinates_give_anything_but_an_area_or_a_refusal(told: object) -> None:
    with suppress(BadFact):
        assert area_pasted(json.dumps({"type": "Polygon", "coordinates": told}))


@pytest.mark.parametrize("told", [[], [[]]])
def test_a_polygon_without_coordinates_has_no_holes(told: object) -> None:
    with pytest.raises(BadFact, match="no coordinates"):
        area_pasted(json.dumps({"type": "Polygon", "coordinates": told}))


@pytest.mark.parametrize(
    "area", ["40.01, -105.27", "the big field", json.dumps({"type": "Polygon", "coordinates": []})]
)
def test_a_site_whose_area_cant_be_read_is_named_when_it_is_told(area: str) -> None:
    told = HandEntry((Statement("saved_site/North", "site_area", area),))
    with pytest.raises(BadFact) as caught:
        saying_by_hand(NOTHING_HELD, told, "ada")
    assert caught.value.where == "saved_site/North, area of the site"
    assert caught.value.do


def test_a_site_with_an_area_and_one_without_are_told() -> None:
    told = (
        Statement("saved_site/North", "site_area", TYPED),
        Statement("saved_site/South", "site_area", None),
    )
    assert len(saying_by_hand(NOTHING_HELD, HandEntry(told), "ada").changes) == 2
