"""Settings of every test run: generated examples are the same each time, and few enough for a clean clone."""

import os

from hypothesis import settings

settings.register_profile("ci", derandomize=True, max_examples=50, deadline=None)
settings.register_profile("long", max_examples=5000, deadline=None)
# how wide answers are printed is not left to the terminal that a test is started from
os.environ.pop("COLUMNS", None)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "ci"))
