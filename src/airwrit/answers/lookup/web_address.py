"""Whether a web address can be an official one of a United States regulator, by the address alone; nothing is fetched."""

from __future__ import annotations

import re
import tomllib
import unicodedata
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from airwrit.answers.document import SCOPE_OF_LINKS
from airwrit.answers.law_reading import reading_json
from airwrit.base.registrable_domain import list_date, registrable_in
from airwrit.base.verdict import Undecided, Verdict, worst_of
from airwrit.base.web_address import Address, address_of, scripts_in
from airwrit.law.aircraft.renewal import price_of_certificate
from airwrit.law.parameters import Law, LawReading, read_as

SAYS = {
    Verdict.MET: "This can be official",
    Verdict.NOT_MET: "This isn't official",
    Verdict.UNKNOWN: "We can't tell",
}

_ODD = {
    "control": "It has hidden control characters.",
    "invisible": "It has hidden zero-width characters.",
    "slashes": "Two slashes are missing after http or https. Browsers accept that.",
    "backslash": "It has a backslash. Programs disagree about which site that means.",
    "user": "It has a name before an @. Only what comes after the @ counts, and no agency writes links this way.",
    "port": "It uses an unusual port. Official pages don't.",
    "percent": "The site name is hidden in percent codes.",
    "mapped": "The site name has characters that browsers change into others.",
    "foreign": "The site name has letters other than a to z",
    "dot": "The site name ends with a dot. Official links don't.",
    "long": "It's longer than any official link needs to be.",
    "second": "It contains a second link, so we can't tell where it leads.",
    "http": "It starts with http, not https. Without https, someone in between can change the page.",
}
_TYPE_IT = "Type the address yourself, or use a bookmark you saved."
_LEAST_NAME = 6


class Official(NamedTuple):
    """A domain of an office, who holds it, what for, and where that is known from."""

    domain: str
    who: str
    for_what: str
    source: str


class LinkPoint(NamedTuple):
    """One reason for the verdict: a code and its sentence."""

    code: str
    says: str


@dataclass(frozen=True, slots=True)
class Link:
    """The verdict on one address: what a browser reads in it, the domain somebody registered, the office, and why."""

    text: str
    verdict: Verdict
    address: Address | None
    domain: str | None
    official: Official | None
    points: tuple[LinkPoint, ...]


class Advice(NamedTuple):
    """A sentence to keep in mind, with the law read for it."""

    says: str
    law: tuple[LawReading, ...] = ()


@cache
def _data() -> Mapping[str, Any]:
    return tomllib.loads(Path(__file__).with_name("web_address.toml").read_text(encoding="utf-8"))


@cache
def officials() -> tuple[Official, ...]:
    """The domains known as official, in the order of their file."""
    return tuple(Official(**entry) for entry in _data()["official"])


def judged(text: str) -> Link:
    """The verdict on an address. Never raises; what is no address is not official."""
    address = address_of(text)
    if address is None:
        return _no(
            text, None, None, LinkPoint("no_address", "A browser wouldn't open this as a web address.")
        )
    if not address.host:
        says = f"This isn't a web page. A link that starts with {address.scheme}: may run something or open another program."
        return _no(text, address, None, LinkPoint("scheme", says))
    if address.is_number:
        says = f"The site is only a number, {address.host}. Official sites have a name."
        return _no(text, address, None, LinkPoint("number", says))
    domain = registrable_in(address.host)
    if domain is None and not address.scheme:
        return _no(
            text, address, None, LinkPoint("no_address", "This isn't a web address. Its ending is missing.")
        )
    if domain is None:
        says = (
            f"Nobody can register {address.shown}. It's only an ending, or a name inside a private network."
        )
        return _no(text, address, None, LinkPoint("no_domain", says))
    return _by_domain(text, address, domain)


def _by_domain(text: str, address: Address, domain: str) -> Link:
    odd = _odd(address)
    official = next((each for each in officials() if each.domain == domain), None)
    if official is not None and not odd:
        says = f"{domain} belongs to the {official.who}."
        return Link(
            text, Verdict.MET, address, domain, official, (LinkPoint("official", says), *_bare(address))
        )
    if official is not None:
        says = (
            f"It leads to {domain}, which belongs to the {official.who}. But no agency writes links this way. "
            f"Type https://{domain} yourself."
        )
        return Link(text, Verdict.UNKNOWN, address, domain, official, (LinkPoint("odd", says), *odd))
    if domain in _data()["shorteners"]["domains"]:
        says = f"{domain} hides where the link leads.."
        return Link(text, Verdict.UNKNOWN, address, domain, None, (LinkPoint("shortener", says), *odd))
    alike = tuple(_alike(address, domain))
    ending = _data()["government"].get(domain.rpartition(".")[2])
    if ending is not None and "foreign" not in address.oddities:
        points = (LinkPoint("government", f"{domain} belongs to {ending}."), *alike, *odd)
        return Link(text, Verdict.UNKNOWN, address, domain, None, points)
    outside = LinkPoint(
        "outside",
        f"The site is {domain}. No US agency has it. A private service may still be lawful.",
    )
    return _no(text, address, domain, outside, *alike, *odd)


def _no(text: str, address: Address | None, domain: str | None, *points: LinkPoint) -> Link:
    return Link(text, Verdict.NOT_MET, address, domain, None, points)


def _odd(address: Address) -> tuple[LinkPoint, ...]:
    codes = [*address.oddities, *(["http"] if address.scheme == "http" else [])]
    return tuple(LinkPoint(code, _odd_says(code, address)) for code in codes)


