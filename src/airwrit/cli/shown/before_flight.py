"""The answer before a flight on the terminal: the whole, what to fix and confirm, when and how high, then every rule."""

from __future__ import annotations

from collections.abc import Sequence

from rich.console import Console
from rich.text import Text

from airwrit.answers.asking.events import Needed
from airwrit.answers.before_flight.answer import FlightAnswer
from airwrit.answers.before_flight.changes import Change
from airwrit.answers.before_flight.check import Clause, FlightCheck
from airwrit.answers.before_flight.checklists import ChecklistFound, ChecklistLine
from airwrit.answers.before_flight.confirmations import confirmations
from airwrit.answers.before_flight.risks import Hazard
from airwrit.answers.before_flight.view import (
    approval_text,
    around_lines,
    authority_lines,
    change_text,
    checklist_text,
    checklist_title,
    clause_text,
    groups_of,
    height_text,
    plan_text,
    risk_text,
    watch_lines,
    whole_text,
    windows_lines,
    words,
)
from airwrit.answers.document import SCOPE_OF_FLIGHT
from airwrit.answers.standing.headline import SubjectStanding
from airwrit.base.verdict import Verdict
from airwrit.cli.console import SIGNS, clean, said, show_caution
from airwrit.cli.shared.sections import print_rows, print_title
from airwrit.facts.vocabulary import id_of
from airwrit.law import wording

_SHARES = (-4, 26, 62, 22)


def show_check(answer: FlightAnswer, out: Console) -> None:
    """Print the whole answer."""
    check, plan = answer.check, answer.check.plan
    names = words()["groups"]
    out.print()
    out.print(Text(whole_text(check), style="bold"))
    out.print(clean(plan_text(plan)))
    for line in watch_lines(check):
        out.print(clean(line), style="bold")
    out.print(Text(SCOPE_OF_FLIGHT, style="dim"))
    if check.owed:
        out.print(Text(words()["confirm"]["holds"], style="dim"))
    groups = dict(groups_of(check))
    _show_clauses(names["not_met"], groups.pop(names["not_met"], ()), out)
    _show_rows(check, out)
    _show_needs(names["owed"], check.owed, out)
    _show_needs(names["needed"], check.needed, out)
    if check.risks is not None:
        print_title(f"{words()['risk']['heading']}. {approval_text(check.risks)}", out)
        print_rows((_hazard_row(one) for one in check.risks.hazards), (36, 20, 40, 20), out)
    for found in check.checklists:
        print_title(f"{checklist_title(found)}: {checklist_text(found)}", out)
        print_rows((_line_row(line, found) for line in found.checklist.lines), (-4, 96, 14), out)
    _show_lines(names["windows"], windows_lines(answer.stretches, answer.windows, plan), out)
    _show_lines(names["height"], height_text(answer.highest_ft), out)
    if answer.changes:
        print_title(words()["change"]["heading"], out)
        print_rows((_change_row(one, check) for one in answer.changes), (-4, 46, 36, 34, 26), out)
    _show_lines(names["authority"], authority_lines(check), out)
    _show_lines(names["around"], around_lines(check), out)
    for heading, clauses in groups.items():
        _show_clauses(heading, clauses, out)
    show_caution(out)


def _show_lines(heading: str, lines: Sequence[str], out: Console) -> None:
    print_title(heading, out)
    for line in lines:
        out.print(clean(f"  {line}"))


def _show_clauses(heading: str, clauses: Sequence[Clause], out: Console) -> None:
    if clauses:
        print_title(heading, out)
        print_rows((_clause_row(one) for one in clauses), _SHARES, out)


def _clause_row(clause: Clause) -> tuple[str, ...]:
    finding = clause.finding
    cites = "".join(wording.cites(finding)[-1:])
    return SIGNS[clause.verdict], finding.rule.name.replace("_", " "), said(clause_text(clause)), cites


def _show_rows(check: FlightCheck, out: Console) -> None:
    print_title(words()["groups"]["aircraft_and_pilot"], out)
    print_rows((_subject_row(row, check) for row in (check.aircraft, check.pilot)), (-4, 26, 84), out)


def _subject_row(row: SubjectStanding, check: FlightCheck) -> tuple[str, ...]:
    verdict = check.verdict_of(row)
    why = "" if row.deciding is None else wording.worded(row.deciding, check.standing_state).says
    against = f". {why}" if verdict is not Verdict.MET and why else ""
    return SIGNS[verdict], clean(id_of(row.subject)), said(f"{row.headline.value}{against}")


def _change_row(change: Change, check: FlightCheck) -> tuple[str, ...]:
    told = change_text(change, check)
    return SIGNS[told.verdict], said(told.says), told.then, told.takes, told.lead


def _hazard_row(one: Hazard) -> tuple[str, ...]:
    return said(one.what), risk_text(one.before), said(one.done), risk_text(one.after)


def _line_row(line: ChecklistLine, found: ChecklistFound) -> tuple[str, ...]:
    is_ticked = line.number in found.ticked
    how = "" if is_ticked else f"--tick {line.number}"
    return SIGNS[Verdict.MET if is_ticked else Verdict.UNKNOWN], said(line.text), how


def _show_needs(heading: str, needs: Sequence[Needed], out: Console) -> None:
    if needs:
        print_title(heading, out)
        print_rows((_need_row(need) for need in needs), (-4, 70, 40), out)


def _need_row(need: Needed) -> tuple[str, ...]:
    key = need.question.settles[0][1]
    known = confirmations().get(key.name)
    asks = need.question.text if known is None else f"{known.asks} {known.look}".strip()
    return SIGNS[Verdict.UNKNOWN], asks, f"--confirm {key.name}={'' if known is None else known.lets_go}"
