"""Recreation or not, in four flights of one light aircraft that nobody registered (49 USC 44809(a), purpose/SOURCE.toml)."""

from __future__ import annotations

import pytest

from airwrit.facts.key import Raw
from tests.unit.law.case import TODAY, Given, aircraft, case, check, flight, person

LIGHT: dict[str, Raw] = {
    "is_registered": False,
    "takeoff_weight_g": "249",
    "scale_error_g": "0",
    "remote_id_way": "none",
}
FREE: dict[str, Raw] = {"paid": False, "helps_business": False, "helps_organization": False}
KEPT: dict[str, Raw] = {
    "flight_aircraft": "A",
    "flight_pilot": "P",
    "within_guidelines": True,
    "kept_in_sight": True,
    "gives_way": True,
    "airspace_allowed": True,
    "height_agl_ft": "100",
}
FLYER = person(safety_test_proof=True)

NOT_RECREATION = pytest.mark.parametrize(
    ("told", "code"),
    [
        pytest.param({"helps_organization": True}, "organization", id="the school's band, for its web site"),
        pytest.param(
            {**FREE, "helps_organization": True}, "organization", id="a coast surveyed for a charity"
        ),
        pytest.param({"helps_business": True}, "business", id="the roof of one's own rental house"),
    ],
)


def of_a_flight(told: dict[str, Raw]) -> Given:
    """A flight that nobody pays for and that keeps every other condition."""
    return flight(**{**KEPT, **FREE, **told})


@NOT_RECREATION
def test_not_recreation_though_nobody_pays(told: dict[str, Raw], code: str) -> None:
    parties = of_a_flight(told), aircraft(used_for="work and recreation", **LIGHT), FLYER
    check(case("recreational_purpose", "not_met", code, TODAY, *parties))
    check(case("recreational_exception", "not_met", code, TODAY, *parties))


def test_so_the_aircraft_and_the_pilot_are_bound_whatever_the_weight() -> None:
    craft = aircraft(used_for="work and recreation", **LIGHT)
    check(case("must_be_registered", "not_met", "not_registered", TODAY, craft))
    check(case("remote_id_way", "not_met", "none", TODAY, craft))
    check(case("certificate_held", "not_met", "not_held", TODAY, person(has_certificate=False)))


def test_a_sunset_for_oneself_is_recreation() -> None:
    craft = aircraft(used_for="recreation", **LIGHT)
    parties = of_a_flight({}), craft, FLYER
    check(case("recreational_purpose", "met", "recreation", TODAY, *parties))
    check(case("recreational_exception", "met", "all_hold", TODAY, *parties, use="recreation"))
    check(case("must_be_registered", "not_applicable", "light", TODAY, craft, use="recreation"))
    check(case("remote_id_way", "not_applicable", "no_registration_needed", TODAY, craft, use="recreation"))
