"""A program told in a few words, for acts to be tried on: two aircraft, a representative, a pilot, a waiver."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta

from airwrit.answers.acts.catalog import ActPlanned, ActRequest, act_named, deed_of
from airwrit.answers.acts.plan import ActPlan, Effects, all_known, before_of, effects_of, held_with, plan_of
from airwrit.answers.sheets.difference import OnRecord
from airwrit.facts.key import Raw
from airwrit.facts.statement import Known
from tests.unit.answers.told import DAY, KNOWN_AT, firm_aircraft, known_of

FIRM = "Tarn & Fell Land Services"
ONE, TWO = "FA00TEST01", "FA00TEST02"
SERIAL = "ZZ9Z6TEST01"
EVENT = date(2026, 11, 20)

Facts = dict[str, dict[str, Raw]]


def program() -> Facts:
    """What is on file of the program."""
    facts: Facts = {
        **firm_aircraft("H-01", ONE, "2025-05-01", remote_id_way="module", holder="Ann"),
        **firm_aircraft("H-02", TWO, "2025-05-01"),
        "person/Ann": {
            "role": "pilot",
            "flies_for": "work",
            "has_certificate": True,
            "born_on": "1990-02-01",
        },
        "person/Bob": {"role": "lead", "flies_for": "work", "has_certificate": True},
        "training/Ann": {"event_of": "Ann", "event_kind": "initial test", "completed_on": "2025-12-01"},
        "paper/W-1": {"paper_kind": "waiver", "paper_responsible": "Bob", "ends_on": "2028-01-01"},
        "part/H-01 lamp": {"part_of": "H-01", "part_name": "lamp", "part_weight_g": "20"},
        "owner/Ann": {"owner_kind": "person", "citizenship": "citizen"},
        "registration/FA00TEST09": {
            "registration_kind": "Part 48 recreational",
            "issued_on": "2025-01-10",
            "registered_to": "Ann",
        },
    }
    facts[f"owner/{FIRM}"] = {**facts[f"owner/{FIRM}"], "registry_login_holder": "Bob"}
    for number in (ONE, TWO):
        facts[f"registration/{number}"]["representative"] = "Bob"
    return facts


KNOWN = known_of(program())


def done(act: str, subject: str, on: date = EVENT, known: Sequence[Known] = KNOWN, **told: str) -> ActPlanned:
    """An act on the program."""
    return deed_of(act_named(act), subject, told, on, known)


def after(*deeds: ActPlanned, known: Sequence[Known] = KNOWN) -> list[Known]:
    """What is known once the acts are done."""
    return list(all_known(_done(before_of(known), deeds)))


def caused(deed: ActPlanned, on: date = DAY, known: Sequence[Known] = KNOWN) -> Effects:
    """What an act causes on a day."""
    return effects_of(known, after(deed, known=known), on, KNOWN_AT)


def said(deed: ActPlanned) -> set[tuple[str, str, Raw]]:
    """What an act states, its day left out."""
    return {(one.subject, one.key, one.value) for one in deed.statements}


def days(start: date, count: int) -> date:
    """The day so many days later."""
    return start + timedelta(days=count)


def held(*deeds: ActPlanned) -> OnRecord:
    """A ledger that holds the program, and acts done on it, each an entry."""
    return _done(before_of(KNOWN), deeds)


def _done(book: OnRecord, deeds: Iterable[ActPlanned]) -> OnRecord:
    for deed in deeds:
        book = held_with(
            book, plan_of(ActRequest(deed.act.name, deed.subject, deed.told, deed.on), book, "ada")
        )
    return book


def then(book: OnRecord, act: str, subject: str, on: date = EVENT, **told: str) -> OnRecord:
    """The ledger once one more act was done."""
    return held_with(book, plan_of(ActRequest(act, subject, told, on), book, "ada"))


def planned(deed: ActPlanned, book: OnRecord, *, corrects: bool = False, **told: Raw) -> ActPlan:
    """The same act said against a ledger."""
    thought = ActRequest(deed.act.name, deed.subject, told or deed.told, deed.on)
    return plan_of(thought, book, "ada", "a word", corrects=corrects)
