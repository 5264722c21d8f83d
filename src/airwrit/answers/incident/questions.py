"""The questions about an incident, few and in the order in which somebody at the place can answer them."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date
from typing import Any

from airwrit.base.days import day_of
from airwrit.facts.flight_choices import DamagedProperty, EmployeeHarm, Hurt, IncidentUnder
from airwrit.facts.key import Key
from airwrit.facts.keys.incident import (
    AIRWORTHINESS_CERTIFICATE,
    ANYONE_HURT,
    CAUSE,
    DAMAGED,
    DEATH_OR_INJURY,
    DEVIATED,
    EMPLOYEE_HARM,
    EMPLOYER_LEARNED_ON,
    FAA_ASKED,
    HAPPENED_ON,
    HAPPENED_TIME,
    HARMED_ON,
    IN_OPERATION,
    INCIDENT_AIRCRAFT,
    INCIDENT_PILOT,
    INCIDENT_PLACE,
    INCIDENT_UNDER,
    INCIDENT_ZONE,
    NEAR_MISS,
    PROPERTY_VALUE,
    PUBLIC_EMPLOYER,
    RECREATION_RULES_KEPT,
    REPAIR_COST,
    SERIOUS_INJURY,
    SUBSTANTIAL_DAMAGE,
    TOTAL_LOSS,
    UNCONSCIOUS,
    WRECKAGE_KEPT,
)
from airwrit.facts.state import State, value_among
from airwrit.law.flight.incident import FAA_DAMAGE, ITEMS
from airwrit.law.parameters import span_of

LISTED: tuple[Key[bool], ...] = tuple(key for key, _, _ in ITEMS)
"""The items of the NTSB's list that are asked one by one, or as one question of which several may be so."""
BY_WEIGHT_UNTIL = date(2022, 8, 15)

_SEVERE = (EmployeeHarm.ADMITTED, EmployeeHarm.AMPUTATION, EmployeeHarm.EYE, EmployeeHarm.DIED)
_Said = Callable[[Key[Any]], Any]


def _always(_: _Said) -> bool:
    return True


def _no_instant(said: _Said) -> bool:
    return not hasattr(said(HAPPENED_ON), "hour")


def _more_than_first_aid(said: _Said) -> bool:
    return said(ANYONE_HURT) is Hurt.MORE


def _somebody_hurt(said: _Said) -> bool:
    return said(ANYONE_HURT) in (Hurt.FIRST_AID, Hurt.MORE, Hurt.DIED)


def _severe(said: _Said) -> bool:
    return _somebody_hurt(said) and said(EMPLOYEE_HARM) in _SEVERE


def _osha(said: _Said) -> bool:
    return _severe(said) and said(PUBLIC_EMPLOYER) is False


def _damaged(said: _Said) -> bool:
    return said(DAMAGED) in (DamagedProperty.OTHERS, DamagedProperty.CARRIED)


def _value_matters(said: _Said) -> bool:
    """Whether the value of what was damaged matters: after a total loss, or where the repair alone doesn't excuse."""
    cost, happened = said(REPAIR_COST), said(HAPPENED_ON)
    limit = None if happened is None else span_of(FAA_DAMAGE, day_of(happened))
    return said(TOTAL_LOSS) is True or (cost is not None and limit is not None and cost > limit.value)


def _for_fun(said: _Said) -> bool:
    return said(INCIDENT_UNDER) is IncidentUnder.RECREATION


def _may_be_substantial(said: _Said) -> bool:
    happened = said(HAPPENED_ON)
    by_weight = happened is not None and day_of(happened) < BY_WEIGHT_UNTIL
    return by_weight or said(AIRWORTHINESS_CERTIFICATE) is True


QUESTIONS: tuple[tuple[Key[Any], Callable[[_Said], bool]], ...] = (
    (HAPPENED_ON, _always),
    (HAPPENED_TIME, _no_instant),
    (INCIDENT_PLACE, lambda said: said(INCIDENT_ZONE) is None),
    (INCIDENT_ZONE, lambda said: said(INCIDENT_PLACE) is None),
    (INCIDENT_AIRCRAFT, _always),
    (INCIDENT_PILOT, _always),
    (INCIDENT_UNDER, _always),
    (ANYONE_HURT, _always),
    (SERIOUS_INJURY, _more_than_first_aid),
    (UNCONSCIOUS, lambda said: said(ANYONE_HURT) is Hurt.MORE and said(SERIOUS_INJURY) is not True),
    (DEATH_OR_INJURY, _more_than_first_aid),
    (EMPLOYEE_HARM, _somebody_hurt),
    (PUBLIC_EMPLOYER, _severe),
    (HARMED_ON, _osha),
    (EMPLOYER_LEARNED_ON, _osha),
    (DAMAGED, _always),
    (TOTAL_LOSS, _damaged),
    (REPAIR_COST, _damaged),
    (PROPERTY_VALUE, lambda said: _damaged(said) and _value_matters(said)),
    (RECREATION_RULES_KEPT, lambda said: _for_fun(said) and (_damaged(said) or _somebody_hurt(said))),
    (IN_OPERATION, lambda said: _damaged(said) or _somebody_hurt(said)),
    *((key, lambda said: said(CAUSE) is None) for key in LISTED),
    (AIRWORTHINESS_CERTIFICATE, _always),
    (SUBSTANTIAL_DAMAGE, _may_be_substantial),
    (DEVIATED, lambda said: said(INCIDENT_UNDER) in (None, IncidentUnder.PART_107)),
    (FAA_ASKED, lambda said: said(DEVIATED) is True),
    (WRECKAGE_KEPT, _always),
    (NEAR_MISS, lambda said: said(ANYONE_HURT) is Hurt.NOBODY and said(DAMAGED) is DamagedProperty.NOTHING),
)
"""Each question with whether it can matter by what was said before it."""


def said_of(state: State, incident: str) -> _Said:
    """What was said of an incident, by key; None where nothing readable was."""
    mine = state.held.get(incident, {})

    def said(key: Key[Any]) -> Any:
        return value_among(mine, key)

    return said


def open_questions(state: State, incident: str) -> Iterator[Key[Any]]:
    """The questions that nobody answered yet and that can matter, in their order."""
    said = said_of(state, incident)
    return (key for key, matters in QUESTIONS if said(key) is None and matters(said))
