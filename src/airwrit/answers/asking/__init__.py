"""Questions about one aircraft, flight or incident, answered by the rules."""
