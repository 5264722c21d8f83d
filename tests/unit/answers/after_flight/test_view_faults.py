"""Every fault that a reader of logs notes is said in a sentence of its own."""

from __future__ import annotations

from airwrit.answers.after_flight.view import words
from airwrit.tracks.faults import TrackFault


def test_every_fault_has_its_sentence() -> None:
    assert {str(fault) for fault in TrackFault} == words()["problem"].keys() - {"line"}
