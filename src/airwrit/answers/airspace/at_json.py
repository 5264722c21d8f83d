"""What applies at a place as a JSON document, and as facts of a flight."""

from __future__ import annotations

from airwrit.airspace.here import AreasTouched, Here, VolumeTouched
from airwrit.airspace.limits import HeightLimit, Reference
from airwrit.answers.airspace.at import (
    MapAnswer,
    class_here,
    in_restricted_area,
    is_sure,
    layer_sentences,
    map_answer,
    map_sentences,
    notes,
    problem_json,
    reach_sentence,
    verdict_of,
    words,
)
from airwrit.answers.document import CAUTION, Json
from airwrit.answers.sky.facts_table import facts_toml
from airwrit.facts.keys.airspace import AIRSPACE_CLASS, CELL_NUMBER, RESTRICTED_AREA


def here_json(here: Here) -> Json:
    """The document: the place, the verdict, the facility map, the volumes, the layers, facts and cautions."""
    asked, (answer, lowest) = here.asked, map_answer(here)
    found_class = class_here(here)
    return {
        "question": "airspace",
        "scope": words()["note"]["scope"],
        "place": {"latitude_deg": asked.place.latitude_deg, "longitude_deg": asked.place.longitude_deg},
        "on": asked.on.isoformat(),
        "height_ft": asked.height_ft,
        "radius_ft": asked.radius_ft,
        "ground_ft": asked.ground_ft,
        "verdict": verdict_of(here).value,
        "map": {
            "answer": answer.value,
            "lowest_ft": lowest,
            "numbers_ft": sorted(here.numbers_ft),
            "says": map_sentences(here),
        },
        "airspace_class": None if found_class is None else found_class.value,
        "restricted_area": True if in_restricted_area(here) else None,
        "volumes": [_volume(one) for one in here.touched],
        "layers": [_layer(layer) for layer in here.layers],
        "says": layer_sentences(here),
        "notes": notes(here),
        "problems": [
            problem_json(problem)
            for facts in (*here.cells, *(one.area for one in here.touched))
            for problem in facts.problems
        ],
        "caution": CAUTION,
    }


def facts_of(here: Here) -> str:
    """Tables of a facts file. What is not sure is a comment with the reason, never a value."""
    said = words()["facts"]
    site: Json = {}
    remarks: Json = {}
    found_class = class_here(here)
    if found_class is not None:
        site[AIRSPACE_CLASS.name] = found_class.value
    if in_restricted_area(here):
        site[RESTRICTED_AREA.name] = True
    else:
        remarks[RESTRICTED_AREA.name] = (False, said["restricted"])
    answer, _ = map_answer(here)
    tables = [facts_toml("site", site, remarks)]
    if found_class is None:
        tables[0] += f"# {said['class']}\n"
    if answer is MapAnswer.UNKNOWN:
        tables.append(f"# {said['cells']}\n")
    elif answer is MapAnswer.NO_CELL:
        tables.append(f"# {words()['map']['no_cell']}\n")
    else:
        tables += [
            f"[[map_cell]]\n{CELL_NUMBER.name} = {number}\n" for number in sorted(set(here.numbers_ft))
        ]
    return "\n".join(tables)


def _volume(one: VolumeTouched) -> Json:
    return {
        "layer": one.layer,
        "kind": one.kind.value,
        "name": one.area.name,
        "type": one.area.type,
        "floor": _limit(one.area.floor),
        "ceiling": _limit(one.area.ceiling),
        "hours": one.area.hours,
        "reach": one.reach.value,
        "says": reach_sentence(one),
        "problems": [problem_json(problem) for problem in one.area.problems],
    }


def _limit(limit: HeightLimit) -> Json:
    if limit.reference is Reference.NONE:
        return {"feet": None, "reference": None}
    return {"feet": limit.feet, "reference": limit.reference.value}


def _layer(layer: AreasTouched) -> Json:
    edition = layer.edition
    return {
        "kind": layer.day.kind.value,
        "layer": layer.day.layer,
        "state": layer.day.state.value,
        "edition": None if layer.day.edition is None else layer.day.edition.on.isoformat(),
        "sure": is_sure(layer),
        "sources": [] if edition is None else [one._asdict() for one in edition.sources],
    }
