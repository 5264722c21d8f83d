"""What applies to a flight as a JSON document, and as facts of a flight."""

from __future__ import annotations

from zoneinfo import ZoneInfo

from airwrit.airspace.here import AreasTouched, Asked, Here, VolumeTouched
from airwrit.airspace.hours import TimeSpan
from airwrit.airspace.limits import HeightLimit, Reference
from airwrit.answers.airspace.at import (
    MapAnswer,
    OpenQuestion,
    class_here,
    in_restricted_area,
    is_sure,
    map_answer,
    open_questions,
    under_notice,
    verdict_of,
)
from airwrit.answers.airspace.at_words import (
    asked_text,
    headlines,
    layer_sentences,
    map_sentences,
    notes,
    places_of,
    problem_json,
    question_sentence,
    volume_sentences,
    words,
)
from airwrit.answers.document import CAUTION, SCOPE_OF_AIRSPACE, Json
from airwrit.answers.sky.facts_table import facts_toml
from airwrit.facts.keys.flights.airspace import AIRSPACE_CLASS, CELL_NUMBER, NOTICE_COVERS, RESTRICTED_AREA
from airwrit.geo.earth import M_PER_FT


def here_json(here: Here) -> Json:
    """The document: what was asked, the verdict, the facility map, the volumes, the layers, what to ask and to mind."""
    answer, lowest = map_answer(here)
    found_class, zone = class_here(here), here.asked.zones[0]
    return {
        "question": "airspace",
        "scope": SCOPE_OF_AIRSPACE,
        **_asked(here.asked),
        "verdict": verdict_of(here).value,
        "headlines": headlines(here),
        "map": {
            "answer": answer.value,
            "lowest_ft": lowest,
            "numbers_ft": sorted(here.numbers_ft),
            "says": map_sentences(here),
        },
        "airspace_class": None if found_class is None else found_class.value,
        "restricted_area": True if in_restricted_area(here) else None,
        "notice_covers": True if under_notice(here) else None,
        "volumes": [_volume(one, zone) for one in here.touched],
        "close_by": [_volume(one, zone) for one in here.close_by],
        "questions": [_open(one) for one in open_questions(here)],
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
    for key, is_so, why in (
        (RESTRICTED_AREA, in_restricted_area(here), said["restricted"]),
        (NOTICE_COVERS, under_notice(here), said["notice"]),
    ):
        if is_so:
            site[key.name] = True
        else:
            remarks[key.name] = (False, why)
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


def _asked(asked: Asked) -> Json:
    ground, zone = asked.ground, asked.zones[0]
    return {
        "places": [place._asdict() for place in places_of(asked)],
        "is_area": asked.footprint.is_filled,
        "radius_ft": _feet(asked.footprint.radius_m),
        "on": asked.days[0].isoformat(),
        "span": _span(asked.span, zone),
        "zone": zone.key,
        "heights_ft": [asked.band.low_ft, asked.band.high_ft],
        "heights_above": asked.band.reference.value,
        "ground_ft": None if ground is None else list(ground),
        "asked": asked_text(asked),
    }


def _volume(one: VolumeTouched, zone: ZoneInfo) -> Json:
    area, heights = one.area, one.heights
    return {
        "layer": one.layer,
        "kind": one.kind.value,
        "name": area.name,
        "type": area.type,
        "floor": _limit(area.floor),
        "ceiling": _limit(area.ceiling),
        "apart_ft": _feet(one.apart_m),
        "inside_by_ft": None if one.margin_m is None else _feet(one.margin_m),
        "reaches_in_ft": _feet(one.deepest_m),
        "reach": one.reach.value,
        "overlap_ft": heights.overlap_ft,
        "clear_ft": heights.clear_ft,
        "active": one.times.state.value,
        "active_spans": [_span(span, zone) for span in one.times.spans],
        "begins": None if area.begins is None else area.begins.isoformat(),
        "ends": None if area.ends is None else area.ends.isoformat(),
        "hours": area.hours,
        "text": area.text,
        "says": volume_sentences(one, zone),
        "problems": [problem_json(problem) for problem in area.problems],
    }


def _feet(meters: float) -> float:
    return round(meters / M_PER_FT, 1)


def _span(span: TimeSpan, zone: ZoneInfo) -> Json:
    return {
        "local": [instant.astimezone(zone).isoformat() for instant in span],
        "utc": [instant.astimezone(ZoneInfo("UTC")).isoformat() for instant in span],
    }


def _open(one: OpenQuestion) -> Json:
    return {"code": one.point.value, "about": one.about, **one.numbers, "asks": question_sentence(one)}


def _limit(limit: HeightLimit) -> Json:
    if limit.reference is Reference.NONE:
        return {"feet": None, "reference": None}
    return {"feet": limit.feet, "reference": limit.reference.value}


def _layer(layer: AreasTouched) -> Json:
    edition = layer.edition
    return {
        "kind": layer.day.kind.value,
        "layer": layer.day.layer,
        "on": layer.on.isoformat(),
        "state": layer.day.state.value,
        "edition": None if layer.day.edition is None else layer.day.edition.on.isoformat(),
        "sure": is_sure(layer),
        "sources": [] if edition is None else [one._asdict() for one in edition.sources],
    }
