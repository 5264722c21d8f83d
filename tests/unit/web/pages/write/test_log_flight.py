"""Flights by hand on the page: written once, counted in hours, never guessed; defects stay open until released."""

from __future__ import annotations

import html
from datetime import datetime
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from airwrit.facts.statement import Statement
from airwrit.ledger.ports import Draft
from airwrit.ledger.sqlite.store import Ledger
from airwrit.web.pages.write.log_flight import with_zone
from tests.browser.serving import clock
from tests.unit.web.conftest import Visitor, own_fields

FLIGHT = {
    "aircraft": "Alder 3",
    "pilot": "Maris Tolland",
    "landed": "2026-11-25T08:20",
    "minutes": "14",
    "landings": "1",
    "packs": "P1, P2",
}
HOSTILE = "\"><script>alert(1)</script>' \u202eabc & <b>"


def size_of(ledger: Path) -> int:
    """How many entries the ledger has."""
    with Ledger(ledger) as book:
        return book.head().size


def sent(client: TestClient, path: str = "/log-flight", **fields: str) -> dict[str, str]:
    """A form of an address as the page gave it, filled in."""
    return {**own_fields(client.get(path).text), **fields}


def test_a_flight_is_written_told_and_counted(visitor: Visitor, own_ledger: Path) -> None:
    client, size = visitor(own_ledger), size_of(own_ledger)
    before = {one["name"]: one for one in client.get("/log-flight.json").json()["aircraft"]}
    answer = client.post("/log-flight", data=sent(client, **FLIGHT, way="write"))
    assert answer.headers["location"] == f"/log-flight?written={size + 1}"
    page = client.get(answer.headers["location"]).text
    assert f"aved as entry {size + 1}" in page
    assert "Log another like this" in page
    after = client.get("/log-flight.json").json()
    assert after["question"] == "hours"
    mine = next(one for one in after["aircraft"] if one["name"] == "Alder 3")
    assert mine["flights"] == before.get("Alder 3", {"flights": 0})["flights"] + 1
    assert {one["name"]: one["cycles"] for one in after["packs"]}["P1"] == 1
    with Ledger(own_ledger) as book:
        entry = book.entry(size + 1)
    assert entry is not None
    assert (entry.act, entry.by) == ("enter", "tests")
    here = datetime.fromisoformat(FLIGHT["landed"]).astimezone().isoformat(timespec="minutes")
    assert ("flown_on", here) in [(one.key, one.value) for one in entry.statements]


def test_another_like_it_has_all_but_the_landing_and_the_defect(visitor: Visitor, own_ledger: Path) -> None:
    client = visitor(own_ledger)
    told = client.post("/log-flight", data=sent(client, **FLIGHT, defect="crack", use="work", way="write"))
    page = client.get(told.headers["location"]).text
    link = html.unescape(page.partition('">Log another like this')[0].rpartition('href="')[2])
    again = client.get(link).text
    assert '<option value="Alder 3" selected>' in again
    assert '<option value="Maris Tolland" selected>' in again
    assert 'value="P1, P2"' in again
    assert 'value="work" checked' in again
    assert 'value="2026-11-25T08:20"' not in again
    assert 'value="crack"' not in again


def test_the_names_flown_last_come_first(visitor: Visitor, own_ledger: Path) -> None:
    client = visitor(own_ledger)
    client.post("/log-flight", data=sent(client, **FLIGHT, way="write"))
    page = client.get("/log-flight").text
    first = page.partition('<select id="f-aircraft"')[2].split("<option ")[2]
    assert first.startswith('value="Alder 3"')


def test_shown_before_and_nothing_written(visitor: Visitor, own_ledger: Path) -> None:
    client, size = visitor(own_ledger), size_of(own_ledger)
    page = client.post("/log-flight", data=sent(client, **FLIGHT, way="show")).text
    assert "This would save one entry with six lines" in page
    assert "What changes" in page
    assert size_of(own_ledger) == size


def test_what_a_defect_changes_is_shown_before_it_is_saved(visitor: Visitor, own_ledger: Path) -> None:
    client = visitor(own_ledger)
    page = client.post("/log-flight", data=sent(client, **FLIGHT, defect="crack in the arm", way="show")).text
    changes = page.partition("What changes")[2]
    assert "(was papers OK for work)" in changes
    assert "been signed off: crack in the arm" in changes


