"""Keys of events that are subjects of their own, so that none hides another, and of an aircraft in another's hands.

A change that somebody has to be told of: of a registration's details, or of a pilot's address. A pilot's confirmation.
"""

from __future__ import annotations

from datetime import date

from airwrit.facts.choices import HeldUnder
from airwrit.facts.key import Key

CHANGE_OF = Key(
    "change_of",
    str,
    "change",
    "registration whose details changed",
    "Which registration changed?",
    ("change of", "registration changed"),
    links_to="registration",
)
MOVE_OF = Key(
    "move_of",
    str,
    "change",
    "person whose mailing address changed",
    "Who moved?",
    ("move of", "who moved"),
    links_to="person",
)
CHANGED_ON = Key(
    "changed_on",
    date,
    "change",
    "date of the change",
    "When did it change?",
    ("day of the change",),
)
FILED_ON = Key(
    "filed_on",
    date,
    "change",
    "date the change was filed with the registry",
    "When was this change filed with the registry?",
    ("day of the filing",),
)
WHAT_CHANGED = Key(
    "what_changed",
    str,
    "change",
    "what changed",
    "What changed?",
    ("what changed",),
)

CONFIRMED_BY = Key(
    "confirmed_by",
    str,
    "confirmation",
    "pilot who confirmed it",
    "Who confirms it?",
    ("confirmed by",),
    links_to="person",
)
CONFIRMED = Key(
    "confirmed",
    str,
    "confirmation",
    "what was checked and found OK",
    "What was checked and found OK?",
    ("confirmed", "checked"),
)
CONFIRMED_ON = Key(
    "confirmed_on",
    date,
    "confirmation",
    "date or time of the check",
    "When was it checked?",
    ("confirmed on", "checked on"),
    instants=True,
)
GOOD_UNTIL_ON = Key(
    "good_until_on",
    date,
    "confirmation",
    "last day the confirmation is good",
    "What is the last day it is good?",
    ("good until",),
)
CONFIRMED_AIRCRAFT = Key(
    "confirmed_aircraft",
    str,
    "confirmation",
    "aircraft it is about",
    "Which aircraft is it about?",
    ("confirmed aircraft",),
    links_to="aircraft",
)

HELD_UNDER = Key(
    "held_under",
    HeldUnder,
    "aircraft",
    "on loan or on lease",
    "Is it on loan or on lease?",
    ("held under", "loan or lease"),
)
BACK_ON = Key(
    "back_on",
    date,
    "aircraft",
    "date a loaned or leased aircraft is due back",
    "When is it due back?",
    ("back on", "back by", "due back", "return by", "loan ends", "lease ends"),
)

CHANGE_KEYS = (CHANGE_OF, MOVE_OF, CHANGED_ON, FILED_ON, WHAT_CHANGED)
CONFIRMATION_KEYS = (CONFIRMED_BY, CONFIRMED, CONFIRMED_ON, GOOD_UNTIL_ON, CONFIRMED_AIRCRAFT)
HOLDING_KEYS = (HELD_UNDER, BACK_ON)
