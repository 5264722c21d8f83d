"""The mark on the aircraft: 14 CFR 48.200, 48.205 (84 FR 3669 from 2019-02-25); Part 45 for N-numbers."""

from __future__ import annotations

from airwrit.base.verdict import Outcome, Undecided, Why
from airwrit.facts.choices import MarkPlace, RegistrationKind
from airwrit.facts.keys.aircraft import IS_REGISTERED, MARK_LEGIBLE, MARK_PLACE, MARK_TEXT, REGISTRATION
from airwrit.facts.keys.document import DocumentShows
from airwrit.facts.keys.registration import REGISTRATION_KIND
from airwrit.facts.state import Facts
from airwrit.law.aircraft.duty import duty_follows, ended_as_known, has_n_number, kind_of
from airwrit.law.parameters import Law, parameter
from airwrit.law.rule import Bears, Rule, Topic, met, no_duty, not_asked, not_met
from airwrit.law.shared_parameters import MARK_FORM, MARK_HEIGHTS, NUMBER_FORM

HEIGHT_SET = parameter("mark_letter_height_set", bool)
"""Whether 48.205 says how large a mark is: it doesn't. Part 45 has sizes of its own for N-numbers (`part_47`)."""


INSIDE_ALLOWED = parameter("mark_inside_without_tool_allowed", bool)
MARK_IS_NUMBER = parameter("mark_is_registration_number", bool)


def marked_outside(facts: Facts, law: Law) -> Outcome:
    """Whether the number is where the law of that day requires it, and can be read."""
    if duty_follows(facts, law):
        return no_duty("no_registration_needed")
    place, inside_allowed = facts[MARK_PLACE], law[INSIDE_ALLOWED]
    if place is MarkPlace.NOT_MARKED:
        return not_met("not_marked")
    if facts.on_file(MARK_LEGIBLE) is False:
        return not_met("not_legible")
    if law[HEIGHT_SET]:
        raise Undecided(Why.LAW_NOT_READ, HEIGHT_SET.name)
    ended = _ended(facts, law)
    if ended is not None:
        return ended
    if place is MarkPlace.OUTSIDE:
        return met("outside")
    if place is MarkPlace.INSIDE_NO_TOOL and inside_allowed:
        return met("inside_then_allowed")
    return not_met("inside_with_tool" if inside_allowed else "inside")


MARKED_OUTSIDE_RULE = Rule(
    "marked_outside",
    "aircraft",
    Bears.FLIGHT,
    marked_outside,
    topic=Topic.MARK,
    shown_by=(DocumentShows.MARK,),
)


def _ended(facts: Facts, law: Law) -> Outcome | None:
    """That the number on it is that of a registration which ended, as with a sale; None while it has not."""
    ended = ended_as_known(facts, law) if facts.on_file(IS_REGISTERED) else None
    return None if ended is None else not_met("number_ended", value=ended[1])


def mark_shows_number(facts: Facts, law: Law) -> Outcome:
    """Whether the number on the aircraft is its registration number, if someone read it off the aircraft."""
    if duty_follows(facts, law):
        return no_duty("no_registration_needed")
    if facts.on_file(IS_REGISTERED) is False:
        return no_duty("not_registered")
    shown = facts.on_file(MARK_TEXT)
    if shown is None:
        return no_duty("not_read_off")
    free = not_asked(law, MARK_IS_NUMBER)
    if free is not None:
        return free
    ended = _ended(facts, law)
    if ended is not None:
        return ended
    number = facts[REGISTRATION]
    certificate = facts.linked(REGISTRATION)
    told = certificate.has(REGISTRATION_KIND) or has_n_number(certificate)
    if told and kind_of(certificate) is RegistrationKind.PART_47:
        law.written_for(NUMBER_FORM, "N, then one to five signs")
        law.written_for(MARK_FORM, "Roman capital N and the number")
        law.written_for(MARK_HEIGHTS, "as large as practicable")
    if "".join(shown.upper().split()) == "".join(number.upper().split()):
        return met("same")
    return not_met("other_number")


MARK_SHOWS_NUMBER_RULE = Rule(
    "mark_shows_number",
    "aircraft",
    Bears.FLIGHT,
    mark_shows_number,
    topic=Topic.MARK,
    shown_by=(DocumentShows.MARK,),
)
