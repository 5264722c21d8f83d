"""The law of a flight and of an incident."""
