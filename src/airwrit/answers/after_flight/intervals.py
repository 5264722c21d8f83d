"""Runs of a track past a limit as intervals in the units of the law: feet, knots, minutes. Rounded, never across the limit."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from airwrit.answers.after_flight.flown import FlownClause, FlownInterval
from airwrit.base.measured import Measured
from airwrit.base.verdict import Margin
from airwrit.geo.earth import M_PER_FT, M_PER_NM
from airwrit.tracks.excursions import Excursion, Excursions
from airwrit.tracks.path import FlownPath

_TENTH = Decimal("0.1")
_ROUNDING = 1e-6
MPS_PER_KT = M_PER_NM / 3600


class LimitHeld(NamedTuple):
    """A limit as a clause holds it: the clause and what it is about, the figure in its unit, meters (or m/s) in one unit.

    `cites` is the section of law it is from, "" where it is from none.
    """

    clause: str
    about: str
    value: Decimal
    unit: str
    scale: float
    cites: str = ""

    @property
    def bound(self) -> float:
        """The limit in meters (or m/s), with a millionth more: what sums of such numbers may be off keeps to it."""
        return float(self.value) * self.scale + _ROUNDING


def feet_limit(clause: str, value: Decimal, about: str = "") -> LimitHeld:
    """A limit in feet."""
    return LimitHeld(clause, about, value, "ft", M_PER_FT)


def knots_limit(clause: str, value: Decimal, about: str = "") -> LimitHeld:
    """A limit in knots."""
    return LimitHeld(clause, about, value, "kt", MPS_PER_KT)


def in_unit(value: float, doubt: float, limit: LimitHeld, *, sure: bool, kept: bool) -> Measured:
    """A value and its doubt in the unit of a limit, to a tenth: surely past it, kept to it, or neither, as it was found."""
    best, off = _tenths(value / limit.scale), _tenths(doubt / limit.scale)
    if sure and best - off <= limit.value:
        off = max(Decimal(0), best - limit.value - _TENTH)
        best = max(best, limit.value + _TENTH)
    elif kept and best + off > limit.value:
        off = max(Decimal(0), limit.value - best)
        best = min(best, limit.value)
    elif not sure and not kept:
        off = max(off, best - limit.value, limit.value - best + _TENTH)
    return Measured(best, best - off, best + off)


def worst_in(found: Excursions, limit: LimitHeld) -> Measured | None:
    """The value that speaks most against the flight, in the unit of the limit; None where no sample tells."""
    if found.worst < 0:
        return None
    kept = not found.found
    return in_unit(found.value, found.doubt, limit, sure=found.is_beyond, kept=kept)


def intervals_of(found: Excursions, limit: LimitHeld, path: FlownPath) -> tuple[FlownInterval, ...]:
    """The runs of a value as intervals."""
    return tuple(_interval(one, limit, path) for one in found.found)


def _interval(one: Excursion, limit: LimitHeld, path: FlownPath) -> FlownInterval:
    peak = in_unit(one.peak, one.doubt, limit, sure=one.sure, kept=False)
    return FlownInterval(
        limit.clause,
        limit.about,
        one.sure,
        one.start_us,
        one.until_us,
        one.peak_us,
        peak,
        Measured(limit.value, limit.value, limit.value),
        limit.unit,
        Margin(limit.value - peak.best, limit.unit, limit.value - peak.high, limit.value - peak.low),
        path.place(one.at),
        one.first,
        one.last,
        rows_of(path, one.first, one.last),
    )


def rows_of(path: FlownPath, first: int, last: int) -> tuple[int, int]:
    """The rows of the file that the first and the last of some samples were read from."""
    rows = path.track.row[path.sample[first : last + 1]]
    return int(rows.min()), int(rows.max())


def numbered(clauses: Iterable[FlownClause]) -> tuple[FlownClause, ...]:
    """The clauses with their intervals numbered through the whole flight by when they begin."""
    told = list(clauses)
    order = sorted(
        ((one.start_us, at, place) for at, c in enumerate(told) for place, one in enumerate(c.intervals))
    )
    number = {(at, place): count for count, (_, at, place) in enumerate(order, 1)}
    return tuple(
        clause._replace(
            intervals=tuple(
                one._replace(number=number[at, place]) for place, one in enumerate(clause.intervals)
            )
        )
        for at, clause in enumerate(told)
    )


def runs_of(flags: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """First and last sample of every run of samples that are marked, (n,)."""
    edges = np.flatnonzero(np.diff(np.concatenate(([False], flags, [False]))))
    return list(zip(edges[::2].tolist(), (edges[1::2] - 1).tolist(), strict=True))


def _tenths(value: float) -> Decimal:
    return Decimal(repr(float(value))).quantize(_TENTH)
