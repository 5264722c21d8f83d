"""The registration questions on the page: one at a time, never a yes out of "I don't know", and a decision on record."""

from __future__ import annotations

import html
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import pytest
from starlette.testclient import TestClient

from airwrit.answers.asking.ask import ask
from airwrit.answers.asking.dialogue import AIRCRAFT, OWNED_BY
from airwrit.ledger.sqlite.store import Ledger
from airwrit.web.pages.prepare.which_registration import field_of, statements_of, talk_of
from tests.unit.web.conftest import Visitor, own_fields

DAY = date(2026, 11, 25)
FIRM = {
    "paid": "yes",
    "takeoff_weight_g": "900 g",
    "any_of": "none",
    "owner_kind": "corporation",
    "organized_in_us": "yes",
    "based_and_used_in_us": "yes",
    "is_registered": "no",
    "remote_id_way": "standard",
    "declaration_accepted": "yes",
}


def answers(told: Mapping[str, str], otherwise: str = "?") -> tuple[str, ...]:
    """The dialogue to its end: each question answered as told, else otherwise."""
    given: tuple[str, ...] = ()
    while (question := talk_of(DAY, DAY, given).next) is not None:
        given = (*given, f"{question.name}:{told.get(question.name, otherwise)}")
        assert len(given) < 40
    return given


def walked(client: TestClient, told: Mapping[str, str], otherwise: str = "?") -> str:
    """The address at which the dialogue ends when it is walked form by form."""
    place = "/which-registration"
    for _ in range(40):
        name = (
            client.get(place.replace("/which-registration", "/which-registration.json", 1))
            .json()
            .get("question", "ask")
        )
        if name == "ask":
            return place
        carried = parse_qs(urlsplit(place).query).get("a", [])
        moved = client.get(
            "/which-registration", params={"a": carried, "q": name, "say": told.get(name, otherwise)}
        )
        assert moved.status_code == 303, moved.text
        place = moved.headers["location"]
    raise AssertionError("the questions do not end")


def test_the_questions_lead_to_what_the_answer_says(visitor: Visitor) -> None:
    client = visitor()
    place = walked(client, FIRM)
    twin = client.get(place.replace("/which-registration", "/which-registration.json", 1)).json()
    talk = talk_of(DAY, DAY, answers(FIRM))
    assert twin["aircraft"][0]["title"] == ask(talk.dialogue.state()).aircraft[0].title
    assert "Part 48" in twin["aircraft"][0]["title"]
    page = html.unescape(client.get(place).text)
    assert "Steps, in order" in page
    assert "Save, and continue step by step" in page


def test_not_knowing_anything_allows_nothing(visitor: Visitor) -> None:
    client = visitor()
    twin = client.get(walked(client, {}).replace("/which-registration", "/which-registration.json", 1)).json()
    assert twin["verdict"] != "met"
    assert twin["aircraft"][0]["way"] is None


def test_an_answer_that_is_none_keeps_the_question(visitor: Visitor) -> None:
    client = visitor()
    answer = client.get("/which-registration", params={"q": "paid", "say": "<script>perhaps"})
    assert answer.status_code == 422
    assert "Does anyone pay" in answer.text
    assert "<script>p" not in answer.text
    assert client.get("/which-registration", params={"q": "paid", "say": ""}).status_code == 422


def test_answers_of_another_dialogue_are_left_out(visitor: Visitor) -> None:
    page = visitor().get("/which-registration", params={"a": ["paid:yes", "nothing:yes", "any_of:none"]}).text
    assert page.count('name="a"') == 1


def test_several_things_may_apply(visitor: Visitor) -> None:
    given = answers({"paid": "yes", "takeoff_weight_g": "900 g"})
    upto = given[: next(n for n, one in enumerate(given) if one.startswith("any_of"))]
    moved = visitor().get("/which-registration", params={"a": upto, "q": "any_of", "say": ["1", "3"]})
    assert parse_qs(urlsplit(moved.headers["location"]).query)["a"][-1] == "any_of:1 3"
    mixed = visitor().get("/which-registration", params={"a": upto, "q": "any_of", "say": ["1", "none"]})
    assert parse_qs(urlsplit(mixed.headers["location"]).query)["a"][-1] == "any_of:?"


