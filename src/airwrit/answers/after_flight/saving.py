"""A flown flight put on record from its log: hours, landings and packs for pilot, aircraft and battery; the answer kept."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from decimal import Decimal
from hashlib import sha256

from airwrit.answers.after_flight.flown import FlownAnswer
from airwrit.answers.after_flight.json import flown_json
from airwrit.answers.before_flight.saved import PlanSaving
from airwrit.answers.flights.entering import entering, placed
from airwrit.answers.sheets.difference import HandEntry, OnRecord, saying_by_hand
from airwrit.base.days import When
from airwrit.base.errors import UsageError
from airwrit.facts.key import raw_of
from airwrit.facts.keys.flights.log import FLOWN_FOR, FLOWN_ON, LANDINGS, MINUTES, PACKS
from airwrit.facts.statement import Source, Statement
from airwrit.facts.vocabulary import id_of
from airwrit.intake.typed.flight import Flown
from airwrit.ledger.entry import source_text
from airwrit.ledger.ports import KeptFile

FLOWN_ACT = "after-flight"
"""The act of an entry that puts a flown flight on record from its log."""


def flown_of_log(answer: FlownAnswer, packs: Sequence[str] = ()) -> Flown:
    """The flight as a log of flights has it. UsageError where it names no aircraft or pilot, or never flew."""
    plan, figures = answer.plan, answer.figures
    for what, name in (("aircraft", plan.aircraft), ("pilot", plan.pilot)):
        if not name:
            raise UsageError(
                f"we need the {what} to save the flight", where=f"--{what}", do="name it, or name the plan"
            )
    if figures.minutes is None:
        raise UsageError("the log shows no flight", where="--save", do="save only logs in which it flew")
    return Flown(
        id_of(plan.aircraft),
        id_of(plan.pilot),
        _landed(answer),
        Decimal(repr(round(figures.minutes, 1))),
        Decimal(max(1, figures.landings)),
        tuple(packs),
        use=plan.use,
    )


def _landed(answer: FlownAnswer) -> When:
    """When it landed, by the clock of the place; only the day where the log tells no hour."""
    local = answer.plan.ends.astimezone(answer.plan.zone.info)
    return local if answer.path.track.utc_us is not None else local.date()


def saving_flown(
    held: OnRecord, answer: FlownAnswer, by: str, at: datetime, packs: Sequence[str] = ()
) -> PlanSaving:
    """What keeping a flown flight would do, on its plan where it was planned, else as a flight of its own; the file kept."""
    flown = placed(held, flown_of_log(answer, packs))
    snapshot = json.dumps(flown_json(answer), indent=1, sort_keys=True).encode("utf-8")
    file = f"{answer.track.name} {at:%Y-%m-%dT%H%MZ}.json"
    source = source_text(Source(file, sha256(snapshot).hexdigest()))
    if answer.planned is None:
        taking = entering(held, [flown], by, source=source)
        return PlanSaving(taking, (KeptFile(file, snapshot),))
    told = tuple(_statements(answer.planned.subject, flown))
    taking = saying_by_hand(held, HandEntry(told, act=FLOWN_ACT), by)
    drafts = tuple(draft._replace(source=source) for draft in taking.drafts)
    return PlanSaving(replace(taking, drafts=drafts), (KeptFile(file, snapshot),))


def _statements(subject: str, flown: Flown) -> list[Statement]:
    """What the log adds to a planned flight."""
    landed = flown.landed
    when = landed.isoformat(timespec="minutes") if isinstance(landed, datetime) else landed.isoformat()
    said = [
        (FLOWN_ON.name, when),
        (MINUTES.name, raw_of(flown.minutes)),
        (LANDINGS.name, raw_of(flown.landings)),
    ]
    said += [(PACKS.name, ", ".join(flown.packs))] if flown.packs else []
    said += [(FLOWN_FOR.name, flown.use.value)] if flown.use else []
    return [Statement(subject, name, value) for name, value in said]
