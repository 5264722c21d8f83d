"""The answer of `airwrit which-registration` as a document."""

from __future__ import annotations

from typing import Any

from airwrit.answers.asking.aircraft import AircraftAnswer
from airwrit.answers.asking.alternatives import Alternative
from airwrit.answers.asking.ask import AskAnswer
from airwrit.answers.asking.events import EventAnswer, UseFindings
from airwrit.answers.asking.gone import AircraftGone
from airwrit.answers.asking.idle_facts import idle_json
from airwrit.answers.asking.questions import Prompt
from airwrit.answers.asking.steps import AnswerLine
from airwrit.answers.document import ON_ANSWERS, Json
from airwrit.answers.registration.whose_name import whose_name_json
from airwrit.answers.standing.json import finding_json, report_json
from airwrit.facts.state import State
from airwrit.law.holder.ways import RegistrationWay


def ask_json(answer: AskAnswer) -> Json:
    """The report, and for each aircraft the way with everything told of it."""
    told = report_json(answer.report)
    return {
        **told,
        "verdict": answer.verdict.value,
        "aircraft": [asked_json(one, answer.report.state) for one in answer.aircraft],
        "events": [_event(event, answer.report.state) for event in answer.events],
        "changed_nothing": [idle_json(idle) for idle in answer.idle],
        **ON_ANSWERS,
    }


def asked_json(one: AircraftAnswer, state: State) -> Json:
    """The answer of one aircraft."""
    return {
        "subject": one.ways.subject,
        "way": None if one.way is None else one.way.name.lower(),
        "title": one.title,
        "verdict": one.verdict.value,
        "gone": None if one.gone is None else _gone(one.gone),
        "waits_for_filer": one.ways.decision.waits_for_filer,
        "open_in_any_case": _way(one.ways.decision.sure),
        "not_shut": [way.name.lower() for way in one.ways.decision.left],
        "because": one.because,
        "registered_well": one.registered_well,
        "term": one.term or None,
        "ways": {way.name.lower(): finding_json(f, state) for way, f in one.ways.findings.items()},
        "steps": [{**step._asdict(), "after": list(step.after)} for step in one.steps],
        "ready": [item._asdict() for item in one.ready],
        "cost": None if one.cost is None else {**one.cost._asdict(), "usd": format(one.cost.usd, "f")},
        "dates": None
        if one.dates is None
        else {name: None if day is None else day.isoformat() for name, day in one.dates._asdict().items()},
        "guidance": [_line(line) for line in one.guidance],
        "carry": [_line(line) for line in one.carry],
        "changes": [_change(change) for change in one.changes],
        "cautions": [_line(line) for line in one.cautions],
        "missing": [_question(question) for question in one.missing],
        "taken_as_not_so": [{"subject": used.subject, "key": used.key.name} for used in one.silent],
        "whose_name": None if one.whose is None else whose_name_json(one.whose),
        "against": [finding_json(finding, state) for finding in one.against],
    }


def _gone(gone: AircraftGone) -> Json:
    due = gone.outcome.due_on
    return {
        "what": gone.what.value,
        "on": None if gone.day is None else gone.day.isoformat(),
        "due_on": None if due is None else due.isoformat(),
    }


def _event(event: EventAnswer, state: State) -> Json:
    return {
        "subject": event.subject,
        "verdict": event.verdict.value,
        "columns": [_column(column, state) for column in event.columns],
    }


def _column(column: UseFindings, state: State) -> Json:
    return {
        "use": column.use.value,
        "verdict": column.verdict.value,
        "headline_code": column.whole.value,
        "due_on": None if column.due_on is None else column.due_on.isoformat(),
        "rules": [finding_json(finding, state) for finding in column.rules],
        "beside": [finding_json(finding, state) for finding in column.beside],
        "missing": [{**_question(need.question), "rules": list(need.rules)} for need in column.missing],
        "later": [{"subject": used.subject, "key": used.key.name} for used in column.later],
    }


def _way(way: RegistrationWay | None) -> str | None:
    return None if way is None else way.name.lower()


def _line(line: AnswerLine) -> dict[str, Any]:
    return {
        "says": line.says,
        "cites": line.cites,
        "confidence": line.confidence or None,
        "hearsay": line.hearsay or None,
    }


def _change(change: Alternative) -> dict[str, Any]:
    margin = change.margin_g
    return {
        "change": change.name,
        "what": change.what,
        "way": _way(change.decision.way),
        "verdict": change.decision.verdict.value,
        "not_shut": [way.name.lower() for way in change.decision.left],
        "margin_g": None if margin is None else [float(end) for end in margin],
    }


def _question(question: Prompt) -> dict[str, Any]:
    subject, key = question.settles[0]
    return {
        "subject": subject,
        "key": key.name,
        "question": question.text,
        "why": question.why,
        "cites": question.cites,
        "answer": question.hint,
        "choices": list(question.choices),
        "rule": question.rule,
    }
