"""The rows of a standing: how each aircraft and person stands in one phrase, and what stands in its way."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum
from operator import itemgetter
from typing import NamedTuple

from airwrit.answers.standing.report import bears_out, declared_uses, is_gone
from airwrit.base.verdict import Outcome, Verdict, Why
from airwrit.facts.choices import Citizenship, UsedFor
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import OWNER, REGISTRATION
from airwrit.facts.keys.registration import CITIZENSHIP_LOST_ON, OWNER_DIED_ON
from airwrit.facts.state import NOTHING_HELD, State, value_held
from airwrit.facts.vocabulary import KEYS, kind_of
from airwrit.law.aircraft.duty import RIGHT_KIND_FOR_USE_RULE
from airwrit.law.aircraft.fleet import FLIES_AT_ALL_RULE, IN_THE_FLEET_RULE
from airwrit.law.aircraft.in_force import MUST_BE_REGISTERED_RULE
from airwrit.law.aircraft.renewal import REGISTRATION_IN_TERM_RULE
from airwrit.law.holder.owner import OWNER_ELIGIBLE_RULE, REGISTERED_TO_OWNER_RULE, REGISTRATION_NOT_VOID_RULE
from airwrit.law.rule import USES, Bears, Finding, Rule

SPANS = (7, 30, 60, 90)
"""The due list is told in these steps of days."""


class Due(NamedTuple):
    """One thing due: the day, whether that day is past, what, and the subjects it touches."""

    day: date
    overdue: bool
    finding: Finding
    subjects: tuple[str, ...]


class DueFinding(NamedTuple):
    """A finding with a day on which it is due, and what that day belongs to."""

    day: date
    about: str
    finding: Finding


def due_of(subject: str, counted: Sequence[Finding], state: State) -> tuple[DueFinding, ...]:
    """The findings about a subject that are due on a day.

    Of an aircraft that the program does not have only filings are due; one on loan is still its owner's to keep registered.
    """
    dated = [(day, finding) for finding in counted if (day := day_due(finding)) is not None]
    if dated and any(is_gone(one) and one.outcome.code != "loaned_out" for one in counted):
        dated = [(day, finding) for day, finding in dated if finding.rule.bears is not Bears.FLIGHT]
    return tuple([DueFinding(day, _thing(subject, one, state), one) for day, one in dated])


def due_items(found: Iterable[DueFinding], on: date) -> tuple[Due, ...]:
    """Everything due or overdue, soonest first; one certificate over several aircraft is one thing."""
    grouped: dict[tuple[str, date, str], list[Finding]] = {}
    for day, about, finding in found:
        grouped.setdefault((finding.rule.name, day, about), []).append(finding)
    items = []
    for (_, day, _), findings in grouped.items():
        subjects = tuple(dict.fromkeys([finding.subject for finding in findings]))
        items.append(Due(day, day < on or findings[0].verdict is Verdict.NOT_MET, findings[0], subjects))
    return tuple(sorted(items, key=lambda item: (item.day, item.subjects)))


def day_due(finding: Finding) -> date | None:
    """The day a finding is due; for a lapse, the day it lapsed."""
    outcome = finding.outcome
    if outcome.due_on is not None:
        return outcome.due_on
    if outcome.verdict is Verdict.NOT_MET and outcome.code == finding.rule.lapse:
        return outcome.value if isinstance(outcome.value, date) else None
    return None


def _thing(subject: str, finding: Finding, state: State) -> str:
    """What the due day belongs to: a registration where the finding is about one, else the subject."""
    if finding.rule is REGISTRATION_IN_TERM_RULE:
        held = state.held.get(subject, NOTHING_HELD).get(REGISTRATION)
        if held is not None and held.why is None:
            return f"registration/{held.value}"
    return subject


_AGAINST = (Verdict.NOT_MET, Verdict.UNKNOWN)
_REGISTERED = MUST_BE_REGISTERED_RULE
_FLEET, _PILOT = IN_THE_FLEET_RULE, FLIES_AT_ALL_RULE
_HANDS_ON = (_REGISTERED, REGISTRATION_NOT_VOID_RULE)
"""Rules that find what others find as well, in this order."""
_ON_OWNER = (OWNER_ELIGIBLE_RULE, REGISTRATION_NOT_VOID_RULE, RIGHT_KIND_FOR_USE_RULE)
_CERTIFIED = (REGISTERED_TO_OWNER_RULE, REGISTRATION_IN_TERM_RULE)
_LIGHT_CODES = ("light", "struck")


class Headline(StrEnum):
    """How an aircraft or person stands in one phrase."""

    WORK = "papers OK for work"
    RECREATION = "papers OK for recreation only"
    GROUNDED = "grounded"
    CANT_SAY = "can't tell yet"
    NOT_IN_FLEET = "not in the fleet"
    NOT_JUDGED = "not a pilot"

    @property
    def code(self) -> str:
        """Its name in documents, which stays whatever the words are."""
        return _CODES[self]

    @property
    def mark(self) -> Verdict:
        """The verdict whose mark stands beside it."""
        return _MARKS[self]

    @property
    def is_here(self) -> bool:
        """Whether it is of the fleet or crew at all."""
        return self not in (Headline.NOT_IN_FLEET, Headline.NOT_JUDGED)

    def of(self, many: int) -> str:
        """How many it is true of: `11 grounded`, `7 with papers OK for work`, `can't tell yet for 3`."""
        if self is Headline.CANT_SAY:
            return f"{self.value} for {many:,}"
        return f"{many:,} {'with ' if self in (Headline.WORK, Headline.RECREATION) else ''}{self.value}"

    @property
    def holds_back(self) -> bool:
        """Whether something has to be done or said before the next flight."""
        return self in (Headline.GROUNDED, Headline.CANT_SAY)


_CODES = {
    Headline.WORK: "may_fly_work",
    Headline.RECREATION: "recreation_only",
    Headline.GROUNDED: "grounded",
    Headline.CANT_SAY: "cant_tell",
    Headline.NOT_IN_FLEET: "not_in_fleet",
    Headline.NOT_JUDGED: "not_judged",
}
_MARKS = {
    Headline.WORK: Verdict.MET,
    Headline.RECREATION: Verdict.MET,
    Headline.GROUNDED: Verdict.NOT_MET,
    Headline.CANT_SAY: Verdict.UNKNOWN,
    Headline.NOT_IN_FLEET: Verdict.NOT_APPLICABLE,
    Headline.NOT_JUDGED: Verdict.NOT_APPLICABLE,
}


@dataclass(frozen=True, slots=True)
class SubjectStanding:
    """One aircraft or person: its headline, the verdict per use, all that stands in its way, and all its findings.

    `in_the_way` is in the order a lead would take it, for the use stated first; the first of it explains the headline.
    `holds_until` is the last day on which all that lets it fly still holds, None where nothing names one; `next_due` the
    finding whose day is due next. `about` are the subjects of its findings: its own, whose come first, and its registration
    and owner where those were judged. `by_certificate` tells that its owner's right to register is taken from the certificate.
    """

    subject: str
    headline: Headline
    work: Verdict
    recreation: Verdict
    night: Verdict | None
    in_the_way: tuple[Finding, ...]
    holds_until: date | None
    next_due: Finding | None
    findings: tuple[Finding, ...]
    about: tuple[str, ...]
    by_certificate: bool

    @property
    def deciding(self) -> Finding | None:
        """The finding that explains the headline; None when nothing stands in the way."""
        return self.in_the_way[0] if self.in_the_way else None


class _RowTold(NamedTuple):
    """What a row tells, its findings by their places in it."""

    headline: Headline
    work: Verdict
    recreation: Verdict
    night: Verdict | None
    in_the_way: tuple[int, ...]
    lets_fly: tuple[int, ...]
    """what is met and decides"""
    binds: tuple[int, ...]
    """what applies at all"""


def rows_of(
    state: State, judged: Mapping[str, Sequence[Finding]], kept: Mapping[str, SubjectStanding]
) -> tuple[SubjectStanding, ...]:
    """A row for each aircraft and person judged. Those of which the same rules say the same are told alike.

    `kept` are rows of an earlier standing whose subjects, and owners, are held and judged as they were.
    """
    known: dict[tuple[object, ...], _RowTold] = {}
    rows = []
    for subject, own in judged.items():
        if kind_of(subject) not in ("aircraft", "person"):
            continue
        if subject in kept:
            rows.append(kept[subject])
            continue
        certificate = [
            f for f in _judged_of(state, subject, REGISTRATION, judged) if f.rule.bears is Bears.FLIGHT
        ]
        mine = (*own, *certificate, *_judged_of(state, subject, OWNER, judged))
        declared = declared_uses(state, subject)
        assumed = taken_from_certificate(mine, state)
        alike = (declared, bool(assumed), *map(_said, mine))
        told = known.get(alike)
        if told is None:
            told = known[alike] = _told(declared, mine, assumed)
        rows.append(
            SubjectStanding(
                subject,
                *told[:4],
                tuple([mine[place] for place in told.in_the_way]),
                _first_day([mine[place].outcome.holds_until for place in told.lets_fly]),
                _next_due([mine[place] for place in told.binds]),
                mine,
                tuple(dict.fromkeys([finding.subject for finding in mine])),
                bool(assumed),
            )
        )
    return tuple(rows)


def _said(finding: Finding) -> tuple[Rule, UsedFor | None, Verdict, str]:
    """What the telling of a row hangs on."""
    outcome = finding[3]
    return finding[0], finding[2], outcome[0], outcome[1]


def rows_decided(rows: Iterable[SubjectStanding]) -> Mapping[str, Sequence[str]]:
    """For each subject a finding may be about, the aircraft or people whose headline hangs on it."""
    hang: dict[str, list[str]] = defaultdict(list)
    for row in rows:
        for subject in row.about:
            hang[subject].append(row.subject)
    return hang


def _judged_of(
    state: State, subject: str, link: Key[str], judged: Mapping[str, Sequence[Finding]]
) -> Sequence[Finding]:
    """The findings about what an aircraft points at, its registration or its owner, which its standing hangs on."""
    named = value_held(state, subject, link)
    return () if named is None else judged.get(f"{link.links_to}/{named}", ())


def taken_from_certificate(findings: Sequence[Finding], state: State) -> tuple[Finding, ...]:
    """The findings that only want facts of the owner, of an aircraft whose registration is in term and in the owner's name.

    The FAA registered it to that owner, so that the owner may register is taken from the certificate as long as nothing on
    file speaks against it. A standing lists this among what it assumes.
    """
    if not all(any(f.rule is rule and f.verdict is Verdict.MET for f in findings) for rule in _CERTIFIED):
        return ()
    wanting = tuple(f for f in findings if f.rule in _ON_OWNER and _wants_of_owner(f.outcome))
    owners = {subject for f in wanting for subject, _, _ in f.looks if kind_of(subject) == "owner"}
    return () if any(_speaks_against(state, owner) for owner in owners) else wanting


def _wants_of_owner(outcome: Outcome) -> bool:
    key = KEYS.get(outcome.code)
    return outcome.why is Why.MISSING and key is not None and key.table == "owner"


def _speaks_against(state: State, owner: str) -> bool:
    """Whether anything on file of an owner may speak against its right to register: a no, a share, or what can't be read."""
    return any(
        held.why is not None
        or held.value is False
        or held.value is Citizenship.NEITHER
        or isinstance(held.value, Decimal)
        or key in (CITIZENSHIP_LOST_ON, OWNER_DIED_ON)
        for key, held in state.held.get(owner, NOTHING_HELD).items()
    )


