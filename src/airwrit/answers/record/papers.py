"""The papers of a program that touch one aircraft or person: those that cover it, and those a person answers for."""

from __future__ import annotations

from typing import Any, NamedTuple

from airwrit.answers.document import Json
from airwrit.answers.standing.standing import Standing, for_counsel
from airwrit.base.verdict import Verdict
from airwrit.facts.key import Key
from airwrit.facts.keys.paper import (
    CARRIED,
    COVERS_AIRCRAFT,
    COVERS_ALL,
    COVERS_PERSON,
    ENDS_ON,
    PAPER_KIND,
    PAPER_NUMBER,
    PAPER_RESPONSIBLE,
)
from airwrit.facts.state import State, value_held
from airwrit.facts.vocabulary import id_of, kind_of
from airwrit.law.holder.paper import PAPER_IN_TERM_RULE
from airwrit.law.rule import Finding
from airwrit.law.wording import shown, worded

_COVERS = {"aircraft": COVERS_AIRCRAFT, "person": COVERS_PERSON}


class Paper(NamedTuple):
    """One paper: its kind and number, until when it is in force, what of it is carried, who answers for it, how it stands."""

    subject: str
    kind: str
    number: str
    ends_on: str
    carried: str
    responsible: str
    covers: str
    finding: Finding | None
    says: str


def papers_covering(standing: Standing, subject: str) -> tuple[Paper, ...]:
    """The papers that cover an aircraft or person, by name or with the whole program; none that is kept for counsel."""
    state = standing.report.state
    key = _COVERS[kind_of(subject)]
    return _papers(standing, [*state.holding(key, id_of(subject)), *state.holding(COVERS_ALL, True)])


def papers_answered_for(standing: Standing, person: str) -> tuple[Paper, ...]:
    """The papers that a person is responsible for; none that is kept for counsel."""
    return _papers(standing, standing.report.state.holding(PAPER_RESPONSIBLE, id_of(person)))


def _papers(standing: Standing, subjects: list[str]) -> tuple[Paper, ...]:
    state = standing.report.state
    kept = for_counsel(state)
    return tuple(_paper(standing, one) for one in dict.fromkeys(subjects) if one not in kept)


def _paper(standing: Standing, paper: str) -> Paper:
    state = standing.report.state
    finding = next(
        (f for f in standing.report.findings if f.subject == paper and f.rule is PAPER_IN_TERM_RULE), None
    )
    keys: tuple[Key[Any], ...] = (PAPER_KIND, PAPER_NUMBER, ENDS_ON, CARRIED, PAPER_RESPONSIBLE)
    said: list[object] = [value_held(state, paper, key) for key in keys]
    kind, number, ends, carried, responsible = ("" if one is None else shown(one) for one in said)
    says = "" if finding is None or finding.verdict is Verdict.MET else worded(finding, state).says
    return Paper(paper, kind, number, ends, carried, responsible, _covered(state, paper), finding, says)


def _covered(state: State, paper: str) -> str:
    if value_held(state, paper, COVERS_ALL) is True:
        return "the whole program"
    names = [value_held(state, paper, key) for key in _COVERS.values()]
    return " and ".join(name for name in names if name)


def paper_json(paper: Paper) -> Json:
    """A paper as part of a document."""
    told = {name: value for name, value in paper._asdict().items() if name not in ("finding", "says")}
    return told | {"verdict": None if paper.finding is None else paper.finding.verdict.value}
