"""Must it be registered, is it, with the right kind of certificate, and is it marked?"""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from tests.unit.law.case import TODAY, Case, aircraft, case, certificate, check, owner, registered

EXACT = {"scale_error_g": "0"}
LIGHT = {"takeoff_weight_g": "249.4758035", **EXACT}
OVER = {"takeoff_weight_g": "249.4758036", **EXACT}
HEAVY = {"takeoff_weight_g": "24947.58035", **EXACT}
UNDER = {"takeoff_weight_g": "24947.58034", **EXACT}
FUN = {"used_for": "recreation"}
LIGHT_FUN = {**LIGHT, **FUN}
NOT = {"is_registered": False}
OWNED = {"owner": "O"}
RECREATIONAL = certificate(kind="Part 48 recreational")
NAMED = certificate(registered_to="O")
CITIZEN = owner(owner_kind="person", citizenship="citizen")
STRANGER = owner(owner_kind="person", citizenship="neither")

RAN_OUT = certificate(issued_on="2020-01-01", expires_on="2023-01-01")
ENDED = [
    case(
        "registration_in_term",
        "not_met",
        "ended",
        TODAY,
        registered(**FUN, **OVER),
        RAN_OUT,
        use="recreation",
    ),
    # Its use isn't on file: over 0.55 lb it must be registered for any use; at the limit or within doubt the use is asked.
    case("registration_in_term", "not_met", "ended", TODAY, registered(**OVER), RAN_OUT, use="recreation"),
    *(
        case(
            "registration_in_term",
            "unknown",
            "used_for",
            TODAY,
            registered(**weight),
            RAN_OUT,
            use="recreation",
            why="missing",
        )
        for weight in (LIGHT, {}, {"takeoff_weight_g": "249.4758036", "scale_error_g": "1"})
    ),
    # So light that it need not be registered, or not: what is not weighed is asked before a certificate is missed.
    case(
        "registration_in_term",
        "unknown",
        "takeoff_weight_g",
        TODAY,
        registered(**FUN),
        RAN_OUT,
        use="recreation",
        why="missing",
    ),
    case(
        "registration_in_term",
        "not_applicable",
        "no_registration_needed",
        TODAY,
        registered(**LIGHT_FUN),
        RAN_OUT,
        use="recreation",
    ),
]
MUST = [
    case("must_be_registered", "met", "registered", TODAY, registered(), certificate()),
    case("must_be_registered", "unknown", "registration", TODAY, aircraft(is_registered=True), why="missing"),
    case("must_be_registered", "not_met", "sold", TODAY, aircraft(is_registered=True, sold_on="2026-03-10")),
    case(
        "must_be_registered",
        "not_applicable",
        "light",
        TODAY,
        aircraft(is_registered=True, **LIGHT_FUN),
        use="recreation",
    ),
    case("must_be_registered", "not_met", "not_registered", TODAY, aircraft(**NOT, **LIGHT)),
    case("must_be_registered", "unknown", "is_registered", TODAY, aircraft(**LIGHT), why="missing"),
    case("must_be_registered", "not_applicable", "light", TODAY, aircraft(**LIGHT_FUN), use="recreation"),
    case("must_be_registered", "not_applicable", "light", "2021-04-20", aircraft(**NOT, **LIGHT)),
    case("must_be_registered", "not_met", "not_registered", "2021-04-21", aircraft(**NOT, **LIGHT)),
    case("must_be_registered", "not_met", "over_weight", "2021-04-20", aircraft(**NOT, **OVER)),
    case(
        "must_be_registered",
        "not_met",
        "over_weight",
        TODAY,
        aircraft(**NOT, **FUN, takeoff_weight_g="453.59237", **EXACT),
        use="recreation",
        value=Decimal(1),
    ),
    case(
        "must_be_registered",
        "not_met",
        "not_registered",
        TODAY,
        aircraft(**NOT, **LIGHT, used_for="work and recreation"),
        use="recreation",
    ),
    case("must_be_registered", "not_met", "over_weight", TODAY, aircraft(**NOT, **OVER), use="recreation"),
    case(
        "must_be_registered",
        "unknown",
        "used_for",
        TODAY,
        aircraft(**NOT, **LIGHT),
        use="recreation",
        why="missing",
    ),
    case(
        "must_be_registered", "unknown", "used_for", TODAY, aircraft(**NOT), use="recreation", why="missing"
    ),
    case(
        "must_be_registered",
        "unknown",
        "takeoff_weight_g",
        TODAY,
        aircraft(**NOT, **FUN, takeoff_weight_g="249"),
        use="recreation",
        why="within_doubt",
    ),
    case(
        "must_be_registered",
        "not_met",
        "over_weight",
        "2017-05-18",
        aircraft(**NOT, **FUN, **OVER),
        use="recreation",
    ),
    case(
        "must_be_registered",
        "not_applicable",
        "struck",
        "2017-05-19",
        aircraft(**NOT, **FUN),
        use="recreation",
    ),
    case(
        "must_be_registered",
        "not_applicable",
        "struck",
        "2017-12-11",
        aircraft(**NOT, **FUN),
        use="recreation",
    ),
    case(
        "must_be_registered",
        "not_met",
        "over_weight",
        "2017-12-12",
        aircraft(**NOT, **FUN, **OVER),
        use="recreation",
    ),
    case("must_be_registered", "not_met", "over_weight", "2017-05-19", aircraft(**NOT, **OVER)),
    case("must_be_registered", "not_applicable", "armed_forces", TODAY, aircraft(**NOT, armed_forces=True)),
    case("must_be_registered", "not_applicable", "indoors", TODAY, aircraft(**NOT, only_indoors=True)),
    case("must_be_registered", "not_applicable", "foreign", TODAY, aircraft(**NOT, foreign_registry=True)),
    case(
        "must_be_registered",
        "met",
        "registered",
        "2026-03-09",
        registered(sold_on="2026-03-10"),
        certificate(),
    ),
    case(
        "must_be_registered", "not_met", "sold", "2026-03-10", registered(sold_on="2026-03-10"), certificate()
    ),
    case(
        "must_be_registered",
        "not_met",
        "destroyed",
        TODAY,
        registered(destroyed_on="2026-03-10"),
        certificate(),
    ),
    case(
        "must_be_registered",
        "not_met",
        "exported",
        TODAY,
        registered(exported_on="2026-03-10"),
        certificate(),
    ),
    case(
        "must_be_registered",
        "not_met",
        "cancelled",
        TODAY,
        registered(),
        certificate(cancelled_on="2026-03-10"),
        value=date(2026, 3, 10),
    ),
    case(
        "must_be_registered", "not_met", "revoked", TODAY, registered(), certificate(revoked_on="2026-03-10")
    ),
    case(
        "must_be_registered",
        "met",
        "registered",
        "2026-04-09",
        registered(),
        certificate(registered_to="O"),
        owner(owner_died_on="2026-03-10"),
    ),
    case(
        "must_be_registered",
        "not_met",
        "owner_died",
        "2026-04-10",
        registered(),
        certificate(registered_to="O"),
        owner(owner_died_on="2026-03-10"),
        value=date(2026, 4, 9),
    ),
    case(
        "must_be_registered",
        "met",
        "registered",
        "2026-03-09",
        registered(),
        certificate(registered_to="O"),
        owner(citizenship_lost_on="2026-03-10"),
    ),
    case(
        "must_be_registered",
        "not_met",
        "citizenship_lost",
        "2026-03-10",
        registered(),
        certificate(registered_to="O"),
        owner(citizenship_lost_on="2026-03-10"),
        value=date(2026, 3, 10),
    ),
    case(
        "must_be_registered",
        "not_applicable",
        "light",
        TODAY,
        registered(**LIGHT_FUN),
        certificate(cancelled_on="2026-03-10"),
        use="recreation",
    ),
    case(
        "must_be_registered",
        "unknown",
        "application_pending",
        "2026-03-10",
        aircraft(**NOT, applied_on="2025-03-10"),
        why="open_reading",
    ),
    case(
        "must_be_registered",
        "not_met",
        "temporary_authority_over",
        "2026-03-11",
        aircraft(**NOT, applied_on="2025-03-10"),
        value=date(2026, 3, 10),
    ),
    case(
        "must_be_registered",
        "not_met",
        "not_registered",
        "2025-03-09",
        aircraft(**NOT, applied_on="2025-03-10"),
    ),
    case(
        "must_be_registered",
        "unknown",
        "application_pending",
        "2022-06-08",
        aircraft(**NOT, **OVER, applied_on="2022-03-10"),
        why="open_reading",
    ),
    case(
        "must_be_registered",
        "not_met",
        "temporary_authority_over",
        "2022-06-09",
        aircraft(**NOT, **OVER, applied_on="2022-03-10"),
        value=date(2022, 6, 8),
    ),
    # A fault that another rule finds in the certificate is handed on; what that rule leaves open is not.
    case("must_be_registered", "met", "registered", TODAY, registered(**OWNED), NAMED),
    case("must_be_registered", "met", "registered", TODAY, registered(**OWNED), NAMED, CITIZEN),
    case("must_be_registered", "not_met", "heavy", TODAY, registered(**OWNED, **HEAVY), CITIZEN, NAMED),
    case("must_be_registered", "met", "registered", TODAY, registered(**OWNED, **UNDER), CITIZEN, NAMED),
    case("must_be_registered", "not_met", "recreational_for_work", TODAY, registered(), RECREATIONAL),
    case("must_be_registered", "met", "registered", TODAY, registered(), RECREATIONAL, use="recreation"),
    case(
        "must_be_registered",
        "not_met",
        "another_name",
        TODAY,
        registered(owner="Co"),
        NAMED,
        CITIZEN,
        owner("Co", owner_kind="corporation"),
        value="O",
    ),
    case("must_be_registered", "not_met", "not_citizen", TODAY, registered(), NAMED, STRANGER),
    case("must_be_registered", "not_met", "not_citizen", TODAY, registered(**OWNED), certificate(), STRANGER),
    case("must_be_registered", "not_applicable", "foreign", TODAY, registered(foreign_registry=True), NAMED),
    case(
        "must_be_registered",
        "not_met",
        "ended",
        TODAY,
        registered(**OWNED),
        certificate(registered_to="O", issued_on="2023-11-23"),
        CITIZEN,
        value=date(2026, 11, 23),
    ),
    case(
        "must_be_registered",
        "met",
        "registered",
        TODAY,
        registered(**OWNED),
        certificate(registered_to="O", issued_on="2023-11-25"),
        CITIZEN,
    ),
    case(
        "must_be_registered",
        "not_met",
        "not_yet_issued",
        "2026-01-04",
        registered(),
        certificate(issued_on="2026-01-05"),
    ),
    case(
        "must_be_registered",
        "not_applicable",
        "light",
        TODAY,
        registered(**LIGHT_FUN),
        certificate(issued_on="2020-11-23"),
        use="recreation",
    ),
    # Whoever registers after a sale has a certificate that the sale did not end.
    case(
        "must_be_registered",
        "met",
        "registered",
        TODAY,
        registered(sold_on="2026-03-10"),
        certificate(issued_on="2026-03-11"),
    ),
    case(
        "must_be_registered",
        "not_met",
        "sold",
        TODAY,
        registered(sold_on="2026-03-10"),
        certificate(issued_on="2026-03-10"),
    ),
    case("use_stated", "not_applicable", "stated", TODAY, aircraft(**FUN)),
    case("use_stated", "unknown", "used_for", TODAY, aircraft(), why="missing"),
]


CASES = MUST + ENDED


@pytest.mark.parametrize("line", CASES, ids=lambda line: line.name)
def test_case(line: Case) -> None:
    check(line)