def _told(declared: tuple[UsedFor, ...], findings: Sequence[Finding], assumed: Sequence[Finding]) -> _RowTold:
    of_flight = [f for f in findings if f.rule.bears is Bears.FLIGHT and f not in assumed]
    deciding = {use: _bearing(use, of_flight) for use in USES}
    verdicts = {use: _verdict_of(mine) for use, mine in deciding.items()}
    gone = next((f for f in findings if f.rule is _FLEET and f.verdict is Verdict.NOT_MET), None)
    headline, use = _headline(declared, verdicts)
    if gone is not None:
        headline = Headline.NOT_IN_FLEET
    elif any(f.rule is _PILOT and f.outcome.code == "not_a_pilot" for f in findings):
        headline = Headline.NOT_JUDGED
    night = next(
        (f.verdict for f in findings if f.rule.bears is Bears.NIGHT and f.use is not UsedFor.RECREATION), None
    )
    against = (
        (gone,)
        if gone is not None
        else _in_the_way(
            headline, _of_flight(f for f in findings if f not in assumed) if use is None else deciding[use]
        )
    )
    flies_for = UsedFor.WORK if headline is Headline.WORK else UsedFor.RECREATION
    return _RowTold(
        headline,
        verdicts[UsedFor.WORK],
        verdicts[UsedFor.RECREATION],
        night,
        tuple(_place(findings, finding) for finding in against),
        tuple(_place(findings, finding) for finding in deciding[flies_for] if finding.verdict is Verdict.MET),
        tuple(place for place, f in enumerate(findings) if f.verdict is not Verdict.NOT_APPLICABLE),
    )


