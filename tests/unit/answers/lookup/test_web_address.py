"""Whether an address can be official: each trick of writing, and that no text gets through that should not."""

from __future__ import annotations

import json
from datetime import date
from urllib.parse import urlsplit

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.answers.lookup.web_address import advice, judged, link_json, officials, skeleton
from airwrit.base.registrable_domain import registrable_in
from airwrit.base.verdict import Verdict

MET, NOT_MET, UNKNOWN = Verdict.MET, Verdict.NOT_MET, Verdict.UNKNOWN
CYRILLIC_A = "\N{CYRILLIC SMALL LETTER A}"
ON = date(2026, 11, 25)


@pytest.mark.parametrize(
    ("text", "verdict", "codes"),
    [
        ("https://faa.gov", MET, ["official"]),
        ("https://www.faa.gov/uas?x=1#y", MET, ["official"]),
        ("https://WWW.FAA.GOV:443/", MET, ["official"]),
        ("faa.gov", MET, ["official", "bare"]),
        ("https://asrs.arc.nasa.gov/", MET, ["official"]),
        ("http://faa.gov", UNKNOWN, ["odd", "http"]),
        ("https://faa.gov:8443", UNKNOWN, ["odd", "port"]),
        ("https://a@faa.gov", UNKNOWN, ["odd", "user"]),
        ("https://faa.gov.", UNKNOWN, ["odd", "dot"]),
        ("https://faa%2egov", UNKNOWN, ["odd", "percent"]),
        ("https:\\\\faa.gov", UNKNOWN, ["odd", "slashes", "backslash"]),
        ("https://faa.gov\\@example.com", UNKNOWN, ["odd", "backslash"]),
        ("https://f\N{ZERO WIDTH JOINER}aa.gov", UNKNOWN, ["odd", "invisible"]),
        ("https://faa.gov/" + "a" * 3000, UNKNOWN, ["odd", "long"]),
        ("https://faa.gov/r?u=https://example.com", UNKNOWN, ["odd", "second"]),
        ("https://bit.ly/abc", UNKNOWN, ["shortener"]),
        ("https://dot.ohio.gov", UNKNOWN, ["government"]),
        ("https://faaa.gov", UNKNOWN, ["government", "look_alike"]),
        ("https://www.army.mil", UNKNOWN, ["government"]),
        ("https://faa.gov.example.com", NOT_MET, ["outside", "look_alike"]),
        ("https://faa.gov.uk", NOT_MET, ["outside", "look_alike"]),
        ("https://faa-gov.example", NOT_MET, ["outside", "look_alike"]),
        ("https://faagov.example", NOT_MET, ["outside", "look_alike"]),
        ("https://register-faa.example", NOT_MET, ["outside", "look_alike"]),
        ("https://federal-register.example", NOT_MET, ["outside", "look_alike"]),
        ("https://faa.gov@example.com", NOT_MET, ["outside", "user"]),
        (f"https://f{CYRILLIC_A}a.gov", NOT_MET, ["outside", "look_alike", "foreign"]),
        ("https://example.org", NOT_MET, ["outside"]),
        ("https://notfaa.example", NOT_MET, ["outside"]),
        ("https://0x7f.1", NOT_MET, ["number"]),
        ("https://[::1]", NOT_MET, ["number"]),
        ("https://gov", NOT_MET, ["no_domain"]),
        ("https://localhost/", NOT_MET, ["no_domain"]),
        ("hello", NOT_MET, ["no_address"]),
        ("hello world", NOT_MET, ["no_address"]),
        ("", NOT_MET, ["no_address"]),
        ("javascript:location='https://faa.gov'", NOT_MET, ["scheme"]),
        ("data:text/html,https://faa.gov", NOT_MET, ["scheme"]),
    ],
)
def test_an_address_and_why(text: str, verdict: Verdict, codes: list[str]) -> None:
    link = judged(text)
    assert (link.verdict, [point.code for point in link.points]) == (verdict, codes)
    assert all(point.says for point in link.points)


@pytest.mark.parametrize(
    "host",
    [
        f"f{CYRILLIC_A}a.gov",
        "xn--fa-7kc.gov",
        "\N{GREEK SMALL LETTER NU}tsb.gov.example",
        "ecfr.g0v.example",
        "federa1register.example",
        "faa.qov.example",
    ],
)
def test_look_alikes_are_never_official(host: str) -> None:
    assert judged(f"https://{host}").verdict is NOT_MET


def test_a_mix_of_scripts_is_named() -> None:
    says = judged(f"https://f{CYRILLIC_A}a.gov").points[-1].says
    assert "It mixes latin and cyrillic" in says
    assert "xn--fa-7kc.gov" in says


def test_skeletons_meet() -> None:
    assert skeleton(f"f{CYRILLIC_A}\N{LATIN SMALL LETTER A WITH ACUTE}.g0v") == skeleton("FAA.GOV")
    assert skeleton("federalregister") == skeleton("federa1register") == skeleton("federaIregister".lower())


def ends_with_an_official_domain(text: str) -> bool:
    """Our own reading set aside: the host as the standard library reads it ends with an official domain."""
    written = text.strip()
    host = urlsplit(written if "://" in written else f"https://{written}").hostname or ""
    return any(host == each.domain or host.endswith(f".{each.domain}") for each in officials())


PLAIN = "https:// http:// // faa nasa .gov faa.gov . / \\ @ : 443 %2e # ? - example .com 0x7f [ ] javascript: xn--"
ODD_SIGNS = (
    "\t",
    "\n",
    " ",
    "\N{ZERO WIDTH SPACE}",
    CYRILLIC_A,
    "\N{IDEOGRAPHIC FULL STOP}",
    "\N{ACCOUNT OF}",
    "\N{FULLWIDTH COMMERCIAL AT}",
    "\N{DIVISION SLASH}",
)
PIECES = st.sampled_from((*PLAIN.split(), *ODD_SIGNS))


@given(
    st.one_of(st.text(), st.lists(PIECES, max_size=8).map("".join), st.text().map("https://faa.gov".__add__))
)
def test_only_a_host_under_an_official_domain_can_be_official(text: str) -> None:
    link = judged(text)
    json.dumps(link_json([link], ON, advice(ON)))
    if link.verdict is MET:
        assert ends_with_an_official_domain(text)


@given(
    st.sampled_from([each.domain for each in officials()]),
    st.from_regex(r"([a-z0-9]{1,8}\.){0,3}", fullmatch=True),
)
def test_every_host_under_an_official_domain_can_be(domain: str, before: str) -> None:
    assert judged(f"https://{before}{domain}/x").verdict is MET


def test_every_official_domain_can_be_registered_and_is_a_governments() -> None:
    for each in officials():
        assert registrable_in(each.domain) == each.domain
        assert each.domain.endswith(".gov")
        assert all(each)


def test_the_fee_is_told_only_where_the_law_was_read() -> None:
    told = advice(ON)
    assert "the FAA (14 CFR 48.30," in told[-1].says
    assert [reading.param.name for reading in told[-1].law] == ["registration_fee_usd"]
    assert len(advice(date(2014, 1, 1))) == 1


def test_json_has_the_parts_of_a_report() -> None:
    told = link_json([judged("https://faa.gov.example.com"), judged("https://faa.gov")], ON, advice(ON))
    assert (told["question"], told["on"], told["verdict"]) == ("link", "2026-11-25", "not_met")
    assert told["findings"][0]["used"]["domain"] == "example.com"
    assert told["findings"][1]["official"]["domain"] == "faa.gov"
    assert told["sources"][0]["date"]
