"""Terrain on the page: what no tile tells is unknown, a tile on file answers, and what can't be read is told at its field."""

from __future__ import annotations

import html
from pathlib import Path

import numpy as np

from tests.unit.web.conftest import Visitor


def test_without_and_with_a_tile(visitor: Visitor, own_ledger: Path) -> None:
    query = {"place": "40.5, -105.5", "height": "300", "radius": "100 m"}
    bare = html.unescape(visitor(own_ledger).get("/terrain", params=query).text)
    assert "These terrain tiles aren't on file: N40W106." in bare
    folder = own_ledger.parent / "terrain"
    folder.mkdir()
    (folder / "N40W106.hgt").write_bytes(np.full((1201, 1201), 1600, ">i2").tobytes())
    page = html.unescape(visitor(own_ledger).get("/terrain", params=query).text)
    assert "At most 300 ft (91 m) above ground," in page
    assert "N40W106: 1201 points per side" in page
    document = visitor(own_ledger).get("/terrain.json", params=query).json()
    assert (document["verdict"], document["ground"]["lowest_m"]) == ("met", 1600)


def test_what_cant_be_read_is_told_at_its_field(visitor: Visitor) -> None:
    for query, field in (
        ({"place": "-105.5, 40.5"}, "place"),
        ({"place": "40.5, -105.5", "radius": "-5"}, "radius"),
        ({"place": "40.5, -105.5", "radius": "90 km"}, "radius"),
        ({"place": "40.5, -105.5", "height": "high"}, "height"),
        ({"place": "40.5, -105.5", "height": "100", "above": "takeoff"}, "takeoff"),
    ):
        page = visitor().get("/terrain", params=query)
        assert page.status_code == 422, query
        assert f'href="#f-{field}"' in page.text
        assert field in visitor().get("/terrain.json", params=query).json()["wrong"]
