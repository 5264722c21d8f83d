"""Incidents as public safety reports tell them, in a table: every notice with its verdict, its clock and its reason."""

from __future__ import annotations

import tomllib
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from airwrit.answers.incident.decision import Must, decided
from airwrit.answers.incident.told import rows_of
from airwrit.base.days import EARLIEST
from airwrit.base.verdict import Verdict
from airwrit.facts.fold import state_of
from airwrit.facts.key import raw_of
from airwrit.facts.statement import Known, Statement

TABLE = tomllib.loads(Path(__file__).with_name("cases.toml").read_text(encoding="utf-8"))
NOW = datetime.fromisoformat("2026-06-01T12:00-06:00")


@pytest.mark.parametrize("case", TABLE["case"], ids=lambda case: case["name"][:60])
def test_a_case(case: dict[str, Any]) -> None:
    facts = {**TABLE["base"], **case["said"]}
    known = [
        Known(
            Statement(
                "incident/case", key, value if isinstance(value, bool) else str(raw_of(value)), EARLIEST
            )
        )
        for key, value in facts.items()
        if key not in case.get("open", ())
    ]
    answer = decided(state_of(known, NOW, NOW), "incident/case", NOW)
    rows = {one.name: one for one in rows_of(answer)}
    missing = {one.name: one.asks.name for one in answer.notices if one.asks is not None}
    assert {name: rows[name].must.value for name in case["must"]} == case["must"]
    assert {name: rows[name].by_when for name in case.get("by", ())} == case.get("by", {})
    assert {name: missing.get(name) for name in case.get("asks", ())} == case.get("asks", {})
    for name, part in case.get("says", {}).items():
        assert part in f"{rows[name].says} {rows[name].do}"
    late = any(row.must is Must.LATE for row in rows.values())
    assert answer.verdict is (Verdict.NOT_MET if late else Verdict.UNKNOWN), (
        "no policy and no own rules are on file, so something stays to be read"
    )
