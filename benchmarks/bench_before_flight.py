"""Processor time of the answer before a flight, with its sheet, of the windows of a week, and of a day of flights.

python benchmarks/bench_before_flight.py
"""

from __future__ import annotations

import json
import platform
import tempfile
import time
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from functools import cache
from pathlib import Path

import numpy as np

from airwrit.airspace.reading import read_edition
from airwrit.airspace.shelf import shelve
from airwrit.answers.before_flight.answer import flight_answer
from airwrit.answers.before_flight.day import flight_day
from airwrit.answers.before_flight.plan import FlightPlan, middle_of
from airwrit.answers.before_flight.program import Program
from airwrit.answers.before_flight.saving import saving
from airwrit.answers.before_flight.surroundings import look_around
from airwrit.answers.before_flight.windows import stretches_of, windows_of
from airwrit.answers.drawings.side_view import side_view
from airwrit.answers.drawings.site_map import site_map
from airwrit.answers.sheets.difference import before
from airwrit.answers.sky.light import light_at
from airwrit.facts.choices import UsedFor
from airwrit.facts.key import Raw
from airwrit.facts.statement import Known, Statement
from airwrit.ledger.sqlite.store import Ledger
from airwrit.papers.flight_pdf import flight_pdf
from airwrit.sky.zones import zone_of

RUNS, FLIGHTS, CREWS = 3, 40, 40
NOW = datetime(2026, 6, 1, tzinfo=UTC)
START = datetime(2026, 6, 10, 15, tzinfo=UTC)
AREA = "36.1041, -79.9959 within 1000 ft"
MAP_SIDE, CELLS = 1 / 120, 60
CELL_FIELDS = {"CEILING": 100, "UNIT": "Feet", "MAP_EFF": "5/14/2026"}
VOLUME_FIELDS = {
    "TYPE_CODE": "CLASS",
    "CLASS": "D",
    "LOCAL_TYPE": "CLASS_D",
    "LOWER_VAL": "0",
    "LOWER_UOM": "FT",
    "LOWER_CODE": "SFC",
    "UPPER_VAL": "2500",
    "UPPER_UOM": "FT",
    "UPPER_CODE": "MSL",
    "TIMESOFUSE": "MON-FRI 0800-1700 LOCAL",
}


def program() -> Program:
    """An invented program: so many aircraft and as many pilots, all in order."""
    told: dict[str, dict[str, Raw]] = {}
    for number in range(1, CREWS + 1):
        name, registration = f"Fern {number}", f"FA00TEST{number:02}"
        told |= {
            f"aircraft/{name}": {
                "owner": "Moor Survey",
                "used_for": "work",
                "takeoff_weight_g": "900",
                "registration": registration,
                "mark_place": "outside",
                "mark_text": registration,
                "remote_id_way": "standard",
                "remote_id_serial": f"ZZ9Z8FERN{number:04}",
                "listed_serial": f"ZZ9Z8FERN{number:04}",
                "declaration_accepted": True,
            },
            f"registration/{registration}": {
                "registration_kind": "Part 48 per aircraft",
                "issued_on": "2025-03-03",
                "expires_on": "2028-03-03",
                "registered_to": "Moor Survey",
            },
            f"person/Wray {number}": {"role": "pilot", "flies_for": "work", "has_certificate": True},
            f"training/{number}": {
                "event_of": f"Wray {number}",
                "event_kind": "initial test",
                "completed_on": "2025-01-15",
            },
        }
    known = [
        Known(Statement(subject, key, value))
        for subject, facts in told.items()
        for key, value in facts.items()
    ]
    return Program(known, NOW)


def plan(number: int = 1, minutes: int = 0) -> FlightPlan:
    """A flight of 30 minutes by one of the crews."""
    place = middle_of(AREA)
    start = START + timedelta(minutes=minutes)
    crew = (f"aircraft/Fern {number}", f"person/Wray {number}", UsedFor.WORK)
    return FlightPlan(AREA, place, zone_of(place), start, start + timedelta(minutes=30), Decimal(200), *crew)


