"""The pictures of the README and the guides: made here of the invented program, each small and shown where it is said to be.

AIRWRIT_WRITE_PICTURES=1 writes them; look at what changed in them.
"""

from __future__ import annotations

import io
import os
from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import Browser

from tests.browser.serving import Site

ROOT = Path(__file__).parents[2]
DOCS = ROOT / "docs"
FLIGHT = (
    "/before-flight?place=40.0150,+-105.2705&radius=300+ft&height=200&day=2026-11-25&start=13:00&end=13:40"
    "&aircraft=aircraft/Alder+1&pilot=person/Maris+Tolland&for=work"
)
"""The form of a flight, filled: it is sent before its picture is taken."""
ACCIDENT = (
    "/incident?happened_on=2026-11-25&happened_time=09:10&incident_zone=America/Denver&incident_under=Part+107"
    "&anyone_hurt=nobody&damaged_property=property+apart+from+the+aircraft&repair_cost_usd=1150&total_loss=no"
    "&flew_away=yes&airworthiness_certificate=no"
)
PICTURES = {
    "today.png": ("/today", "README.md"),
    "guides/incident.png": (ACCIDENT, "docs/guides/lead.md"),
    "guides/report.png": ("/reports/month?month=2026-11", "docs/guides/lead.md"),
    "guides/before-flight.png": (FLIGHT, "docs/guides/pilot.md"),
    "guides/maintenance.png": ("/maintenance", "docs/guides/mechanic.md"),
    "guides/seal.png": ("/seal-records", "docs/guides/it.md"),
    "guides/rule.png": ("/rules/recency", "docs/guides/developer.md"),
}
"""Each picture with the page that it shows, and the text that shows it."""
SIZE = (1400, 1010)
MOST_BYTES = 150_000
COLORS = 32
"""So many are enough for two inks on paper, and keep the file small."""


@pytest.fixture(scope="module")
def taken(browser: Browser, site: Site) -> dict[str, Image.Image]:
    """The first screen of each page, as a browser draws it."""
    context = browser.new_context(viewport={"width": SIZE[0], "height": SIZE[1]})
    context.add_cookies([{"name": site.cookie["name"], "value": site.cookie["value"], "url": site.address}])
    page, found = context.new_page(), {}
    for name, (path, _) in PICTURES.items():
        answer = page.goto(site.address + path)
        assert answer is not None
        assert answer.status == 200, name
        if path is FLIGHT:
            page.get_by_role("button", name="Check it").click()
            page.wait_for_load_state()
        page.evaluate("document.fonts.ready")
        found[name] = Image.open(io.BytesIO(page.screenshot())).convert("RGB")
    context.close()
    return found


@pytest.mark.parametrize("name", PICTURES)
def test_a_picture_is_made_of_its_page(name: str, taken: dict[str, Image.Image]) -> None:
    path = DOCS / name
    if os.environ.get("AIRWRIT_WRITE_PICTURES"):
        taken[name].quantize(COLORS).save(path, optimize=True)
    with Image.open(path) as drawn:
        assert drawn.size == taken[name].size == SIZE
    assert path.stat().st_size < MOST_BYTES
    shown_in = ROOT / PICTURES[name][1]
    assert os.path.relpath(path, shown_in.parent) in shown_in.read_text(encoding="utf-8")
