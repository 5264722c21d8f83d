"""A flown flight put on record from its log: hours, landings and packs for pilot, aircraft and battery; the answer kept."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import datetime
from decimal import Decimal, InvalidOperation
from hashlib import sha256
from pathlib import PurePath
from typing import NamedTuple

from airwrit.answers.after_flight.flown import FlownAnswer
from airwrit.answers.after_flight.json import flown_json
from airwrit.answers.flights.doubles import doubles_to_look_at
from airwrit.answers.flights.entering import entering, placed
from airwrit.answers.sheets.difference import Difference, HandEntry, OnRecord, saying_by_hand
from airwrit.base.days import When, parse_when
from airwrit.base.errors import UsageError
from airwrit.facts.key import raw_of
from airwrit.facts.keys.flights.flight import FLIGHT_AIRCRAFT
from airwrit.facts.keys.flights.log import FLOWN_FOR, FLOWN_ON, LANDINGS, MINUTES, PACKS
from airwrit.facts.statement import Problem, Source, Statement
from airwrit.facts.vocabulary import id_of, kind_of
from airwrit.intake.typed.flight import Flown
from airwrit.ledger.entry import source_text
from airwrit.ledger.ports import KeptFile

FLOWN_ACT = "after-flight"
"""The act of an entry that puts a flown flight on record from its log."""


class FlightToKeep(NamedTuple):
    """A flight as a log of flights has it, the answer as bytes, the name of the log and of the planned flight ("" for none)."""

    flown: Flown
    snapshot: bytes
    log: str
    planned: str


class FlownSaving(NamedTuple):
    """What keeping a flown flight would do, the file kept with it, and what may be on record already under another name."""

    taking: Difference
    files: tuple[KeptFile, ...]
    twice: tuple[Problem, ...]


def flight_to_keep(answer: FlownAnswer, packs: Sequence[str] = ()) -> FlightToKeep:
    """The flight of an answer, with packs told or planned. UsageError where it names no aircraft or pilot, or never flew."""
    plan, figures = answer.plan, answer.figures
    for what, name in (("aircraft", plan.aircraft), ("pilot", plan.pilot)):
        if not name:
            raise UsageError(
                f"to save the flight, we need to know the {what}",
                where=f"--{what}",
                do="name it, or name the plan",
            )
    if figures.minutes is None:
        raise UsageError("the log shows no flight", where="--save", do="save only logs in which it flew")
    planned = () if answer.planned is None else answer.planned.plan.packs
    flown = Flown(
        id_of(plan.aircraft),
        id_of(plan.pilot),
        _landed(answer),
        Decimal(repr(round(figures.minutes, 1))),
        Decimal(max(1, figures.landings)),
        tuple(packs) or planned,
        use=plan.use,
    )
    snapshot = json.dumps(flown_json(answer), indent=1, sort_keys=True).encode("utf-8")
    return FlightToKeep(
        flown,
        snapshot,
        PurePath(answer.track.name).name,
        "" if answer.planned is None else answer.planned.subject,
    )


def _landed(answer: FlownAnswer) -> When:
    """When it landed, by the clock of the place; only the day where the log tells no hour."""
    local = answer.plan.ends.astimezone(answer.plan.zone.info)
    return local if answer.path.track.utc_us is not None else local.date()


def saving_flown(held: OnRecord, flight: FlightToKeep, by: str, at: datetime) -> FlownSaving:
    """What keeping a flown flight would do, on its plan where it was planned, else as a flight of its own; the file kept."""
    flown = placed(held, flight.flown)
    file = KeptFile(f"{flight.log} {at:%Y-%m-%dT%H%MZ}.json", flight.snapshot)
    source = source_text(Source(file.name, sha256(flight.snapshot).hexdigest()))
    if flight.planned:
        told = tuple(_statements(flight.planned, flown))
        taking = saying_by_hand(held, HandEntry(told, act=FLOWN_ACT), by)
        drafts = tuple(draft._replace(source=source) for draft in taking.drafts)
        taking = replace(taking, drafts=drafts)
    else:
        taking = entering(held, [flown], by, source=source)
    twice = doubles_to_look_at(held, taking, flight.log) or tuple(_meanwhile(held, flown, taking, flight.log))
    return FlownSaving(taking, (file,), twice)


def _meanwhile(held: OnRecord, flown: Flown, taking: Difference, where: str) -> Iterator[Problem]:
    """A remark where the aircraft was, by another flight on record, in the air for over half of the shorter of the two."""
    mine, end = {change.statement.subject for change in taking.changes}, flown.landed
    if not mine or not isinstance(end, datetime) or flown.minutes is None:
        return
    for subject in sorted({subject for subject, _ in held.groups if kind_of(subject) == "flight"} - mine):
        other = _in_the_air(held, subject, flown.aircraft)
        if other is None:
            continue
        shorter, apart = (
            min(flown.minutes, other[1]),
            abs(Decimal(repr((end - other[0]).total_seconds()))) / 60,
        )
        if shorter - apart > shorter / 2:
            what = f"{id_of(subject)} may be the same flight. It was logged for the same time"
            yield Problem(where, what, "if it is, don't log this one")


def _in_the_air(held: OnRecord, subject: str, aircraft: str) -> tuple[datetime, Decimal] | None:
    """When a flight on record of an aircraft landed, and its minutes in the air; None where it doesn't tell both in one way."""
    told = [held.alive((subject, key.name)) for key in (FLIGHT_AIRCRAFT, FLOWN_ON, MINUTES)]
    if any(len(items) != 1 for items in told):
        return None
    name, landed, minutes = (str(items[0].statement.value) for items in told)
    try:
        when, lasts = parse_when(landed), Decimal(minutes)
    except (ValueError, InvalidOperation):
        return None
    return (when, lasts) if name == aircraft and isinstance(when, datetime) else None


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
