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


class Digest(NamedTuple):
    """A digest as of a day: of everything, or of what one person does; what has no name is in nobody's own digest."""

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


def digest_of(deadlines: Deadlines, days: int, who: str = "") -> Digest:
    """The digest of the deadlines of so many days, of one person's alone where one is named."""
    weeks = weeks_of(deadlines, days)
    lines = [(line, week.monday is None) for week in weeks for line in week.lines if _is_of(who, line.who)]
    return Digest(
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


def digest_document(digest: Digest) -> Json:
    """The digest as a document."""
    return {
        "question": "digest",
        "on": digest.on.isoformat(),
        **reading_json(digest.on),
        "days": digest.days,
        "who": digest.who or None,
        "says": digest.in_short,
        "notices": [owed_json(one) for one in digest.notices],
        "overdue": [expiry_json(one) for one in digest.overdue],
        "coming": [expiry_json(one) for one in digest.coming],
        "without_a_day": digest.undated,
        **ON_PAPERS,
    }
