"""Keys of a paper of the program: a waiver, an authorization, a recognized area, a policy, an exemption."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from airwrit.facts.choices import PaperKind
from airwrit.facts.key import Key

PAPER_KIND = Key(
    "paper_kind",
    PaperKind,
    "paper",
    "what kind of paper it is",
    "Is it a waiver, an authorization, a COA, a FRIA recognition, an insurance policy, an exemption or something else?",
    ("paper kind", "kind of paper", "paper type", "document type", "kind", "type"),
    lasting=True,
)
PAPER_NUMBER = Key(
    "paper_number",
    str,
    "paper",
    "the number printed on it",
    "Which number is printed on it?",
    ("paper number", "document number", "policy number", "waiver number", "reference"),
    digits=True,
    lasting=True,
)
PAPER_RESPONSIBLE = Key(
    "paper_responsible",
    str,
    "paper",
    "the person responsible for it",
    "Who is named as responsible for it?",
    ("responsible person", "responsible", "paper holder", "held by", "holder", "point of contact"),
    links_to="person",
)
GRANTED_ON = Key(
    "granted_on",
    date,
    "paper",
    "first day it is in force",
    "From which day is it in force?",
    ("granted on", "granted", "in force from", "effective", "effective date", "starts on"),
    lasting=True,
)
ENDS_ON = Key(
    "ends_on",
    date,
    "paper",
    "last day it is in force",
    "Which is the last day it is in force?",
    ("ends on", "ends", "last day", "expires", "expires on", "expiry", "expiration date", "valid until"),
)
ASK_DAYS_BEFORE = Key(
    "ask_days_before",
    Decimal,
    "paper",
    "days before its end by which a renewal has to be asked for",
    "How many days before its end does a renewal have to be asked for?",
    ("ask days before", "lead time in days", "lead time", "days of notice", "renew days before"),
)
RENEWAL_ASKED_ON = Key(
    "renewal_asked_on",
    date,
    "paper",
    "day its renewal was asked for",
    "On which day was its renewal asked for?",
    ("renewal asked on", "renewal asked for", "renewal requested", "renewal requested on"),
)
COVERS_AIRCRAFT = Key(
    "covers_aircraft",
    str,
    "paper",
    "the aircraft it covers",
    "Which aircraft does it cover?",
    ("covers aircraft", "aircraft covered", "for aircraft", "aircraft"),
    links_to="aircraft",
)
COVERS_PERSON = Key(
    "covers_person",
    str,
    "paper",
    "the person it covers",
    "Which person does it cover?",
    ("covers person", "person covered", "for person"),
    links_to="person",
)
COVERS_ALL = Key(
    "covers_all",
    bool,
    "paper",
    "covers every aircraft and person of the program",
    "Does it cover every aircraft and person of the program?",
    ("covers all", "covers everything", "whole program", "covers whole program"),
)
CARRIED = Key(
    "carried",
    str,
    "paper",
    "what of it has to be carried on a flight",
    "What of it has to be carried on a flight?",
    ("to carry", "carried", "must be carried", "carry on flight"),
)
FOR_COUNSEL = Key(
    "for_counsel",
    bool,
    "paper",
    "marked for the organization's counsel: counted, not printed",
    "Is it to be kept for the organization's counsel?",
    ("for counsel", "counsel only", "counsel", "privileged"),
)

PAPER_KEYS = (
    PAPER_KIND,
    PAPER_NUMBER,
    PAPER_RESPONSIBLE,
    GRANTED_ON,
    ENDS_ON,
    ASK_DAYS_BEFORE,
    RENEWAL_ASKED_ON,
    COVERS_AIRCRAFT,
    COVERS_PERSON,
    COVERS_ALL,
    CARRIED,
    FOR_COUNSEL,
)
