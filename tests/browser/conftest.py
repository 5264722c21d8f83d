"""What tests in a real browser share: one Chromium, one page over the invented program, contexts that are taped."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator, Mapping
from contextlib import ExitStack
from pathlib import Path
from typing import Any, NamedTuple

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

from tests.browser.looking import Tape
from tests.browser.serving import Site, demo_ledger, served
from tests.outside import outside_program

FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]

Open = Callable[..., tuple[BrowserContext, Tape]]


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Chromium as the system has it."""
    program = outside_program("chromium", "chromium-browser", "google-chrome")
    with sync_playwright() as playwright:
        running = playwright.chromium.launch(executable_path=program, headless=True, args=FLAGS)
        yield running
        running.close()


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """The ledger of the invented program and its house rules; to be read only."""
    return demo_ledger(tmp_path_factory.mktemp("demo"))


@pytest.fixture(scope="session")
def site(demo: tuple[Path, Path]) -> Iterator[Site]:
    """The page over the invented program; to be read only."""
    ledger, rules = demo
    with served(ledger, [rules]) as running:
        yield running


@pytest.fixture
def own_site(demo: tuple[Path, Path], tmp_path: Path) -> Iterator[Site]:
    """The page over a copy of the invented program, to be written into."""
    ledger, rules = demo
    shutil.copy(ledger, tmp_path / "own.airwrit")
    with served(tmp_path / "own.airwrit", [rules]) as running:
        yield running


@pytest.fixture
def empty_site(tmp_path: Path) -> Iterator[Site]:
    """The page where there is no ledger yet."""
    with served(tmp_path / "new.airwrit") as running:
        yield running


class Lens(NamedTuple):
    """A way of looking at a site: a context of the browser that has come in, and its tape."""

    context: BrowserContext
    tape: Tape


class Window(NamedTuple):
    """A lens with a page in it, kept for the run: one page after the other is opened there."""

    page: Page
    tape: Tape


@pytest.fixture(scope="session")
def windows(browser: Browser, site: Site) -> Iterator[Mapping[str, Window]]:
    """The ways in which every page is looked at."""
    narrow = {"viewport": {"width": 360, "height": 780}, "has_touch": True, "is_mobile": True}
    ways: dict[str, dict[str, Any]] = {
        "wide": {"viewport": {"width": 1280, "height": 900}, "color_scheme": "light"},
        "narrow": {**narrow, "color_scheme": "dark"},
        "no_script": {**narrow, "java_script_enabled": False},
    }
    made = {name: _taped(browser.new_context(**way), site, come_in=True) for name, way in ways.items()}
    yield {name: Window(lens.context.new_page(), lens.tape) for name, lens in made.items()}
    for lens in made.values():
        lens.context.close()


def _taped(context: BrowserContext, site: Site, *, come_in: bool) -> Lens:
    context.set_default_timeout(15_000)
    if come_in:
        context.add_cookies([site.cookie])  # type: ignore[list-item]
    return Lens(context, Tape(context, site.address))


@pytest.fixture
def opened(browser: Browser) -> Iterator[Open]:
    """Opens a context of the browser that has come in to a site; when the test ends, its tape is checked."""
    tapes: list[Tape] = []
    with ExitStack() as stack:

        def open_context(site: Site, *, width: int = 1280, come_in: bool = True, **more: Any) -> Lens:
            more.setdefault("viewport", {"width": width, "height": 900})
            lens = _taped(stack.enter_context(browser.new_context(**more)), site, come_in=come_in)
            tapes.append(lens.tape)
            return lens

        yield open_context
    for tape in tapes:
        tape.check()
