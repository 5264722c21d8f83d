"""A standing printed, whole or of one aircraft or person alone."""

from __future__ import annotations

from dataclasses import replace
from itertools import chain

from airwrit.answers.standing.json import columns_asked, standing_members
from airwrit.answers.standing.one_subject import narrowed
from airwrit.answers.standing.standing import Standing
from airwrit.cli.console import console
from airwrit.cli.exits import EXIT
from airwrit.cli.json_out import show_json
from airwrit.cli.shared.fleet import Fleet
from airwrit.cli.shown.standing import show_columns, show_standing
from airwrit.intake.sheets import Intake


def show_one(kind: str, name: str, fleet: Fleet, *, counsel: bool, as_json: bool) -> int:
    """Print one aircraft or person in full; the exit code of its verdict."""
    intake, answer = fleet.judged(counsel=counsel)
    answer = narrowed(answer, kind, name)
    show_answer(answer, replace(intake, columns=()), every=True, as_json=as_json)
    return EXIT[answer.report.verdict]


def show_answer(answer: Standing, intake: Intake, *, every: bool, as_json: bool) -> None:
    """Print a standing and how its columns were read."""
    if as_json:
        document = standing_members(answer)
        document["missing"] = chain(columns_asked(intake.columns), document["missing"])
        document["columns"] = [column._asdict() for column in intake.columns]
        show_json(document)
        return
    out = console()
    show_standing(answer, out, every=every)
    show_columns(intake.columns, out, every=every)
