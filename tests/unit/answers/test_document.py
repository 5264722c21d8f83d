"""A document written in pieces reads back as the document, and its rows are made one at a time."""

from __future__ import annotations

import json
from collections.abc import Iterator

import pytest

from airwrit.answers.document import json_pieces, made


@pytest.mark.parametrize(
    "document",
    [
        {},
        [],
        None,
        "a\nb",
        {"a": [], "b": {}, "c": [{"d": 1}, {"d": [2]}], "e": ["f", "g"], "h": None},
        [{"a": "é"}, {"b": '"'}],
        {"a": ({"b": 1},)},
    ],
)
def test_what_is_written_reads_back(document: object) -> None:
    assert json.loads("".join(json_pieces(document))) == json.loads(json.dumps(document))


@pytest.mark.parametrize("many", [0, 1, 3])
def test_rows_still_to_be_made_are_written_like_those_that_are(many: int) -> None:
    def document() -> dict[str, object]:
        return {"name": "x", "rows": ({"number": number} for number in range(many))}

    assert json.loads("".join(json_pieces(document()))) == made(document())


def test_a_row_is_made_when_its_turn_comes() -> None:
    so_far: list[int] = []

    def rows() -> Iterator[dict[str, int]]:
        for number in range(5):
            so_far.append(number)
            yield {"number": number}

    pieces = json_pieces({"rows": rows()})
    written = ""
    while not written.endswith('{"number": 1}'):
        written += next(pieces)
    assert so_far == [0, 1]


def test_each_member_and_each_row_has_a_line() -> None:
    text = "".join(json_pieces({"a": 1, "b": [{"c": 2}, {"c": 3}]}))
    assert text == '{\n"a": 1,\n"b": [\n{"c": 2},\n{"c": 3}\n]\n}'
