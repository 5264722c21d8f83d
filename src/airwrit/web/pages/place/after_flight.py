"""After a flight: its log held against the rules of its day, with pictures; what is open is a field; then it is logged."""

from __future__ import annotations

import tempfile
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import NamedTuple

from markupsafe import Markup

from airwrit.answers.after_flight.check import flown_answer
from airwrit.answers.after_flight.flown import FlownAnswer
from airwrit.answers.after_flight.json import flown_json
from airwrit.answers.after_flight.log_columns import (
    FOLDER,
    ColumnTyped,
    columns_typed,
    keep_mapping,
    log_words,
    question_text,
)
from airwrit.answers.after_flight.saving import flight_to_keep, saving_flown
from airwrit.answers.after_flight.view import FlownClauseShown, FlownView, flown_view
from airwrit.answers.before_flight.saved import planned_flights
from airwrit.answers.document import SCOPE_OF_FLOWN
from airwrit.answers.drawings.profile import HeightDrawing, height_drawing, strip_drawing, time_ticks
from airwrit.answers.drawings.track import flown_map
from airwrit.answers.flown_log import reading_of_log
from airwrit.base.errors import AirwritError, UnreadableFile
from airwrit.base.verdict import Verdict
from airwrit.facts.keys.flights.log import packs_named
from airwrit.facts.vocabulary import id_of
from airwrit.ledger.sqlite.store import Ledger
from airwrit.papers.flown_pdf import flown_pdf
from airwrit.tracks.readers.reading import LogAsks, Reading
from airwrit.tracks.track import Track
from airwrit.web.draw.words import path_of
from airwrit.web.parts.flown_form import (
    COLUMN,
    answers_said,
    columns_said,
    folders_beside,
    known_on_record,
    mapping_said,
    program_on_record,
    question_said,
    subjects_on_file,
)
from airwrit.web.server.forms import Ticket, Typed, ticket, write_once
from airwrit.web.server.visit import Answer, Download, PageSheet, Redirect, Visit
from airwrit.web.server.workspace import held_in, held_now

MOST_BYTES = 100 * 2**20
"""What may be sent at once; a larger log goes by the command."""

LOG, TRAY, WAY = "log", "tray", "way"
SAVE, PRINT = "save", "print"
_TEXTS = (
    "flight",
    "aircraft",
    "pilot",
    "for",
    "zone",
    "day",
    "heights_from",
    "level",
    "near",
    "reserve",
    "pilot_at",
)
ANYWAY = "anyway"
_MORE = ("packs", "track", "weeks", "decimal", ANYWAY)
_FIELDS = {f"--{name.replace('_', '-')}": name for name in (*_TEXTS, *_MORE)} | {
    "flight": "flight",
    "--on": "day",
}
"""Which field of the form a refusal belongs to."""
_LONGEST = 400
_GONE = "we no longer have this log. We drop it after two hours, or when airwrit closes"


class RuleStrip(NamedTuple):
    """A clause over time: in words, its strip, and the numbers of its intervals."""

    shown: FlownClauseShown
    drawn: Markup
    numbers: tuple[int, ...]


class StatusRow(NamedTuple):
    """The aircraft or the pilot on the day of the flight."""

    name: str
    path: str
    status: str
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class AfterFlightPage:
    """The page: the form, questions the log leaves open, its columns, and the answer where it could be made."""

    form: Typed
    ticket: Ticket
    flights: tuple[tuple[str, str], ...]
    aircraft: tuple[tuple[str, str], ...]
    pilots: tuple[tuple[str, str], ...]
    datums: tuple[tuple[str, str], ...]
    tray: str = ""
    log: str = ""
    questions: tuple[str, ...] = ()
    columns: tuple[ColumnTyped, ...] = ()
    kinds: tuple[tuple[str, str], ...] = ()
    units: tuple[tuple[str, str], ...] = ()
    tracks: tuple[tuple[str, str], ...] = ()
    asks_weeks: bool = False
    answer: FlownAnswer | None = None
    view: FlownView | None = None
    site: Markup | None = None
    height: HeightDrawing | None = None
    strips: tuple[tuple[str, tuple[RuleStrip, ...]], ...] = ()
    ticks: tuple[tuple[float, str], ...] = ()
    zone: str = ""
    status: tuple[StatusRow, ...] = ()