def test_sent_twice_and_from_an_older_tab(visitor: Visitor, own_ledger: Path) -> None:
    client, size = visitor(own_ledger), size_of(own_ledger)
    first, older = sent(client, **FLIGHT, way="write"), sent(client, **FLIGHT, way="write")
    answers = [client.post("/log-flight", data=first) for _ in range(2)]
    assert {one.headers["location"] for one in answers} == {f"/log-flight?written={size + 1}"}
    another = client.post("/log-flight", data=older | {"landed": "2026-11-25T09:00"})
    assert another.status_code == 303  # what was saved meanwhile is about another flight
    assert size_of(own_ledger) == size + 2


def test_who_and_what_is_not_ok_is_said_before_it_is_saved(visitor: Visitor, own_ledger: Path) -> None:
    """A flight that happened can be logged all the same, once that was seen."""
    client, size = visitor(own_ledger), size_of(own_ledger)
    grounded = {**FLIGHT, "aircraft": "Alder 2", "pilot": "Ivo Brask", "use": "work"}
    own = sent(client, **grounded, way="write")
    first = client.post("/log-flight", data=own)
    assert first.status_code == 200
    assert "Alder 2: grounded." in first.text
    assert "Ivo Brask: papers OK for recreation only." in first.text
    assert size_of(own_ledger) == size
    assert 'name="warned" value="yes"' in first.text
    assert client.post("/log-flight", data={**own, "warned": "yes"}).status_code == 303
    assert size_of(own_ledger) == size + 1


def test_a_flight_of_an_earlier_day_is_warned_of_by_that_day(visitor: Visitor, own_ledger: Path) -> None:
    """Its registration expired on November 24."""
    client = visitor(own_ledger)
    early = {**FLIGHT, "aircraft": "Alder 2", "landed": "2026-11-20T10:00"}
    assert "Alder 2: grounded." not in client.post("/log-flight", data=sent(client, **early, way="show")).text


def test_who_left_and_what_was_sold_is_not_offered(visitor: Visitor, own_ledger: Path) -> None:
    gone = (
        Statement("aircraft/Alder 1", "sold_on", "2026-11-20"),
        Statement("person/Nela Quist", "left_on", "2026-11-20"),
    )
    with Ledger(own_ledger) as book:
        book.append([Draft("ada", "record", gone)], clock)
    client = visitor(own_ledger)
    for path in ("/log-flight", "/pilot-papers"):
        page = client.get(path).text
        assert 'value="Alder 1"' not in page, path
        assert 'value="Nela Quist"' not in page, path
        assert 'value="Maris Tolland"' in page, path


def test_a_pack_with_something_not_ok_says_so_before_it_is_saved(visitor: Visitor) -> None:
    page = visitor().get("/pilot-papers?pilot=Ivo%20Brask&aircraft=Alder%202").text
    head, _, rest = page.partition("Save the file for the phone")
    assert rest
    assert "Alder 2: grounded." in head
    assert "Ivo Brask: papers OK for recreation only." in head


def test_sent_again_with_other_values_it_is_not_told_as_saved(visitor: Visitor, own_ledger: Path) -> None:
    client, size = visitor(own_ledger), size_of(own_ledger)
    first = sent(client, **FLIGHT, way="write")
    client.post("/log-flight", data=first)
    again = client.post("/log-flight", data=first | {"minutes": "59"})
    assert again.status_code == 409
    assert "This form was already saved" in again.text
    assert f'href="/log-flight?written={size + 1}"' in again.text
    assert "59" in again.text
    assert size_of(own_ledger) == size + 1


def test_the_same_flight_again_adds_nothing_and_another_saying_is_asked_about(
    visitor: Visitor, own_ledger: Path
) -> None:
    client = visitor(own_ledger)
    before = minutes_of(client, "Alder 3")
    client.post("/log-flight", data=sent(client, **FLIGHT, way="write"))
    size = size_of(own_ledger)
    again = client.post("/log-flight", data=sent(client, **FLIGHT, way="write"))
    assert "Nothing to save" in again.text
    other = FLIGHT | {"minutes": "15"}
    asked = client.post("/log-flight", data=sent(client, **other, way="write"))
    assert asked.status_code == 422
    assert 'id="w-corrects"' in asked.text
    assert size_of(own_ledger) == size
    done = client.post("/log-flight", data=sent(client, **other, corrects="yes", way="write"))
    assert done.status_code == 303
    assert minutes_of(client, "Alder 3") == before + 15


