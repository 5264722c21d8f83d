"""Milliseconds and bytes of the pages by size of program: first after an entry was written, then with nothing changed.

python benchmarks/bench_pages.py [AIRCRAFT PEOPLE]
"""

from __future__ import annotations

import gzip
import platform
import sys
import tempfile
import time
from collections import defaultdict
from datetime import UTC, datetime
from pathlib import Path

from starlette.testclient import TestClient

from airwrit.facts.key import Raw
from airwrit.facts.statement import Statement
from airwrit.ledger.store import Draft, Ledger
from airwrit.web.app import site_of
from airwrit.web.desk import Desk
from airwrit.web.guard import Session

sys.path.insert(0, str(Path(__file__).parent))
from bench_standing import NOW, aircraft_facts, person_facts

SIZES = ((300, 100), (10_000, 2_000))
PORT = 8000
BATCH = 2_000
PAGES = (
    "/standing",
    "/aircraft",
    "/aircraft?find=FA00TEST00017",
    "/aircraft/A5",
    "/people",
    "/people/P3",
    "/act/sell/aircraft/A9",
    "/law",
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
        ]
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


def timed(client: TestClient, path: str) -> tuple[float, int]:
    """Milliseconds of one request, and the bytes of its answer when packed."""
    start = time.perf_counter()
    answer = client.get(path)
    took = (time.perf_counter() - start) * 1000
    answer.raise_for_status()
    return took, len(gzip.compress(answer.content))


def main() -> None:
    """Print every figure with the machine it was taken on."""
    print(f"{platform.machine()}, {platform.python_implementation()} {platform.python_version()}")
    told = [int(text) for text in sys.argv[1:]]
    for aircraft, people in [(told[0], told[1])] if told else SIZES:
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "bench.airwrit"
            written(path, aircraft, people)
            warm = visitor(path)
            for page in PAGES:
                warm.get(page)  # templates are read once in the life of a server
            print(f"{aircraft} aircraft, {people} people")
            for page in PAGES:
                client = visitor(path)
                client.get("/standing")
                (first, packed), (again, _) = timed(client, page), timed(client, page)
                print(f"  {page:30} {first:7.0f} ms, then {again:5.0f} ms, {packed / 1000:5.1f} kB packed")


if __name__ == "__main__":
    main()
