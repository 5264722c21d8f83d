"""Facts as they are typed: names with and without their unit, weights, and what is said where one cannot be."""

from __future__ import annotations

import pytest

from airwrit.base.errors import BadFact
from airwrit.cli.shared.typed import grams_typed, key_typed, value_typed
from airwrit.facts.key import Raw
from airwrit.facts.keys.aircraft import SCALE_ERROR, TAKEOFF_WEIGHT
from airwrit.facts.keys.registration import REGISTRATION_KIND


@pytest.mark.parametrize("name", ["takeoff_weight_g", "takeoff_weight"])
def test_a_name_goes_with_or_without_its_unit(name: str) -> None:
    assert key_typed(name, "aircraft") is TAKEOFF_WEIGHT


@pytest.mark.parametrize(
    ("name", "kind", "said"),
    [
        ("ownr", "aircraft", "No fact is named 'ownr'. Did you mean owner?"),
        ("kind", "paper", "No fact is named 'kind'. Did you mean paper_kind?"),
        ("qqqq", "aircraft", "No fact is named 'qqqq'. `airwrit check-scenario --keys` lists every fact."),
        (
            "owner",
            "person",
            "The fact owner belongs to another kind of record: aircraft, not person. Name a record such as aircraft/NAME.",
        ),
    ],
)
def test_a_wrong_name_is_answered_with_the_facts_of_its_kind(name: str, kind: str, said: str) -> None:
    with pytest.raises(BadFact) as raised:
        key_typed(name, kind)
    assert str(raised.value) == said


def test_a_kind_with_few_facts_tells_them_all() -> None:
    with pytest.raises(
        BadFact,
        match=r"of this kind: event_of, event_kind, completed_on. `airwrit check-scenario --keys` lists every fact.",
    ):
        key_typed("qqqq", "training")


@pytest.mark.parametrize(
    ("text", "raw"),
    [("900", "900"), ("3 lb 2 oz", "1417.47615625"), ("0.9 kg", "900"), ("249g", "249"), ("", None)],
)
def test_a_weight_may_have_its_unit(text: str, raw: Raw) -> None:
    assert value_typed(TAKEOFF_WEIGHT, text) == raw


def test_a_weight_without_a_unit_is_taken_only_where_the_fact_names_it() -> None:
    with pytest.raises(BadFact, match=r"'12' has no unit\."):
        value_typed(TAKEOFF_WEIGHT, "12", names_unit=False)
    assert value_typed(TAKEOFF_WEIGHT, "12 lb", names_unit=False) == "5443.10844"
    assert value_typed(TAKEOFF_WEIGHT, "", names_unit=False) is None


def test_the_error_of_a_scale_may_be_written_with_its_sign() -> None:
    assert value_typed(SCALE_ERROR, "± 1 g") == "1"


@pytest.mark.parametrize("text", ["3 parsecs", "about 900 g", "lb"])
def test_what_is_no_weight_is_refused(text: str) -> None:
    with pytest.raises(BadFact, match=r"Write a plain number in g, or a weight with its unit."):
        value_typed(TAKEOFF_WEIGHT, text)


def test_what_is_no_weight_stays_as_it_was_typed() -> None:
    assert grams_typed(REGISTRATION_KIND, "3 lb") == "3 lb"
    assert grams_typed(None, "3 lb") == "3 lb"
