"""The authority of a planned flight: each paper on file held against it field by field, and what stays uncovered.

A paper covers a flight where every field of it does: granted, in writing, from the first takeoff to the last landing, the area
or place, the height, the aircraft, the pilot, its conditions kept. A request that is pending grants nothing, and neither does a
spoken word. What isn't on file is unknown, and no field is made good by another.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from enum import StrEnum
from functools import partial
from typing import NamedTuple

from airwrit.answers.site.area import contained
from airwrit.base.days import day_of
from airwrit.base.measured import compared, exact, total
from airwrit.base.verdict import Outcome, Undecided, Verdict, Why, worst_of
from airwrit.facts.choices import OperatedUnder, PaperKind, UsedFor
from airwrit.facts.flight_choices import AirspaceClass, GivenBy
from airwrit.facts.keys.flights.airspace import (
    AIRSPACE_CLASS,
    AUTHORIZED_HEIGHT,
    AUTHORIZES_FROM,
    AUTHORIZES_UNTIL,
    FLIGHT_AUTHORIZATION,
    FLIGHT_WAIVER,
    GIVEN_BY,
    NOTICE_COVERS,
)
from airwrit.facts.keys.flights.authority import (
    AUTHORIZED_ALTITUDE,
    AUTHORIZED_AREA,
    COMMANDER_SUPPORTS,
    CONDITIONS_KEPT,
    CURRENCY_KEPT,
    EMERGENCY_RESTRICTION,
    FLIGHT_AREA,
    FLIGHT_ENDS,
    FLIGHT_STARTS,
    GRANTED_BY,
    HEIGHT_SET,
    HIGHEST_GROUND,
    LOWEST_SETTING,
    PAPER_CONDITIONS,
    PAPER_CURRENCY,
    PAPER_STATE,
)
from airwrit.facts.keys.flights.flight import FLIGHT_AIRCRAFT
from airwrit.facts.keys.flights.limits import FLIGHT_UNDER
from airwrit.facts.keys.paper import ENDS_ON, GRANTED_ON, PAPER_KIND, PAPER_NUMBER
from airwrit.facts.state import Facts, Held, State, value_held
from airwrit.facts.vocabulary import folded, id_of
from airwrit.law.flight import airspace
from airwrit.law.flight.regime import WAIVER_TERMS_RULE, height_of
from airwrit.law.rule import Finding, all_hold, judge, met, not_met, unknown

KINDS = (PaperKind.AUTHORIZATION, PaperKind.COA, PaperKind.WAIVER, PaperKind.SGI)
"""The papers that can let a flight go where or how it otherwise may not."""


_NONE = "none"


class PaperField(StrEnum):
    """What of a flight a paper is held against."""

    STATE = "granted"
    WRITTEN = "in writing"
    START = "start"
    END = "end"
    HEIGHT = "height"
    SETTING = "controller"
    PLACE = "area"
    AIRCRAFT = "aircraft"
    PILOT = "pilot"
    CONDITIONS = "conditions"
    CURRENCY = "currency"
    TERMS = "terms"
    BASIS = "COA or Part 107"
    COMMANDER = "incident commander"


class FieldFound(NamedTuple):
    """A field of a paper with what is found of it; of a waiver's terms the finding of the law, and the state it saw."""

    field: PaperField
    outcome: Outcome
    finding: Finding | None = None
    state: State | None = None

    @property
    def verdict(self) -> Verdict:
        """Whether the paper covers the flight in it."""
        return self.outcome.verdict


class PaperFound(NamedTuple):
    """A paper on file, its kind, and every field."""

    subject: str
    kind: PaperKind
    fields: tuple[FieldFound, ...]

    @property
    def verdict(self) -> Verdict:
        """Whether it covers the flight."""
        return worst_of({one.verdict for one in self.fields})

    @property
    def uncovered(self) -> tuple[FieldFound, ...]:
        """The fields in which it doesn't, or can't be told."""
        return tuple(one for one in self.fields if one.verdict in (Verdict.NOT_MET, Verdict.UNKNOWN))


