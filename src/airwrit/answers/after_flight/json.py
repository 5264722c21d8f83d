"""The answer after a flight as a JSON document."""

from __future__ import annotations

from datetime import UTC, datetime

from airwrit.answers.after_flight.flown import CantShow, FlownAnswer, FlownClause, FlownInterval, StripPart
from airwrit.answers.after_flight.view import (
    FlownView,
    cant_text,
    cant_title,
    clause_shown,
    flown_view,
    how_much_text,
    lasts_text,
    when_text,
)
from airwrit.answers.before_flight.plan import plan_json
from airwrit.answers.document import CAUTION, Json
from airwrit.answers.law_reading import reading_json
from airwrit.answers.standing.headline import SubjectStanding
from airwrit.answers.standing.json import finding_json
from airwrit.base.measured import Measured
from airwrit.law import wording


def flown_json(answer: FlownAnswer) -> Json:
    """The document: the log, the verdict, every clause with its intervals, what the log can't show, the flight in figures."""
    track, plan, view = answer.track, answer.plan, flown_view(answer)
    return {
        "question": "after_flight",
        "scope": view.scope,
        "log": {
            "name": track.name,
            "format": track.format.value,
            "sha256": track.digest,
            "time_from": track.time_from.value,
            "vehicle": track.vehicle or None,
            "serials": list(track.serials),
            "problems": [one._asdict() for one in answer.problems],
        },
        **reading_json(plan.starts.astimezone(plan.zone.info)),
        "on": plan.starts.astimezone(plan.zone.info).date().isoformat(),
        "verdict": answer.verdict.value,
        "whole": answer.whole.value,
        "says": view.whole,
        "flown": plan_json(plan),
        "use": answer.use.value,
        "planned": None if answer.planned is None else _planned(answer),
        "figures": {**answer.figures._asdict(), "says": view.figures},
        "heights": _heights(answer, view),
        "clauses": [_clause(one, answer) for one in answer.clauses],
        "cant_show": [_cant(one) for one in answer.cant_show],
        "aircraft": _row(answer.aircraft, answer),
        "pilot": _row(answer.pilot, answer),
        "differences": [one._asdict() for one in answer.differences],
        "assumed": [
            {"code": code, "says": says} for code, says in zip(answer.assumed, view.assumed, strict=True)
        ],
        "now": view.now,
        "problems": [],
        "caution": CAUTION,
    }


def _planned(answer: FlownAnswer) -> Json:
    planned = answer.planned
    assert planned is not None  # noqa: S101  asked only where there is one
    return {
        "flight": planned.subject,
        "answer": planned.answer,
        "answered_on": None if planned.answered_on is None else planned.answered_on.isoformat(),
        **plan_json(planned.plan),
    }


def _heights(answer: FlownAnswer, view: FlownView) -> Json:
    heights = answer.heights
    return {
        "based_on": heights.based_on.value,
        "datum": None if heights.datum is None else heights.datum.value,
        "ground_rows": heights.ground_rows,
        "drift_m": _number(heights.drift_m),
        "says": view.heights,
    }


def _clause(clause: FlownClause, answer: FlownAnswer) -> Json:
    """A clause; of one that hangs on a private fact only the verdict is told."""
    finding, state = clause.finding, clause.state
    is_private = finding is not None and any(used.key.private for used in finding.used)
    shown = clause_shown(clause, answer)
    judged = None if finding is None or state is None or is_private else finding_json(finding, state)
    return {
        "name": clause.name,
        "from": clause.source.value,
        "about": clause.about or None,
        "title": shown.title,
        "verdict": clause.verdict.value,
        "code": clause.code,
        "says": None if is_private else shown.says,
        "cites": shown.cites or None,
        "best": _measured(clause.best),
        "limit": _measured(clause.limit),
        "unit": clause.unit or None,
        "best_at": None if clause.best_us is None else _moment(clause.best_us, answer),
        "intervals": [_interval(one, answer) for one in clause.intervals],
        "strip": [_part(one, answer) for one in answer.strip(clause)],
        "finding": judged,
    }


def _interval(one: FlownInterval, answer: FlownAnswer) -> Json:
    margin = one.margin
    return {
        "number": one.number,
        "about": one.about or None,
        "verdict": one.verdict.value,
        "when": when_text(answer, one),
        "lasts": lasts_text(one.lasts),
        "says": how_much_text(one),
        "start": _moment(one.start_us, answer),
        "until": _moment(one.until_us, answer),
        "seconds": round((one.until_us - one.start_us) / 1e6, 3),
        "peak": _measured(one.peak),
        "limit": _measured(one.limit),
        "unit": one.unit or None,
        "margin": None
        if margin is None
        else {"value": float(margin.value), "worst": float(margin.worst), "best": float(margin.best)},
        "peak_at": _moment(one.peak_us, answer),
        "latitude_deg": round(one.place.latitude_deg, 7),
        "longitude_deg": round(one.place.longitude_deg, 7),
        "rows": list(one.rows),
    }


def _part(part: StripPart, answer: FlownAnswer) -> Json:
    begin = int(answer.path.t_us[0])
    return {
        "start_s": round((part.start_us - begin) / 1e6, 3),
        "until_s": round((part.until_us - begin) / 1e6, 3),
        "verdict": part.verdict.value,
        "number": part.number or None,
    }


def _moment(t_us: int, answer: FlownAnswer) -> Json:
    """A moment by the clock of the place and in UTC, null where the log tells no day; and in seconds of the log."""
    at = answer.at(t_us)
    return {
        "local": None if at is None else _text(at.astimezone(answer.plan.zone.info)),
        "utc": None if at is None else _text(at.astimezone(UTC)),
        "log_s": round(t_us / 1e6, 3),
    }


def _text(at: datetime) -> str:
    return at.isoformat(timespec="milliseconds")


def _measured(value: Measured | None) -> Json | None:
    if value is None:
        return None
    return {"best": float(value.best), "low": float(value.low), "high": float(value.high)}


def _number(value: float) -> float | None:
    return round(value, 3) if value == value else None  # noqa: PLR0124  NaN


def _cant(one: CantShow) -> Json:
    return {
        "rule": one.rule,
        "title": cant_title(one),
        "code": one.code,
        "says": cant_text(one),
        "asks": list(one.asks),
        "said_before": one.said_before,
        "cites": None if one.finding is None else "; ".join(wording.cites(one.finding)),
    }


def _row(row: SubjectStanding | None, answer: FlownAnswer) -> Json | None:
    state = answer.standing_state
    if row is None or state is None:
        return None
    return {
        "subject": row.subject,
        "headline": row.headline.value,
        "headline_code": row.headline.code,
        "because": [wording.worded(finding, state).says for finding in row.in_the_way],
    }
