"""Colors by number, theme, tint and pattern."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.intake.markup.colors import blended, hex_color, theme_colors, themed, tinted


@pytest.mark.parametrize(
    ("text", "color"),
    [("FFFFC7CE", "ffc7ce"), ("00C6EFCE", "c6efce"), ("#FFEB9C", "ffeb9c"), ("transparent", ""), ("", "")],
)
def test_colors_written_in_hexadecimal(text: str, color: str) -> None:
    assert hex_color(text) == color


def test_the_theme_s_first_number_is_light() -> None:
    assert [themed(number, theme_colors()) for number in (0, 1, 4, 12)] == ["ffffff", "000000", "4f81bd", ""]


@pytest.mark.parametrize(
    ("tint", "color"), [(0, "4f81bd"), (1, "ffffff"), (-1, "000000"), (7, "4f81bd"), (0.5, "a7c0de")]
)
def test_a_tint_makes_a_color_lighter_or_darker(tint: float, color: str) -> None:
    assert tinted("4f81bd", tint) == color


@given(st.integers(0, 0xFFFFFF), st.floats(-1, 1))
def test_a_tinted_color_is_a_color(number: int, tint: float) -> None:
    color = tinted(f"{number:06x}", tint)
    assert hex_color(color) == color


def test_what_is_seen_of_a_pattern() -> None:
    assert blended("ff0000", "ffffff", 0.25) == "ffbfbf"
    assert blended("ffffff", "ffffff", 1) == ""
    assert blended("000000", "00ff00", 0) == "00ff00"
