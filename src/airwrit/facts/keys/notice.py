"""Keys of a notice that was sent after an incident: of which incident, to whom, when, by whom, and its reference."""

from __future__ import annotations

from datetime import date

from airwrit.facts.flight_choices import NoticeKind
from airwrit.facts.key import Key

NOTICE_ABOUT = Key(
    "notice_about",
    str,
    "notice",
    "incident the notice is about",
    "Which incident is it about?",
    ("notice about",),
    links_to="incident",
)
NOTICE_KIND = Key(
    "notice_kind",
    NoticeKind,
    "notice",
    "which notice it is",
    "Which notice is it?",
    ("which notice",),
)
NOTICE_PAPER = Key(
    "notice_paper",
    str,
    "notice",
    "document that requires it",
    "Which document requires it?",
    ("notice under",),
    links_to="paper",
)
NOTICE_SENT_ON = Key(
    "notice_sent_on",
    date,
    "notice",
    "date or time it was sent",
    "When was it sent, or when did you call?",
    ("notice sent on",),
    instants=True,
)
NOTICE_SENT_BY = Key(
    "notice_sent_by",
    str,
    "notice",
    "who sent it",
    "Who sent it, or called?",
    ("notice sent by",),
)
NOTICE_REFERENCE = Key(
    "notice_reference",
    str,
    "notice",
    "reference it was given",
    "What reference or name did you get?",
    ("notice reference",),
    digits=True,
)

NOTICE_KEYS = (
    NOTICE_ABOUT,
    NOTICE_KIND,
    NOTICE_PAPER,
    NOTICE_SENT_ON,
    NOTICE_SENT_BY,
    NOTICE_REFERENCE,
)
