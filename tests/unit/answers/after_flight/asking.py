"""A flown track of an invented program, asked about; the plan, the program and the pilot are those of planned flights."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from pathlib import Path

from airwrit.answers.after_flight.check import flown_answer
from airwrit.answers.after_flight.flown import FlownAnswer, FlownClause
from airwrit.answers.after_flight.json import flown_json
from airwrit.answers.after_flight.question import FlownFolders, FlownQuestion
from airwrit.answers.after_flight.view import (
    assumed_lines,
    cant_text,
    cant_title,
    clause_text,
    figures_lines,
    how_much_text,
    title_text,
    utc_text,
    when_text,
    whole_lines,
)
from airwrit.answers.before_flight.plan import PLANNED
from airwrit.answers.before_flight.program import Program
from airwrit.facts.key import Raw
from airwrit.law.rule import Rule
from airwrit.tracks.path import Doubts
from airwrit.tracks.track import Track
from tests.unit.answers.before_flight.planning import PROGRAM
from tests.unit.answers.told import known_of

LEVEL = Doubts(level_ground_m=0.0)
"""Somebody says that the ground is level: heights above it are those above the takeoff."""
ASKED = FlownQuestion(aircraft="aircraft/Fern 1", pilot="person/Ansel Wray", doubts=LEVEL)
KNOWN_AT = datetime(2026, 12, 1, tzinfo=UTC)


def answered(
    track: Track,
    asked: FlownQuestion = ASKED,
    more: Mapping[str, dict[str, Raw]] | None = None,
    folders: FlownFolders | None = None,
    house: Sequence[Rule] = (),
    told: Mapping[str, Raw] | None = None,
) -> FlownAnswer:
    """The answer for a track; every sentence of it and its document can be made. `told` is told of the flight besides."""
    program = Program(
        known_of({**PROGRAM, **(more or {})}), KNOWN_AT, house, known_of({PLANNED: dict(told or {})})
    )
    found = flown_answer(track, asked, program, folders or FlownFolders())
    for clause in found.clauses:
        assert title_text(clause)
        assert clause_text(clause, found)
        for one in clause.intervals:
            assert when_text(found, one)
            assert how_much_text(one)
            assert found.at(one.start_us) is None or utc_text(found, one)
    assert all(cant_title(one) and cant_text(one) for one in found.cant_show)
    assert whole_lines(found)
    assert figures_lines(found)
    assert len(assumed_lines(found)) == len(found.assumed)
    assert flown_json(found)["question"] == "after_flight"
    return found


def clause(found: FlownAnswer, name: str) -> FlownClause:
    """The one clause of a name."""
    (one,) = [one for one in found.clauses if one.name == name]
    return one


def shelf(folder: Path) -> FlownFolders:
    """Folders for airspace and terrain in one place."""
    return FlownFolders(folder / "airspace", folder / "terrain")
