"""All that the answer before a flight shows, made once: terminal, page, JSON document and flight sheet lay it out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from airwrit.answers.asking.events import Needed
from airwrit.answers.before_flight.answer import FlightAnswer
from airwrit.answers.before_flight.check import Clause, fact_of
from airwrit.answers.before_flight.checklists import Checklist, ChecklistFound, Hazard
from airwrit.answers.before_flight.confirmations import confirmations
from airwrit.answers.before_flight.view import (
    ChangeText,
    WhoText,
    answers_text,
    approval_text,
    around_lines,
    authority_lines,
    change_text,
    checklist_text,
    checklist_title,
    clause_text,
    groups_of,
    height_lines,
    plan_text,
    risk_text,
    watch_lines,
    who_texts,
    whole_text,
    windows_lines,
    words,
)
from airwrit.base.verdict import Verdict
from airwrit.law import wording


class ClauseText(NamedTuple):
    """A rule of the flight: its verdict, its name, what it found and what to do about it, its section."""

    verdict: Verdict
    name: str
    says: str
    cites: str


class NeedText(NamedTuple):
    """A fact to confirm or to tell: its question, where to look, and the answer that lets the flight go, if there is one."""

    need: Needed
    name: str
    asks: str
    look: str
    lets_go: str


class TickText(NamedTuple):
    """A line of a checklist: its number, its text, whether it is ticked, and the facts it answers."""

    number: int
    text: str
    is_ticked: bool
    answers: str


class ChecklistText(NamedTuple):
    """A checklist: its title, what of it is ticked, whether all is, its lines, and the checklist itself."""

    title: str
    says: str
    is_done: bool
    lines: tuple[TickText, ...]
    checklist: Checklist


class HazardText(NamedTuple):
    """A hazard: what can go wrong, the risk before, what was done, the risk after."""

    what: str
    before: str
    done: str
    after: str


_MANY = 4
"""So many rules that say the same are told in one line."""


class FlightView(NamedTuple):
    """The answer in the order of its sections.

    `groups` are the rules under their headings without those to `fix`; `fix` has its heading whether it holds any or none.
    """

    whole: str
    plan: str
    watch: tuple[str, ...]
    fix: tuple[str, tuple[ClauseText, ...]]
    groups: tuple[tuple[str, tuple[ClauseText, ...]], ...]
    who: tuple[WhoText, ...]
    owed: tuple[NeedText, ...]
    needed: tuple[NeedText, ...]
    checklists: tuple[ChecklistText, ...]
    hazards: tuple[HazardText, ...]
    approval: str
    times: tuple[str, ...]
    height: tuple[str, ...]
    changes: tuple[ChangeText, ...]
    authority: tuple[str, ...]
    around: tuple[str, ...]

    @property
    def is_fine(self) -> bool:
        """Whether aircraft, pilot and batteries all are OK for the flight."""
        return all(one.verdict is Verdict.MET for one in self.who)


def flight_view(answer: FlightAnswer) -> FlightView:
    """What an answer shows."""
    check, plan = answer.check, answer.check.plan
    heading = words()["groups"]["not_met"]
    groups = {name: _folded(map(_clause, clauses)) for name, clauses in groups_of(check)}
    return FlightView(
        whole_text(check),
        plan_text(plan),
        tuple(watch_lines(check)),
        (heading, groups.pop(heading, ())),
        tuple(groups.items()),
        who_texts(check),
        _needs(check.owed),
        _needs(check.needed),
        tuple(map(_checklist, check.checklists)),
        () if check.risks is None else tuple(map(_hazard, check.risks.hazards)),
        "" if check.risks is None else approval_text(check.risks),
        tuple(windows_lines(answer.stretches, answer.windows, plan)),
        tuple(height_lines(answer.heights)),
        tuple(change_text(one, check) for one in answer.changes),
        tuple(authority_lines(check)),
        tuple(around_lines(check)),
    )


def _clause(clause: Clause) -> ClauseText:
    cites = wording.section(clause.finding)
    return ClauseText(clause.verdict, clause.finding.rule.name, clause_text(clause), cites)


def _folded(clauses: Iterable[ClauseText]) -> tuple[ClauseText, ...]:
    """The clauses with those that say the same as many others in one, which names them all."""
    alike: dict[str, list[ClauseText]] = {}
    for one in clauses:
        alike.setdefault(one.says, []).append(one)
    return tuple(
        one for found in alike.values() for one in (found if len(found) < _MANY else [_as_one(found)])
    )


def _as_one(alike: Sequence[ClauseText]) -> ClauseText:
    said, names = words()["alike"], ", ".join(one.name.replace("_", " ") for one in alike)
    says = said["says"].format(says=alike[0].says, names=names)
    return alike[0]._replace(name=said["name"].format(many=len(alike)), says=says, cites="")


def _needs(needs: Iterable[Needed]) -> tuple[NeedText, ...]:
    return tuple(_need(fact_of(need), need) for need in needs)


def _need(name: str, need: Needed) -> NeedText:
    known = confirmations().get(name)
    if known is None:
        return NeedText(need, name, need.question.text, "", "")
    return NeedText(need, name, known.asks, known.look, known.lets_go)


def _checklist(found: ChecklistFound) -> ChecklistText:
    lines = (
        TickText(line.number, line.text, line.number in found.ticked, answers_text(line))
        for line in found.checklist.lines
    )
    return ChecklistText(
        checklist_title(found), checklist_text(found), found.left == 0, tuple(lines), found.checklist
    )


def _hazard(one: Hazard) -> HazardText:
    return HazardText(one.what, risk_text(one.before), one.done, risk_text(one.after))
