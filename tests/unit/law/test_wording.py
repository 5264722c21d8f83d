"""What words are made of: the fact that is missing, and the looks where silence was read as "nothing on file"."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from airwrit.base.errors import BadLawFile
from airwrit.base.verdict import Why
from airwrit.facts.choices import UsedFor
from airwrit.facts.key import Key, Raw
from airwrit.facts.keys.aircraft import SOLD_ON, TAKEOFF_WEIGHT
from airwrit.facts.keys.service import DOES_NOT_MATTER, NOT_UNDERSTOOD
from airwrit.facts.state import Held, State
from airwrit.facts.statement import EntryPlace, ForModel
from airwrit.law.parameters import tables
from airwrit.law.rule import Bears, Finding, Rule, judge, met
from airwrit.law.wording import (
    Teller,
    confidence,
    confirmed_by_model,
    held_up,
    missing_fact,
    provenance,
    quoted,
    read_between,
    shown,
    silences,
    worded,
)
from tests.unit.law.case import KNOWN_AT, TODAY, Case, aircraft, case, certificate, flight, judged, registered

LEGIBLE, PLACE = "mark_legible", "mark_place"
HEAVY = {"takeoff_weight_g": "900", "scale_error_g": "0", "used_for": "work"}


def mark(verdict: str, code: str, why: str = "", **facts: bool | str) -> Case:
    """Whether an aircraft is marked."""
    return case("marked_outside", verdict, code, TODAY, aircraft("A", **HEAVY, **facts), why=why)


def test_a_silence_is_a_look_at_what_nobody_said() -> None:
    finding, state = judged(mark("met", "outside", mark_place="outside"))
    assert LEGIBLE in [one.key.name for one in silences(finding, state)]
    finding, state = judged(mark("met", "outside", mark_place="outside", mark_legible=True))
    assert LEGIBLE not in [one.key.name for one in silences(finding, state)]
    assert PLACE not in [one.key.name for one in silences(finding, state)]


def test_what_is_missing_is_the_fact_that_left_it_open() -> None:
    finding, state = judged(mark("unknown", PLACE, "missing"))
    found = missing_fact(finding, state)
    assert found is not None
    assert (found.subject, found.key.name) == ("aircraft/A", PLACE)
    finding, state = judged(mark("not_met", "not_marked", mark_place="not marked"))
    assert missing_fact(finding, state) is None


VALUES: dict[object, str] = {
    None: "?",
    True: "yes",
    False: "no",
    date(2026, 1, 2): "2026-01-02",
    datetime(2026, 1, 2, 3, 4, 5, tzinfo=UTC): "2026-01-02T03:04+00:00",
    "a": "a",
    # A subject is shown by its name; another text with a slash is no subject.
    "aircraft/A": "A",
    "owner/O/2": "O/2",
    "aircraft": "aircraft",
    "VFR/IFR": "VFR/IFR",
}


def test_values_are_shown_as_they_are_read() -> None:
    assert {value: shown(value) for value in VALUES} == VALUES


def test_what_a_finding_was_read_from_is_told_where_law_was_read() -> None:
    finding, _ = judged(mark("met", "outside", mark_place="outside"))
    assert provenance(finding)
    assert provenance(finding._replace(law=())) == ""


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (Decimal("0.0625"), "0.0625"),
        (Decimal("0.06254"), "0.0625"),
        (Decimal("0.06256"), "0.0626"),
        (Decimal("1.50"), "1.5"),
        (Decimal(100), "100"),
        (Decimal("1E+2"), "100"),
        (Fraction(2, 3), "2/3"),
        (("a", "b"), "a, b"),
    ],
)
def test_numbers_are_shown_to_four_decimals_without_zeros(value: object, text: str) -> None:
    assert shown(value) == text


def test_many_are_worded_as_one_by_one() -> None:
    """A teller of many findings fills once what hangs on no fact, and says the same of each, its own facts included."""
    lines = [
        mark("met", "outside", mark_place="outside"),
        mark("not_met", "not_marked", mark_place="not marked"),
    ]
    for line in lines:
        finding, state = judged(line)
        teller = Teller(state)
        words = teller.worded(finding)
        assert words == worded(finding, state)
        assert teller.worded(finding) is words


@pytest.mark.parametrize("grams", ["248", "400"])
def test_a_teller_keeps_no_words_that_hold_a_fact(grams: str) -> None:
    """Two aircraft of one state that weigh otherwise are told each by its own weight."""
    finding, state = judged(
        case(
            "weight_exemption",
            "met",
            "light",
            TODAY,
            aircraft("A", takeoff_weight_g=grams, scale_error_g="0", used_for="recreation"),
            aircraft("B", takeoff_weight_g="240", scale_error_g="0", used_for="recreation"),
        )
    )
    other = judge(finding.rule, state, "aircraft/B", UsedFor.RECREATION, date(2026, 11, 24))
    teller = Teller(state)
    assert [teller.worded(one) for one in (finding, other)] == [
        worded(one, state) for one in (finding, other)
    ]


def test_a_weighing_in_doubt_is_not_a_day_in_doubt() -> None:
    finding, state = judged(
        case(
            "weight_exemption",
            "unknown",
            "within_doubt",
            TODAY,
            aircraft("A", takeoff_weight_g="249", scale_error_g="5", used_for="recreation"),
        )
    )
    assert finding.outcome.why is Why.WITHIN_DOUBT
    assert "scale" in worded(finding, state).says


# ---- many findings of one state ------------------------------------------------------------------------------------------


def of_two(finding: Finding, state: State) -> tuple[Finding, Finding]:
    """The finding about A, and that of the same rule about B."""
    return finding, judge(finding.rule, state, "aircraft/B", UsedFor.WORK, date(2026, 11, 24))


@pytest.mark.parametrize(
    "line",
    [
        # the number read off it
        case(
            "mark_shows_number",
            "not_met",
            "other_number",
            TODAY,
            registered("A", "FA00TEST01", mark_text="FA00TEST08", **HEAVY),
            registered("B", "FA00TEST01", mark_text="FA00TEST09", **HEAVY),
        ),
        # two entries that disagree, and dates that cannot both be so: told apart though both are contradictions
        case(
            "registration_in_term",
            "unknown",
            "issued_on",
            TODAY,
            registered("A", "FA00TEST01", **HEAVY),
            registered("B", "FA00TEST02", **HEAVY),
            certificate("FA00TEST01", issued_on="2024-05-10", renewed_on="2024-05-20"),
            certificate("FA00TEST01", issued_on="2024-05-11"),
            certificate("FA00TEST02", issued_on="2024-05-10", renewed_on="2024-05-09"),
        ),
    ],
    ids=lambda line: line.rule,
)
def test_two_findings_alike_are_each_told_by_their_own_facts(line: Case) -> None:
    first, state = judged(line)
    both = of_two(first, state)
    assert both[0].outcome == both[1].outcome
    teller = Teller(state)
    words = [teller.worded(one) for one in both]
    assert words == [worded(one, state) for one in both]
    assert words[0] != words[1]


def test_two_cells_that_say_the_same_are_each_told_by_their_place() -> None:
    finding, state = judged(
        case(
            "aircraft_understood",
            "unknown",
            "open",
            TODAY,
            aircraft("A", not_understood="red?"),
            aircraft("B", not_understood="red?"),
        )
    )
    placed = {
        subject: {key: one._replace(origins=(f"cell of {subject}",)) for key, one in facts.items()}
        for subject, facts in state.held.items()
    }
    state = State(state.on, KNOWN_AT, placed)
    teller = Teller(state)
    for one, place in zip(of_two(finding, state), ("aircraft/A", "aircraft/B"), strict=True):
        assert f'"red?" (cell of {place})' in teller.worded(one).says


@pytest.mark.parametrize(("brace", "filled_with"), [("meaning", "weight"), ("question", "?")])
def test_a_gap_of_the_law_has_a_meaning_and_no_question(brace: str, filled_with: str) -> None:
    """What is missing is a value of the law: its title is its meaning, and there is nothing to ask."""
    finding, state = judged(mark("met", "outside", mark_place="outside"))
    says = {"says": f"<{{{brace}}}>", "do": ""}
    rule = replace(finding.rule, texts={"exempt_weight_lb": says, "takeoff_weight_g": says})
    of_law = finding._replace(rule=rule, outcome=met("exempt_weight_lb"))
    title = {"meaning": str(tables()["exempt_weight_lb"]["title"]), "question": ""}[brace]
    assert worded(of_law, state).says == f"<{title}>."
    assert filled_with in worded(finding._replace(rule=rule, outcome=met("takeoff_weight_g")), state).says


# ---- what the braces are filled with -------------------------------------------------------------------------------------


def filled(says: str, held: Held | None, key: Key[Any], on: date = date(2026, 11, 24)) -> str:
    """What a rule of that text that looks at one fact says of an aircraft of which that is held."""
    rule = Rule(
        "invented", "aircraft", Bears.FLIGHT, lambda facts, _: met(str(facts[key])), texts=AnyCode(says)
    )
    facts = {} if held is None else {key: held}
    state = State(on, KNOWN_AT, {"aircraft/A": facts})
    return worded(judge(rule, state, "aircraft/A", UsedFor.WORK, on), state).says


class AnyCode(dict[str, dict[str, str]]):
    """Texts of a rule that say the same whatever the code of a finding that is met; a gap has the shared words."""

    def __init__(self, says: str) -> None:
        """The text."""
        super().__init__()
        self._says = says

    def __contains__(self, code: object) -> bool:
        return code not in (TAKEOFF_WEIGHT.name, SOLD_ON.name)

    def __getitem__(self, code: str) -> dict[str, str]:
        return {"says": self._says, "do": ""}


@pytest.mark.parametrize("on", [date(2021, 4, 20), date(2021, 4, 21), date(2026, 11, 24)])
def test_a_number_that_no_finding_looked_at_is_that_of_the_day_or_else_the_last(on: date) -> None:
    """Lights that show for three statute miles: 14 CFR 107.29(a)(2), in force on 2021-04-21 (86 FR 4314)."""
    assert filled("Lights for {night_lights_sm} miles", Held(Decimal(1)), TAKEOFF_WEIGHT, on) == (
        "Lights for 3 miles."
    )


@pytest.mark.parametrize(
    ("key", "held", "begins"),
    [
        (TAKEOFF_WEIGHT, Held(Decimal(249), Why.WITHIN_DOUBT), "This is too close to a limit to tell"),
        (SOLD_ON, Held(date(2026, 1, 2), Why.WITHIN_DOUBT), "This changed that day"),
        (TAKEOFF_WEIGHT, Held(Decimal(249), Why.CONFLICT), "Two entries disagree"),
    ],
)
def test_a_gap_is_told_by_its_reason_and_a_number_in_doubt_as_a_number(
    key: Key[Any], held: Held, begins: str
) -> None:
    assert filled("", held, key).startswith(begins)


# ---- texts that nobody understood -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("held", "free", "found"),
    [
        (None, None, ()),
        (Held(("a", "b"), Why.DAMAGED, ("p",)), None, ()),
        # each text at its own place; all at the one place where there is one for all
        (Held(("a", "b"), None, ("p", "q")), None, (("a", "p"), ("b", "q"))),
        (Held(("a", "b"), None, ("p",)), None, (("a", "p"), ("b", "p"))),
        (Held(("a", "b", "c"), None, ("p", "q")), None, (("a", "p"), ("b", "p"), ("c", "p"))),
        (Held(("a", "b"), None, ("p", "q")), Held(("a",)), (("b", "q"),)),
        (Held(("a", "b"), None, ("p", "q")), Held(("a",), Why.CONFLICT), (("a", "p"), ("b", "q"))),
    ],
)
def test_what_holds_an_aircraft_up(
    held: Held | None, free: Held | None, found: tuple[tuple[str, str], ...]
) -> None:
    facts = {key: one for key, one in ((NOT_UNDERSTOOD, held), (DOES_NOT_MATTER, free)) if one is not None}
    state = State(date(2026, 11, 24), KNOWN_AT, {"aircraft/A": facts})
    assert held_up(state, "aircraft/A") == found


def test_no_text_holds_up_what_has_no_column_for_it() -> None:
    assert held_up(State(date(2026, 11, 24), KNOWN_AT, {"flight/F": {}}), "flight/F") == ()


@pytest.mark.parametrize(
    ("place", "words"),
    [("fleet.csv, row 2", '"red?" (fleet.csv, row 2)'), ("", '"red?"'), (EntryPlace(3), '"red?"')],
)
def test_a_text_is_quoted_with_its_cell(place: str, words: str) -> None:
    assert quoted("red?", place) == words


# ---- what a finding rests on -----------------------------------------------------------------------------------------------


def test_what_was_confirmed_for_a_model_is_told_once_and_what_was_typed_is_not() -> None:
    finding, state = judged(mark("met", "outside", mark_place="outside"))
    of_model = ForModel("confirmed for model Korrin Swift 2 by Dana on 2026-01-02")
    held = {key: one._replace(origins=(of_model,)) for key, one in state.held["aircraft/A"].items()}
    assert confirmed_by_model(finding, State(state.on, KNOWN_AT, {"aircraft/A": held})) == (of_model,)
    assert confirmed_by_model(finding, state) == ()


def test_the_days_on_which_texts_were_read_lie_between_the_first_and_the_last() -> None:
    finding, _ = judged(mark("met", "outside", mark_place="outside"))
    days = [one.span.read_on for one in finding.law]
    assert read_between([finding, finding._replace(law=())]) == (min(days), max(days))
    assert read_between([finding._replace(law=())]) is None


@pytest.mark.parametrize(
    ("rule", "facts"),
    [
        ("open_air_assembly_remote_id", {"over_assembly": "sustained"}),
        ("cloud_distance", {}),
        ("from_moving_vehicle", {"flown_from": "a moving vehicle or boat"}),
        ("visual_observer", {"observer_used": True}),
    ],
)
def test_a_fact_that_is_missing_is_asked_for_though_a_conclusion_has_its_name(
    rule: str, facts: dict[str, bool | str]
) -> None:

    one = case(rule, "unknown", "x", TODAY, flight(**facts), why="missing")
    finding, state = judged(one)
    assert finding.outcome.why is Why.MISSING
    missing = missing_fact(finding, state)
    assert missing is not None
    assert worded(finding, state).do == missing.key.question


@pytest.mark.parametrize(
    ("readings", "weakest"),
    [
        (("high",), "high"),
        (("high", "medium"), "medium"),
        (("low", "high"), "low"),
        (("medium", "low"), "low"),
        ((), None),
    ],
)
def test_a_finding_is_as_sure_as_its_weakest_reading(readings: tuple[str, ...], weakest: str | None) -> None:
    finding, _ = judged(mark("met", "outside", mark_place="outside"))
    first = finding.law[0]
    law = tuple(first._replace(span=replace(first.span, confidence=word)) for word in readings)
    assert confidence(finding._replace(law=law)) == weakest


def test_a_code_without_words_is_refused() -> None:
    finding, state = judged(mark("met", "outside", mark_place="outside"))
    with pytest.raises(BadLawFile, match="No words for nowhere of marked_outside"):
        worded(finding._replace(outcome=met("nowhere")), state)


def test_a_conclusion_that_bears_the_name_of_a_fact_is_not_the_fact_that_is_missing() -> None:
    boat: dict[str, Raw] = {"flown_from": "a moving vehicle or boat", "sparsely_populated": True}
    rule = "from_moving_vehicle"
    missing, state = judged(case(rule, "unknown", "for_hire", TODAY, flight(**boat), why="missing"))
    found, paid = judged(case(rule, "not_met", "for_hire", TODAY, flight(**boat, for_hire=True)))
    asks, concludes = worded(missing, state), worded(found, paid)
    assert asks != concludes
    # with a value it is the rule's own conclusion, though it is open
    with_value = missing._replace(outcome=missing.outcome._replace(value=Decimal(1)))
    assert worded(with_value, state) == concludes