def _place(findings: Sequence[Finding], finding: Finding) -> int:
    return next(place for place, one in enumerate(findings) if one is finding)


def _first_day(days: Iterable[date | None]) -> date | None:
    return min((day for day in days if day is not None), default=None)


def _next_due(findings: Iterable[Finding]) -> Finding | None:
    """The finding whose day is due next; None when none is."""
    coming = [(finding.outcome.due_on, finding) for finding in findings if finding.outcome.due_on is not None]
    return min(coming, key=itemgetter(0))[1] if coming else None


def _of_flight(findings: Iterable[Finding]) -> list[Finding]:
    """The findings that bear on whether the subject may fly, under whatever use."""
    return [f for f in findings if f.rule.bears is not Bears.PAPERS]


def _bearing(use: UsedFor, findings: Iterable[Finding]) -> list[Finding]:
    """The findings that decide whether the subject may fly for a use."""
    mine = [f for f in findings if f.use is None or f.use is use]
    for finding in mine:
        if finding.rule is _REGISTERED and finding.outcome.verdict is Verdict.NOT_APPLICABLE:
            return [f for f in mine if f.rule.about not in ("owner", "registration")]
    return mine


def _verdict_of(mine: list[Finding]) -> Verdict:
    """Not met, unknown or met for a use. An aircraft freed by its weight counts its weight as what is met."""
    verdicts = {f.outcome.verdict for f in mine if not f.rule.document or bears_out(f)}
    if Verdict.NOT_MET in verdicts:
        return Verdict.NOT_MET
    if Verdict.UNKNOWN in verdicts:
        return Verdict.UNKNOWN
    if Verdict.MET in verdicts:
        return Verdict.MET
    freed = any(f.rule is _REGISTERED and f.outcome.code in _LIGHT_CODES for f in mine)
    return Verdict.MET if freed else Verdict.UNKNOWN


