"""Keys of a registration and of an owner."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from airwrit.facts.choices import Citizenship, HoldsAs, OwnerKind, RegistrationKind
from airwrit.facts.key import Key
from airwrit.facts.keys.service import REGISTRATION_HOLD_KEYS

REGISTRATION_KIND = Key(
    "registration_kind",
    RegistrationKind,
    "registration",
    "which kind of certificate it is",
    "Is it a certificate per aircraft, a recreational one, or one under Part 47?",
    (
        "registration kind",
        "registration type",
        "kind of registration",
        "reg type",
        "certificate kind",
        "part 48 or 47",
        "reg kind",
    ),
    lasting=True,
)
ISSUED_ON = Key(
    "issued_on",
    date,
    "registration",
    "day the certificate was issued",
    "On which day was it issued?",
    (
        "issued",
        "issued on",
        "issue date",
        "date issued",
        "registration issued",
        "registration date",
        "reg date",
        "registered on",
        "date of issue",
    ),
    lasting=True,
)
EXPIRES_ON = Key(
    "expires_on",
    date,
    "registration",
    "the expiry day as written down",
    "Which expiry day is printed on it?",
    (
        "expires",
        "expires on",
        "expiry",
        "expiration",
        "expiration date",
        "expiry date",
        "reg expires",
        "registration expires",
        "valid until",
        "registration expiration",
        "valid to",
    ),
)
RENEWED_ON = Key(
    "renewed_on",
    date,
    "registration",
    "day of the last renewal",
    "On which day was it last renewed?",
    ("renewed", "renewed on", "renewal date", "last renewed", "date renewed"),
)
RENEWAL_FILED_ON = Key(
    "renewal_filed_on",
    date,
    "registration",
    "day a renewal was sent that is not yet decided",
    "On which day was a renewal sent that is still pending?",
    ("renewal filed", "renewal sent", "renewal pending since"),
)
REGISTERED_TO = Key(
    "registered_to",
    str,
    "registration",
    "the owner named on the certificate",
    "Whose name is on the certificate?",
    (
        "registered to",
        "registered owner",
        "name on registration",
        "registrant",
        "owner on certificate",
        "registered name",
    ),
    links_to="owner",
)
REPRESENTATIVE = Key(
    "representative",
    str,
    "registration",
    "the person who filed for an organization",
    "Who filed it for the organization?",
    ("representative", "authorized representative", "rep", "account holder", "filed by"),
    links_to="person",
)
DETAILS_CHANGED_ON = Key(
    "details_changed_on",
    date,
    "registration",
    "day a detail given in the application changed",
    "On which day did a detail of the application change?",
    ("details changed on", "changed on"),
)
CHANGE_FILED_ON = Key(
    "change_filed_on",
    date,
    "registration",
    "day the change was filed",
    "On which day was the change filed?",
    ("change filed on", "change filed", "update filed"),
)
CANCELLED_ON = Key(
    "cancelled_on",
    date,
    "registration",
    "day it was cancelled",
    "On which day was it cancelled?",
    ("cancelled on", "canceled on", "cancelled", "canceled"),
    lasting=True,
)
REVOKED_ON = Key(
    "revoked_on",
    date,
    "registration",
    "day the FAA revoked it",
    "On which day was it revoked?",
    ("revoked on", "revoked"),
    lasting=True,
)
FILED_BY_OTHER = Key(
    "filed_in_owners_place_by",
    str,
    "registration",
    "who filed it, where that is not the owner",
    "Who filed it in the owner's place?",
    ("filed by another", "filed in place of owner"),
    links_to="owner",
)
GOT_IN_GOOD_FAITH = Key(
    "got_in_good_faith",
    bool,
    "registration",
    "the one named on it got the aircraft in good faith, not to get around the rules on registration",
    "Did the one named on it get the aircraft in good faith, not to get around the rules on registration?",
    ("got in good faith", "good faith"),
)

OWNER_KIND = Key(
    "owner_kind",
    OwnerKind,
    "owner",
    "what kind of owner it is",
    "Is the owner a person, a partnership, a corporation, a trust, a voting trust or a government body?",
    ("owner kind", "owner type", "kind of owner", "kind", "type of owner", "legal form"),
)
CITIZENSHIP = Key(
    "citizenship",
    Citizenship,
    "owner",
    "citizenship standing of a person",
    "Is the owner a US citizen or permanent resident?",
    ("citizenship", "citizen", "us citizen"),
    private=True,
)
OWNER_BORN_ON = Key(
    "owner_born_on",
    date,
    "owner",
    "birthday of an owner who is a person",
    "When was the owner born?",
    ("owner born", "owner birthday"),
    private=True,
    lasting=True,
)
OWNER_DIED_ON = Key(
    "owner_died_on",
    date,
    "owner",
    "day an owner who is a person died",
    "On which day did the owner die?",
    ("owner died", "owner died on", "date of death"),
    private=True,
    lasting=True,
)
CITIZENSHIP_LOST_ON = Key(
    "citizenship_lost_on",
    date,
    "owner",
    "day the owner ceased to be a citizen or permanent resident",
    "On which day did the owner cease to be a citizen or permanent resident?",
    ("citizenship lost on", "citizenship lost", "residence lost on"),
    private=True,
    lasting=True,
)
PARTNERS_ALL_CITIZENS = Key(
    "partners_all_citizens",
    bool,
    "owner",
    "every partner is an individual US citizen",
    "Is every partner an individual US citizen?",
    ("partners all citizens",),
)
ORGANIZED_IN_US = Key(
    "organized_in_us",
    bool,
    "owner",
    "organized under the law of the United States or a State",
    "Is it organized under the law of the United States or of a State?",
    ("organized in us", "us company", "incorporated in us"),
)
PRESIDENT_CITIZEN = Key(
    "president_citizen",
    bool,
    "owner",
    "the president is a US citizen",
    "Is its president a US citizen?",
    ("president citizen",),
)
CITIZEN_OFFICERS = Key(
    "citizen_officers_share",
    Decimal,
    "owner",
    "share of directors and managing officers who are citizens, 0 to 1",
    "What share of its directors and managing officers are US citizens?",
    ("citizen officers share",),
)
CITIZEN_VOTES = Key(
    "citizen_votes_share",
    Decimal,
    "owner",
    "share of the voting interest citizens own or control, 0 to 1",
    "What share of the voting interest do US citizens own or control?",
    ("citizen votes share",),
)
CITIZENS_CONTROL = Key(
    "citizens_control",
    bool,
    "owner",
    "under the actual control of US citizens",
    "Is it under the actual control of US citizens?",
    ("citizens control",),
)
BASED_AND_USED_IN_US = Key(
    "based_and_used_in_us",
    bool,
    "owner",
    "its aircraft are based and primarily used in the United States",
    "Are its aircraft based and primarily used in the United States?",
    ("based and used in us",),
)
REGISTRY_LOGIN_HOLDER = Key(
    "registry_login_holder",
    str,
    "owner",
    "the person who holds the login to the registry",
    "Who holds the login to the registry?",
    ("registry login holder", "login holder", "login", "registry login", "account manager"),
    links_to="person",
)
REGISTRY_EMAIL = Key(
    "registry_email",
    str,
    "owner",
    "the e-mail address the registry writes to",
    "To which e-mail address does the registry write?",
    ("registry e-mail", "registry email", "login e-mail", "login email", "account email"),
    private=True,
)
WHOM_TO_CALL = Key(
    "whom_to_call",
    str,
    "owner",
    "whom an officer may call about its flights: a name and a number",
    "Whom may an officer call about its flights: which name, which number?",
    ("whom to call", "call about flights", "phone for officers"),
    private=True,
)
HOLDS_AS = Key(
    "holds_as",
    HoldsAs,
    "owner",
    "by what right the one who would register has the aircraft",
    "Does it belong to the one who would register it, or is it leased, borrowed or bought on conditions?",
    ("holds as", "right to aircraft"),
)
OWNED_BY_SEVERAL = Key(
    "owned_by_several",
    bool,
    "owner",
    "owned together with others",
    "Does it belong to several owners together?",
    ("owned by several", "co-owned", "jointly owned"),
)
OTHER_OWNERS_ELIGIBLE = Key(
    "other_owners_eligible",
    bool,
    "owner",
    "every other owner may register too",
    "Is every other owner a US citizen, a permanent resident, or an organization that may register?",
    ("other owners eligible",),
)
FILER_OLD_ENOUGH = Key(
    "filer_old_enough",
    bool,
    "owner",
    "the one who files is at least 13 years old: the owner, or an older person for a child",
    "Will the one who files be at least 13 years old (the owner, or an older person for a child)?",
    ("filer old enough",),
)
US_HOURS_SHARE = Key(
    "us_flight_hours_share",
    Decimal,
    "owner",
    "share of its flight hours in the United States in each six months, 0 to 1",
    "What share of its flight hours is flown in the United States, in each six months?",
    ("us flight hours share",),
)

FEE_PAID = Key(
    "fee_paid_usd",
    Decimal,
    "registration",
    "what was paid for the registration in all",
    "What was paid for the registration in all?",
    ("fee paid", "registration cost"),
    unit="usd",
)
REGISTRATION_KEYS: tuple[Key[Any], ...] = (
    REGISTRATION_KIND,
    ISSUED_ON,
    EXPIRES_ON,
    RENEWED_ON,
    RENEWAL_FILED_ON,
    REGISTERED_TO,
    REPRESENTATIVE,
    DETAILS_CHANGED_ON,
    CHANGE_FILED_ON,
    CANCELLED_ON,
    REVOKED_ON,
    FILED_BY_OTHER,
    FEE_PAID,
    GOT_IN_GOOD_FAITH,
    *REGISTRATION_HOLD_KEYS,
)
OWNER_KEYS = (
    OWNER_KIND,
    CITIZENSHIP,
    OWNER_BORN_ON,
    OWNER_DIED_ON,
    CITIZENSHIP_LOST_ON,
    PARTNERS_ALL_CITIZENS,
    ORGANIZED_IN_US,
    PRESIDENT_CITIZEN,
    CITIZEN_OFFICERS,
    CITIZEN_VOTES,
    CITIZENS_CONTROL,
    BASED_AND_USED_IN_US,
    HOLDS_AS,
    OWNED_BY_SEVERAL,
    OTHER_OWNERS_ELIGIBLE,
    FILER_OLD_ENOUGH,
    US_HOURS_SHARE,
    REGISTRY_LOGIN_HOLDER,
    REGISTRY_EMAIL,
    WHOM_TO_CALL,
)
