"""The map of the modules is the one that the modules make; `AIRWRIT_WRITE_MAP=1` writes it anew."""

from __future__ import annotations

import os
from pathlib import Path

from tools.map_page import SRC, page

PAGE = Path(__file__).resolve().parents[2] / "docs" / "map.md"


def test_the_map_is_made_of_the_modules() -> None:
    made = page()
    if os.environ.get("AIRWRIT_WRITE_MAP") == "1":
        PAGE.write_text(made, encoding="utf-8")
    assert PAGE.read_text(encoding="utf-8") == made


def test_every_module_is_on_the_map() -> None:
    modules = [path for path in SRC.rglob("*.py") if path.name not in ("__init__.py", "__main__.py")]
    assert page().count("\n- **") == len(modules)


def test_no_room_is_crowded() -> None:
    """A folder of more than about fifteen modules says too little of what it holds."""
    rooms = {path.parent for path in SRC.rglob("*.py")}
    held = {str(room.relative_to(SRC)): len(list(room.glob("*.py"))) - 1 for room in rooms}
    assert {room: count for room, count in held.items() if count > 18} == {}
