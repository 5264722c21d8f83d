"""What the pages after a flight ask with: the question about the log, what its columns are, and what is on record."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from airwrit.answers.acts.plan import all_known
from airwrit.answers.after_flight.log_columns import FOLDER, ColumnTyped, kept_mappings, mapping_typed
from airwrit.answers.after_flight.question import FlownFolders, FlownQuestion, area_asked
from airwrit.answers.before_flight.program import Program
from airwrit.answers.before_flight.saved import planned_flights, saved_flight, without_plans
from airwrit.base.days import parse_day
from airwrit.base.errors import BadFact, BadPlace, UsageError
from airwrit.base.places import Place, read_place
from airwrit.facts.choices import UsedFor
from airwrit.facts.statement import Known
from airwrit.facts.vocabulary import id_of, kind_of
from airwrit.geo.earth import M_PER_FT
from airwrit.intake.cell.measures import read_measure
from airwrit.tracks.path import Doubts
from airwrit.tracks.readers.reading import LogAnswers
from airwrit.tracks.readers.tables.columns import CsvMapping
from airwrit.tracks.track import HeightDatum
from airwrit.web.server.visit import Visit
from airwrit.web.server.workspace import held_now

COLUMN = "column"
_MOST_COLUMNS = 80
_MOST_LEVEL_M = 300.0
_OUT = ("not_in_fleet", "not_judged")


def mapping_said(told: Mapping[str, str]) -> CsvMapping:
    """What the form says of the columns."""
    return mapping_typed(columns_said(told), told.get("zone", ""), told.get("decimal") or ".")


def columns_said(told: Mapping[str, str]) -> list[ColumnTyped]:
    """The lines about columns in the form, in order."""
    found = []
    for at in range(_MOST_COLUMNS):
        heading = told.get(f"{COLUMN}{at}heading")
        if heading is None:
            break
        parts = (told.get(f"{COLUMN}{at}{part}", "") for part in ("is", "unit", "from"))
        found.append(ColumnTyped(heading, *parts))
    return found


def day_said(told: Mapping[str, str]) -> date | None:
    """The day it was flown, where the log tells none."""
    try:
        return parse_day(told["day"]) if told.get("day") else None
    except ValueError:
        raise UsageError("This isn't a date", where="--day", do="write it like 2026-11-24") from None


def datum_said(told: Mapping[str, str]) -> HeightDatum | None:
    """What heights are measured from, where the log doesn't say."""
    name = told.get("heights_from", "")
    if name and name not in set(HeightDatum):
        raise UsageError("We don't know that height", where="--heights-from", do="choose from the list")
    return HeightDatum(name) if name else None


def _stood_at(told: Mapping[str, str]) -> Place | None:
    try:
        return read_place(told["pilot_at"]) if told.get("pilot_at") else None
    except BadPlace as fault:
        raise UsageError(fault.what, where="--pilot-at", do=fault.do) from None


def _share(told: Mapping[str, str]) -> float | None:
    """The battery that was to be left, as a share."""
    text = told.get("reserve", "").removesuffix("%").strip()
    if text and not (text.replace(".", "", 1).isdecimal() and float(text) < 100):
        raise UsageError("This isn't a percentage", where="--reserve", do="write it like 25")
    return float(text) / 100 if text else None


def _level_m(told: Mapping[str, str]) -> float | None:
    """How level the ground is said to be, in meters."""
    if not told.get("level"):
        return None
    try:
        meters = float(read_measure(told["level"], "ft")) * M_PER_FT
    except BadFact as fault:
        raise UsageError(fault.what, where="--level", do=fault.do) from None
    if not 0 <= meters <= _MOST_LEVEL_M:
        raise UsageError("That can't be right", where="--level", do="write it like 10 ft")
    return meters


def answers_said(visit: Visit, told: Mapping[str, str]) -> LogAnswers:
    """What was told of a log that it doesn't say itself."""
    return LogAnswers(
        visit.asked.today,
        zone=told.get("zone") or None,
        day=day_said(told),
        heights_from=datum_said(told),
        add_weeks=told.get("weeks") == "yes",
        mapping=mapping_said(told) if columns_said(told) else None,
        saved=kept_mappings(visit.desk.ledger.parent / FOLDER),
    )


def subjects_on_file(visit: Visit, kind: str) -> tuple[tuple[str, str], ...]:
    """The aircraft or people a form can name: each with what it is called."""
    rows = () if visit.desk.is_empty else visit.desk.standing(visit.asked).rows
    return tuple(
        (row.subject, id_of(row.subject))
        for row in rows
        if kind_of(row.subject) == kind and row.headline.code not in _OUT
    )


def folders_beside(visit: Visit) -> FlownFolders:
    """Airspace and terrain beside the ledger."""
    beside = visit.desk.ledger.parent
    return FlownFolders(beside / "airspace", beside / "terrain")


def known_on_record(visit: Visit) -> list[Known]:
    """All that is on record; nothing without a ledger."""
    return [] if visit.desk.is_empty else list(all_known(held_now(visit.desk)))


def program_on_record(visit: Visit, known: Sequence[Known]) -> Program:
    """What a flight is judged by: the records without the plans, and the house rules."""
    report = visit.desk.standing(visit.asked).report if not visit.desk.is_empty else None
    known_at = visit.desk.clock() if report is None else report.known_at
    spoiled = () if report is None else [one for problem in report.problems for one in problem.spoils]
    return Program(without_plans(known), known_at, visit.desk.house().rules, (), spoiled)


def question_said(known: Sequence[Known], told: Mapping[str, str]) -> FlownQuestion:
    """The question about the log. UsageError names the field that can't be meant."""
    planned = saved_flight(known, told["flight"], flown=True) if told.get("flight") else None
    level = _level_m(told)
    return FlownQuestion(
        planned,
        told.get("aircraft", ""),
        told.get("pilot", ""),
        UsedFor(told["for"]) if told.get("for") in (UsedFor.WORK, UsedFor.RECREATION) else None,
        _stood_at(told),
        told.get("zone", ""),
        day_said(told),
        _share(told),
        Doubts() if level is None else Doubts(level_ground_m=level),
        area_asked(told["near"]) if told.get("near") else None,
        tuple(planned_flights(known, flown=True)) if planned is None else (),
    )
