"""The verdict on a web address as a JSON document."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from airwrit.answers.document import SCOPE_OF_LINKS
from airwrit.answers.law_reading import reading_json
from airwrit.answers.lookup.web_address import SAYS, Advice, Link
from airwrit.base.registrable_domain import list_date
from airwrit.base.verdict import worst_of

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
