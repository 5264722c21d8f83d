"""Drawings of a flight in ink, planned or flown, as SVG out of numbers: its map, its side, its track."""
