"""The carry pack's file: whole in itself, strict about script, nothing of a user's is markup, light, the same each time."""

from __future__ import annotations

import base64
import hashlib
import html
import re
from datetime import UTC, datetime

import html5lib

from airwrit.answers.carry.pack import MOST_AIRCRAFT, carry_pack
from airwrit.facts.key import Raw
from airwrit.papers.carry_page import carry_page
from tests.unit.answers.carry.test_pack import BARE, PILOT, Told, pack, program
from tests.unit.answers.told import firm_aircraft, fleet

SAVED = datetime(2026, 11, 25, 6, 30, tzinfo=UTC)
BAD = '"><script>alert(1)</script>&<img src=x onerror=alert(1)>'


def page_of(told: Told | None = None, *only: str, whom: str | None = None) -> str:
    """The file's text."""
    return carry_page(pack(told, *only, whom=whom), SAVED).decode()


def test_it_is_html_that_another_reader_takes() -> None:
    parser = html5lib.HTMLParser()
    assert parser.parse(page_of()) is not None
    assert parser.errors == []


def test_it_asks_nothing_of_any_other_place() -> None:
    text = page_of()
    assert re.findall(r"https?:|//[a-z]|@import|url\(", text.replace("http://www.w3.org/2000/svg", "")) == []
    assert not re.search(r"<(link|img|iframe|object|embed|base)\b", text)
    assert "default-src 'none'" in text


def test_its_script_and_style_are_those_it_names_and_no_handler_stands_in_it() -> None:
    text = page_of()
    for name in ("script", "style"):
        (body,) = re.findall(f"<{name}>(.*?)</{name}>", text, re.DOTALL)
        digest = base64.b64encode(hashlib.sha256(body.encode()).digest()).decode()
        assert f"{name}-src 'sha256-{digest}'" in text
    assert not re.search(r"<[^>]+\son[a-z]+=", text)
    assert " style=" not in text


def test_nothing_of_a_users_is_markup() -> None:
    told: Told = {
        f"aircraft/{BAD}": {"maker": BAD, "owner": BAD, "registration": BAD, "remote_id_serial": BAD},
        "person/Ivo Brask": {**PILOT, "role": BAD, "certificate_number": BAD},
        f"paper/{BAD}": {"covers_all": True, "carried": BAD, "paper_number": BAD},
    }
    text = page_of(told, whom=BAD)
    assert BAD not in text
    assert "<img" not in text
    assert text.count("<script") == 2
    html5lib.HTMLParser(strict=True).parse(text)


def test_a_pilots_name_cannot_end_the_data() -> None:
    told: Told = {f"person/{BAD}": PILOT, "aircraft/H-03": {"maker": "Korrin"}}
    text = carry_page(carry_pack(fleet(told), BAD), SAVED).decode()
    assert text.count("<script") == 2
    assert r"\u003cscript\u003e" in text


def test_gaps_and_the_warning_are_in_it() -> None:
    text = page_of(BARE)
    assert "not on file" in text
    assert "This is a copy." in text
    assert "Check airspace, notices and weather before each flight." in text
    assert text.count("Based on papers on file. Not checked:") == 1
    assert "Saved on <time>Nov 25, 2026</time> 06:30+00:00" in text
    assert 'class="blank"' in text
    assert "Dara Venn, 555-0100" in page_of(whom="Dara Venn, 555-0100")


def test_the_birthday_stays_out() -> None:
    assert "1983" not in page_of()
    assert "0000001" in page_of()


def test_it_is_light_even_with_the_most_aircraft() -> None:
    told: Told = {**program(), **_papers(20)}
    for number in range(10, 10 + MOST_AIRCRAFT - 2):
        told |= firm_aircraft(f"H-{number}", f"FA00TEST{number}", "2020-11-25")
    assert len(page_of(told)) < 150_000


def _papers(count: int) -> Told:
    facts: dict[str, Raw] = {"paper_kind": "waiver", "covers_all": True, "carried": "a copy of it"}
    return {f"paper/W{number}": facts for number in range(count)}


def test_the_same_pack_gives_the_same_bytes() -> None:
    assert page_of() == page_of()


def officers_page(text: str) -> str:
    """What stands on the page for an officer."""
    (part,) = re.findall(r'<section id="officer">(.*?)</section>', text, re.DOTALL)
    return html.unescape(" ".join(re.sub(r"<[^>]+>", " ", part).split()))


def test_the_officers_page_says_what_was_found() -> None:
    text = officers_page(page_of())
    assert "For work: not OK (registration expired)" in text
    assert "14 CFR 48.100" in text
    assert "civil registry" not in text
    bare = officers_page(page_of(BARE))
    assert "can't tell" in bare
    assert "papers OK" not in bare


def test_the_officers_page_tells_nothing_of_who_holds_a_login() -> None:
    told = program()
    owner = "owner/Tarn & Fell Land Services"
    told[owner] = {**told[owner], "registry_login_holder": "Dara Venn"}
    told["person/Dara Venn"] = {"left_on": "2026-11-01"}
    text = page_of(told)
    assert "has the FAA login" in text
    assert "has the FAA login" not in officers_page(text)


def test_people_come_first_if_something_happens() -> None:
    (part,) = re.findall(r'<section id="happens">(.*?)</section>', page_of(), re.DOTALL)
    assert part.index("911") < part.index("battery that is hot") < part.index("Report to the FAA")
