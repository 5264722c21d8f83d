"""Importing on the page: shown before it is kept, kept once, hostile files refused or shown escaped."""

from __future__ import annotations

import html
import io
import json
import re
import zipfile
from collections.abc import Mapping
from datetime import timedelta
from pathlib import Path

import openpyxl
import pytest
import segno
from starlette.testclient import TestClient

from airwrit.facts.statement import FilePlace
from airwrit.intake.columns import Column
from airwrit.intake.typed.phone_flights import FORM
from airwrit.ledger.sqlite.store import Ledger
from airwrit.web.pages.write.import_file import plans_of
from airwrit.web.server.uploads import KEPT_FOR, Uploads
from tests.browser.serving import clock
from tests.unit.web.conftest import Visitor, own_fields

HEADINGS = ("Aircraft", "Use", "Registration number", "Weight (g)")
ROWS = (("K-1", "work", "FA00TEST41", 900), ("K-2", "work", "FA00TEST42", 1400))
_FIELD = re.compile(
    r'<input (?:id="[^"]*" )?(?:type="hidden" )?name="(tray|seen|answer\.[^"]*)"(?: type="[^"]*")? value="([^"]*)"'
)
_CHOICE = re.compile(r'<select id="[^"]*" name="((?:column-|answer\.)[^"]*)">(.*?)</select>')
_CHOSEN = re.compile(r'<option(?: value="([^"]*)")? selected>([^<]*)')


def sheet(*rows: tuple[object, ...], headings: tuple[str, ...] = HEADINGS) -> bytes:
    """A workbook with one sheet."""
    book = openpyxl.Workbook()
    page = book.active
    assert page is not None
    page.title = "Fleet"
    for row in (headings, *rows):
        page.append(list(row))
    made = io.BytesIO()
    book.save(made)
    return made.getvalue()


def fields(source: str) -> dict[str, str]:
    """What the form of a page carries without being typed."""
    typed = {name: html.unescape(value) for name, value in _FIELD.findall(source)}
    chosen = {name: _CHOSEN.search(options) for name, options in _CHOICE.findall(source)}
    picked = {name: html.unescape(one[1] or one[2]) if one else "" for name, one in chosen.items()}
    return own_fields(source) | typed | picked


def sent(client: TestClient, data: bytes, name: str = "fleet.xlsx", **told: str) -> str:
    """The page after a file was sent to be looked at."""
    own = own_fields(client.get("/import").text)
    answer = client.post("/import", data={**own, "way": "look", **told}, files={"files": (name, data)})
    assert answer.status_code == 303
    return client.get(answer.headers["location"]).text


def pressed(client: TestClient, source: str, way: str, **told: str) -> tuple[int, str, str]:
    """Status, place and page after a button of a shown import was pressed."""
    answer = client.post("/import", data={**fields(source), "way": way, **told}, files={"files": ("", b"")})
    place = answer.headers.get("location", "")
    return answer.status_code, place, client.get(place).text if place else answer.text


def words(source: str) -> str:
    """The words of a page, without its tags."""
    return " ".join(html.unescape(re.sub(r"<[^>]+>", "", source)).split())


def size_of(path: Path) -> int:
    """How many entries a ledger has; none where there is no ledger."""
    if not path.exists():
        return 0
    with Ledger(path) as book:
        return book.head().size


def test_nothing_is_kept_before_it_was_shown_and_told_to_be(visitor: Visitor, tmp_path: Path) -> None:
    path = tmp_path / "new.airwrit"
    client = visitor(path)
    shown = sent(client, sheet(*ROWS))
    assert "This would save" in shown
    assert "FA00TEST41" in shown
    assert not path.exists()
    status, place, _ = pressed(client, shown, "keep")
    assert status == 303
    kept = size_of(path)
    assert kept > 0
    assert f"{kept} entries were saved" in client.get(place).text
    assert "K-2" in client.get("/aircraft").text


def test_a_form_sent_twice_writes_once(visitor: Visitor, tmp_path: Path) -> None:
    path = tmp_path / "new.airwrit"
    client = visitor(path)
    shown = sent(client, sheet(*ROWS))
    first = pressed(client, shown, "keep")
    kept = size_of(path)
    assert pressed(client, shown, "keep")[0] in (200, 303)
    assert size_of(path) == kept
    assert first[0] == 303


