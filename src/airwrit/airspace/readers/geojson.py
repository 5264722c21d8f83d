"""GeoJSON read a feature at a time, numbers as written. Source: RFC 7946.

Coordinates are longitude, latitude in WGS-84 degrees. A file in another reference system is refused.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any, NamedTuple, NoReturn

from airwrit.airspace.readers.features import Feature
from airwrit.base.errors import UnreadableFile

_WGS84 = ("CRS84", "4326")
_FEATURES, _LISTED = "features", "features listed"
_CUT_SHORT = "exceededTransferLimit"
_SPACE = " \t\r\n"


class GeoDocument(NamedTuple):
    """The text of a file of features, and the members of its top object beside them, known once it was read to the end."""

    path: Path
    text: str
    head: dict[str, Any]

    @property
    def is_cut_short(self) -> bool:
        """Whether the server that wrote it held more than it sent."""
        told = self.head.get("properties")
        more = told.get(_CUT_SHORT) if isinstance(told, dict) else None
        return bool(more or self.head.get(_CUT_SHORT))


def open_geojson(path: Path, data: bytes) -> GeoDocument:
    """The text of a file. UnreadableFile where it is no text."""
    try:
        return GeoDocument(path, data.decode("utf-8-sig"), {})
    except UnicodeDecodeError:
        raise _refused(path, "this isn't GeoJSON, or even UTF-8 text") from None


def features_of(document: GeoDocument) -> Iterator[Feature]:
    """The features one after another. UnreadableFile, at the latest behind the last, for what can't be taken as GeoJSON."""
    for name, value in _members(document):
        if name != _FEATURES:
            document.head[name] = value
            continue
        at, told = value
        fields = told.get("properties") if isinstance(told, dict) else None
        known = {str(key).upper(): field for key, field in fields.items()} if isinstance(fields, dict) else {}
        geometry = told.get("geometry") if isinstance(told, dict) else None
        yield Feature(f"{document.path.name} feature {at}", known, geometry)
    _check(document)


def _check(document: GeoDocument) -> None:
    head = document.head
    if head.get("type") != "FeatureCollection" or _LISTED not in head:
        raise _refused(document.path, "this isn't a GeoJSON FeatureCollection")
    if "crs" in head and not any(sign in json.dumps(head["crs"], default=str) for sign in _WGS84):
        raise _refused(
            document.path, "the coordinates aren't WGS 84 degrees", do="export the file in EPSG:4326"
        )


def _members(document: GeoDocument) -> Iterator[tuple[str, Any]]:
    """The members of the top object; each feature on its own with its number, and behind them that they were listed."""
    decoder = json.JSONDecoder(parse_float=Decimal, parse_constant=_no_number)
    text = document.text
    try:
        at = _after(text, _blank(text, 0), "{")
        while text[at] != "}":
            name, at = decoder.raw_decode(text, at)
            at = _after(text, _blank(text, at), ":")
            if name == _FEATURES and text[at] == "[":
                elements = _Elements(decoder, text, at)
                for element in enumerate(elements, 1):
                    yield _FEATURES, element
                yield _LISTED, True
                at = elements.at
            else:
                value, at = decoder.raw_decode(text, at)
                if name != _FEATURES:
                    yield str(name), value
            at = _comma(text, at, "}")
    except (ValueError, IndexError, RecursionError) as error:
        raise _refused(document.path, f"we couldn't read the JSON in it ({type(error).__name__})") from None


class _Elements:
    """The elements of a list one after another; `at` is the place behind what was read."""

    def __init__(self, decoder: json.JSONDecoder, text: str, at: int) -> None:
        self.decoder, self.text, self.at = decoder, text, at

    def __iter__(self) -> Iterator[Any]:
        self.at = _after(self.text, self.at, "[")
        while self.text[self.at] != "]":
            value, self.at = self.decoder.raw_decode(self.text, self.at)
            self.at = _comma(self.text, self.at, "]")
            yield value
        self.at += 1


def _comma(text: str, at: int, end: str) -> int:
    """The place of the next element, or of the sign that ends them."""
    at = _blank(text, at)
    if text[at] == end:
        return at
    at = _after(text, at, ",")
    if text[at] == end:
        raise ValueError("a comma before the end")
    return at


def _after(text: str, at: int, sign: str) -> int:
    if text[at] != sign:
        raise ValueError(f"no {sign}")
    return _blank(text, at + 1)


def _blank(text: str, at: int) -> int:
    while at < len(text) and text[at] in _SPACE:
        at += 1
    return at


def _no_number(name: str) -> NoReturn:
    raise ValueError(name)


def _refused(path: Path, what: str, do: str = "export the data again as GeoJSON") -> UnreadableFile:
    return UnreadableFile(what, where=str(path), do=do)
