"""The calendar, read back by two other readers: our own of lines, and another library."""

from __future__ import annotations

import re
from datetime import date, timedelta

import ics
from hypothesis import given
from hypothesis import strategies as st

from airwrit.answers.due.deadlines import deadlines_of
from airwrit.answers.standing.standing import Standing
from airwrit.facts.key import Raw
from airwrit.facts.vocabulary import ALL_KEYS
from airwrit.papers.calendar import calendar_of
from tests.unit.answers.told import DAY, firm_aircraft, fleet
from tests.unit.law.words import texts

PILOT: dict[str, Raw] = {
    "flies_for": "work",
    "certificate_number": "0000001",
    "born_on": "1980-02-03",
    "flies_at_night": False,
}


def told(day: date = DAY, issued_on: str = "2025-11-01") -> Standing:
    return fleet(
        {
            **firm_aircraft("Alder 1", "FA00TEST01", issued_on),
            **firm_aircraft("Alder 2", "FA00TEST02", "2023-11-20"),
            **firm_aircraft("Alder 3", "FA00TEST03", "2024-01-10"),
            "person/Sunniva Rell": PILOT,
            "training/1": {
                "event_of": "Sunniva Rell",
                "event_kind": "initial test",
                "completed_on": "2025-11-05",
            },
        },
        day,
    )


def calendar(day: date = DAY, issued_on: str = "2025-11-01") -> bytes:
    return calendar_of(deadlines_of(told(day, issued_on)).due, day)


def unfolded(made: bytes) -> list[str]:
    """The lines of a calendar, by RFC 5545 section 3.1: CRLF and a space go on with the line before."""
    text = made.decode("utf-8")
    assert text.endswith("\r\n")
    return text.replace("\r\n ", "").split("\r\n")[:-1]


def events(made: bytes) -> list[dict[str, str]]:
    """The properties of each event, without its alarms; names without parameters."""
    found: list[dict[str, str]] = []
    inside: list[str] = []
    for line in unfolded(made):
        name, _, value = line.partition(":")
        name = name.partition(";")[0]
        if name == "BEGIN":
            inside.append(value)
            if value == "VEVENT":
                found.append({"alarms": "0"})
        elif name == "END":
            assert inside.pop() == value
        elif inside[-1] == "VALARM" and name == "TRIGGER":
            found[-1]["alarms"] = str(int(found[-1]["alarms"]) + 1)
        elif inside[-1] == "VEVENT":
            assert name not in found[-1]
            found[-1][name] = value
    assert inside == []
    return found


def test_what_is_due_is_there() -> None:
    shown = [(e["DTSTART"], e["alarms"], e["SUMMARY"].partition("\\")[0]) for e in events(calendar())]
    assert shown == [
        ("20261125", "1", "Alder 2: Register it again before you fly"),
        ("20261231", "3", "Alder 3: Renew by Dec 31"),
        ("20271130", "3", "Sunniva Rell: Complete the free recurrent training by Nov 30"),
        ("20280501", "1", "Alder 1: renewal opens. Renew by Oct 31"),
        ("20281031", "3", "Alder 1: Renew by Oct 31"),
    ]


def test_the_form() -> None:
    made = calendar()
    assert b"\n" not in made.replace(b"\r\n", b"")
    assert all(len(line) <= 75 for line in made.split(b"\r\n"))
    uids = [event["UID"] for event in events(made)]
    assert len(set(uids)) == len(uids)
    assert {event["DTSTAMP"] for event in events(made)} == {"20261125T000000Z"}
    assert made == calendar()


def test_an_event_keeps_its_identity_when_its_day_moves() -> None:
    before = {event["UID"]: event["DTSTART"] for event in events(calendar())}
    after = {event["UID"]: event["DTSTART"] for event in events(calendar(issued_on="2025-09-01"))}
    assert before.keys() == after.keys()
    assert before != after


def test_another_library_reads_the_same() -> None:
    made = calendar()
    theirs = ics.Calendar(made.decode("utf-8"))
    ours = {event["UID"]: event for event in events(made)}
    assert {event.uid for event in theirs.events} == ours.keys()
    for event in theirs.events:
        assert event.all_day
        assert event.begin.strftime("%Y%m%d") == ours[event.uid]["DTSTART"]
        assert event.duration == timedelta(days=1)
        assert len(event.alarms) == int(ours[event.uid]["alarms"])
        assert "gives information, not legal advice" in event.description


def test_no_alarm_for_a_day_gone_by() -> None:
    close = next(event for event in events(calendar(date(2026, 12, 20))) if "Alder 3" in event["SUMMARY"])
    assert close["DTSTART"] == "20261231"
    assert close["alarms"] == "2"


def test_no_private_fact_is_told() -> None:
    made = calendar().decode()
    assert "0000001" not in made
    assert "1980" not in made


def test_no_sentence_of_the_law_tells_a_private_fact() -> None:
    private = {key.name for key in ALL_KEYS if key.private}
    assert private
    for rule, codes in texts().items():
        entries = [codes] if isinstance(codes.get("says"), str) else list(codes.values())
        for entry in entries:
            fields = set(re.findall(r"\{(\w+)\}", entry["says"] + entry["do"]))
            assert not fields & private, rule


@given(st.text(max_size=60))
def test_any_name_is_text_and_comes_back(name: str) -> None:
    held = name.replace("/", "")
    answer = fleet(firm_aircraft(held, "FA00TEST01", "2023-11-20"))
    made = calendar_of(deadlines_of(answer).due, DAY)
    assert all(len(line) <= 75 for line in made.split(b"\r\n"))
    (event,) = events(made)
    seen = " ".join("".join(sign if sign.isprintable() else " " for sign in held).split())
    plain = event["SUMMARY"].replace("\\,", ",").replace("\\;", ";").replace("\\\\", "\\")
    assert plain.startswith(seen)
