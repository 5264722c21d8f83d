"""What was put on file, and what is there for a day, as documents."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from airwrit.airspace.edition import Edition
from airwrit.airspace.here import layers_on
from airwrit.airspace.kinds import kinds
from airwrit.airspace.shelf import Shelved, shelved
from airwrit.airspace.store import check_whole, from_file
from airwrit.answers.airspace.at import answers_all
from airwrit.answers.airspace.at_words import layer_of_day, problem_json, words
from airwrit.answers.document import CAUTION, Json
from airwrit.base.errors import UnreadableFile
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
    """Every edition on file, and the state of each layer on a day; unknown where one can't answer for it, or is damaged.

    With `check` every file is read to its end.
    """
    layers = layers_on(folder, day, whole=check)
    editions = [_listed(one, check=check) for one in shelved(folder)]
    damaged = [one["file"] for one in editions if one["damaged"]]
    return {
        "question": "airspace list",
        "on": day.isoformat(),
        "verdict": (Verdict.UNKNOWN if damaged or not answers_all(layers) else Verdict.MET).value,
        "editions": editions,
        "damaged": damaged,
        "checked": check and bool(editions),
        "says": [said for layer in layers for said in layer_of_day(layer)],
        "notes": [words()["note"]["look"]],
        "problems": [],
        "caution": CAUTION,
    }


def _listed(one: Shelved, *, check: bool) -> Json:
    """An edition on file; without its digest where its file can't be read, and what is wrong with it."""
    told: Json = {
        "file": one.path.name,
        "kind": one.kind.value,
        "title": kinds()[one.kind].title,
        "layer": one.layer,
        "edition": one.on.isoformat(),
    }
    try:
        if check:
            check_whole(one.path)
        return {**told, "sha256": from_file(one.path).sha256, "damaged": ""}
    except UnreadableFile as fault:
        return {**told, "sha256": "", "damaged": fault.says}
