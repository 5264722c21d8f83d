"""Many logs on the page: a folder or files sent, worst first, a line to each answer, resumed, one bad file stops nothing."""

from __future__ import annotations

import html
import re
import time
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from airwrit.web.pages.place.after_flights import RESULTS
from tests.unit.web.conftest import Visitor, own_fields
from tests.unit.web.pages.place.test_after_flight import STARTS, gpx, table

TOLD = {"heights_from": "sea_level", "level": "3 m"}


@pytest.fixture
def logs(tmp_path: Path) -> Path:
    """A folder with two flights, a copy, a table with open columns, a broken log, and a link."""
    folder = tmp_path / "logs"
    (folder / "Alder 2").mkdir(parents=True)
    (folder / "Alder 2" / "a.gpx").write_bytes(gpx())
    (folder / "b.gpx").write_bytes(gpx(STARTS + timedelta(days=1)).replace(b"2252", b"2180"))
    (folder / "backup").mkdir()
    (folder / "backup" / "copy.gpx").write_bytes(gpx())
    (folder / "open.csv").write_bytes(table())
    (folder / "broken.bin").write_bytes(b"\xa3\x95junk")
    (folder / "link.gpx").symlink_to(folder / "b.gpx")
    return folder


def run_of(client: TestClient, files: list[tuple[str, bytes]] | None = None, **told: str) -> str:
    """The address of a run, once it is done."""
    form = client.get("/after-flights").text
    sent = [("logs", one) for one in files or []]
    answer = client.post("/after-flights", data={**own_fields(form), **TOLD, **told}, files=sent or None)
    assert answer.status_code == 303, html.unescape(answer.text)[-900:]
    return str(answer.headers["location"])


def twin_of(client: TestClient, address: str) -> Any:
    """The document of a run that is done."""
    for _ in range(300):
        told = client.get(address.replace("?", ".json?", 1)).json()
        if told["done"]:
            return told
        time.sleep(0.05)
    raise AssertionError("never done")


def test_a_folder_is_checked_worst_first_and_each_line_leads_to_its_answer(
    visitor: Visitor, logs: Path
) -> None:
    client = visitor()
    address = run_of(client, folder=str(logs))
    told = twin_of(client, address)
    assert [one["file"] for one in told["flights"]][:1] == ["Alder 2/a.gpx"]
    assert {one["file"] for one in told["flights"] if one["refused"]} == {"broken.bin", "open.csv"}
    assert [one["file"] for one in told["flights"] if one["copy_of"]] == ["backup/copy.gpx"]
    assert (told["checked"], told["of"], told["stopped"]) == (5, 5, "")
    page = html.unescape(client.get(address).text)
    assert "2 flights checked. " in page
    assert "2 logs couldn't be checked." in page
    assert "The same file as Alder 2/a.gpx." in page
    first = re.findall(r'<th scope="row"><a href="([^"]*log=[^"]*)">', page)[0]
    onward = client.get(first)
    assert onward.status_code == 303
    alone = html.unescape(client.get(onward.headers["location"]).text)
    assert "The aircraft climbed to 498" in alone
    assert "Alder 2 with" in alone or "Alder 2," in alone, "the aircraft is named by the folder"
    assert 'value="sea_level" selected' in alone, "what was told of the folder is told of the log"


def test_a_log_whose_columns_are_open_leads_to_its_questions(visitor: Visitor, logs: Path) -> None:
    client = visitor()
    address = run_of(client, folder=str(logs))
    (line,) = [one for one in twin_of(client, address)["flights"] if one["file"] == "open.csv"]
    assert "what its columns are" in line["refused"]
    page = html.unescape(client.get(address).text)
    (link,) = re.findall(r'<a href="([^"]*log=open\.csv[^"]*)">', page)
    assert "What the columns are" in client.get(client.get(link).headers["location"]).text


