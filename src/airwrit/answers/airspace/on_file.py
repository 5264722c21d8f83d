"""What was put on file, and what is there for a day, as documents."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from airwrit.airspace.edition import Edition
from airwrit.airspace.here import layers_on
from airwrit.airspace.kinds import kinds
from airwrit.airspace.shelf import shelved
from airwrit.answers.airspace.at import answers_all
from airwrit.answers.airspace.at_words import layer_of_day, problem_json, words
from airwrit.answers.document import CAUTION, Json
from airwrit.base.verdict import Verdict


def imported_json(edition: Edition, path: Path, *, is_new: bool) -> Json:
    """What was read of files and kept."""
    return {
        "question": "airspace import",
        "file": path.name,
        "new": is_new,
        "kind": edition.kind.value,
        "layer": edition.layer,
        "edition": edition.on.isoformat(),
        "sources": [one._asdict() for one in edition.sources],
        "cells": len(edition.grid.keys),
        "areas": len(edition.areas),
        "gaps": edition.has_gaps,
        "problems": [problem_json(problem) for problem in edition.problems],
        "notes": [words()["note"]["look"]],
        "caution": CAUTION,
    }


def list_json(folder: Path, day: date) -> Json:
    """Every edition on file, and the state of each layer on a day; unknown where one can't answer for it."""
    layers = layers_on(folder, day)
    return {
        "question": "airspace list",
        "on": day.isoformat(),
        "verdict": (Verdict.MET if answers_all(layers) else Verdict.UNKNOWN).value,
        "editions": [
            {
                "file": one.path.name,
                "kind": one.kind.value,
                "title": kinds()[one.kind].title,
                "layer": one.layer,
                "edition": one.on.isoformat(),
            }
            for one in shelved(folder)
        ],
        "says": [said for layer in layers for said in layer_of_day(layer)],
        "notes": [words()["note"]["look"]],
        "problems": [],
        "caution": CAUTION,
    }
