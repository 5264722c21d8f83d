"""Parameters that several rules read, and those of Part 47, most of which was read at second hand or not at all."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

from airwrit.law.parameters import Param, parameter

FEE_USD = parameter("registration_fee_usd", Decimal)
TERM_YEARS = parameter("registration_term_years", int)
CONDITION = parameter("condition_check", bool)
PREFLIGHT = parameter("preflight_actions", bool)
HEIGHT_LIMIT = parameter("height_limit_ft", int)
RECREATIONAL_HEIGHT_LIMIT = parameter("recreational_height_limit_ft", int)
RECREATIONAL_WAY = parameter("recreational_right_of_way", bool)
RECREATIONAL_SIGHT = parameter("recreational_line_of_sight", bool)
FILING_DAYS = parameter("change_filing_days", int)
FRIA_MONTHS = parameter("fria_term_months", int)
US_HOURS = parameter("part_47_us_hours_share", Fraction)
FORMS = parameter("part_47_forms", tuple)
ENTITY_PAPERS = parameter("part_47_entity_papers", tuple)
PART_47_FEE_USD = parameter("part_47_fee_usd", Decimal)
CHOICE_FEE_USD = parameter("n_number_choice_fee_usd", Decimal)
NUMBER_FORM = parameter("n_number_form", str)
ADDRESS_DAYS = parameter("part_47_address_days", int)
RETURN_DAYS = parameter("part_47_return_days", int)
RETURN_DAYS_AFTER_DEATH = parameter("part_47_return_days_after_death", int)
PART_47_VOID_GROUNDS = parameter("part_47_void_from_the_start", bool)
LISTS_SERIAL = parameter("part_47_lists_serial", bool)
MARK_HEIGHTS = parameter("n_number_mark_heights", str)
MARK_FORM = parameter("n_number_mark_form", str)
GUIDANCE: tuple[Param[Any], ...] = (
    FORMS,
    ENTITY_PAPERS,
    LISTS_SERIAL,
    PART_47_FEE_USD,
    NUMBER_FORM,
    CHOICE_FEE_USD,
    MARK_FORM,
    MARK_HEIGHTS,
    ADDRESS_DAYS,
)
"""What to know of the paper way, in the order it is needed."""
