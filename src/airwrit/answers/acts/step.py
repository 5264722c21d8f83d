"""The next step: which act puts right what a rule finds, or which fact is to be typed, and what is filled in."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from airwrit.answers.document import Json
from airwrit.base.verdict import Verdict
from airwrit.facts.key import raw_of
from airwrit.facts.keys.aircraft import OWNER, REGISTRATION, SOLD_UNDER, WEIGHED_ON
from airwrit.facts.state import State, value_held
from airwrit.facts.vocabulary import KEYS, TABLES, id_of, kind_of, subject_named
from airwrit.house.rules import row_of
from airwrit.law.rule import Finding
from airwrit.law.wording import missing_fact


class NextStep(NamedTuple):
    """A step with its button: what it says, and the act, the fact or the page that it leads to, of which subject."""

    says: str
    subject: str
    act: str = ""
    fact: str = ""
    page: str = ""
    fills: Mapping[str, str] = {}


@cache
def steps_table() -> Mapping[str, Any]:
    """The steps by rule."""
    return tomllib.loads(Path(__file__).with_name("steps.toml").read_text(encoding="utf-8"))


def step_for(finding: Finding, state: State) -> NextStep | None:
    """The step that a finding asks for; None where nothing that can be entered puts it right."""
    missing = missing_fact(finding, state)
    if missing is not None and not missing.key.has_many:
        return NextStep("Answer", missing.subject, fact=missing.key.name)
    if finding.rule.document:
        return _house_step(finding)
    if finding.verdict is Verdict.UNKNOWN:
        return None
    rule = steps_table().get(finding.rule.name, {})
    row = rule.get("codes", {}).get(finding.outcome.code) or rule
    subject = _whose(row.get("of", ""), finding.subject, state)
    if not row or not subject:
        return None
    fills = {name: _filled(value, finding.subject, state) for name, value in row.get("fills", {}).items()}
    return NextStep(
        row["says"],
        subject,
        row.get("act", ""),
        row.get("fact", ""),
        row.get("page", ""),
        {name: value for name, value in fills.items() if value},
    )


def step_json(step: NextStep | None) -> Json | None:
    """A step as part of a document."""
    if step is None:
        return None
    leads = {"act": step.act, "fact": step.fact, "page": step.page}
    return {
        "says": step.says,
        "subject": step.subject,
        **{name: value for name, value in leads.items() if value},
        "fills": dict(step.fills),
    }


def _house_step(finding: Finding) -> NextStep | None:
    """The step of a house rule: a flight that counts, a new weighing, or the day that the rule goes by."""
    subject = finding.subject
    if any(kind_of(used.subject) == "flight" or used.key.table == "flight" for used in finding.used):
        return NextStep("Log a flight", subject, page="flight")
    own = [used.key for used in finding.used if TABLES[used.key.table] == kind_of(subject)]
    if WEIGHED_ON in own:
        return NextStep("Record the weighing", subject, "change_equipment")
    row = row_of(finding.rule)
    goes_by = (
        (row.key, row.done) if row and row.key else own
    )  # not the day it left the fleet, which every rule looks at
    days = [key for key in own if key.kind is date and key in goes_by]
    return NextStep("Enter the date", subject, fact=days[0].name) if days else None


def _whose(of: str, subject: str, state: State) -> str:
    """The subject of a step: its own, or that of what belongs to it; empty where there is none on file."""
    if not of or of == kind_of(subject):
        return subject
    if of == "aircraft":
        return next(iter(state.holding(REGISTRATION, id_of(subject))), "")
    key = {"registration": REGISTRATION, "old registration": SOLD_UNDER, "owner": OWNER}[of]
    held = value_held(state, subject, key)
    return "" if held is None else subject_named(of.removeprefix("old "), str(held))


def _filled(value: str, subject: str, state: State) -> str:
    if not value.startswith("@"):
        return value
    if value == "@":
        return id_of(subject)
    held = value_held(state, subject, KEYS[value[1:]])
    return "" if held is None else str(raw_of(held))
