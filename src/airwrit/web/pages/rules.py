"""Law: every rule there is, and of one rule the numbers through time, their sections, sources and ages."""

from __future__ import annotations

import difflib
from dataclasses import dataclass
from typing import Any, NamedTuple

from airwrit.answers.asking.events import KINDS
from airwrit.answers.lookup.law import is_in_force, rule_json
from airwrit.law.parameters import Readings, readings
from airwrit.law.rule import Rule
from airwrit.law.rulebook import BY_NAME
from airwrit.web.server.trouble import NOTHING_WRITTEN, Refused, Trouble
from airwrit.web.server.visit import Answer, PageSheet, Visit
from airwrit.web.server.workspace import DayAsked

_SUBJECTS = {
    "aircraft": "Aircraft",
    "registration": "Registrations",
    "battery": "Batteries",
    "owner": "Owners",
    "person": "People",
    "paper": "Papers",
    "flight": "Flights",
    "incident": "Incidents",
}
_PAGES = {
    "airwrit today": "/today",
    "airwrit which-registration": "/which-registration",
    "airwrit check-scenario FACTS.toml": "/check-scenario",
}


class Asks(NamedTuple):
    """One rule in the list: its name, what it asks, the sections in force."""

    name: str
    asks: str
    cites: str


@dataclass(frozen=True, slots=True)
class RuleList:
    """The list of rules, by what they are about."""

    parts: tuple[tuple[str, str, tuple[Asks, ...]], ...]
    many: int
    readings: Readings


def show(visit: Visit) -> Answer:
    """The list of every rule."""
    told = [_told(rule, visit.asked) for rule in BY_NAME.values()]
    parts: dict[str, list[Asks]] = {}
    for rule in told:
        sections = dict.fromkeys(
            value["cites"]
            for param in rule["parameters"]
            for value in param["values"]
            if is_in_force(value, visit.asked.on)
        )
        parts.setdefault(rule["about"], []).append(Asks(rule["rule"], rule["asks"], "; ".join(sections)))
    book = RuleList(
        tuple(
            (about, _SUBJECTS.get(about, about.capitalize()), tuple(rules)) for about, rules in parts.items()
        ),
        len(told),
        readings(),
    )
    return PageSheet("rules.html", "Rules", book, lambda: told)


def show_rule(visit: Visit) -> Answer:
    """One rule with all that stands behind it."""
    name = visit.named["rule"]
    rule = BY_NAME.get(name)
    if rule is None:
        near = difflib.get_close_matches(name, BY_NAME, n=1, cutoff=0.4)
        do = f"did you mean {near[0]}?" if near else "see the list of rules under Rules"
        what, to = f"there is no rule named {name[:80]!r}", f"/rules/{near[0]}" if near else "/rules"
        raise Refused(Trouble(404, "No such rule", what, visit.path, NOTHING_WRITTEN, do, to))
    told = _told(rule, visit.asked)
    for one in told["asked_by"]:
        one["page"] = _PAGES[one["command"]]
        one["start"] = rule.about if rule.about in KINDS else ""
    for param in told["parameters"]:
        for value in param["values"]:
            value["holds"] = is_in_force(value, visit.asked.on)
    return PageSheet("rule.html", f"Rule: {name.replace('_', ' ')}", told, lambda: told)


def _told(rule: Rule, asked: DayAsked) -> dict[str, Any]:
    return rule_json(rule, asked.on, asked.today)
