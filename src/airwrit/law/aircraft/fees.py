"""Whether no more was paid for a certificate than it costs: 14 CFR 48.30, 47.15, 47.17."""

from __future__ import annotations

from airwrit.base.verdict import Outcome
from airwrit.facts.choices import RegistrationKind
from airwrit.facts.keys.registration import FEE_PAID
from airwrit.facts.state import Facts
from airwrit.law.aircraft.duty import kind_of
from airwrit.law.parameters import Law
from airwrit.law.rule import Bears, Rule, met, no_duty, not_met
from airwrit.law.shared_parameters import CHOICE_FEE_USD, FEE_USD, PART_47_FEE_USD


def federal_fee(facts: Facts, law: Law) -> Outcome:
    """Whether you paid only the federal fee for a registration. A private service charges more."""
    if not facts.has(FEE_PAID):
        return no_duty("nothing_said")
    paid = facts[FEE_PAID]
    part_47 = kind_of(facts) is RegistrationKind.PART_47
    fee = law[PART_47_FEE_USD] if part_47 else law[FEE_USD]
    if paid == fee:
        return met("federal_fee", value=fee)
    if part_47 and paid == fee + law[CHOICE_FEE_USD]:
        return met("with_chosen_number", value=paid)
    return not_met("paid_more" if paid > fee else "paid_less", value=fee)


FEDERAL_FEE_RULE = Rule("federal_fee", "registration", Bears.ANSWER, federal_fee)
