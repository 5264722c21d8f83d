"""What a planned flight uses: whether anything on file speaks against each battery, and the wind its model is made for."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import Any, NamedTuple

from airwrit.answers.before_flight.surroundings import NO_LIMITS, WindLimits
from airwrit.answers.standing.standing import Standing
from airwrit.answers.upkeep.view import against, of_flight, verdict_of
from airwrit.base.verdict import Verdict
from airwrit.facts.keys.aircraft import MODEL
from airwrit.facts.keys.equipment import MODEL_GUST_LIMIT, MODEL_WIND_LIMIT, PAIRED_AIRCRAFT
from airwrit.facts.keys.flights.limits import GUST_SEEN, WIND_SEEN
from airwrit.facts.state import State, value_held
from airwrit.facts.vocabulary import id_of, subject_named
from airwrit.house.rules import row_of
from airwrit.law import wording
from airwrit.law.aircraft.battery import BATTERY_FIT_RULE
from airwrit.law.rule import Finding, Rule

_GONE = ("retired", "shipped")
"""Codes of a battery that nobody judges any more; a flight that names one can't have it."""


def wind_limits(state: State, aircraft: str, house: Iterable[Rule] = ()) -> WindLimits:
    """The strongest wind and gusts for the flight: the model's by its maker, or those of house rules where they are lower."""
    model = value_held(state, aircraft, MODEL)
    kept = f"{MODEL.links_to}/{model}"
    made = NO_LIMITS
    if model is not None:
        made = WindLimits(
            value_held(state, kept, MODEL_WIND_LIMIT), value_held(state, kept, MODEL_GUST_LIMIT)
        )
    own = [
        row for rule in house if (row := row_of(rule)) is not None and row.kind == "at_most" and not row.scope
    ]
    wind = [row.limit for row in own if row.key is WIND_SEEN]
    gust = [row.limit for row in own if row.key is GUST_SEEN]
    return WindLimits(_lowest(made.wind_kt, wind), _lowest(made.gust_kt, gust))


def _lowest(made: Decimal | None, own: Iterable[Any]) -> Decimal | None:
    return min((*(Decimal(one) for one in own), *(() if made is None else (made,))), default=None)


class BatteryFound(NamedTuple):
    """A battery that a flight names: its subject, what it comes to, what speaks against it, and whether it is on file."""

    subject: str
    verdict: Verdict
    says: tuple[str, ...]
    is_on_file: bool


def batteries_found(found: Standing, aircraft: str, packs: Iterable[str]) -> tuple[BatteryFound, ...]:
    """Each battery of a flight. One without a record is open where records are kept of the aircraft's batteries."""
    return tuple(_found(found, aircraft, subject_named("battery", pack)) for pack in packs)


def fit_for(found: Standing, aircraft: str) -> tuple[str, ...]:
    """The names of the batteries kept for an aircraft that nothing speaks against."""
    kept = found.report.state.holding(PAIRED_AIRCRAFT, id_of(aircraft))
    return tuple(id_of(one) for one in kept if _found(found, aircraft, one).verdict not in _STOPS)


_STOPS = (Verdict.NOT_MET, Verdict.UNKNOWN)


def _found(found: Standing, aircraft: str, subject: str) -> BatteryFound:
    state = found.report.state
    if not state.held.get(subject):
        return BatteryFound(subject, _unrecorded(state, aircraft), (), False)
    mine = of_flight(one for one in found.report.findings if one.subject == subject)
    gone = _gone(mine)
    if gone is not None:
        return BatteryFound(subject, Verdict.NOT_MET, (wording.worded(gone, state).says,), True)
    return BatteryFound(subject, verdict_of(mine), against(mine, found), True)


def _unrecorded(state: State, aircraft: str) -> Verdict:
    kept = state.holding(PAIRED_AIRCRAFT, id_of(aircraft))
    return Verdict.UNKNOWN if kept else Verdict.NOT_APPLICABLE


def _gone(findings: Iterable[Finding]) -> Finding | None:
    """The finding that a battery is retired or shipped."""
    return next((one for one in findings if one.rule is BATTERY_FIT_RULE and one.outcome.code in _GONE), None)
