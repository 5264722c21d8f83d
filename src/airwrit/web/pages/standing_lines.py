"""The life line of a row of Standing, from the days its findings name: until when it holds, since when it is broken.

It looks ahead; how things stood before is told by the record of the aircraft or person, which judges day by day.
"""

from __future__ import annotations

from datetime import timedelta

from airwrit.answers.standing.due import day_due
from airwrit.answers.standing.headline import SubjectStanding
from airwrit.base.verdict import Verdict
from airwrit.web.draw.svg import Axis, Life, LineSegment

_DAY = timedelta(days=1)


def life_of(row: SubjectStanding, axis: Axis) -> Life:
    """What is known of a row along the axis."""
    if row.deciding is None:
        last = row.holds_until
        until = axis.until if last is None else last + _DAY
        posts = () if last is None else (last,)
        return Life((LineSegment("holds", axis.now, until),), posts, goes_on=until > axis.until)
    if row.deciding.verdict is not Verdict.NOT_MET:
        return Life((LineSegment("unknown", axis.now, axis.until),))
    lapsed = day_due(row.deciding)
    ahead = LineSegment("open", axis.now, axis.until)
    if lapsed is None or lapsed >= axis.now:
        return Life((ahead,))
    return Life((LineSegment("broken", lapsed + _DAY, axis.now), ahead))
