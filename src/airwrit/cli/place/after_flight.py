"""`airwrit after-flight`: did a flown flight stay inside the rules, by its log; one log, or a folder of many."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click
from rich.console import Console
from rich.text import Text

from airwrit.answers.after_flight.archived import ArchiveQuestion
from airwrit.answers.after_flight.check import flown_answer
from airwrit.answers.after_flight.flown import FlownAnswer
from airwrit.answers.after_flight.json import flown_json
from airwrit.answers.after_flight.log_columns import (
    FOLDER,
    draft_text,
    keep_mapping,
    kept_mappings,
    open_json,
)
from airwrit.answers.after_flight.log_folder import LinesKept
from airwrit.answers.after_flight.many import aircraft_of, asked_digest, with_aircraft
from airwrit.answers.after_flight.question import FlownFolders, FlownQuestion, area_asked
from airwrit.answers.after_flight.saving import FlightsToKeep, flight_to_keep, flights_saving, saving_json
from airwrit.answers.after_flight.view import FlownClauseShown, FlownView, IntervalShown, flown_view
from airwrit.answers.before_flight.program import Program
from airwrit.answers.before_flight.saved import planned_flights, saved_flight, without_plans
from airwrit.answers.document import Json
from airwrit.answers.flown_log import reading_of_log
from airwrit.answers.lookup.plain_name import the_one_called
from airwrit.base.errors import UnreadableFile, UsageError
from airwrit.base.places import read_place
from airwrit.base.verdict import Verdict, worst_of
from airwrit.base.whole_files import write_whole
from airwrit.cli.console import SIGNS, clean, console, print_rows, print_title, said, show_caution, waiting
from airwrit.cli.exits import EXIT
from airwrit.cli.json_out import show_json
from airwrit.cli.place.after_flights import archived, logged, save_flights, show_many
from airwrit.cli.shared.files import PATH
from airwrit.cli.shared.fleet import Fleet, ProgramStated, fleet_by_option
from airwrit.cli.shared.ledger import by_option, held_in, writer, yes_option
from airwrit.cli.shared.lengths import LengthType
from airwrit.cli.shared.options import json_option, ledger_path, now
from airwrit.cli.shared.own_rules import house_given
from airwrit.facts.choices import UsedFor
from airwrit.facts.keys.flights.log import packs_named
from airwrit.facts.vocabulary import id_of, subject_named
from airwrit.law import wording
from airwrit.papers.flown_pdf import flown_pdf
from airwrit.tracks.archive import TAIL
from airwrit.tracks.path import Doubts
from airwrit.tracks.readers.reading import LogAnswers, LogQuestion, Reading
from airwrit.tracks.readers.tables.columns import CsvMapping, mapping_of_toml
from airwrit.tracks.track import HeightDatum, Track

_FOLDER = click.Path(path_type=Path, file_okay=False)


@click.command()
@click.argument("log", type=PATH)
@click.option("--flight", "planned", help="The planned flight on record that this log belongs to.")
@click.option("--aircraft", help="The aircraft, by its name on file, if no planned flight names it.")
@click.option("--pilot", help="The remote pilot in command, by the name on file.")
@click.option(
    "--for",
    "flown_for",
    type=click.Choice([UsedFor.WORK.value, UsedFor.RECREATION.value]),
    help="What it was flown for.",
)
@click.option("--pilot-at", help="Where the pilot stood, if not at the takeoff point.")
@click.option(
    "--near",
    help='A place somebody asks about, like "40.0150, -105.2705 within 60 ft". You see how close it came, and when.',
)
@click.option("--zone", "zone_name", help="The time zone to use for log times that don't include one.")
@click.option(
    "--heights-from",
    type=click.Choice([one.value for one in HeightDatum]),
    help="What heights are measured from, if the log doesn't say.",
)
@click.option("--columns", type=PATH, help="A mapping file that says what the columns of a CSV log mean.")
@click.option("--vehicle", help="Which vehicle to check, if the log has several.")
@click.option(
    "--reserve", type=click.FloatRange(0, 99), help="How much battery should be left at landing, in percent."
)
@click.option(
    "--level-ground",
    type=LengthType(),
    help="How much the ground height differs from the takeoff point, at most. Use this if no terrain data is on file.",
)
@click.option("--packs", help="The battery packs used, separated by commas, to save with the flight.")
@click.option(
    "--airspace", type=_FOLDER, help="The folder with airspace data (`airspace` next to the ledger)."
)
@click.option("--terrain", type=_FOLDER, help="The folder with terrain tiles (`terrain` next to the ledger).")
@click.option(
    "--results", type=PATH, help="For a folder: save each result here, and continue from it if stopped."
)
@click.option(
    "--archive", type=_FOLDER, help="For a folder: keep the tracks here by month, as Parquet files."
)
@click.option(
    "--without-papers",
    is_flag=True,
    help="For an archive: check only height, speed, airspace, light and Remote ID. It's faster.",
)
@click.option("--one-core", is_flag=True, help="For an archive: check it on one core only.")
@click.option(
    "--pdf",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Save the report of one log as a PDF in this file.",
)
@click.option(
    "--save",
    is_flag=True,
    help="Log the flight, and save this answer. For a folder: each flight whose aircraft and pilot are known.",
)
@fleet_by_option
@by_option
@yes_option
@json_option
def command(
    log: Path, fleet: Fleet, as_json: bool, save: bool, by: str | None, yes: bool, **told: Any
) -> int:
    """Check a flight's log against the rules of its day, its papers and its plan. LOG can be ULog, DataFlash,
    MAVLink telemetry, GPX, KML, GeoJSON, CSV or subtitles.

    You see when it went past a limit, by how much, and what this log can't show. No answer here is a verdict on the
    flight. LOG can be a folder: then you get one line for each flight in it, the worst first.

    \b
    Example:
      airwrit after-flight 2026-11-24.gpx --flight "Quarry survey" --heights-from sea_level
      airwrit after-flight 2026-11-24.csv --columns mapping.toml --aircraft "Maple 1" --pilot "Dana Haskell" --save
      airwrit after-flight logs --results done.jsonl --archive flown
    """
    if log.is_dir() or log.suffix == TAIL:
        return _many(log, fleet, told, by, save=save, yes=yes, as_json=as_json)
    with waiting(f"reading {log.name}"):
        reading = _reading(log, fleet, told)
    if not reading.tracks and reading.mapping is not None:
        return _columns_open(log, reading.mapping, reading.questions, as_json=as_json)
    if not reading.tracks:
        raise UnreadableFile(
            "the log has no track", where=log.name, do="export the flight again with positions"
        )
    if told["aircraft"] or told["planned"] or save:
        _one_vehicle(reading)
    stated = _stated(fleet)
    asked = _asked(stated, told, fleet)
    folders = _folders(fleet, told)
    program = _program(stated)
    with waiting("checking it against the rules"):
        answers = [flown_answer(track, asked, program, folders) for track in reading.tracks]
    if as_json:
        documents = [flown_json(one) for one in answers]
        show_json(documents[0] if len(documents) == 1 else {"question": "after_flight", "flights": documents})
    else:
        for one in answers:
            show_flown(one, console())
    if told["pdf"] is not None:
        _save_reports(told["pdf"], answers, folders, as_json=as_json)
    if save:
        if told["columns"] is not None and reading.mapping is not None:
            keep_mapping(ledger_path(fleet.ledger).parent / FOLDER, reading.mapping)
        packs = packs_named(told["packs"] or "")
        found = FlightsToKeep([flight_to_keep(one, packs) for one in answers])
        path, several = ledger_path(fleet.ledger), len(answers) > 1
        save_flights(path, found, writer(by), many=several, yes=yes, as_json=as_json)
    return EXIT[worst_of({one.verdict for one in answers})]


def _save_reports(pdf: Path, answers: Sequence[FlownAnswer], folders: FlownFolders, *, as_json: bool) -> None:
    """Save the report of each track of a log: the first under the name given, the others with a number."""
    for number, one in enumerate(answers, 1):
        path = pdf if number == 1 else pdf.with_stem(f"{pdf.stem} {number}")
        write_whole(path, flown_pdf(one, folders.airspace), private=True)
        click.echo(f"\nThe report is in {path}.", err=as_json)


def _one_vehicle(reading: Reading) -> None:
    """UsageError where the log has tracks of several vehicles: a name or a plan can be that of one alone."""
    vehicles = list(dict.fromkeys(one.vehicle for one in reading.tracks))
    if len(vehicles) > 1:
        raise UsageError(
            f"the log has {len(vehicles)} vehicles",
            where="--vehicle",
            do=f"choose one of {', '.join(vehicles)}, and name its aircraft",
        )


def _columns_open(log: Path, mapping: CsvMapping, questions: Sequence[LogQuestion], *, as_json: bool) -> int:
    """Say what a table leaves open, with a mapping to complete."""
    if as_json:
        show_json(open_json(log.name, mapping, questions))
        return EXIT[Verdict.UNKNOWN]
    click.echo("\n".join(map(clean, draft_text(mapping, questions).splitlines())))
    raise UsageError(
        "we need to know more about the columns",
        where=log.name,
        do="save the lines above as columns.toml, complete them, and add --columns columns.toml",
    )


def _many(
    folder: Path, fleet: Fleet, told: dict[str, Any], by: str | None, *, save: bool, yes: bool, as_json: bool
) -> int:
    """A folder of logs, or an archive of tracks."""
    if told["pdf"] is not None:
        raise UsageError("a report is of one log", where="--pdf", do="name the log instead of its folder")
    folders, stated = _folders(fleet, told), _stated(fleet)
    if told["without_papers"]:
        stated = ProgramStated((), stated.known_at, (), ())
    program, asked = _program(stated), _asked(stated, told, fleet)
    answers = _answers(fleet, told)
    digest = asked_digest(program, asked, folders, answers)
    if folder.suffix == TAIL or any(folder.glob(f"*{TAIL}")):
        if save:
            raise UsageError(
                "an archive can't be saved", where="--save", do="name the folder of logs instead"
            )
        full = program if stated.known or stated.house else None
        question = ArchiveQuestion(full, asked, folders)
        return show_many(
            archived(folder, question, digest, one_core=told["one_core"]), asked.plans, as_json=as_json
        )
    aircraft, keeping = aircraft_of(program), FlightsToKeep()

    def answer(track: Track) -> FlownAnswer:
        found = flown_answer(track, with_aircraft(asked, track.name, aircraft), program, folders)
        if save:
            keeping.add(found)
        return found

    lines = logged(
        folder,
        answers,
        answer,
        LinesKept(None if save else told["results"], digest),
        told["archive"],
    )
    path = ledger_path(fleet.ledger)

    def saving() -> Json:
        found = flights_saving(held_in(path), keeping, writer(by), now())
        return {"saving": saving_json(found)}

    code = show_many(lines, asked.plans, as_json=as_json, saving=saving if save else dict)
    if save:
        save_flights(path, keeping, writer(by), yes=yes, as_json=as_json)
    return code


def _stated(fleet: Fleet) -> ProgramStated:
    """What is on record; only house rules where nobody named a ledger and none is there: a log alone is answered too."""
    if not fleet.sheets and fleet.ledger is None and not ledger_path(None).exists():
        return ProgramStated((), now(), house_given(fleet.house).rules, ())
    return fleet.stated(fleet.when)


def _program(stated: ProgramStated) -> Program:
    spoiled = [pair for problem in stated.problems for pair in problem.spoils]
    return Program(without_plans(stated.known), stated.known_at, stated.house, (), spoiled)


def _reading(log: Path, fleet: Fleet, told: dict[str, Any]) -> Reading:
    return reading_of_log(log, _answers(fleet, told))


def _answers(fleet: Fleet, told: dict[str, Any]) -> LogAnswers:
    """What was told of the log that it doesn't say itself."""
    columns: Path | None = told["columns"]
    mapping = None
    if columns is not None:
        try:
            mapping = mapping_of_toml(columns.read_text(encoding="utf-8"), columns.name)
        except (OSError, UnicodeDecodeError) as fault:
            raise UnreadableFile(
                "we can't read it as text", where=columns.name, do="map the columns again"
            ) from fault
    datum = told["heights_from"]
    return LogAnswers(
        now().astimezone().date(),
        zone=told["zone_name"],
        day=fleet.on,
        heights_from=None if datum is None else HeightDatum(datum),
        vehicle=told["vehicle"],
        mapping=mapping,
        saved=kept_mappings(ledger_path(fleet.ledger).parent / FOLDER),
    )


