"""Ask by facts on the page: what the command answers, from a text, a file, fields, or an address."""

from __future__ import annotations

import html
import re
from pathlib import Path

import pytest

from airwrit.answers.asking.ask import ask
from airwrit.answers.asking.json import ask_json
from airwrit.answers.lookup.law import asked_by
from airwrit.facts.fold import state_of
from airwrit.intake.typed.facts_file import read_facts
from airwrit.law.flight.rulebook import FLIGHT_RULES
from airwrit.law.rulebook import BY_NAME
from airwrit.web.draw.words import spoken
from airwrit.web.pages.prepare.check_scenario import MOST_BYTES
from tests.browser.serving import clock
from tests.unit.web.conftest import Visitor

FLIGHT = "on = 2026-11-25\n[flight]\npaid = true\nheight_agl_ft = 401\nminutes = 20\n[site]\nairspace_class = 'G'\n"
AIRCRAFT = "[aircraft]\nused_for = 'work'\ntakeoff_weight = '900 g'\n[owner]\nowner_kind = 'government'\n"


def page_of(source: str) -> str:
    """The page as text, on single spaces, without its marks."""
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", source)).split())


def field(source: str, place: str) -> str:
    """The name of the field that asks for `key:subject`."""
    found = re.search(rf'name="k([0-9]+)" value="{re.escape(place)}"', source)
    assert found, place
    return f"r{found[1]}"


def facts_in(source: str) -> str:
    """The facts that stand in the form."""
    found = re.search(r"<textarea[^>]*>\n(.*?)</textarea>", source, re.DOTALL)
    assert found
    return html.unescape(found[1])


def test_it_answers_what_the_command_answers(visitor: Visitor) -> None:
    twin = visitor().get("/check-scenario.json", params={"facts": FLIGHT + AIRCRAFT}).json()
    told = read_facts(FLIGHT + AIRCRAFT, "the facts")
    same = ask_json(ask(state_of(told.known, clock().date().replace(2026, 11, 25), clock())))
    assert twin == same


def test_every_rule_of_a_flight_and_of_an_incident_is_on_the_page(visitor: Visitor) -> None:
    client = visitor()
    pages = [
        client.post("/check-scenario", data={"facts": text, "use": "work"}).text
        for text in (FLIGHT, "[incident]\nhappened_on = 2026-03-05\n")
    ]
    for rule in FLIGHT_RULES:
        waits = spoken(rule.name).lower()
        assert any(f"/rules/{rule.name}" in page or waits in page_of(page).lower() for page in pages), (
            rule.name
        )


def test_the_answer_comes_first_and_says_what_was_not_checked(visitor: Visitor) -> None:
    told = page_of(visitor().post("/check-scenario", data={"facts": FLIGHT}).text)
    assert (
        "Flight, for work (Part 107) Nov 25, 2026 Not allowed as described. Based on the facts you gave."
        in told
    )
    assert "Fix before you fly not OK Height limit : 401 ft" in told
    assert told.index("Not allowed as described") < told.index("What we need from you")
    assert "Didn't affect this answer" in told


@pytest.mark.parametrize(("kind", "place"), [("flight", "height_agl_ft"), ("incident", "happened_on")])
def test_one_begins_with_questions_alone(visitor: Visitor, kind: str, place: str) -> None:
    source = visitor().get("/check-scenario", params={"start": kind}).text
    assert field(source, f"{place}:{kind}/{kind}")
    assert "Can't tell yet." in page_of(source)
    assert facts_in(source).strip() == ""