def show(visit: Visit) -> Answer:
    """The question which log; of a log that was sent the answer."""
    name = visit.query.get(TRAY, "")
    laid = visit.desk.tray.found(name) if name else None
    if laid is None:
        said = {key: visit.query[key].strip()[:_LONGEST] for key in _TEXTS if key in visit.query}
        return _sheet(visit, Typed(said, {LOG: _GONE} if name else {}))
    return _looked(visit, name, laid.files[0], dict(laid.told))


def act(visit: Visit) -> Answer:
    """Lay a log down, tell something else of it, print its answer, or log the flight."""
    told = {
        key: value.strip()[:_LONGEST]
        for key, value in visit.said.items()
        if key in _TEXTS or key in _MORE or key.startswith(COLUMN)
    }
    sent = next((one for one in visit.files.get(LOG, ()) if one.name), None)
    if sent is not None:
        return _onward(visit, visit.desk.tray.lay([(Path(sent.name).name, sent.data)], told))
    name = visit.said.get(TRAY, "")
    laid = visit.desk.tray.tell(name, told)
    if laid is None:
        return _sheet(visit, Typed(told, {LOG: _GONE if name else "choose the log of the flight"}))
    way = visit.said.get(WAY)
    if way == PRINT:
        found = _answer(visit, laid.files[0], told, {})
        if found is not None and found.answer is not None:
            pdf = flown_pdf(found.answer, folders_beside(visit).airspace)
            return Download(f"{Path(laid.files[0][0]).stem} check.pdf", "application/pdf", pdf)
    if way == SAVE:
        return _save(visit, name, laid.files[0], told)
    if columns_said(told) and not visit.desk.is_empty:
        _keep_columns(visit, laid.files[0], told)
    return _onward(visit, name)


def _onward(visit: Visit, name: str) -> Redirect:
    return Redirect(visit.link("/after-flight", None, tray=name))


def _keep_columns(visit: Visit, log: tuple[str, bytes], told: Mapping[str, str]) -> None:
    """Keep what the columns of a table are, once the table can be read by it."""
    found = _answer(visit, log, told, {})
    if found is not None and found.reading.tracks:
        keep_mapping(visit.desk.ledger.parent / FOLDER, mapping_said(told))


def _save(visit: Visit, name: str, log: tuple[str, bytes], told: Mapping[str, str]) -> Answer:
    """Log the flight, with the answer kept."""
    wrong: dict[str, str] = {}
    found = _answer(visit, log, told, wrong)
    if found is None or found.answer is None or wrong:
        return _onward(visit, name)
    try:
        flight = flight_to_keep(found.answer, packs_named(told.get("packs", "")))
        before = saving_flown(held_now(visit.desk), flight, visit.by, visit.desk.clock())
    except AirwritError as fault:
        return _looked(visit, name, log, told, {_FIELDS.get(fault.where, ""): fault.says})
    if before.taking.is_empty:
        return _looked(visit, name, log, told, {"": "This flight is already on record."})
    if before.twice and told.get(ANYWAY) != "yes":
        return _looked(visit, name, log, told, {ANYWAY: before.twice[0].what})

    def write(book: Ledger) -> int:
        made = saving_flown(held_in(visit.desk, book), flight, visit.by, visit.desk.clock())
        entries = book.append(made.taking.drafts, visit.desk.clock, after=made.taking.after, files=made.files)
        return entries[-1].seq

    return write_once(
        visit, write, lambda seq: visit.link("/after-flight", None, tray=name, written=str(seq))
    )


class _Looked(NamedTuple):
    """A log that was read, and the answer where nothing is open."""

    reading: Reading
    answer: FlownAnswer | None


def _answer(
    visit: Visit, log: tuple[str, bytes], told: Mapping[str, str], wrong: dict[str, str]
) -> _Looked | None:
    """The log read and judged; what keeps it from that is noted at its field."""
    try:
        reading = _read(visit, log, told)
        if not reading.tracks:
            return _Looked(reading, None)
        track = dict(_tracks(reading)).get(told.get("track", "1"))
        if track is None or (len(reading.tracks) > 1 and not told.get("track")):
            wrong["track"] = "The log has several tracks. Choose one."
            return _Looked(reading, None)
        known = known_on_record(visit)
        program, folders = program_on_record(visit, known), folders_beside(visit)
        return _Looked(reading, flown_answer(track, question_said(known, told), program, folders))
    except AirwritError as fault:
        field = LOG if isinstance(fault, UnreadableFile) else _FIELDS.get(fault.where, "")
        wrong[field] = fault.says
        return None