def test_the_same_file_again_adds_nothing(visitor: Visitor, tmp_path: Path) -> None:
    client = visitor(tmp_path / "new.airwrit")
    pressed(client, sent(client, sheet(*ROWS)), "keep")
    again = sent(client, sheet(*ROWS))
    assert "Nothing would be saved" in again
    assert "Nothing to save" in again


def test_a_changed_value_is_told_with_its_day(visitor: Visitor, tmp_path: Path) -> None:
    client = visitor(tmp_path / "new.airwrit")
    pressed(client, sent(client, sheet(*ROWS)), "keep")
    changed = sent(client, sheet(ROWS[0], ("K-2", "work", "FA00TEST42", 1500)))
    assert "efore that, the old value stays" in words(changed)
    told = pressed(client, changed, "look", start="2026-10-01")[2]
    assert "from Oct 1, 2026 on" in words(told)


def test_a_column_can_be_told_to_mean_something_else(visitor: Visitor, tmp_path: Path) -> None:
    client = visitor(tmp_path / "new.airwrit")
    shown = sent(client, sheet((*ROWS[0], "spare"), headings=(*HEADINGS, "Shelf")))
    assert "tell what this column means" in shown
    again = pressed(client, shown, "look", **{"column-4": "holder"})[2]
    assert "who has the aircraft: spare" in html.unescape(again)
    assert "As you chose" in again


def test_a_meaning_that_there_is_not_names_the_nearest(visitor: Visitor, tmp_path: Path) -> None:
    client = visitor(tmp_path / "new.airwrit")
    shown = sent(client, sheet(*ROWS))
    page = pressed(client, shown, "look", **{"column-1": "used_fro"})[2]
    assert "Did you mean used_for?</li>" in page


def test_what_differs_from_what_was_shown_is_shown_again(visitor: Visitor, tmp_path: Path) -> None:
    path = tmp_path / "new.airwrit"
    client = visitor(path)
    shown = sent(client, sheet(*ROWS))
    _, place, page = pressed(client, shown, "keep", owner="Quorrin Lane School")
    assert "written" not in place
    assert "preview has changed" in page
    assert size_of(path) == 0
    assert "written" in pressed(client, page, "keep", owner="Quorrin Lane School")[1]


def test_others_who_wrote_meanwhile_are_told(visitor: Visitor, own_ledger: Path) -> None:
    client = visitor(own_ledger)
    shown, other = sent(client, sheet(*ROWS)), sent(client, sheet(("K-9", "work", "FA00TEST49", 800)))
    assert pressed(client, other, "keep")[0] == 303
    status, _, page = pressed(client, shown, "keep")
    assert status == 409
    assert "K-9" in page


def test_damage_is_told_by_its_cell(visitor: Visitor, tmp_path: Path) -> None:
    page = sent(visitor(tmp_path / "new.airwrit"), sheet(("K-1", "work", "FA00TEST41", "heavy")))
    assert "D2" in page
    assert "Please check" in page


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("fleet.xlsx", b""),
        ("fleet.xlsx", b"<html><script>alert(1)</script></html>"),
        ("fleet.xlsx", b"PK\x03\x04" + b"\0" * 99),
        ("flights.json", b"{]"),
        ("code.png", b"\x89PNG\r\n\x1a\nnothing"),
        ("../../etc/<script>.xlsx", b"PK\x03\x04"),
    ],
)
def test_files_that_cannot_be_read_are_refused_by_name(
    visitor: Visitor, tmp_path: Path, name: str, data: bytes
) -> None:
    client = visitor(tmp_path / "new.airwrit")
    own = own_fields(client.get("/import").text)
    answer = client.post("/import", data={**own, "way": "look"}, files={"files": (name, data)})
    assert answer.status_code == 422
    assert "<script>" not in answer.text
    assert "One thing keeps this from being saved" in answer.text
    assert size_of(tmp_path / "new.airwrit") == 0


def test_a_workbook_that_unpacks_without_end_is_refused(visitor: Visitor, tmp_path: Path) -> None:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("xl/worksheets/sheet1.xml", b" " * 400 * 2**20)
    client = visitor(tmp_path / "new.airwrit")
    own = own_fields(client.get("/import").text)
    answer = client.post(
        "/import", data={**own, "way": "look"}, files={"files": ("b.xlsx", packed.getvalue())}
    )
    assert answer.status_code == 422
    assert "B.xlsx:" in words(answer.text)
    assert size_of(tmp_path / "new.airwrit") == 0


