"""Must it be registered, what ended its registration, is the certificate of the right kind? 14 CFR 48.1, 48.15, 48.100."""

from __future__ import annotations

from datetime import date

from airwrit.base.days import Order, add_days, day_of, order_of
from airwrit.base.identifiers import NumberForm, number_form
from airwrit.base.verdict import Outcome, Undecided, Verdict, Why
from airwrit.facts.choices import OwnerKind, RegistrationKind, UsedFor
from airwrit.facts.fold import is_same_number
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import (
    ARMED_FORCES,
    DESTROYED_ON,
    EXPORTED_ON,
    FLOWN_ABROAD,
    FOREIGN_REGISTRY,
    IS_REGISTERED,
    LOST_ON,
    ONLY_INDOORS,
    OWNER,
    REGISTRATION,
    SOLD_ON,
    SOLD_UNDER,
    SOLD_UNDER_ON,
    USED_FOR,
)
from airwrit.facts.keys.event import CHANGED_ON
from airwrit.facts.keys.registration import (
    CANCELLED_ON,
    CITIZENSHIP_LOST_ON,
    ISSUED_ON,
    OWNER_DIED_ON,
    OWNER_KIND,
    REGISTERED_TO,
    REGISTRATION_KIND,
    REVOKED_ON,
)
from airwrit.facts.state import Facts
from airwrit.law.aircraft.weight import small_aircraft_limit, weight_exemption
from airwrit.law.parameters import Law, parameter
from airwrit.law.rule import Bears, Rule, Topic, all_hold, met, no_duty, not_met, unknown


def has_n_number(certificate: Facts) -> bool:
    """Whether its number has the form of an N-number: what makes a Part 47 registration more than a word on file."""
    return certificate.named(number_form) is NumberForm.N_NUMBER


def kind_of(certificate: Facts) -> RegistrationKind:
    """Its kind on file; Part 47 by the form of its number where none is. Undecided where neither tells.

    The form of a Part 48 number doesn't tell which of the two kinds it is.
    """
    if not certificate.has(REGISTRATION_KIND) and has_n_number(certificate):
        return RegistrationKind.PART_47
    return certificate[REGISTRATION_KIND]


def is_part_47(certificate: Facts) -> bool:
    """Whether it is a Part 47 registration, by its kind, or by the form of its number where no kind is on file.

    Undecided when neither tells.
    """
    if not certificate.has(REGISTRATION_KIND) and certificate.named(number_form) is NumberForm.PART_48:
        return False
    return kind_of(certificate) is RegistrationKind.PART_47


RECREATIONAL_DUTY = parameter("recreational_registration_duty", bool)
EXEMPT_ANY_PURPOSE = parameter("exempt_whatever_the_purpose", bool)
ARMED_FORCES_EXEMPT = parameter("armed_forces_exempt", bool)
INDOORS_OUTSIDE_LAW = parameter("closed_building_outside_the_duty", bool)
FOREIGN_RECOGNITION = parameter("foreign_aircraft_recognition", bool)
WEB_OPEN_TO_WORK = parameter("part_48_open_to_work", bool)
PART_47_COMPULSORY = parameter("part_47_compulsory_abroad_and_trust", bool)
RECREATIONAL_IS_EXCLUSIVE = parameter("recreational_certificate_exclusive", bool)
RECREATIONAL_FOR_PERSONS = parameter("recreational_certificate_for_persons_only", bool)
PART_47_TEMPORARY_MONTHS = parameter("part_47_temporary_authority_months", int)
FILING_DATA = parameter("filing_data", tuple)
ENDING_EVENTS = parameter("registration_ends_by_event", bool)
DAYS_AFTER_DEATH = parameter("registration_days_after_owners_death", int)
ENDS_WITH_CITIZENSHIP = parameter("registration_ends_with_citizenship", bool)
LOSS_IS_NAMED = parameter("loss_named_among_ending_events", bool)

TRUSTS = (OwnerKind.TRUST, OwnerKind.VOTING_TRUST)
_ENDINGS: tuple[tuple[Key[date], str], ...] = (
    (SOLD_ON, "sold"),
    (DESTROYED_ON, "destroyed"),
    (EXPORTED_ON, "exported"),
)


def happened(facts: Facts, key: Key[date]) -> date | None:
    """The day of an event that lies on or before the day asked about; None when it is not on file or still to come."""
    day = facts.on_file(key)
    if day is None or order_of(day, facts.on) is Order.AFTER:
        return None
    return day


def change_day(event: Facts) -> date | None:
    """The day of a change kept by itself; None when it is still to come. Undecided when its day is not on file."""
    day = event[CHANGED_ON]
    return None if order_of(day, event.on) is Order.AFTER else day


def exclusively_recreational(facts: Facts) -> bool:
    """Whether the aircraft is flown for recreation and nothing else. Undecided when nobody said."""
    return facts[USED_FOR] is UsedFor.RECREATION


