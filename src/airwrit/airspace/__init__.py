"""Airspace on file: dated editions of the facility map and of volumes, and what of them a place touches."""
