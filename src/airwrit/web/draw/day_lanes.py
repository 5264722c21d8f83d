"""Lanes of one day by the clock of a place: lines where something holds, hatch where it doesn't, dots where it isn't known."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import UTC, datetime, timedelta
from typing import NamedTuple

from markupsafe import Markup

from airwrit.sky.zones import Zone

_EVERY = 3
_KINDS = {"met": "holds", "not_met": "broken", "unknown": "unknown", "night": "dark", "twilight": "dusk"}


class LanePart(NamedTuple):
    """A part of a lane (UTC, half-open) and its kind: met, not_met, unknown, or the bands night and twilight."""

    start: datetime
    end: datetime
    kind: str


class DayAxis(NamedTuple):
    """The span a day is drawn over (UTC), the clock of the place, and the moment of now, if it lies on it."""

    start: datetime
    end: datetime
    zone: Zone
    now: datetime | None = None

    def at(self, moment: datetime) -> float:
        """Where a moment lies, in percent; one outside stands at an end."""
        return round(100 * min(1.0, max(0.0, (moment - self.start) / (self.end - self.start))), 2)


def hours_axis(axis: DayAxis) -> Markup:
    """The scale over the lanes: every third hour in local time there, UTC under it."""
    parts = [Markup('<svg class="axis" aria-hidden="true">')]
    hour = axis.start.replace(minute=0, second=0, microsecond=0)
    while hour <= axis.end:
        local = hour.astimezone(axis.zone.info)
        if hour > axis.start and local.hour % _EVERY == 0 and local.minute == 0 and axis.at(hour) < 97:
            words = f"{local.hour % 12 or 12} {'AM' if local.hour < 12 else 'PM'}"
            parts.append(
                Markup(
                    '<line x1="{0}%" x2="{0}%" y1="60%" y2="100%"/><text x="{0}%" dx="4" y="14">{1}</text>'
                    '<text class="far" x="{0}%" dx="4" y="30">{2} UTC</text>'
                ).format(axis.at(hour), words, f"{hour.astimezone(UTC):%H:%M}")
            )
        hour += timedelta(hours=1)
    return Markup("").join([*parts, Markup("</svg>")])


def lane(parts: Iterable[LanePart], axis: DayAxis, flights: Sequence[LanePart] = ()) -> Markup:
    """One lane; `flights` are drawn as thick pieces between posts on top of it."""
    drawn = [Markup('<svg class="line" aria-hidden="true">')]
    drawn += [_part(part, axis) for part in parts if part.end > axis.start and part.start < axis.end]
    drawn += [_flight(part, axis) for part in flights]
    if axis.now is not None:
        drawn.append(
            Markup('<line class="now" x1="{0}%" x2="{0}%" y1="0" y2="100%"/>').format(axis.at(axis.now))
        )
    return Markup("").join([*drawn, Markup("</svg>")])


def _part(part: LanePart, axis: DayAxis) -> Markup:
    left, right = axis.at(part.start), axis.at(part.end)
    kind = _KINDS[part.kind]
    wide = round(max(right - left, 0.3), 2)
    if part.kind in ("night", "twilight"):
        return Markup('<rect class="{}" x="{}%" width="{}%" y="0" height="100%"/>').format(kind, left, wide)
    if part.kind == "not_met":
        return Markup(
            '<svg y="50%"><rect class="{}" x="{}%" y="-5" width="{}%" height="10" fill="url(#hatch)"/></svg>'
        ).format(kind, left, wide)
    return Markup('<line class="{}" x1="{}%" x2="{}%" y1="50%" y2="50%"/>').format(kind, left, right)


def _flight(part: LanePart, axis: DayAxis) -> Markup:
    left, right = axis.at(part.start), axis.at(part.end)
    return Markup(
        '<line class="free" x1="{0}%" x2="{1}%" y1="50%" y2="50%"/>'
        '<svg x="{0}%" y="50%"><path class="post" d="M0-8v16"/></svg>'
        '<svg x="{1}%" y="50%"><path class="post" d="M0-8v16"/></svg>'
    ).format(left, right)
