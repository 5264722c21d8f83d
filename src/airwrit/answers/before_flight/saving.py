"""Putting a planned flight on record with its answer, and its release; read back by `saved`."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from hashlib import sha256
from typing import NamedTuple

from airwrit.answers.before_flight.answer import FlightAnswer
from airwrit.answers.before_flight.json import check_json
from airwrit.answers.before_flight.plan import (
    PLANNED,
)
from airwrit.answers.before_flight.saved import MAY_BE_LEFT_OUT, FlightRelease
from airwrit.answers.sheets.difference import Difference, HandEntry, OnRecord, saying_by_hand
from airwrit.base.errors import UsageError
from airwrit.base.verdict import Verdict
from airwrit.facts.key import raw_of
from airwrit.facts.keys.flights.flight import (
    ANSWER_GIVEN,
    ANSWERED_ON,
    CONFIRMED_FOR,
)
from airwrit.facts.keys.flights.log import FLOWN_ON
from airwrit.facts.keys.flights.planning import (
    ACCEPTED_BY,
    ACCEPTED_ON,
    FLOWN_AGAINST,
)
from airwrit.facts.statement import Known, Source, Statement
from airwrit.facts.vocabulary import subject_named
from airwrit.ledger.entry import source_text
from airwrit.ledger.ports import KeptFile

PLAN_ACT = "plan-flight"
"""The act of an entry that plans a flight."""


class PlanSaving(NamedTuple):
    """What keeping a planned flight would do, and the file that is kept with it."""

    taking: Difference
    files: tuple[KeptFile, ...]


def saving(
    held: OnRecord,
    name: str,
    answer: FlightAnswer,
    told: Sequence[Known],
    by: str,
    at: datetime,
    release: FlightRelease | None = None,
) -> PlanSaving:
    """What keeping a plan with its confirmations and the answer given would do; a plan of that name is changed by it.

    UsageError where a flight of that name was flown already, and for a release against the answer that gives no reason.
    """
    subject, plan = subject_named("flight", name.strip()), answer.check.plan
    if not name.strip():
        raise UsageError("the flight has no name", where="name", do="enter one, like Quarry survey")
    if held.alive((subject, FLOWN_ON.name)):
        raise UsageError(
            f"{name!r} has already been flown", where="name", do="use another name for this flight"
        )
    check_release(release, answer)
    told_of = {
        **check_json(answer),
        "released_by": release and release.by,
        "against": release and release.against,
    }
    snapshot = json.dumps(told_of, indent=1, sort_keys=True).encode("utf-8")
    file = f"{name.strip()} {at:%Y-%m-%dT%H%MZ}.json"
    statements = [
        *(Statement(subject, key.name, raw_of(fact.value)) for key, fact in plan.facts().items()),
        *(item.statement._replace(subject=subject) for item in told if item.statement.subject == PLANNED),
        Statement(subject, CONFIRMED_FOR.name, plan.digest),
        Statement(subject, ANSWER_GIVEN.name, answer.check.whole.value),
        Statement(subject, ANSWERED_ON.name, at.isoformat(timespec="seconds")),
        *_released(subject, release, at),
    ]
    said = {one.key for one in statements}
    gone = [
        item for key in MAY_BE_LEFT_OUT if key.name not in said for item in held.alive((subject, key.name))
    ]
    entry = HandEntry(tuple(statements), corrects=True, act=PLAN_ACT, takes=tuple(gone))
    taking = saying_by_hand(held, entry, by)
    source = source_text(Source(file, sha256(snapshot).hexdigest()))
    drafts = tuple(draft._replace(source=source) for draft in taking.drafts)
    return PlanSaving(replace(taking, drafts=drafts), (KeptFile(file, snapshot),))


def check_release(release: FlightRelease | None, answer: FlightAnswer) -> None:
    """UsageError for a release that the answer is against and that gives no reason, and for a reason where none is needed."""
    if release is None:
        return
    is_ok = answer.check.verdict is Verdict.MET
    if not is_ok and not release.against:
        raise UsageError(
            "the answer isn't OK",
            where="release",
            do="fix what is listed, or give the reason for flying anyway",
        )
    if is_ok and release.against:
        raise UsageError(
            "nothing keeps this flight from going, so it needs no reason",
            where="against",
            do="leave the reason out",
        )


def _released(subject: str, release: FlightRelease | None, at: datetime) -> list[Statement]:
    if release is None:
        return []
    said = [
        Statement(subject, ACCEPTED_BY.name, release.by),
        Statement(subject, ACCEPTED_ON.name, at.isoformat(timespec="seconds")),
    ]
    return [*said, Statement(subject, FLOWN_AGAINST.name, release.against)] if release.against else said
