"""What is due, short enough for a letter: notices after incidents, what is overdue, what comes, and who does it."""

from __future__ import annotations

from datetime import date
from typing import NamedTuple

from airwrit.answers.document import ON_PAPERS, Json
from airwrit.answers.due.deadlines import Deadlines, weeks_of
from airwrit.answers.incident.clocks import OwedNotice, owed_json
from airwrit.answers.law_reading import reading_json
from airwrit.answers.standing.today import Expiry, expiry_json
from airwrit.base.days import day_of
from airwrit.base.sentences import counted
from airwrit.facts.vocabulary import folded


class ReminderLetter(NamedTuple):
    """A letter as of a day: of everything, or of what one person does; what has no name is in nobody's own letter."""

    on: date
    days: int
    who: str
    notices: tuple[OwedNotice, ...]
    overdue: tuple[Expiry, ...]
    coming: tuple[Expiry, ...]
    undated: int

    @property
    def in_short(self) -> str:
        """The whole in a sentence or two."""
        told = [
            counted(len(self.notices), "notice") + " after an incident" if self.notices else "",
            f"{len(self.overdue)} overdue" if self.overdue else "",
            f"{len(self.coming)} in the next {counted(self.days, 'day')}" if self.coming else "",
        ]
        found = [one for one in told if one]
        whose = f" for {self.who}" if self.who else ""
        return (
            f"Due{whose}: {', '.join(found)}."
            if found
            else f"Nothing is due{whose} in {counted(self.days, 'day')}."
        )


def letter_of(deadlines: Deadlines, days: int, who: str = "") -> ReminderLetter:
    """The letter of the deadlines of so many days, of one person's alone where one is named."""
    weeks = weeks_of(deadlines.report, deadlines.items, days)
    lines = [(line, week.monday is None) for week in weeks for line in week.lines if _is_of(who, line.who)]
    return ReminderLetter(
        day_of(deadlines.report.on),
        days,
        who,
        tuple(one for one in deadlines.notices if _is_of(who, (one.who,))),
        tuple(line for line, late in lines if late),
        tuple(line for line, late in lines if not late),
        0 if who else len(deadlines.undated),
    )


def _is_of(who: str, names: tuple[str, ...]) -> bool:
    return not who or any(folded(name) == folded(who) for name in names)


def letter_json(letter: ReminderLetter) -> Json:
    """The letter as a document."""
    return {
        "question": "digest",
        "on": letter.on.isoformat(),
        **reading_json(letter.on),
        "days": letter.days,
        "who": letter.who or None,
        "says": letter.in_short,
        "notices": [owed_json(one) for one in letter.notices],
        "overdue": [expiry_json(one) for one in letter.overdue],
        "coming": [expiry_json(one) for one in letter.coming],
        "without_a_day": letter.undated,
        **ON_PAPERS,
    }
