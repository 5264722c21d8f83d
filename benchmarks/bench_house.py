"""Seconds to judge a fleet with house rules, beside the same fleet by the law alone.

python benchmarks/bench_house.py [AIRCRAFT ...]
"""

from __future__ import annotations

import gc
import platform
import sys
import time
from collections.abc import Sequence

from bench_standing import NOW, ON, RUNS, program

from airwrit.answers.standing.standing import standing
from airwrit.facts.statement import Known, Statement
from airwrit.house.rules import house_rules
from airwrit.law.rule import Rule

SIZES = (1_000, 10_000)
ROWS = 20
KINDS = (
    'kind = "within_days"\nkey = "inspected_on"\nlimit = 12\nunit = "calendar month"',
    'kind = "one_of"\nkey = "maker"\nvalues = ["Korrin", "Quorrel"]\nscope = { used_for = ["work"] }',
    'kind = "at_most"\nkey = "takeoff_weight_g"\nlimit = 25\nunit = "kg"',
    'kind = "required"\nkey = "airframe_serial"\nuse = "work"',
)


def rows(many: int) -> tuple[Rule, ...]:
    """So many rows about aircraft, of every kind in turn."""
    text = 'document = "Manual"\n' + "".join(
        f'[[rule]]\nname = "row {number}"\nabout = "aircraft"\nclause = "{number}"\n{KINDS[number % len(KINDS)]}\n'
        for number in range(many)
    )
    return house_rules(text, "bench.toml")


def with_more(known: list[Known]) -> list[Known]:
    """The program with what the rows look at: an inspection, a maker and a serial for each aircraft."""
    aircraft = sorted(
        {item.statement.subject for item in known if item.statement.subject.startswith("aircraft/")}
    )
    for subject in aircraft:
        known += [
            Known(Statement(subject, "inspected_on", "2026-03-01")),
            Known(Statement(subject, "maker", "Korrin")),
            Known(Statement(subject, "airframe_serial", f"F-{subject[-4:]}")),
        ]
    return known


def seconds(known: list[Known], house: Sequence[Rule]) -> tuple[float, int]:
    """The best of several runs, and the number of findings."""
    best, findings = float("inf"), 0
    for _ in range(RUNS):
        start = time.perf_counter()
        answer = standing(known, ON, NOW, house=house)
        _ = answer.report.verdict
        best = min(best, time.perf_counter() - start)
        findings = len(answer.report.findings)
        del answer
    return best, findings


def main() -> None:
    """Print the figures of each size, and the ratio."""
    print(f"{platform.machine()}, {platform.python_implementation()} {platform.python_version()}")
    for size in [int(text) for text in sys.argv[1:]] or SIZES:
        known = with_more(program(size))
        gc.freeze()
        gc.disable()
        law, fewer = seconds(known, ())
        both, more = seconds(known, rows(ROWS))
        gc.enable()
        print(
            f"{size:6d} aircraft: law alone {law:.2f} s ({fewer} findings); with {ROWS} house rows {both:.2f} s "
            f"({more} findings), {both / law:.2f} times; {(both - law) / max(1, more - fewer) * 1e6:.1f} us a row's finding"
        )


if __name__ == "__main__":
    main()
