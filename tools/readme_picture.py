"""Make the picture of the page that the README shows, out of the invented program, with Chromium.

Needs the test tools and Chromium: `PYTHONPATH=. .venv/bin/python tools/readme_picture.py`. It writes docs/today.png.
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

PICTURE = Path(__file__).parents[1] / "docs" / "today.png"
SIZE = {"width": 1400, "height": 1010}
COLORS = 32
"""So many are enough for two inks on paper, and keep the file small."""


def picture(folder: Path) -> bytes:
    """The first screen of the day's page, as a browser draws it."""
    ledger, rules = demo_ledger(folder)
    program = outside_program("chromium", "chromium-browser", "google-chrome")
    with served(ledger, [rules]) as site, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=program, headless=True, args=FLAGS)
        context = browser.new_context(viewport={"width": SIZE["width"], "height": SIZE["height"]})
        context.add_cookies(
            [{"name": site.cookie["name"], "value": site.cookie["value"], "url": site.address}]
        )
        page = context.new_page()
        page.goto(site.address + "/today")
        page.evaluate("document.fonts.ready")
        taken = page.screenshot()
        browser.close()
    return taken


def main() -> None:
    """Write the picture in few colors."""
    with tempfile.TemporaryDirectory() as folder:
        taken = Image.open(io.BytesIO(picture(Path(folder)))).convert("RGB")
    taken.quantize(COLORS).save(PICTURE, optimize=True)


if __name__ == "__main__":
    main()
