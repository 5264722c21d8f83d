"""The map of a planned flight, drawn in ink: a neat line with degrees, north, a scale in feet, the area, the airspace by name.

Names out of files are escaped; all else is numbers and fixed words. The same stands in words beside it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence

from markupsafe import Markup

from airwrit.airspace.kinds import AreaKind
from airwrit.answers.drawings.site_map import MapArea, MapCell, MapCounty, Ring, SiteMap
from airwrit.base.places import Place
from airwrit.geo.earth import M_PER_FT, m_per_degree

WIDE, HIGH, EDGE = 760, 500, 34
_SCALES_FT = (100, 200, 500, 1_000, 2_000, 5_000, 10_000, 20_000, 50_000)
_CLASSES = {AreaKind.TFR: "notice", AreaKind.SECURITY: "notice", AreaKind.CLASS: "controlled"}
_LONGEST = 40


class MapPaper:
    """The frame of a map on paper: degrees to points, with the same scale both ways."""

    def __init__(self, told: SiteMap) -> None:
        """Fit the frame into the paper."""
        self.middle = Place((told.south + told.north) / 2, (told.west + told.east) / 2)
        self.along, self.across = m_per_degree(self.middle.latitude_deg)
        high_m = max((told.north - told.south) * self.along, 1.0)
        wide_m = max((told.east - told.west) * self.across, 1.0)
        self.scale = min((WIDE - 2 * EDGE) / wide_m, (HIGH - 2 * EDGE) / high_m)

    def point(self, place: Place) -> tuple[float, float]:
        """Where a place lies on the paper."""
        east = (place.longitude_deg - self.middle.longitude_deg) * self.across
        north = (place.latitude_deg - self.middle.latitude_deg) * self.along
        return round(WIDE / 2 + east * self.scale, 1), round(HIGH / 2 - north * self.scale, 1)

    def degrees(self, x: float, y: float) -> Place:
        """The place at a point of the paper."""
        return Place(
            self.middle.latitude_deg - (y - HIGH / 2) / self.scale / self.along,
            self.middle.longitude_deg + (x - WIDE / 2) / self.scale / self.across,
        )


Overlay = Callable[[MapPaper], Iterable[Markup]]
"""What is drawn over the area of a map."""


def map_of(told: SiteMap, over: Overlay | None = None, label: str = "Map of the planned area") -> Markup:
    """The drawing; `over` draws more over the area, within the frame. `label` says what it is to those who can't see it."""
    sheet = MapPaper(told)
    parts = [
        Markup(
            '<svg class="map" viewBox="0 0 {} {}" data-middle="{},{}" data-degree="{},{}" data-scale="{}" '
            'role="img" aria-label="{}">'
        ).format(WIDE, HIGH, *sheet.middle, sheet.along, sheet.across, sheet.scale, label),
        Markup('<clipPath id="neat"><rect x="{0}" y="{0}" width="{1}" height="{2}"/></clipPath>').format(
            EDGE, WIDE - 2 * EDGE, HIGH - 2 * EDGE
        ),
        Markup('<g clip-path="url(#neat)">'),
        *_counties(told.counties, sheet),
        *(_cell(cell, sheet) for cell in told.cells),
        *_areas(told.areas, sheet),
        _path(told.flight, sheet, "halo"),
        _path(told.flight, sheet, "flight"),
        *(() if over is None else over(sheet)),
        Markup("</g>"),
        *_neat_line(sheet),
        _north(),
        _scale_bar(sheet),
    ]
    return Markup("").join([*parts, Markup("</svg>")])


def _path(rings: Iterable[Ring], sheet: MapPaper, kind: str) -> Markup:
    drawn = " ".join(
        "M" + "L".join(f"{x} {y}" for x, y in map(sheet.point, ring)) + "Z" for ring in rings if ring
    )
    return Markup('<path class="{}" d="{}"/>').format(kind, drawn)


def _areas(areas: Iterable[MapArea], sheet: MapPaper) -> Iterator[Markup]:
    for number, area in enumerate(areas):
        yield _path(area.rings, sheet, _CLASSES.get(area.kind, "other"))
        name = area.name if len(area.name) <= _LONGEST else f"{area.name[: _LONGEST - 1]}…"
        yield Markup('<text class="name" x="{}" y="{}">{}</text>').format(
            EDGE + 10, EDGE + 18 + 17 * number, name
        )


