"""After an incident, beside the FAA and the NTSB: a report the FAA asks for (14 CFR 107.21), OSHA (29 CFR 1904.39), NASA."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from airwrit.base.days import When, add_days, day_of
from airwrit.base.verdict import Outcome, Undecided, Why, days_left
from airwrit.facts.choices import UsedFor
from airwrit.facts.flight_choices import EmployeeHarm, Hurt, IncidentUnder
from airwrit.facts.keys.incident import (
    ABROAD,
    ANYONE_HURT,
    DEVIATED,
    DEVIATION_SENT_ON,
    EMPLOYEE_HARM,
    EMPLOYER_LEARNED_ON,
    FAA_ASKED,
    HAPPENED_ON,
    HARMED_ON,
    INCIDENT_UNDER,
    NASA_LEARNED_ON,
    NASA_SENT_ON,
    OSHA_TOLD_ON,
    PUBLIC_EMPLOYER,
)
from airwrit.facts.state import Facts
from airwrit.law.aircraft.duty import happened
from airwrit.law.flight.incident import happened_day, in_operation, is_accident
from airwrit.law.holder.pilot import part_107_pilot
from airwrit.law.parameters import Law, law_of_event, parameter
from airwrit.law.rule import Bears, Rule, met, no_duty, not_asked, not_met, unknown

DEVIATION_REPORT = parameter("deviation_report_on_request", bool)
DEATH_HOURS = parameter("osha_death_hours", int)
DEATH_WITHIN_DAYS = parameter("osha_death_within_days", int)
SEVERE_HOURS = parameter("osha_severe_hours", int)
SEVERE_WITHIN_HOURS = parameter("osha_severe_within_hours", int)
NASA_DAYS = parameter("nasa_report_days", int)

_NOT_SEVERE = {
    EmployeeHarm.NONE: "no_severe_harm",
    EmployeeHarm.TREATED: "treated_only",
    EmployeeHarm.OBSERVED: "observed_only",
}


def deviation_report(facts: Facts, law: Law) -> Outcome:
    """Whether the FAA asked for a written report on a Part 107 rule broken in an emergency."""
    start = happened_day(facts)
    if start > day_of(facts.on):
        return no_duty("still_to_come")
    under = facts.on_file(INCIDENT_UNDER)
    if (under is not None and under is not IncidentUnder.PART_107) or facts.on_file(ABROAD):
        return no_duty("not_under_part_107")
    if part_107_pilot(facts.under(UsedFor.WORK), law_of_event(law, start, DEVIATION_REPORT)) is not None:
        return no_duty("not_under_part_107")
    law = law_of_event(law, start, DEVIATION_REPORT)
    free = not_asked(law, DEVIATION_REPORT)
    if free is not None:
        return free
    if not facts.on_file(FAA_ASKED):
        return no_duty("no_deviation" if facts.on_file(DEVIATED) is False else "only_when_the_faa_asks")
    sent = happened(facts, DEVIATION_SENT_ON)
    return unknown(Why.MISSING, "asked") if sent is None else met("sent", value=sent)


DEVIATION_REPORT_RULE = Rule("deviation_report", "incident", Bears.ANSWER, deviation_report)


def report_osha(facts: Facts, law: Law) -> Outcome:
    """Whether a death was reported to OSHA within 8 hours, and other severe harm within 24."""
    start = happened_day(facts)
    if start > day_of(facts.on):
        return no_duty("still_to_come")
    if facts.on_file(ANYONE_HURT) is Hurt.NOBODY:
        return no_duty("no_severe_harm")
    harm = facts[EMPLOYEE_HARM]
    if harm in _NOT_SEVERE:
        return no_duty(_NOT_SEVERE[harm])
    if facts.on_file(ABROAD):
        return unknown(Why.OUTSIDE_THIS_TOOL, "abroad")
    if facts[PUBLIC_EMPLOYER]:
        return unknown(Why.OPEN_READING, "state_plan")
    law = law_of_event(law, start, DEATH_HOURS)
    late = _too_late(facts, law, harm)
    if late is not None:
        return late
    hours = law[DEATH_HOURS if harm is EmployeeHarm.DIED else SEVERE_HOURS]
    return _reported(facts, facts.on_file(EMPLOYER_LEARNED_ON) or facts[HARMED_ON], hours)


REPORT_OSHA_RULE = Rule("report_osha", "incident", Bears.ANSWER, report_osha)


def _too_late(facts: Facts, law: Law, harm: EmployeeHarm) -> Outcome | None:
    """Why harm so long after the event is not reported: a death after 30 days, other harm after 24 hours."""
    event, harmed = facts[HAPPENED_ON], facts[HARMED_ON]
    if harm is EmployeeHarm.DIED:
        last = add_days(day_of(event), law[DEATH_WITHIN_DAYS])
        return no_duty("died_later", value=last) if day_of(harmed) > last else None
    hours = timedelta(hours=law[SEVERE_WITHIN_HOURS])
    if isinstance(event, datetime) and isinstance(harmed, datetime):
        return no_duty("harmed_later", value=event + hours) if harmed > event + hours else None
    apart = timedelta(days=(day_of(harmed) - day_of(event)).days)
    if apart > hours:
        return no_duty("harmed_later", value=day_of(event + hours))
    if apart == hours:
        raise Undecided(Why.WITHIN_DOUBT, HARMED_ON.name)
    return None


def _reported(facts: Facts, learned: When, hours: int) -> Outcome:
    """Whether it was reported within so many hours; without the time of day the last hour can't be said, only its day."""
    if not isinstance(learned, datetime):
        raise Undecided(Why.WITHIN_DOUBT, EMPLOYER_LEARNED_ON.name)
    due = learned + timedelta(hours=hours)
    sent, on = facts.on_file(OSHA_TOLD_ON), facts.on
    if sent is not None:
        if not isinstance(sent, datetime) and day_of(sent) == day_of(due):
            raise Undecided(Why.WITHIN_DOUBT, OSHA_TOLD_ON.name)
        return met("sent", value=sent) if _is_by(sent, due) else not_met("sent_late", value=due)
    if _is_by(on, due):
        return unknown(
            Why.MISSING, "owed", value=due, due_on=due.date(), margin=days_left(due.date(), day_of(on))
        )
    return not_met("overdue", value=due, due_on=due.date())


def _is_by(when: When, due: datetime) -> bool:
    """Whether a moment is not after another; a day counts as a whole."""
    return when <= due if isinstance(when, datetime) else when <= due.date()


def nasa_report(facts: Facts, law: Law) -> Outcome:
    """Whether a safety report went to NASA within ten days. Sending one is each person's choice."""
    start = happened_day(facts)
    if start > day_of(facts.on):
        return no_duty("still_to_come")
    if in_operation(facts) and is_accident(facts, law_of_event(law, start, NASA_DAYS)):
        return no_duty("accident")
    learned: date = max(start, facts.on_file(NASA_LEARNED_ON) or start)
    due = add_days(learned, law_of_event(law, start, NASA_DAYS)[NASA_DAYS])
    sent = happened(facts, NASA_SENT_ON)
    if sent is not None:
        return met("sent", value=sent) if sent <= due else not_met("sent_late", value=due)
    return no_duty("choice", value=due, due_on=due) if day_of(facts.on) <= due else no_duty("past", value=due)


NASA_REPORT_RULE = Rule("nasa_report", "incident", Bears.ANSWER, nasa_report)
