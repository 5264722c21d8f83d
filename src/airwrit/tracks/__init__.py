"""Flown tracks: logs of flights read into arrays, and how far a flight went past a limit, for how long. No law here."""
