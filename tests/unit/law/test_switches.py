"""Every dated parameter holds from its first day to the day before its end, and not a day more."""

from __future__ import annotations

import importlib
import pkgutil
from datetime import date, timedelta
from typing import Any

import pytest

import airwrit.law
from airwrit.base.verdict import Undecided, Why
from airwrit.law.aircraft.penalties import PENALTIES
from airwrit.law.parameters import FIRST_DAY, Had, Law, Param, ValueSpan, last_read, span_of, tables

ONE_DAY = timedelta(days=1)


def params() -> list[Param[Any]]:
    """Every parameter that a module of the law has read, once, by name."""
    found: dict[str, Param[Any]] = {}
    for info in pkgutil.walk_packages(airwrit.law.__path__, "airwrit.law."):
        module = importlib.import_module(info.name)
        for value in vars(module).values():
            several = value if isinstance(value, tuple) else (value,)
            found.update({one.name: one for one in several if isinstance(one, Param)})
    return [found[name] for name in sorted(found)]


EVERY_PARAMETER = pytest.mark.parametrize("param", params(), ids=lambda param: param.name)


def value_on(param: Param[Any], day: date) -> Any:
    """The value in force, or LAW_NOT_READ."""
    try:
        return Law(day)[param]
    except Undecided as gap:
        return gap.why


@EVERY_PARAMETER
def test_it_holds_from_the_first_day_to_the_last(param: Param[Any]) -> None:
    for span in param.spans:
        _holds_from_the_first_day(param, span)
        _holds_to_the_last_day(param, span)


def _holds_from_the_first_day(param: Param[Any], span: ValueSpan) -> None:
    assert value_on(param, span.start) == span.value
    before = span_of(param, span.start - ONE_DAY)
    if before is None:
        assert value_on(param, span.start - ONE_DAY) is Why.LAW_NOT_READ
    else:
        assert before.until == span.start
        assert (before.value, before.cites, before.facts) != (span.value, span.cites, span.facts)


def _holds_to_the_last_day(param: Param[Any], span: ValueSpan) -> None:
    if span.until is None:
        assert value_on(param, date(2100, 1, 1)) == span.value
    else:
        assert value_on(param, span.until - ONE_DAY) == span.value
        assert span_of(param, span.until) is not span


def test_spans_follow_without_a_hole() -> None:
    """But where an amount was not read from the day of its next adjustment on: there a hole says unknown."""
    for param in params():
        for earlier, later in zip(param.spans, param.spans[1:], strict=False):
            assert earlier.until == later.start or param in PENALTIES, param.name


def test_what_a_reading_rests_on_is_told() -> None:
    for param in params():
        assert param.title
        for span in param.spans:
            assert span.cites, param.name
            assert span.source, param.name
            assert (span.had is Had.MEMORY) == span.source.startswith("from memory"), param.name
            assert span.facts, param.name
            assert date(2026, 11, 24) <= span.read_on <= last_read(), param.name


def test_every_table_is_read_by_the_law() -> None:
    assert {param.name for param in params()} == set(tables())


def test_the_first_day_answered_lies_in_the_law_read() -> None:
    late = {param.name for param in params() if span_of(param, FIRST_DAY) is None}
    assert all(param.spans[0].start <= FIRST_DAY for param in params() if param.name not in late)
    assert "exempt_weight_lb" not in late
    assert "registration_term_years" not in late
