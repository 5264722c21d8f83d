"""Light and weather of a flight: what the sun and the reports say, beside what the law asks."""
