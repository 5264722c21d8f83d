"""How long a registration lasts, what a renewal makes of its term, when it may be renewed. 14 CFR 48.100(c), 47.40."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from typing import NamedTuple, TypeVar

from airwrit.base.days import add_years, day_of, end_of_calendar_months, first_of_month_before
from airwrit.base.verdict import Undecided, Why
from airwrit.facts.choices import RegistrationKind
from airwrit.facts.keys.registration import EXPIRES_ON, ISSUED_ON, REGISTRATION_KIND, RENEWED_ON
from airwrit.facts.state import Facts
from airwrit.law.aircraft.certificate import is_part_47, kind_of
from airwrit.law.aircraft.duty import happened
from airwrit.law.aircraft.price import TERM_YEARS
from airwrit.law.parameters import Law, Param, parameter

T = TypeVar("T")

RECREATIONAL_TERM_YEARS = parameter("recreational_term_years", int)
WINDOW_MONTHS = parameter("renewal_window_months", int)
RENEWAL_FROM_EXPIRY = parameter("renewal_counts_from_expiry", bool)
EARLY_RECREATIONAL_EXPIRY = parameter("early_recreational_expiry", date)
EARLY_RECREATIONAL_BEFORE = parameter("early_recreational_issued_before", date)
PART_47_TERM_YEARS = parameter("part_47_term_years", int)
PART_47_WINDOW_MONTHS = parameter("part_47_renewal_window_months", int)
PART_47_RENEWAL_BEFORE_END = parameter("part_47_renewal_before_end", bool)
PENDING_RENEWAL = parameter("part_47_pending_renewal_allowance", bool)


class Window(NamedTuple):
    """The first and the last day on which a renewal may be filed for sure."""

    opens: date
    closes: date


def window_before(expiry: date, law: Law) -> Window:
    """The renewal window of a Part 48 certificate: the six months before the month of expiry, read to the letter."""
    opens = first_of_month_before(expiry, law[WINDOW_MONTHS])
    return Window(opens, first_of_month_before(expiry, 0) - timedelta(days=1))


def part_47_window(expiry: date, law: Law) -> Window:
    """The renewal window of a Part 47 certificate: the six months that end on the last day of its term."""
    return Window(first_of_month_before(expiry, law[PART_47_WINDOW_MONTHS] - 1), expiry)


class Term(NamedTuple):
    """The expiry written down, the one worked out from issue and renewal, and the first day; None where not on file.

    It is doubtful where the renewal on file lies outside every window; the renewal then counts for nothing in it.
    """

    stated: date | None
    worked_out: date | None
    first: date | None
    is_doubtful: bool = False

    @property
    def agree(self) -> bool:
        """True when the two expiries do not contradict each other."""
        return self.stated is None or self.worked_out is None or self.stated == self.worked_out

    @property
    def expiry(self) -> date:
        """The earlier of the expiries on file. Undecided when there is none."""
        return min(self._expiries)

    @property
    def latest(self) -> date:
        """The later of the expiries on file. Undecided when there is none."""
        return max(self._expiries)

    @property
    def _expiries(self) -> list[date]:
        days = [day for day in (self.stated, self.worked_out) if day is not None]
        if not days:
            raise Undecided(Why.MISSING, EXPIRES_ON.name)
        return days


def term_of(certificate: Facts, law: Law) -> Term:
    """The term of a certificate of either part, with the last renewal up to the day asked about."""
    return part_47_term(certificate, law) if is_part_47(certificate) else part_48_term(certificate, law)


def term_to_renew(certificate: Facts, law: Law) -> Term:
    """The term that a renewal on the day asked about would extend: where one of that day or later is on file, the term before.

    The expiry written down is then that of the later term and tells nothing.
    """
    renewed, issued = certificate.on_file(RENEWED_ON), certificate.on_file(ISSUED_ON)
    if renewed is None or issued is None or renewed < day_of(certificate.on):
        return term_of(certificate, law)
    if is_part_47(certificate):
        return Term(None, part_47_end(issued, law), issued)
    return Term(None, _of_either_kind(certificate, lambda kind: _first_end(issued, kind, law)), issued)


def part_48_term(certificate: Facts, law: Law) -> Term:
    """The term of a Part 48 certificate. A renewal adds the term to the old expiry, not to the day of renewal.

    It asks for the kind only where the two kinds give different terms.
    """
    law.span(TERM_YEARS)
    issued, stated = certificate.on_file(ISSUED_ON), certificate.on_file(EXPIRES_ON)
    if issued is None:
        return Term(certificate[EXPIRES_ON], None, None)
    return _of_either_kind(certificate, lambda kind: _counted_term(certificate, issued, stated, kind, law))


def _counted_term(
    certificate: Facts, issued: date, stated: date | None, kind: RegistrationKind, law: Law
) -> Term:
    renewed, end = happened(certificate, RENEWED_ON), _first_end(issued, kind, law)
    if renewed is None:
        return Term(stated, end, issued)
    longer = _renewed_end(end, renewed, kind, law)
    if longer is None:
        return Term(stated, end, issued, is_doubtful=True)
    return Term(stated, longer, issued)


def _of_either_kind(certificate: Facts, work: Callable[[RegistrationKind], T]) -> T:
    """What the kind on file gives; where none is, what both Part 48 kinds give. Undecided where they differ."""
    if not certificate.has(REGISTRATION_KIND):
        one, other = work(RegistrationKind.PER_AIRCRAFT), work(RegistrationKind.RECREATIONAL)
        if one == other:
            return one
    return work(kind_of(certificate))


def _first_end(issued: date, kind: RegistrationKind, law: Law) -> date:
    end = add_years(issued, law.then(issued)[_years(kind)])
    if kind is RegistrationKind.RECREATIONAL and issued < law[EARLY_RECREATIONAL_BEFORE]:
        return max(end, law[EARLY_RECREATIONAL_EXPIRY])
    return end


def _years(kind: RegistrationKind) -> Param[int]:
    return RECREATIONAL_TERM_YEARS if kind is RegistrationKind.RECREATIONAL else TERM_YEARS


def _renewed_end(end: date, renewed: date, kind: RegistrationKind, law: Law) -> date | None:
    """The end once renewed: a term after the end in whose window the renewal lies; None where it lies in no window."""
    years = law.then(renewed)[_years(kind)]
    while renewed > end:
        end = add_years(end, years)
    if renewed < window_before(end, law).opens:
        return None
    return add_years(end if law[RENEWAL_FROM_EXPIRY] else renewed, years)


def part_47_term(certificate: Facts, law: Law) -> Term:
    """The term of a Part 47 certificate: to the end of the month, stretched where it ran when the longer term began.

    A renewal gives a certificate of its own, whose term counts from the month in which it was renewed.
    """
    issued, stated = certificate.on_file(ISSUED_ON), certificate.on_file(EXPIRES_ON)
    if issued is None:
        return Term(certificate[EXPIRES_ON], None, None)
    renewed = happened(certificate, RENEWED_ON)
    if renewed is not None and not _in_a_part_47_window(issued, renewed, law):
        return Term(stated, part_47_end(issued, law), issued, is_doubtful=True)
    made = issued if renewed is None else renewed
    end, printed = part_47_end(made, law), end_of_calendar_months(made, 12 * _years_47(made, law))
    return Term(end if stated == printed else stated, end, issued)


def _years_47(made: date, law: Law) -> int:
    return law.then(made)[PART_47_TERM_YEARS]


def part_47_end(issued: date, law: Law) -> date:
    """The last day of a Part 47 certificate made on a day; one in force when the longer term began got it, whatever it says."""
    end = end_of_calendar_months(issued, 12 * _years_47(issued, law))
    now = law.span(PART_47_TERM_YEARS)
    return end_of_calendar_months(issued, 12 * now.value) if issued < now.start <= end else end


def _in_a_part_47_window(issued: date, renewed: date, law: Law) -> bool:
    """Whether a renewal can have been made on its day: in the window of the first end, or of one that earlier renewals gave."""
    early = late = part_47_end(issued, law)
    while True:
        opens = part_47_window(early, law).opens
        if renewed <= late:
            return renewed >= opens
        early, late = part_47_end(opens, law), part_47_end(late, law)