def why_no_duty(facts: Facts, law: Law) -> str:
    """Why this aircraft need not be registered for this use: a code, or "" when it must be. Undecided on a gap."""
    if facts.on_file(ARMED_FORCES) and law[ARMED_FORCES_EXEMPT]:
        return "armed_forces"
    if facts.on_file(ONLY_INDOORS) and law[INDOORS_OUTSIDE_LAW]:
        return "indoors"
    if facts.on_file(FOREIGN_REGISTRY) and law[FOREIGN_RECOGNITION]:
        return "foreign"
    for_recreation = facts.use is UsedFor.RECREATION
    if for_recreation and not law[RECREATIONAL_DUTY] and exclusively_recreational(facts):
        return "struck"
    light = _against_exemption(facts, law)
    return "light" if light is not None and light.verdict is Verdict.MET else ""


def _against_exemption(facts: Facts, law: Law) -> Outcome | None:
    """The weight against the exemption; None where no weight exempts this use. Undecided on a gap or within doubt."""
    if not law[EXEMPT_ANY_PURPOSE] and not exempt_but_for_weight(facts, law):
        return None
    light = weight_exemption(facts, law)
    if light.why is not None:
        raise Undecided(light.why, "takeoff_weight_g")
    return light


def exempt_but_for_weight(facts: Facts, law: Law) -> bool:
    """Whether a flight for recreation is exempt where the aircraft is light enough. Undecided when nobody said its use.

    An aircraft over the limit is exempt under no use, so that there the use isn't asked about.
    """
    if facts.use is not UsedFor.RECREATION:
        return False
    try:
        return exclusively_recreational(facts)
    except Undecided as gap:
        if gap.why is Why.MISSING and _over_limit(facts.quietly(), law):
            return True
        raise


def _over_limit(facts: Facts, law: Law) -> bool:
    """Whether the weight on file is over the limit of the exemption beyond doubt."""
    try:
        return weight_exemption(facts, law).verdict is Verdict.NOT_MET
    except Undecided:
        return False


def ending_of(facts: Facts, law: Law) -> tuple[str, date] | None:
    """What ended the registration of this aircraft, and when; None when nothing that ends it is on file.

    Undecided without a number: whether the certificate was cancelled or revoked could not be looked up.
    """
    event = _ended_by_event(facts, law)
    return _ended_on_paper(facts.linked(REGISTRATION), law) if event is None else event


def ended_as_known(facts: Facts, law: Law) -> tuple[str, date] | None:
    """What ended the registration, like `ending_of`; without a number what befell the aircraft is all that is looked at."""
    event = _ended_by_event(facts, law)
    if event is None and facts.has(REGISTRATION):
        return _ended_on_paper(facts.quietly().linked(REGISTRATION), law)
    return event


def _ended_by_event(facts: Facts, law: Law) -> tuple[str, date] | None:
    ends_by_event = law[ENDING_EVENTS]
    for key, code in _ENDINGS:
        day = under_certificate(facts, key)
        if day is not None and ends_by_event:
            return code, day
    return None


def under_certificate(facts: Facts, key: Key[date]) -> date | None:
    """The day of an event under the certificate on file; None when there was none, or only before that certificate was issued.

    Who registers after the sale has a certificate that the sale did not end; so has who has another number since.
    """
    day = happened(facts, key)
    if day is None or not facts.has(REGISTRATION):
        return day
    if key is SOLD_ON and _under_old_number(facts, day):
        return None
    issued = happened(facts.quietly().linked(REGISTRATION), ISSUED_ON)
    return None if issued is not None and day < issued else day


def _under_old_number(facts: Facts, day: date) -> bool:
    """Whether an aircraft was sold under another number than the one it points at."""
    last = facts.on_file(SOLD_UNDER_ON)
    return old_number(facts) is not None and (last is None or last >= day)


def old_number(facts: Facts) -> str | None:
    """The number an aircraft was sold under, where it is not the one it points at; None where it is, or none is on file."""
    old, number = facts.on_file(SOLD_UNDER), facts.on_file(REGISTRATION)
    if old is None or (number is not None and is_same_number(old, number)):
        return None
    return old


def _ended_on_paper(certificate: Facts, law: Law) -> tuple[str, date] | None:
    """What the FAA or its holder did to the certificate itself, or what befell the owner it names."""
    return cancelled(certificate) or _ended_with_owner(certificate, law)


def cancelled(certificate: Facts) -> tuple[str, date] | None:
    """That a certificate was cancelled or revoked, and when; None when neither is on file."""
    for key, code in ((CANCELLED_ON, "cancelled"), (REVOKED_ON, "revoked")):
        day = happened(certificate, key)
        if day is not None:
            return code, day
    return None


def _ended_with_owner(certificate: Facts, law: Law) -> tuple[str, date] | None:
    """What befell the owner named on the certificate that ends it, and when; None when nothing of the kind is on file."""
    owner = certificate.linked_on_file(REGISTERED_TO)
    if owner is None:
        return None
    died = happened(owner, OWNER_DIED_ON)
    if died is not None:
        last = add_days(died, law[DAYS_AFTER_DEATH])
        if day_of(certificate.on) > last:
            return "owner_died", last
    lost = happened(owner, CITIZENSHIP_LOST_ON)
    if lost is not None and law[ENDS_WITH_CITIZENSHIP]:
        return "citizenship_lost", lost
    return None