def _asked(stated: ProgramStated, told: dict[str, Any], fleet: Fleet) -> FlownQuestion:
    """What was told with the log; names mean the subjects on file."""
    subjects = [item.statement.subject for item in stated.known]
    planned = None if told["planned"] is None else saved_flight(stated.known, told["planned"], flown=True)
    flown_for, reserve, level = told["flown_for"], told["reserve"], told["level_ground"]
    return FlownQuestion(
        planned,
        _named(told["aircraft"], "aircraft", subjects),
        _named(told["pilot"], "person", subjects),
        None if flown_for is None else UsedFor(flown_for),
        None if told["pilot_at"] is None else read_place(told["pilot_at"]),
        told["zone_name"] or "",
        fleet.on,
        None if reserve is None else reserve / 100,
        Doubts() if level is None else Doubts(level_ground_m=level),
        None if told["near"] is None else area_asked(told["near"]),
        tuple(planned_flights(stated.known, flown=True)) if planned is None else (),
    )


def _named(text: str | None, kind: str, subjects: list[str]) -> str:
    """The subject that a name means; "" where none was given. UsageError where nothing on file has it."""
    if not text:
        return ""
    mine = [one for one in subjects if one.startswith(f"{kind}/")]
    found = the_one_called(text, mine)
    if found not in mine:
        raise UsageError(
            f"{text!r} isn't on file",
            where="--aircraft" if kind == "aircraft" else "--pilot",
            do=f"use a name on file, such as {subject_named(kind, text)}",
        )
    return found


