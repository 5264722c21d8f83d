"""Many logs at once: a folder of this computer or files sent, checked in the background, a line for each, the worst first."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from hashlib import sha256
from pathlib import Path
from typing import NamedTuple

from airwrit.answers.after_flight.check import flown_answer
from airwrit.answers.after_flight.flown import FlownAnswer
from airwrit.answers.after_flight.log_columns import log_words
from airwrit.answers.after_flight.log_folder import Answering, LinesKept, lines_of_logs, logs_in
from airwrit.answers.after_flight.many import (
    FlightLine,
    ManyFlights,
    aircraft_of,
    asked_digest,
    line_text,
    many_json,
    many_of,
    many_text,
    plan_lines,
    refused_line,
    total_text,
    with_aircraft,
)
from airwrit.answers.after_flight.question import FlownQuestion
from airwrit.answers.after_flight.saving import (
    FlightsSaving,
    FlightsToKeep,
    flights_saving,
    left_out_line,
    saving_flown,
    saving_json,
    saving_line,
)
from airwrit.answers.after_flight.view import words
from airwrit.answers.before_flight.saved import SavedFlight
from airwrit.answers.document import CAUTION, Json
from airwrit.base.errors import AirwritError, UsageError
from airwrit.base.verdict import Verdict
from airwrit.ledger.sqlite.store import Ledger
from airwrit.tracks.readers.reading import LogAnswers
from airwrit.tracks.track import Track
from airwrit.web.parts.flown_form import (
    answers_said,
    folders_beside,
    known_on_record,
    program_on_record,
    question_said,
    subjects_on_file,
)
from airwrit.web.parts.subject_list import ListPlace
from airwrit.web.server.forms import Ticket, Typed, ticket, write_once
from airwrit.web.server.long_runs import LongRun
from airwrit.web.server.trouble import NOTHING_WRITTEN, Refused, Trouble
from airwrit.web.server.visit import Answer, PageSheet, Redirect, SentFile, Visit
from airwrit.web.server.workspace import held_in, held_now

MOST_BYTES = 100 * 2**20
"""What may be sent at once; more logs go as a folder."""
MOST_FILES = 200
PATH = "/after-flights"
RESULTS = "flown-results"
"""The folder beside the ledger that keeps what was found, so that a stopped run goes on."""
_TEXTS = ("folder", "aircraft", "pilot", "for", "zone", "heights_from", "level", "reserve")
_FIELDS = {"logs": "logs", **{f"--{name.replace('_', '-')}": name for name in _TEXTS}}
"""Which field of the form a refusal belongs to."""
_LONGEST = 1_000
_ROWS = 50
_LONGEST_NUMBER = 9
_GONE = "we no longer have these results. Choose the folder again. Logs that were checked aren't read again"


PREVIEW, SAVE = "preview", "save"
"""The ways of the form under a list: show which flights would be logged, and log them."""


class LogsAsked(NamedTuple):
    """What a run is of: the folder, or the name under which the files that were sent are found; what was told; the plans.

    `keeping` gathers the flights where they are to be logged.
    """

    folder: Path | None
    tray: str
    told: Mapping[str, str]
    plans: Sequence[SavedFlight]
    keeping: FlightsToKeep | None = None


class LogRow(NamedTuple):
    """A flight in the list: its verdict, log, day, what was found, and the address of its answer."""

    verdict: Verdict
    log: str
    on: str
    says: str
    link: str


class SavingShown(NamedTuple):
    """What would be logged: how many flights and hours, the first of them in words, and what is left out."""

    many: int
    hours: str
    flights: tuple[str, ...]
    left_out: int
    told: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class AfterFlightsPage:
    """The page: the form, and of a run how far it is and what it found so far."""

    form: Typed
    ticket: Ticket
    datums: tuple[tuple[str, str], ...]
    aircraft: tuple[tuple[str, str], ...]
    pilots: tuple[tuple[str, str], ...]
    run: LongRun | None = None
    folder: str = ""
    done: int = 0
    whole: str = ""
    rows: tuple[LogRow, ...] = ()
    pages: ListPlace | None = None
    totals: tuple[tuple[str, tuple[str, ...]], ...] = ()
    months: tuple[tuple[str, int, int, int], ...] = ()
    plans: tuple[str, ...] = ()
    can_log: bool = False
    saving: SavingShown | None = None
    logged: range = range(0)


def show(visit: Visit) -> Answer:
    """The question which logs; of a run how far it is, or one of its logs by itself."""
    name = visit.query.get("run", "")
    run = visit.desk.runs.named(name) if name else None
    if run is None:
        return _sheet(visit, Typed({}, {"folder": _GONE} if name else {}))
    if "log" in visit.query:
        return _alone(visit, run, visit.query["log"])
    return _sheet(visit, Typed({}, {}), run)


def act(visit: Visit) -> Answer:
    """Begin to check the logs of a folder, or those that were sent; show what would be logged of them, or log it."""
    if visit.said.get("way") in (PREVIEW, SAVE):
        return _kept(visit, visit.said.get("run", ""))
    told = {key: value.strip()[:_LONGEST] for key, value in visit.said.items() if key in _TEXTS}
    sent = [one for one in visit.files.get("logs", ()) if one.name]
    try:
        asked = _asked(visit, told, sent)
        total, lines = _lines(visit, asked)
    except AirwritError as fault:
        return _sheet(visit, Typed(told, {_FIELDS.get(fault.where, "folder"): fault.says}))
    return Redirect(visit.link(PATH, None, run=visit.desk.runs.start(asked, total, lines)))


def _kept(visit: Visit, name: str) -> Answer:
    """Go through the logs of a run again to gather their flights, or log what was gathered."""
    run = visit.desk.runs.named(name)
    if run is None:
        return _sheet(visit, Typed({}, {"folder": _GONE}))
    asked: LogsAsked = run.about
    if visit.said.get("way") == PREVIEW or asked.keeping is None:
        asked = asked._replace(keeping=FlightsToKeep())
        try:
            total, lines = _lines(visit, asked)
        except AirwritError as fault:
            return _sheet(visit, Typed({}, {_FIELDS.get(fault.where, "folder"): fault.says}))
        return Redirect(visit.link(PATH, None, run=visit.desk.runs.start(asked, total, lines)))
    if not run.is_done:
        return Redirect(visit.link(PATH, None, run=name))
    keeping = asked.keeping

    def write(book: Ledger) -> str:
        desk, entries = visit.desk, list[int]()
        todo = flights_saving(held_in(desk, book), keeping, visit.by, desk.clock()).todo
        for flight in todo:
            made = saving_flown(held_in(desk, book), flight, visit.by, desk.clock())
            done = book.append(made.taking.drafts, desk.clock, after=made.taking.after, files=made.files)
            entries += [one.seq for one in done]
        return f"{entries[0]}-{entries[-1]}" if entries else ""

    return write_once(visit, write, lambda entries: visit.link(PATH, None, run=name, logged=entries))


def _asked(visit: Visit, told: Mapping[str, str], sent: Sequence[SentFile]) -> LogsAsked:
    """The logs that are meant. UsageError where there are none."""
    plans = question_said(known_on_record(visit), told).plans
    if sent:
        files: dict[str, bytes] = {}
        for one in sent:
            name = Path(one.name).name
            files[name if name not in files else f"{len(files) + 1} {name}"] = one.data
        return LogsAsked(None, visit.desk.tray.lay(list(files.items()), told), told, plans)
    folder = Path(told.get("folder", "")).expanduser()
    if not told.get("folder"):
        raise UsageError("No logs chosen", where="folder", do="name a folder, or choose files")
    if not folder.is_dir():
        raise UsageError(
            "This isn't a folder on this computer", where="folder", do="write it like /home/me/logs"
        )
    return LogsAsked(folder.absolute(), "", told, plans)


def _lines(visit: Visit, asked: LogsAsked) -> tuple[int, Iterator[FlightLine]]:
    """How many logs there are, and their lines as they are done. All that has to be looked up of records is looked up now."""
    known = known_on_record(visit)
    program, folders = program_on_record(visit, known), folders_beside(visit)
    question, aircraft = question_said(known, asked.told), aircraft_of(program)

    def answer(track: Track) -> FlownAnswer:
        found = flown_answer(track, with_aircraft(question, track.name, aircraft), program, folders)
        if asked.keeping is not None:
            asked.keeping.add(found)
        return found

    answers = answers_said(visit, asked.told)
    if asked.folder is None:
        files = _sent(visit, asked.tray)
        return len(files), _of_sent(files, answers, answer)
    count = len(logs_in(asked.folder))
    if not count:
        raise UsageError("No logs are in this folder", where="folder", do="name a folder with flight logs")
    results = _results(visit, asked.folder) if asked.keeping is None else None
    done = LinesKept(results, asked_digest(program, question, folders, answers))
    return count, lines_of_logs(asked.folder, answers, answer, done, lambda _: None)


def _results(visit: Visit, folder: Path) -> Path | None:
    """Where the lines of a folder are kept; nowhere without a ledger."""
    if visit.desk.is_empty:
        return None
    place = visit.desk.ledger.parent / RESULTS
    place.mkdir(exist_ok=True)
    return place / f"{sha256(str(folder).encode()).hexdigest()[:16]}.jsonl"


def _sent(visit: Visit, tray: str) -> Sequence[tuple[str, bytes]]:
    """The files that were sent. UsageError where they are gone."""
    laid = visit.desk.tray.found(tray)
    if laid is None:
        raise UsageError("We no longer have these logs", where="logs", do="choose them again")
    return laid.files


def _of_sent(
    files: Sequence[tuple[str, bytes]], answers: LogAnswers, answer: Answering
) -> Iterator[FlightLine]:
    """The lines of files that were sent, read out of a folder that is gone again afterwards."""
    with tempfile.TemporaryDirectory() as place:
        for name, data in files:
            (Path(place) / name).write_bytes(data)
        taken = {path.name for path in logs_in(Path(place))}
        for name, _ in files:
            if name not in taken:
                no_log = AirwritError("files with this ending aren't flight logs")
                yield refused_line(name, "", 0, no_log)._replace(file=name)
        yield from lines_of_logs(Path(place), answers, answer, LinesKept(), lambda _: None)


def _alone(visit: Visit, run: LongRun, log: str) -> Answer:
    """One log of a run by itself: it is laid down as if it had been sent alone."""
    asked: LogsAsked = run.about
    line = next((one for one in run.found if one.file == log), None)
    if line is None:
        raise _trouble(log, "this log isn't in the list", "go back to the list")
    sent = {} if asked.folder is not None else dict(_sent(visit, asked.tray))
    data = sent[log] if asked.folder is None else _bytes_of(asked.folder / log)
    track = {"track": visit.query["track"]} if visit.query.get("track", "").isdecimal() else {}
    aircraft = with_aircraft(
        FlownQuestion(aircraft=asked.told.get("aircraft", "")),
        line.log,
        aircraft_of(program_on_record(visit, known_on_record(visit))),
    )
    told = {**asked.told, "aircraft": aircraft.aircraft, **track}
    told.pop("folder", None)
    return Redirect(
        visit.link("/after-flight", None, tray=visit.desk.tray.lay([(Path(log).name, data)], told))
    )


def _bytes_of(path: Path) -> bytes:
    """A log of a folder. Refused where it is gone or larger than a page takes."""
    try:
        if path.is_symlink() or path.stat().st_size > MOST_BYTES:
            raise _trouble(
                path.name,
                "this log is larger than a page can take",
                "check it with airwrit after-flight on the command line",
            )
        return path.read_bytes()
    except OSError as fault:
        raise _trouble(
            path.name, f"the log can't be opened ({fault.strerror})", "choose the folder again"
        ) from None


def _trouble(where: str, what: str, do: str) -> Refused:
    return Refused(Trouble(404, "We can't show this log", what, where, NOTHING_WRITTEN, do))


def _sheet(visit: Visit, form: Typed, run: LongRun | None = None) -> PageSheet:
    page = AfterFlightsPage(
        form,
        ticket(visit.desk),
        tuple(log_words()["datum"].items()),
        subjects_on_file(visit, "aircraft"),
        subjects_on_file(visit, "person"),
        run,
    )
    many, saving = ManyFlights(()), None if run is None else _saving(visit, run)
    if run is not None:
        many = many_of(list(run.found), run.about.plans if run.is_done else ())
        page = _shown(visit, page, run, many, saving)
    sheet = form.sheet("after_flights.html", "Many flight logs", page, lambda: _document(page, many, saving))
    return sheet if run is None else sheet._replace(scope=words()["many"]["scope"])


def _saving(visit: Visit, run: LongRun) -> FlightsSaving | None:
    """What would be logged of a run that gathered flights, once it is done."""
    keeping = run.about.keeping
    if keeping is None or not run.is_done or visit.desk.is_empty:
        return None
    return flights_saving(held_now(visit.desk), keeping, visit.by, visit.desk.clock())


def _document(page: AfterFlightsPage, many: ManyFlights, saving: FlightsSaving | None) -> Json:
    if page.run is None:
        return {"question": "after_flights", "wrong": dict(page.form.wrong), "caution": CAUTION}
    found = many_json(many, words()["many"]["scope"])
    return {
        **found,
        **({} if saving is None else {"saving": saving_json(saving)}),
        "checked": page.done,
        "of": page.run.total,
        "done": page.run.is_done,
        "stopped": page.run.stopped,
    }


def _shown(
    visit: Visit, page: AfterFlightsPage, run: LongRun, many: ManyFlights, saving: FlightsSaving | None
) -> AfterFlightsPage:
    """The page with what a run found so far."""
    said, asked = words()["many"], run.about
    number = visit.query.get("page", "1")
    first = (int(number[:6]) - 1) * _ROWS if number.isdecimal() and int(number[:6]) > 0 else 0
    rows = many.lines[first : first + _ROWS]
    last = first + len(rows)

    def turned(to: int) -> str:
        return visit.link(PATH, None, run=run.name, page=str(to // _ROWS + 1))

    return replace(
        page,
        folder="" if asked.folder is None else str(asked.folder),
        done=len({one.file for one in many.lines}),
        whole=many_text(many),
        rows=tuple(_row(visit, run, one) for one in rows),
        pages=ListPlace(
            first + 1,
            last,
            len(many.lines),
            turned(first - _ROWS) if first else "",
            turned(last) if last < len(many.lines) else "",
        ),
        totals=tuple(
            (said[f"by_{kind}"], tuple(total_text(*one) for one in mine.items()))
            for kind, mine in many.totals.items()
            if mine
        ),
        months=tuple((month or said["no_month"], *counts) for month, counts in many.months.items()),
        plans=tuple(plan_lines(many)) if run.is_done else (),
        can_log=run.is_done and not visit.desk.is_empty and bool(many.flights),
        saving=None if saving is None else _saving_shown(saving),
        logged=_entries(visit.query.get("logged", "")),
    )


def _entries(text: str) -> range:
    """The entries that were just saved, as the address tells the first and the last."""
    first, _, last = text.partition("-")
    if not (first.isdecimal() and last.isdecimal()) or max(len(first), len(last)) > _LONGEST_NUMBER:
        return range(0)
    return range(int(first), int(last) + 1)


def _saving_shown(saving: FlightsSaving) -> SavingShown:
    return SavingShown(
        len(saving.todo),
        saving.hours,
        tuple(map(saving_line, saving.todo[:_ROWS])),
        len(saving.told),
        tuple(left_out_line(*one) for one in saving.told[:_ROWS]),
    )


def _row(visit: Visit, run: LongRun, one: FlightLine) -> LogRow:
    several = sum(other.file == one.file for other in run.found) > 1
    more = {"track": str(one.number + 1)} if several else {}
    link = visit.link(PATH, None, run=run.name, log=one.file, **more)
    return LogRow(Verdict(one.verdict), one.log, one.on, line_text(one), link)
