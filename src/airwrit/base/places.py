"""A place on the earth as people write it: degrees, minutes and seconds with signs or letters, a grid reference, or UTM.

Latitude comes first unless letters say otherwise. Nothing is swapped or given a sign unasked: what can't be meant is refused
with the form that can.
"""

from __future__ import annotations

import re
import unicodedata
from typing import NamedTuple

from airwrit.base.errors import BadPlace
from airwrit.base.grid_places import grid_place

_UNITED_STATES = (
    (24.0, 50.0, -125.5, -66.0),
    (51.0, 72.0, -180.0, -129.0),
    (51.0, 54.0, 172.0, 180.0),
    (18.0, 29.0, -179.0, -154.0),
    (17.0, 19.0, -68.0, -64.0),
    (13.0, 21.0, 144.0, 147.0),
    (-15.0, -10.0, -172.0, -168.0),
    (19.0, 20.0, 166.0, 167.0),
    (-1.0, 7.0, -177.0, -159.0),
)
"""South, north, west, east of boxes around the States and territories; they only tell which order was likely meant."""
_SIGNS = str.maketrans(
    {
        "−": "-",
        "–": "-",
        "º": "°",
        "˚": "°",
        "\N{RIGHT SINGLE QUOTATION MARK}": "'",
        "′": "'",
        "”": '"',
        "″": '"',
        ";": ",",
    }
)
_NUMBER = r"\d{1,3}(?:\.\d*)?"
_HALF = re.compile(
    rf"(?P<sign>[+-]?) ?(?P<degrees>{_NUMBER})"
    rf"(?:(?: ?° ?|[ -])(?:(?P<minutes>{_NUMBER})(?:(?: ?' ?|[ -])(?:(?P<seconds>{_NUMBER}) ?(?:\"|'')?)?)?)?)?"
)
_LETTERS = {"N": (0, 1), "S": (0, -1), "E": (1, 1), "W": (1, -1)}
_FORMS = (
    'write it like "40.0150, -105.2705", "40 00.9 N 105 16.2 W", "40-00-54N 105-16-14W", or by the National Grid like '
    '"13T DE 76915 29457"'
)
_LONGEST = 80


class Place(NamedTuple):
    """A point: latitude north and longitude east of Greenwich, in degrees."""

    latitude_deg: float
    longitude_deg: float

    def __str__(self) -> str:
        """Both in decimal degrees with letters, to the eleventh of a meter at worst."""
        north = "N" if self.latitude_deg >= 0 else "S"
        east = "E" if self.longitude_deg >= 0 else "W"
        return f"{abs(self.latitude_deg):.4f} {north}, {abs(self.longitude_deg):.4f} {east}"


def read_place(text: str) -> Place:
    """The place of a text. BadPlace says what it can't be, and what may have been meant."""
    shown = " ".join(text.split())[:_LONGEST]
    plain = " ".join(unicodedata.normalize("NFC", text).translate(_SIGNS).upper().split())
    by_grid = grid_place(plain)
    if by_grid is not None:
        return Place(*by_grid)
    halves = _halves(plain, shown)
    first, second = (_half(half, shown) for half in halves)
    if first.axis is not None and second.axis is not None and first.axis == second.axis:
        raise BadPlace(f"{shown!r} has the same direction twice", do=_FORMS)
    if first.axis == 1 or second.axis == 0:
        first, second = second, first
    lettered = first.axis is not None and second.axis is not None
    return _checked(first.degrees, second.degrees, shown, lettered=lettered)


def is_in_united_states(place: Place) -> bool:
    """Whether it lies in a box around a State or territory: a hint about what was typed, nothing more."""
    return any(
        south <= place.latitude_deg <= north and west <= place.longitude_deg <= east
        for south, north, west, east in _UNITED_STATES
    )


class _Half(NamedTuple):
    """One number of the two: 0 for a latitude by its letter, 1 for a longitude, None without a letter."""

    degrees: float
    axis: int | None


def _halves(text: str, shown: str) -> tuple[str, str]:
    letters = [at for at, sign in enumerate(text) if sign in _LETTERS]
    tokens = text.split(" ")
    if text.count(",") == 1:
        first, _, second = text.partition(",")
    elif len(letters) == 2 and letters[0] == 0:
        first, second = text[: letters[1]], text[letters[1] :]
    elif len(letters) == 2:
        first, second = text[: letters[0] + 1], text[letters[0] + 1 :]
    elif not letters and len(tokens) in (2, 4, 6):
        middle = len(tokens) // 2
        first, second = " ".join(tokens[:middle]), " ".join(tokens[middle:])
    else:
        raise BadPlace(f"{shown!r} isn't a latitude and longitude", do=_FORMS)
    return first.strip(), second.strip()


def _half(text: str, shown: str) -> _Half:
    letter = next((sign for sign in (text[:1], text[-1:]) if sign in _LETTERS and sign), "")
    rest = text.removeprefix(letter) if text.startswith(letter) else text.removesuffix(letter)
    found = _HALF.fullmatch(rest.strip())
    if found is None:
        raise BadPlace(f"{shown!r} isn't a latitude and longitude", do=_FORMS)
    parts = [found[name] for name in ("degrees", "minutes", "seconds") if found[name]]
    if any("." in part for part in parts[:-1]):
        raise BadPlace(f"{shown!r} has a decimal point in a part that isn't the last one", do=_FORMS)
    if any(float(part) >= 60 for part in parts[1:]):
        raise BadPlace(f"{shown!r} has 60 or more minutes or seconds", do=_FORMS)
    if letter and found["sign"]:
        raise BadPlace(
            f"{shown!r} has both a minus sign and a direction letter", do="keep only one of the two"
        )
    size = sum(float(part) / 60**power for power, part in enumerate(parts))
    axis, turn = _LETTERS[letter] if letter else (None, -1 if found["sign"] == "-" else 1)
    return _Half(turn * size, axis)


def _checked(latitude: float, longitude: float, shown: str, *, lettered: bool) -> Place:
    if abs(latitude) > 90:
        swapped = abs(longitude) <= 90 and abs(latitude) <= 180 and not lettered
        raise BadPlace(
            f"{shown!r} has a latitude of {latitude:g}, which is impossible",
            do=f'latitude comes first. Did you mean "{longitude:g}, {latitude:g}"?' if swapped else _FORMS,
        )
    if abs(longitude) > 180:
        raise BadPlace(f"{shown!r} has a longitude of {longitude:g}, which is impossible", do=_FORMS)
    place = Place(latitude, longitude)
    if lettered or abs(longitude) > 90 or is_in_united_states(place):
        return place
    if is_in_united_states(Place(longitude, latitude)):
        raise BadPlace(
            f"{shown!r} looks swapped. Latitude comes first",
            do=f'did you mean "{longitude:g}, {latitude:g}"? To keep it, write N or S and E or W',
        )
    return place
