"""The answer before a flight as a JSON document."""

from __future__ import annotations

from collections.abc import Iterator

from airwrit.answers.airspace.at_json import here_json
from airwrit.answers.before_flight.answer import FlightAnswer
from airwrit.answers.before_flight.changes import Change
from airwrit.answers.before_flight.check import Clause, FlightCheck
from airwrit.answers.before_flight.checklists import ChecklistFound, RiskAssessment
from airwrit.answers.before_flight.equipment import BatteryFound
from airwrit.answers.before_flight.flight_view import ChecklistText, NeedText, flight_view
from airwrit.answers.before_flight.heights import PartHeight
from airwrit.answers.before_flight.plan import FlightPlan, local_time, plan_json
from airwrit.answers.before_flight.surroundings import weather_flight
from airwrit.answers.before_flight.view import (
    ChangeText,
    WhoText,
    booking_text,
    part_letters,
    reason_text,
    site_lines,
    window_text,
)
from airwrit.answers.before_flight.windows import FlightWindow, Stretch
from airwrit.answers.document import CAUTION, SCOPE_OF_FLIGHT, Json
from airwrit.answers.law_reading import reading_json
from airwrit.answers.sky.weather_json import weather_json
from airwrit.answers.standing.headline import SubjectStanding
from airwrit.answers.standing.json import finding_json
from airwrit.facts.state import State
from airwrit.law import wording


def check_json(answer: FlightAnswer) -> Json:
    """The document: the plan, the verdict, every rule, aircraft and pilot, what is owed, when and how high."""
    check, stretches, windows, heights, changes = answer
    plan, around, view = check.plan, check.around, flight_view(answer)
    return {
        "question": "before_flight",
        "scope": SCOPE_OF_FLIGHT,
        "plan": plan_json(plan),
        **reading_json(plan.starts.astimezone(plan.zone.info)),
        "verdict": check.verdict.value,
        "whole": check.whole.value,
        "says": view.whole,
        "watch": list(view.watch),
        "clauses": [_clause(one, plan) for one in check.clauses],
        "aircraft": _row(check.aircraft, check, check.standing_state),
        "pilot": _row(check.pilot, check, check.standing_state),
        "batteries": [_battery(*pair) for pair in zip(check.batteries, view.who[2:], strict=True)],
        "confirm": list(map(_need, view.owed)),
        "checklists": [_checklist(*pair) for pair in zip(check.checklists, view.checklists, strict=True)],
        "risk": None if check.risks is None else _risks(check.risks, view.approval),
        "missing": list(map(_need, view.needed)),
        "windows": [_window(one, plan) for one in windows],
        "stretches": [_stretch(one, plan) for one in stretches],
        "highest_ft": None if heights.highest_ft is None else float(heights.highest_ft),
        "height": list(view.height),
        "height_parts": [
            _part(letter, one) for letter, one in zip(part_letters(heights), heights.parts, strict=True)
        ],
        "in_two_places": [
            {"what": one.what, "other": one.other.flight, "says": booking_text(one)} for one in check.double
        ],
        "changes": [_change(*pair) for pair in zip(changes, view.changes, strict=True)],
        "authority": {"verdict": check.authority.verdict.value, "says": list(view.authority)},
        "airspace": None if around.here is None else here_json(around.here),
        "place": site_lines(check),
        "inputs": [*_airspace_inputs(check)],
        "weather": None
        if around.weather is None
        else weather_json(around.weather, weather_flight(plan, around.limits)),
        "problems": [],
        "caution": CAUTION,
    }


def _change(change: Change, told: ChangeText) -> Json:
    return {
        "code": change.code.value,
        "says": told.says,
        "then": change.then.value,
        "then_says": told.then,
        "takes": told.takes,
        "how_long_before": told.lead,
        "settles": list(change.settles),
        "still_not_met": list(change.still),
        "plan": None if change.plan is None else plan_json(change.plan),
    }


