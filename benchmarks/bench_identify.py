"""How many photos are read and how fast, raw and with the ladder; and how long one takes from file to answer.

    PYTHONPATH=src:. python benchmarks/bench_identify.py [PHOTOS A LINE]

Prints the machine, then a line for each kind of code and quality: read by the first step alone, read by the ladder, read
wrongly, and the mean and longest time of the ladder in this process. Photos are made by tests/unit/intake/photos.py.
"""

from __future__ import annotations

import os
import platform
import statistics
import sys
import tempfile
import time
from pathlib import Path

from airwrit.answers.lookup.number_kind import answer_to, answer_to_photo
from airwrit.intake.child.main import codes
from airwrit.intake.reader.limits import Limits
from airwrit.intake.reader.photo import read_photo
from tests.unit.intake.photos import EASY, KINDS, LEVELS, as_bytes, photo

TEXT = "ZZ9ZA1234567890"
TEXTS = ("ZZ9ZA1234567890", "FA00TEST01", "A4934A", "N0123", "1.58E+18", "hello")


def main(photos: int) -> None:
    """Print the figures."""
    print(
        f"{platform.machine()}, {os.cpu_count()} cores, {platform.system()}, Python {platform.python_version()}"
    )
    print(f"{photos} photos of 1280 by 960 a line\n")
    print("pixels/module  code         quality   raw  ladder  ratio  wrong   mean s  longest s")
    for module in (4, 3):
        for kind in KINDS:
            for quality in LEVELS:
                _line(kind, quality, module, photos)
    print()
    _whole()
    _texts()


def _line(kind: str, quality: str, module: int, photos: int) -> None:
    raw = read = wrong = 0
    times = []
    for seed in range(photos):
        data = as_bytes(photo(kind, TEXT, LEVELS[quality], seed, module=module))
        start = time.perf_counter()
        told = codes.read(data, Limits())
        times.append(time.perf_counter() - start)
        read += bool(told["codes"])
        raw += told["step"] == "as it is"
        wrong += any(code["text"] != TEXT for code in told["codes"])
    ratio = f"{read / raw:.1f}" if raw else "-"
    print(
        f"{module:<14} {kind:<12} {quality:<8} {raw:>4} {read:>7} {ratio:>6} {wrong:>6} {statistics.mean(times):>8.2f} "
        f"{max(times):>10.2f}"
    )


def _whole() -> None:
    """From file to answer, with the start of the reading process."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "label.jpg"
        for size, module in (((1280, 960), 4), ((4000, 3000), 8)):
            for kind in KINDS:
                path.write_bytes(as_bytes(photo(kind, TEXT, EASY, 1, size=size, module=module)))
                times = []
                for _ in range(5):
                    start = time.perf_counter()
                    answer_to_photo(read_photo(path))
                    times.append(time.perf_counter() - start)
                print(
                    f"file to answer, {size[0]} by {size[1]}, {kind}: median {statistics.median(times):.2f} s"
                )


def _texts() -> None:
    start = time.perf_counter()
    for _ in range(1000):
        for text in TEXTS:
            answer_to(text)
    each_us = (time.perf_counter() - start) / (1000 * len(TEXTS)) * 1e6
    print(f"a typed text: {each_us:.0f} microseconds")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 20)
