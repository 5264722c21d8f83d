"""Every outcome that random facts lead a rule to has its words. That every text is reached the tables of cases show."""

from __future__ import annotations

import random
from collections.abc import Iterable
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from typing import Any

from airwrit.base.days import add_years
from airwrit.facts.choices import RegistrationKind
from airwrit.facts.fold import state_of
from airwrit.facts.key import Key, Raw, raw_of
from airwrit.facts.keys.flights.airspace import FLIGHT_AIRSPACE_KEYS
from airwrit.facts.keys.flights.limits import FLIGHT_LIMIT_KEYS
from airwrit.facts.keys.flights.over_people import FLIGHT_PEOPLE_KEYS
from airwrit.facts.keys.incident import INCIDENT_KEYS
from airwrit.facts.state import State
from airwrit.facts.statement import Known, Statement
from airwrit.facts.vocabulary import ALL_KEYS, TABLES, subject_named
from airwrit.law.flight.rulebook import FLIGHT_RULES
from airwrit.law.rule import Finding, Rule, judge_uses
from airwrit.law.rulebook import BY_NAME
from airwrit.law.wording import worded

NOW = datetime(2026, 11, 25, tzinfo=UTC)
STATES = 900
FLIGHT_STATES = 300
OFFSETS = (
    -6000,
    -5000,
    -4000,
    -1200,
    -1100,
    -1096,
    -1095,
    -1090,
    -1080,
    -1000,
    -800,
    -400,
    -100,
    -20,
    -1,
    0,
    1,
    20,
)
SERIALS = ("ZZ9Z5AAAAA", "ZZ9Z5AAAAA", "zz9z5aaaaa", "ZZ9Z5aaaaa", "ZZ9Z5BBBBB", "ZZ9ZOAAAAA", "0AB-77/2019")
WEIGHTS = ("200", "249.4758035", "250", "900", "24947.58035", "30000")
NUMBERS = {
    "ft": ("0", "300", "350", "400", "700", "1500", "4000"),
    "kt": ("5", "80", "88"),
    "sm": ("2", "3", "5"),
    "nm": ("2", "4"),
    "mi": ("10", "15.5", "20", "32", "40"),
    "usd": ("400", "501", "30000"),
}
FLIGHT_KEYS = [
    key for key in ALL_KEYS if TABLES[key.table] in ("flight", "cell", "incident", "paper", "aircraft")
]
ONLY_FLIGHTS = {*FLIGHT_LIMIT_KEYS, *FLIGHT_PEOPLE_KEYS, *FLIGHT_AIRSPACE_KEYS, *INCIDENT_KEYS}
GROUND_KEYS = [key for key in ALL_KEYS if key not in ONLY_FLIGHTS]
SELDOM = frozenset(
    {
        *(
            "flight_under",
            "flight_waiver",
            "metar_visibility_sm",
            "no_clouds",
            "only_indoors",
            "foreign_registry",
        ),
        *("sold_on", "destroyed_on", "exported_on", "armed_forces", "covers_aircraft", "base_weight_g"),
    }
)
HOURS = ("04:00", "10:00", "14:50", "15:10", "18:00", "21:00")
UNUSUAL = frozenset(
    {
        *(
            "issued_on",
            "expires_on",
            "renewed_on",
            "renewal_filed_on",
            "registration_kind",
            "cancelled_on",
            "revoked_on",
        ),
        *("registration", "is_registered", "sold_on", "lost_on", "destroyed_on", "exported_on"),
    }
)
USUAL: dict[tuple[str, str], Raw] = {
    ("aircraft/1", "is_registered"): True,
    ("aircraft/1", "registration"): "1",
    ("aircraft/1", "mark_place"): "outside",
    ("aircraft/1", "mark_legible"): True,
    ("aircraft/1", "takeoff_weight_g"): "200",
    ("paper/1", "granted_on"): "2000-01-01",
    ("paper/1", "ends_on"): "2100-01-01",
    ("paper/1", "covers_all"): True,
}
TURNS = (
    date(2016, 5, 1),
    date(2017, 12, 12),
    date(2019, 2, 25),
    date(2020, 6, 1),
    date(2021, 4, 6),
    date(2021, 4, 7),
    date(2021, 4, 21),
    date(2023, 9, 17),
)


def some_day(dice: random.Random, on: date) -> date:
    """A day near the one asked about, or near a day on which the law changed."""
    if dice.random() < 0.1:
        return date(2021, 4, 6)
    near = on if dice.random() < 0.7 else dice.choice(TURNS)
    return near + timedelta(days=dice.choice(OFFSETS))


def some_moment(dice: random.Random, on: date) -> str:
    """An instant of the day asked about, or of the one before or after it."""
    return f"{on + timedelta(days=dice.choice((0, 0, 0, -1, 1)))}T{dice.choice(HOURS)}:00+00:00"


