"""The planned flights of the invented program: a week with the usual traps, put into the ledger of the demo's page."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime, timedelta
from importlib.resources import files
from pathlib import Path
from typing import Any

from airwrit.airspace.kinds import AreaKind
from airwrit.airspace.shelf import shelve
from airwrit.answers.airspace.typed_area import TypedArea, edition_typed
from airwrit.answers.before_flight.answer import flight_answer
from airwrit.answers.before_flight.program import Program
from airwrit.answers.before_flight.saved import FlightRelease, without_plans
from airwrit.answers.before_flight.saving import saving
from airwrit.answers.before_flight.typed import PlanTyped, confirmation_of, plan_of
from airwrit.answers.sheets.difference import before
from airwrit.base.days import add_days
from airwrit.facts.statement import Known, Statement
from airwrit.facts.vocabulary import subject_named
from airwrit.law.rule import Rule
from airwrit.ledger.ports import Draft
from airwrit.ledger.sqlite.store import Ledger

BY = "demo"
_STAMPED = timedelta(minutes=1)


def keep_demo_flights(book: Ledger, day: date, at: datetime, house: Sequence[Rule]) -> None:
    """Put checklists, saved sites, a notice and the flights of a week from a day on into a ledger and its folder."""
    told = tomllib.loads((files("airwrit.demo") / "flights.toml").read_text(encoding="utf-8"))
    book.append([Draft(BY, "record", tuple(_facts(told)))], lambda: at)
    folder = book.path.parent / "airspace"
    shelve(folder, edition_typed(_notice(told["notice"], day)))
    known_at = at + _STAMPED  # entries of one moment are stamped one after another
    for row in told["flight"]:
        program = Program(without_plans(book.known(known_at)), known_at, house)
        _keep_flight(book, row, day, at, program, folder)


def _facts(told: Mapping[str, Any]) -> Iterator[Statement]:
    for kind in ("checklist", "saved_site"):
        for row in told[kind]:
            subject = subject_named(kind, row["id"])
            yield from (Statement(subject, key, str(value)) for key, value in row.items() if key != "id")


def _notice(row: Mapping[str, Any], day: date) -> TypedArea:
    on = add_days(day, row["day"])
    begins, ends = (f"{on} {row[name]}" for name in ("begins", "ends"))
    return TypedArea(
        AreaKind.NOTICE, row["name"], row["where"], day, row["radius_ft"], begins=begins, ends=ends
    )


def _keep_flight(
    book: Ledger, row: Mapping[str, Any], day: date, at: datetime, program: Program, folder: Path
) -> None:
    """Answer a planned flight and keep it, released where the row gives a reason."""
    on = add_days(day, row["day"])
    typed = PlanTyped(
        "",
        "",
        f"{on} {row['start']}",
        row["end"],
        row["height"],
        row["aircraft"],
        row["pilot"],
        "work",
        site=row["site"],
        packs=row.get("packs", ""),
        hazards=row.get("hazards", ""),
    )
    plan = plan_of(typed.at_site(program.known), [item.statement.subject for item in program.known])
    found = [confirmation_of(name, text) for name, text in row.get("confirm", {}).items()]
    confirmed: list[Known] = [one for one in found if one is not None]
    near = program.with_told(confirmed).around(*plan.subjects)
    answer = flight_answer(plan, near, folder, None, 1)
    release = FlightRelease(BY, row["against"]) if "against" in row else None
    made = saving(before(book), row["name"], answer, confirmed, BY, at, release)
    book.append(made.taking.drafts, lambda: at, after=made.taking.after, files=made.files)
