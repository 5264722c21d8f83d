"""Defects, work, a bulletin, settings and events of the invented program: what a workbook of its kind doesn't hold."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from datetime import date
from pathlib import Path
from typing import Any

from airwrit.base.days import add_days
from airwrit.facts.statement import Statement
from airwrit.facts.vocabulary import subject_named

_DATA = Path(__file__).with_name("upkeep.toml")


def demo_upkeep(on: date) -> tuple[Statement, ...]:
    """The records as they would be on a day."""
    told: dict[str, Any] = tomllib.loads(_DATA.read_text(encoding="utf-8"))
    near_miss = told.pop("near_miss")
    rows = ((kind, row) for kind, rows in told.items() for row in rows)
    return tuple(
        one
        for kind, row in rows
        for one in _said(kind, {**near_miss, **row} if kind == "incident" else row, on)
    )


def _said(kind: str, row: Mapping[str, Any], on: date) -> Iterator[Statement]:
    subject = subject_named(kind, row["id"])
    for key, value in row.items():
        if key != "id":
            said = add_days(on, value["day"]).isoformat() if isinstance(value, dict) else value
            yield Statement(subject, key, said)
