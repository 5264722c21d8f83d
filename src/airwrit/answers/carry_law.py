"""What the law of a day asks a pilot to have at hand and to do when something happens, in sentences with their sections."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any, NamedTuple

from airwrit.base.findings import Undecided
from airwrit.base.times import add_days
from airwrit.law.broadcast import LAND
from airwrit.law.incidents import FAA_DAMAGE, FAA_DAYS, FAA_INJURY, NTSB_DAYS, NTSB_LIST
from airwrit.law.papers_carried import AT_HAND, IDENTIFICATION, IN_POSSESSION
from airwrit.law.parameters import Law, Param, read_as
from airwrit.law.pilots import SAFETY_TEST_CONDITION


class Sentence(NamedTuple):
    """What is to be done, with its sections and where they were read; `known` is False where that law was not read."""

    title: str
    says: str
    cites: str
    read: str
    known: bool


Asked = Sentence


def asked_of_a_pilot(day: date) -> tuple[Asked, ...]:
    """What has to be at hand on a flight of that day, and for whom."""
    return (
        _said(day, "For work: remote pilot certificate", IN_POSSESSION, _certificate),
        _said(
            day,
            "For work: identification",
            IDENTIFICATION,
            lambda shows: f"with {', '.join(shows[:-1])} and {shows[-1]}",
        ),
        _said(
            day,
            "Registration of each aircraft",
            AT_HAND,
            lambda needed: (
                "at hand in the flight, on paper or as a file" if needed else "need not be at hand"
            ),
        ),
        _said(
            day,
            "For recreation: proof of the safety test",
            SAFETY_TEST_CONDITION,
            lambda needed: "at hand, to be shown when asked for" if needed else "not asked for on that day",
        ),
    )


def _certificate(in_possession: bool) -> str:
    if not in_possession:
        return "to be shown when the FAA asks"
    return (
        "the certificate itself, with the pilot and within reach; a picture of it is not the certificate. It is shown to the "
        "FAA, the NTSB, any federal, State or local law enforcement officer and the TSA when they ask"
    )


def if_something_happens(day: date) -> tuple[Sentence, ...]:
    """What to do when Remote ID fails in flight, and whom an accident is told to by when, for a flight of that day."""
    return (
        _said(
            day,
            "Remote ID fails in flight",
            LAND,
            lambda needed: "land as soon as practicable" if needed else "no section asks for a landing",
        ),
        _said(
            day,
            "Report to the FAA",
            FAA_DAYS,
            lambda days: (
                f"within {days} calendar days: for a flight of {day}, no later than {add_days(day, days)}"
            ),
        ),
        _said(day, "It is reported for an injury", FAA_INJURY, lambda injury: f"from this on: {injury}"),
        _said(
            day,
            "It is reported for damage",
            FAA_DAMAGE,
            lambda usd: (
                f"to other property than the aircraft, when repair or, on a total loss, its value is over {usd} USD"
            ),
        ),
        _said(
            day,
            "Tell the NTSB",
            NTSB_LIST,
            lambda at_once: (
                "at once of an accident or a serious incident that its rules list; whether a small aircraft is bound is "
                "read both ways, so ask"
                if at_once
                else "no section asks for it"
            ),
        ),
        _said(
            day,
            "Written report to the NTSB",
            NTSB_DAYS,
            lambda days: (
                f"within {days} days of an accident: for a flight of {day}, no later than {add_days(day, days)}"
            ),
        ),
    )


def _said(day: date, title: str, param: Param[Any], words: Callable[[Any], str]) -> Sentence:
    """The sentence that a parameter of the law of that day gives; that the law was not read, where it was not."""
    law = Law(day)
    try:
        span = law.span(param)
    except Undecided:
        return Sentence(title, "the law of that day was not read", "", "", known=False)
    return Sentence(title, words(span.value), span.cites, read_as(span), known=True)
