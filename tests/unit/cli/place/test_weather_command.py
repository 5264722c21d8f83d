"""`airwrit weather` as a user meets it: pasted and filed reports, JSON, facts that `ask` takes, exit codes."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from airwrit.answers.document import CAUTION
from tests.unit.cli.command import run

BOISE = "KBOI 121854Z 13004KT 30SM SCT150 17/06 A3015"
AT = ("--at", "2026-12-12T19:10Z")


@pytest.mark.parametrize(
    ("arguments", "code", "says"),
    [
        ((BOISE, *AT), 3, "How far can you see from the control station?"),
        (
            (BOISE, *AT, "--saw", "10"),
            0,
            "You can see 10 statute miles from the control station. That is enough.",
        ),
        ((BOISE, *AT, "--saw", "2"), 1, "Don't fly."),
        ((BOISE, *AT, "--wind-limit", "1 m/s"), 1, "above the wind limit of 1.94 kt"),
        ((BOISE, *AT, "--elevation", "2871 ft"), 3, "Density altitude 3,515 ft."),
        ((BOISE, "--at", "2026-12-12T21:10Z", "--saw", "10"), 3, "Get a newer report."),
        ((BOISE.replace("30SM", "1SM"), *AT), 1, "Visibility 1 statute mile. That is below the minimum of 3"),
    ],
)
def test_words_and_exit_codes(tmp_path: Path, arguments: tuple[str, ...], code: int, says: str) -> None:
    done = run(tmp_path, "weather", *arguments)
    text = " ".join(done.stdout.split())
    assert done.returncode == code
    assert says in text
    assert (
        "A report is only a guide. What counts is what the remote pilot sees at the control station." in text
    )
    assert " ".join(CAUTION.split()) in text


def test_a_report_without_quotes(tmp_path: Path) -> None:
    done = run(
        tmp_path,
        "weather",
        *["KBOI", "121854Z", "13004KT", "1", "1/2SM", "-SN", "+TSRA", "-SHRA", "OVC007", "M01/M02", "A2992"],
        *AT,
        "--json",
    )
    (report,) = json.loads(done.stdout)["reports"]
    assert (report["visibility_sm"], report["weather"]) == (1.5, ["-SN", "+TSRA", "-SHRA"])


def test_the_parts_of_a_forecast_have_their_times(tmp_path: Path) -> None:
    text = (
        "TAF KBOI 311720Z 3118/0124 22005KT P6SM SKC FM010600 24010KT 2SM BR PROB30 TEMPO 0120/0124 1/2SM FG"
    )
    at = ("--at", "2026-12-31T19:00Z")
    (forecast,) = json.loads(run(tmp_path, "weather", text, *at, "--json").stdout)["reports"]
    assert [(part["starts_at"], part["ends_at"]) for part in forecast["parts"]] == [
        ("2026-12-31T18:00:00+00:00", "2027-01-01T06:00:00+00:00"),
        ("2027-01-01T06:00:00+00:00", "2027-01-02T00:00:00+00:00"),
        ("2027-01-01T20:00:00+00:00", "2027-01-02T00:00:00+00:00"),
    ]
    shown = " ".join(run(tmp_path, "weather", text, *at).stdout.split())
    assert "30 percent chance, for short times" in shown


def test_a_file_of_reports_and_json(tmp_path: Path) -> None:
    (tmp_path / "w.txt").write_text(
        f"{BOISE}=\nTAF KBOI 121720Z 1218/1318 13005KT P6SM SKC FOO=\n", encoding="utf-8"
    )
    document = json.loads(run(tmp_path, "weather", "w.txt", *AT, "--json").stdout)
    report, forecast = document["reports"]
    assert document["question"] == "weather"
    assert report["issued_at"] == "2026-12-12T18:54:00+00:00"
    assert (report["wind_direction_deg"], report["wind_kt"], report["gust_kt"]) == (130, 4.0, None)
    assert (report["visibility_sm"], report["ceiling_ft_agl"]) == (30.0, None)
    assert (report["temperature_degc"], report["altimeter_inhg"]) == (17.0, 30.15)
    assert forecast["kind"] == "TAF"
    assert forecast["unread"] == [{"text": "FOO", "why": "We don't recognize this part of the report."}]
    assert {law["cites"] for law in document["law"]} == {
        "14 CFR 107.51(b)",
        "14 CFR 107.51(c)",
        "14 CFR 107.51(d)",
    }


def test_the_facts_are_taken_by_ask(tmp_path: Path) -> None:
    arguments = (BOISE, *AT, "--saw", "2.5", "--height", "200", "--facts")
    facts = run(tmp_path, "weather", *arguments).stdout
    head = 'on = "2026-12-12T19:10:00+00:00"\n[aircraft]\nused_for = "work"\n[flight]\nflight_under = "Part 107"\n'
    (tmp_path / "facts.toml").write_text(head + facts.replace("# below", "below"), encoding="utf-8")
    asked = json.loads(run(tmp_path, "check-scenario", "facts.toml", "--json").stdout)
    found = {one["rule"]: one["code"] for one in asked["findings"] if one["use"] == "work"}
    assert found["flight_visibility"] == "not_far_enough"
    assert 'below_clouds_ft = "14300"' in facts
    unsaid = run(tmp_path, "weather", BOISE, *AT, "--facts").stdout
    (tmp_path / "facts.toml").write_text(head + unsaid, encoding="utf-8")
    asked = json.loads(run(tmp_path, "check-scenario", "facts.toml", "--json").stdout)
    found = {one["rule"]: one["code"] for one in asked["findings"] if one["use"] == "work"}
    assert found["flight_visibility"] == "report_only"


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        ((BOISE, "--wind-limt", "3"), "There is no option called --wind-limt."),
        (("hello",), "We found no METAR or TAF in it."),
        ((" ",), "didn't enter"),
        ((BOISE, "--wind-limit", "fast"), "isn't a plain number."),
        ((BOISE, "--elevation", "5 kt"), "has a unit we can't use here"),
        ((BOISE, "--elevation", "9" * 60), "can't be right"),
        ((BOISE, "--height", "-10"), "can't be right"),
        ((BOISE, "--place", "-105, 40"), "Latitude comes first."),
        (("A" * 200_001,), "longer than 200,000"),
    ],
)
def test_what_cant_be_is_refused_in_one_line(tmp_path: Path, arguments: tuple[str, ...], says: str) -> None:
    done = run(tmp_path, "weather", *arguments)
    assert done.returncode == 2
    assert done.stdout == ""
    assert says in done.stderr
    assert len(done.stderr.splitlines()) == 1


def test_a_file_that_is_too_long(tmp_path: Path) -> None:
    (tmp_path / "w.txt").write_text("A" * 200_001, encoding="utf-8")
    assert "w.txt: The file is longer than 200,000 bytes." in run(tmp_path, "weather", "w.txt").stderr
