"""Operator numbers of the European Union: the check sign, and the secret that is never shown."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.base.operator_number import check_sign, operator_number, without_secret

STATES = ("FIN", "BGR", "AUT")
BODY = st.text("0123456789abcdefghijklmnopqrstuvwxyz", min_size=12, max_size=12)
SECRET = st.text("0123456789abcdefghijklmnopqrstuvwxyz", min_size=3, max_size=3)


@given(BODY, SECRET)
def test_a_number_made_with_its_check_sign_is_accepted_and_masked(twelve: str, secret: str) -> None:
    number = f"FIN{twelve}{check_sign(twelve, secret)}"
    for text in (f"{number}-{secret}", number + secret):
        checked = operator_number(text, STATES)
        assert checked.ok
        assert checked.text == f"{number}-***"
        assert without_secret(f"op {text}, and more", STATES).startswith(f"op {number}")
        assert "***" in without_secret(text, STATES)


@given(BODY, SECRET, st.integers(0, 14), st.integers(1, 35))
def test_one_changed_sign_is_found(twelve: str, secret: str, place: int, step: int) -> None:
    signs = "0123456789abcdefghijklmnopqrstuvwxyz"
    given_ = twelve + secret
    changed = given_[:place] + signs[(signs.index(given_[place]) + step) % 36] + given_[place + 1 :]
    assert check_sign(changed[:12], changed[12:]) != check_sign(twelve, secret)


@pytest.mark.parametrize(
    ("text", "codes"),
    [
        ("FIN87astrdge12k8", []),
        ("fin87ASTRDGE12K8", []),
        ("FIN87astrdge12k8-xyy", ["check_sign"]),
        ("FIN87astrdge12k8-xy", ["secret"]),
        ("FIN87astrdge12k8-x z", ["secret"]),
        ("XXX87astrdge12k8", ["state"]),
        ("FIN87astrdge12k", ["form"]),
        ("", ["form"]),
    ],
)
def test_faults(text: str, codes: list[str]) -> None:
    assert [fault.code for fault in operator_number(text, STATES).faults] == codes


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("FIN87astrdge12k8-xyz", "FIN87astrdge12k8-***"),
        ("FIN87astrdge12k8 - xyz", "FIN87astrdge12k8 - ***"),
        ("FIN87astrdge12k8xyz", "FIN87astrdge12k8***"),
        ("FIN87ASTRDGE12K8XYZ", "FIN87ASTRDGE12K8***"),
        ("a FIN87astrdge12k8-xyz; b", "a FIN87astrdge12k8-***; b"),
        ("FIN87astrdge12k8", "FIN87astrdge12k8"),
        ("AUT0E00000000000000", "AUT0E00000000000000"),
        ("ZZ9ZE12345678901234", "ZZ9ZE12345678901234"),
        ("", ""),
    ],
)
def test_the_secret_is_masked_and_nothing_else(text: str, shown: str) -> None:
    assert without_secret(text, STATES) == shown


@given(st.text())
def test_any_text_is_checked_without_an_error(text: str) -> None:
    assert operator_number(text, STATES).ok in (True, False)
    assert isinstance(without_secret(text, STATES), str)
