"""What the law allows at most when rules are broken, and what the regulator says it enforces: dated, never a forecast."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from airwrit.law.parameters import Param, parameter

PENALTIES: tuple[Param[Any], ...] = (
    parameter("civil_penalty_most_usd", Decimal),
    parameter("civil_penalty_person_least_usd", Decimal),
    parameter("civil_penalty_person_most_usd", Decimal),
    parameter("registration_penalty_person_usd", Decimal),
    parameter("unregistered_fine_usd", Decimal),
    parameter("unregistered_prison_years", int),
    parameter("emergency_interference_usd", Decimal),
    parameter("armed_aircraft_usd", Decimal),
    parameter("defense_airspace_fine_usd", Decimal),
    parameter("defense_airspace_prison_years", int),
    parameter("unsafe_near_aircraft", str),
    parameter("felony_with_aircraft_years", int),
)
ENFORCED: tuple[Param[Any], ...] = (
    parameter("legal_action_named_cases", tuple),
    parameter("quick_settlement_days", int),
)
