"""docs/security.md accounts for every requirement of level 1 and 2, and names none that there is not.

Source: OWASP Application Security Verification Standard 5.0.0 (asvs/SOURCE.toml); the list may not be copied into the project.
"""

from __future__ import annotations

import csv

from tests.outside import outside_file
from tests.shape.test_security_page import page, requirements


def test_every_requirement_is_accounted_for() -> None:
    with outside_file("asvs_5.0.0.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = [row["req_id"] for row in csv.DictReader(file) if row["L"] in ("1", "2")]
    told = [one for one, _, _ in requirements(page("security.md"))]
    assert len(rows) == 253
    left_out = [one for one in rows if not any(one == id_ or one.startswith(f"{id_}.") for id_ in told)]
    assert left_out == []
    unknown = [id_ for id_ in told if not any(one == id_ or one.startswith(f"{id_}.") for one in rows)]
    assert unknown == []
