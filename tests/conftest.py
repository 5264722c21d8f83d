"""Settings of every test run: generated examples are the same each time, and few enough for a clean clone."""

import os
from collections.abc import Iterator

import pytest
from hypothesis import settings

from airwrit.intake import apart
from airwrit.ledger.sqlite import opening
from tests.readers import Readers

settings.register_profile("ci", derandomize=True, max_examples=50, deadline=None)
settings.register_profile("long", max_examples=5000, deadline=None)
# how wide answers are printed is not left to the terminal that a test is started from
os.environ.pop("COLUMNS", None)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "ci"))

SAFE_PRAGMAS = opening.PRAGMAS
"""How a ledger is opened outside the tests: every promise waits for the disk."""
# ledgers of this process need not outlive a loss of power; those of commands that are started and killed do wait
opening.PRAGMAS = (*SAFE_PRAGMAS, "synchronous = OFF")


@pytest.fixture(scope="session", autouse=True)
def _warm_readers() -> Iterator[None]:
    """Files are read in forks of one process that has the readers loaded."""
    with pytest.MonkeyPatch.context() as patch:
        readers = Readers()
        patch.setattr(apart, "ended", readers.ended)
        yield
        readers.end()
