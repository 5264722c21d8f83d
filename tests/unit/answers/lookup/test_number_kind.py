"""What a text can be, by its form: every reading that fits, faults with their place, and no guess."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.answers.lookup.number_kind import (
    Answer,
    Identified,
    NumberReading,
    answer_to,
    answer_to_photo,
    identified,
    identify_json,
    kinds,
    verdict_of,
)
from airwrit.base.verdict import Verdict
from airwrit.facts.statement import Source
from airwrit.intake.reader.photo import Code, Photo

MET, NOT_MET, UNKNOWN = Verdict.MET, Verdict.NOT_MET, Verdict.UNKNOWN


def can_be(answer: Identified, verdict: Verdict = MET) -> set[str]:
    return {reading.kind for reading in answer.readings if reading.verdict is verdict}


def reading_of(text: str, kind: str) -> NumberReading:
    return next(reading for reading in identified(text).readings if reading.kind == kind)


@pytest.mark.parametrize(
    ("text", "verdict", "kinds_met"),
    [
        ("ZZ9Z5A1B2C", MET, {"remote_id_serial"}),
        ("ZZ9ZF123456789ABCDEF", MET, {"remote_id_serial"}),
        ("MFR1C123456789ABC", MET, {"remote_id_serial"}),
        ("FA00TEST01", MET, {"part_48_number"}),
        ("FA005A1B2C", MET, {"part_48_number", "remote_id_serial"}),
        ("N86QU", MET, {"n_number"}),
        ("n86qu", MET, {"n_number"}),
        ("ABCDEF", MET, {"aircraft_address"}),
        ("52746757", MET, {"aircraft_address_octal"}),
        ("FIN87astrdge12k8", MET, {"eu_operator"}),
        ("BGRpxs4wvrvpbp63-duz", MET, {"eu_operator"}),
        ("12345E6", NOT_MET, set()),
        ("12341E", MET, {"aircraft_address", "remote_id_serial"}),
        ("FA00TEST", UNKNOWN, set()),
        ("D001D", UNKNOWN, set()),
        ("0000012", UNKNOWN, set()),
        ("GBR-OP-12AB", UNKNOWN, set()),
        ("GBR-RP-12AB", UNKNOWN, set()),
        ("1.58E+18", UNKNOWN, set()),
        ("1,58e+18", UNKNOWN, set()),
        ("52332503.0", UNKNOWN, set()),
        ("######", UNKNOWN, set()),
        ("ZZ9Z24150A90E3AE1EC0", NOT_MET, set()),
        ("ZZ9ZTFG93700070", NOT_MET, set()),
        ("ZZ9Z6900931WDHW83", NOT_MET, set()),
        ("ZZ9ZC123456789ABO", NOT_MET, set()),
        ("hello", NOT_MET, set()),
        ("N0123", NOT_MET, set()),
    ],
)
def test_what_a_text_can_be(text: str, verdict: Verdict, kinds_met: set[str]) -> None:
    answer = identified(text)
    assert (answer.verdict, can_be(answer)) == (verdict, kinds_met)


def test_a_form_nobody_published_is_unknown_beside_one_that_fits() -> None:
    answer = identified("52746757")
    assert can_be(answer, UNKNOWN) == {"remote_pilot_certificate"}
    assert answer.verdict is MET


def test_addresses_and_numbers_name_each_other() -> None:
    assert any("ABCDEF" in note for note in reading_of("N86QU", "n_number").notes)
    assert any("N86QU" in note for note in reading_of("abcdef", "aircraft_address").notes)
    assert any("N86QU" in note for note in reading_of("52746757", "aircraft_address_octal").notes)
    assert any(
        "doesn't belong to any N-number" in note for note in reading_of("AE1234", "aircraft_address").notes
    )
    assert any("We don't check" in note for note in reading_of("123456", "aircraft_address").notes)


def test_faults_tell_their_place() -> None:
    faults = reading_of("ZZ9ZC123456789ABO", "remote_id_serial").faults
    assert [(fault.code, fault.place) for fault in faults] == [("letter_o_or_i", 17)]


@pytest.mark.parametrize(
    ("text", "kind", "says"),
    [
        ("ZZ9ZC123456789ABO", "remote_id_serial", "0 for O and 1 for I (character 17)."),
        ("ZZ9ZSAIB2CD", "remote_id_serial", ""),
        ("ZZ9Z5A1B2", "remote_id_serial", "with 4 for 5 as the"),
        ("ZZ9ZS12345", "remote_id_serial", "with 5 for S as the"),
        ("N86QO", "n_number", ""),
        ("N1OO", "n_number", "0 for O and 1 for I (character 3, 4)."),
        ("86QU", "n_number", "with an N in front"),
    ],
)
def test_one_sign_away_is_told_and_not_mended(text: str, kind: str, says: str) -> None:
    reading = reading_of(text, kind)
    assert reading.verdict is NOT_MET
    assert says in " ".join(reading.near)
    assert reading.text == text


def test_letters_of_other_alphabets_are_found_by_name() -> None:
    text = "N\N{GREEK CAPITAL LETTER ALPHA}12"
    answer = identified(text)
    assert answer.verdict is NOT_MET
    fault = answer.readings[0].faults[0]
    assert (fault.place, fault.hint) == (2, "greek capital letter alpha isn't a plain character")


def test_digits_of_other_scripts_make_no_number() -> None:
    assert identified("N\N{ARABIC-INDIC DIGIT ONE}").verdict is NOT_MET


def test_parts_of_a_label_are_looked_at_by_themselves() -> None:
    answer = identified("SN: ZZ9Z5A1B2C\x1dFA00TEST01")
    assert answer.verdict is NOT_MET
    assert [part.text for part in answer.parts] == ["ZZ9Z5A1B2C", "FA00TEST01"]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("https://faa.gov/x", "web address"),
        ("12345E6", "power of ten"),
        ("123406789012345000", "after the fifteenth"),
        ("FIN87astrdge12k8-xyz", "secret"),
    ],
)
def test_warnings(text: str, says: str) -> None:
    assert says in " ".join(identified(text).warnings)


@pytest.mark.parametrize(
    "text",
    [
        "FIN87astrdge12k8-qjv",
        "FIN87astrdge12k8qjv",
        "FINq7astrdge12k0-qjv",
        "SN ZZ9Z5A1B2C op FIN87astrdge12k8-qjv end",
        " fin87astrdge12k8 - qjv ",
    ],
)
def test_the_secret_signs_stand_nowhere(text: str) -> None:
    answer = identified(text)
    assert "qjv" not in repr(answer).lower()
    assert "qjv" not in json.dumps(identify_json([Answer((answer,))])).lower()


@given(st.text())
def test_no_text_makes_it_raise(text: str) -> None:
    answer = identified(text)
    assert answer.verdict in (MET, NOT_MET, UNKNOWN)
    assert json.loads(json.dumps(identify_json([Answer((answer,))])))["verdict"] == answer.verdict.value


@given(st.text("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ", max_size=21))
def test_a_near_miss_never_comes_with_a_met_reading(text: str) -> None:
    for reading in identified(text).readings:
        assert not (reading.near and reading.verdict is MET)
        assert bool(reading.faults) == (reading.verdict is NOT_MET)


def test_the_worst_of_several_texts_counts() -> None:
    answers = [answer_to("ZZ9Z5A1B2C"), answer_to("D001D")]
    assert verdict_of(answers) is UNKNOWN
    assert verdict_of([*answers, answer_to("hello")]) is NOT_MET
    assert verdict_of(answers[:1]) is MET


def photo_of(*codes: Code) -> Photo:
    return Photo(Source("label.jpg", "0" * 64), 640, 480, 1, "as it is" if codes else "", codes)


@pytest.mark.parametrize(
    ("codes", "verdict", "status"),
    [
        ((), UNKNOWN, "no code was read"),
        ((Code("QR Code", "ZZ9Z5A1B2C", b""),), MET, "read, to be confirmed"),
        (
            (Code("QR Code", "hello", b""), Code("Data Matrix", "FA00TEST01", b"")),
            MET,
            "read, to be confirmed",
        ),
        (
            (Code("QR Code", "hello", b""), Code("Data Matrix", "D001D", b"")),
            UNKNOWN,
            "read, to be confirmed",
        ),
        ((Code("QR Code", "hello", b""),), NOT_MET, "read, to be confirmed"),
        ((Code("QR Code", "", b"\xff\x00"),), NOT_MET, "read, to be confirmed"),
    ],
)
def test_what_codes_in_a_photo_can_be(codes: tuple[Code, ...], verdict: Verdict, status: str) -> None:
    answer = answer_to_photo(photo_of(*codes))
    assert (answer.verdict, answer.status) == (verdict, status)
    told = identify_json([answer])
    assert told["sources"] == [{"name": "label.jpg", "sha256": "0" * 64}]
    assert told["asked"][0]["photo"]["codes"] == [code.kind for code in codes]


def test_a_secret_in_a_code_is_masked_too() -> None:
    text = "FIN87astrdge12k8-qjv"
    told = json.dumps(identify_json([answer_to_photo(photo_of(Code("QR Code", text, text.encode())))]))
    assert "qjv" not in told
    assert text.encode().hex() not in told


def test_each_kind_has_its_words() -> None:
    assert all({"name", "an", "cites", "source"} == set(kind) for kind in kinds().values())


def test_json_has_the_parts_of_a_report() -> None:
    told = identify_json([answer_to("ZZ9Z5A1B2C")])
    assert told["question"] == "identify"
    finding = next(finding for finding in told["findings"] if finding["rule"] == "remote_id_serial")
    assert finding["verdict"] == "met"
    assert finding["says"] == "This can be a Remote ID serial number"
    assert finding["cites"] == "14 CFR 89.505; ANSI/CTA-2063-A"
