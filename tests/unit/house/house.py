"""House rules written in a line, and facts to judge by them."""

from __future__ import annotations

from datetime import UTC, datetime

from airwrit.base.days import day_of, parse_when
from airwrit.facts.choices import UsedFor
from airwrit.facts.fold import state_of
from airwrit.facts.key import Raw
from airwrit.facts.state import State
from airwrit.facts.statement import Known, Statement
from airwrit.house.rules import house_rules
from airwrit.law.rule import Finding, Rule, judge
from airwrit.law.wording import Wording, worded

NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)
TODAY = "2026-11-25"
Facts = dict[str, dict[str, Raw]]


def row(body: str, *, about: str = "aircraft", name: str = "asked") -> str:
    """A file of one row."""
    return f'document = "Manual"\n[[rule]]\nname = "{name}"\nabout = "{about}"\nclause = "1.2"\n{body}\n'


def rule(body: str, *, about: str = "aircraft") -> Rule:
    """The rule of one row."""
    (made,) = house_rules(row(body, about=about), "rules.toml")
    return made


def state(facts: Facts, on: str = TODAY) -> State:
    """How things stand by these facts."""
    known = [
        Known(Statement(subject, key, value))
        for subject, mine in facts.items()
        for key, value in mine.items()
    ]
    return state_of(known, parse_when(on), NOW)


def found(made: Rule, facts: Facts, on: str = TODAY, use: UsedFor = UsedFor.WORK) -> Finding:
    """What a rule finds of the only aircraft `A`, person `P` or flight `F`."""
    subject = {"aircraft": "aircraft/A", "person": "person/P", "flight": "flight/F", "battery": "battery/B"}[
        made.about
    ]
    return judge(made, state(facts, on), subject, use, day_of(parse_when(on)))


def words(made: Rule, facts: Facts, on: str = TODAY) -> Wording:
    """What it says."""
    return worded(found(made, facts, on), state(facts, on))