class Need(StrEnum):
    """Whether a flight needs an authorization, by what was told of the airspace and the notices."""

    NEEDED = "needed"
    NOT_NEEDED = "not_needed"
    UNKNOWN = "unknown"


class AuthorityAnswer(NamedTuple):
    """A flight, whether it needs authority, the law it is under as told, and the papers."""

    subject: str
    state: State
    need: Need
    under: OperatedUnder | None
    papers: tuple[PaperFound, ...]

    @property
    def granting(self) -> tuple[PaperFound, ...]:
        """The papers that can grant the airspace: no waiver; under Part 107 no COA, and under a COA no authorization."""
        others = {
            OperatedUnder.PART_107: (PaperKind.WAIVER, PaperKind.COA),
            OperatedUnder.PUBLIC_COA: (PaperKind.WAIVER, PaperKind.AUTHORIZATION),
        }
        none_of = (PaperKind.WAIVER,) if self.under is None else others.get(self.under, (PaperKind.WAIVER,))
        return tuple(one for one in self.papers if one.kind not in none_of)

    @property
    def covering(self) -> tuple[PaperFound, ...]:
        """Those of them that cover the flight whole."""
        return tuple(one for one in self.granting if one.verdict is Verdict.MET)

    @property
    def verdict(self) -> Verdict:
        """Met where a paper covers it or none is needed; not met where one is needed and none can; else unknown."""
        if self.covering:
            return Verdict.MET
        if self.under is not OperatedUnder.PUBLIC_COA:
            if self.need is Need.NOT_NEEDED:
                return Verdict.MET
            if self.need is Need.NEEDED and all(one.verdict is Verdict.NOT_MET for one in self.granting):
                return Verdict.NOT_MET
        return Verdict.UNKNOWN


def authority_of(state: State, flight: str) -> AuthorityAnswer:
    """The authority of a flight by all that a state holds."""
    found = []
    for subject in state.subjects("paper"):
        kind = value_held(state, subject, PAPER_KIND)
        if kind in KINDS:
            found.append(_paper(state, flight, subject, kind))
    return AuthorityAnswer(
        flight, state, _need(state, flight), value_held(state, flight, FLIGHT_UNDER), tuple(found)
    )


def _need(state: State, flight: str) -> Need:
    """By the notices and the class of airspace told; an extension or an unknown class is neither yes nor no."""
    if value_held(state, flight, NOTICE_COVERS) or value_held(state, flight, EMERGENCY_RESTRICTION):
        return Need.NEEDED
    told = value_held(state, flight, AIRSPACE_CLASS)
    if told in airspace.CONTROLLED:
        return Need.NEEDED
    if told is None or told is AirspaceClass.E_EXTENSION or value_held(state, flight, NOTICE_COVERS) is None:
        return Need.UNKNOWN
    return Need.NOT_NEEDED


def _paper(state: State, flight: str, subject: str, kind: PaperKind) -> PaperFound:
    link = FLIGHT_WAIVER if kind is PaperKind.WAIVER else FLIGHT_AUTHORIZATION
    relied = state.with_facts({flight: {**state.held[flight], link: Held(id_of(subject))}})
    facts = Facts(relied, flight)
    paper = facts.linked(link)
    granted = FieldFound(PaperField.STATE, _outcome(partial(_granted, paper)))
    if granted.verdict is Verdict.NOT_MET:
        return PaperFound(subject, kind, (granted,))
    if kind is PaperKind.WAIVER:
        terms = judge(WAIVER_TERMS_RULE, relied, flight, UsedFor.WORK, day_of(state.on))
        return PaperFound(
            subject, kind, (granted, FieldFound(PaperField.TERMS, terms.outcome, terms, relied))
        )
    checks = _checks(kind, facts, paper, relied)
    found = (FieldFound(field, _outcome(check)) for field, check in checks)
    return PaperFound(subject, kind, (granted, *found))


