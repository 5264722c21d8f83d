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
    "kind of registration",
    "Is it a registration for one aircraft, a recreational one, or a Part 47 one?",
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
    "date the certificate was issued",
    "When was it issued?",
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
    "expiration date on the certificate",
    "What expiration date is on the certificate?",
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
    "date of the last renewal",
    "When was it last renewed?",
    ("renewed", "renewed on", "renewal date", "last renewed", "date renewed"),
)
RENEWAL_FILED_ON = Key(
    "renewal_filed_on",
    date,
    "registration",
    "date of a pending renewal",
    "When did you send the renewal that is still pending?",
    ("renewal filed", "renewal sent", "renewal pending since"),
)
REGISTERED_TO = Key(
    "registered_to",
    str,
    "registration",
    "owner named on the certificate",
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
    "person who filed for the organization",
    "Who filed it for the organization?",
    ("representative", "authorized representative", "rep", "account holder", "filed by"),
    links_to="person",
)
DETAILS_CHANGED_ON = Key(
    "details_changed_on",
    date,
    "registration",
    "date a registration detail changed",
    "When did a registration detail change?",
    ("details changed on", "changed on"),
)
CHANGE_FILED_ON = Key(
    "change_filed_on",
    date,
    "registration",
    "date the change was filed",
    "When was the change filed?",
    ("change filed on", "change filed", "update filed"),
)
CANCELLED_ON = Key(
    "cancelled_on",
    date,
    "registration",
    "date it was canceled",
    "When was it canceled?",
    ("cancelled on", "canceled on", "cancelled", "canceled"),
    lasting=True,
)
REVOKED_ON = Key(
    "revoked_on",
    date,
    "registration",
    "date the FAA revoked it",
    "When did the FAA revoke it?",
    ("revoked on", "revoked"),
    lasting=True,
)
FILED_BY_OTHER = Key(
    "filed_in_owners_place_by",
    str,
    "registration",
    "person who filed for the owner",
    "Who filed it for the owner?",
    ("filed by another", "filed in place of owner"),
    links_to="owner",
)
GOT_IN_GOOD_FAITH = Key(
    "got_in_good_faith",
    bool,
    "registration",
    "acquired in good faith, not to get around the registration rules",
    "Did the owner get it in good faith, not to get around the registration rules?",
    ("got in good faith", "good faith"),
)

OWNER_KIND = Key(
    "owner_kind",
    OwnerKind,
    "owner",
    "kind of owner",
    "Is the owner a person, a partnership, a corporation, a trust, a voting trust or a government body?",
    ("owner kind", "owner type", "kind of owner", "kind", "type of owner", "legal form"),
)
CITIZENSHIP = Key(
    "citizenship",
    Citizenship,
    "owner",
    "owner's citizenship",
    "Is the owner a US citizen or permanent resident?",
    ("citizenship", "citizen", "us citizen"),
    private=True,
)
OWNER_BORN_ON = Key(
    "owner_born_on",
    date,
    "owner",
    "owner's birthday",
    "When was the owner born?",
    ("owner born", "owner birthday"),
    private=True,
    lasting=True,
)
OWNER_DIED_ON = Key(
    "owner_died_on",
    date,
    "owner",
    "date the owner died",
    "When did the owner die?",
    ("owner died", "owner died on", "date of death"),
    private=True,
    lasting=True,
)
CITIZENSHIP_LOST_ON = Key(
    "citizenship_lost_on",
    date,
    "owner",
    "date the owner stopped being a citizen or permanent resident",
    "When did the owner stop being a citizen or permanent resident?",
    ("citizenship lost on", "citizenship lost", "residence lost on"),
    private=True,
    lasting=True,
)
PARTNERS_ALL_CITIZENS = Key(
    "partners_all_citizens",
    bool,
    "owner",
    "whether every partner is an individual US citizen",
    "Is every partner an individual US citizen?",
    ("partners all citizens",),
)
ORGANIZED_IN_US = Key(
    "organized_in_us",
    bool,
    "owner",
    "set up under US or state law",
    "Was it set up under US or state law?",
    ("organized in us", "us company", "incorporated in us"),
)
PRESIDENT_CITIZEN = Key(
    "president_citizen",
    bool,
    "owner",
    "whether the president is a US citizen",
    "Is its president a US citizen?",
    ("president citizen",),
)
CITIZEN_OFFICERS = Key(
    "citizen_officers_share",
    Decimal,
    "owner",
    "share of directors and managing officers who are US citizens, 0 to 1",
    "What share of its directors and managing officers are US citizens?",
    ("citizen officers share",),
)
CITIZEN_VOTES = Key(
    "citizen_votes_share",
    Decimal,
    "owner",
    "share of the votes that US citizens own or control, 0 to 1",
    "What share of the votes do US citizens own or control?",
    ("citizen votes share",),
)
CITIZENS_CONTROL = Key(
    "citizens_control",
    bool,
    "owner",
    "whether US citizens actually control it",
    "Do US citizens actually control it?",
    ("citizens control",),
)
BASED_AND_USED_IN_US = Key(
    "based_and_used_in_us",
    bool,
    "owner",
    "aircraft based and mainly used in the US",
    "Are its aircraft based and mainly used in the US?",
    ("based and used in us",),
)
REGISTRY_LOGIN_HOLDER = Key(
    "registry_login_holder",
    str,
    "owner",
    "who has the FAA login",
    "Who has the FAA login?",
    ("registry login holder", "login holder", "login", "registry login", "faa login", "account manager"),
    links_to="person",
)
REGISTRY_EMAIL = Key(
    "registry_email",
    str,
    "owner",
    "email address on the registry account",
    "What email address does the registry write to?",
    ("registry e-mail", "registry email", "login e-mail", "login email", "account email"),
    private=True,
)
WHOM_TO_CALL = Key(
    "whom_to_call",
    str,
    "owner",
    "whom an officer may call: name and number",
    "Whom may an officer call about your flights (name and number)?",
    ("whom to call", "call about flights", "phone for officers"),
    private=True,
)
HOLDS_AS = Key(
    "holds_as",
    HoldsAs,
    "owner",
    "whether the registrant owns, leases or borrows it",
    "Does whoever registers it own it, lease it, borrow it, or still owe money on it?",
    ("holds as", "right to aircraft"),
)
OWNED_BY_SEVERAL = Key(
    "owned_by_several",
    bool,
    "owner",
    "several owners",
    "Does it have several owners?",
    ("owned by several", "co-owned", "jointly owned"),
)
OTHER_OWNERS_ELIGIBLE = Key(
    "other_owners_eligible",
    bool,
    "owner",
    "whether every other owner may register",
    "Is every other owner a US citizen, a permanent resident, or an organization that may register?",
    ("other owners eligible",),
)
FILER_OLD_ENOUGH = Key(
    "filer_old_enough",
    bool,
    "owner",
    "whether the filer is 13 or older",
    "Will the person who files be 13 or older? That's the owner, or an older person for a child.",
    ("filer old enough",),
)
US_HOURS_SHARE = Key(
    "us_flight_hours_share",
    Decimal,
    "owner",
    "share of its flight hours in the US each six months, 0 to 1",
    "What share of its flight hours is in the US, in each six-month period?",
    ("us flight hours share",),
)

FEE_PAID = Key(
    "fee_paid_usd",
    Decimal,
    "registration",
    "total paid for the registration",
    "How much did you pay for the registration in all?",
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
