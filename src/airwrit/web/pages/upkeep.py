"""Batteries, Maintenance and Training: what is on record, what is due, what is missing, all of it or of one."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from airwrit.answers.acts.catalog import ACTS
from airwrit.answers.standing.standing import Standing
from airwrit.answers.upkeep.batteries import batteries_of
from airwrit.answers.upkeep.maintenance import maintenance_of
from airwrit.answers.upkeep.training import training_of
from airwrit.answers.upkeep.view import UpkeepAnswer, upkeep_json
from airwrit.web.parts.acts import ActLink, acts_for, acts_for_new
from airwrit.web.server.visit import Answer, PageSheet, Visit

_LONGEST = 200


class UpkeepPage(NamedTuple):
    """The answer, whom it is narrowed to, and the acts that may be written."""

    answer: UpkeepAnswer
    of: str
    acts: tuple[ActLink, ...]


def show_batteries(visit: Visit) -> Answer:
    """Every battery, or one."""
    return _sheet(visit, batteries_of, "battery")


def show_maintenance(visit: Visit) -> Answer:
    """The maintenance of every aircraft, or of one."""
    return _sheet(visit, maintenance_of, "aircraft")


def show_training(visit: Visit) -> Answer:
    """Everybody's training and practice, or one person's."""
    return _sheet(visit, training_of, "person")


def _sheet(visit: Visit, answers: Callable[[Standing, str], UpkeepAnswer], kind: str) -> Answer:
    of = visit.query.get("of", "").strip()[:_LONGEST]
    standing = visit.desk.standing(visit.asked)
    answer = answers(standing, of)
    page = UpkeepPage(answer, of, _acts(answer, kind, of) if visit.asked.is_today else ())
    return PageSheet("upkeep.html", answer.title, page, lambda: upkeep_json(answer))


_OF_UPKEEP = {
    "aircraft": ("find_defect", "log_maintenance", "fly_check", "return_to_service", "change_settings"),
    "person": ("complete_course", "train"),
}
"""The acts that a page offers of a kind of subject; of a battery all."""


def _acts(answer: UpkeepAnswer, kind: str, of: str) -> tuple[ActLink, ...]:
    """The acts of the one that is shown; else those by which something new comes on record."""
    subjects = list(dict.fromkeys(row.subject for section in answer.sections for row in section.every))
    if not of or len(subjects) != 1:
        return acts_for_new(kind) if kind == "battery" else ()
    names = _OF_UPKEEP.get(kind, tuple(act.name for act in ACTS if act.about == kind))
    links = acts_for(answer.standing.report.state, subjects[0])
    return tuple(link for link in links if link.path.split("/")[2] in names)
