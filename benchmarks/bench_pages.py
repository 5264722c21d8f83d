"""Milliseconds and bytes of every page by size of program, and as many times a bare Starlette answer of the same size.

Each is the least of some tries, in time of the processor but for the start. The first column is of a desk that has read
nothing yet; the second of one that was made ready, as a server makes it at its start; the third after an entry was written
since the page was last shown; the fourth with nothing changed. Then what it takes from the command to the first page. A file
to save is not held to the limits of a page.

python benchmarks/bench_pages.py [AIRCRAFT PEOPLE [FLIGHTS OF EACH]]
"""

from __future__ import annotations

import gzip
import json
import os
import platform
import signal
import subprocess
import sys
import tempfile
import time
from collections import defaultdict
from datetime import UTC, datetime
from pathlib import Path
from statistics import median
from typing import NamedTuple
from urllib.request import HTTPCookieProcessor, build_opener

from starlette.applications import Starlette
from starlette.middleware.gzip import GZipMiddleware
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route
from starlette.testclient import TestClient

from airwrit.facts.key import Raw
from airwrit.facts.statement import Statement
from airwrit.ledger.ports import Draft
from airwrit.ledger.sqlite.store import Ledger
from airwrit.web.server.app import make_ready, site_of
from airwrit.web.server.guard import Session
from airwrit.web.server.site import PAGES
from airwrit.web.server.workspace import Workspace

sys.path.insert(0, str(Path(__file__).parent))
from bench_standing import NOW, aircraft_facts, person_facts

SIZES = ((300, 100, 4), (10_000, 2_000, 0), (10_000, 2_000, 4))
"""Aircraft, people, and flights on record of each aircraft."""
PORT = 8000
BATCH = 2_000
RUNS, TRIES = 5, 3
MOST_MS, MOST_BYTES = 250, 150_000
STARTS_MS, STANDS_MS, STILL_MS = 1000, 3000, 300
NAMED = {
    "/aircraft/{id:path}": "/aircraft/A5",
    "/people/{id:path}": "/people/P3",
    "/record-change/{act}": "/record-change/buy",
    "/take-back/{entry}": "/take-back/5",
    "/record-change/{act}/{subject:path}": "/record-change/sell/aircraft/A9",
    "/attach-file/{subject:path}": "/attach-file/aircraft/A5",
    "/which-registration/{subject:path}": "/which-registration/aircraft/A5",
    "/release/{aircraft:path}": "/release/A1",
    "/rules/{rule}": "/rules/marked_outside",
}
"""An address for each page with a name in it."""
FILES = (
    "/document/{digest}",
    "/pilot-papers/{kind}",
    "/registration-sheets/{subject:path}",
    "/which-registration.pdf",
)
"""What is saved and not shown: how long it takes to set is told by bench_papers."""
MORE = (
    "/aircraft?find=FA00TEST00017",
    "/log-flight?all=yes",
    "/pilot-papers?pilot=P3&aircraft=A5",
    "/pilot-papers/html?pilot=P3&aircraft=A5",
)


GREAT = (
    "/today",
    "/aircraft",
    "/aircraft/A5",
    "/people/P3",
    "/deadlines",
    "/record-change/sell/aircraft/A9",
    "/log-flight",
)
"""The pages that are timed in a great program."""


def written(path: Path, aircraft: int, people: int, flights: int = 4) -> None:
    """A ledger of invented aircraft and people, with some flights of each aircraft, one of them with a defect."""
    facts: list[tuple[str, str, Raw]] = [
        ("owner/Program", "owner_kind", "corporation"),
        ("owner/Program", "organized_in_us", True),
        ("owner/Program", "based_and_used_in_us", True),
    ]
    for number in range(aircraft):
        facts += aircraft_facts(number, people)
    for number in range(people):
        facts += person_facts(number)
    for number in range(max(2, flights * aircraft)):
        flight = f"flight/F{number}"
        facts += [
            (flight, "flight_aircraft", f"A{number % aircraft}"),
            (flight, "flight_pilot", f"P{number % people}"),
            (flight, "flown_on", f"2026-10-{1 + number % 28:02d}"),
            (flight, "minutes", "20"),
            (flight, "packs", f"K{number % (2 * aircraft)}"),
        ]
    facts.append(("flight/F1", "defect_seen", "crack in the left arm"))
    said: dict[str, list[Statement]] = defaultdict(list)
    for fact in facts:
        said[fact[0]].append(Statement(*fact))
    drafts = [Draft("bench", "record", tuple(mine)) for mine in said.values()]
    with Ledger.begin(path) as book:
        for at in range(0, len(drafts), BATCH):
            book.append(drafts[at : at + BATCH], lambda: datetime(2026, 11, 20, tzinfo=UTC))


def visitor(desk: Workspace) -> TestClient:
    """A client that has come in to the page of a desk."""
    session = Session("bench")
    client = TestClient(
        site_of(desk, session, PORT), base_url=f"http://127.0.0.1:{PORT}", client=("127.0.0.1", 50_000)
    )
    client.cookies.set(f"airwrit-{PORT}", session.secret, domain="127.0.0.1")
    return client