def _odd_says(code: str, address: Address) -> str:
    if code != "foreign":
        return _ODD[code]
    scripts = scripts_in(address.shown)
    mixed = f" It mixes {' and '.join(scripts)} letters, as forgers do." if len(scripts) > 1 else ""
    return f"{_ODD[code]}: {address.shown} is really {address.host}.{mixed}"


def _bare(address: Address) -> tuple[LinkPoint, ...]:
    if address.scheme:
        return ()
    return (
        LinkPoint("bare", f"You left out https://. We checked https://{address.host}, so type it that way."),
    )


def _alike(address: Address, domain: str) -> Iterator[LinkPoint]:
    """Why a host that is not official may be taken for one; the first reason for the first office it resembles."""
    for each in officials():
        says = _resemblance(address, domain, each)
        if says:
            yield LinkPoint("look_alike", says)
            return


def _resemblance(address: Address, domain: str, each: Official) -> str:
    name = each.domain.partition(".")[0]
    host = address.shown
    if f".{each.domain}." in f".{host}.":
        return f"It contains {each.domain}, but not at the end of the site name. That proves nothing."
    if skeleton(host).endswith(f".{skeleton(each.domain)}") or skeleton(host) == skeleton(each.domain):
        return f"It's made to look like {each.domain}."
    squeezed = re.sub(r"[^a-z0-9]", "", skeleton(host))
    if skeleton(each.domain).replace(".", "") in squeezed:
        return f"It contains {each.domain} without its dot, or with another character there."
    words = {skeleton(word) for word in re.split(r"[.\-_]", host)}
    if skeleton(name) in words or (len(name) >= _LEAST_NAME and skeleton(name) in squeezed):
        return f"It uses the name {name}, but that agency's site is {each.domain}."
    if _is_one_sign_away(skeleton(domain), skeleton(each.domain)):
        return f"It's one character away from {each.domain}."
    return ""


def skeleton(text: str) -> str:
    """The text with each sign as the plain letter it is easily taken for; two texts that look alike get the same one."""
    table = _data()["look_alike"]
    bare = [sign for sign in unicodedata.normalize("NFKD", text.lower()) if not unicodedata.combining(sign)]
    plain = "".join(table.get(letter, letter) for letter in (table.get(sign, sign) for sign in bare))
    return plain.replace("rn", "m").replace("vv", "w")


def _is_one_sign_away(one: str, other: str) -> bool:
    """True when one sign added, left out, changed, or two neighbors swapped make one text the other."""
    if one == other or abs(len(one) - len(other)) > 1:
        return False
    shorter, longer = sorted((one, other), key=len)
    at = next((place for place, sign in enumerate(shorter) if sign != longer[place]), len(shorter))
    if len(shorter) < len(longer):
        return shorter[at:] == longer[at + 1 :]
    swapped = shorter[:at] + shorter[at + 1 : at + 2] + shorter[at : at + 1] + shorter[at + 2 :]
    return shorter[at + 1 :] == longer[at + 1 :] or swapped == longer


def advice(on: date) -> tuple[Advice, ...]:
    """What to keep in mind with any link; the fee only where the law of the day was read."""
    told = [Advice(f"Don't use a link from a letter, an ad or a search. {_TYPE_IT}")]
    law = Law(on)
    try:
        price = price_of_certificate(law)
    except Undecided:
        return tuple(told)
    fee = next(reading for reading in law.used if reading.param.name == "registration_fee_usd")
    says = (
        f"The federal registration fee is ${price.usd} for {price.years} years. A page that charges much more is a private "
        f"service, not the FAA ({fee.span.cites}, {read_as(fee.span)})."
    )
    return (*told, Advice(says, (fee,)))


Json = dict[str, Any]

CAUTION = (
    "Based only on the address. We didn't open it. A correct address in a message can still hide another one."
)


def link_json(links: Sequence[Link], on: date, kept_in_mind: Sequence[Advice]) -> Json:
    """The document: question, day, verdict, a finding for each address, advice, and the day of the list of endings."""
    listed = list_date()
    return {
        "question": "link",
        "scope": SCOPE_OF_LINKS,
        "on": on.isoformat(),
        **reading_json(on),
        "verdict": worst_of({link.verdict for link in links}).value,
        "findings": [_finding(link) for link in links],
        "problems": [],
        "sources": [{"name": "public suffix list", "date": None if listed is None else listed.isoformat()}],
        "advice": [_advice(each) for each in kept_in_mind],
        "caution": CAUTION,
    }


def _finding(link: Link) -> Json:
    address = link.address
    return {
        "subject": link.text,
        "rule": "official_address",
        "verdict": link.verdict.value,
        "says": SAYS[link.verdict],
        "reasons": [{"code": point.code, "says": point.says} for point in link.points],
        "used": {
            "scheme": None if address is None else address.scheme or None,
            "host": None if address is None else address.host or None,
            "host_in_its_letters": None if address is None else address.shown or None,
            "port": None if address is None else address.port,
            "domain": link.domain,
        },
        "official": None if link.official is None else link.official._asdict(),
    }


def _advice(each: Advice) -> Json:
    return {
        "says": each.says,
        "cites": "; ".join(reading.span.cites for reading in each.law) or None,
        "law_text_of": [str(reading.span.text_of) for reading in each.law],
        "law_read_on": [str(reading.span.read_on) for reading in each.law],
    }
