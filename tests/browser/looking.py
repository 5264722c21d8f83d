"""Looking at a page as an outsider does: axe for accessibility, html5lib and tidy for the source, a tape for requests."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path
from typing import Any

import html5lib
from axe_playwright_python.base import AXE_SCRIPT
from playwright.sync_api import BrowserContext, ConsoleMessage, Page, Request

from tests.outside import outside_program

_TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
_TIDY = ("-q", "-e", "-utf8", "--show-info", "no", "--drop-empty-elements", "no", "--mute-id", "yes")
# tidy goes by lists older than SVG 2 and WAI-ARIA 1.1: nested drawings, links in drawings, newer ARIA; axe looks at these
_NOT_FAULTS = re.compile(r'proprietary attribute "(aria-[a-z]+|href|inputmode|tabindex|x|y)"')
_STANDS_OUT: set[str] = set()
"""The ways of showing text that axe found to stand out: color, size and weight of the letters, and what lies under them."""
_LOOKS = (Path(__file__).parent / "looks.js").read_text(encoding="utf-8")


class Tape:
    """All that a browser context asked for and complained about."""

    def __init__(self, context: BrowserContext, address: str) -> None:
        self.address = address
        self.foreign: list[str] = []
        self.complaints: list[str] = []
        context.on("request", self._asked)
        context.on("console", self._said)
        context.on("weberror", lambda error: self.complaints.append(str(error.error)))

    def _asked(self, request: Request) -> None:
        if not request.url.startswith((self.address + "/", "data:", "blob:")):
            self.foreign.append(request.url)

    def _said(self, message: ConsoleMessage) -> None:
        # a page that answers 4xx on purpose makes the browser say so
        if (
            message.type in ("error", "warning")
            and "the server responded with a status of 4" not in message.text
        ):
            self.complaints.append(f"{message.type}: {message.text}")

    def check(self) -> None:
        """Fail on a request that left the page's own address, and on a word in the console; then begin anew."""
        foreign, complaints = self.foreign, self.complaints
        self.foreign, self.complaints = [], []
        assert foreign == []
        assert complaints == []


def axe(page: Page) -> None:
    """Fail on any violation of WCAG 2.2 A and AA that axe finds on the page as it stands.

    Most of its time goes to the contrast of every text. Texts of one color, size and weight on the same grounds stand out
    alike: of them axe looks at one, and not again on other pages. What is placed over other things it always looks at.
    """
    page.evaluate(AXE_SCRIPT)
    options: dict[str, Any] = {
        "runOnly": {"type": "tag", "values": _TAGS},
        "resultTypes": ["violations", "passes"],
        "elementRef": True,
        "preload": False,
    }
    found = page.evaluate(_LOOKS, [options, sorted(_STANDS_OUT)])
    assert found["violations"] == []
    _STANDS_OUT.update(found["passed"])


def faults_of(source: str) -> list[str]:
    """What html5lib in its strict form and tidy find wrong with the source of a page."""
    parser = html5lib.HTMLParser(strict=False)
    parser.parse(source)
    found = [f"html5lib {place}: {code} {about}" for place, code, about in parser.errors]
    done = subprocess.run(
        [outside_program("tidy"), *_TIDY],
        input=source,
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
    )
    found += [line for line in done.stderr.splitlines() if line and not _NOT_FAULTS.search(line)]
    return found


def wide(page: Page) -> int:
    """How many pixels the page is wider than its window."""
    width: int = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
    return width