def minutes_of(client: TestClient, name: str) -> int:
    """The minutes that an aircraft was flown."""
    totals = client.get("/log-flight.json").json()
    return next((int(one["minutes"]) for one in totals["aircraft"] if one["name"] == name), 0)


def test_only_the_day_is_known(visitor: Visitor, own_ledger: Path) -> None:
    client = visitor(own_ledger)
    said = FLIGHT | {"landed": "", "day": "2026-11-20", "nth": "2", "way": "write"}
    answer = client.post("/log-flight", data=sent(client, **said))
    page = client.get(answer.headers["location"]).text
    assert "Alder 3 2026-11-20 no. 2" in page
    link = html.unescape(page.partition('">Correct it')[0].rpartition('href="')[2])
    again = client.get(link).text
    assert 'name="day" type="date" value="2026-11-20"' in again
    assert 'name="nth" type="text" inputmode="decimal" value="2"' in again
    assert 'name="corrects" value="yes" checked' in again


@pytest.mark.parametrize(
    ("said", "field"),
    [
        ({"aircraft": ""}, "aircraft"),
        ({"aircraft": "Nobody 9"}, "aircraft"),
        ({"aircraft": HOSTILE}, "aircraft"),
        ({"pilot": ""}, "pilot"),
        ({"pilot": "aircraft"}, "pilot"),
        ({"landed": ""}, "landed"),
        ({"landed": "yesterday at noon"}, "landed"),
        ({"landed": "0001-01-01T00:00"}, "landed"),
        ({"landed": "9999-12-31T23:59"}, "landed"),
        ({"day": "2026-02-30"}, "day"),
        ({"minutes": "-1"}, "minutes"),
        ({"minutes": "1441"}, "minutes"),
        ({"minutes": "many"}, "minutes"),
        ({"landings": "1.5"}, "landings"),
        ({"packs": ", ".join(f"P{n}" for n in range(40))}, "packs"),
        ({"use": "war"}, "use"),
        ({"defect": "x" * 501}, "defect"),
    ],
)
def test_what_is_wrong_stands_at_its_field_and_what_was_typed_stays(
    visitor: Visitor, own_ledger: Path, said: dict[str, str], field: str
) -> None:
    client, size = visitor(own_ledger), size_of(own_ledger)
    answer = client.post("/log-flight", data=sent(client, **(FLIGHT | said), way="write"))
    assert answer.status_code == 422
    assert "<title>Trouble: Log a flight" in answer.text
    assert f'id="w-{field}"' in answer.text
    assert 'id="f-' + field + '"' in answer.text
    assert "<script>alert" not in answer.text
    if field != "packs":
        assert 'value="P1, P2"' in answer.text
    assert size_of(own_ledger) == size


def test_hostile_text_is_kept_as_text(visitor: Visitor, own_ledger: Path) -> None:
    client = visitor(own_ledger)
    said = FLIGHT | {"defect": HOSTILE, "packs": '"><img src=x>'}
    answer = client.post("/log-flight", data=sent(client, **said, way="write"))
    page = client.get(answer.headers["location"]).text
    assert "<script>alert" not in page
    assert "<img" not in page
    assert "\u202e" not in page
    assert "&lt;script&gt;alert" in page


@pytest.mark.parametrize("written", ["0", "9" * 30, "-1", "x", "1", "²"])
def test_an_entry_that_is_no_flight_is_not_told(visitor: Visitor, written: str) -> None:
    answer = visitor().get("/log-flight", params={"written": written})
    assert answer.status_code == 200
    assert "was written" not in answer.text


