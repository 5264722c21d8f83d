"""Whose name, at its own address: the table for numbers of a form and for an aircraft on record, and what is refused."""

from __future__ import annotations

import html

import pytest

from tests.unit.web.conftest import Visitor

PAGE = "/whose-name"


def shut(visitor: Visitor, **query: str) -> dict[str, bool]:
    """Which ways the page's twin says are not available."""
    found = visitor().get(f"{PAGE}.json", params=query).json()
    return {row["name"]: bool(row["shut"]) for row in found["ways"]}


ALL_OPEN = {"representative": False, "part_47": False, "true_owner": False, "program_lead": False}
PART_47_ALONE = {"representative": True, "part_47": False, "true_owner": True, "program_lead": True}


def test_it_stands_by_itself_and_ask_leads_to_it(visitor: Visitor) -> None:
    client = visitor()
    page = client.get(PAGE)
    assert page.status_code == 200
    assert "1 aircraft over 6 years" in page.text
    assert page.text.count("common practice, no source") >= 1
    assert f'href="{PAGE}"' in client.get("/which-registration").text
    assert client.get(f"{PAGE}.json").json()["question"] == "whose_name"


@pytest.mark.parametrize(
    ("query", "expected"),
    [
        ({}, ALL_OPEN),
        ({"weight": "24 kg"}, ALL_OPEN),
        ({"weight": "54.9 lb"}, ALL_OPEN),
        ({"weight": "26 kg"}, PART_47_ALONE),
        ({"abroad": "yes"}, PART_47_ALONE),
        ({"trust": "yes"}, {**ALL_OPEN, "representative": True}),
    ],
)
def test_it_obeys_the_ways_that_are_not_available(
    visitor: Visitor, query: dict[str, str], expected: dict[str, bool]
) -> None:
    """14 CFR 48.1(b): abroad, in trust, and what is no small unmanned aircraft go under Part 47."""
    assert shut(visitor, **query) == expected
    told = html.unescape(visitor().get(PAGE, params=query).text)
    assert ("Not available. " in told) == (expected != ALL_OPEN)


def test_the_numbers_of_the_form_count(visitor: Visitor) -> None:
    page = visitor().get(PAGE, params={"aircraft": "10", "turnover": "0.5", "years": "6"}).text
    assert "10 aircraft over 6 years" in page
    assert "<td>100</td>" in page


@pytest.mark.parametrize(
    ("query", "says"),
    [
        ({"aircraft": "0"}, "0 aircraft"),
        ({"aircraft": "ten"}, "Write a whole number"),
        ({"years": "1.5"}, "Write a whole number"),
        ({"turnover": "often"}, "isn't a number"),
        ({"turnover": "NaN"}, "NaN people a year"),
        ({"weight": "heavy"}, "isn't a weight."),
    ],
)
def test_what_cannot_be_read_is_said_at_its_field(visitor: Visitor, query: dict[str, str], says: str) -> None:
    page = visitor().get(PAGE, params=query)
    assert page.status_code == 422
    assert says in html.unescape(page.text)
    assert visitor().get(f"{PAGE}.json", params=query).json()["wrong"].keys() == query.keys()


def test_an_aircraft_on_record_is_named_in_the_address(visitor: Visitor) -> None:
    client = visitor()
    page = client.get(PAGE, params={"of": "Alder 1"})
    assert page.status_code == 200
    assert "based on the record of Alder 1" in page.text
    assert f"{PAGE}?of=" in client.get("/which-registration/aircraft/Alder%201").text
    assert "a person owns it" in client.get(PAGE, params={"of": "Fescue"}).text
    assert client.get(PAGE, params={"of": "Fescoe"}).status_code == 404