def _tracks(reading: Reading) -> list[tuple[str, Track]]:
    """The tracks of a log, each by its number."""
    return [(str(number), track) for number, track in enumerate(reading.tracks, 1)]


def _read(visit: Visit, log: tuple[str, bytes], told: Mapping[str, str]) -> Reading:
    """The log by its reader, out of a file that is gone again afterwards."""
    name, data = log
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / (Path(name).name or "log")
        path.write_bytes(data)
        return reading_of_log(path, answers_said(visit, told))


def _looked(
    visit: Visit,
    name: str,
    log: tuple[str, bytes],
    told: Mapping[str, str],
    wrong: dict[str, str] | None = None,
) -> PageSheet:
    """The page of a log."""
    wrong = wrong or {}
    found = _answer(visit, log, told, wrong)
    return _sheet(visit, Typed(told, wrong), name, log[0], found)


def _sheet(
    visit: Visit, form: Typed, tray: str = "", log: str = "", found: _Looked | None = None
) -> PageSheet:
    flights = tuple(
        (
            id_of(one.subject),
            f"{id_of(one.subject)}, {one.plan.starts.astimezone(one.plan.zone.info):%Y-%m-%d}",
        )
        for one in planned_flights(known_on_record(visit))
    )
    page = AfterFlightPage(
        form,
        ticket(visit.desk),
        flights,
        subjects_on_file(visit, "aircraft"),
        subjects_on_file(visit, "person"),
        tuple(log_words()["datum"].items()),
        tray,
        log,
    )
    if found is not None:
        page = _read_page(page, found.reading)
    if found is not None and found.answer is not None:
        page = _answered(visit, page, found.answer)
    answer = page.answer
    sheet = form.sheet(
        "after_flight.html",
        "After a flight",
        page,
        lambda: (
            form.unanswered("after_flight", SCOPE_OF_FLOWN, questions=list(page.questions))
            if answer is None
            else flown_json(answer)
        ),
    )
    return sheet if page.view is None else sheet._replace(scope=page.view.scope)


def _read_page(page: AfterFlightPage, reading: Reading) -> AfterFlightPage:
    """With what the log leaves open."""
    said = log_words()
    is_open = reading.mapping is not None and not reading.tracks
    return replace(
        page,
        questions=tuple(dict.fromkeys(map(question_text, reading.questions))),
        columns=columns_typed(reading.mapping) if is_open and reading.mapping is not None else (),
        kinds=tuple(said["column"].items()),
        units=tuple(said["unit"].items()),
        tracks=tuple((number, _track_name(one, page.log, number)) for number, one in _tracks(reading))
        if len(reading.tracks) > 1
        else (),
        asks_weeks=any(one.asks is LogAsks.WEEKS for one in reading.questions),
    )


def _track_name(track: Track, log: str, number: str) -> str:
    """What a track of several is called: by its name in the log, else by its number."""
    name = track.name.removeprefix(log).strip()
    return f"{number}: {name}" if name else f"track {number}"


def _answered(visit: Visit, page: AfterFlightPage, answer: FlownAnswer) -> AfterFlightPage:
    subjects = [row for row in (answer.aircraft, answer.pilot) if row is not None]
    view = flown_view(answer)
    return replace(
        page,
        answer=answer,
        view=view,
        site=flown_map(answer, folders_beside(visit).airspace),
        height=height_drawing(answer),
        strips=tuple((title, tuple(_strip(one, answer) for one in mine)) for title, mine in view.clauses),
        ticks=tuple(time_ticks(answer)),
        zone=answer.plan.zone.name if answer.path.track.utc_us is not None else "",
        status=tuple(
            StatusRow(id_of(row.subject), path_of(row.subject), row.headline.value, verdict)
            for row, verdict in zip(subjects, answer.standing_verdicts, strict=True)
        ),
    )


def _strip(one: FlownClauseShown, answer: FlownAnswer) -> RuleStrip:
    numbers = tuple(sorted(interval.number for interval in one.clause.intervals))
    return RuleStrip(one, strip_drawing(answer.strip(one.clause), answer), numbers)
