"""What tests of the page share: the invented program's ledger, and a visitor who has come in."""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from airwrit.web.server.app import site_of
from airwrit.web.server.forms import HEAD, NONCE
from airwrit.web.server.guard import Session
from airwrit.web.server.workspace import Workspace
from tests.browser.serving import TOKEN, clock, demo_ledger

PORT = 8000
_OWN = re.compile(rf'name="({HEAD}|{NONCE})" value="([^"]*)"')

Visitor = Callable[..., TestClient]


def client_of(desk: Workspace, *, come_in: bool = True, **more: Any) -> TestClient:
    """A client of the page over a desk; `come_in` gives it the cookie."""
    session = Session(TOKEN)
    more.setdefault("client", ("127.0.0.1", 50_000))
    client = TestClient(
        site_of(desk, session, PORT), base_url=f"http://127.0.0.1:{PORT}", follow_redirects=False, **more
    )
    client.headers["origin"] = f"http://127.0.0.1:{PORT}"
    if come_in:
        client.cookies.set(f"airwrit-{PORT}", session.secret, domain="127.0.0.1")
    return client


def own_fields(source: str) -> dict[str, str]:
    """The fields that a form carries by itself, out of a page's source."""
    return dict(_OWN.findall(source))


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """The ledger of the invented program and its house rules; to be read only."""
    return demo_ledger(tmp_path_factory.mktemp("demo"))


@pytest.fixture
def own_ledger(demo: tuple[Path, Path], tmp_path: Path) -> Path:
    """A copy of the invented program's ledger, to be written into."""
    return Path(shutil.copy(demo[0], tmp_path / "own.airwrit"))


@pytest.fixture
def visitor(demo: tuple[Path, Path]) -> Visitor:
    """Makes a visitor who has come in: of the invented program, or of the ledger given."""

    def visiting(ledger: Path | None = None, house: Sequence[Path] = (), **more: Any) -> TestClient:
        rules = (demo[1],) if ledger is None else tuple(house)
        return client_of(Workspace(ledger or demo[0], clock, "tests", rules), **more)

    return visiting
