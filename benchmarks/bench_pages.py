"""Milliseconds and bytes of every page by size of program, and as many times a bare Starlette answer of the same size.

Each is the least of some tries, in time of the processor. The first column is of a desk that has reckoned nothing yet, as
after an entry was written; the second of one that has the standing; the third with nothing changed. Then what it takes from
the command to the first page. A file to save is not held to the limits of a page.

python benchmarks/bench_pages.py [AIRCRAFT PEOPLE]
"""

from __future__ import annotations

import gzip
import json
import os
import platform
import resource
import signal
import subprocess
import sys
import tempfile
import time
from collections import defaultdict
from datetime import UTC, datetime
from pathlib import Path
from statistics import median
from urllib.request import HTTPCookieProcessor, build_opener

from starlette.applications import Starlette
from starlette.middleware.gzip import GZipMiddleware
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route
from starlette.testclient import TestClient

from airwrit.facts.key import Raw
from airwrit.facts.statement import Statement
from airwrit.ledger.store import Draft, Ledger
from airwrit.web.app import site_of
from airwrit.web.desk import Desk
from airwrit.web.guard import Session
from airwrit.web.site import PAGES

sys.path.insert(0, str(Path(__file__).parent))
from bench_standing import NOW, aircraft_facts, person_facts

SIZES = ((300, 100), (10_000, 2_000))
PORT = 8000
BATCH = 2_000
RUNS, TRIES = 5, 3
MOST_MS, MOST_BYTES = 250, 150_000
STARTS_MS, STANDS_MS, STILL_MS = 1000, 3000, 300
NAMED = {
    "/aircraft/{id:path}": "/aircraft/A5",
    "/people/{id:path}": "/people/P3",
    "/act/{act}": "/act/buy",
    "/act/{act}/{subject:path}": "/act/sell/aircraft/A9",
    "/attach/{subject:path}": "/attach/aircraft/A5",
    "/ask/{subject:path}": "/ask/aircraft/A5",
    "/release/{aircraft:path}": "/release/A1",
    "/law/{rule}": "/law/marked_outside",
}
"""An address for each page with a name in it."""
FILES = ("/document/{digest}", "/carry/{kind}", "/worksheet/{subject:path}", "/ask.pdf")
"""What is saved and not shown: how long it takes to set is told by bench_papers."""
MORE = (
    "/aircraft?find=FA00TEST00017",
    "/enter?all=yes",
    "/carry?pilot=P3&aircraft=A5",
    "/carry/html?pilot=P3&aircraft=A5",
)


def written(path: Path, aircraft: int, people: int) -> None:
    """A ledger of invented aircraft and people, with four flights an aircraft."""
    facts: list[tuple[str, str, Raw]] = [
        ("owner/Program", "owner_kind", "corporation"),
        ("owner/Program", "organized_in_us", True),
        ("owner/Program", "based_and_used_in_us", True),
    ]
    for number in range(aircraft):
        facts += aircraft_facts(number, people)
    for number in range(people):
        facts += person_facts(number)
    for number in range(4 * aircraft):
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


def visitor(path: Path) -> TestClient:
    """A client that has come in to the page of a ledger."""
    session = Session("bench")
    site = site_of(Desk(path, lambda: NOW), session, PORT)
    client = TestClient(site, base_url=f"http://127.0.0.1:{PORT}", client=("127.0.0.1", 50_000))
    client.cookies.set(f"airwrit-{PORT}", session.secret, domain="127.0.0.1")
    return client


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
    """Milliseconds of the processor from the command to the whole first page, and to the end."""
    program = Path(sys.executable).with_name("airwrit")
    command = [str(program), "serve", "--ledger", str(path), "--no-open", "--json"]
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as running:
        told = next(iter(running.stdout or ()))
        with build_opener(HTTPCookieProcessor()).open(json.loads(told)["address"]) as answer:
            answer.read()
        running.send_signal(signal.SIGINT)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return (after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime) * 1000


def measured(path: Path, *, small: bool) -> list[str]:
    """Print the figures of a ledger; return what is over its limit."""
    over = []
    warm = visitor(path)
    for page in addresses():
        warm.get(page)  # templates are read once in the life of a server
    print(f"  {'':38} {'cold':>7} {'judged':>7} {'again':>7}  ms   {'kB':>5}   times bare")
    for page in addresses():
        cold = min(timed(visitor(path), page)[0] for _ in range(TRIES))
        client, judged = visitor(path), float("inf")
        for _ in range(TRIES):
            client = visitor(path)
            client.get("/standing")
            judged = min(judged, timed(client, page)[0])
        again, content = min(timed(client, page) for _ in range(TRIES))
        packed = len(gzip.compress(content))
        print(
            f"  {page:38} {cold:7.0f} {judged:7.0f} {again:7.1f}      {packed / 1000:5.1f}   {again / bare(content):5.1f}"
        )
        if packed > MOST_BYTES:
            over.append(f"{page}: {packed / 1000:.0f} kB")
        if small and judged > MOST_MS and not page.endswith(".ics"):
            over.append(f"{page}: {judged:.0f} ms")
        if not small and page == "/standing" and (cold > STANDS_MS or again > STILL_MS):
            over.append(f"{page}: {cold:.0f} ms, then {again:.0f} ms")
    took = min(start_ms(path) for _ in range(TRIES)) if small else 0
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
    for aircraft, people in [(told[0], told[1])] if told else SIZES:
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "bench.airwrit"
            written(path, aircraft, people)
            print(f"{aircraft:,} aircraft, {people:,} people")
            over += measured(path, small=aircraft <= SIZES[0][0])
    for one in over:
        print(f"over its limit: {one}")
    sys.exit(1 if over else 0)


if __name__ == "__main__":
    main()
