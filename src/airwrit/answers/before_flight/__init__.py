"""May this flight go: the place, the hour, the height, the crew and the aircraft, held against every rule of the day."""