Check = Callable[[], Outcome]


def _outcome(check: Check) -> Outcome:
    try:
        return check()
    except Undecided as gap:
        return Outcome(Verdict.UNKNOWN, gap.about, gap.why)


def _checks(kind: PaperKind, facts: Facts, paper: Facts, state: State) -> Iterator[tuple[PaperField, Check]]:
    """The fields of a paper of a kind, each with what it asks."""
    if kind is not PaperKind.COA:
        yield PaperField.WRITTEN, partial(_written, kind, paper)
    yield PaperField.START, partial(_starts, kind, facts, paper)
    yield PaperField.END, partial(_ends, kind, facts, paper)
    yield PaperField.HEIGHT, partial(_height, facts, paper)
    if value_held(state, facts.subject, HEIGHT_SET) is not None or _lowest_setting(state, facts) is not None:
        yield PaperField.SETTING, partial(_setting, facts, paper, state)
    yield PaperField.PLACE, partial(_place, facts, paper)
    yield PaperField.AIRCRAFT, partial(airspace.for_the_aircraft, facts, paper)
    yield PaperField.PILOT, partial(airspace.for_the_pilot, facts, paper)
    yield PaperField.CONDITIONS, partial(_conditions, kind, facts, paper)
    if kind is PaperKind.COA:
        yield PaperField.CURRENCY, partial(_currency, facts, paper)
    if kind is PaperKind.SGI:
        yield PaperField.BASIS, partial(_basis, facts, state)
        yield PaperField.COMMANDER, partial(_commander, facts)


def _granted(paper: Facts) -> Outcome:
    """Whether it was granted; nothing on file is unknown here, since the paper may be a request."""
    if not paper.has(PAPER_STATE):
        return unknown(Why.MISSING, PAPER_STATE.name)
    return airspace.granted(paper)


def _written(kind: PaperKind, paper: Facts) -> Outcome:
    """Whether it is in writing. An SGI approval given by phone may be good, but nothing shows it until it has a reference.

    One that is in writing has its reference and says who granted it.
    """
    spoken = paper[GIVEN_BY] is GivenBy.SPOKEN
    if kind is not PaperKind.SGI:
        return not_met("spoken") if spoken else met("written")
    if spoken or not paper.has(PAPER_NUMBER):
        return unknown(Why.MISSING, "by_phone")
    return met("written") if paper[GRANTED_BY] else unknown(Why.MISSING, GRANTED_BY.name)


def _starts(kind: PaperKind, facts: Facts, paper: Facts) -> Outcome:
    """Whether it has begun at the first takeoff; a COA by its first day where it tells no hour."""
    if kind is PaperKind.COA and not paper.has(AUTHORIZES_FROM):
        first, on = paper[GRANTED_ON], day_of(facts.on_file(FLIGHT_STARTS) or facts.on)
        return met("in_time") if first <= on else not_met("authorization_not_yet", value=first)
    return airspace.not_too_early(facts, paper)


def _ends(kind: PaperKind, facts: Facts, paper: Facts) -> Outcome:
    """Whether it still holds at the last landing; a COA by its last day where it tells no hour."""
    if kind is PaperKind.COA and not paper.has(AUTHORIZES_UNTIL):
        last, on = paper[ENDS_ON], day_of(facts.on_file(FLIGHT_ENDS) or facts.on)
        return met("in_time") if on <= last else not_met("authorization_over", value=last)
    return airspace.not_too_late(facts, paper)


def _height(facts: Facts, paper: Facts) -> Outcome:
    """Whether the greatest height keeps to the paper's, above ground and above sea level, as far as it names them."""
    if not paper.has(AUTHORIZED_ALTITUDE):
        return airspace.low_enough(facts, paper)
    if not paper.has(AUTHORIZED_HEIGHT):
        return _altitude(facts, paper)
    return all_hold(lambda: airspace.low_enough(facts, paper), lambda: _altitude(facts, paper))


