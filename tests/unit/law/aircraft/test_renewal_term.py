"""The term of a registration, by the expirations on file."""

from __future__ import annotations

import pytest

from airwrit.base.verdict import Undecided
from airwrit.law.aircraft.renewal import Term


def test_a_term_without_any_expiration_has_no_end() -> None:
    with pytest.raises(Undecided, match="missing: expires_on"):
        Term(None, None, None).expiry  # noqa: B018
