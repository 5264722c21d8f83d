"""Settings of every test run: generated examples are the same each time, and few enough for a clean clone."""

import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import settings
from hypothesis.internal.conjecture import providers

from airwrit.intake.reader import apart
from airwrit.ledger.sqlite import opening
from tests.readers import Readers

settings.register_profile("ci", derandomize=True, max_examples=50, deadline=None)
settings.register_profile("long", max_examples=5000, deadline=None)
# how wide answers are printed is not left to the terminal that a test is started from
os.environ.pop("COLUMNS", None)
PROFILE = os.environ.get("HYPOTHESIS_PROFILE", "ci")
settings.load_profile(PROFILE)


def _no_module(path: str) -> bool:
    del path
    return False


if (
    PROFILE == "ci"
):  # examples hang on their test alone, not on numbers in whatever modules are loaded by then
    pytest.MonkeyPatch().setattr(providers, "is_local_module_file", _no_module)

SAFE_PRAGMAS = opening.PRAGMAS
"""How a ledger is opened outside the tests: every promise waits for the disk."""
# ledgers of this process need not outlive a loss of power; those of commands that are started and killed do wait
opening.PRAGMAS = (*SAFE_PRAGMAS, "synchronous = OFF")

HERE = Path(__file__).parent
FIRST = (
    "browser/test_every_page.py",
    "browser",
    "unit/web/test_hostile.py",
    "unit/cli/test_written_files.py",
    "properties",
)
"""What takes long comes first, so that no process is left with it alone at the end."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Begin with what takes long. The tests of a file stay in one process, which makes what they share once."""
    items.sort(key=_turn)


def _turn(item: pytest.Item) -> int:
    place = item.path.relative_to(HERE).as_posix()
    return next((turn for turn, first in enumerate(FIRST) if place.startswith(first)), len(FIRST))


@pytest.fixture(scope="session", autouse=True)
def _warm_readers() -> Iterator[None]:
    """Files are read in forks of one process that has the readers loaded."""
    with pytest.MonkeyPatch.context() as patch:
        readers = Readers()
        patch.setattr(apart, "ended", readers.ended)
        yield
        readers.end()


def pytest_xdist_auto_num_workers(config: pytest.Config) -> int:
    """One process more than there are processors: most of them wait for a browser or for a child of ours a good while."""
    del config
    return (os.cpu_count() or 1) + 1
