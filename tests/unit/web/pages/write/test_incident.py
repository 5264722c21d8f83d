"""Incident on the page: first things at once, the decision by its fields, what is refused at its field, saved with a hold."""

from __future__ import annotations

import hashlib
import html
import io
from pathlib import Path

from pypdf import PdfReader

from airwrit.answers.removal.holds import holds_of
from airwrit.ledger.sqlite.store import Ledger
from tests.unit.web.conftest import Visitor, own_fields

TOLD = {
    "happened_on": "2026-11-25",
    "happened_time": "09:10",
    "incident_zone": "America/Denver",
    "incident_aircraft": "Ivy 1",
    "incident_under": "Part 107",
    "anyone_hurt": "nobody",
    "damaged_property": "property apart from the aircraft",
    "repair_cost_usd": "$1,150",
    "total_loss": "no",
    "flew_away": "yes",
    "airworthiness_certificate": "no",
}


def test_first_things_come_before_any_question(visitor: Visitor) -> None:
    text = html.unescape(visitor().get("/incident").text)
    assert text.index("Help anyone hurt. Call") < text.index("What happened")
    assert 'href="tel:911"' in text
    assert 'name="flew_away"' in text
    assert "<script" not in text.partition("<main")[2].partition("</main>")[0]


def test_the_decision_by_the_fields(visitor: Visitor) -> None:
    text = html.unescape(visitor().post("/incident", data=TOLD).text)
    assert "Notify the FAA by Dec 5, 2026, 11:59 PM MST." in text
    assert "A true fly-away" in text
    assert "not asked yet" in text
    document = visitor().get("/incident.json", params=TOLD).json()
    assert {one["notice"]: one["must"] for one in document["notices"]}["report_107_9"] == "yes"


def test_a_question_is_asked_once_and_leads_to_its_field(visitor: Visitor) -> None:
    """Four notices hang on the airworthiness certificate: the NTSB's row asks, the others say that it settles them too."""
    told = {name: text for name, text in TOLD.items() if name != "airworthiness_certificate"}
    text = html.unescape(visitor().post("/incident", data={**told, "flew_away": "no"}).text)
    shown = text.partition('id="whom"')[2].partition("</section>")[0]
    assert shown.count("Does the aircraft have an airworthiness certificate?") == 1
    assert 'href="#f-airworthiness_certificate"' in shown
    assert shown.count("Your answer for the NTSB settles this too.") == 3
    assert "immediately, if required" in shown
    assert "Not required, done, or your choice: NASA" not in shown
    assert "Not required, done, or your choice: OSHA" in shown
    assert "Next question: Does the aircraft have an airworthiness certificate?" in text


def test_the_rest_of_the_list_is_a_no_only_where_that_is_said(visitor: Visitor) -> None:
    told = {name: text for name, text in TOLD.items() if name != "flew_away"}
    open_list = visitor().get("/incident.json", params=told).json()["ntsb_list"]
    assert [one["happened"] for one in open_list[:-1]] == [None] * (len(open_list) - 1)
    rest = {**told, "fire_in_flight": "yes", "no_other_item": "yes"}
    said = visitor().get("/incident.json", params=rest).json()["ntsb_list"]
    assert [one["happened"] for one in said] == [True] + [False] * (len(said) - 1)


def test_what_cannot_be_read_is_told_at_its_field(visitor: Visitor) -> None:
    answer = visitor().post(
        "/incident", data={**TOLD, "happened_time": "noon-ish", "repair_cost_usd": "lots"}
    )
    assert answer.status_code == 422
    assert 'id="w-happened_time"' in answer.text
    assert 'id="w-repair_cost_usd"' in answer.text


def test_it_is_saved_with_a_hold_and_found_again(visitor: Visitor, own_ledger: Path) -> None:
    client = visitor(own_ledger)
    form = own_fields(client.get("/incident").text)
    answer = client.post("/incident", data={**TOLD, **form, "way": "write"}, follow_redirects=True)
    assert "of=2026-11-25" in str(answer.url)
    text = html.unescape(answer.text)
    assert "Notify the FAA by Dec 5, 2026" in text
    with Ledger(own_ledger) as book:
        assert [(one.of, one.is_live) for one in holds_of(book)] == [("incident/2026-11-25 Ivy 1", True)]


def test_an_incident_without_its_day_is_not_saved(visitor: Visitor, own_ledger: Path) -> None:
    client = visitor(own_ledger)
    form = own_fields(client.get("/incident").text)
    told = {name: text for name, text in TOLD.items() if name != "happened_on"}
    answer = client.post("/incident", data={**told, **form, "way": "write"})
    assert answer.status_code == 422
    assert "An incident needs its date" in html.unescape(answer.text)


def test_a_file_is_kept_as_evidence_unchanged(visitor: Visitor, own_ledger: Path) -> None:
    client = visitor(own_ledger)
    form = own_fields(client.get("/incident").text)
    client.post("/incident", data={**TOLD, **form, "way": "write"})
    form = own_fields(client.get("/incident?of=2026-11-25 Ivy 1").text)
    told = {**form, "of": "2026-11-25 Ivy 1", "way": "keep"}
    answer = client.post(
        "/incident", data=told, files={"file": ("flight.log", b"log")}, follow_redirects=True
    )
    digest = hashlib.sha256(b"log").hexdigest()
    assert f"flight.log sha256:{digest}" in html.unescape(answer.text)
    with Ledger(own_ledger) as book:
        file = book.file(digest)
        assert file is not None
        assert file.data == b"log"


def test_the_reports_are_a_pdf_and_stand_in_no_address(visitor: Visitor) -> None:
    answer = visitor().post("/incident", data={**TOLD, "narrative": "Came down on a car.", "way": "pdf"})
    assert answer.headers["content-type"] == "application/pdf"
    text = "".join(page.extract_text() for page in PdfReader(io.BytesIO(answer.content)).pages)
    assert "Came down on a car." in text
    assert "FAA safety event report" in text


def test_without_a_file_nothing_is_kept(visitor: Visitor) -> None:
    answer = visitor().post("/incident", data={"of": "nowhere", "way": "keep"})
    assert answer.status_code == 422


def test_a_notice_is_marked_as_sent_and_leaves_the_lists(visitor: Visitor, own_ledger: Path) -> None:
    client = visitor(own_ledger)
    form = own_fields(client.get("/incident").text)
    client.post("/incident", data={**TOLD, **form, "way": "write"})
    text = html.unescape(client.get("/deadlines").text)
    assert "After an incident" in text
    assert "/notice-sent/2026-11-25%20Ivy%201?notice=report_107_9" in text
    assert "Notify the FAA: incident of Ivy 1" in html.unescape(client.get("/today").text)
    at = "/notice-sent/2026-11-25%20Ivy%201?notice=report_107_9"
    fields = own_fields(client.get(at).text)
    told = {"notice": "faa", "sent_on": "2026-11-25 09:30", "sent_by": "Nela Quist"}
    wrong = client.post(at.partition("?")[0], data={**fields, **told, "sent_on": "2026-11-24"})
    assert wrong.status_code == 422
    assert "before the incident" in html.unescape(wrong.text)
    done = client.post(
        at.partition("?")[0], data={**fields, **told, "reference": "F-118"}, follow_redirects=True
    )
    assert "Sent Nov 25, 2026, 9:30 AM MST by Nela Quist. Reference F-118." in html.unescape(done.text)
    assert "notice=report_107_9" not in client.get("/deadlines").text
    assert client.get("/notice-sent/no%20such").status_code == 404