def _headline(
    declared: tuple[UsedFor, ...], verdicts: dict[UsedFor, Verdict]
) -> tuple[Headline, UsedFor | None]:
    """The headline and the use whose findings decide it. Where nobody stated a use, only what no use allows is grounded."""
    if not declared:
        barred = all(verdict is Verdict.NOT_MET for verdict in verdicts.values())
        return (Headline.GROUNDED if barred else Headline.CANT_SAY), None
    first = declared[0]
    if first is UsedFor.WORK and verdicts[first] is Verdict.MET:
        return Headline.WORK, first
    if verdicts[UsedFor.RECREATION] is Verdict.MET and (
        UsedFor.RECREATION in declared or verdicts[UsedFor.WORK] is Verdict.NOT_MET
    ):
        return Headline.RECREATION, first
    if verdicts[first] is Verdict.NOT_MET:
        return Headline.GROUNDED, first
    return Headline.CANT_SAY, first


def told_once(findings: Iterable[Finding]) -> list[Finding]:
    """The findings without what is against it by a rule that only hands on what another finds and tells itself."""
    found = list(findings)
    for rule in _HANDS_ON:
        said = {f.outcome[:2] for f in found if f.rule is not rule and f.outcome.verdict in _AGAINST}
        found = [f for f in found if f.rule is not rule or f.outcome[:2] not in said]
    return found


def _in_the_way(headline: Headline, findings: list[Finding]) -> tuple[Finding, ...]:
    """What stands in the way: what explains the headline first, then what else is not met or unknown."""
    if headline in (Headline.WORK, Headline.NOT_JUDGED):
        return ()
    wanted = Verdict.UNKNOWN if headline is Headline.CANT_SAY else Verdict.NOT_MET
    against = told_once(f for f in findings if f.outcome.verdict in _AGAINST)
    first = next((f for f in against if f.outcome.verdict is wanted), None)
    return () if first is None else (first, *(f for f in against if f is not first))