def test_a_defect_stays_open_until_somebody_releases_the_aircraft(visitor: Visitor, own_ledger: Path) -> None:
    client = visitor(own_ledger)
    elsewhere = client.get("/release/Alder%203")
    assert elsewhere.headers["location"] == "/record-change/return_to_service/aircraft/Alder%203"
    client.post("/log-flight", data=sent(client, **FLIGHT, defect="crack in the left arm", way="write"))
    assert 'href="/release/Alder%203"' in client.get("/log-flight").text
    path, size = "/release/Alder%203", size_of(own_ledger)
    assert client.get(f"{path}.json").json()["defects"][0]["seen"] == "crack in the left arm"
    nobody = client.post(path, data=sent(client, path, released="2026-11-25T09:00", who="", way="write"))
    early = client.post(path, data=sent(client, path, released="2026-11-24", who="Ada", way="write"))
    assert (nobody.status_code, early.status_code) == (422, 422)
    assert 'id="w-who"' in nobody.text
    assert 'id="w-released"' in early.text
    assert size_of(own_ledger) == size
    shown = client.post(
        path, data=sent(client, path, released="2026-11-25T09:00", who="Ada Lind", way="show")
    )
    assert "What changes" in shown.text
    assert size_of(own_ledger) == size
    said = sent(client, path, released="2026-11-25T09:00", who="Ada Lind", way="write")
    done = [client.post(path, data=said) for _ in range(2)]
    assert {one.headers["location"] for one in done} == {f"/aircraft/Alder%203?written={size + 1}"}
    assert "Open defects" not in client.get("/log-flight").text
    assert client.post(path, data=said | {"nonce": "x"}).status_code != 200
    assert client.get(path).status_code == 303


def test_nothing_is_written_on_another_day(visitor: Visitor, own_ledger: Path) -> None:
    client, size = visitor(own_ledger), size_of(own_ledger)
    said = sent(client, **FLIGHT, way="write")
    page = client.get("/log-flight?on=2025-03-14").text
    assert 'method="post"' not in page
    assert client.post("/log-flight?on=2025-03-14", data=said).status_code == 409
    assert size_of(own_ledger) == size


@pytest.mark.parametrize("text", ["", "2026-11-25", "2026-11-25T10:20Z", "noon", "9999-12-31T25:00", "²"])
def test_what_has_a_zone_or_is_no_moment_stays(text: str) -> None:
    assert with_zone(text) == text


def test_a_flight_that_may_be_on_record_already_is_told_and_taken_back(
    visitor: Visitor, own_ledger: Path
) -> None:
    """Once in a log that was brought in with the day alone, once by hand: both count until somebody takes one back."""
    logged = (
        Statement("flight/log row 7", "flight_aircraft", "Alder 3"),
        Statement("flight/log row 7", "flight_pilot", "Maris Tolland"),
        Statement("flight/log row 7", "flown_on", "2026-11-25"),
        Statement("flight/log row 7", "minutes", "14"),
    )
    with Ledger(own_ledger) as book:
        (entry,) = book.append([Draft("ada", "import", logged, (), "log.csv sha256:00")], clock)
    client = visitor(own_ledger)
    was = client.get("/log-flight.json").json()
    shown = client.post("/log-flight", data=sent(client, **FLIGHT, way="show")).text
    assert "log row 7 may be the same flight" in shown
    client.post("/log-flight", data=sent(client, **FLIGHT, way="write"))
    page = client.get("/log-flight").text
    assert "Possible duplicates" in page
    assert f'href="/take-back/{entry.seq}"' in page
    assert len(client.get("/log-flight.json").json()["possible_doubles"]) == 1
    for sheet in (f"/aircraft/{FLIGHT['aircraft']}", f"/people/{FLIGHT['pilot']}"):
        assert "may be counted twice" in client.get(sheet).text
        assert client.get(f"{sheet}.json").json()["flights"]["may_count_twice"] == 1
    back = client.get(f"/take-back/{entry.seq}").text
    assert client.post(f"/take-back/{entry.seq}", data=own_fields(back)).status_code == 303
    now = client.get("/log-flight.json").json()
    assert now["possible_doubles"] == []
    assert now["flights"] == was["flights"]
    assert "Possible duplicates" not in client.get("/log-flight").text
    assert "counted twice" not in client.get(f"/aircraft/{FLIGHT['aircraft']}").text
