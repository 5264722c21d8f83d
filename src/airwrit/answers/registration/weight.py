"""The weights of an aircraft beside the two limits of the law: each weighing with its doubt, and what it weighs as flown."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import NamedTuple

from airwrit.answers.document import Json
from airwrit.answers.standing.json import finding_json
from airwrit.base.days import day_of
from airwrit.base.measured import GRAMS_PER_POUND, Measured, scaled, weighed
from airwrit.base.verdict import Undecided
from airwrit.facts.choices import UsedFor
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import (
    BASE_WEIGHT,
    PART_NAME,
    PART_OF,
    PART_SCALE_ERROR,
    PART_WEIGHT,
    SCALE_ERROR,
    TAKEOFF_WEIGHT,
    WEIGHED_ON,
)
from airwrit.facts.keys.equipment import (
    CONFIGURATION_OF,
    CONFIGURATION_SCALE_ERROR,
    CONFIGURATION_WEIGHED_ON,
)
from airwrit.facts.state import Facts, State, value_held
from airwrit.facts.vocabulary import id_of
from airwrit.law.aircraft.weight import (
    EXEMPT_WEIGHT_LB,
    SMALL_AIRCRAFT_LIMIT_RULE,
    SMALL_LIMIT_LB,
    WEIGHT_EXEMPTION_RULE,
    configuration_weight_g,
    weight_as_flown_g,
)
from airwrit.law.parameters import Law
from airwrit.law.rule import Finding, judge


class WeighingOnFile(NamedTuple):
    """One weighing: what was weighed, of which subject, the reading with its doubt, and whether that doubt was stated."""

    what: str
    subject: str
    grams: Measured
    doubt_stated: bool
    weighed_on: date | None

    @property
    def pounds(self) -> Measured:
        """The reading in the law's pounds."""
        return scaled(self.grams, GRAMS_PER_POUND)

    @property
    def doubt_g(self) -> Decimal:
        """How far it may be off, in grams, plus or minus."""
        return self.grams.high - self.grams.best


class Limit(NamedTuple):
    """A limit of the law of the day in pounds, the rule that sets it, and what it finds of the aircraft."""

    pounds: Decimal
    finding: Finding


class Weights(NamedTuple):
    """Every weighing on file, what it weighs as flown (None: cannot be told), and the limits whose law was read."""

    weighings: tuple[WeighingOnFile, ...]
    flown: WeighingOnFile | None
    limits: tuple[Limit, ...]


def weights_of(state: State, subject: str) -> Weights:
    """The weights of an aircraft on the day of a state."""
    whole, base = (_of_aircraft(state, subject, key) for key in (TAKEOFF_WEIGHT, BASE_WEIGHT))
    parts = [_of_part(state, part) for part in state.holding(PART_OF, id_of(subject))]
    configurations = [
        _of_configuration(state, one) for one in state.holding(CONFIGURATION_OF, id_of(subject))
    ]
    found = [one for one in (whole, base, *parts, *configurations) if one is not None]
    return Weights(tuple(found), _as_flown(state, subject), _limits(state, subject))


def _of_aircraft(state: State, subject: str, key: Key[Decimal]) -> WeighingOnFile | None:
    grams = value_held(state, subject, key)
    if grams is None:
        return None
    error = value_held(state, subject, SCALE_ERROR)
    day = value_held(state, subject, WEIGHED_ON)
    return WeighingOnFile(key.meaning, subject, weighed(grams, error), error is not None, day)


def _of_part(state: State, part: str) -> WeighingOnFile | None:
    grams = value_held(state, part, PART_WEIGHT)
    if grams is None:
        return None
    error = value_held(state, part, PART_SCALE_ERROR)
    name = value_held(state, part, PART_NAME) or id_of(part)
    return WeighingOnFile(name, part, weighed(grams, error), error is not None, None)


def _of_configuration(state: State, configuration: str) -> WeighingOnFile | None:
    try:
        grams = configuration_weight_g(Facts(state, configuration))
    except Undecided:
        return None
    day = value_held(state, configuration, CONFIGURATION_WEIGHED_ON)
    told = value_held(state, configuration, CONFIGURATION_SCALE_ERROR) is not None
    return WeighingOnFile(id_of(configuration), configuration, grams, told, day)


def _as_flown(state: State, subject: str) -> WeighingOnFile | None:
    try:
        grams = weight_as_flown_g(Facts(state, subject))
    except Undecided:
        return None
    return WeighingOnFile("as flown", subject, grams, True, None)


def _limits(state: State, subject: str) -> tuple[Limit, ...]:
    day = day_of(state.on)
    found = []
    for rule, key in ((WEIGHT_EXEMPTION_RULE, EXEMPT_WEIGHT_LB), (SMALL_AIRCRAFT_LIMIT_RULE, SMALL_LIMIT_LB)):
        try:
            pounds = Law(day)[key]
        except Undecided:
            continue
        found.append(Limit(pounds, judge(rule, state, subject, UsedFor.RECREATION, day)))
    return tuple(found)


def weights_json(weights: Weights, state: State) -> Json:
    """The weights as part of a document."""
    return {
        "weighings": [_weighing_json(one) for one in weights.weighings],
        "as_flown": None if weights.flown is None else _weighing_json(weights.flown),
        "limits": [
            {"limit_lb": format(limit.pounds, "f"), **finding_json(limit.finding, state)}
            for limit in weights.limits
        ],
    }


def _weighing_json(one: WeighingOnFile) -> Json:
    return {
        "what": one.what,
        "subject": one.subject,
        "grams": format(one.grams.best, "f"),
        "low_g": format(one.grams.low, "f"),
        "high_g": format(one.grams.high, "f"),
        "pounds": format(one.pounds.best.quantize(Decimal("0.0001")), "f"),
        "doubt_stated": one.doubt_stated,
        "weighed_on": None if one.weighed_on is None else one.weighed_on.isoformat(),
    }
