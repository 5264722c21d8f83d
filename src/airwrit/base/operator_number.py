"""Operator numbers of the European Union's States: country, 12 signs, a check sign, and three signs kept secret.

    FIN 87astrdge12k 8 - xyz
    |   |            |   secret: never broadcast, never marked, never shown
    |   |            check sign
    |   12 digits and small letters
    country, ISO 3166-1 alpha-3

The check sign is Luhn's for 36 signs (0-9, a-z) over the 12 signs and the secret three: from the right, every second sign
counts double from the last on; quotient and remainder by 36 are added up; check = (36 - sum mod 36) mod 36.
Source: an example of the European Union and one of a national authority, both in tests/checks; the text itself was not read.
"""

from __future__ import annotations

import re
from collections.abc import Collection

from airwrit.base.identifiers import NumberChecked, NumberFault

_SIGNS = "0123456789abcdefghijklmnopqrstuvwxyz"
_DASHED = re.compile(r"([A-Za-z]{3})([0-9A-Za-z]{12})([0-9A-Za-z])-(.*)", re.DOTALL)
_JOINED = re.compile(r"([A-Za-z]{3})([0-9A-Za-z]{12})([0-9A-Za-z])([0-9A-Za-z]{3})")
_OPEN = re.compile(r"([A-Za-z]{3})([0-9A-Za-z]{12})([0-9A-Za-z])")
_ANYWHERE = re.compile(
    r"(?<![0-9A-Za-z])([A-Za-z]{3})([0-9A-Za-z]{12})([0-9A-Za-z])(?:(\s*-\s*)|(?=.{3}(?![0-9A-Za-z])))([0-9A-Za-z]+)"
)
_MASK = "***"


def check_sign(twelve: str, secret: str) -> str:
    """The check sign over 12 signs and the secret three. ValueError on any other sign than 0-9 and a-z."""
    total = 0
    for place, sign in enumerate(reversed(twelve + secret)):
        value = _SIGNS.index(sign) * (2 if place % 2 == 0 else 1)
        total += value // len(_SIGNS) + value % len(_SIGNS)
    return _SIGNS[-total % len(_SIGNS)]


def without_secret(text: str, states: Collection[str]) -> str:
    """The text with the secret part of each operator number in it masked; any other text as it is.

    After a dash whatever signs follow are masked, where the number begins with one of `states`. Without a dash the last
    three signs are, where it has a small letter or the right check sign too, so that no other number of 19 signs is hidden.
    """

    def masked(found: re.Match[str]) -> str:
        secret = found[5]
        if found[1].upper() not in states:
            return found[0]
        joined_plainly = not found[4] and found[0] == found[0].upper()
        if joined_plainly and not _fits(found[2], found[3], secret):
            return found[0]
        return f"{found[1]}{found[2]}{found[3]}{found[4] or ''}{_MASK}"

    return _ANYWHERE.sub(masked, text)


def _fits(twelve: str, sign: str, secret: str) -> bool:
    return check_sign(twelve.lower(), secret.lower()) == sign.lower()


def operator_number(text: str, states: Collection[str]) -> NumberChecked:
    """An operator number of one of `states`, its secret part masked; with that part the check sign is checked too."""
    stripped = text.strip()
    parts = _DASHED.fullmatch(stripped) or _JOINED.fullmatch(stripped) or _OPEN.fullmatch(stripped)
    if parts is None:
        fault = NumberFault(
            "form",
            0,
            "it needs three letters for the country, 12 digits or lowercase letters, and a check character",
        )
        return NumberChecked(stripped, (), (fault,))
    secret = parts[4].strip() if len(parts.groups()) == 4 else ""
    faults: list[NumberFault] = []
    if parts[1].upper() not in states:
        faults.append(NumberFault("state", 1, f"{parts[1]} isn't a country that issues these numbers"))
    if secret and not (len(secret) == 3 and secret.isascii() and secret.isalnum()):
        faults.append(NumberFault("secret", 18, "the secret part is three digits or lowercase letters"))
    elif secret and not _fits(parts[2], parts[3], secret):
        faults.append(NumberFault("check_sign", 16, f"the check character {parts[3]} doesn't match the rest"))
    normal = parts[1].upper() + (parts[2] + parts[3]).lower()
    tidied = ("spaces",) if stripped != text else ()
    if normal != parts[1] + parts[2] + parts[3]:
        tidied = (*tidied, "case")
    return NumberChecked(f"{normal}-{_MASK}" if secret else normal, tidied, tuple(faults))
