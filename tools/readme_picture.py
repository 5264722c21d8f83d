"""Make the pictures of the page that the README and the guides show, out of the invented program, with Chromium.

Needs the test tools and Chromium: `PYTHONPATH=. .venv/bin/python tools/readme_picture.py`. It writes docs/today.png and the
pictures in docs/guides.
"""

from __future__ import annotations

import io
import tempfile
from pathlib import Path

from PIL import Image
from playwright.sync_api import sync_playwright

from tests.browser.conftest import FLAGS
from tests.browser.serving import demo_ledger, served
from tests.outside import outside_program

DOCS = Path(__file__).parents[1] / "docs"
PICTURES = {
    "today.png": "/today",
    "guides/incident.png": (
        "/incident?happened_on=2026-11-25&happened_time=09:10&incident_zone=America/Denver&incident_under=Part+107"
        "&anyone_hurt=nobody&damaged_property=property+apart+from+the+aircraft&repair_cost_usd=1150&total_loss=no"
        "&flew_away=yes&airworthiness_certificate=no"
    ),
    "guides/report.png": "/reports/month?month=2026-11",
}
"""Each picture with the page that it shows."""
SIZE = {"width": 1400, "height": 1010}
COLORS = 32
"""So many are enough for two inks on paper, and keep the file small."""


def pictures(folder: Path) -> dict[str, bytes]:
    """The first screen of each page, as a browser draws it."""
    ledger, rules = demo_ledger(folder)
    program = outside_program("chromium", "chromium-browser", "google-chrome")
    with served(ledger, [rules]) as site, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=program, headless=True, args=FLAGS)
        context = browser.new_context(viewport={"width": SIZE["width"], "height": SIZE["height"]})
        context.add_cookies(
            [{"name": site.cookie["name"], "value": site.cookie["value"], "url": site.address}]
        )
        page = context.new_page()
        taken = {}
        for name, path in PICTURES.items():
            page.goto(site.address + path)
            page.evaluate("document.fonts.ready")
            taken[name] = page.screenshot()
        browser.close()
    return taken


def main() -> None:
    """Write the pictures in few colors."""
    with tempfile.TemporaryDirectory() as folder:
        for name, taken in pictures(Path(folder)).items():
            drawn = Image.open(io.BytesIO(taken)).convert("RGB")
            drawn.quantize(COLORS).save(DOCS / name, optimize=True)


if __name__ == "__main__":
    main()
