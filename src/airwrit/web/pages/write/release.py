"""Release: an aircraft with an open defect is told to be fit to fly again, by whom and when."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple
from urllib.parse import quote

from airwrit.answers.flights.entering import OpenDefect, open_defects, releasing, remarks_on
from airwrit.answers.sheets.difference import Difference
from airwrit.answers.sheets.json import taking_json
from airwrit.base.days import When, parse_when
from airwrit.base.errors import BadFact
from airwrit.facts.vocabulary import subject_named
from airwrit.ledger.sqlite.store import Ledger
from airwrit.web.draw.words import path_of
from airwrit.web.pages.write.log_flight import local_now, with_zone, zone_of
from airwrit.web.parts.acts import Caused, caused_by
from airwrit.web.server.forms import Ticket, Typed, sent_before, ticket, write_once
from airwrit.web.server.trouble import NOTHING_WRITTEN, Refused, Trouble
from airwrit.web.server.visit import Answer, PageSheet, Redirect, Visit
from airwrit.web.server.workspace import held_now

RELEASED, WHO = "released", "who"
_LONGEST = 100


@dataclass(frozen=True, slots=True)
class ReleasePage:
    """The whole page."""

    aircraft: str
    subject: str
    form: Typed
    ticket: Ticket
    zone: str
    defects: tuple[OpenDefect, ...]
    caused: Caused | None


class ReleaseInput(NamedTuple):
    """What stands in the form, and what it would do where nothing is wrong with it."""

    typed: Typed
    released: When | None = None
    taking: Difference | None = None


def show(visit: Visit) -> Answer:
    """The form of an aircraft that has an open defect of a flight; of any other, what returns it to service."""
    defects = _open(visit)
    if not defects:
        aircraft = quote(visit.named["aircraft"], safe="")
        return Redirect(visit.link(f"/record-change/return_to_service/aircraft/{aircraft}"))
    return _sheet(visit, defects, ReleaseInput(Typed({RELEASED: local_now(visit), WHO: ""})))


def act(visit: Visit) -> Answer:
    """Show what a release would write, or write it where that was asked for and nothing is wrong."""
    writes = visit.said.get("way") == "write"
    if writes and (gone := sent_before(visit)):
        return Redirect(gone)
    defects = _open(visit)
    if not defects:
        what = f"no open defect on {visit.named['aircraft'][:80]!r} is on record"
        do = "open it from the list of open defects under Log a flight"
        raise Refused(Trouble(404, "Nothing to release", what, visit.path, NOTHING_WRITTEN, do))
    values = {name: visit.said.get(name, "").strip() for name in (RELEASED, WHO)}
    read = _read(visit, values)
    released = read.released
    if not writes or released is None:
        return _sheet(visit, defects, read)
    name = visit.named["aircraft"]

    def write(book: Ledger) -> int:
        taking = releasing(held_now(visit.desk), name, released, values[WHO], visit.by)
        return book.append(taking.drafts, visit.desk.clock, after=taking.after)[-1].seq

    onward = path_of(subject_named("aircraft", name))
    return write_once(visit, write, lambda seq: visit.link(onward, None, written=str(seq)))


def _open(visit: Visit) -> tuple[OpenDefect, ...]:
    """The open defects of flights of the aircraft."""
    if visit.desk.is_empty:
        return ()
    every = open_defects(held_now(visit.desk), visit.asked.today)
    return tuple(one for one in every if one.aircraft == visit.named["aircraft"])


def _read(visit: Visit, values: Mapping[str, str]) -> ReleaseInput:
    wrong: dict[str, str] = {}
    released: When | None = None
    try:
        released = parse_when(with_zone(values[RELEASED]))
    except ValueError:
        wrong[RELEASED] = "enter when it was signed off, like 2026-05-31T14:00, or the date"
    if not values[WHO] or len(values[WHO]) > _LONGEST:
        wrong[WHO] = f"enter who signed it off, in at most {_LONGEST} characters"
    if wrong or released is None:
        return ReleaseInput(Typed(values, wrong))
    try:
        taking = releasing(held_now(visit.desk), visit.named["aircraft"], released, values[WHO], visit.by)
    except BadFact as fault:
        return ReleaseInput(
            Typed(values, {RELEASED: f"{fault.what}. The sign-off has to come after the defect"})
        )
    return ReleaseInput(Typed(values), released, taking)


def _sheet(visit: Visit, defects: tuple[OpenDefect, ...], read: ReleaseInput) -> PageSheet:
    name, taking = visit.named["aircraft"], read.taking
    caused = None
    if taking is not None and read.released is not None:
        remarks = remarks_on(read.released, visit.desk.clock(), what="release")
        subject = subject_named("aircraft", name)
        caused = caused_by(visit, taking, held_now(visit.desk), (subject,), [one.says for one in remarks])
    view = ReleasePage(
        name,
        subject_named("aircraft", name),
        read.typed,
        ticket(visit.desk),
        zone_of(visit),
        defects,
        caused,
    )
    twin = {
        "question": "release",
        "aircraft": name,
        "defects": [one._asdict() for one in defects],
        "would": None if taking is None else taking_json(taking),
    }
    return read.typed.sheet("release.html", f"Release: {name[:80]}", view, lambda: twin)
