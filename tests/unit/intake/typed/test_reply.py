"""Typed answers: what they are taken for, and the one line a bad one gets."""

from __future__ import annotations

import pytest

from airwrit.base.errors import BadFact
from airwrit.facts.choices import OwnerKind
from airwrit.facts.key import Raw
from airwrit.facts.vocabulary import KEYS
from airwrit.intake.typed.reply import (
    Weighing,
    is_dont_know,
    read_choice,
    read_reply,
    read_several,
    read_share,
    read_weighing,
)


@pytest.mark.parametrize(
    ("text", "weighing"),
    [
        ("249 g", Weighing(("249",), None)),
        ("0.55 lb", Weighing(("249.4758035",), None)),
        ("249 g ± 1 g", Weighing(("249",), "1")),
        ("249 g +/- 0.5g", Weighing(("249",), "0.5")),
        ("230 g + 9 g + 15 g ± 1 g", Weighing(("230", "9", "15"), "1")),
        ("249 g plus or minus 0 g", Weighing(("249",), "0")),
    ],
)
def test_weights(text: str, weighing: Weighing) -> None:
    assert read_weighing(text) == weighing


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("249", "'249' has no unit. Write it with g, kg, oz or lb, like 249 g or 1 lb 3 oz."),
        ("249 g ± 1 g ± 2 g", "You entered the scale error twice. Enter it once, like 249 g ± 1 g."),
        (
            "+".join(["1 g"] * 21),
            "We can add up at most 20 weights. Add up the weights yourself, and enter the total.",
        ),
    ],
)
def test_bad_weights(text: str, line: str) -> None:
    with pytest.raises(BadFact) as bad:
        read_weighing(text)
    assert str(bad.value) == line


@pytest.mark.parametrize(
    "text", ["", "-3 g", "heavy", "250 stone", "about 249 g", "249 g +", "± 1 g", "0 g", "1e9"]
)
def test_what_is_no_weight(text: str) -> None:
    with pytest.raises(BadFact):
        read_weighing(text)


@pytest.mark.parametrize(
    ("text", "share"),
    [
        ("75 %", "0.75"),
        ("75%", "0.75"),
        ("3/4", "0.75"),
        ("3 of 4", "0.75"),
        ("three quarters", "0.75"),
        ("0.75", "0.75"),
        ("all", "1"),
        ("none", "0"),
        ("2/3", "0.6666666666666666666666666667"),
        ("1", "1"),
    ],
)
def test_shares(text: str, share: str) -> None:
    assert read_share(text) == share


@pytest.mark.parametrize("text", ["80", "4/3", "3/0", "-1", "most", "%", "120 %"])
def test_what_is_no_share(text: str) -> None:
    with pytest.raises(BadFact):
        read_share(text)


@pytest.mark.parametrize(
    ("key", "text", "raw"),
    [
        ("paid", "yes", True),
        ("paid", " N ", False),
        ("owner_kind", "3", "corporation"),
        ("owner_kind", "LLC", "corporation"),
        ("owner_kind", "Nonprofit", "corporation"),
        ("owner_kind", "club", "corporation"),
        ("owner_kind", "private school", "corporation"),
        ("owner_kind", "public school", "government"),
        ("owner_kind", "County", "government"),
        ("owner_kind", "fire department", "government"),
        ("owner_kind", "Government", "government"),
        ("citizenship", "green card", "permanent resident"),
        ("issued_on", "2026-03-04", "2026-03-04"),
        ("issued_on", "March 4, 2026", "2026-03-04"),
        ("completed_on", "2026-06-01T14:00-05:00", "2026-06-01T14:00:00-05:00"),
        ("citizen_votes_share", "80 %", "0.8"),
        ("scale_error_g", "0.5 g", "0.5"),
        ("registration", "FA00TEST01", "FA00TEST01"),
    ],
)
def test_replies(key: str, text: str, raw: Raw) -> None:
    assert read_reply(KEYS[key], text) == raw


@pytest.mark.parametrize(
    ("key", "text"),
    [
        ("paid", "perhaps"),
        ("owner_kind", "7"),
        ("owner_kind", "dog"),
        ("issued_on", "03/04/2026"),
        ("issued_on", "2026-02-30"),
        ("issued_on", "soon"),
        ("registration", "  "),
    ],
)
def test_bad_replies_get_one_line(key: str, text: str) -> None:
    with pytest.raises(BadFact) as bad:
        read_reply(KEYS[key], text)
    assert "\n" not in str(bad.value)
    assert bad.value.do
    assert "--dates" not in str(bad.value)


def test_a_school_alone_is_asked_about_and_never_guessed() -> None:
    with pytest.raises(
        BadFact, match="a public school is a government body, and a private school is a corporation"
    ):
        read_reply(KEYS["owner_kind"], "School")


@pytest.mark.parametrize(
    "text", ["?", "don't know", "Don\N{RIGHT SINGLE QUOTATION MARK}t know", "no idea", "NOT SURE", "unknown."]
)
def test_not_known(text: str) -> None:
    assert is_dont_know(text)


@pytest.mark.parametrize("text", ["yes", "no", "", "none", "know"])
def test_known(text: str) -> None:
    assert not is_dont_know(text)


@pytest.mark.parametrize(
    ("text", "places"),
    [("none", ()), ("no", ()), ("1", (1,)), ("1 3", (1, 3)), ("3, 1 and 3", (3, 1)), ("7", (7,))],
)
def test_several(text: str, places: tuple[int, ...]) -> None:
    assert read_several(text, 7) == places


@pytest.mark.parametrize("text", ["8", "0 1", "yes", "", "1-3", "one"])
def test_bad_several(text: str) -> None:
    with pytest.raises(BadFact):
        read_several(text, 7)


def test_a_choice_by_its_place_or_word() -> None:
    assert [read_choice(OwnerKind, str(n)) for n in range(1, len(OwnerKind) + 1)] == [
        kind.value for kind in OwnerKind
    ]
    assert read_choice(OwnerKind, "voting trust") == "voting trust"
