"""The sun and the weather at a place: pure numbers and readings, no law."""
