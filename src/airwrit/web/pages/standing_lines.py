"""The life line of a row of Standing, from the days its findings name."""

from __future__ import annotations

from datetime import date, timedelta

from airwrit.answers.due import day_due
from airwrit.answers.standing import Headline, Row
from airwrit.base.findings import Verdict
from airwrit.law.judging import Bears
from airwrit.web.svg import Axis, Life, Stretch

_DAY = timedelta(days=1)


def life_of(row: Row, axis: Axis) -> Life:
    """What is known of a row along the axis: until when it holds, since when it is broken."""
    if row.headline is Headline.WORK:
        last = last_good_day(row)
        until = axis.until if last is None else last + _DAY
        return Life(
            (Stretch("holds", axis.now, until),),
            () if last is None else (last,),
            goes_on=last is None or last >= axis.until,
        )
    if row.deciding is None:
        return Life()
    if row.deciding.verdict is Verdict.NOT_MET:
        lapsed = day_due(row.deciding)
        start = axis.now if lapsed is None or lapsed >= axis.now else lapsed + _DAY
        return Life((Stretch("broken", start, axis.now + _DAY),))
    return Life((Stretch("unknown", axis.now, axis.now + _DAY),))


def last_good_day(row: Row) -> date | None:
    """The first day on which a finding that lets it fly for work stops holding; None when none names a day."""
    days = [
        finding.outcome.holds_until
        for finding in row.findings
        if finding.rule.bears is Bears.FLIGHT
        and finding.verdict is Verdict.MET
        and finding.outcome.holds_until is not None
    ]
    return min(days, default=None)
