"""Running the page: a loopback socket, the address told, the browser opened, an orderly end."""

from __future__ import annotations

import json
import secrets
import socket
import webbrowser
from collections.abc import Sequence
from contextlib import closing, suppress
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory
from threading import Thread
from typing import NamedTuple

import click
import uvicorn

from airwrit.answers.sheets.difference import before
from airwrit.answers.sheets.importing import ImportOptions, keep, preview_of, read_files
from airwrit.base.errors import AirwritError, UsageError
from airwrit.cli.look.demo_flights import keep_demo_flights
from airwrit.cli.shared.options import now
from airwrit.cli.shared.own_rules import house_given
from airwrit.demo.upkeep import demo_upkeep
from airwrit.ledger.ports import Draft
from airwrit.ledger.sqlite.store import Ledger
from airwrit.web.server.app import make_ready, site_of
from airwrit.web.server.guard import ENTER, Session
from airwrit.web.server.patience import PatientProtocol
from airwrit.web.server.workspace import Workspace

HOST = "127.0.0.1"
_PAUSE_S = 2.0


class ServerPlace(NamedTuple):
    """Where and how it is served: the port (0 for a free one), whether a browser is opened, how the address is told."""

    port: int = 0
    opens: bool = True
    as_json: bool = False
    query: str = ""


def serve(ledger: Path, place: ServerPlace, house: Sequence[Path] = (), by: str = "page") -> None:
    """Serve a ledger's page until it is told to end. UsageError when the port is taken, BadHouseFile on bad house rules."""
    house_given(house)
    with closing(_bound(place.port)) as listener:
        port = listener.getsockname()[1]
        token = secrets.token_urlsafe(24)
        desk = Workspace(ledger, lambda: now().astimezone(), by, tuple(house))
        app = site_of(desk, Session(token), port)
        address = f"http://{HOST}:{port}{ENTER}{token}" + (f"?{place.query}" if place.query else "")
        config = uvicorn.Config(
            app,
            log_level="error",
            access_log=False,
            server_header=False,
            lifespan="off",
            ws="none",
            http=PatientProtocol,
            timeout_graceful_shutdown=3,
            proxy_headers=False,
        )
        Thread(target=make_ready, args=(desk, _PAUSE_S), daemon=True).start()
        with suppress(KeyboardInterrupt):  # Ctrl-C, passed on once the server has ended in order
            _Server(config, address, place).run(sockets=[listener])
        if not place.as_json:
            click.echo("The page is closed.")


def serve_demo(sheet: Path, rules: Path, day: date, place: ServerPlace) -> None:
    """Serve the invented program out of a ledger that is thrown away with the page."""
    today = now().astimezone().date()
    with TemporaryDirectory(ignore_cleanup_errors=True) as folder:
        ledger = Path(folder) / "demo.airwrit"
        with Ledger.begin(ledger) as book:
            read = read_files([(sheet.name, sheet.read_bytes())])
            keep(book, preview_of(read, before(book), ImportOptions("demo", day)), now)
            book.append([Draft("demo", "record", demo_upkeep(day))], now)
        Thread(target=_with_flights, args=(ledger, rules, day), daemon=True).start()
        query = "" if day == today else f"on={day}"
        serve(ledger, place._replace(query=query), (rules,), "demo")


def _with_flights(ledger: Path, rules: Path, day: date) -> None:
    """Plan the demo's flights while its page is open already; where that is closed meanwhile, there is nothing to plan for."""
    with suppress(AirwritError, OSError), Ledger.at(ledger) as book:
        keep_demo_flights(book, day, now(), house_given((rules,)).rules)


class _Server(uvicorn.Server):
    """A server that tells its address once it answers."""

    def __init__(self, config: uvicorn.Config, address: str, place: ServerPlace) -> None:
        super().__init__(config)
        self._address, self._place = address, place

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        """Begin to answer, then tell where."""
        await super().startup(sockets)
        if self._place.as_json:
            click.echo(json.dumps({"address": self._address}))
        else:
            click.echo(f"The page is open at {self._address}")
            click.echo("The link opens it once, on this computer only. Ctrl-C ends it.")
        if self._place.opens:
            webbrowser.open(self._address)


def _bound(port: int) -> socket.socket:
    """A socket on this machine's own address. UsageError when the port cannot be had."""
    made = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    try:
        made.bind((HOST, port))
    except OSError as fault:
        made.close()
        raise UsageError(
            f"port {port} can't be used ({fault.strerror})",
            where="--port",
            do="leave out --port to get a free one",
        ) from fault
    return made
