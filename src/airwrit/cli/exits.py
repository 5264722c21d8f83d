"""The exit code that a verdict becomes."""

from __future__ import annotations

from airwrit.base.verdict import Verdict

EXIT = {Verdict.MET: 0, Verdict.NOT_MET: 1, Verdict.UNKNOWN: 3, Verdict.NOT_APPLICABLE: 3}
"""Exit codes of a report's verdict; 2 is for wrong use and unreadable input."""
