"""Packs the outlines of States and counties: counties-10m.json of the npm package us-atlas 3.0.1 into geo/us_outlines.xz.

    npm pack us-atlas@3.0.1 && tar xzf us-atlas-3.0.1.tgz
    python tools/us_outlines.py package/counties-10m.json

Source: US Census Bureau, cartographic boundary files, 2017 edition, a work of the United States in the public domain; made into
TopoJSON, quantized and simplified by the package, whose license (ISC) allows use with or without fee. What is kept: the arcs as
they are, and of each State and county its number, its name and its arcs.
"""

from __future__ import annotations

import json
import lzma
import sys
from pathlib import Path
from typing import Any

OUT = Path(__file__).parent.parent / "src/airwrit/geo/us_outlines.xz"


def packed(topology: dict[str, Any]) -> bytes:
    """The topology with what is kept of it, in as few bytes as that takes."""
    kept = {
        "scale": topology["transform"]["scale"],
        "translate": topology["transform"]["translate"],
        "arcs": topology["arcs"],
        **{kind: _areas(topology, kind) for kind in ("states", "counties")},
    }
    text = json.dumps(kept, separators=(",", ":"), ensure_ascii=False).encode("utf-8")
    return lzma.compress(text, preset=9 | lzma.PRESET_EXTREME)


def _areas(topology: dict[str, Any], kind: str) -> list[tuple[str, str, list[Any]]]:
    """Number, name and polygons (each of rings of arcs) of every area of a kind."""
    found = []
    for one in topology["objects"][kind]["geometries"]:
        arcs = one.get("arcs", [])
        polygons = [arcs] if one["type"] == "Polygon" else arcs
        found.append((one["id"], one["properties"]["name"], polygons))
    return found


if __name__ == "__main__":
    OUT.write_bytes(packed(json.loads(Path(sys.argv[1]).read_text(encoding="utf-8"))))
    print(f"{OUT.name}: {OUT.stat().st_size:,} bytes")
