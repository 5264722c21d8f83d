"""A file of airspace data opened by what its bytes are: GeoJSON, XML, a table, a GeoPackage, a zip archive."""

from __future__ import annotations

import io
import struct
import zipfile
import zlib
from collections.abc import Callable, Iterator, Mapping
from datetime import date
from pathlib import Path, PurePosixPath
from typing import NamedTuple

from airwrit.airspace.kinds import AreaKind
from airwrit.airspace.readers.airports import airport_features, is_airport_table
from airwrit.airspace.readers.features import Feature
from airwrit.airspace.readers.geojson import features_of, open_geojson
from airwrit.airspace.readers.geopackage import GEOPACKAGE, geopackage_features
from airwrit.airspace.readers.obstacles import effective_of, is_obstacle_file, obstacle_features
from airwrit.airspace.readers.shapefile import shapefile_features
from airwrit.airspace.readers.tfr import tfr_features
from airwrit.base.errors import UnreadableFile

MOST_BYTES = 400_000_000
_ZIP = b"PK\x03\x04"
_SHAPE_PARTS = (".shp", ".dbf", ".prj")
_ALONE = (".geojson", ".json", ".xml", ".csv", ".dat", ".gpkg")
_DAMAGED_ZIP = (
    zipfile.BadZipFile,
    zipfile.LargeZipFile,
    zlib.error,
    struct.error,
    NotImplementedError,
    RuntimeError,
    EOFError,
    ValueError,
)
_SPLIT = "split the file, for example by state"


class FeatureFile(NamedTuple):
    """A file of features: its name, the kind that its form tells, its features, whether it was cut short, its effective day.

    Whether it was cut short is known behind its last feature.
    """

    name: str
    kind: AreaKind | None
    features: Iterator[Feature]
    is_cut_short: Callable[[], bool]
    effective: date | None


def bytes_of_file(path: Path) -> bytes:
    """The bytes of a file. UnreadableFile where it is too large."""
    with path.open("rb") as file:
        data = file.read(MOST_BYTES + 1)
    if len(data) > MOST_BYTES:
        raise _too_large(path)
    return data


def open_features(path: Path, data: bytes, zones: Mapping[str, float]) -> FeatureFile:
    """The features of a file's bytes. UnreadableFile, at the latest behind the last, where it can't be taken."""
    if data.startswith(_ZIP):
        return _open_zip(path, data, zones)
    if data.startswith(GEOPACKAGE):
        return _plain(path, None, geopackage_features(path, data))
    if is_obstacle_file(data):
        return _plain(path, AreaKind.OBSTACLE, obstacle_features(path, data))._replace(
            effective=effective_of(data)
        )
    if data.lstrip(b"\xef\xbb\xbf \r\n\t").startswith(b"<"):
        return _plain(path, AreaKind.TFR, tfr_features(path, data, zones))
    if is_airport_table(data):
        return _plain(path, AreaKind.AIRPORT, airport_features(path, data))
    document = open_geojson(path, data)
    return FeatureFile(path.name, None, features_of(document), lambda: document.is_cut_short, None)


def _plain(path: Path, kind: AreaKind | None, features: Iterator[Feature]) -> FeatureFile:
    return FeatureFile(path.name, kind, features, lambda: False, None)


def _open_zip(path: Path, data: bytes, zones: Mapping[str, float]) -> FeatureFile:
    """The one thing of use in an archive: a shapefile, or a single file of another form."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            members = [one for one in archive.infolist() if not one.is_dir()]
            shapes = [one for one in members if _suffix(one) == ".shp"]
            alone = [one for one in members if _suffix(one) in _ALONE]
            if len(shapes) == 1 and not alone:
                stem = shapes[0].filename.lower().removesuffix(".shp")
                wanted = {
                    part: one
                    for one in members
                    for part in _SHAPE_PARTS
                    if one.filename.lower() == stem + part
                }
                parts = {part: _unpacked(path, archive, one) for part, one in wanted.items()}
                return _plain(path, None, shapefile_features(path, parts))
            if len(alone) == 1 and not shapes:
                inside = Path(PurePosixPath(alone[0].filename).name)
                return open_features(inside, _unpacked(path, archive, alone[0]), zones)
    except _DAMAGED_ZIP as error:
        raise UnreadableFile(
            f"the zip archive is damaged or locked ({type(error).__name__})",
            where=path.name,
            do="download it again",
        ) from None
    raise UnreadableFile(
        "the zip archive has no airspace file, or more than one",
        where=path.name,
        do="unpack it, and use the one you mean. Zip the parts of one shapefile together",
    )


def _unpacked(path: Path, archive: zipfile.ZipFile, member: zipfile.ZipInfo) -> bytes:
    """A member's bytes, and no more than may be read whatever the archive says of itself."""
    with archive.open(member) as file:
        data = file.read(MOST_BYTES + 1)
    if len(data) > MOST_BYTES:
        raise _too_large(path)
    if data.startswith(_ZIP):
        raise UnreadableFile(
            "the zip archive contains another zip archive",
            where=path.name,
            do="unpack it, and use what is inside",
        )
    return data


def _suffix(member: zipfile.ZipInfo) -> str:
    return PurePosixPath(member.filename).suffix.lower()


def _too_large(path: Path) -> UnreadableFile:
    return UnreadableFile(f"the file is larger than {MOST_BYTES // 1_000_000} MB", where=path.name, do=_SPLIT)
