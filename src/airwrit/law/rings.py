"""The numbers of the rings around stadiums and around convoys and vessels: 14 CFR 99.7."""

from __future__ import annotations

from airwrit.law.parameters import parameter

STADIUM_LEAST = parameter("stadium_least_seats", int)
STADIUM_RING = parameter("stadium_ring_nm", int)
STADIUM_HEIGHT = parameter("stadium_height_ft", int)
STADIUM_MINUTES = parameter("stadium_minutes", int)
ASSET_RING = parameter("asset_ring_ft", int)
ASSET_HEIGHT = parameter("asset_height_ft", int)
