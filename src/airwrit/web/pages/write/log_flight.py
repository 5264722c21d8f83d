"""Enter: a flight by hand, shown or written at once; open defects; the flights, hours and battery cycles on record."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import NamedTuple

from airwrit.answers.flights.doubles import doubles_to_look_at
from airwrit.answers.flights.entering import ENTER, OpenDefect, entering, open_defects, placed, remarks_on
from airwrit.answers.flights.totals import Total, Totals, flight_totals, totals_json
from airwrit.answers.sheets.difference import Difference
from airwrit.answers.standing.standing import Standing
from airwrit.answers.standing.view import Warned, warned_of
from airwrit.base.days import day_of
from airwrit.base.errors import BadFact
from airwrit.facts.keys.flights.flight import FLIGHT_AIRCRAFT, FLIGHT_PILOT
from airwrit.facts.keys.flights.log import DEFECT_SEEN, FLOWN_FOR, FLOWN_ON, LANDINGS, MINUTES, PACKS
from airwrit.facts.keys.flights.planning import FLOWN_AGAINST
from airwrit.facts.state import State
from airwrit.facts.statement import EntryPlace
from airwrit.facts.vocabulary import id_of, subject_named
from airwrit.intake.typed.flight import FIELDS, Flown, flown_of
from airwrit.law.parameters import FIRST_DAY
from airwrit.ledger.sqlite.store import Ledger
from airwrit.web.parts.acts import Caused, caused_by
from airwrit.web.parts.flights import Choices, FlightShown, choices_of, logged
from airwrit.web.server.forms import NOTE, Ticket, Typed, sent_before, ticket, write_once
from airwrit.web.server.visit import Answer, PageSheet, Redirect, Visit
from airwrit.web.server.workspace import asked_of, held_now

DAY, CORRECTS, WARNED = "day", "corrects", "warned"
NAMES = (*FIELDS, DAY, CORRECTS, NOTE)
FORM_OF: Mapping[str, str] = {
    FLIGHT_AIRCRAFT.name: "aircraft",
    FLIGHT_PILOT.name: "pilot",
    FLOWN_ON.name: "landed",
    MINUTES.name: "minutes",
    LANDINGS.name: "landings",
    PACKS.name: "packs",
    FLOWN_FOR.name: "use",
    DEFECT_SEEN.name: "defect",
    FLOWN_AGAINST.name: "against",
}
"""The fields of the form by the keys of a flight."""

_FOLDED = (DAY, "nth", CORRECTS, NOTE)
_LAST, _SUMS, _DEFECTS, _PACKS = 12, 40, 40, 60
_MOST_SUMS, _DIGITS = 1_000, 15
_CHOSEN = 500
"""More names than these are typed, with the first of them offered."""


class FlightWritten(NamedTuple):
    """A flight that was just written: its entry, its words, and where another like it and its correction are entered."""

    seq: int
    flight: str
    said: Mapping[str, str]
    like: str
    again: str


class Twice(NamedTuple):
    """Two flights that may be one, each with the entry that put it on record."""

    one: str
    one_entry: int | None
    other: str
    other_entry: int | None


class Sums(NamedTuple):
    """The totals of one kind as far as they are shown, most recent first, and how many there are."""

    title: str
    first: str
    kind: str
    rows: tuple[Total, ...]
    many: int


@dataclass(frozen=True, slots=True)
class FlightPage:
    """The whole page."""

    form: Typed
    ticket: Ticket
    zone: str
    choices: Choices
    typed_names: bool
    unfolded: bool
    caused: Caused | None
    warned: tuple[Warned, ...]
    """who and what is not OK on the day of the flight, said before it is saved"""
    told: FlightWritten | None
    defects: tuple[OpenDefect, ...]
    defects_many: int
    last: tuple[FlightShown, ...]
    totals: Totals
    twice: tuple[Twice, ...]
    sums: tuple[Sums, ...]


class FlightInput(NamedTuple):
    """What stands in the form, and what it would do where nothing is wrong with it."""

    typed: Typed
    flown: Flown | None = None
    taking: Difference | None = None


def show(visit: Visit) -> Answer:
    """The form, as far as the address fills it in, and what is on record."""
    values = {"landed": local_now(visit), "landings": "1"}
    values |= {name: visit.query[name] for name in NAMES if name in visit.query}
    return _sheet(visit, FlightInput(Typed(values)))


def act(visit: Visit) -> Answer:
    """Show what a flight would write, or write it where that was asked for and nothing is wrong."""
    writes = visit.said.get("way") == "write"
    if writes and (gone := sent_before(visit, ())):
        return Redirect(gone)
    read = _read(visit, {name: visit.said.get(name, "").strip() for name in NAMES})
    flown, taking = read.flown, read.taking
    unseen = bool(_warnings(visit, flown)) and visit.said.get(WARNED) != "yes"
    if not writes or flown is None or taking is None or taking.is_empty or unseen:
        return _sheet(visit, read)

    about = {change.statement.subject for change in taking.changes}

    def write(book: Ledger) -> int:
        held, note = held_now(visit.desk), read.typed.values[NOTE]
        now = entering(held, [flown], visit.by, corrects=_corrects(read.typed), note=note)
        return book.append(now.drafts, visit.desk.clock, after=now.after)[-1].seq

    return write_once(visit, write, lambda seq: visit.link("/log-flight", None, written=str(seq)), about)


def local_now(visit: Visit) -> str:
    """Now, as a field for a moment shows it: by the clock of this machine."""
    return f"{visit.desk.clock().astimezone():%Y-%m-%dT%H:%M}"


def with_zone(text: str) -> str:
    """A moment as a field gives it, with the zone that this machine had then; anything else as it stands."""
    if len(text) <= len("2026-11-25"):
        return text
    try:
        moment = datetime.fromisoformat(text)
        return text if moment.tzinfo else moment.astimezone().isoformat(timespec="minutes")
    except (ValueError, OverflowError, OSError):
        return text


def zone_of(visit: Visit) -> str:
    """The zone of this machine now, as it differs from UTC."""
    told = f"{visit.desk.clock().astimezone():%z}"
    return f"UTC{told[:3]}:{told[3:5]}"


def _read(visit: Visit, values: Mapping[str, str]) -> FlightInput:
    """The flight that a form says, and what it would do; or what is wrong with which field."""
    fields = {name: values[name] for name in FIELDS if values[name]}
    fields["landed"] = values[DAY] or with_zone(values["landed"])
    flown, problems = flown_of(fields, ENTER)
    if flown is None:
        at = {"landed": DAY} if values[DAY] else {}
        wrong = {one.field: one.says for one in problems}
        return FlightInput(Typed(values, {at.get(name, name): words for name, words in wrong.items()}))
    held = held_now(visit.desk)
    try:
        flown = placed(held, flown)
    except BadFact as fault:
        return FlightInput(Typed(values, {fault.field: fault.says}))
    typed = Typed(values)
    taking = entering(held, [flown], visit.by, corrects=_corrects(typed))
    if taking.contradictions and not _corrects(typed):
        said = "another entry disagrees about this flight. Check the box to correct it, or change the landing time"
        return FlightInput(Typed(values, {CORRECTS: said}), None, taking)
    return FlightInput(typed, flown, taking)


def _corrects(typed: Typed) -> bool:
    return typed.values.get(CORRECTS) == "yes"


def _caused(visit: Visit, read: FlightInput) -> Caused | None:
    if read.taking is None:
        return None
    held = held_now(visit.desk)
    remarks = list(remarks_on(read.flown.landed, visit.desk.clock())) if read.flown is not None else []
    remarks += doubles_to_look_at(held, read.taking, ENTER)
    return caused_by(visit, read.taking, held, _whom(read.flown), [one.says for one in remarks])


def _whom(flown: Flown | None) -> tuple[str, ...]:
    """The aircraft and the pilot of a flight."""
    if flown is None:
        return ()
    named = (("aircraft", flown.aircraft), ("person", flown.pilot))
    return tuple(subject_named(kind, name) for kind, name in named if name)


def _warnings(visit: Visit, flown: Flown | None) -> tuple[Warned, ...]:
    """Who and what of a flight was not OK on its day; a flight of a day to come, or too long ago, by today."""
    if flown is None or not visit.asked.is_today:
        return ()
    day = day_of(flown.landed)
    asked = visit.asked
    if FIRST_DAY <= day < asked.today:
        asked = asked_of({"on": day.isoformat()}, visit.desk.clock())
    return warned_of(visit.desk.standing(asked), _whom(flown), flown.use)


class _Kept(NamedTuple):
    """What is reckoned once for a state of the ledger and a day."""

    totals: Totals
    twice: tuple[Twice, ...]
    flights: tuple[FlightShown, ...]
    choices: Choices
    defects: tuple[OpenDefect, ...]


def _kept(visit: Visit) -> _Kept:
    held = held_now(visit.desk) if visit.asked.is_today else None

    def work(answer: Standing) -> _Kept:
        state = answer.report.state
        flights = logged(state)
        defects = open_defects(held, visit.asked.today) if held is not None else ()
        totals = flight_totals(state)
        return _Kept(totals, _twice(totals, state), flights, choices_of(answer, flights), defects)

    return visit.desk.made_of("enter", visit.asked, work)


def _twice(totals: Totals, state: State) -> tuple[Twice, ...]:
    entries = {one: _entry_of(state, one) for pair in totals.doubles[:_DEFECTS] for one in pair}
    return tuple(
        Twice(pair.one, entries[pair.one], pair.other, entries[pair.other])
        for pair in totals.doubles[:_DEFECTS]
    )


def _entry_of(state: State, flight: str) -> int | None:
    """The number of the entry that told when a flight landed."""
    held = state.held[flight].get(FLOWN_ON)
    first = held.origins[0] if held is not None and held.origins else None
    return first.entry if isinstance(first, EntryPlace) else None


def _sheet(visit: Visit, read: FlightInput) -> PageSheet:
    kept = _kept(visit)
    choices = kept.choices
    view = FlightPage(
        read.typed,
        ticket(visit.desk),
        zone_of(visit),
        Choices(choices.aircraft[:_CHOSEN], choices.pilots[:_CHOSEN], choices.packs[:_PACKS]),
        max(len(choices.aircraft), len(choices.pilots)) > _CHOSEN,
        any(read.typed.values.get(name) or name in read.typed.wrong for name in _FOLDED),
        _caused(visit, read),
        _warnings(visit, read.flown),
        _told(visit),
        kept.defects[:_DEFECTS],
        len(kept.defects),
        kept.flights[:_LAST],
        kept.totals,
        kept.twice,
        _sums(kept.totals, _MOST_SUMS if visit.query.get("all") else _SUMS),
    )
    return read.typed.sheet("log_flight.html", "Log a flight", view, lambda: totals_json(kept.totals))


def _sums(totals: Totals, most: int) -> tuple[Sums, ...]:
    kinds = (
        ("Aircraft", "Flights", totals.aircraft, "aircraft"),
        ("Pilots", "Flights", totals.pilots, "person"),
        ("Battery packs", "Cycles", totals.packs, ""),
    )
    return tuple(
        Sums(title, first, kind, tuple(sorted(rows, key=_last_on, reverse=True)[:most]), len(rows))
        for title, first, rows, kind in kinds
        if rows
    )


def _last_on(total: Total) -> date:
    return total.last_on or date.min


def _told(visit: Visit) -> FlightWritten | None:
    """The flight of the entry that the address names as just written; None where it names none."""
    text = visit.query.get("written", "")
    if not (text.isascii() and text.isdigit() and len(text) < _DIGITS):
        return None
    with visit.desk.opened() as book:
        entry = book.entry(int(text))
    if entry is None or entry.act != ENTER or not entry.statements:
        return None
    said = {FORM_OF[one.key]: str(one.value) for one in entry.statements if one.key in FORM_OF}
    subject = entry.statements[0].subject
    flown = said.get("landed", "")
    local = _local(flown)
    like = {name: value for name, value in said.items() if name not in ("landed", "defect")}
    nth = id_of(subject).partition(f" {flown} no. ")[2]
    when = {"landed": local} if local else {"landed": "", DAY: flown, "nth": nth}
    again = {**said, **when, CORRECTS: "yes"}
    return FlightWritten(
        entry.seq,
        id_of(subject),
        {name: said.get(name, "") for name in FORM_OF.values()},
        visit.link("/log-flight", None, **like),
        visit.link("/log-flight", None, **again),
    )


def _local(flown: str) -> str:
    """A moment on record as a field shows it, by the clock of this machine; empty for a day alone."""
    try:
        return f"{datetime.fromisoformat(flown).astimezone():%Y-%m-%dT%H:%M}" if "T" in flown else ""
    except (ValueError, OverflowError, OSError):
        return ""
