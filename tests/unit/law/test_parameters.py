"""Parameter files that break their form are refused, by name and fault."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from airwrit.base.errors import BadLawFile
from airwrit.base.verdict import Undecided, Why
from airwrit.law import parameters
from airwrit.law.parameters import FIRST_DAY, Law, Param, kind_held, parameter, span_of


def made_of(name: str, kind: type[Any], table: Mapping[str, Any]) -> Param[Any]:
    """A parameter of a table, read at once."""
    content = parameters._content(name, kind, table)
    return Param(name, kind, lambda: content)


def entry(value: Any = True, start: date = date(2020, 1, 1), **other: Any) -> dict[str, Any]:
    """A value's table that keeps the form."""
    return {
        "value": value,
        "from": start,
        "cites": "14 CFR 1",
        "source": "invented",
        "url": "https://example.org",
        "text_of": date(2020, 1, 1),
        "had": "primary text",
        "read_on": date(2026, 11, 24),
        "confidence": "high",
        "facts": ["one"],
        **other,
    }


def table(*entries: Mapping[str, Any], **other: Any) -> dict[str, Any]:
    """A parameter's table that keeps the form."""
    return {"title": "what", "unit": "", "values": list(entries), **other}


def test_a_parameter_that_stands_in_two_files_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "a.toml").write_text('[one]\ntitle = "a"\n[two]\ntitle = "b"\n', encoding="utf-8")
    monkeypatch.setattr(parameters, "FOLDER", tmp_path)
    ways: list[Callable[[], Mapping[str, Any]]] = [
        parameters.tables.__wrapped__,
        parameters._texts.__wrapped__,
    ]
    assert [list(read()) for read in ways] == [["one", "two"]] * 2
    (tmp_path / "b.toml").write_text('[two]\ntitle = "c"\n', encoding="utf-8")
    for read, says in zip(ways, ("Two stands in two files", "Two stands in two places"), strict=True):
        with pytest.raises(BadLawFile, match=says):
            read()


def test_a_reading_is_open_only_where_the_file_says_so() -> None:
    assert not made_of("p", bool, table(entry())).spans[0].open_edge
    assert made_of("p", bool, table({**entry(), "open_edge": True})).spans[0].open_edge


def test_questions_are_answered_from_the_first_day_of_2016_on() -> None:
    assert date(2016, 1, 1) == FIRST_DAY


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("registration_term_years", int),
        ("exempt_weight_lb", str),  # a decimal is a text in the file
        ("part_48_open_to_work", bool),
        ("early_recreational_expiry", date),
        ("identification_shows", tuple),
    ],
)
def test_the_kind_in_which_the_file_holds_a_value(name: str, kind: type[Any]) -> None:
    assert kind_held(name) is kind


@pytest.mark.parametrize(
    ("bad", "fault"),
    [
        (table(entry(), colour="red"), "p: Unknown field colour."),
        (table(entry(colour="red")), "p: Unknown field colour."),
        (table(), "p: No values."),
        (table(entry(), entry(start=date(2021, 1, 1))), "p: Spans overlap at 2021-01-01."),
        (
            table(entry(until=date(2021, 1, 2)), entry(start=date(2021, 1, 1))),
            "p: Spans overlap at 2021-01-01.",
        ),
        (
            table(entry(start=date(2021, 1, 1), until=date(2022, 1, 1)), entry(start=date(2020, 1, 1))),
            "p: Spans overlap at 2020-01-01.",
        ),
        (
            table(entry(until=date(2020, 1, 1))),
            "p: A span ends on 2020-01-01, not after it starts on 2020-01-01.",
        ),
        (table(entry(confidence="sure")), "p: Confidence is one of high, medium, low."),
        (table(entry("yes")), "p: 'yes' is no bool."),
        (table(entry(1)), "p: 1 is no bool."),
    ],
)
def test_a_bad_table_is_refused(bad: dict[str, Any], fault: str) -> None:
    with pytest.raises(BadLawFile) as raised:
        made_of("p", bool, bad)
    assert str(raised.value) == fault


@pytest.mark.parametrize(
    ("kind", "raw", "value"),
    [
        (bool, False, False),
        (int, 14, 14),
        (str, "49 USC", "49 USC"),
        (date, date(2020, 1, 1), date(2020, 1, 1)),
        (Decimal, "0.55", Decimal("0.55")),
        (Fraction, "2/3", Fraction(2, 3)),
        (tuple, ["a", "b"], ("a", "b")),
    ],
)
def test_values_of_every_kind(kind: type[Any], raw: Any, value: Any) -> None:
    param = made_of("p", kind, table(entry(raw)))
    assert param.spans[0].value == value
    assert type(param.spans[0].value) is kind


@pytest.mark.parametrize(
    ("kind", "raw"), [(int, True), (int, "14"), (Decimal, 1.5), (Fraction, 1), (tuple, "a")]
)
def test_a_value_of_another_kind_is_refused(kind: type[Any], raw: Any) -> None:
    with pytest.raises(BadLawFile):
        made_of("p", kind, table(entry(raw)))


def test_a_parameter_that_no_file_holds_is_refused() -> None:
    with pytest.raises(BadLawFile, match=r"No parameter is called nothing_like_it."):
        parameter("nothing_like_it", bool)


def test_the_law_notes_what_is_read_of_any_day() -> None:
    param = made_of("p", int, table(entry(1, until=date(2021, 1, 1)), entry(2, date(2021, 1, 1))))
    law = Law(date(2021, 6, 1))
    assert law[param] == 2
    assert law.then(date(2020, 6, 1))[param] == 1
    assert [reading.span.value for reading in law.used] == [2, 1]


def test_a_day_outside_all_spans_is_not_read() -> None:
    param = made_of("p", int, table(entry(1, until=date(2021, 1, 1))))
    assert span_of(param, date(2021, 1, 1)) is None
    with pytest.raises(Undecided) as gap:
        Law(date(2019, 12, 31))[param]
    assert (gap.value.why, gap.value.about) == (Why.LAW_NOT_READ, "p")
