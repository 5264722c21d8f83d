"""After a sale: the seller's number is canceled by its last day, whatever number the aircraft points at by now.

14 CFR 48.115(b)(2): 14 days after a sale; 47.41(b): 21 days for an N-number.
"""

from __future__ import annotations

import json
from itertools import permutations
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from airwrit.cli.main import cli

RULE = "cancel_old_registration"
OWN = ("aircraft/A", "registration=FA00TEST01", "is_registered=yes", "used_for=work", "owner=Seller")
PAPER = (
    "registration/FA00TEST01",
    "registration_kind=Part 48 per aircraft",
    "registered_to=Seller",
    "issued_on=2025-05-05",
)
SALE = ("aircraft/A", "sold_on=2026-07-01")
NUMBER = ("aircraft/A", "registration=FA00TEST02", "owner=Buyer", "--from", "2026-07-05")
ISSUE = (
    "registration/FA00TEST02",
    "registration_kind=Part 48 per aircraft",
    "registered_to=Buyer",
    "issued_on=2026-07-05",
)
SELL = ("sell", "aircraft/A", "--on", "2026-07-01")
REGISTER = (
    "register",
    "aircraft/A",
    "number=FA00TEST02",
    "kind=Part 48 per aircraft",
    "registered_to=Buyer",
    "--on",
    "2026-07-05",
)
BUY = ("buy", "aircraft/A", "owner=Buyer", "--on", "2026-07-03")


def run(*arguments: str) -> Any:
    """What a command gives."""
    result = CliRunner().invoke(cli, list(arguments), catch_exceptions=False, standalone_mode=False)
    assert result.exit_code == 0, result.output
    return result


def recorded(tmp_path: Path, *records: tuple[str, ...]) -> str:
    """A ledger in which these records were made, in this order."""
    path = str(tmp_path / "p.airwrit")
    for record in records:
        run("record-change", *record, "--yes", "--by", "x", "--ledger", path)
    return path


def duties(path: str, on: str) -> list[tuple[str, bool, str]]:
    """What has to be canceled on a day: the last day, whether it is past, and what to do."""
    told = json.loads(run("deadlines", "--json", "--on", on, "--ledger", path).stdout)["due"]
    return [
        (one["day"], one["overdue"], one["do"] or "") for one in told if one["rule"].startswith("cancel_")
    ]


ORDERS = [
    *permutations((SALE, NUMBER, ISSUE)),
    *permutations((SALE, NUMBER)),
    (SELL, REGISTER),
    (REGISTER, SELL),
    (SELL, BUY, REGISTER),
    (SALE, REGISTER),
    (NUMBER, SELL),
]


@pytest.mark.parametrize("records", ORDERS)
def test_the_old_number_is_due_in_whatever_order_it_was_told(
    tmp_path: Path, records: tuple[tuple[str, ...], ...]
) -> None:
    path = recorded(tmp_path, OWN, PAPER, *records)
    (one,) = duties(path, "2026-07-10")
    assert one == ("2026-07-15", False, "Cancel FA00TEST01 by 2026-07-15 and keep the proof.")
    assert duties(path, "2026-07-15")[0][1] is False
    (late,) = duties(path, "2026-07-16")
    assert late == ("2026-07-15", True, "Cancel FA00TEST01 now and keep the proof.")
    assert duties(path, "2026-06-30") == []


@pytest.mark.parametrize("records", ORDERS)
@pytest.mark.parametrize(
    ("canceled", "verdict", "code"),
    [("2026-07-15", "met", "cancelled"), ("2026-07-16", "not_met", "cancelled_late")],
)
def test_a_cancellation_on_file_ends_it_and_a_late_one_is_late(
    tmp_path: Path, records: tuple[tuple[str, ...], ...], canceled: str, verdict: str, code: str
) -> None:
    path = recorded(tmp_path, OWN, PAPER, *records, ("registration/FA00TEST01", f"cancelled_on={canceled}"))
    assert duties(path, "2026-07-20") == []
    told = standing(path, "2026-07-20", RULE)
    assert (told["verdict"], told["code"]) == (verdict, code)


def test_the_buyers_own_number_is_not_what_is_canceled(tmp_path: Path) -> None:
    path = recorded(
        tmp_path, OWN, PAPER, SALE, NUMBER, ISSUE, ("registration/FA00TEST02", "cancelled_on=2026-07-10")
    )
    assert duties(path, "2026-07-20") == [("2026-07-15", True, "Cancel FA00TEST01 now and keep the proof.")]
    assert standing(path, "2026-07-09", "cancel_registration")["verdict"] == "not_applicable"


@pytest.mark.parametrize(("on", "overdue"), [("2026-07-22", False), ("2026-07-23", True)])
def test_an_n_number_has_21_days(tmp_path: Path, on: str, overdue: bool) -> None:
    own = tuple(word.replace("FA00TEST01", "N28") for word in OWN)
    paper = ("registration/N28", "registration_kind=Part 47", "registered_to=Seller", "issued_on=2025-05-05")
    path = recorded(tmp_path, own, paper, SALE, NUMBER)
    assert [(day, late) for day, late, _ in duties(path, on)] == [("2026-07-22", overdue)]


def standing(path: str, on: str, rule: str) -> dict[str, Any]:
    """What `standing` finds by a rule of the aircraft."""
    result = CliRunner().invoke(cli, ["today", "--json", "--on", on, "--ledger", path], standalone_mode=False)
    findings = json.loads(result.stdout)["findings"]
    (found,) = [one for one in findings if (one["rule"], one["subject"]) == (rule, "aircraft/A")]
    return dict(found)