def test_answers_in_fields_become_facts(visitor: Visitor) -> None:
    client = visitor()
    source = client.get("/check-scenario", params={"start": "flight"}).text
    form = {"start": "flight", "use": "work", "facts": ""}
    for place, said in (("height_agl_ft", "120 m"), ("gives_way", "yes"), ("land_below", "?")):
        key = f"{place}:flight/flight"
        if place == "land_below":
            form |= {"k90": key, "r90": said}
        else:
            name = field(source, key)
            form |= {f"k{name[1:]}": key, name: said}
    answered = client.post("/check-scenario", data={**form, "when": "2026-11-25T12:00-06:00"})
    assert answered.status_code == 200
    told = facts_in(answered.text)
    assert read_facts(told, "x").on == "2026-11-25T12:00:00-06:00"
    assert {item.statement.key: item.statement.value for item in read_facts(told, "x").known} == {
        "height_agl_ft": "393.700787",
        "gives_way": True,
    }
    again = client.post("/check-scenario", data={"facts": told, "use": "work"})
    assert "Height limit : 393.7008 ft" in page_of(again.text)


def test_a_bad_answer_stands_at_its_field_and_the_good_ones_are_kept(visitor: Visitor) -> None:
    form = {
        "facts": "",
        "start": "flight",
        "use": "work",
        "k0": "height_agl_ft:flight/flight",
        "r0": "90",
        "k1": "in_alaska:flight/flight",
        "r1": "<i>perhaps",
    }
    answer = visitor().post("/check-scenario", data=form)
    assert answer.status_code == 422
    assert "height_agl_ft = " in facts_in(answer.text)
    assert "<i>perhaps" not in answer.text
    assert "Write yes or no." in page_of(answer.text)


@pytest.mark.parametrize(
    ("form", "says"),
    [
        ({"facts": "[[x"}, "as TOML"),
        ({"facts": "[flight]\nheigt_agl_ft = 3"}, "Did you mean height_agl_ft?"),
        ({"facts": FLIGHT, "when": "soon"}, "Write a date like"),
        ({"facts": "#" * 100_001}, "as in a facts file"),
        (
            {"facts": "".join(f"[[flight]]\nid = '{n}'\npaid = true\n" for n in range(21))},
            "Use fewer at once.",
        ),
        ({"facts": "", "k0": "height_agl_ft:", "r0": "90"}, None),
        ({"facts": "", "k0": "no_such:flight/flight", "r0": "90"}, None),
    ],
)
def test_what_cannot_be_taken_gets_one_line(visitor: Visitor, form: dict[str, str], says: str | None) -> None:
    answer = visitor().post("/check-scenario", data=form)
    assert answer.status_code == (200 if says is None else 422)
    if says is not None:
        assert says in page_of(answer.text)


def test_a_file_of_facts_may_be_sent(visitor: Visitor) -> None:
    client = visitor()
    sent = client.post(
        "/check-scenario", data={"facts": "[["}, files={"file": ("roof.toml", FLIGHT.encode())}
    )
    assert "Not allowed as described." in page_of(sent.text)
    assert facts_in(sent.text).strip() == FLIGHT.strip()
    damaged = client.post("/check-scenario", files={"file": ("roof.toml", b"\xff\xfe\x00")})
    assert damaged.status_code == 422
    assert "Save it as UTF-8." in page_of(damaged.text)
    large = client.post("/check-scenario", files={"file": ("roof.toml", b"#" * (MOST_BYTES + 1))})
    assert large.status_code == 413


def test_nothing_is_written(visitor: Visitor, tmp_path: Path) -> None:
    path = tmp_path / "none.airwrit"
    visitor(path).post("/check-scenario", data={"facts": FLIGHT})
    assert not path.exists()


@pytest.mark.parametrize(
    "name", ["height_limit", "report_107_9", "marked_outside", "part_47_way", "us_citizen"]
)
def test_a_rules_page_leads_to_where_it_is_asked(visitor: Visitor, name: str) -> None:
    client = visitor()
    source = client.get(f"/rules/{name}").text
    assert "Used by" in source
    for one in asked_by(BY_NAME[name]):
        assert one.command in page_of(source)
    links = re.findall(r'<a href="(/[^"]*)"><code>', source)
    assert links
    for link in links:
        assert client.get(html.unescape(link)).status_code == 200
