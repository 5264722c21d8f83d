"""Flown flights put on record from their logs: hours, landings and packs for pilot, aircraft and battery; the answers kept.

Of several flights, one that may be on record already, or that another log is of too, is left out and told.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from decimal import Decimal, InvalidOperation
from hashlib import sha256
from pathlib import PurePath
from typing import NamedTuple

from airwrit.answers.after_flight.flown import FlownAnswer
from airwrit.answers.after_flight.json import flown_json
from airwrit.answers.after_flight.matching import Aloft, aloft_together
from airwrit.answers.after_flight.view import lasts_text, words
from airwrit.answers.document import Json
from airwrit.answers.flights.doubles import doubles_to_look_at
from airwrit.answers.flights.entering import entering, placed
from airwrit.answers.sheets.difference import Difference, HandEntry, OnRecord, saying_by_hand
from airwrit.base.days import When, parse_when
from airwrit.base.errors import UsageError
from airwrit.base.sentences import with_days
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
    """A flight as a log of flights has it, the answer as bytes, and the planned flight ("" for none).

    `log` is the name of the log, in a folder with its place there.
    """

    flown: Flown
    snapshot: bytes
    log: str
    planned: str


class FlownSaving(NamedTuple):
    """What keeping a flown flight would do, the file kept with it, and what may be on record already under another name."""

    taking: Difference
    files: tuple[KeptFile, ...]
    twice: tuple[Problem, ...]


class FlightsSaving(NamedTuple):
    """The flights that would be logged, and the logs that are left out or have a remark, each with why."""

    todo: tuple[FlightToKeep, ...]
    told: tuple[tuple[str, str], ...]

    @property
    def hours(self) -> str:
        """The hours of the flights that would be logged, to a tenth."""
        return f"{sum(one.flown.minutes or 0 for one in self.todo) / 60:.1f}"


@dataclass(slots=True)
class FlightsToKeep:
    """The flights of logs that can be put on record, and why the others can't, each with its log."""

    flights: list[FlightToKeep] = field(default_factory=list)
    left_out: list[tuple[str, str]] = field(default_factory=list)

    def add(self, answer: FlownAnswer) -> None:
        """Note the flight of an answer."""
        try:
            self.flights.append(flight_to_keep(answer))
        except UsageError as fault:
            self.left_out.append((answer.track.name, fault.what))


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
        answer.track.name,
        "" if answer.planned is None else answer.planned.subject,
    )


def _landed(answer: FlownAnswer) -> When:
    """When it landed, by the clock of the place; only the day where the log tells no hour."""
    local = answer.plan.ends.astimezone(answer.plan.zone.info)
    return local if answer.path.track.utc_us is not None else local.date()


def saving_flown(held: OnRecord, flight: FlightToKeep, by: str, at: datetime) -> FlownSaving:
    """What keeping a flown flight would do, on its plan where it was planned, else as a flight of its own; the file kept."""
    flown = placed(held, flight.flown)
    file = KeptFile(f"{PurePath(flight.log).name} {at:%Y-%m-%dT%H%MZ}.json", flight.snapshot)
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


def flights_saving(
    held: OnRecord, found: FlightsToKeep, by: str, at: datetime, *, many: bool = True
) -> FlightsSaving:
    """Which flights would be logged; of one log alone, one that may be on record already is logged with a remark."""
    text, told = words()["saving"], list(found.left_out)
    todo: list[FlightToKeep] = []
    for flight in found.flights:
        made = saving_flown(held, flight, by, at)
        same = next((one.log for one in todo if _is_same(one.flown, flight.flown)), None)
        if made.taking.is_empty:
            told.append((flight.log, text["already"]))
        elif same is not None:
            told.append((flight.log, text["same"].format(log=same)))
        elif made.twice and many:
            told.append((flight.log, made.twice[0].what))
        else:
            todo.append(flight)
            told += [(flight.log, remark.says) for remark in made.twice]
    return FlightsSaving(tuple(todo), tuple(told))


def saving_line(flight: FlightToKeep) -> str:
    """A flight that would be logged, in words."""
    flown, figures = flight.flown, words()["figures"]
    landings = "landing" if flown.landings == 1 else "landings"
    return words()["saving"]["line"].format(
        log=flight.log,
        aircraft=flown.aircraft,
        pilot=flown.pilot,
        day=with_days(flown.landed.isoformat()[:10]),
        lasts=lasts_text(timedelta(minutes=float(flown.minutes or 0))),
        landings=figures[landings].format(count=flown.landings),
    )


def left_out_line(log: str, why: str) -> str:
    """Why a log is left out, or what is to be said of it."""
    return f"{log}: {why[:1].upper()}{why[1:].rstrip('.')}."


def saving_json(saving: FlightsSaving) -> Json:
    """The document of what would be logged."""
    return {
        "flights": [
            {
                "log": one.log,
                "aircraft": one.flown.aircraft,
                "pilot": one.flown.pilot,
                "landed": one.flown.landed.isoformat(),
                "minutes": str(one.flown.minutes),
                "landings": str(one.flown.landings),
                "planned": one.planned,
            }
            for one in saving.todo
        ],
        "told": [{"log": log, "says": says} for log, says in saving.told],
    }


def _is_same(one: Flown, other: Flown) -> bool:
    """Whether two flights are of one aircraft at the same time."""
    ends = (one.landed, other.landed)
    if one.aircraft != other.aircraft or one.minutes is None or other.minutes is None:
        return False
    if not isinstance(ends[0], datetime) or not isinstance(ends[1], datetime):
        return False
    return aloft_together((ends[0], one.minutes), (ends[1], other.minutes))


def _meanwhile(held: OnRecord, flown: Flown, taking: Difference, where: str) -> Iterator[Problem]:
    """A remark where the aircraft was, by another flight on record, in the air for over half of the shorter of the two."""
    mine, end = {change.statement.subject for change in taking.changes}, flown.landed
    if not mine or not isinstance(end, datetime) or flown.minutes is None:
        return
    for subject in sorted({subject for subject, _ in held.groups if kind_of(subject) == "flight"} - mine):
        other = _in_the_air(held, subject, flown.aircraft)
        if other is not None and aloft_together((end, flown.minutes), other):
            what = f"{id_of(subject)} may be the same flight. It was logged for the same time"
            yield Problem(where, what, "if it is, don't log this one")


def _in_the_air(held: OnRecord, subject: str, aircraft: str) -> Aloft | None:
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
