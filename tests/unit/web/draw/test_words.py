"""The words that templates ask for."""

from __future__ import annotations

import pytest

from airwrit.web.draw.words import capital, dated, name_of, spoken, unit_of


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("remote_id_way", "Remote ID way"),
        ("remote id serial", "Remote ID serial"),
        ("report_107_9", "report 107.9"),
        ("part_48_path", "Part 48 path"),
        ("part weight", "part weight"),
        ("based and used in us", "based and used in US"),
        ("us_citizen", "US citizen"),
        ("used_enough_here", "used enough here"),
        ("adsb_out_off", "ADS-B out off"),
    ],
)
def test_a_name_as_it_is_said(name: str, said: str) -> None:
    assert spoken(name) == said


def test_a_capital_leaves_the_points_in() -> None:
    assert capital("down to 0.55 lb, says T. Quill") == "Down to 0.55 lb, says T. Quill"
    assert capital("") == ""


def test_a_flight_is_named_by_its_aircraft_and_landing() -> None:
    assert name_of("flight/Alder 2 2026-11-25T09:10Z") == "Alder 2 2026-11-25 09:10 UTC"
    assert name_of("aircraft/Alder 2 2026-11-25T09:10Z") == "Alder 2 2026-11-25T09:10Z"


def test_days_hold_together_and_commands_stand_apart() -> None:
    assert dated("`airwrit check-web-address` <b> 2026-11-25") == (
        '<code>airwrit check-web-address</code> &lt;b&gt; <span class="day">Nov 25, 2026</span>'
    )


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("2026-11-25T09:10+00:00", "09:10 UTC"),
        ("2026-11-25T09:10:00Z", "09:10 UTC"),
        ("2026-11-25T09:10-07:00", "09:10 UTC-07:00"),
    ],
)
def test_moments_are_told_with_their_zone(written: str, said: str) -> None:
    assert dated(written) == f'<span class="day">Nov 25, 2026</span> {said}'


def test_units_of_facts() -> None:
    assert unit_of("takeoff_weight_g") == "\N{NO-BREAK SPACE}g"
    assert unit_of("maker") == unit_of("no such fact") == ""
