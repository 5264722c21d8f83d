"""The page over a ledger, served for tests in a thread, on a free port, with a clock that stands still."""

from __future__ import annotations

import contextlib
import socket
import threading
import time
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import NamedTuple

import uvicorn

from airwrit.answers.sheets.difference import before
from airwrit.answers.sheets.importing import ImportOptions, keep, preview_of, read_files
from airwrit.demo.upkeep import demo_upkeep
from airwrit.demo.workbook import demo_data, write_demo, write_demo_house
from airwrit.ledger.ports import Draft
from airwrit.ledger.sqlite.store import Ledger
from airwrit.web.server.app import site_of
from airwrit.web.server.guard import ENTER, Session
from airwrit.web.server.workspace import Workspace

NOW = datetime(2026, 11, 25, 18, 0, tzinfo=UTC)
TOKEN = "a-token-for-tests"


class Site(NamedTuple):
    """A page that is being served: its address, its session and its desk."""

    address: str
    port: int
    session: Session
    desk: Workspace

    @property
    def cookie(self) -> dict[str, str]:
        """The cookie of a browser that has come in."""
        return {"name": f"airwrit-{self.port}", "value": self.session.secret, "url": self.address}

    @property
    def entrance(self) -> str:
        """The address that opens the page once."""
        return f"{self.address}{ENTER}{TOKEN}"


def clock() -> datetime:
    """The instant at which all tests of the page take place."""
    return NOW


def demo_ledger(folder: Path) -> tuple[Path, Path]:
    """A ledger made out of the invented workbook, and the file of its house rules."""
    sheet, rules, path = (
        folder / demo_data()["file"],
        folder / demo_data()["house_file"],
        folder / "demo.airwrit",
    )
    write_demo(sheet, NOW.date())
    write_demo_house(rules)
    with Ledger.begin(path) as book:
        read = read_files([(sheet.name, sheet.read_bytes())])
        keep(book, preview_of(read, before(book), ImportOptions("tests", NOW.date())), clock)
        book.append([Draft("tests", "record", demo_upkeep(NOW.date()))], clock)
    return path, rules


@contextlib.contextmanager
def served(ledger: Path, house: Sequence[Path] = ()) -> Iterator[Site]:
    """The page of a ledger while the block runs."""
    listener = socket.socket()
    listener.bind(("127.0.0.1", 0))
    port = listener.getsockname()[1]
    desk, session = Workspace(ledger, clock, "tests", tuple(house)), Session(TOKEN)
    config = uvicorn.Config(
        site_of(desk, session, port), log_level="error", lifespan="off", ws="none", server_header=False
    )
    server = uvicorn.Server(config)
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listener]}, daemon=True)
    thread.start()
    try:
        for _ in range(200):
            if server.started:
                break
            time.sleep(0.02)
        else:
            raise TimeoutError("the page did not begin to answer")
        yield Site(f"http://127.0.0.1:{port}", port, session, desk)
    finally:
        server.should_exit = True
        thread.join(10)
        listener.close()