def test_every_question_can_be_answered_with_not_knowing() -> None:
    for told in (
        FIRM,
        {},
        {**FIRM, "any_of": "5 7"},
        {"paid": "no", "only_this": "yes", "owner_kind": "person"},
    ):
        given: tuple[str, ...] = ()
        while (question := talk_of(DAY, DAY, given).next) is not None:
            assert field_of(question).choices[-1][0] == "?"
            given = (*given, f"{question.name}:{told.get(question.name, '?')}")


def test_the_decision_is_put_on_record_once(visitor: Visitor, tmp_path: Path) -> None:
    path = tmp_path / "new.airwrit"
    client = visitor(path)
    given = answers(FIRM)
    source = client.get("/which-registration", params={"a": given}).text
    form = {**own_fields(source), "a": list(given), "name": "K-7", "owner": "Quorrin Lane School"}
    shown = client.post("/which-registration", data={**form, "way": "show"})
    assert "K-7" in shown.text
    assert "What would be saved" in shown.text
    assert not path.exists()
    moved = client.post("/which-registration", data={**form, "way": "write"})
    assert moved.status_code == 303
    with Ledger(path) as book:
        size = book.head().size
        entry = book.entry(1)
    assert size == 1
    assert entry is not None
    assert "from the questions" in entry.note
    page = client.get(moved.headers["location"]).text
    assert "aved as entry 1" in page
    assert "K-7" in page
    assert (
        client.post("/which-registration", data={**form, "way": "write"}).headers["location"]
        == moved.headers["location"]
    )
    with Ledger(path) as book:
        assert book.head().size == size


def test_what_is_recorded_speaks_of_the_named_ones_alone() -> None:
    talk = talk_of(DAY, DAY, answers({**FIRM, "takeoff_weight_g": "800 g + 90 g"}))
    said = statements_of(talk, "K-7", "Quorrin Lane School")
    subjects = {one.subject for one in said}
    assert subjects == {"aircraft/K-7", "owner/Quorrin Lane School", "part/K-7, part 1"}
    assert ("aircraft/K-7", "owner", "Quorrin Lane School") in {one[:3] for one in said}
    assert ("aircraft/K-7", "used_for", "work") in {one[:3] for one in said}
    nobody = statements_of(talk, "K-7", "")
    assert {one.subject for one in nobody} == {"aircraft/K-7", "part/K-7, part 1"}
    assert not {AIRCRAFT, OWNED_BY} & {one.subject for one in (*said, *nobody)}


def test_an_aircraft_on_record_is_answered_as_it_stands(visitor: Visitor) -> None:
    client = visitor()
    page = client.get("/which-registration/aircraft/Fescue").text
    assert "Fescue" in page
    assert (
        client.get("/which-registration/aircraft/Fescue.json").json()["aircraft"][0]["subject"]
        == "aircraft/Fescue"
    )
    assert client.get("/registration-sheets/aircraft/Fescue").content.startswith(b"%PDF-")
    assert client.get("/which-registration/aircraft/Fescoe").status_code == 404
    assert "Did you mean Fescue?" in html.unescape(client.get("/which-registration/aircraft/Fescoe").text)


def test_the_worksheet_and_the_exposure(visitor: Visitor) -> None:
    client = visitor()
    assert client.get("/which-registration.pdf", params={"a": answers(FIRM)}).content.startswith(b"%PDF-")
    assert "up to" in client.get("/penalties").text
    assert client.get("/penalties.json").json()["question"] == "exposure"


def test_what_the_answers_change_is_shown_before_they_are_saved(visitor: Visitor, own_ledger: Path) -> None:
    client = visitor(own_ledger)
    given = answers(FIRM)
    source = client.get("/which-registration", params={"a": given}).text
    form = {**own_fields(source), "a": list(given), "name": "K-7", "owner": "Quorrin Lane School"}
    shown = client.post("/which-registration", data={**form, "way": "show"}).text
    assert "<b>K-7</b>" in shown.partition("What changes")[2]


@pytest.mark.parametrize("way", ["show", "write"])
def test_a_name_is_needed(visitor: Visitor, tmp_path: Path, way: str) -> None:
    client = visitor(tmp_path / "new.airwrit")
    given = answers(FIRM)
    form = {
        **own_fields(client.get("/which-registration", params={"a": given}).text),
        "a": list(given),
        "name": " ",
    }
    answer = client.post("/which-registration", data={**form, "way": way})
    assert answer.status_code == 422
    assert "enter the name of the aircraft" in answer.text.replace("Enter", "enter")