def desk_of(path: Path) -> Workspace:
    """A desk that has read nothing yet."""
    return Workspace(path, lambda: NOW)


def addresses() -> list[str]:
    """An address of every page that is shown. KeyError names one that is not told here."""
    shown = [page.path for page in PAGES if page.path not in FILES]
    return [NAMED[path] if "{" in path else path for path in shown] + list(MORE)


def timed(client: TestClient, path: str) -> tuple[float, bytes]:
    """Milliseconds of the processor for one request, and what was answered; others may use the machine meanwhile."""
    start = time.process_time()
    answer = client.get(path)
    took = (time.process_time() - start) * 1000
    answer.raise_for_status()
    return took, answer.content


def bare(content: bytes) -> float:
    """Milliseconds of a bare Starlette answer with these bytes, packed as ours are: the middle of some runs."""

    async def answered(_: Request) -> Response:
        return Response(content)

    client = TestClient(GZipMiddleware(Starlette(routes=[Route("/", answered)])))
    return median(timed(client, "/")[0] for _ in range(RUNS))


def start_ms(path: Path) -> float:
    """Milliseconds by the clock on the wall from the command to the whole first page."""
    program = Path(sys.executable).with_name("airwrit")
    command = [str(program), "open-page", "--ledger", str(path), "--no-open", "--json"]
    began = time.perf_counter()
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as running:
        told = next(iter(running.stdout or ()))
        with build_opener(HTTPCookieProcessor()).open(json.loads(told)["address"]) as answer:
            answer.read()
        took = time.perf_counter() - began
        running.send_signal(signal.SIGINT)
    return took * 1000


class Took(NamedTuple):
    """Milliseconds of a page: cold, ready, after a write, with nothing changed; its bytes when packed; times a bare answer."""

    cold: float
    ready: float
    written: float
    again: float
    packed: int
    ratio: float


def took_by(path: Path, page: str, tries: int) -> Took:
    """The least of some tries of a page in each state of a desk."""
    cold = min(timed(visitor(desk_of(path)), page)[0] for _ in range(tries))
    ready, writing = [], []
    for number in range(tries):
        desk = desk_of(path)
        make_ready(desk)
        client = visitor(desk)
        ready.append(timed(client, page)[0])
        weighed = Statement(f"aircraft/A{20 + number}", "takeoff_weight_g", f"{time.time_ns() % 10_000}")
        with Ledger(path) as book:
            book.append([Draft("bench", "record", (weighed,))], lambda: NOW)
        writing.append(timed(client, page)[0])
    again, content = min(timed(client, page) for _ in range(tries))
    return Took(cold, min(ready), min(writing), again, len(gzip.compress(content)), again / bare(content))


def measured(path: Path, *, small: bool, only_standing: bool) -> list[str]:
    """Print the figures of a ledger; return what is over its limit."""
    over = []
    pages = addresses() if small else GREAT[: 1 if only_standing else None]
    warm = visitor(desk_of(path))
    for page in pages:
        warm.get(page)  # templates are read once in the life of a server
    print(f"  {'':36} {'cold':>7} {'ready':>7} {'written':>7} {'again':>7}  ms {'kB':>7}   times bare")
    for page in pages:
        one = took_by(path, page, TRIES if small or page == "/today" else 1)
        told = "".join(f" {ms:7.0f}" for ms in one[:4])
        print(f"  {page:36}{told}     {one.packed / 1000:7.1f}   {one.ratio:5.1f}", flush=True)
        if one.packed > MOST_BYTES:
            over.append(f"{page}: {one.packed / 1000:.0f} kB")
        if small and max(one.ready, one.written) > MOST_MS and not page.endswith(".ics"):
            over.append(f"{page}: {one.ready:.0f} ms, {one.written:.0f} ms after a write")
        if not small and page == "/today" and (one.cold > STANDS_MS or one.again > STILL_MS):
            over.append(f"{page}: {one.cold:.0f} ms, then {one.again:.0f} ms")
    took = min(start_ms(path) for _ in range(RUNS)) if small else 0
    if small:
        print(f"  from the command to the first page {took:.0f} ms")
    return [*over, *([f"start: {took:.0f} ms"] if took > STARTS_MS else [])]


def main() -> None:
    """Print every figure with the machine it was taken on; end with 1 where one is over its limit."""
    print(
        f"{platform.machine()}, {os.cpu_count()} processors, Python {platform.python_version()}, load {os.getloadavg()[0]:.1f}"
    )
    told = [int(text) for text in sys.argv[1:]]
    over = []
    for aircraft, people, flights in [(*told, 4)[:3]] if told else SIZES:
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "bench.airwrit"
            written(path, aircraft, people, flights)
            print(f"{aircraft:,} aircraft, {people:,} people, {flights * aircraft:,} flights")
            over += measured(path, small=aircraft <= SIZES[0][0], only_standing=not flights)
    for one in over:
        print(f"over its limit: {one}")
    sys.exit(1 if over else 0)


if __name__ == "__main__":
    main()
