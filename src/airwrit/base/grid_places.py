"""A place told by the United States National Grid, by MGRS, which has the same form, or by zone, easting and northing of UTM.

Source of the form: FGDC-STD-011-2001, from memory; zones and bands of UTM. A reference of three to five digits a half names
a square of 100 m to 1 m, and its middle is taken. Of UTM the letter is that of the latitude band, as in the National Grid.
Source of the projection: C. F. F. Karney, Transverse Mercator with an accuracy of a few nanometers (2011), its series in the
third flattening to the fourth power, from memory; good to less than a millimeter within a zone.
"""

from __future__ import annotations

import math
import re
from typing import NamedTuple

from airwrit.base.errors import BadPlace

EQUATOR_M, FLATTENING = 6378137.0, 1 / 298.257223563
"""WGS 84, from which NAD 83 differs by less than 2 m."""

_SCALE, _FALSE_EAST_M, _FALSE_NORTH_M = 0.9996, 500_000.0, 10_000_000.0
_N = FLATTENING / (2 - FLATTENING)
_MERIDIAN_M = EQUATOR_M / (1 + _N) * (1 + _N**2 / 4 + _N**4 / 64)
_BACK = (
    _N / 2 - 2 / 3 * _N**2 + 37 / 96 * _N**3 - _N**4 / 360,
    _N**2 / 48 + _N**3 / 15 - 437 / 1440 * _N**4,
    17 / 480 * _N**3 - 37 / 840 * _N**4,
    4397 / 161280 * _N**4,
)
_BANDS = "CDEFGHJKLMNPQRSTUVWX"
_BAND_DEG, _SOUTHMOST_DEG, _NORTHMOST_DEG = 8, -80, 84
_ROWS, _COLUMNS = "ABCDEFGHJKLMNPQRSTUV", ("STUVWXYZ", "ABCDEFGH", "JKLMNPQR")
_ROW_M, _ROWS_M = 100_000, 2_000_000
_OUT_OF_BAND_DEG, _OUT_OF_ZONE_DEG = 1.0, 0.6
_ODD_ZONES = ((31, "V"), (32, "V"), (31, "X"), (33, "X"), (35, "X"), (37, "X"))
_LEAST_DIGITS, _MOST_DIGITS = 3, 5
_STEPS = 5

_GRID = re.compile(r"(?P<zone>\d{1,2}) ?(?P<band>[A-Z]) ?(?P<square>[A-Z]{2}) ?(?P<digits>[\d ]*)")
_WITHOUT_ZONE = re.compile(r"[A-HJ-NP-Z]{2} ?\d{2,5} ?\d{2,5}")
_UTM = re.compile(
    r"(?:UTM )?(?:ZONE )?(?P<zone>\d{1,2}) ?(?P<band>[A-Z])[, ]+(?P<east>\d{6}(?:\.\d+)?) ?(?:M ?E|ME|E|M)?[, ]+"
    r"(?P<north>\d{1,8}(?:\.\d+)?) ?(?:M ?N|MN|N|M)?"
)
_DO = "write it like 13T DE 76915 29457, with the grid zone first"


class GridZone(NamedTuple):
    """A zone and a band of latitude, as a reference begins with them."""

    number: int
    band: str

    def __str__(self) -> str:
        """As it is written."""
        return f"{self.number}{self.band}"

    @property
    def south_deg(self) -> int:
        """Where the band begins; the northmost is 12 degrees high, every other 8."""
        return _SOUTHMOST_DEG + _BAND_DEG * _BANDS.index(self.band)

    @property
    def north_deg(self) -> int:
        """Where the band ends."""
        return _NORTHMOST_DEG if self.band == _BANDS[-1] else self.south_deg + _BAND_DEG

    @property
    def middle_deg(self) -> int:
        """The meridian in the middle of the zone."""
        return 6 * self.number - 183


def grid_place(text: str) -> tuple[float, float] | None:
    """Latitude and longitude of a grid reference or of UTM, in capitals and single blanks; None for a text of another form.

    BadPlace says what of it can't be.
    """
    found = _GRID.fullmatch(text)
    if found is not None:
        return _of_square(_zone(found["zone"], found["band"], text), found["square"], found["digits"], text)
    found = _UTM.fullmatch(text)
    if found is not None:
        zone = _zone(found["zone"], found["band"], text)
        return _checked(zone, float(found["east"]), float(found["north"]), text)
    if _WITHOUT_ZONE.fullmatch(text):
        raise BadPlace(f"{text!r} has no grid zone, so it could be in many places", do=_DO)
    return None


def _zone(number: str, band: str, text: str) -> GridZone:
    if not 1 <= int(number) <= 60:
        raise BadPlace(f"{text!r} has grid zone {number}, and zones run from 1 to 60", do=_DO)
    if band not in _BANDS:
        raise BadPlace(f"{text!r} has {band} as its latitude band, which we can't use", do=_DO)
    return GridZone(int(number), band)


