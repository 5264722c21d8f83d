"""Whose name should an organization's aircraft stand in: the ways side by side, with cost, filings and days grounded."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from datetime import date
from decimal import ROUND_CEILING, Decimal, InvalidOperation
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from airwrit.answers.document import SCOPE_OF_ANSWERS
from airwrit.base.errors import UsageError
from airwrit.law.aircraft.renewal import PART_47_TERM_YEARS
from airwrit.law.aircraft.weight import SMALL_LIMIT_LB
from airwrit.law.holder.owner import ONLY_OWNER, VOID_GROUNDS
from airwrit.law.parameters import FIRST_DAY, Law, LawReading, ValueSpan
from airwrit.law.shared_parameters import ADDRESS_DAYS, FEE_USD, FILING_DAYS, PART_47_FEE_USD, TERM_YEARS
from airwrit.law.wording import shown

PRACTICE_GROUNDED_DAYS = (14, 21)
"""Two to three weeks for the paper way: common practice, no source."""
_MOST_AIRCRAFT, _MOST_YEARS, _MOST_TURNOVER = 100_000, 100, 1_000


class Option(NamedTuple):
    """One way over the horizon: the fees, the certificates filed, the filings people's leaving causes, days grounded.

    `grounded_days` is the least and most for one aircraft at the start where practice tells it; None where no day is known.
    """

    name: str
    title: str
    law_says: str
    fits: str
    cites: str
    certificates: int
    fees_usd: Decimal
    fee_confidence: str
    filings: int
    at_leaving: str
    grounded: str
    grounded_days: tuple[int, int] | None
    practice: bool
    shut: str = ""
    """why the way is not available to the aircraft asked about; "" where it is, or where no aircraft was asked about"""


class WhoseName(NamedTuple):
    """The options compared, what they were reckoned for, and the law read."""

    aircraft: int
    turnover: Decimal
    years: int
    leavings: int
    options: tuple[Option, ...]
    law: tuple[LawReading, ...]


@cache
def _words() -> Mapping[str, Any]:
    return tomllib.loads(Path(__file__).with_name("whose_name.toml").read_text(encoding="utf-8"))


def whose_name(aircraft: int, turnover: Decimal, years: int, day: date) -> WhoseName:
    """The ways for a fleet of `aircraft` over `years`, when `turnover` times a year the one in charge leaves.

    Fees are those of the day. Leavings are rounded up: half a leaving is one. UsageError for numbers that cannot be.
    """
    _check(aircraft, turnover, years, day)
    law = Law(day)
    fee, term = law.span(FEE_USD), law[TERM_YEARS]
    paper_fee, paper_term = law.span(PART_47_FEE_USD), law[PART_47_TERM_YEARS]
    law.span(ONLY_OWNER)
    law.span(VOID_GROUNDS)
    days = {
        "days": law[FILING_DAYS],
        "address_days": law[ADDRESS_DAYS],
        "grounded_days": _range(),
        "small_limit_lb": shown(law[SMALL_LIMIT_LB]),
    }
    leavings = int((turnover * years).to_integral_value(ROUND_CEILING))
    terms, paper_terms = -(-years // term), -(-years // paper_term)
    anew = aircraft * leavings
    options = (
        _option("representative", aircraft * terms, fee, anew, (0, 0), days),
        _option("part_47", aircraft * paper_terms, paper_fee, 0, PRACTICE_GROUNDED_DAYS, days),
        _option("true_owner", aircraft * terms + anew, fee, anew, None, days),
        _option("program_lead", aircraft * terms + anew, fee, 2 * anew, None, days),
    )
    return WhoseName(aircraft, turnover, years, leavings, options, tuple(law.used))


def _option(
    name: str,
    certificates: int,
    fee: ValueSpan,
    filings: int,
    grounded_days: tuple[int, int] | None,
    days: Mapping[str, object],
) -> Option:
    table = _words()[name]
    return Option(
        name,
        table["name"],
        table["law_says"].format_map(days),
        table["fits"],
        table["cites"],
        certificates,
        fee.value * certificates,
        fee.confidence,
        filings,
        table["at_leaving"].format_map(days),
        table["grounded"].format_map(days),
        grounded_days,
        table["practice"],
    )


def obeying(found: WhoseName, shut: Mapping[str, str]) -> WhoseName:
    """The same ways for an aircraft to which some are not available; `shut` says why, by a way's name."""
    options = tuple(option._replace(shut=shut.get(option.name, "")) for option in found.options)
    return found._replace(options=options)


def how_often(text: str) -> Decimal:
    """How many times a year, as a number. UsageError for what is none."""
    try:
        return Decimal(text)
    except InvalidOperation as fault:
        raise UsageError(
            f"{text!r} isn't a number",
            where="--turnover",
            field="turnover",
            do="enter how many a year, such as 0.5",
        ) from fault


def _range() -> str:
    return f"{PRACTICE_GROUNDED_DAYS[0]} to {PRACTICE_GROUNDED_DAYS[1]}"


def _check(aircraft: int, turnover: Decimal, years: int, day: date) -> None:
    if day < FIRST_DAY:
        raise UsageError(
            f"{day} is too early. We check dates from {FIRST_DAY} on",
            where="--on",
            field="on",
            do="use a later date",
        )
    if not 1 <= aircraft <= _MOST_AIRCRAFT:
        raise UsageError(
            f"we can't use {aircraft} aircraft",
            where="--aircraft",
            field="aircraft",
            do=f"enter a number from 1 to {_MOST_AIRCRAFT}",
        )
    if not 1 <= years <= _MOST_YEARS:
        raise UsageError(
            f"we can't use {years} years",
            where="--years",
            field="years",
            do=f"enter a number from 1 to {_MOST_YEARS}",
        )
    if not turnover.is_finite() or not 0 <= turnover <= _MOST_TURNOVER:
        raise UsageError(
            f"we can't use {turnover} people a year",
            where="--turnover",
            field="turnover",
            do="enter how many a year, such as 0.5",
        )


def whose_name_json(found: WhoseName) -> dict[str, Any]:
    """The ways as a document."""
    spans = dict.fromkeys((reading.param.name, reading.span) for reading in found.law)
    return {
        "question": "whose_name",
        "scope": SCOPE_OF_ANSWERS,
        "aircraft": found.aircraft,
        "turnover_per_year": format(found.turnover, "f"),
        "years": found.years,
        "leavings": found.leavings,
        "ways": [
            {
                **option._asdict(),
                "fees_usd": format(option.fees_usd, "f"),
                "grounded_days": None if option.grounded_days is None else list(option.grounded_days),
                "source": _words()["words"]["practice"] if option.practice else option.cites,
            }
            for option in found.options
        ],
        "law": [
            {
                "parameter": name,
                "value": str(span.value),
                "cites": span.cites,
                "text_of": str(span.text_of),
                "had": span.had.value,
                "read_on": span.read_on.isoformat(),
                "confidence": span.confidence,
            }
            for name, span in spans
        ],
    }