def duty_follows(facts: Facts, law: Law) -> str:
    """Why a duty that follows registration does not bind: a code, or "" when it does (registered, or must be).

    What is flown only inside a closed building is outside the law even when registered, and a registration that ended binds
    no more.
    """
    outside = facts.on_file(FOREIGN_REGISTRY) or facts.on_file(ONLY_INDOORS)
    if facts.on_file(IS_REGISTERED) and not outside and ended_as_known(facts, law) is None:
        return ""
    return why_no_duty(facts, law)


def part_48_path(facts: Facts, law: Law) -> Outcome:
    """Whether you can register this aircraft under Part 48. If not, Part 47 is the only option."""
    return all_hold(
        lambda: _not_abroad(facts, law),
        lambda: _not_in_trust(facts, law),
        lambda: _web_open(facts, law),
        lambda: _small(facts, law),
    )


PART_48_PATH_RULE = Rule("part_48_path", "aircraft", Bears.ANSWER, part_48_path)


def _not_abroad(facts: Facts, law: Law) -> Outcome:
    if facts.on_file(FLOWN_ABROAD) and law[PART_47_COMPULSORY]:
        return not_met("abroad")
    return met("open")


def _not_in_trust(facts: Facts, law: Law) -> Outcome:
    if facts.linked(OWNER)[OWNER_KIND] in TRUSTS and law[PART_47_COMPULSORY]:
        return not_met("trust")
    return met("open")


def _web_open(facts: Facts, law: Law) -> Outcome:
    if not law[WEB_OPEN_TO_WORK] and facts.use is UsedFor.WORK:
        return not_met("not_yet_open")
    return met("open")


def _small(facts: Facts, law: Law) -> Outcome:
    small = small_aircraft_limit(facts, law)
    if small.verdict is Verdict.MET:
        return met("open")
    if small.verdict is Verdict.NOT_MET:
        return small._replace(code="heavy")
    return small


def right_kind_for_use(facts: Facts, law: Law) -> Outcome:
    """Whether this kind of registration covers this use by this owner."""
    free = duty_follows(facts, law)
    if free:
        return no_duty("no_registration_needed")
    if facts.on_file(IS_REGISTERED) is False:
        return no_duty("not_registered")
    certificate = facts.linked(REGISTRATION)
    kind = kind_of(certificate)
    law.span(RECREATIONAL_IS_EXCLUSIVE)
    if kind is RegistrationKind.PART_47:
        return met("part_47") if has_n_number(certificate) else _part_47_by_word(facts, law)
    checks = [lambda: _covers(kind, facts, law), lambda: _path_open(facts, law)]
    if kind is RegistrationKind.RECREATIONAL:
        checks.insert(1, lambda: _held_by_person(facts, law))
    return all_hold(*checks)


RIGHT_KIND_FOR_USE_RULE = Rule(
    "right_kind_for_use", "aircraft", Bears.FLIGHT, right_kind_for_use, topic=Topic.REGISTRATION
)


def _part_47_by_word(facts: Facts, law: Law) -> Outcome:
    """Part 47 is on file and no N-number: enough only for what Part 48 would carry as well."""
    path = part_48_path(facts, law)
    if path.verdict is Verdict.NOT_MET:
        return unknown(Why.MISSING, "part_47_by_word")
    return met("part_47") if path.verdict is Verdict.MET else path


def _path_open(facts: Facts, law: Law) -> Outcome:
    path = part_48_path(facts, law)
    return met("covers") if path.verdict is Verdict.MET else path


def _held_by_person(facts: Facts, law: Law) -> Outcome:
    if law[RECREATIONAL_FOR_PERSONS] and facts.linked(OWNER)[OWNER_KIND] is not OwnerKind.PERSON:
        return not_met("not_a_person")
    return met("covers")


def _covers(kind: RegistrationKind, facts: Facts, law: Law) -> Outcome:
    if kind is not RegistrationKind.RECREATIONAL or not law[RECREATIONAL_IS_EXCLUSIVE]:
        return met("covers")
    if facts.use is UsedFor.WORK:
        return not_met("recreational_for_work")
    if not exclusively_recreational(facts):
        return unknown(Why.OPEN_READING, "mixed_use")
    return met("covers")


def use_stated(facts: Facts, law: Law) -> Outcome:
    """Whether we know what the aircraft is flown for. The law doesn't ask this, but the answers depend on it."""
    law.span(RECREATIONAL_IS_EXCLUSIVE)
    facts[USED_FOR]
    return no_duty("stated")


USE_STATED_RULE = Rule("use_stated", "aircraft", Bears.FLIGHT, use_stated)


def lost_and_not_cancelled(facts: Facts, law: Law) -> date | None:
    """The day the aircraft was lost, where the law does not say whether loss ends a registration; None otherwise."""
    lost = happened(facts, LOST_ON)
    return None if lost is None or law[LOSS_IS_NAMED] else lost