def test_a_run_goes_on_where_it_was_stopped(visitor: Visitor, logs: Path, own_ledger: Path) -> None:
    client = visitor(own_ledger)
    twin_of(client, run_of(client, folder=str(logs)))
    (kept,) = (own_ledger.parent / RESULTS).iterdir()
    lines = kept.read_text().splitlines()
    assert len(lines) == 4
    kept.write_text("\n".join([lines[0], lines[1][: len(lines[1]) // 2]]) + "\n")
    again = twin_of(client, run_of(client, folder=str(logs)))
    assert (again["checked"], len(kept.read_text().splitlines())) == (5, 5)
    other = twin_of(client, run_of(client, folder=str(logs), heights_from="ellipsoid"))
    assert other["checked"] == 5
    assert len(kept.read_text().splitlines()) == 9, "lines of another question don't count"


def test_files_that_were_sent_are_checked_too(visitor: Visitor) -> None:
    client = visitor()
    files = [("a.gpx", gpx()), ("a.gpx", gpx(STARTS + timedelta(days=2))), ("notes.pdf", b"%PDF-1.7")]
    address = run_of(client, files)
    told = twin_of(client, address)
    assert sorted(one["file"] for one in told["flights"]) == ["2 a.gpx", "a.gpx", "notes.pdf"]
    (other,) = [one for one in told["flights"] if one["refused"]]
    assert other["file"] == "notes.pdf"
    link = re.findall(r'<a href="([^"]*log=a\.gpx[^"]*)">', html.unescape(client.get(address).text))[0]
    assert "The aircraft climbed to 498" in html.unescape(
        client.get(client.get(link).headers["location"]).text
    )


@pytest.mark.parametrize(
    ("told", "says"),
    [
        ({}, "No logs chosen"),
        ({"folder": "/no/such/folder"}, "This isn't a folder on this computer"),
        ({"folder": "logs", "level": "very"}, "level"),
        ({"folder": "{empty}"}, "No logs are in this folder"),
    ],
)
def test_what_cannot_be_meant_is_said_at_its_field(
    visitor: Visitor, tmp_path: Path, told: dict[str, str], says: str
) -> None:
    client = visitor()
    told = {name: value.replace("{empty}", str(tmp_path)) for name, value in told.items()}
    answer = client.post("/after-flights", data={**own_fields(client.get("/after-flights").text), **told})
    assert answer.status_code == 422
    assert says in html.unescape(answer.text)


def test_a_run_that_is_gone_and_a_log_outside_the_folder_are_refused(visitor: Visitor, logs: Path) -> None:
    client = visitor()
    assert "no longer have these results" in client.get("/after-flights?run=none").text
    address = run_of(client, folder=str(logs / "Alder 2"))
    twin_of(client, address)
    assert client.get(f"{address}&log=../b.gpx").status_code == 404
    (logs / "Alder 2" / "a.gpx").unlink()
    assert client.get(f"{address}&log=a.gpx").status_code == 404


def test_the_flights_of_a_folder_are_shown_and_then_logged_once(
    visitor: Visitor, logs: Path, own_ledger: Path
) -> None:
    """Shown first, with what is left out; a second log of the same flight and one on record already are not logged."""
    (logs / "c.gpx").write_bytes(gpx(STARTS + timedelta(seconds=20)))
    client = visitor(own_ledger)
    told = {"aircraft": "aircraft/Ivy 1", "pilot": "person/Nela Quist", "for": "work"}
    address = run_of(client, None, folder=str(logs), **told)
    twin_of(client, address)
    form = {**own_fields(client.get(address).text), "run": address.partition("run=")[2].partition("&")[0]}
    shown = client.post("/after-flights", data={**form, "way": "preview"}).headers["location"]
    saving = twin_of(client, shown)["saving"]
    assert [(one["log"], one["aircraft"], one["pilot"]) for one in saving["flights"]] == [
        ("b.gpx", "Ivy 1", "Nela Quist"),
        ("c.gpx", "Ivy 1", "Nela Quist"),
    ]
    page = html.unescape(client.get(shown).text)
    assert "This will log two flights" in page
    assert "c.gpx: Ivy 1, flown by Nela Quist, Nov 24, 2026" in page
    assert "Alder 2/a.gpx: This may be the same flight as in c.gpx. It counts once." in page
    form = {**own_fields(page), "run": shown.partition("run=")[2].partition("&")[0], "way": "save"}
    for _ in range(2):
        done = client.post("/after-flights", data=form)
        assert done.status_code == 303, done.text[-400:]
    page = html.unescape(client.get(done.headers["location"]).text)
    assert "Logged two flights." in page
    entries = re.findall(r'<a href="([^"]*/take-back/\d+[^"]*)">Take back entry', page)
    assert len(entries) == 2
    assert "Take back" in client.get(entries[0]).text
    assert "No flights to log" in page
    assert "c.gpx: This flight is already on record." in page


def test_a_flight_nobody_flew_by_name_is_left_out_with_why(
    visitor: Visitor, logs: Path, own_ledger: Path
) -> None:
    client = visitor(own_ledger)
    address = run_of(client, folder=str(logs / "Alder 2"))
    twin_of(client, address)
    form = {**own_fields(client.get(address).text), "run": address.partition("run=")[2].partition("&")[0]}
    shown = client.post("/after-flights", data={**form, "way": "preview"}).headers["location"]
    assert twin_of(client, shown)["saving"]["flights"] == []
    assert "a.gpx: To save the flight, we need to know the aircraft." in html.unescape(client.get(shown).text)
    assert client.post("/after-flights", data={**form, "run": "none", "way": "save"}).status_code == 422
