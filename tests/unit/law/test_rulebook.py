"""Every rule that a module of the law holds stands in the rulebook once, with all that answers know of it."""

from __future__ import annotations

import importlib
import pkgutil
from collections import Counter

import airwrit.law
from airwrit.facts.keys.document import DocumentShows
from airwrit.facts.vocabulary import TABLES
from airwrit.law.rule import Bears, Rule, Topic
from airwrit.law.rulebook import ASKED, BY_NAME, RULES
from tests.unit.law.words import texts


def rules_of_modules() -> dict[str, Rule]:
    """Every rule that is a value of a module of the law, by `module.NAME`."""
    found = {}
    for info in pkgutil.walk_packages(airwrit.law.__path__, "airwrit.law."):
        module = importlib.import_module(info.name)
        for name, value in vars(module).items():
            if isinstance(value, Rule):
                found[f"{info.name}.{name}"] = value
    return found


def test_every_rule_of_a_module_is_in_the_rulebook() -> None:
    assert {rule.name for rule in rules_of_modules().values()} == set(BY_NAME)
    assert all(rule is BY_NAME[rule.name] for rule in rules_of_modules().values())


def test_a_rule_bears_the_name_of_its_function_and_of_its_value() -> None:
    for place, rule in rules_of_modules().items():
        assert place.rpartition(".")[2] == f"{rule.name.upper()}_RULE"
        assert getattr(rule.judge, "__name__", "") == rule.name


def test_no_rule_stands_twice() -> None:
    assert max(Counter(rule.name for rule in RULES).values()) == 1


def test_what_a_card_says_can_be_so() -> None:
    for rule in RULES:
        assert rule.about in TABLES.values(), rule.name
        assert rule.name in texts(), rule.name
        assert not rule.document, rule.name
        assert rule.lapse == "lapsed" or rule.lapse in texts()[rule.name], rule.name
        if rule.topic is not Topic.NONE:
            assert rule.bears in (Bears.FLIGHT, Bears.NIGHT), rule.name


def test_of_each_kind_every_rule_is_asked_that_is_no_mere_answer() -> None:
    assert set(ASKED) == {"aircraft", "registration", "owner", "person", "battery", "paper", "flight"}
    for kind, rules in ASKED.items():
        assert {rule.name for rule in rules} == {
            rule.name
            for rule in RULES
            if rule.about == kind and rule.bears in (Bears.FLIGHT, Bears.NIGHT, Bears.PAPERS)
        }


def test_every_topic_and_every_document_has_a_rule() -> None:
    assert {rule.topic for rule in RULES} == set(Topic)
    shown = {shows for rule in RULES for shows in rule.shown_by}
    assert set(DocumentShows) - shown == {DocumentShows.OTHER}
