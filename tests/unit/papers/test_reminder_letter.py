"""The letter: everything due stands in it once, as text and as HTML that no name can break."""

from __future__ import annotations

import html5lib
from hypothesis import given
from hypothesis import strategies as st

from airwrit.answers.due.deadlines import deadlines_of
from airwrit.answers.due.reminder_letter import ReminderLetter, letter_json, letter_of
from airwrit.facts.key import Raw
from airwrit.papers.reminder_letter import letter_html, letter_text, parts_of
from tests.unit.answers.told import firm_aircraft, fleet

LAPSES: dict[str, dict[str, Raw]] = {
    **firm_aircraft("Alder 1", "FA00TEST01", "2023-11-20"),
    **firm_aircraft("Alder 2", "FA00TEST02", "2023-12-10"),
    "person/Sunniva Rell": {"flies_for": "work", "certificate_number": "0000001", "born_on": "1980-02-03"},
    "training/1": {"event_of": "Sunniva Rell", "event_kind": "initial test", "completed_on": "2024-12-05"},
    "incident/crash": {
        "happened_on": "2026-11-20",
        "incident_pilot": "Sunniva Rell",
        "anyone_hurt": "nobody",
        "damaged_property": "property apart from the aircraft",
        "repair_cost_usd": "900",
        "total_loss": False,
        "cause": "none of these",
        "airworthiness_certificate": False,
    },
}


def letter(who: str = "", days: int = 60, more: dict[str, dict[str, Raw]] | None = None) -> ReminderLetter:
    """The letter of a small program."""
    return letter_of(deadlines_of(fleet({**LAPSES, **(more or {})})), days, who)


def test_it_tells_notices_then_what_is_overdue_then_what_comes() -> None:
    text = letter_text(letter())
    assert [part.title for part in parts_of(letter())] == ["After an incident", "Overdue", "Next 60 days"]
    assert "FAA: Safety event report, online." in " ".join(text.split())
    assert "Nov 30, 2026, 11:59 PM there" in " ".join(text.split())
    assert all(len(line) <= 76 for line in text.splitlines())


def test_one_persons_digest_holds_only_what_that_person_does() -> None:
    mine = letter("sunniva rell")
    assert mine.notices
    assert all(line.who == ("Sunniva Rell",) for line in (*mine.overdue, *mine.coming))
    assert letter("Somebody Else").in_short == "Nothing is due for Somebody Else in 60 days."


def test_a_longer_span_has_all_that_a_shorter_has() -> None:
    short, long = letter(days=7), letter(days=366)
    assert {one.what for one in short.coming} <= {one.what for one in long.coming}
    assert letter_json(short)["overdue"] == letter_json(long)["overdue"]


@given(st.text(min_size=1, max_size=30))
def test_no_name_breaks_the_html(name: str) -> None:
    made = letter_html(letter(name)._replace(notices=letter().notices, who=f"</td><script>{name}"))
    page = html5lib.HTMLParser(strict=True).parse(made.replace("\x00", ""))
    assert not page.findall(".//{http://www.w3.org/1999/xhtml}script")
    assert "http" not in made.partition("<body")[2].replace("https", "")
