"""Which way an aircraft is registered: every way judged, and the one that fits."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from airwrit.base.days import day_of
from airwrit.facts.choices import UsedFor
from airwrit.facts.keys.aircraft import USED_FOR
from airwrit.facts.keys.registration import FILER_OLD_ENOUGH
from airwrit.facts.state import State, value_held
from airwrit.law.holder.ways import Decision, RegistrationWay, decision_of
from airwrit.law.rule import Finding, judge
from airwrit.law.rulebook import WAYS

PART_48_WAYS = (RegistrationWay.RECREATIONAL, RegistrationWay.PERSON, RegistrationWay.ORGANIZATION)
_FILER = (FILER_OLD_ENOUGH.name, "older_person_needed")
"""What a way of Part 48 says last, when all else about it is settled: nobody told who files, or one too young would."""


class Ways(NamedTuple):
    """Every way of one aircraft as found under the use it is judged for, and the decision."""

    subject: str
    use: UsedFor
    findings: Mapping[RegistrationWay, Finding]
    decision: Decision


def ways_of(state: State, subject: str) -> Ways:
    """The ways of an aircraft. Where nobody said what it is for, what hangs on that stays open."""
    use = use_judged(state, subject)
    findings = {way: judge(rule, state, subject, use, day_of(state.on)) for way, rule in WAYS.items()}
    waiting = [way for way, f in findings.items() if way in PART_48_WAYS and f.outcome.code in _FILER]
    return Ways(subject, use, findings, decision_of({way: f.verdict for way, f in findings.items()}, waiting))


def use_judged(state: State, subject: str) -> UsedFor:
    """Work where work is among what it is used for; else recreation, whose rules ask what it is used for."""
    stated = value_held(state, subject, USED_FOR)
    return UsedFor.WORK if stated in (UsedFor.WORK, UsedFor.BOTH) else UsedFor.RECREATION
