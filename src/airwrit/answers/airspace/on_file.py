"""What was put on file, and what is there for a day, as documents."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from airwrit.airspace.edition import Edition
from airwrit.airspace.here import layers_on
from airwrit.airspace.kinds import kinds
from airwrit.airspace.shelf import shelved
from airwrit.airspace.store import check_whole, from_file
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
        "sha256": from_file(path).sha256,
        "sources": [one._asdict() for one in edition.sources],
        "cells": len(edition.grid.keys),
        "areas": len(edition.areas),
        "gaps": edition.has_gaps,
        "problems": [problem_json(problem) for problem in edition.problems],
        "notes": [words()["note"]["look"]],
        "caution": CAUTION,
    }


def list_json(folder: Path, day: date, *, check: bool = False) -> Json:
    """Every edition on file, and the state of each layer on a day; unknown where one can't answer for it.

    With `check` every file is read to its end. UnreadableFile names one that isn't as it was written.
    """
    layers = layers_on(folder, day)
    editions = shelved(folder)
    if check:
        for one in editions:
            check_whole(one.path)
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
                "sha256": from_file(one.path).sha256,
            }
            for one in editions
        ],
        "checked": check and bool(editions),
        "says": [said for layer in layers for said in layer_of_day(layer)],
        "notes": [words()["note"]["look"]],
        "problems": [],
        "caution": CAUTION,
    }
