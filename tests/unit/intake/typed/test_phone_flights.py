"""Hand-overs of a carry pack: what is right is read, what is wrong is named by its place, any bytes give a typed answer."""

from __future__ import annotations

import io
import json
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest
import segno
from hypothesis import given
from hypothesis import strategies as st

from airwrit.base.days import parse_when
from airwrit.base.errors import UnreadableFile
from airwrit.intake.typed.phone_flights import (
    FORM,
    MOST_BYTES,
    MOST_FLIGHTS,
    HandedOver,
    handed_over_of,
    is_handed_over,
    read_handed_over,
)

FLIGHT: dict[str, Any] = {"aircraft": "H-03", "landed": "2026-11-25T10:20-05:00", "minutes": 14}


def document(*flights: Any, **more: Any) -> dict[str, Any]:
    """A hand-over."""
    return {"form": FORM, "pack": "ab12", "pilot": "Ivo Brask", "flights": list(flights), **more}


def read(value: object) -> HandedOver:
    """What the reader makes of a JSON value."""
    return handed_over_of(json.dumps(value).encode(), "f.json")


def test_a_hand_over_gives_its_flights() -> None:
    handed = read(
        document(FLIGHT, {**FLIGHT, "pilot": "Nela Quist", "packs": ["P1"], "defect": "<b>crack</b>"})
    )
    assert handed.problems == ()
    assert [one.where for one in handed.flights] == ["f.json flight 1", "f.json flight 2"]
    first, second = (one.flown for one in handed.flights)
    assert (first.pilot, first.landed) == ("Ivo Brask", parse_when("2026-11-25T10:20-05:00"))
    assert (second.pilot, second.packs, second.defect) == ("Nela Quist", ("P1",), "<b>crack</b>")
    assert handed.packs == ("ab12",)


def test_what_is_wrong_is_named_and_the_rest_is_read() -> None:
    handed = read(document({**FLIGHT, "minutes": -1, "landed": "noon"}, 7, FLIGHT, {**FLIGHT, "extra": 1}))
    assert len(handed.flights) == 1
    assert [problem.where for problem in handed.problems] == [
        "f.json flight 1 landed",
        "f.json flight 1 minutes",
        "f.json flight 2",
        "f.json flight 4",
    ]
    assert all(problem.unread and problem.do for problem in handed.problems)


@pytest.mark.parametrize(
    ("value", "says"),
    [
        ([], "This isn't a file of flights from pilot papers"),
        ({}, "This isn't a file of flights from pilot papers"),
        ({"form": "other 1"}, "This isn't a file of flights from pilot papers"),
        ({"form": 1}, "This isn't a file of flights from pilot papers"),
        (
            {**document(), "form": "airwrit flights 2"},
            "The pack has format 2, and this version reads format 1.",
        ),
        (document(flights=None), "It has no list of flights."),
        (document(flights={}), "It has no list of flights."),
        (document(more=1), "'more' is nothing the form has"),
        (document(pack=7), "The name of its pack isn't a short text."),
        (document(*[1] * (MOST_FLIGHTS + 1)), "It has 2,001 flights, and we take up to 2,000"),
    ],
)
def test_a_broken_frame_is_refused(value: Any, says: str) -> None:
    with pytest.raises(UnreadableFile, match=says) as fault:
        read(value)
    assert fault.value.where == "f.json"
    assert fault.value.do


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", r"complete JSON \(E"),
        (b"\xff\xfe", "file isn't UTF-8"),
        (b'{"form": "airwrit flights 1", "form": "airwrit flights 1"}', "a field stands twice"),
        (b'{"form": "airwrit flights 1", "flights": [{"minutes": NaN}]}', "NaN is no number"),
        (b'{"form": "airwrit flights 1", "flights": [' + b"9" * 5000 + b"]}", r"complete JSON \(E"),
        (b"[" * 100_000, "far more than flights"),
        (b" " * (MOST_BYTES + 1), "larger than"),
    ],
)
def test_bytes_that_are_none_are_refused(data: bytes, says: str) -> None:
    with pytest.raises(UnreadableFile, match=says):
        handed_over_of(data, "f.json")


def test_a_photo_of_codes_is_read_like_a_file(tmp_path: Path) -> None:
    photo = tmp_path / "code.png"
    segno.make(json.dumps(document(FLIGHT)), micro=False).save(str(photo), scale=6)
    assert is_handed_over(photo)
    handed = read_handed_over(photo)
    assert [one.flown for one in handed.flights] == [one.flown for one in read(document(FLIGHT)).flights]
    assert handed.data == photo.read_bytes()


def test_a_photo_without_our_codes_is_refused(tmp_path: Path) -> None:
    drawn = io.BytesIO()
    segno.make("FA00TEST01", micro=False).save(drawn, kind="png", scale=6)
    photo = tmp_path / "label.png"
    photo.write_bytes(drawn.getvalue())
    with pytest.raises(UnreadableFile, match="No QR code of flights"):
        read_handed_over(photo)


@pytest.mark.parametrize(
    ("name", "is_one"),
    [("a.json", True), ("a.TXT", True), ("a.jpg", True), ("a.xlsx", False), ("a.csv", False)],
)
def test_a_hand_over_is_told_by_its_name(name: str, is_one: bool) -> None:
    assert is_handed_over(Path(name)) is is_one


def answered(data: bytes) -> None:
    """Fails unless the bytes give a value or an UnreadableFile."""
    with suppress(UnreadableFile):
        assert isinstance(handed_over_of(data, "f.json"), HandedOver)


@given(st.binary(max_size=300))
def test_any_bytes_give_a_value_or_a_typed_error(data: bytes) -> None:
    answered(data)


ANYTHING = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=6,
)
NAMES = st.sampled_from(
    ["aircraft", "pilot", "landed", "minutes", "landings", "packs", "defect", "use", "nth", "x"]
)


@given(st.lists(ANYTHING | st.dictionaries(NAMES, ANYTHING, max_size=6), max_size=4), ANYTHING)
def test_any_flights_give_a_value_or_a_typed_error(flights: list[Any], pilot: Any) -> None:
    answered(json.dumps(document(*flights, pilot=pilot)).encode())


@given(st.integers(0, 140), st.binary(min_size=1, max_size=3))
def test_a_damaged_hand_over_gives_a_value_or_a_typed_error(place: int, bad: bytes) -> None:
    good = json.dumps(document(FLIGHT)).encode()
    answered(good[:place] + bad + good[place + len(bad) :])
