"""A year's table of the sun for 100 places, beside ephem asked for one event after the other.

    PYTHONPATH=src python benchmarks/bench_sun.py

Both give sunrise, sunset and both ends of civil twilight of every day of 2026 between 60 degrees south and 60 north. ephem is
timed on a tenth of the places and counted tenfold: it takes the same time for each. Then the whole of `airwrit daylight --year`
for one place: days in its own clock, the law of each day. Processor seconds, the least of three runs.
"""

from __future__ import annotations

import os
import platform
import time
from collections.abc import Callable
from datetime import UTC, date, datetime

import ephem
import numpy as np

from airwrit.answers.sky.light import light_of
from airwrit.base.places import Place
from airwrit.sky.crossings import crossings
from airwrit.sky.light import CIVIL, HORIZON, days_of
from airwrit.sky.zones import zone_of

PLACES = 100
TIMED = 10
DAYS = 365
START = datetime(2026, 1, 1, tzinfo=UTC)
GENERATOR = np.random.default_rng(2026)
LATITUDES = GENERATOR.uniform(-60, 60, PLACES)
LONGITUDES = GENERATOR.uniform(-180, 180, PLACES)


def seconds(work: Callable[[], int]) -> tuple[float, int]:
    """The least processor time of three runs, and how many events there were."""
    taken, count = [], 0
    for _ in range(3):
        start = time.process_time()
        count = work()
        taken.append(time.process_time() - start)
    return min(taken), count


def ours() -> int:
    """All events of all places."""
    first = days_of(START)
    return sum(
        crossings(LATITUDES, LONGITUDES, first, first + DAYS, level).days.size for level in (HORIZON, CIVIL)
    )


def theirs() -> int:
    """The events of a tenth of the places, each asked for from the start of its day."""
    count = 0
    for latitude, longitude in zip(LATITUDES[:TIMED], LONGITUDES[:TIMED], strict=True):
        observer = ephem.Observer()
        observer.lat, observer.lon, observer.pressure = str(latitude), str(longitude), 0
        sun = ephem.Sun()
        first = ephem.Date(START.replace(tzinfo=None))
        for level in (HORIZON, CIVIL):
            observer.horizon, center = str(level.seen_deg), not level.is_of_the_edge
            for day in range(DAYS):
                observer.date = first + day
                observer.next_rising(sun, use_center=center)
                observer.next_setting(sun, use_center=center)
                count += 2
    return count


def a_place() -> int:
    """The days of a year at one place, in its own clock."""
    place = Place(40.015, -105.2705)
    return len(light_of(place, zone_of(place), date(2026, 1, 1), date(2026, 12, 31)))


def main() -> None:
    """Print the machine, both, the ratio, and the whole answer for one place."""
    print(
        f"{platform.machine()}, {os.cpu_count()} cores, {platform.system()}, Python {platform.python_version()}"
    )
    own, own_count = seconds(ours)
    other, other_count = seconds(theirs)
    other, other_count = other * PLACES / TIMED, other_count * PLACES // TIMED
    print(
        f"{own_count:,} events in {own:.3f} s; ephem {other_count:,} in {other:.1f} s: {other / own:.0f} times"
    )
    whole, days = seconds(a_place)
    print(
        f"{days} days of one place: {whole * 1000:.0f} ms; ephem's events alone {other * 1000 / PLACES:.0f} ms"
    )


if __name__ == "__main__":
    main()