def _counties(counties: Sequence[MapCounty], sheet: MapPaper) -> Iterator[Markup]:
    """The lines between counties with the name of each; of one alone the name, at the foot of the map."""
    for one in counties:
        if one.rings:
            yield _path(one.rings, sheet, "county-line")
        x, y = sheet.point(one.at) if one.rings else (WIDE - EDGE - 10, HIGH - EDGE - 12)
        kind = "county-name" if one.rings else "county-name alone"
        yield Markup('<text class="{}" x="{}" y="{}">{}</text>').format(kind, x, y, one.name)


def part_marks(parts: Iterable[tuple[str, Place]]) -> Overlay:
    """Draws the letters of an area's parts where they lie."""
    return lambda sheet: [
        Markup(
            '<circle class="part" cx="{0}" cy="{1}" r="12"/><text class="part-name" x="{0}" y="{2}">{3}</text>'
        ).format(x, y, round(y + 5, 1), letter)
        for letter, place in parts
        for x, y in [sheet.point(place)]
    ]


def _cell(cell: MapCell, sheet: MapPaper) -> Markup:
    corner = cell.corner
    north_east = Place(corner.latitude_deg + cell.side_deg, corner.longitude_deg + cell.side_deg)
    (left, bottom), (right, top) = sheet.point(corner), sheet.point(north_east)
    return Markup(
        '<rect class="cell" x="{}" y="{}" width="{}" height="{}"/>'
        '<text class="number" x="{}" y="{}">{} ft<tspan class="more"> at most</tspan></text>'
    ).format(
        left,
        top,
        round(right - left, 1),
        round(bottom - top, 1),
        round((left + right) / 2, 1),
        round((top + bottom) / 2, 1),
        cell.number_ft,
    )


def _neat_line(sheet: MapPaper) -> Iterator[Markup]:
    """The double frame, with degrees at a third and two thirds of each side."""
    for off in (0, 4):
        yield Markup('<rect class="neat" x="{0}" y="{0}" width="{1}" height="{2}"/>').format(
            EDGE - off, WIDE - 2 * EDGE + 2 * off, HIGH - 2 * EDGE + 2 * off
        )
    for share in (1 / 3, 2 / 3):
        x, y = EDGE + (WIDE - 2 * EDGE) * share, EDGE + (HIGH - 2 * EDGE) * share
        place = sheet.degrees(x, y)
        yield Markup('<text class="degrees" x="{}" y="{}">{}</text>').format(
            round(x, 1), HIGH - 10, _degrees(place.longitude_deg, "E", "W")
        )
        yield Markup('<text class="degrees" transform="translate({} {}) rotate(-90)">{}</text>').format(
            20, round(y, 1), _degrees(place.latitude_deg, "N", "S")
        )


def _degrees(value: float, above: str, below: str) -> str:
    return f"{abs(value):.4f}° {above if value >= 0 else below}"


def _north() -> Markup:
    return Markup('<g transform="translate({} {})"><path class="north" d="M0 34V4M-6 13L0 2l6 11"/>').format(
        WIDE - EDGE - 22, EDGE + 12
    ) + Markup('<text class="degrees" x="0" y="50">N</text></g>')


def _scale_bar(sheet: MapPaper) -> Markup:
    """The longest round number of feet that takes at most a third of the width."""
    per_foot = sheet.scale * M_PER_FT
    feet = max((one for one in _SCALES_FT if one * per_foot <= WIDE / 3), default=_SCALES_FT[0])
    wide = round(min(feet * per_foot, WIDE - 2 * EDGE), 1)
    if not math.isfinite(wide):
        return Markup()
    return Markup(
        '<g transform="translate({} {})"><path class="bar" d="M0-4v8M0 0h{}m0-4v8"/>'
        '<text class="degrees" x="{}" y="-8">{} ft</text></g>'
    ).format(EDGE + 12, HIGH - EDGE - 14, wide, round(wide / 2, 1), f"{feet:,}")