def _folders(fleet: Fleet, told: dict[str, Any]) -> FlownFolders:
    beside = ledger_path(fleet.ledger).parent
    return FlownFolders(told["airspace"] or beside / "airspace", told["terrain"] or beside / "terrain")


_WIDTHS = (-4, 28, 62, 20)


def show_flown(answer: FlownAnswer, out: Console) -> None:
    """Print the whole answer."""
    view = flown_view(answer)
    heads = view.heads
    out.print()
    out.print(Text(clean(" ".join(view.whole)), style="bold"))
    out.print(clean(f"{answer.track.name}: {view.flown}"))
    out.print(Text(view.scope, style="dim"))
    if view.intervals:
        print_title(heads["intervals"], out)
        print_rows(map(_interval_row, view.intervals), (-4, -3, 34, 40, 40), out)
    for heading, clauses in view.clauses:
        print_title(heading, out)
        print_rows(map(_clause_row, clauses), _WIDTHS, out)
    _show_rows(answer, view, out)
    _show_lines(heads["plan"], view.differences, out)
    _show_cant(view, out)
    _show_lines(heads["figures"], [*view.figures, *view.heights], out)
    _show_lines(heads["assumed"], [*view.assumed, *view.problems], out)
    _show_lines(heads["now"], view.now, out)
    show_caution(out)