def airspace(folder: Path) -> Path:
    """Airspace data with 3,600 map cells and 100 volumes with hours, and a tile of ground."""
    shelf = folder / "airspace"
    places = (
        (36 + row * MAP_SIDE, -80 + column * MAP_SIDE) for row in range(CELLS) for column in range(CELLS)
    )
    cells = [_feature(CELL_FIELDS, south, west, MAP_SIDE) for south, west in places]
    volumes = [
        _feature({**VOLUME_FIELDS, "NAME": f"SYNTHETIC {number}"}, 36 + number / 100, -80.02, 0.02)
        for number in range(100)
    ]
    for name, features in (("grid", cells), ("class", volumes)):
        file = folder / f"{name}.geojson"
        file.write_text(json.dumps({"type": "FeatureCollection", "features": features}), encoding="utf-8")
        shelve(shelf, read_edition((file,), None, None, date(2026, 5, 14)))
    (folder / "terrain").mkdir()
    for tile in ("N36W080", "N36W081"):
        (folder / "terrain" / f"{tile}.hgt").write_bytes(np.full((1201, 1201), 200, dtype=">i2").tobytes())
    return shelf


def _feature(fields: dict[str, object], south: float, west: float, side: float) -> dict[str, object]:
    corners = [
        (west, south),
        (west + side, south),
        (west + side, south + side),
        (west, south + side),
        (west, south),
    ]
    ring = [[round(longitude, 8), round(latitude, 8)] for longitude, latitude in corners]
    return {"type": "Feature", "properties": fields, "geometry": {"type": "Polygon", "coordinates": [ring]}}


def least(work: Callable[[], object]) -> float:
    """The least seconds of the processor of some runs."""
    found = []
    for _ in range(RUNS):
        start = time.process_time()
        work()
        found.append(time.process_time() - start)
    return min(found)


def day_of_flights(folder: Path, given: Program) -> tuple[list[Known], Program]:
    """A ledger's statements with so many planned flights of a day."""
    with Ledger.begin(folder / "bench.airwrit") as book:
        for number in range(1, FLIGHTS + 1):
            planned = plan(1 + number % CREWS, number * 3)
            answer = flight_answer(planned, given.around(planned.aircraft, planned.pilot), None, None, 1)
            made = saving(before(book), f"Flight {number}", answer, (), "bench", NOW)
            book.append(made.taking.drafts, lambda: NOW, after=made.taking.after, files=made.files)
        return [*given.known, *book.known(NOW + timedelta(days=1))], given


def week(one: FlightPlan, near: Program, shelf: Path) -> object:
    """The windows of a week, looked up anew."""
    look = cache(lambda planned: look_around(planned, shelf, None))
    days = (date(2026, 6, 10), date(2026, 6, 16))
    return windows_of(stretches_of(one, near, look, *days), timedelta(minutes=30))


def main() -> None:
    """Print a line for each."""
    print(
        f"{platform.machine()}, CPython {platform.python_version()}, least of {RUNS} runs, time of the processor"
    )
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        shelf, whole = airspace(folder), program()
        one = plan()
        near = whole.around(one.aircraft, one.pilot)

        def bare() -> None:
            look_around(one, shelf, None)
            light_at(one.place, one.zone, one.starts)

        def sheet() -> bytes:
            answer = flight_answer(one, near, shelf, None, 1, lambda: whole)
            site = site_map(answer.check.plan, shelf)
            return flight_pdf(answer, site, side_view(answer.check, site, shelf), "Bench")

        lookups = least(bare)
        known, given = day_of_flights(folder, whole)
        rows = (
            ("bare lookups: airspace, terrain, sun", lookups),
            ("the answer", least(lambda: flight_answer(one, near, shelf, None, 1, lambda: whole))),
            ("the answer with the sheet as PDF", least(sheet)),
            ("the windows of a week", least(lambda: week(one, near, shelf))),
            (
                f"a day of {FLIGHTS} flights",
                least(lambda: flight_day(date(2026, 6, 10), known, given, shelf)),
            ),
        )
        for what, seconds in rows:
            print(f"{what:<42}{seconds * 1000:9.1f} ms{seconds / lookups:9.1f} times the lookups")


if __name__ == "__main__":
    main()