@pytest.mark.parametrize("name", ["flights.json", "code.png"])
def test_flights_that_a_pack_handed_over_are_taken_in_once(
    visitor: Visitor, own_ledger: Path, name: str
) -> None:
    """As a file, or as a photo of its codes; what is on record already is not said again."""
    flight = {"aircraft": "Alder 2", "landed": "2026-11-20T10:20-05:00", "minutes": 14}
    told = json.dumps({"form": FORM, "pack": "ab12", "pilot": "Maris Tolland", "flights": [flight]})
    drawn = io.BytesIO()
    segno.make(told, micro=False).save(drawn, kind="png", scale=6)
    data = drawn.getvalue() if name.endswith("png") else told.encode()
    client, size = visitor(own_ledger), size_of(own_ledger)
    shown = sent(client, data, name)
    assert "minutes in the air: 14" in words(shown)
    assert size_of(own_ledger) == size
    assert pressed(client, shown, "keep")[0] == 303
    assert size_of(own_ledger) > size
    assert "Nothing would be saved" in sent(client, data, name)


def test_markup_in_cells_and_names_is_shown_as_text(visitor: Visitor, tmp_path: Path) -> None:
    hostile = '<script>alert(1)</script>"><img src=x onerror=alert(1)>'
    data = sheet(
        (hostile, "work", "FA00TEST41", 900), headings=("Aircraft", "Use", "Registration number", hostile)
    )
    page = sent(visitor(tmp_path / "new.airwrit"), data, name=f"{hostile}.xlsx")
    assert "<script>alert" not in page
    assert "<img" not in page
    assert "&lt;script&gt;alert(1)" in page


def test_private_values_are_not_shown(visitor: Visitor, tmp_path: Path) -> None:
    data = sheet(("Ada Quill", "1990-02-03"), headings=("Pilot", "born_on"))
    page = sent(visitor(tmp_path / "new.airwrit"), data, name="crew.xlsx")
    assert "irthday: private, hidden" in page
    assert "1990" not in page


def test_a_past_day_takes_nothing_in(visitor: Visitor) -> None:
    client = visitor()
    own = own_fields(client.get("/import").text)
    answer = client.post(
        "/import?on=2025-01-01", data={**own, "way": "look"}, files={"files": ("a.xlsx", sheet(*ROWS))}
    )
    assert answer.status_code == 409
    assert "Open today" in client.get("/import?on=2025-01-01").text


def test_a_tray_lets_go_of_what_lies_too_long_or_weighs_too_much() -> None:
    now = clock()
    tray = Uploads(lambda: now, most_bytes=100)
    old = tray.lay([("a", b"x" * 60)], {})
    assert tray.found(old) is not None
    new = tray.lay([("b", b"x" * 60)], {"use": "work"})
    assert tray.found(old) is None
    now += KEPT_FOR
    laid = tray.tell(new, {"use": "both"})
    assert laid == tray.found(new)
    assert laid is not None
    assert (laid.files, laid.told) == ((("b", b"x" * 60),), {"use": "both"})
    now += timedelta(seconds=1)
    assert tray.found(new) is tray.tell(new, {}) is None
    tray.drop("nothing of that name")


def test_the_meanings_told_make_a_mapping() -> None:
    columns = [
        Column(FilePlace("a.csv", "a.csv"), "A", "Drone", "id", "exact", "", "aircraft", "a", "Drone", "id")
    ]
    plans: Mapping[str, object] = plans_of(columns, ["maker"])
    assert list(plans) == ["a"]


def test_days_to_come_and_the_owner_are_known_as_the_command_knows_them(
    visitor: Visitor, tmp_path: Path
) -> None:
    client = visitor(tmp_path / "new.airwrit")
    headings = ("Aircraft", "Registration number", "Inspected")
    rows = (
        ("K-1", "FA00TEST41", "2099-01-01"),
        ("K-2", "FA00TEST42", "2099-02-01"),
        ("K-3", "FA00TEST43", "2099-03-01"),
    )
    page = sent(client, sheet(*rows, headings=headings))
    assert fields(page)["column-2"] == "ask"
    lines = (("All are registered in the company's name.",), (), headings, *rows)
    page = sent(client, sheet(*lines[1:], headings=lines[0]), owner="Cedar Survey LLC")
    assert "Cedar Survey LLC" in words(page)