def _interval_row(one: IntervalShown) -> tuple[str, ...]:
    when = f"{one.when}, {one.lasts}"
    when = f"{when} ({one.utc})" if one.utc else when
    return SIGNS[one.verdict], f"{one.number}", when, clean(one.what), said(one.says)


def _clause_row(one: FlownClauseShown) -> tuple[str, ...]:
    return SIGNS[one.clause.verdict], clean(one.title), said(one.says), one.cites


def _show_rows(answer: FlownAnswer, view: FlownView, out: Console) -> None:
    rows = [row for row in (answer.aircraft, answer.pilot) if row is not None]
    state = answer.standing_state
    if not rows or state is None:
        return
    print_title(view.heads["standing"], out)
    lines = []
    for row, verdict in zip(rows, answer.standing_verdicts, strict=True):
        why = "" if row.deciding is None else wording.worded(row.deciding, state).says
        against = f". {why}" if verdict is not Verdict.MET and why else ""
        lines.append((SIGNS[verdict], clean(id_of(row.subject)), said(f"{row.headline.value}{against}")))
    print_rows(lines, (-4, 28, 82), out)


def _show_cant(view: FlownView, out: Console) -> None:
    """What the log can't show."""
    if view.cant:
        print_title(view.heads["cant"], out)
        rows = ((SIGNS[Verdict.UNKNOWN], clean(title), said(says)) for title, says in view.cant)
        print_rows(rows, (-4, 28, 82), out)


def _show_lines(heading: str, lines: Sequence[str], out: Console) -> None:
    if lines:
        print_title(heading, out)
        for line in lines:
            out.print(said(f"  {line}"))
