"""Reports on the page: the list, each with its fields, files, and what is refused at its field."""

from __future__ import annotations

import html
import io

import openpyxl
import pytest
from pypdf import PdfReader

from airwrit.answers.reports.catalog import REPORTS
from tests.unit.web.conftest import Visitor, own_fields


def test_the_list_names_every_report(visitor: Visitor) -> None:
    text = visitor().get("/reports").text
    assert all(f'href="/reports/{one.name}"' in text for one in REPORTS)


@pytest.mark.parametrize(
    ("path", "says"),
    [
        ("month?month=2026-11", "flights in November 2026"),
        ("month?month=2026-02", "This is a report of zero flights"),
        ("year?year=2026", "flights in 2026"),
        ("insurer", "on record from"),
        ("board", "grounded"),
        ("aircraft-hours?aircraft=alder+1", "Alder 1 on"),
        (
            "client?aircraft=Alder+1&person=Maris+Tolland&from=2026-12-01&until=2026-12-03",
            "papers OK for work",
        ),
    ],
)
def test_a_report_is_shown_and_saved(visitor: Visitor, path: str, says: str) -> None:
    client = visitor()
    shown = client.get(f"/reports/{path}")
    assert shown.status_code == 200
    assert says in html.unescape(shown.text)
    name, _, query = path.partition("?")
    document = client.get(f"/reports/{name}.json?{query}").json()
    pdf = client.get(f"/reports/{name}/pdf?{query}").content
    text = " ".join(" ".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages).split())
    assert document["title"] in text
    book = openpyxl.load_workbook(io.BytesIO(client.get(f"/reports/{name}/xlsx?{query}").content))
    rows = next(iter(document["tables"].values()))["rows"]
    first = book.worksheets[1]
    assert first.max_row >= len(rows) + 1


@pytest.mark.parametrize(
    ("path", "says"),
    [
        ("month?month=soon", "isn't a month"),
        ("aircraft-hours?aircraft=Nothing", "no aircraft named"),
        ("client?aircraft=Alder+1&from=2026-12-05&until=2026-12-01", "ends before it begins"),
        ("client?aircraft=Alder+1&from=soon", "isn't a date"),
    ],
)
def test_what_it_cannot_use_is_said_at_its_field(visitor: Visitor, path: str, says: str) -> None:
    answer = visitor().get(f"/reports/{path}")
    assert answer.status_code == 422
    assert says in html.unescape(answer.text)


def test_a_form_waits_for_its_names_and_unknown_reports_are_refused(visitor: Visitor) -> None:
    client = visitor()
    assert "Which aircraft?" in client.get("/reports/client").text
    assert client.get("/reports/client").status_code == 200
    assert client.get("/reports/nothing").status_code == 404
    assert client.get("/reports/year/doc").status_code == 404


def test_two_lists_are_held_against_the_register(visitor: Visitor) -> None:
    client = visitor()
    fields = own_fields(client.get("/reports/inventory").text)
    files = {
        "purchases": ("bought.csv", b"Serial number\nZZ9Z8SURV4A01\nZZ9Z8SURV4A99\n"),
        "count": ("shelf.csv", b"Name\nAlder 1\nGhost\n"),
    }
    answer = client.post("/reports/inventory", data=fields, files=files)
    assert answer.status_code == 200
    text = html.unescape(answer.text)
    assert "1 of 15 aircraft on the register" in text
    assert "Ghost" in text
    assert client.post("/reports/inventory", data=fields, files={"count": files["count"]}).status_code == 422


def test_the_inventory_is_saved_as_pdf_and_workbook(visitor: Visitor) -> None:
    client = visitor()
    fields = own_fields(client.get("/reports/inventory").text)
    files = {
        "purchases": ("bought.csv", b"Serial number\nZZ9Z8SURV4A01\n"),
        "count": ("shelf.csv", b"Name\nAlder 1\nGhost\n"),
    }
    pdf = client.post("/reports/inventory", data={**fields, "way": "pdf"}, files=files)
    assert pdf.headers["content-type"] == "application/pdf"
    assert "Ghost" in " ".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf.content)).pages)
    xlsx = client.post("/reports/inventory", data={**fields, "way": "xlsx"}, files=files)
    book = openpyxl.load_workbook(io.BytesIO(xlsx.content))
    assert [row[1].value for row in book["Counted not registered"].iter_rows(min_row=2)] == ["Ghost"]
    refused = client.post(
        "/reports/inventory", data={**fields, "way": "pdf"}, files={"count": files["count"]}
    )
    assert refused.status_code == 422
    assert client.post("/reports/inventory", data={**fields, "way": "doc"}, files=files).status_code == 404


@pytest.mark.parametrize("name", ["insurer", "year", "month", "board"])
def test_a_long_table_is_folded_on_a_phone_and_a_short_one_is_not(visitor: Visitor, name: str) -> None:
    tables = visitor().get(f"/reports/{name}.json").json()["tables"].values()
    text = visitor().get(f"/reports/{name}").text
    assert text.count('<details class="on-phone part">') == sum(len(table["rows"]) > 12 for table in tables)
