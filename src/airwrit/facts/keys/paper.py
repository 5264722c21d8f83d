"""Keys of a paper of the program: a waiver, an authorization, a recognized area, a policy, an exemption."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from airwrit.facts.choices import NoticeOf, PaperKind
from airwrit.facts.key import Key

PAPER_KIND = Key(
    "paper_kind",
    PaperKind,
    "paper",
    "kind of document",
    "Is it a waiver, an authorization, a COA, an SGI approval, a FRIA recognition, insurance or something else?",
    ("paper kind", "kind of paper", "paper type", "document type", "kind", "type"),
    lasting=True,
)
PAPER_NUMBER = Key(
    "paper_number",
    str,
    "paper",
    "number on it",
    "What number is on it?",
    ("paper number", "document number", "policy number", "waiver number", "reference"),
    digits=True,
    lasting=True,
)
PAPER_RESPONSIBLE = Key(
    "paper_responsible",
    str,
    "paper",
    "person responsible for it",
    "Who is responsible for it?",
    ("responsible person", "responsible", "paper holder", "held by", "holder", "point of contact"),
    links_to="person",
)
GRANTED_ON = Key(
    "granted_on",
    date,
    "paper",
    "first day it is in force",
    "When does it start?",
    ("granted on", "granted", "in force from", "effective", "effective date", "starts on"),
    lasting=True,
)
ENDS_ON = Key(
    "ends_on",
    date,
    "paper",
    "last day it is in force",
    "What is its last day?",
    ("ends on", "ends", "last day", "expires", "expires on", "expiry", "expiration date", "valid until"),
)
ASK_DAYS_BEFORE = Key(
    "ask_days_before",
    Decimal,
    "paper",
    "days ahead to apply for renewal",
    "How many days before it ends do you have to apply for renewal?",
    ("ask days before", "lead time in days", "lead time", "days of notice", "renew days before"),
)
RENEWAL_ASKED_ON = Key(
    "renewal_asked_on",
    date,
    "paper",
    "date the renewal was requested",
    "When was the renewal requested?",
    ("renewal asked on", "renewal asked for", "renewal requested", "renewal requested on"),
)
COVERS_AIRCRAFT = Key(
    "covers_aircraft",
    str,
    "paper",
    "aircraft it covers",
    "Which aircraft does it cover?",
    ("covers aircraft", "aircraft covered", "for aircraft", "aircraft"),
    links_to="aircraft",
)
COVERS_PERSON = Key(
    "covers_person",
    str,
    "paper",
    "person it covers",
    "Which person does it cover?",
    ("covers person", "person covered", "for person"),
    links_to="person",
)
COVERS_ALL = Key(
    "covers_all",
    bool,
    "paper",
    "covers every aircraft and person in the program",
    "Does it cover every aircraft and person in the program?",
    ("covers all", "covers everything", "whole program", "covers whole program"),
)
CARRIED = Key(
    "carried",
    str,
    "paper",
    "what part of it to carry on a flight",
    "What part of it do you have to carry on a flight?",
    ("to carry", "carried", "must be carried", "carry on flight"),
)
FOR_COUNSEL = Key(
    "for_counsel",
    bool,
    "paper",
    "for the organization's counsel: counted, not printed",
    "Is it only for the organization's counsel?",
    ("for counsel", "counsel only", "counsel", "privileged"),
)
NOTICE_WITHIN_HOURS = Key(
    "notice_within_hours",
    Decimal,
    "paper",
    "hours within which it requires notice of an incident",
    "Within how many hours does it require notice of an incident? Write 0 for at once.",
    ("notice within hours", "incident notice hours", "report within hours"),
)
NOTICE_WITHIN_BUSINESS_DAYS = Key(
    "notice_within_business_days",
    Decimal,
    "paper",
    "business days within which it requires notice of an incident",
    "Within how many business days does it require notice of an incident, if it counts in those?",
    ("notice within business days", "incident notice business days"),
)
NOTICE_OF = Key(
    "notice_of",
    NoticeOf,
    "paper",
    "incidents it requires notice of",
    "Which incidents does it require notice of?",
    ("notice of", "incidents to report"),
)
NOTICE_TO = Key(
    "notice_to",
    str,
    "paper",
    "whom to notify under it, with a phone number",
    "Whom does it say to notify, and at what number?",
    ("notice to", "claims line", "report to"),
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
    NOTICE_WITHIN_HOURS,
    NOTICE_WITHIN_BUSINESS_DAYS,
    NOTICE_OF,
    NOTICE_TO,
)