def _airspace_inputs(check: FlightCheck) -> Iterator[Json]:
    """Each edition of airspace that was looked at: the files it was read from with their digests, and its age in days."""
    here, day = check.around.here, check.plan.starts.astimezone(check.plan.zone.info).date()
    for layer in () if here is None else here.layers:
        edition = layer.edition
        if edition is not None:
            yield {
                "kind": edition.kind.value,
                "layer": edition.layer,
                "of": edition.on.isoformat(),
                "age_days": (day - edition.on).days,
                "files": [source._asdict() for source in edition.sources],
            }


def _clause(clause: Clause, plan: FlightPlan) -> Json:
    """A rule as a finding; of what hangs on a private fact, such as when somebody last drank, only the verdict is told."""
    told = {**finding_json(clause.finding, clause.state), "at": local_time(clause.at, plan)}
    if any(used.key.private for used in clause.finding.used):
        told |= {"says": None, "value": None, "margin": None, "used": {}}
    return told


def _row(row: SubjectStanding, check: FlightCheck, state: State) -> Json:
    return {
        "subject": row.subject,
        "headline": row.headline.value,
        "headline_code": row.headline.code,
        "verdict": check.verdict_of(row).value,
        "because": [wording.worded(finding, state).says for finding in row.in_the_way],
    }


def _part(letter: str, one: PartHeight) -> Json:
    part = one.part
    return {
        "letter": letter,
        "side": part.side,
        "share": round(part.share, 2),
        "airspace": sorted(name for _, _, name, _, _ in part.volumes),
        "map_ft": part.number_ft,
        "highest_ft": None if one.highest_ft is None else float(one.highest_ft),
        "at": None if part.middle is None else part.middle._asdict(),
    }


def _battery(found: BatteryFound, told: WhoText) -> Json:
    return {
        "subject": found.subject,
        "verdict": found.verdict.value,
        "on_file": found.is_on_file,
        "status": told.status,
        "because": list(found.says),
    }


def _checklist(found: ChecklistFound, told: ChecklistText) -> Json:
    one = found.checklist
    return {
        "name": one.name,
        "model": one.model or None,
        "edition": one.edition or None,
        "verdict": found.verdict.value,
        "says": told.says,
        "lines": [
            {
                "number": line.number,
                "text": line.text,
                "confirms": {key: value for _, key, value, *_ in line.confirms},
                "ticked": line.number in found.ticked,
            }
            for line in one.lines
        ],
    }


def _risks(risks: RiskAssessment, approval: str) -> Json:
    ends = risks.approval_ends
    return {
        "hazards": [
            {
                "what": one.what,
                "before": {"likelihood": one.before.likelihood.value, "severity": one.before.severity.value},
                "done": one.done,
                "after": {"likelihood": one.after.likelihood.value, "severity": one.after.severity.value},
            }
            for one in risks.hazards
        ],
        "verdict": risks.verdict.value,
        "approved_by": risks.approved_by or None,
        "approved_until": None if ends is None else ends.isoformat(),
        "says": approval,
    }


def _need(told: NeedText) -> Json:
    need = told.need
    subject, key = need.question.settles[0]
    return {
        "fact": key.name,
        "table": key.table,
        "subject": subject,
        "asks": told.asks,
        "look": told.look or None,
        "choices": list(need.question.choices),
        "rules": list(need.rules),
    }


def _window(window: FlightWindow, plan: FlightPlan) -> Json:
    return {
        "start": local_time(window.start, plan),
        "end": local_time(window.end, plan),
        "latest_takeoff": local_time(window.latest, plan),
        "says": window_text(window, plan),
    }


def _stretch(one: Stretch, plan: FlightPlan) -> Json:
    return {
        "start": local_time(one.start, plan),
        "end": local_time(one.end, plan),
        "verdict": one.verdict.value,
        "needs_lights": one.needs_lights,
        "says": reason_text(one),
    }