def _of_square(zone: GridZone, square: str, digits: str, text: str) -> tuple[float, float]:
    """The middle of the square that a reference names."""
    halves = digits.split()
    if len(halves) == 1 and len(halves[0]) % 2 == 0:
        halves = [halves[0][: len(halves[0]) // 2], halves[0][len(halves[0]) // 2 :]]
    if len(halves) != 2 or len(halves[0]) != len(halves[1]) or len(halves[0]) > _MOST_DIGITS:
        raise BadPlace(f"{text!r} needs as many digits for the easting as for the northing", do=_DO)
    if len(halves[0]) < _LEAST_DIGITS:
        raise BadPlace(
            f"{text!r} isn't precise enough to name a place", do="use at least 3 digits in each half"
        )
    columns = _COLUMNS[zone.number % 3]
    row = (_ROWS.find(square[1]) - (0 if zone.number % 2 else 5)) % len(_ROWS)
    if square[0] not in columns or square[1] not in _ROWS:
        raise BadPlace(f"{text!r} has a square {square} that zone {zone.number} doesn't have", do=_DO)
    side = 10 ** (_MOST_DIGITS - len(halves[0]))
    east, north = ((int(half) + 0.5) * side for half in halves)
    east += (columns.index(square[0]) + 1) * _ROW_M
    north += row * _ROW_M
    found = [_placed(zone, east, north + turn * _ROWS_M) for turn in range(5)]
    fitting = [one for one in found if _fits(zone, *one)]
    if not fitting:
        raise BadPlace(f"{text!r} has a square {square} that isn't in grid zone {zone}", do=_DO)
    return fitting[0]


def _checked(zone: GridZone, east_m: float, north_m: float, text: str) -> tuple[float, float]:
    """The place of an easting and a northing. With the letter N for the north, which is a band too, any northern place."""
    found = _placed(zone, east_m, north_m)
    if _fits(zone, *found) or (
        zone.band == "N" and _fits_zone(zone, found[1]) and 0 <= found[0] <= _NORTHMOST_DEG
    ):
        return found
    raise BadPlace(
        f"{text!r} isn't in grid zone {zone}",
        do="the letter is the latitude band, such as 13T for zone 13 from 40 to 48 degrees north",
    )


def _fits(zone: GridZone, latitude: float, longitude: float) -> bool:
    """Whether a place lies in a zone and its band, or so little outside that a square of it reaches there."""
    low, high = zone.south_deg - _OUT_OF_BAND_DEG, zone.north_deg + _OUT_OF_BAND_DEG
    return low <= latitude <= high and _fits_zone(zone, longitude)


def _fits_zone(zone: GridZone, longitude: float) -> bool:
    half = 9.0 if (zone.number, zone.band) in _ODD_ZONES else 3.0
    apart = abs((longitude - zone.middle_deg + 180) % 360 - 180)
    return apart <= half + _OUT_OF_ZONE_DEG


def _placed(zone: GridZone, east_m: float, north_m: float) -> tuple[float, float]:
    """Latitude and longitude of an easting and a northing in a zone."""
    south = zone.south_deg < 0
    up = (north_m - (_FALSE_NORTH_M if south else 0.0)) / (_SCALE * _MERIDIAN_M)
    out = (east_m - _FALSE_EAST_M) / (_SCALE * _MERIDIAN_M)
    xi = up - sum(b * math.sin(2 * j * up) * math.cosh(2 * j * out) for j, b in enumerate(_BACK, 1))
    eta = out - sum(b * math.cos(2 * j * up) * math.sinh(2 * j * out) for j, b in enumerate(_BACK, 1))
    conformal = math.sin(xi) / math.hypot(math.sinh(eta), math.cos(xi))
    latitude = math.degrees(math.atan(_geographic(conformal)))
    longitude = zone.middle_deg + math.degrees(math.atan2(math.sinh(eta), math.cos(xi)))
    return latitude, (longitude + 180) % 360 - 180


def _geographic(conformal: float) -> float:
    """The tangent of the latitude for that of the conformal latitude, by Newton's steps."""
    squared = FLATTENING * (2 - FLATTENING)
    eccentricity = math.sqrt(squared)
    tangent = conformal / (1 - squared)
    for _ in range(_STEPS):
        root = math.hypot(1, tangent)
        sigma = math.sinh(eccentricity * math.atanh(eccentricity * tangent / root))
        found = tangent * math.hypot(1, sigma) - sigma * root
        slope = (1 - squared) * math.hypot(1, found) * root / (1 + (1 - squared) * tangent**2)
        tangent += (conformal - found) / slope
    return tangent