def _altitude(facts: Facts, paper: Facts) -> Outcome:
    above_sea = total((height_of(facts), exact(facts[HIGHEST_GROUND])))
    found = compared(above_sea, paper[AUTHORIZED_ALTITUDE], "ft", limit_itself=True)
    codes = {Verdict.MET: "authorized", Verdict.NOT_MET: "above_altitude", Verdict.UNKNOWN: "height_in_doubt"}
    return found._replace(code=codes[found.verdict])


def _lowest_setting(state: State, facts: Facts) -> object:
    flown = value_held(state, facts.subject, FLIGHT_AIRCRAFT)
    return None if flown is None else value_held(state, f"aircraft/{flown}", LOWEST_SETTING)


def _setting(facts: Facts, paper: Facts, state: State) -> Outcome:
    """Whether the controller holds the paper's height: what it can be set to at the lowest, and what it is set to."""
    ceiling, told = paper[AUTHORIZED_HEIGHT], value_held(state, facts.subject, HEIGHT_SET)
    if _lowest_setting(state, facts) is not None:
        lowest = facts.linked(FLIGHT_AIRCRAFT)[LOWEST_SETTING]
        if lowest > ceiling:
            return not_met("cant_be_set", value=lowest)
    if told is None:
        return unknown(Why.MISSING, HEIGHT_SET.name)
    return met("set_low_enough", value=told) if told <= ceiling else not_met("set_too_high", value=told)


def _place(facts: Facts, paper: Facts) -> Outcome:
    """Whether the area of the flight lies in the paper's; by the name of the place where neither area is told."""
    if not paper.has(AUTHORIZED_AREA) and not facts.has(FLIGHT_AREA):
        return airspace.for_the_place(facts, paper)
    return contained(facts[FLIGHT_AREA], paper[AUTHORIZED_AREA])


def _conditions(kind: PaperKind, facts: Facts, paper: Facts) -> Outcome:
    """Whether the conditions on file are kept. Of a COA without any on file nobody knows the terms."""
    if not paper.has(PAPER_CONDITIONS):
        return unknown(Why.MISSING, "read_your_coa") if kind is PaperKind.COA else met("no_conditions")
    return met("conditions_kept") if facts[CONDITIONS_KEPT] else not_met("condition_broken")


def _currency(facts: Facts, paper: Facts) -> Outcome:
    """Whether the pilot is current by the COA's own terms. Of a COA without any on file nobody knows them."""
    if not paper.has(PAPER_CURRENCY):
        return unknown(Why.MISSING, "read_its_currency")
    if folded(paper[PAPER_CURRENCY]) == _NONE:
        return met("no_currency")
    return met("currency_kept") if facts[CURRENCY_KEPT] else not_met("not_current")


def _basis(facts: Facts, state: State) -> Outcome:
    """Whether the flight has what an SGI approval comes on top of: an active COA, or Part 107."""
    if facts[FLIGHT_UNDER] is not OperatedUnder.PUBLIC_COA:
        return met("under_part_107")
    papers = [one for one in state.subjects("paper") if value_held(state, one, PAPER_KIND) is PaperKind.COA]
    for coa in (Facts(state, one) for one in papers):
        checks = (
            partial(_granted, coa),
            partial(_starts, PaperKind.COA, facts, coa),
            partial(_ends, PaperKind.COA, facts, coa),
        )
        if all(_outcome(check).verdict is Verdict.MET for check in checks):
            return met("coa_active")
    return unknown(Why.MISSING, "read_your_coa")


def _commander(facts: Facts) -> Outcome:
    """Whether the incident commander supports a flight inside a disaster or wildfire restriction."""
    if not facts[EMERGENCY_RESTRICTION]:
        return met("no_emergency")
    return met("commander") if facts[COMMANDER_SUPPORTS] else not_met("no_commander")