def some_number(key: Key[Any], dice: random.Random) -> str:
    """A number in the key's unit on either side of its limits."""
    if "share" in key.name:
        return dice.choice(("0", "0.5", "0.7", "0.8", "1"))
    if "seats" in key.name:
        return dice.choice(("28000", "30000"))
    return dice.choice(NUMBERS.get(key.unit, (*WEIGHTS, "400", "700")))


def some_value(key: Key[Any], dice: random.Random, on: date) -> Raw:
    """A value of the key's kind that has a chance to meet and to miss its limits."""
    if key.links_to:
        return dice.choice(("1", "2"))
    if key.name.endswith("serial") or key.name == "mark_text":
        return dice.choice((*SERIALS, "1"))
    if key.kind is bool:
        return dice.random() < 0.5
    if key.kind is date:
        return (
            some_moment(dice, on) if key.instants and dice.random() < 0.8 else some_day(dice, on).isoformat()
        )
    if key.kind is Decimal:
        return some_number(key, dice)
    if key.kind in (str, tuple):
        return dice.choice(("a", "b"))
    words: Any = key.kind
    return raw_of(dice.choice(list(words)))


def usual_registration(dice: random.Random, on: date) -> list[Known]:
    """A registration whose days fit each other, about to end, just ended, or long to run."""
    expiry = on + timedelta(days=dice.choice((-400, -1, -1, 0, 1, 10, 25, 40, 300, 1500)))
    issued = add_years(expiry, -3)
    facts: dict[str, Raw] = {"issued_on": issued.isoformat(), "expires_on": expiry.isoformat()}
    for name in dice.sample(sorted(facts), dice.choice((0, 1))):
        del facts[name]
    if dice.random() < 0.5:
        facts["renewal_filed_on"] = (expiry - timedelta(days=30)).isoformat()
    facts["registration_kind"] = dice.choice(list(RegistrationKind)).value
    known = [Known(Statement("registration/1", name, value)) for name, value in facts.items()]
    for aircraft in ("aircraft/1", "aircraft/2")[: dice.choice((1, 2))]:
        known += [
            Known(
                Statement(aircraft, "registration", "1" if aircraft == "aircraft/1" else dice.choice("12"))
            ),
            Known(Statement(aircraft, "is_registered", True)),
        ]
    return known


def some_facts(keys: Iterable[Key[Any]], dice: random.Random, on: date) -> list[Known]:
    """Two subjects of every kind the keys are of, with about two thirds of their facts."""
    density = dice.choice((0.35, 0.65, 0.95))
    return [
        Known(Statement(subject_named(TABLES[key.table], number), key.name, some_value(key, dice, on)))
        for key in keys
        for number in ("1", "2")
        if dice.random() < density
    ]


def some_state(dice: random.Random) -> State:
    """How aircraft, people and papers may stand on a day or at an instant."""
    on = some_day(dice, date(2026, 11, 25))
    known = some_facts(GROUND_KEYS, dice, on)
    known = [item for item in known if dice.random() < 0.98 or item.statement.subject != "aircraft/1"]
    if dice.random() < 0.5:
        known = [item for item in known if item.statement.key not in UNUSUAL] + usual_registration(dice, on)
    when = datetime(on.year, on.month, on.day, 15, tzinfo=UTC) if dice.random() < 0.2 else on
    return state_of(known, when, NOW)


def some_flight(dice: random.Random) -> State:
    """How flights and incidents may have gone, mostly asked about at an instant."""
    on = some_day(dice, date(2026, 11, 25))
    known = [
        item
        for item in some_facts(FLIGHT_KEYS, dice, on)
        if item.statement.key not in SELDOM or dice.random() < 0.1
    ]
    if dice.random() < 0.5:
        known = [item for item in known if (item.statement.subject, item.statement.key) not in USUAL]
        known += [Known(Statement(*pair, value)) for pair, value in USUAL.items()]
    when = datetime(on.year, on.month, on.day, 15, tzinfo=UTC) if dice.random() < 0.8 else on
    return state_of(known, when, NOW)


def findings(state: State, rules: Iterable[Rule]) -> list[Finding]:
    """What every rule finds of every subject of its kind under both uses."""
    day = state.on.date() if isinstance(state.on, datetime) else state.on
    return [
        finding
        for rule in rules
        for subject in state.subjects(rule.about)
        for finding in judge_uses(rule, state, subject, day)
    ]


def test_every_outcome_has_words() -> None:
    """Random facts over all the dated law: no finding is without words."""
    dice, of_flight, seen = random.Random(7), random.Random(8), set()
    ground = [rule for rule in BY_NAME.values() if rule not in FLIGHT_RULES]
    for number in range(STATES + FLIGHT_STATES):
        of_flights = number >= STATES
        state = some_flight(of_flight) if of_flights else some_state(dice)
        rules: Iterable[Rule] = FLIGHT_RULES if of_flights else ground
        for finding in findings(state, rules):
            where = (finding.rule.name, finding.outcome.code)
            if where not in seen:
                words = worded(finding, state)
                assert words.says, where
                assert "{" not in words.says + words.do, where
                seen.add(where)
    assert len(seen) > 400
