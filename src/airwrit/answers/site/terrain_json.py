"""Terrain as sentences that every face shows alike, as a JSON document, and as facts of a flight."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from airwrit.answers.document import CAUTION, SCOPE_OF_TERRAIN, Json
from airwrit.answers.site.terrain import (
    HeightSpan,
    TerrainAnswer,
    TerrainAsked,
    feet,
    greatest_ft,
    sentences,
)
from airwrit.answers.sky.facts_table import facts_toml
from airwrit.facts.keys.flights.flight import HEIGHT_AGL
from airwrit.facts.keys.flights.limits import HEIGHT_ERROR
from airwrit.geo.terrain import DIFFERENCE_ERROR_M, GROUND_ERROR_M, TerrainTile

_FOOT = Decimal(1)
_TENTH = Decimal("0.1")
_DIGEST = 12


def both(meters: float) -> str:
    """A height in feet, with meters behind it."""
    return f"{feet(meters).quantize(_FOOT):,} ft ({Decimal(str(meters)).quantize(_FOOT):,} m)"


def area_words(asked: TerrainAsked) -> str:
    """What was asked about, in a line."""
    said, places = sentences()["asked"], asked.places
    one = "circle" if asked.radius_m else "point"
    shape = one if len(places) == 1 else "area" if asked.is_area else "line"
    return said[shape].format(place=places[0], count=len(places), radius=both(asked.radius_m))


def ground_sentences(answer: TerrainAnswer) -> list[str]:
    """The ground under the area, or why it can't be told."""
    said, ground = sentences()["ground"], answer.ground
    found = []
    if ground.lowest_m is not None and ground.highest_m is not None:
        if len(answer.asked.places) == 1 and answer.asked.radius_m == 0 and ground.middle_m is not None:
            found.append(said["point"].format(middle=both(ground.middle_m)))
        else:
            found.append(said["known"].format(low=both(ground.lowest_m), high=both(ground.highest_m)))
    if ground.missing:
        found.append(said["missing"].format(tiles=" and ".join(ground.missing)))
    if ground.voids:
        posts = "1 post" if ground.voids == 1 else f"{ground.voids:,} posts"
        found.append(said["voids"].format(count=posts))
    if answer.asked.takeoff is not None and answer.takeoff_ground_m is None:
        found.append(said["no_takeoff"])
    return found


def height_sentences(answer: TerrainAnswer) -> list[str]:
    """The height from all four, then beside the limit; empty where none was asked or can be told."""
    heights, said = answer.heights, sentences()["height"]
    if heights is None:
        return []
    spans = {
        "above_ground": heights.ground,
        "above_takeoff": heights.takeoff,
        "above_sea": heights.sea,
        "above_ellipsoid": heights.ellipsoid,
    }
    found = [said[name].format(span=_span_words(span)) for name, span in spans.items() if span is not None]
    undulation = answer.undulation_m
    found.append(said["geoid_over" if undulation >= 0 else "geoid_under"].format(off=both(abs(undulation))))
    if heights.ground.low_m < 0:
        found.insert(0, said["ground_above"])
    return [_limit_sentence(answer), *found]


def _span_words(span: HeightSpan) -> str:
    low, high = both(span.low_m), both(span.high_m)
    return low if low == high else f"{low} to {high}"


def _limit_sentence(answer: TerrainAnswer) -> str:
    said, heights = sentences()["limit"], answer.heights
    if answer.outcome is None or heights is None:
        return said["law_not_read"]
    return said[answer.outcome.code].format(
        height=both(heights.ground.high_m), error=both(heights.ground_error_m), limit=answer.limit_ft
    )


def notes(answer: TerrainAnswer) -> list[str]:
    """What to keep in mind."""
    said = sentences()["note"]
    found = [
        said["error"].format(ground=both(GROUND_ERROR_M), difference=both(DIFFERENCE_ERROR_M)),
        said["peaks"],
    ]
    if answer.ground.missing:
        found.insert(0, said["published"])
    if answer.outcome is not None:
        found.append(said["limit_only"].format(limit=answer.limit_ft))
    return found


def terrain_json(answer: TerrainAnswer) -> Json:
    """The document: the area, the ground, the heights, the verdict on the limit, the tiles read."""
    asked, ground, heights = answer.asked, answer.ground, answer.heights
    return {
        "question": "terrain",
        "scope": SCOPE_OF_TERRAIN,
        "place": asked.places[0]._asdict(),
        "places": [one._asdict() for one in asked.places],
        "is_area": asked.is_area,
        "on": asked.on.isoformat(),
        "radius_m": asked.radius_m,
        "verdict": answer.verdict.value,
        "ground": {
            "lowest_m": ground.lowest_m,
            "highest_m": ground.highest_m,
            "middle_m": None if ground.middle_m is None else round(ground.middle_m, 2),
            "error_m": GROUND_ERROR_M,
            "missing": list(ground.missing),
            "voids": ground.voids,
        },
        "takeoff_ground_m": None if answer.takeoff_ground_m is None else round(answer.takeoff_ground_m, 2),
        "sea_level_above_ellipsoid_m": round(answer.undulation_m, 2),
        "height": None
        if heights is None
        else {
            "above_ground_m": _span(heights.ground),
            "above_takeoff_m": _span(heights.takeoff),
            "above_sea_level_m": _span(heights.sea),
            "above_ellipsoid_m": _span(heights.ellipsoid),
            "above_ground_error_m": heights.ground_error_m,
        },
        "limit_ft": answer.limit_ft,
        "says": [*height_sentences(answer), *ground_sentences(answer)],
        "notes": notes(answer),
        "tiles": tiles_json(ground.tiles),
        "caution": CAUTION,
    }


def tiles_json(tiles: Sequence[TerrainTile]) -> list[Json]:
    """Tiles with the digest of each file."""
    return [{"name": one.name, "posts_a_side": one.side, "sha256": one.sha256} for one in tiles]


def tile_sentence(tile: TerrainTile) -> str:
    """A tile in a line."""
    return sentences()["list"]["tile"].format(name=tile.name, side=tile.side, digest=tile.sha256[:_DIGEST])


def facts_of(answer: TerrainAnswer) -> str:
    """The `[flight]` table of a facts file: the greatest height above ground and what it may be off; a remark where unknown."""
    if answer.heights is None:
        return "\n".join(f"# {said}" for said in ground_sentences(answer)) + "\n"
    greatest = greatest_ft(answer.heights)
    return facts_toml(
        "flight",
        {
            HEIGHT_AGL.name: str(greatest.best.quantize(_TENTH)),
            HEIGHT_ERROR.name: str((greatest.high - greatest.best).quantize(_TENTH)),
        },
    )


def _span(span: HeightSpan | None) -> list[float] | None:
    return None if span is None else [round(span.low_m, 2), round(span.high_m, 2)]
