"""Incidents as public safety reports tell them, in a table: every notice with its verdict, its clock and its reason."""

from __future__ import annotations

import tomllib
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from airwrit.answers.incident.decision import Must, decided
from airwrit.answers.incident.told import headline, rows_of
from airwrit.base.days import EARLIEST
from airwrit.base.verdict import Verdict
from airwrit.facts.fold import state_of
from airwrit.facts.key import raw_of
from airwrit.facts.statement import Known, Statement

TABLE = tomllib.loads(Path(__file__).with_name("cases.toml").read_text(encoding="utf-8"))
NOW = datetime.fromisoformat("2026-06-01T12:00-06:00")


def test_of_an_incident_of_which_nothing_is_known_it_asks_first_if_anyone_was_hurt() -> None:
    """An employee's death is due at OSHA within 8 hours (29 CFR 1904.39(a)(1)): that clock may be running already."""
    known = [Known(Statement("incident/case", "near_miss", False, EARLIEST))]
    found = decided(state_of(known, NOW, NOW), "incident/case", NOW)
    assert headline(found)[0] == "Can't tell yet. Next question: Was anyone hurt?"
    by_when = {one.name: one.by_when for one in rows_of(found)}
    assert by_when["report_107_9"] == "10 days after the flight, if required"
    assert by_when["report_osha"] == "8 h after a death, 24 h after other severe harm"


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
