"""The life line of a row of Standing, from the days its findings name: until when it holds, since when it is broken.

It looks ahead; how things stood before is told by the record of the aircraft or person, which judges day by day.
"""

from __future__ import annotations

from datetime import date, timedelta

from airwrit.answers.due import day_due
from airwrit.answers.standing import Headline, Row, bearing
from airwrit.base.findings import Verdict
from airwrit.facts.words import UsedFor
from airwrit.web.svg import Axis, Life, Stretch

_DAY = timedelta(days=1)


def life_of(row: Row, axis: Axis) -> Life:
    """What is known of a row along the axis."""
    if row.deciding is None:
        last = last_good_day(row)
        until = axis.until if last is None else last + _DAY
        posts = () if last is None else (last,)
        return Life((Stretch("holds", axis.now, until),), posts, goes_on=until > axis.until)
    if row.deciding.verdict is not Verdict.NOT_MET:
        return Life((Stretch("unknown", axis.now, axis.until),))
    lapsed = day_due(row.deciding)
    ahead = Stretch("open", axis.now, axis.until)
    if lapsed is None or lapsed >= axis.now:
        return Life((ahead,))
    return Life((Stretch("broken", lapsed + _DAY, axis.now), ahead))


def last_good_day(row: Row) -> date | None:
    """The last day on which all that lets it fly still holds; None where nothing names one."""
    use = UsedFor.WORK if row.headline is Headline.WORK else UsedFor.RECREATION
    days = [
        finding.outcome.holds_until
        for finding in bearing(use, row.findings)
        if finding.verdict is Verdict.MET and finding.outcome.holds_until is not None
    ]
    return min(days, default=None)
